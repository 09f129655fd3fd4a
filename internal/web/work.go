package web

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"runtime/debug"
	"sync"

	"github.com/danielgtaylor/huma/v2"
)

// A queue shares out computing time. One study never has all turns, and never
// all places of those that wait: what hangs or floods is that study's alone.
type queue struct {
	turns   chan struct{}
	mu      sync.Mutex
	waiting int
	shares  map[string]*share // by study; gone when nobody asks for it
}

type share struct {
	turns chan struct{}
	users int
}

func newQueue() *queue {
	return &queue{turns: make(chan struct{}, mostWork), shares: map[string]*share{}}
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

// turn waits for the study's turn to do what costs time, or gives up. What would
// wait behind too many others is refused, so that a flood cannot pile up. The
// context that it returns ends when the turn has taken too long.
func (s *Server) turn(ctx context.Context, name string) (_ context.Context, done func(), _ error) {
	q := s.queue
	own, ok := q.enter(name)
	if !ok {
		return nil, nil, huma.Error503ServiceUnavailable("too much is asked at once; try again")
	}
	for i, turns := range []chan struct{}{own.turns, q.turns} {
		select {
		case turns <- struct{}{}:
		case <-ctx.Done():
			if i > 0 {
				<-own.turns
			}
			q.leave(name, own)
			return nil, nil, wrong(ctx.Err())
		}
	}
	ctx, cancel := context.WithTimeout(ctx, workTime)
	return ctx, func() {
		cancel()
		<-q.turns
		<-own.turns
		q.leave(name, own)
	}, nil
}

// brokenError is a panic: a fault of the program, that a study has found.
type brokenError struct {
	value any
	stack []byte
}

func (e *brokenError) Error() string {
	return fmt.Sprintf("the program failed on this study (%v); nothing is lost, and taking back the last change helps", e.value)
}

// guarded does something that a study may make fail as no study should, so that
// it ends one answer and not the server.
func (s *Server) guarded(do func() error) (err error) {
	defer func() {
		if v := recover(); v != nil {
			broken := &brokenError{v, debug.Stack()}
			s.log("a study made the program fail", broken)
			err = broken
		}
	}()
	return do()
}

// recovered answers where a handler fails outside of what is guarded.
func (s *Server) recovered(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		defer func() {
			v := recover()
			if v == nil {
				return
			}
			if v == http.ErrAbortHandler {
				panic(v)
			}
			var gone *net.OpError
			if err, ok := v.(error); ok && errors.As(err, &gone) || r.Context().Err() != nil {
				return // the one who asked has left in the midst of the answer
			}
			s.log("a request made the program fail", &brokenError{v, debug.Stack()})
			refuse(w, http.StatusInternalServerError, "the program failed on this request; nothing was lost by it")
		}()
		next.ServeHTTP(w, r)
	})
}

func (s *Server) log(text string, e *brokenError) {
	if s.opt.Log != nil {
		s.opt.Log.Error(text, "panic", fmt.Sprint(e.value), "stack", string(e.stack))
	}
}
