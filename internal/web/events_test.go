package web

import (
	"bufio"
	"encoding/json"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"basswright/internal/folder"
)

// A follower is a page that is told of changes.
type follower struct {
	t     *testing.T
	told  chan Event // closed when the stream ends
	close func() error
}

func (s *shop) follow() *follower {
	s.t.Helper()
	res, err := (&http.Client{}).Get(s.base + "/api/events")
	if err != nil {
		s.t.Fatal(err)
	}
	if res.StatusCode != 200 || res.Header.Get("Content-Type") != "text/event-stream" {
		s.t.Fatalf("%s %v", res.Status, res.Header)
	}
	f := &follower{s.t, make(chan Event, 100), res.Body.Close}
	lines := bufio.NewScanner(res.Body)
	for lines.Scan() && !strings.HasPrefix(lines.Text(), "data: ") {
		continue // up to the hello, after which nothing is missed
	}
	if lines.Text() != `data: "test"` {
		s.t.Fatalf("the stream begins with %q", lines.Text())
	}
	go func() {
		defer close(f.told)
		for lines.Scan() {
			var e Event
			if data, ok := strings.CutPrefix(lines.Text(), "data: "); ok && json.Unmarshal([]byte(data), &e) == nil {
				f.told <- e
			}
		}
	}()
	s.t.Cleanup(func() { res.Body.Close() })
	return f
}

// wait waits for an event, for at most the second that the page may take.
func (f *follower) wait(is func(Event) bool) Event {
	f.t.Helper()
	late := time.After(time.Second)
	for {
		select {
		case e, ok := <-f.told:
			if !ok {
				f.t.Fatal("the stream has ended")
			}
			if is(e) {
				return e
			}
		case <-late:
			f.t.Fatal("nothing was told within a second")
		}
	}
}

// What another program does is told to every page within a second.
func TestChangesAreTold(t *testing.T) {
	s := open(t)
	s.view()
	pages := []*follower{s.follow(), s.follow(), s.follow()}
	text := s.disk("bench.yaml") + "# by an editor\n"
	put(t, s.dir, "bench.yaml", text)
	put(t, s.dir, "fresh.yaml", "study: Fresh\n")
	for _, p := range pages {
		p.wait(func(e Event) bool { return e.Name == "bench" && e.Revision == folder.Revision([]byte(text)) })
	}
	pages[0].close() // a page that goes is no trouble to others
	if err := os.Remove(filepath.Join(s.dir, "fresh.yaml")); err != nil {
		t.Fatal(err)
	}
	pages[1].wait(func(e Event) bool { return e.Name == "fresh" && e.Gone })
	v := ask[View](s, 200, "POST", "/api/studies/bench/edit", volumes(27))
	pages[2].wait(func(e Event) bool { return e.Name == "bench" && e.Revision == v.Revision })
	put(t, s.dir, "bench.yaml", strings.Repeat("# heath\n", 200_000))
	pages[2].wait(func(e Event) bool { return e.Name == "bench" && e.Fault != "" })
}

// A page that does not read keeps no other from being told, and no memory.
func TestSlowPage(t *testing.T) {
	s := open(t)
	raw, err := net.Dial("tcp", strings.TrimPrefix(s.base, "http://"))
	if err != nil {
		t.Fatal(err)
	}
	defer raw.Close()
	host := strings.TrimPrefix(s.base, "http://")
	if _, err := io.WriteString(raw, "GET /api/events HTTP/1.1\r\nHost: "+host+"\r\n\r\n"); err != nil {
		t.Fatal(err)
	}
	brisk := s.follow()
	name := strings.Repeat("n", 100)
	for n := range 20_000 { // several MB: more than the buffers of a connection
		s.hub.tell(Event{Name: name[:50+n%50], Revision: "r", Fault: strings.Repeat("f", 300)})
	}
	s.hub.tell(Event{Name: "last", Revision: "r"})
	brisk.wait(func(e Event) bool { return e.Name == "last" })
	s.hub.mu.Lock()
	defer s.hub.mu.Unlock()
	if len(s.hub.pages) != 2 {
		t.Errorf("%d pages, want 2", len(s.hub.pages))
	}
	for l := range s.hub.pages {
		l.mu.Lock()
		if len(l.pending) > 51 {
			t.Errorf("%d changes wait for one page, of 51 studies", len(l.pending))
		}
		l.mu.Unlock()
	}
}

func TestStreamsEndWithTheServer(t *testing.T) {
	s := open(t)
	pages := []*follower{s.follow(), s.follow()}
	start := time.Now()
	s.end()
	if d := time.Since(start); d > 2*time.Second {
		t.Errorf("the end took %v: streams held it up", d)
	}
	for _, p := range pages {
		for range p.told { // until it is closed
		}
	}
}

// The 65th page is told that it is too many; where one leaves there is room.
func TestManyStreams(t *testing.T) {
	s := open(t)
	var open []*http.Response
	refused := 0
	for range 300 {
		res, err := (&http.Client{}).Get(s.base + "/api/events")
		if err != nil {
			t.Fatal(err)
		}
		defer res.Body.Close()
		switch res.StatusCode {
		case 200:
			open = append(open, res)
		case 503:
			refused++
		default:
			t.Fatal(res.Status)
		}
	}
	if len(open) != mostStreams || refused != 300-mostStreams {
		t.Errorf("%d streams are open, %d were refused", len(open), refused)
	}
	if v := s.view(); v.Result == nil {
		t.Error("with all streams open no study can be seen")
	}
	open[0].Body.Close()
	for end := time.Now().Add(2 * time.Second); ; {
		res, err := (&http.Client{}).Get(s.base + "/api/events")
		if err != nil {
			t.Fatal(err)
		}
		defer res.Body.Close()
		if res.StatusCode == 200 {
			return
		}
		if time.Now().After(end) {
			t.Fatal("a stream that has ended keeps its place")
		}
		time.Sleep(10 * time.Millisecond)
	}
}
