package web

import (
	"context"
	"net/http"
	"sync"
	"time"

	"github.com/danielgtaylor/huma/v2"
)

// A queue shares out computing time, so that what hangs or floods is its own
// study's alone: one study has at most half of the turns, and never all places of
// those that wait. A turn that lasts becomes a slow one, of which there are as many
// beside the others: so several studies that take long leave the turns to those
// that do not, and a study that took long the last time begins among the slow.
type queue struct {
	turns   chan struct{}
	slow    chan struct{}
	mu      sync.Mutex
	waiting int
	shares  map[string]*share    // by study; gone when nobody asks for it
	lasted  map[string]time.Time // studies that took long, and when; at most mostLasted
}

type share struct {
	turns chan struct{}
	users int
}

const mostLasted = 256

func newQueue() *queue {
	return &queue{turns: make(chan struct{}, mostWork), slow: make(chan struct{}, mostSlow), shares: map[string]*share{}, lasted: map[string]time.Time{}}
}

// enter finds the share of a study, or says that too much is asked.
func (q *queue) enter(name string) (*share, bool) {
	q.mu.Lock()
	defer q.mu.Unlock()
	s := q.shares[name]
	if q.waiting >= mostWaiting || s != nil && s.users >= mostWaitingOne {
		return nil, false
	}
	if s == nil {
		s = &share{turns: make(chan struct{}, mostWorkOne)}
		q.shares[name] = s
	}
	s.users++
	q.waiting++
	return s, true
}

func (q *queue) leave(name string, s *share) {
	q.mu.Lock()
	defer q.mu.Unlock()
	q.waiting--
	if s.users--; s.users == 0 {
		delete(q.shares, name)
	}
}

// took notes how long a study's turn was.
func (q *queue) took(name string, long bool) {
	q.mu.Lock()
	defer q.mu.Unlock()
	if !long {
		delete(q.lasted, name)
		return
	}
	for other := range q.lasted {
		if len(q.lasted) < mostLasted {
			break
		}
		delete(q.lasted, other) // whichever: it will show again what it is
	}
	q.lasted[name] = time.Now()
}

// lane is where a study's next turn is.
func (q *queue) lane(name string) chan struct{} {
	q.mu.Lock()
	defer q.mu.Unlock()
	if when, ok := q.lasted[name]; ok && time.Since(when) < slowMemory {
		return q.slow
	}
	return q.turns
}

// take waits for a place, but neither longer than the context nor than waitTime.
func take(ctx context.Context, places chan struct{}, late <-chan time.Time) error {
	select {
	case places <- struct{}{}:
		return nil
	case <-ctx.Done():
		return wrong(ctx.Err())
	case <-late:
		return busy("others are being computed, and this would have waited too long; try again")
	}
}

func busy(why string) error {
	return huma.ErrorWithHeaders(huma.Error503ServiceUnavailable(why), http.Header{"Retry-After": {"2"}})
}

// turn waits for the study's turn to do what costs time, or gives up. What would
// wait behind too many others is refused, so that a flood cannot pile up. The
// context that it returns ends when the turn has taken too long. The turn is given
// back with done; where it makes an answer, when that is ready to be sent, so that
// no more answers are made at once than there are turns.
func (s *Server) turn(ctx context.Context, name string) (_ context.Context, done func(), _ error) {
	q := s.queue
	own, ok := q.enter(name)
	if !ok {
		return nil, nil, busy("too much is asked at once; try again")
	}
	late := time.NewTimer(waitTime)
	defer late.Stop()
	if err := take(ctx, own.turns, late.C); err != nil {
		q.leave(name, own)
		return nil, nil, err
	}
	lane := q.lane(name)
	if err := take(ctx, lane, late.C); err != nil {
		<-own.turns
		q.leave(name, own)
		return nil, nil, err
	}
	t := &turning{lane: lane}
	begun := time.Now()
	long := time.AfterFunc(slowTime, func() { t.yield(q) })
	over := sync.OnceFunc(func() {
		long.Stop()
		t.end()
		q.took(name, time.Since(begun) > slowTime)
		<-own.turns
		q.leave(name, own)
	})
	ctx, cancel := context.WithTimeout(ctx, workTime)
	if x := exchangeOf(ctx); x != nil {
		x.over = over
		return ctx, cancel, nil
	}
	return ctx, func() { cancel(); over() }, nil
}

// turning is a turn that goes on.
type turning struct {
	mu    sync.Mutex
	lane  chan struct{}
	ended bool
}

// yield makes it a slow one, if there is room among them.
func (t *turning) yield(q *queue) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.ended || t.lane == q.slow {
		return
	}
	select {
	case q.slow <- struct{}{}:
		<-t.lane
		t.lane = q.slow
	default:
	}
}

func (t *turning) end() {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.ended = true
	<-t.lane
}
