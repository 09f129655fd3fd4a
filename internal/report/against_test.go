package report

import (
	"math"
	"strings"
	"testing"
)

// What is drawn against a yardstick is its curve taken from each, or their
// ratio where the axis is one of ratios; the yardstick's own is flat.
func TestDifferencesAreThoseOfTheCurves(t *testing.T) {
	r := evaluated(t, wrens)
	for name, ratio := range map[string]bool{"level": false, "excursion": false, "impedance": true, "phase": false, "group-delay": false, "power": false, "greatest": false} {
		s, ok := subjectNamed(name)
		if !ok {
			t.Fatal(name)
		}
		apart, err := s.against(r, "one")
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if apart.level || apart.limit != nil || apart.spans != nil {
			t.Errorf("%s keeps what belongs to values", name)
		}
		for _, o := range r.Candidates {
			got, value, base := apart.curves(r, o)[0].Y, s.curves(r, o)[0].Y, s.curves(r, r.Candidates[0])[0].Y
			for k := range got {
				want := value[k] - base[k]
				if ratio {
					want = value[k] / base[k]
				}
				if math.Abs(got[k]-want) > 1e-12*math.Abs(value[k]) {
					t.Fatalf("%s of %s: %g at point %d, want %g", name, o.Candidate.Name, got[k], k, want)
				}
			}
		}
	}
	for name, why := range map[string]string{"step": "no difference", "section": "no difference"} {
		if _, err := NewFigure(r, name, FigureOptions{Against: "one"}); err == nil || !strings.Contains(err.Error(), why) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := NewFigure(r, "level", FigureOptions{Against: "none"}); err == nil || !strings.Contains(err.Error(), "none") {
		t.Errorf("from no candidate: %v", err)
	}
	if _, err := NewFigure(r, "port-speed", FigureOptions{Against: "one"}); err == nil {
		t.Error("a box without a port has a difference of port air")
	}
}
