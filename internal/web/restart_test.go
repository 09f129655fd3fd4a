package web

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
	"testing"
	"time"

	"basswright/internal/folder"
)

// A server that begins where another has ended, on the same folder and port,
// serves the same revision and the same history, and undo goes back over both.
func TestRestart(t *testing.T) {
	first := open(t)
	start := first.view()
	ask[View](first, 200, "POST", "/api/studies/bench/edit", volumes(27))
	edited := ask[View](first, 200, "POST", "/api/studies/bench/edit", volumes(26))
	past := ask[[]Past](first, 200, "GET", "/api/studies/bench/past", nil)
	page := first.follow()
	first.end()
	for range page.told { // its page sees the end
	}
	second := openOn(t, first.dir, strings.TrimPrefix(first.base, "http://"))
	second.follow() // as the page does again
	v := second.view()
	if v.Revision != edited.Revision || v.Text != edited.Text || v.Undo != edited.Undo || v.Redo != edited.Redo {
		t.Errorf("revision %s, undo %q after a restart; %s, %q before", v.Revision, v.Undo, edited.Revision, edited.Undo)
	}
	if !reflect.DeepEqual(v.Result, edited.Result) {
		t.Error("another result after the restart")
	}
	if got := ask[[]Past](second, 200, "GET", "/api/studies/bench/past", nil); !reflect.DeepEqual(got, past) {
		t.Errorf("history\n%+v after a restart,\n%+v before", got, past)
	}
	for range 2 {
		v = ask[View](second, 200, "POST", "/api/studies/bench/undo", map[string]any{"base": v.Revision})
	}
	if v.Text != start.Text {
		t.Error("undo after a restart does not come to where the first server began")
	}
}

// The tests' program serves this folder when it finds it; see TestKilledServing.
const servingChild = "BASSWRIGHT_TEST_SERVE"

func TestMain(m *testing.M) {
	if dir := os.Getenv(servingChild); dir != "" {
		if err := serveHere(dir); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		return
	}
	os.Exit(m.Run())
}

func serveHere(dir string) error {
	LimitMemory()
	f, err := folder.Open(dir, folder.Options{})
	if err != nil {
		return err
	}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return err
	}
	fmt.Println("http://" + l.Addr().String())
	ctx := context.Background()
	return New(ctx, Options{Folder: f}).Serve(ctx, l)
}

var volumeOne = regexp.MustCompile(`(?s)\A(.*  one:.*?volume: )(\d+)( L.*)\z`)

// A server that is killed while it saves, again and again over 200 saves, leaves
// the text before or after the save, whole, and every save that it answered.
func TestKilledServing(t *testing.T) {
	const saves, kills = 200, 8
	dir := t.TempDir()
	text := string(samples(t)["camper-bench"])
	put(t, dir, "bench.yaml", text)
	random := rand.New(rand.NewPCG(31, 7))
	answered, killed := 0, 0 // the last that was answered
	for killed < kills || answered < saves {
		from := answered
		sure, early := killedServer(t, dir, answered, 1+random.IntN(2*saves/kills), time.Duration(random.IntN(4000))*time.Microsecond)
		answered = sure
		if early {
			killed++
		}
		disk, err := os.ReadFile(filepath.Join(dir, "bench.yaml"))
		if err != nil {
			t.Fatal(err)
		}
		part := volumeOne.FindSubmatch(disk)
		if part == nil {
			t.Fatalf("the file is not whole:\n%s", disk)
		}
		var n int
		fmt.Sscan(string(part[2]), &n)
		// The save that was under way may have been made or not.
		if got, least := n-1000, answered; from == 0 && answered == 0 && n == 28 {
			continue
		} else if got != least && got != least+1 {
			t.Fatalf("on disk is save %d; %d were answered", got, least)
		}
		if whole := strings.Replace(text, "volume: 28 L", fmt.Sprintf("volume: %d L", n), 1); string(disk) != whole {
			t.Fatalf("the text of save %d is not whole:\n%s", n-1000, disk)
		}
		answered = n - 1000
	}
	t.Logf("%d saves in %d lives of the server", answered, killed)
	s := openOn(t, dir, "127.0.0.1:0")
	v := s.view()
	if v.Undo == "" || v.Result == nil || v.History != "" {
		t.Errorf("after the kills: undo %q, faults %v, %s", v.Undo, v.Faults, v.History)
	}
}

// killedServer saves over HTTP from the save that was made last, and kills the
// server at a moment after the given number of saves. It returns the last save
// that was answered, and whether one was under way at the kill.
func killedServer(t *testing.T, dir string, last, saves int, after time.Duration) (answered int, early bool) {
	t.Helper()
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
	base, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		t.Fatal(err)
	}
	c := &http.Client{Transport: &http.Transport{}, Timeout: 30 * time.Second}
	timer := time.AfterFunc(time.Hour, func() { _ = child.Process.Kill() })
	defer timer.Stop()
	for n := 1; ; n++ {
		if n == saves {
			timer.Reset(after)
		}
		e := volumes(1000 + last + 1)
		e.Quick, e.Points = true, 2
		data, err := json.Marshal(e)
		if err != nil {
			t.Fatal(err)
		}
		res, err := c.Post(strings.TrimSpace(base)+"/api/studies/bench/edit", "application/json", bytes.NewReader(data))
		if err != nil {
			return last, true
		}
		body, err := io.ReadAll(res.Body)
		res.Body.Close()
		if err != nil {
			// The head came, so it was saved.
			return last + 1, true
		}
		if res.StatusCode != 200 {
			t.Fatalf("%s: %s", res.Status, body)
		}
		last++
	}
}
