package study_test

import (
	"context"
	"strings"
	"testing"

	"basswright/internal/study"
)

// A study without an amplifier has none that could be loaded.
func TestSummaryNamesNoAmplifierThatIsNotThere(t *testing.T) {
	st := example(t, "camper-bench")
	for _, want := range []string{" and loads the amplifier with ", " and loads an amplifier with "} {
		r, err := study.Evaluate(context.Background(), st, study.Options{Points: 20})
		if err != nil {
			t.Fatal(err)
		}
		if cost := r.Candidates[0].Summary[0]; !strings.Contains(cost, want) {
			t.Errorf("it says %q, not %q", cost, want)
		}
		st.Amplifier = nil
	}
}
