package web

import (
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/coder/websocket"

	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// dial opens the socket of a study as a page does; res is the answer where it does not open.
func (s *shop) dial(name string, head http.Header) (*websocket.Conn, *http.Response, error) {
	ctx, cancel := context.WithTimeout(s.t.Context(), 10*time.Second)
	defer cancel()
	conn, res, err := websocket.Dial(ctx, "ws"+strings.TrimPrefix(s.base, "http")+"/api/studies/"+name+"/tries", &websocket.DialOptions{HTTPHeader: head})
	if conn != nil {
		conn.SetReadLimit(16 << 20)
		s.t.Cleanup(func() { _ = conn.CloseNow() })
	}
	return conn, res, err
}

func (s *shop) socket(name string) *websocket.Conn {
	s.t.Helper()
	conn, _, err := s.dial(name, nil)
	if err != nil {
		s.t.Fatal(err)
	}
	return conn
}

// through sends a message and reads its answer: the first line, and the body.
func (s *shop) through(conn *websocket.Conn, body any) (head, answer string) {
	s.t.Helper()
	data, ok := body.(string)
	if !ok {
		b, err := json.Marshal(body)
		if err != nil {
			s.t.Fatal(err)
		}
		data = string(b)
	}
	ctx, cancel := context.WithTimeout(s.t.Context(), 10*time.Second)
	defer cancel()
	if err := conn.Write(ctx, websocket.MessageText, []byte(data)); err != nil {
		s.t.Fatal(err)
	}
	_, got, err := conn.Read(ctx)
	if err != nil {
		s.t.Fatal(err)
	}
	head, answer, ok = strings.Cut(string(got), "\n")
	if !ok {
		s.t.Fatalf("an answer without a first line: %.100s", got)
	}
	return head, answer
}

func tuned(hz string) Edit {
	return Edit{Changes: []studyfile.Change{{Do: "set", Path: "candidates.tuned.enclosure.tuning", Value: hz}}}
}

// What comes through the socket is what the request would have answered, one after the other.
func TestTriesAreAnsweredAsRequests(t *testing.T) {
	s := open(t)
	conn := s.socket("bench")
	for _, hz := range []string{"31 Hz", "32.5 Hz", "31 Hz"} {
		head, body := s.through(conn, tuned(hz).tried())
		if !strings.HasPrefix(head, "200 answer;dur=") {
			t.Errorf("%s: the first line is %q", hz, head)
		}
		res, want := s.send("POST", "/api/studies/bench/try", tuned(hz).tried())
		if res.StatusCode != 200 {
			t.Fatal(res.Status)
		}
		if body != string(want) {
			t.Fatalf("%s: the request is answered %.300s, the socket %.300s", hz, want, body)
		}
	}
}

// What a request is refused with comes through the socket, which goes on.
func TestTriesAreRefusedAsRequests(t *testing.T) {
	s := open(t)
	conn := s.socket("bench")
	for _, c := range []struct{ message, status string }{
		{`{"changes": `, "400 "},
		{`{"changes": 7}`, "422 "},
		{`{"changes": [{"do": "jump", "path": "drive", "value": "1"}]}`, "422 "},
	} {
		head, body := s.through(conn, c.message)
		res, want := s.send("POST", "/api/studies/bench/try", c.message)
		if !strings.HasPrefix(head, c.status) || !strings.HasPrefix(res.Status, strings.TrimSpace(c.status)) || body != string(want) {
			t.Errorf("%s: answered %q %.300s; the request %s %.300s", c.message, head, body, res.Status, want)
		}
	}
	if head, _ := s.through(conn, tuned("31 Hz").tried()); !strings.HasPrefix(head, "200 ") {
		t.Errorf("after a refusal %q", head)
	}
	broken := open(t, func(s *Server) {
		s.evaluate = func(context.Context, *study.Study, study.Options) (*study.Result, error) { panic("it breaks") }
	})
	to := broken.socket("bench")
	for range 2 { // and the socket outlives it
		head, body := broken.through(to, tuned("33 Hz").tried())
		res, want := broken.send("POST", "/api/studies/bench/try", tuned("33 Hz").tried())
		if !strings.HasPrefix(head, strings.TrimSpace(res.Status[:4])) || !strings.Contains(body, "the program failed") || body != string(want) {
			t.Errorf("a program that breaks: %q %.300s; the request %s %.300s", head, body, res.Status, want)
		}
	}
	if head, _ := s.through(s.socket("nowhere"), tuned("31 Hz").tried()); !strings.HasPrefix(head, "404 ") {
		t.Errorf("a study that is not there: %q", head)
	}
}

// The socket is opened for the server's own page, and by whom it knows.
func TestTriesAreForTheOwnPage(t *testing.T) {
	s := open(t)
	for what, head := range map[string]http.Header{
		"the page of another server":                {"Origin": {"http://elsewhere.example"}},
		"one that says itself that it is elsewhere": {"Sec-Fetch-Site": {"cross-site"}},
	} {
		if _, res, err := s.dial("bench", head); err == nil || res.StatusCode != http.StatusForbidden {
			t.Errorf("%s: %v", what, err)
		}
	}
	res, _ := s.send("GET", "/api/studies/bench/tries", nil)
	if res.StatusCode != http.StatusUpgradeRequired {
		t.Errorf("without a socket: %s", res.Status)
	}
	guarded := open(t, func(s *Server) { s.opt.Token = "a-long-token" })
	if _, res, err := guarded.dial("bench", nil); err == nil || res.StatusCode != http.StatusUnauthorized {
		t.Errorf("without the token: %v", err)
	}
	if _, _, err := guarded.dial("bench", http.Header{"Authorization": {"Bearer a-long-token"}}); err != nil {
		t.Errorf("with the token: %v", err)
	}
}

// There are only so many, a message is only so long, and one that ends makes room.
func TestTriesAreBounded(t *testing.T) {
	s := open(t)
	all := make([]*websocket.Conn, mostSockets)
	for i := range all {
		all[i] = s.socket("bench")
	}
	if _, res, err := s.dial("bench", nil); err == nil || res.StatusCode != http.StatusServiceUnavailable {
		t.Errorf("one too many: %v", err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), 10*time.Second)
	defer cancel()
	_ = all[0].Write(ctx, websocket.MessageText, []byte(strings.Repeat(" ", mostBody+1)))
	if _, _, err := all[0].Read(ctx); websocket.CloseStatus(err) != websocket.StatusMessageTooBig {
		t.Errorf("a message too long: %v", err)
	}
	for end := time.Now().Add(10 * time.Second); ; time.Sleep(5 * time.Millisecond) {
		if _, _, err := s.dial("bench", nil); err == nil {
			return
		}
		if time.Now().After(end) {
			t.Fatal("its place is not free again")
		}
	}
}

// Who leaves ends what is being worked out for him, and the end of the server ends the socket.
func TestTriesEndWithTheirReader(t *testing.T) {
	begun, ended := make(chan struct{}, 1), make(chan error, 1)
	s := open(t, func(s *Server) {
		s.evaluate = func(ctx context.Context, _ *study.Study, _ study.Options) (*study.Result, error) {
			begun <- struct{}{}
			<-ctx.Done()
			ended <- ctx.Err()
			return nil, ctx.Err()
		}
	})
	conn := s.socket("bench")
	data, err := json.Marshal(tuned("31 Hz").tried())
	if err != nil {
		t.Fatal(err)
	}
	if err := conn.Write(t.Context(), websocket.MessageText, data); err != nil {
		t.Fatal(err)
	}
	<-begun
	_ = conn.CloseNow()
	select {
	case err := <-ended:
		if !errors.Is(err, context.Canceled) {
			t.Errorf("it ended with %v", err)
		}
	case <-time.After(5 * time.Second):
		t.Fatal("it is worked out for nobody")
	}

	idle := s.socket("bench")
	s.end()
	ctx, cancel := context.WithTimeout(t.Context(), 5*time.Second)
	defer cancel()
	if _, _, err := idle.Read(ctx); err == nil || ctx.Err() != nil {
		t.Errorf("the server has ended, its socket not: %v", err)
	}
}

// An answer that waits for its reader too long is given up like any other.
func TestTriesAreGivenUp(t *testing.T) {
	left := false
	m := &message{leave: func() { left = true }}
	m.renew()
	f := newFlight()
	land := f.take(m, mostFlight)
	other := &message{leave: func() { t.Error("the newest is given up") }}
	defer f.take(other, 1)()
	if !left {
		t.Error("the oldest is kept")
	}
	land()
}
