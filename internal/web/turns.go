package web

import (
	"context"
	"errors"
	"net/http"
	"sync"
	"time"

	"github.com/danielgtaylor/huma/v2"
)

// A queue shares out computing time, so that what hangs or floods is its own
// study's alone: one study has at most half of the turns, and never all places of
// those that wait. A turn that lasts becomes a slow one, of which there are a few
// beside the others, or ends where those are taken and others wait: so several
// studies that take long leave the turns to those that do not. A study that took
// long the last time begins among the slow, one turn at a time: on a slow machine
// that may be any study, and those that are worse must leave it room. What is known
// to last, whatever the study, is always there, and has a share of its own: a number
// that is dragged meanwhile does not wait for it.
type queue struct {
	turns    chan struct{}
	slow     chan struct{}
	patience time.Duration // for a turn
	mu       sync.Mutex
	waiting  int                  // for a turn or at it
	queued   int                  // for a turn of all but the slow
	shares   map[asking]*share    // gone when nobody asks for it
	lasted   map[string]time.Time // studies that took long, and when; at most mostLasted
}

// asking is what a share is for: a study, and of it what is known to last.
type asking struct {
	study string
	long  bool
}

type share struct {
	turns chan struct{}
	slow  chan struct{}
	users int
}

const mostLasted = 256

func newQueue() *queue {
	return &queue{turns: make(chan struct{}, mostWork), slow: make(chan struct{}, mostSlow), patience: waitTime, shares: map[asking]*share{}, lasted: map[string]time.Time{}}
}

// enter finds the share, or says that too much is asked.
func (q *queue) enter(what asking, most int) (*share, bool) {
	q.mu.Lock()
	defer q.mu.Unlock()
	s := q.shares[what]
	if q.waiting >= mostWaiting || s != nil && s.users >= most {
		return nil, false
	}
	if s == nil {
		s = &share{turns: make(chan struct{}, mostWorkOne), slow: make(chan struct{}, 1)}
		q.shares[what] = s
	}
	s.users++
	q.waiting++
	return s, true
}

func (q *queue) leave(what asking, s *share) {
	q.mu.Lock()
	defer q.mu.Unlock()
	q.waiting--
	if s.users--; s.users == 0 {
		delete(q.shares, what)
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

// take waits for a place, but neither longer than the context nor until it is late.
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
	return s.admit(ctx, name, false)
}

// lengthy is a turn for what is known to last.
func (s *Server) lengthy(ctx context.Context, name string) (_ context.Context, done func(), _ error) {
	return s.admit(ctx, name, true)
}

func (s *Server) admit(ctx context.Context, name string, long bool) (_ context.Context, done func(), _ error) {
	q := s.queue
	what, most := asking{name, long}, mostWaitingOne
	if long {
		most = mostWaitingLong
	}
	own, ok := q.enter(what, most)
	if !ok {
		return nil, nil, busy("too much is asked at once; try again")
	}
	late := time.NewTimer(q.patience)
	defer late.Stop()
	if err := take(ctx, own.turns, late.C); err != nil {
		q.leave(what, own)
		return nil, nil, err
	}
	lane := q.slow
	if !long {
		lane = q.lane(name)
	}
	if err := q.board(ctx, own, lane, late.C); err != nil {
		<-own.turns
		q.leave(what, own)
		return nil, nil, err
	}
	asker := ctx
	ctx, end := context.WithCancelCause(ctx)
	t := &turning{queue: q, own: own, lane: lane, stop: func() { end(errYielded) }}
	begun := time.Now()
	t.watch(slowTime)
	over := sync.OnceFunc(func() {
		t.end()
		// One that was given up early says nothing of how long it would have been.
		if lasted := time.Since(begun) > slowTime; !long && (lasted || asker.Err() == nil) {
			q.took(name, lasted)
		}
		<-own.turns
		q.leave(what, own)
	})
	ctx, cancel := context.WithTimeout(turnContext{ctx}, workTime)
	if x := exchangeOf(ctx); x != nil {
		x.over = over
		return ctx, cancel, nil
	}
	return ctx, func() { cancel(); over() }, nil
}

// board waits for a place in a lane. Among the slow a study has one at a time.
func (q *queue) board(ctx context.Context, own *share, lane chan struct{}, late <-chan time.Time) error {
	if lane == q.turns {
		q.queue(1)
		defer q.queue(-1)
		return take(ctx, lane, late)
	}
	if err := take(ctx, own.slow, late); err != nil {
		return err
	}
	err := take(ctx, lane, late)
	if err != nil {
		<-own.slow
	}
	return err
}

func (q *queue) queue(n int) {
	q.mu.Lock()
	defer q.mu.Unlock()
	q.queued += n
}

func (q *queue) wanted() bool {
	q.mu.Lock()
	defer q.mu.Unlock()
	return q.queued > 0
}

// turning is a turn that goes on.
type turning struct {
	queue *queue
	own   *share
	stop  func() // ends what it does

	mu    sync.Mutex
	lane  chan struct{}
	ended bool
	timer *time.Timer
}

// watch looks after a while whether it should make room.
func (t *turning) watch(after time.Duration) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.timer = time.AfterFunc(after, t.yield)
}

// yield makes room, where it lasts: among the slow ones, or by ending.
func (t *turning) yield() {
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.ended || t.lane == t.queue.slow {
		return
	}
	if try(t.own.slow) {
		if try(t.queue.slow) {
			<-t.lane
			t.lane = t.queue.slow
			return
		}
		<-t.own.slow
	}
	if t.queue.wanted() {
		t.stop()
		return
	}
	t.timer.Reset(slowTime / 10)
}

func (t *turning) end() {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.ended = true
	t.timer.Stop()
	<-t.lane
	if t.lane == t.queue.slow {
		<-t.own.slow
	}
}

// try takes a place if one is free.
func try(places chan struct{}) bool {
	select {
	case places <- struct{}{}:
		return true
	default:
		return false
	}
}

// errYielded is the end of a turn that lasted while others waited.
var errYielded = errors.New("it takes long, and others wait; try again")

// turnContext says why it ended, where others waited.
type turnContext struct{ context.Context }

func (c turnContext) Err() error {
	if context.Cause(c.Context) == errYielded {
		return errYielded
	}
	return c.Context.Err()
}
