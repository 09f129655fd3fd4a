package web

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"

	"basswright/internal/study"
)

// A study that makes the program fail costs its own answer and nothing else.
func TestPanicsEndOneAnswer(t *testing.T) {
	s := open(t, func(s *Server) {
		sound := s.evaluate
		s.evaluate = func(ctx context.Context, st *study.Study, opt study.Options) (*study.Result, error) {
			if st.Name == "Hostile" {
				st.Candidates[0].Group = nil // as a fault of the program would leave it
			}
			return sound(ctx, st, opt)
		}
	})
	hostile := strings.Replace(s.disk("bench.yaml"), "study: Camper bench", "study: Hostile", 1)
	put(t, s.dir, "hostile.yaml", hostile)
	v := ask[View](s, 200, "POST", "/api/studies/hostile/view", Ask{})
	if v.Result != nil || len(v.Faults) != 1 || !strings.Contains(v.Faults[0].Text, "the program failed on this study") || v.Text != hostile || len(v.Fields) == 0 {
		t.Errorf("faults %+v", v.Faults)
	}
	s.refused(500, "the program failed", "GET", "/api/studies/hostile/figure", nil)
	s.refused(500, "the program failed", "GET", "/api/studies/hostile/data/csv", nil)
	if a := ask[Against](s, 200, "GET", "/api/studies/bench/against?study=hostile", nil); a.Note == "" {
		t.Error("a comparison of figures that are not there")
	}
	// It is saved all the same, and can be mended.
	v = ask[View](s, 200, "POST", "/api/studies/hostile/edit", volumes(27))
	if !strings.Contains(v.Text, "volume: 27 L") || len(v.Faults) != 1 {
		t.Errorf("faults %+v", v.Faults)
	}
	if v := s.view(); v.Result == nil {
		t.Error("another study suffers")
	}
}

func TestPanicOfAHandler(t *testing.T) {
	s := open(t, func(s *Server) {
		s.handler = s.recovered(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { panic("heron") }))
	})
	for range 3 {
		if res, body := s.send("GET", "/", nil); res.StatusCode != 500 || strings.Contains(string(body), "heron") || !strings.Contains(string(body), "nothing was lost") {
			t.Errorf("%s %s", res.Status, body)
		}
	}
}

// hanging makes the evaluation of studies called Hostile last until its turn ends.
func hanging(s *Server) {
	sound := s.evaluate
	s.evaluate = func(ctx context.Context, st *study.Study, opt study.Options) (*study.Result, error) {
		if st.Name == "Hostile" {
			<-ctx.Done()
			return nil, ctx.Err()
		}
		return sound(ctx, st, opt)
	}
}

// A study that takes for ever, asked for again and again, makes no other wait.
func TestHostileStudyStallsNoOther(t *testing.T) {
	s := open(t, hanging)
	put(t, s.dir, "hostile.yaml", strings.Replace(s.disk("bench.yaml"), "study: Camper bench", "study: Hostile", 1))
	ctx, cancel := context.WithCancel(t.Context())
	var wg sync.WaitGroup
	var mu sync.Mutex
	refused := 0
	const asked = mostWaitingOne + 40
	for range asked {
		wg.Add(1)
		go func() {
			defer wg.Done()
			req, _ := http.NewRequestWithContext(ctx, "POST", s.base+"/api/studies/hostile/view", strings.NewReader("{}"))
			if res, err := http.DefaultClient.Do(req); err == nil {
				res.Body.Close()
				mu.Lock()
				defer mu.Unlock()
				if res.StatusCode == 503 {
					refused++
				}
			}
		}()
	}
	for end := time.Now().Add(5 * time.Second); ; time.Sleep(5 * time.Millisecond) {
		s.queue.mu.Lock()
		waiting := s.queue.waiting
		s.queue.mu.Unlock()
		mu.Lock()
		told := refused
		mu.Unlock()
		if waiting == mostWaitingOne && told == asked-mostWaitingOne {
			break
		}
		if time.Now().After(end) {
			t.Fatalf("%d wait and %d are refused, want %d and %d", waiting, told, mostWaitingOne, asked-mostWaitingOne)
		}
	}
	done := make(chan struct{})
	go func() {
		defer close(done)
		for range 5 {
			if v := s.view(); v.Result == nil {
				t.Error("no result")
			}
		}
	}()
	select {
	case <-done: // long before the hostile turns end, after 20 s
	case <-time.After(10 * time.Second):
		t.Error("another study waits")
	}
	cancel()
	wg.Wait()
	for end := time.Now().Add(5 * time.Second); ; time.Sleep(5 * time.Millisecond) {
		s.queue.mu.Lock()
		left := s.queue.waiting + len(s.queue.shares) + len(s.queue.turns)
		s.queue.mu.Unlock()
		if left == 0 {
			break
		}
		if time.Now().After(end) {
			t.Fatal("turns that nobody waits for any more are not given back")
		}
	}
}

// An edit that was saved is not told as a failure where its evaluation fails.
func TestSavedAndNotEvaluated(t *testing.T) {
	s := open(t, func(s *Server) {
		s.evaluate = func(context.Context, *study.Study, study.Options) (*study.Result, error) {
			return nil, context.DeadlineExceeded
		}
	})
	v := ask[View](s, 200, "POST", "/api/studies/bench/edit", volumes(27))
	if len(v.Faults) != 1 || !strings.Contains(s.disk("bench.yaml"), "volume: 27 L") {
		t.Errorf("faults %+v", v.Faults)
	}
}

// YAML that grows when it is read is refused before it does, within the time of a turn:
// 503 would be the answer otherwise.
func TestYAMLBombs(t *testing.T) {
	s := open(t)
	bomb := "study: Bomb\na0: &a0 [x, x, x, x, x, x, x, x, x]\n"
	for n := 1; n < 12; n++ {
		bomb += fmt.Sprintf("a%d: &a%d [%s*a%d]\n", n, n, strings.Repeat(fmt.Sprintf("*a%d, ", n-1), 8), n-1)
	}
	for name, text := range map[string]string{
		"aliases": bomb,
		"deep":    "study: Deep\ndrivers: " + strings.Repeat("[", 100_000),
		"nested":  "study: Deep\ndrivers: " + strings.Repeat("{a: ", 50_000),
		"wide":    "study: Wide\ncandidates: {" + strings.Repeat("a, ", 300_000) + "}",
		"many":    "study: Many\ncandidates:\n" + strings.Repeat("  a: {group: {driver: d}}\n", 30_000),
		"binary":  "study: \x00\x01\xff\xfe",
		"empty":   "",
	} {
		put(t, s.dir, name+".yaml", text)
		v := ask[View](s, 200, "POST", "/api/studies/"+name+"/view", Ask{})
		if v.Result != nil || len(v.Faults) == 0 {
			t.Errorf("%s: faults %+v", name, v.Faults)
		}
		res, _ := s.send("POST", "/api/studies/"+name+"/edit", volumes(3))
		if res.StatusCode >= 500 {
			t.Errorf("%s: an edit is answered with %s", name, res.Status)
		}
	}
}

// The largest study that can be asked for is answered, in bounded memory; a
// larger is refused.
func TestLargestStudy(t *testing.T) {
	s := open(t)
	head, _, _ := strings.Cut(s.disk("bench.yaml"), "candidates:\n")
	var b strings.Builder
	b.WriteString(head + "candidates:\n")
	for n := range 64 {
		fmt.Fprintf(&b, "  c%d: {group: {driver: merlin-10, side_by_side: 2, stack: 2, arrangement: clamshell, coupling: 2.1 L}, enclosure: {kind: bandpass, rear: {volume: %d L}, front: {volume: 16 L, tuning: 52 Hz, port: {diameter: 100 mm}}}}\n", n, 20+n)
	}
	put(t, s.dir, "large.yaml", b.String())
	v := ask[View](s, 200, "POST", "/api/studies/large/view", Ask{Points: 2000, Quick: true})
	if v.Result == nil || len(v.Result.Candidates) != 64 || len(v.Result.Candidates[63].Curves.Level) != 4*2000 {
		t.Fatalf("faults %+v", v.Faults)
	}
	s.refused(422, "at most 2000", "POST", "/api/studies/large/view", Ask{Points: study.MostPoints})
	put(t, s.dir, "larger.yaml", b.String()+"  c64: {group: {driver: merlin-10}, enclosure: {kind: infinite_baffle}}\n")
	if v := ask[View](s, 200, "POST", "/api/studies/larger/view", Ask{}); v.Result != nil || len(v.Faults) == 0 {
		t.Error("65 candidates are computed")
	}
}

// What is not a plain file of the folder is not opened.
func TestLinksInTheFolder(t *testing.T) {
	s := open(t)
	outside := t.TempDir()
	put(t, outside, "heron.yaml", "study: Heron\n")
	for from, to := range map[string]string{
		"link.yaml": filepath.Join(outside, "heron.yaml"), "up.yaml": "../" + filepath.Base(outside) + "/heron.yaml", "inside.yaml": "bench.yaml",
		"self.yaml": "self.yaml", "dir.yaml": outside,
	} {
		if err := os.Symlink(to, filepath.Join(s.dir, from)); err != nil {
			t.Fatal(err)
		}
		name := strings.TrimSuffix(from, ".yaml")
		s.refused(422, "link", "POST", "/api/studies/"+name+"/view", Ask{})
		s.refused(422, "link", "GET", "/api/studies/"+name+"/data/yaml", nil)
		if res, body := s.send("POST", "/api/studies/"+name+"/edit", volumes(3)); res.StatusCode != 422 {
			t.Errorf("an edit of %s: %s %s", name, res.Status, body)
		}
	}
	if err := os.Mkdir(filepath.Join(s.dir, "folder.yaml"), 0o755); err != nil {
		t.Fatal(err)
	}
	s.refused(422, "a folder", "POST", "/api/studies/folder/view", Ask{})
	if text, err := os.ReadFile(filepath.Join(outside, "heron.yaml")); err != nil || string(text) != "study: Heron\n" {
		t.Errorf("a file outside was changed: %q %v", text, err)
	}
	for _, e := range ask[Shelf](s, 200, "GET", "/api/studies", nil).Studies {
		if e.Name != "bench" {
			t.Errorf("%s is listed", e.Name)
		}
	}
}

// A head or a body that never ends is given up, and holds no turn meanwhile.
func TestSlowRequests(t *testing.T) {
	s := open(t)
	addr := strings.TrimPrefix(s.base, "http://")
	dial := func(text string) net.Conn {
		c, err := net.Dial("tcp", addr)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { c.Close() })
		if _, err := io.WriteString(c, text); err != nil {
			t.Fatal(err)
		}
		return c
	}
	body := dial("POST /api/studies/bench/view HTTP/1.1\r\nHost: " + addr + "\r\nContent-Type: application/json\r\nContent-Length: 1000\r\n\r\n{")
	head := dial("GET / HTTP/1.1\r\nHost: " + addr + "\r\nX-Slow: ")
	for range 30 {
		dial("POST /api/studies/bench/view HTTP/1.1\r\nHost: " + addr + "\r\nContent-Type: application/json\r\nContent-Length: 1000\r\n\r\n{")
	}
	if v := s.view(); v.Result == nil {
		t.Error("bodies that do not come hold up others")
	}
	limit := time.Now().Add(15 * time.Second)
	for _, c := range []net.Conn{head, body} {
		_ = c.SetReadDeadline(limit)
	}
	res, err := http.ReadResponse(bufio.NewReader(body), nil)
	if err != nil || res.StatusCode != http.StatusRequestTimeout {
		t.Errorf("a body that does not come: %v %v", res, err)
	} else if text, _ := io.ReadAll(res.Body); !strings.Contains(string(text), "too slowly") {
		t.Errorf("told as %s", text)
	}
	if text, err := io.ReadAll(head); err != nil {
		t.Errorf("a head that does not come: %q %v", text, err)
	}
	big := dial("GET / HTTP/1.1\r\nHost: " + addr + "\r\nX-Big: " + strings.Repeat("b", 100<<10) + "\r\n\r\n")
	_ = big.SetReadDeadline(limit)
	if res, err := http.ReadResponse(bufio.NewReader(big), nil); err == nil && res.StatusCode != http.StatusRequestHeaderFieldsTooLarge {
		t.Errorf("a head of 100 kB: %s", res.Status)
	}
}

// Bodies over the bound are refused without being taken in.
func TestHugeBodies(t *testing.T) {
	s := open(t)
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	for _, kind := range []string{"application/json", "text/plain"} {
		req, err := http.NewRequest("PUT", s.base+"/api/studies/bench/text", io.LimitReader(letters{}, 1<<30))
		if err != nil {
			t.Fatal(err)
		}
		req.Header.Set("Content-Type", kind)
		res, err := client.Do(req)
		if err != nil {
			continue // the server closed before all was sent
		}
		res.Body.Close()
		if res.StatusCode != 413 {
			t.Errorf("1 GiB of %s: %s", kind, res.Status)
		}
	}
	runtime.ReadMemStats(&after)
	if grown := after.TotalAlloc - before.TotalAlloc; grown > 64<<20 {
		t.Errorf("%d MB were allocated for bodies of at most %d MB", grown>>20, mostBody>>20)
	}
}

// letters is a text without an end.
type letters struct{}

func (letters) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = 'a'
	}
	return len(p), nil
}
