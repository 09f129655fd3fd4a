package web

import (
	"context"
	"fmt"
	"net/http"
	"sync"
	"time"
)

// An exchange is one request until its answer is sent. An answer that is ready to
// be sent gives its turn back: whoever reads slowly keeps no turn, but the bytes
// that wait for readers are bounded (flight). Its head says what the server took, from
// the request's head until the answer was made (W3C Server Timing).
type exchange struct {
	http.ResponseWriter
	flight *flight
	over   func() // gives the turn back; may be called again
	begun  time.Time
	code   int // to be sent with the first bytes
	sent   bool
}

type exchangeKey struct{}

func exchangeOf(ctx context.Context) *exchange {
	x, _ := ctx.Value(exchangeKey{}).(*exchange)
	return x
}

// exchanged bounds the answers that next gives.
func (f *flight) exchanged(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		x := &exchange{ResponseWriter: w, flight: f, over: func() {}, begun: time.Now()}
		defer func() { x.over() }()
		next.ServeHTTP(x, r.WithContext(context.WithValue(r.Context(), exchangeKey{}, x)))
		if !x.sent && x.code != 0 {
			w.WriteHeader(x.code)
		}
	})
}

// Unwrap lets http.ResponseController through.
func (x *exchange) Unwrap() http.ResponseWriter { return x.ResponseWriter }

// WriteHeader waits with the status for the first bytes of the answer.
func (x *exchange) WriteHeader(code int) {
	if !x.sent {
		x.code = code
	}
}

func (x *exchange) Write(p []byte) (int, error) {
	x.over()
	if !x.sent {
		x.Header().Set("Server-Timing", fmt.Sprintf("answer;dur=%.3f", 1e3*time.Since(x.begun).Seconds()))
		if x.code != 0 {
			x.ResponseWriter.WriteHeader(x.code)
		}
	}
	x.sent = true
	land := x.flight.take(x.ResponseWriter, len(p))
	defer land()
	return x.ResponseWriter.Write(p)
}

// flight knows the answers that are being sent. Where more bytes than mostFlight
// wait for those who asked for them, the one that has waited longest is given up:
// so neither does memory grow, nor can who reads slowly keep others from reading.
type flight struct {
	mu    sync.Mutex
	bytes int
	last  int
	under map[int]*sending
}

type sending struct {
	to    http.ResponseWriter
	bytes int
}

func newFlight() *flight { return &flight{under: map[int]*sending{}} }

// take counts bytes that are about to be sent; land says that they were.
func (f *flight) take(to http.ResponseWriter, bytes int) (land func()) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.last++
	id := f.last
	f.under[id] = &sending{to, bytes}
	f.bytes += bytes
	for f.bytes > mostFlight && len(f.under) > 1 {
		oldest := id
		for other := range f.under {
			oldest = min(oldest, other)
		}
		_ = http.NewResponseController(f.under[oldest].to).SetWriteDeadline(time.Now()) // which ends its Write
		f.remove(oldest)
	}
	return func() {
		f.mu.Lock()
		defer f.mu.Unlock()
		f.remove(id)
	}
}

func (f *flight) remove(id int) {
	if s := f.under[id]; s != nil {
		f.bytes -= s.bytes
		delete(f.under, id)
	}
}
