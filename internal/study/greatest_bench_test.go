package study_test

import (
	"os"
	"testing"

	"basswright/internal/enclosure"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// The greatest output of six candidates at 400 frequencies, each bound alone and
// the envelope.
func BenchmarkGreatestOfSix(b *testing.B) {
	text, err := os.ReadFile("../../examples/camper-bench.yaml")
	if err != nil {
		b.Fatal(err)
	}
	st, err := studyfile.Parse(text, "camper-bench.yaml")
	if err != nil {
		b.Fatal(err)
	}
	var systems []*enclosure.System
	for i := range st.Candidates {
		sys, _, err := st.Build(i)
		if err != nil {
			b.Fatal(err)
		}
		systems = append(systems, sys)
	}
	f := study.Frequencies(10, 400, 400)
	for b.Loop() {
		for _, sys := range systems {
			if st.GreatestOf(sys, f) == nil {
				b.Fatal("no bound")
			}
		}
	}
}
