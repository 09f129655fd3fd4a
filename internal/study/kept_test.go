package study_test

import (
	"strings"
	"testing"
)

// Of one candidate none is the nearest, and a fold that does not fit is said alike wherever
// the candidate is told of: as a doubt, since one by hand may fit, and not as a miss.
func TestFoldThatDoesNotFitIsToldAlike(t *testing.T) {
	st := parsed(t, `study: Alone
space: {width: 900 mm, height: 320 mm, depth: 360 mm}
amplifier: {rated: {4 ohm: 300 W}}
brief: {extension: {f3: 20 Hz}}
drivers:
  heron-10: {fs: 30 Hz, qms: 5, qes: 0.4, vas: 60 L, sd: 345 cm2, re: 3.3 ohm, xmax: 10 mm}
candidates:
  line: {group: {driver: heron-10}, enclosure: {kind: transmission_line, duct: {length: 2.4 m, area: 300 cm2, width: 300 mm}}}
`)
	r := evaluated(t, st)
	o := r.Candidates[0]
	fold := o.Body.Fold
	if fold == nil || fold.Fits || fold.Why == "" || !o.FitUnjudged(st) {
		t.Fatalf("the fold fits, or its fit is judged: %+v", fold)
	}
	if want := "fold " + fold.Why; o.Unfolded(st) != want {
		t.Errorf("%q, want %q", o.Unfolded(st), want)
	}
	if strings.Contains(r.Lead, "nearest") || !strings.HasPrefix(r.Lead, "The candidate does not meet the brief as it stands: ") || !strings.HasSuffix(r.Lead, "; its fit in the space is not judged: fold "+fold.Why+".") {
		t.Errorf("%q", r.Lead)
	}
	if !strings.HasSuffix(o.Summary[1], ", and folded in parallel legs it is "+fold.Why+" for its space") {
		t.Errorf("%q", o.Summary[1])
	}
	for _, m := range o.Misses {
		if m.Short == "does not fit" {
			t.Errorf("a fold by hand may fit: %+v", m)
		}
	}
}
