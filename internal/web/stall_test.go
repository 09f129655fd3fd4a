package web

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"
)

// heavy is a study that is slow to edit: as much of a file as is read.
func heavy(bench string) string {
	var b strings.Builder
	b.WriteString(strings.TrimRight(bench, "\n") + "\nextra:\n")
	for n := range 9500 {
		fmt.Fprintf(&b, "  k%d: v\n", n)
	}
	return b.String() + "# " + strings.Repeat("p", 1<<20-100-b.Len()) + "\n"
}

// heavyEdit is 500 changes of one place, each of which needs the file read again.
func heavyEdit(t *testing.T) []byte {
	e := Try{Ask: Ask{Quick: true}}
	for n := range 500 {
		e.Changes = append(e.Changes, set(volume, fmt.Sprintf("%d L", 20+n)))
	}
	data, err := json.Marshal(e)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// Real edits that take as long as they may, of two studies at once, leave others
// their turns; and they end when nobody waits for them any more.
func TestLongEditsStallNoOther(t *testing.T) {
	s := open(t)
	body := heavyEdit(t)
	text := heavy(s.disk("bench.yaml"))
	ctx, cancel := context.WithCancel(t.Context())
	var wg sync.WaitGroup
	for _, name := range []string{"heavy-a", "heavy-b", "heavy-c"} {
		put(t, s.dir, name+".yaml", text)
		for range 2 {
			wg.Go(func() {
				req, _ := http.NewRequestWithContext(ctx, "POST", s.base+"/api/studies/"+name+"/try", bytes.NewReader(body))
				req.Header.Set("Content-Type", "application/json")
				if res, err := http.DefaultClient.Do(req); err == nil {
					_, _ = io.Copy(io.Discard, res.Body)
					res.Body.Close()
				}
			})
		}
	}
	s.holds(func() bool { return len(s.queue.turns) == mostWork })
	s.holds(func() bool { return len(s.queue.slow) >= 2 }) // those that last make room
	for range 3 {
		start := time.Now()
		v := ask[View](s, 200, "POST", "/api/studies/bench/view", Ask{})
		if d := time.Since(start); v.Result == nil || d > waitTime {
			t.Errorf("another study waits for %v", d)
		}
	}
	cancel()
	wg.Wait()
	s.holds(func() bool { return s.queue.waiting == 0 && len(s.queue.turns)+len(s.queue.slow) == 0 })
}

// holds waits until the queue is as it should be.
func (s *shop) holds(is func() bool) {
	s.t.Helper()
	for end := time.Now().Add(30 * time.Second); ; time.Sleep(5 * time.Millisecond) {
		s.queue.mu.Lock()
		ok := is()
		s.queue.mu.Unlock()
		if ok {
			return
		}
		if time.Now().After(end) {
			s.t.Fatalf("%d wait, %d turns, %d slow ones", s.queue.waiting, len(s.queue.turns), len(s.queue.slow))
		}
	}
}

// One computation of a real edit ends after the time of a turn.
func TestLongEditEnds(t *testing.T) {
	s := open(t)
	put(t, s.dir, "heavy.yaml", heavy(s.disk("bench.yaml")))
	ctx, cancel := context.WithTimeout(t.Context(), time.Second)
	defer cancel()
	var e Try
	if err := json.Unmarshal(heavyEdit(t), &e); err != nil {
		t.Fatal(err)
	}
	start := time.Now()
	_, err := s.try(ctx, &tryOne{Target{"heavy"}, e})
	if d := time.Since(start); err == nil || !strings.Contains(err.Error(), "takes longer") || d > 10*time.Second {
		t.Errorf("%v after %v", err, d)
	}
}

// Who waits for a turn is told after a while to try again.
func TestTurnIsNotWaitedForEver(t *testing.T) {
	s := open(t, hanging, func(s *Server) { s.queue.patience = 200 * time.Millisecond })
	put(t, s.dir, "hostile.yaml", strings.Replace(s.disk("bench.yaml"), "study: Camper bench", "study: Hostile", 1))
	ctx, cancel := context.WithCancel(t.Context())
	var wg sync.WaitGroup
	defer wg.Wait()
	defer cancel()
	for range mostWorkOne {
		wg.Go(func() {
			req, _ := http.NewRequestWithContext(ctx, "POST", s.base+"/api/studies/hostile/view", strings.NewReader("{}"))
			req.Header.Set("Content-Type", "application/json")
			if res, err := http.DefaultClient.Do(req); err == nil {
				res.Body.Close()
			}
		})
	}
	s.holds(func() bool { return len(s.queue.turns) == mostWorkOne })
	res, body := s.send("POST", "/api/studies/hostile/view", Ask{})
	if res.StatusCode != 503 || res.Header.Get("Retry-After") == "" || !strings.Contains(string(body), "waited too long") {
		t.Errorf("%s, Retry-After %q: %s", res.Status, res.Header.Get("Retry-After"), body)
	}
}

// What is worked out at length keeps neither a study's own view waiting nor another's,
// and one study has one such turn at a time.
func TestWhatLastsKeepsNoViewWaiting(t *testing.T) {
	s := open(t, func(s *Server) { s.queue.patience = 200 * time.Millisecond })
	_, done, err := s.lengthy(t.Context(), "bench")
	if err != nil {
		t.Fatal(err)
	}
	if _, _, err := s.lengthy(t.Context(), "bench"); err == nil || !strings.Contains(err.Error(), "waited too long") {
		t.Errorf("a second one at once: %v", err)
	}
	if len(s.queue.turns) != 0 {
		t.Error("it has a turn of those that do not last")
	}
	for range 2 * mostWorkOne {
		if v := s.view(); v.Result == nil {
			t.Error("no result")
		}
	}
	done()
	if _, again, err := s.lengthy(t.Context(), "bench"); err != nil {
		t.Error(err)
	} else {
		again()
	}
	if n := len(s.queue.shares); n != 0 {
		t.Errorf("%d shares are left", n)
	}
}

// However much of what lasts waits for its turn, the study's own view does not wait behind
// it, and there is an end to what may wait.
func TestWhatWaitsAtLengthKeepsNoViewWaiting(t *testing.T) {
	s := open(t)
	ctx, cancel := context.WithCancel(t.Context())
	var wg sync.WaitGroup
	for range mostWaitingLong {
		wg.Go(func() {
			if _, done, err := s.lengthy(ctx, "bench"); err == nil {
				<-ctx.Done()
				done()
			}
		})
	}
	waiting := func() int {
		s.queue.mu.Lock()
		defer s.queue.mu.Unlock()
		return s.queue.waiting
	}
	for waiting() < mostWaitingLong {
		time.Sleep(time.Millisecond)
	}
	if v := s.view(); v.Result == nil {
		t.Error("no result")
	}
	if n := waiting(); n != mostWaitingLong {
		t.Errorf("the view came when %d of %d still waited", n, mostWaitingLong)
	}
	if _, _, err := s.lengthy(ctx, "bench"); err == nil || !strings.Contains(err.Error(), "too much is asked at once") {
		t.Errorf("one more: %v", err)
	}
	cancel()
	wg.Wait()
}

// A study that took long begins among the slow ones the next time, and not for ever.
func TestSlowLane(t *testing.T) {
	q := newQueue()
	if q.lane("a") != q.turns {
		t.Error("a study that nobody knows is taken for slow")
	}
	q.took("a", true)
	if q.lane("a") != q.slow || q.lane("b") != q.turns {
		t.Error("a slow study gets the turns of others")
	}
	q.took("a", false)
	if q.lane("a") != q.turns {
		t.Error("a study is slow for ever")
	}
	q.took("a", true)
	q.lasted["a"] = time.Now().Add(-2 * slowMemory)
	if q.lane("a") != q.turns {
		t.Error("a study is slow for ever")
	}
	for n := range 2 * mostLasted {
		q.took(fmt.Sprint(n), true)
	}
	if len(q.lasted) > mostLasted {
		t.Errorf("%d studies are remembered", len(q.lasted))
	}
}

// Answers that nobody reads give their turns back, and are given up where they
// become too many; who reads gets the whole answer meanwhile.
func TestSlowReaders(t *testing.T) {
	const size = 16 << 20
	whole := bytes.Repeat([]byte("a"), size)
	s := open(t, func(s *Server) {
		s.handler = s.recovered(s.flight.exchanged(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			_, done, err := s.turn(r.Context(), "bench")
			if err != nil {
				t.Error(err)
				return
			}
			defer done()
			w.WriteHeader(200)
			_, _ = w.Write(whole)
		})))
	})
	var slow []net.Conn
	for range 20 {
		c, err := net.Dial("tcp", strings.TrimPrefix(s.base, "http://"))
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		if _, err := io.WriteString(c, "GET / HTTP/1.1\r\nHost: "+strings.TrimPrefix(s.base, "http://")+"\r\n\r\n"); err != nil {
			t.Fatal(err)
		}
		slow = append(slow, c)
		time.Sleep(10 * time.Millisecond)
	}
	s.holds(func() bool { return s.queue.waiting == 0 })
	s.flight.mu.Lock()
	bytes, under := s.flight.bytes, len(s.flight.under)
	s.flight.mu.Unlock()
	if bytes > mostFlight || under == 0 {
		t.Errorf("%d answers of %d bytes wait", under, bytes)
	}
	if res, body := s.send("GET", "/", nil); res.StatusCode != 200 || len(body) != size {
		t.Errorf("one who reads gets %s, %d bytes", res.Status, len(body))
	}
	_ = slow[0].SetReadDeadline(time.Now().Add(20 * time.Second))
	if got, err := io.Copy(io.Discard, slow[0]); got >= size || err != nil && !strings.Contains(err.Error(), "reset") {
		t.Errorf("the one that waited longest gets %d bytes, %v", got, err)
	}
}

// Connections are bounded, and idle ones make room for who asks.
func TestManyConnections(t *testing.T) {
	s := open(t)
	addr := strings.TrimPrefix(s.base, "http://")
	var conns []net.Conn
	for range mostConns + 40 {
		c, err := net.Dial("tcp", addr)
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		conns = append(conns, c)
	}
	if v := s.view(); v.Result == nil {
		t.Error("with many connections no study can be seen")
	}
	_ = conns[0].SetReadDeadline(time.Now().Add(4 * time.Second)) // before a head that does not come is given up
	if _, err := conns[0].Read(make([]byte, 1)); err == nil || strings.Contains(err.Error(), "timeout") {
		t.Errorf("the first of too many connections stays open: %v", err)
	}
}

var highWater = regexp.MustCompile(`VmHWM:\s+(\d+) kB`)

// The server’s memory stays bounded, whatever lies in the folder: measured on a
// server of its own.
func TestHostileTextsAreBoundedInMemory(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("measured by Linux’s account of a process")
	}
	dir := t.TempDir()
	const size = 1<<20 - 200
	for name, text := range map[string]string{
		"percents": strings.Repeat("%", size),
		"list":     "study: A\ncandidates: [" + strings.Repeat("{a: b},", size/7) + "]\n",
		"few":      "study: A\ncandidates: [" + strings.Repeat("{a: b},", 29_000) + "]\n",
		"dashes":   strings.Repeat("- ", size/2),
		"lines":    strings.Repeat("a\n", size/2),
		"words":    strings.Repeat("a b ", size/4),
		"heavy":    heavy(string(samples(t)["camper-bench"])),
	} {
		put(t, dir, name+".yaml", text)
	}
	child := exec.Command(os.Args[0])
	child.Env = append(os.Environ(), servingChild+"="+dir)
	child.Stderr = os.Stderr
	out, err := child.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := child.Start(); err != nil {
		t.Fatal(err)
	}
	defer child.Wait()
	defer child.Process.Kill()
	base, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"percents", "list", "few", "dashes", "lines", "words", "heavy"} {
		var wg sync.WaitGroup
		for range 6 {
			wg.Go(func() {
				res, err := client.Post(strings.TrimSpace(base)+"/api/studies/"+name+"/view", "application/json", strings.NewReader("{}"))
				if err != nil {
					t.Error(err)
					return
				}
				defer res.Body.Close()
				if _, err := io.Copy(io.Discard, res.Body); err != nil || res.StatusCode != 200 {
					t.Errorf("%s: %s %v", name, res.Status, err)
				}
			})
		}
		wg.Wait()
		status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", child.Process.Pid))
		if err != nil {
			t.Fatal(err)
		}
		kb, err := strconv.Atoi(string(highWater.FindSubmatch(status)[1]))
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("%s: at most %d MB", name, kb>>10)
		if kb>>10 > 700 { // the limit of the runtime, and what it does not count
			t.Errorf("%s: the server took %d MB", name, kb>>10)
		}
	}
}
