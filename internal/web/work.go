package web

import (
	"context"
	"net/http"

	"github.com/danielgtaylor/huma/v2"
)

// busy takes a turn for work that costs time, or gives up: what would wait
// behind too many others is refused, so that a flood cannot pile up.
func (s *Server) busy(ctx context.Context) (done func(), err error) {
	select {
	case s.waiting <- struct{}{}:
	default:
		return nil, huma.Error503ServiceUnavailable("too much is asked at once; try again")
	}
	select {
	case s.turns <- struct{}{}:
		return func() { <-s.turns; <-s.waiting }, nil
	case <-ctx.Done():
		<-s.waiting
		return nil, huma.NewError(http.StatusRequestTimeout, "given up")
	}
}
