package web

import (
	"errors"
	"fmt"
	"net"
	"net/http"
	"runtime/debug"
)

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
