package web

import (
	"bytes"
	"context"
	"fmt"
	"net/http"
	"strings"
	"sync/atomic"
	"time"

	"github.com/coder/websocket"
	"github.com/danielgtaylor/huma/v2"
)

// A page that drags a number asks many times a second what would be, and a request of its
// own costs a browser several times what its answer costs the server. So they go through
// a socket (RFC 6455): a message is the body of a request to try, and its answer comes
// back as one, status and timing in its first line. One is under way at a time, and each
// passes all that a request passes: the same bounds, the same turns, the same answer.

const (
	mostSockets = 64          // pages that have a number in hand
	socketIdle  = time.Minute // without a message
	mostKept    = 1 << 20     // bytes of an answer's memory that a socket keeps for the next
)

func triesPath(name string) string { return "/api/studies/" + name + "/tries" }

// describeTries puts the socket into the description of the interface: it is served beside
// the other operations, because it has no answer that ends.
func (s *Server) describeTries() {
	text := map[string]*huma.MediaType{"text/plain": {Schema: &huma.Schema{Type: huma.TypeString}}}
	s.api.OpenAPI().AddOperation(&huma.Operation{
		OperationID: "tryMany", Method: http.MethodGet, Path: triesPath("{name}"), Summary: "Evaluate a study with changes, again and again, through a socket",
		Description: "A message is the body of tryChanges. Its answer is a message: the status and the Server-Timing of the answer to tryChanges, separated by a space, a line feed, and its body.",
		Parameters:  []*huma.Param{{Name: "name", In: "path", Required: true, Schema: &huma.Schema{Type: huma.TypeString}}},
		Responses: map[string]*huma.Response{
			"101": {Description: "The protocol is that of a WebSocket from here on"},
			"426": {Description: "No WebSocket was asked for", Content: text},
			"503": {Description: "Too many pages have one", Content: text},
		},
	})
}

// tries serves a socket; each message is answered as next answers a request.
func (s *Server) tries(next http.Handler) http.HandlerFunc {
	var open atomic.Int32
	return func(w http.ResponseWriter, r *http.Request) {
		if open.Add(1) > mostSockets {
			open.Add(-1)
			refuse(w, http.StatusServiceUnavailable, "too many pages are open")
			return
		}
		defer open.Add(-1)
		s.sockets.Add(1)
		defer s.sockets.Done()
		to := strings.TrimSuffix(r.URL.EscapedPath(), "/tries") + "/try"
		conn, err := websocket.Accept(exchangeOf(r.Context()).ResponseWriter, r, nil)
		if err != nil {
			return // it has been said
		}
		defer func() { _ = conn.CloseNow() }()
		conn.SetReadLimit(mostBody)
		ctx, leave := context.WithCancel(r.Context())
		defer leave()
		m := &message{leave: leave}
		m.renew()
		for body := range messages(ctx, leave, conn) {
			req, err := http.NewRequestWithContext(ctx, http.MethodPost, to, bytes.NewReader(body))
			if err != nil {
				return
			}
			req.Header.Set("Content-Type", "application/json")
			next.ServeHTTP(m, req)
			if !s.say(ctx, conn, m) {
				return
			}
			s.garbage.spare()
		}
	}
}

// ends waits for what the sockets still do, which the server does not know of.
func (s *Server) ends(grace context.Context) {
	over := make(chan struct{})
	go func() {
		s.sockets.Wait()
		close(over)
	}()
	select {
	case <-over:
	case <-grace.Done():
	}
}

// messages are those that come in, until none has for a while or the one who sends them
// leaves, which ends what is being answered. Who sends more than is answered waits, and is
// not seen to leave before that is.
func messages(ctx context.Context, leave func(), conn *websocket.Conn) func(func([]byte) bool) {
	come := make(chan []byte)
	go func() {
		defer leave()
		for {
			_, data, err := conn.Read(ctx)
			if err != nil {
				return
			}
			select {
			case come <- data:
			case <-ctx.Done():
				return
			}
		}
	}()
	return func(yield func([]byte) bool) {
		idle := time.NewTimer(socketIdle)
		defer idle.Stop()
		for {
			idle.Reset(socketIdle)
			select {
			case data := <-come:
				if !yield(data) {
					return
				}
			case <-idle.C:
				return
			case <-ctx.Done():
				return
			}
		}
	}
}

// say sends an answer; false if nobody is there to read it.
func (s *Server) say(ctx context.Context, conn *websocket.Conn, m *message) bool {
	land := s.flight.take(m, m.body.Len())
	defer land()
	defer m.renew()
	ctx, cancel := context.WithTimeout(ctx, sendTime)
	defer cancel()
	out, err := conn.Writer(ctx, websocket.MessageText)
	if err != nil {
		return false
	}
	if _, err = fmt.Fprintf(out, "%d %s\n", m.status(), m.head.Get("Server-Timing")); err == nil {
		_, err = m.body.WriteTo(out)
	}
	return out.Close() == nil && err == nil
}

// A message is an answer that goes through a socket; the next takes the place of the last.
type message struct {
	head  http.Header
	code  int
	body  bytes.Buffer
	leave func()
}

func (m *message) renew() {
	m.head, m.code = http.Header{}, 0
	m.body.Reset()
	if m.body.Cap() > mostKept {
		m.body = bytes.Buffer{}
	}
}

func (m *message) Header() http.Header { return m.head }

func (m *message) WriteHeader(code int) {
	if m.code == 0 {
		m.code = code
	}
}

func (m *message) Write(p []byte) (int, error) { return m.body.Write(p) }

// SetWriteDeadline is how an answer that waits too long for its reader is given up.
func (m *message) SetWriteDeadline(time.Time) error {
	m.leave()
	return nil
}

func (m *message) status() int {
	if m.code == 0 {
		return http.StatusOK
	}
	return m.code
}
