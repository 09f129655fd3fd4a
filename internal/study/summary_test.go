package study_test

import (
	"strings"
	"testing"
)

// What a customer is told to get at most at 40 Hz is less than what the box gives where
// that lies below its extension: the sentence says so.
func TestTheMostBelowTheExtensionIsSaidToBeBelow(t *testing.T) {
	seen := map[bool]bool{}
	for _, name := range []string{"camper-bench", "salt-road"} {
		for _, o := range evaluated(t, example(t, name)).Candidates {
			gives := o.Summary[2]
			if !strings.Contains(gives, "at 40\u2009Hz") {
				continue
			}
			below := float64(o.Figures.F3) > 40
			seen[below] = true
			if strings.Contains(gives, "at 40\u2009Hz, which lies below its F3") != below {
				t.Errorf("%s, F3 %.4g Hz: %q", o.Candidate.Name, float64(o.Figures.F3), gives)
			}
		}
	}
	if !seen[true] || !seen[false] {
		t.Errorf("only one kind is met: %v", seen)
	}
}
