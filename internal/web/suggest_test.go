package web

import (
	"context"
	"errors"
	"testing"

	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// Who has given up what they asked for has no more computed for them.
func TestResultEndsWithItsContext(t *testing.T) {
	s := open(t)
	st, err := studyfile.Parse(samples(t)["camper-bench"], "bench.yaml")
	if err != nil {
		t.Fatal(err)
	}
	r, err := study.Evaluate(t.Context(), st, study.Options{Points: 2})
	if err != nil {
		t.Fatal(err)
	}
	gone, leave := context.WithCancel(t.Context())
	leave()
	if out, err := s.result(gone, r, Ask{Suggest: true}); !errors.Is(err, context.Canceled) || out != nil {
		t.Errorf("%v, %v", out, err)
	}
	if out, err := s.result(t.Context(), r, Ask{Suggest: true}); err != nil || len(out.Candidates) != len(r.Candidates) || len(out.Candidates[0].Variants) == 0 {
		t.Errorf("%v, %v", out, err)
	}
}
