package web

import (
	"context"
	"testing"

	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// A limit that is asked for and that nobody knows is no wall: at 0 it would lie on
// the axis, and hide that of the others.
func TestUnknownLimitIsNoWall(t *testing.T) {
	st, err := studyfile.Parse([]byte(`study: Unknown
brief: {limits: {excursion: xmax}}
drivers:
  known: {fs: 38 Hz, qms: 4.2, qes: 0.41, vas: 12.5 L, sd: 136 cm2, re: 3.4 ohm, xmax: 7 mm}
  unknown: {fs: 38 Hz, qms: 4.2, qes: 0.41, vas: 12.5 L, sd: 136 cm2, re: 3.4 ohm}
candidates:
  one: {group: {driver: unknown}, enclosure: {kind: sealed, volume: 9 L}}
  two: {group: {driver: known}, enclosure: {kind: sealed, volume: 9 L}}
`), "unknown.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for n, want := range map[int]float64{1: 0, 2: 7} {
		some := *st
		some.Candidates = st.Candidates[:n]
		r, err := study.Evaluate(context.Background(), &some, study.Options{Points: 20})
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range strips(r) {
			if s.Key != "excursion" {
				continue
			}
			if got := s.Limit; want == 0 && got != nil || want > 0 && (got == nil || *got < want-1e-9 || *got > want+1e-9) {
				t.Errorf("with %d candidates the wall stands at %v, want %g", n, got, want)
			}
		}
	}
}
