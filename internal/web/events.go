package web

import (
	"encoding/json"
	"fmt"
	"maps"
	"net/http"
	"reflect"
	"slices"
	"sync"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"basswright/internal/folder"
)

// Event is what a page is told of a study in the folder.
type Event struct {
	Name     string `json:"name" doc:"of the study"`
	Revision string `json:"revision" doc:"identifies its text; empty if there is none"`
	Gone     bool   `json:"gone" doc:"the file is no longer there"`
	Fault    string `json:"fault" doc:"why the file cannot be read; empty if it can"`
	// Overtaken is the state of the history with an edit by another program that a
	// save came before; 0 if there is none.
	Overtaken int `json:"overtaken" doc:"id in the history of an edit by another program that a save came before; 0: none"`
}

const eventsPath = "/api/events"

// describeEvents puts the stream into the description of the interface. It is
// served beside the other operations, because a stream has no answer that ends.
func (s *Server) describeEvents() {
	event := s.api.OpenAPI().Components.Schemas.Schema(reflect.TypeFor[Event](), true, "Event")
	s.api.OpenAPI().AddOperation(&huma.Operation{
		OperationID: "followStudies", Method: http.MethodGet, Path: eventsPath, Summary: "Be told of changes, as server-sent events",
		Description: "An event hello begins the stream; its data is the version of the program, as JSON text. Each event change has an Event as its data.",
		Responses: map[string]*huma.Response{
			"200": {Description: "A stream that does not end", Content: map[string]*huma.MediaType{"text/event-stream": {Schema: event}}},
			"503": {Description: "Too many pages follow the folder", Content: map[string]*huma.MediaType{"text/plain": {Schema: &huma.Schema{Type: huma.TypeString}}}},
		},
	})
}

// A hub passes changes on to the pages. A page that does not keep up is told the
// last change of each study, not all of them.
type hub struct {
	mu     sync.Mutex
	pages  map[*listener]bool
	closed bool
}

type listener struct {
	mu      sync.Mutex
	pending map[string]Event
	woken   chan struct{}
}

func newHub() *hub { return &hub{pages: map[*listener]bool{}} }

func (h *hub) follow(changes <-chan folder.Change) {
	for c := range changes {
		h.tell(Event{c.Name, c.Revision, c.Gone, c.Fault, c.Overtaken})
	}
}

func (h *hub) tell(e Event) {
	h.mu.Lock()
	defer h.mu.Unlock()
	for l := range h.pages {
		l.mu.Lock()
		e.Overtaken = max(e.Overtaken, l.pending[e.Name].Overtaken)
		l.pending[e.Name] = e
		l.mu.Unlock()
		l.wake()
	}
}

func (l *listener) wake() {
	select {
	case l.woken <- struct{}{}:
	default:
	}
}

func (h *hub) join() (*listener, bool) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.closed || len(h.pages) >= mostStreams {
		return nil, false
	}
	l := &listener{pending: map[string]Event{}, woken: make(chan struct{}, 1)}
	h.pages[l] = true
	return l, true
}

func (h *hub) leave(l *listener) {
	h.mu.Lock()
	defer h.mu.Unlock()
	delete(h.pages, l)
}

// close ends all streams.
func (h *hub) close() {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.closed = true
	for l := range h.pages {
		l.wake()
	}
}

func (h *hub) ended() bool {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.closed
}

// beat is how often a stream shows that it is alive.
const beat = 15 * time.Second

// events streams changes as server-sent events.
func (s *Server) events(w http.ResponseWriter, r *http.Request) {
	l, ok := s.hub.join()
	if !ok {
		refuse(w, http.StatusServiceUnavailable, "too many pages are open")
		return
	}
	defer s.hub.leave(l)
	c := http.NewResponseController(w)
	_ = c.SetReadDeadline(time.Time{})
	w.Header().Set("Content-Type", "text/event-stream")
	w.Header().Set("Cache-Control", "no-store")
	say := func(format string, args ...any) bool {
		_ = c.SetWriteDeadline(time.Now().Add(beat))
		_, err := fmt.Fprintf(w, format, args...)
		return err == nil && c.Flush() == nil
	}
	if !say("retry: 1000\nevent: hello\ndata: %q\n\n", s.opt.Version) {
		return
	}
	tick := time.NewTicker(beat)
	defer tick.Stop()
	for {
		select {
		case <-r.Context().Done():
			return
		case <-tick.C:
			if !say(": \n\n") {
				return
			}
		case <-l.woken:
			if s.hub.ended() {
				return
			}
			l.mu.Lock()
			told := l.pending
			l.pending = map[string]Event{}
			l.mu.Unlock()
			for _, name := range slices.Sorted(maps.Keys(told)) {
				e := told[name]
				data, err := json.Marshal(e)
				if err != nil || !say("event: change\ndata: %s\n\n", data) {
					return
				}
			}
		}
	}
}
