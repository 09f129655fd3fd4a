package study_test

import (
	"context"
	"math"
	"path/filepath"
	"testing"

	"basswright/internal/study"
)

// The longest delay is that of a fine sweep, as far as the sound is heard: read from the
// curves, which know nothing of searches. Between two of its points, a thousandth of an
// octave apart, the sharpest peak of the examples (a Q of some 60) falls by less than
// 0.5 %; the sweep cannot see more than the search has found, but for rounding.
func TestLongestDelayIsThatOfAFineSweep(t *testing.T) {
	files, err := filepath.Glob("../../examples/*.yaml")
	if err != nil || len(files) < 10 {
		t.Fatal(files, err)
	}
	silent := 0
	for _, file := range files {
		st := read(t, file)
		from, to := st.LimitsFrom(), math.Max(1000, 2*st.LimitsFrom())
		points := int(1000 * math.Log2(to/from))
		r, err := study.Evaluate(context.Background(), st, study.Options{From: from, To: to, Points: points})
		if err != nil {
			t.Fatal(err)
		}
		for _, o := range r.Candidates {
			level := o.Curves.SPL
			if o.Curves.Plain != nil {
				level = o.Curves.Plain
			}
			longest, unheard := 0.0, false
			for k, l := range level {
				if l < float64(o.Figures.Reference)-20 {
					unheard = true
					continue
				}
				longest = math.Max(longest, o.Curves.GroupDelay[k])
			}
			if unheard {
				silent++
			}
			if told := float64(o.Figures.GroupDelay.Value); told < longest*(1-1e-9) || told > longest*1.005 {
				t.Errorf("%s, %s: told %g s at %g Hz, in a sweep %g s", file, o.Candidate.Name, told, o.Figures.GroupDelay.At, longest)
			}
		}
	}
	if silent < 6 {
		t.Errorf("of %d candidates there is anything that is not heard", silent)
	}
}
