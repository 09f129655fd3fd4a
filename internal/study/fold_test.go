package study_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/check"
	"basswright/internal/study"
)

const foldWoofer = `merlin-10: {fs: 30.5 Hz, qms: 4.9, qes: 0.49, vas: 44 L, sd: 345 cm2, re: 3.3 ohm, mounting_depth: 132 mm, cutout: 232 mm, flange: 262 mm, flange_thickness: 7 mm, magnet_diameter: 150 mm, displacement: 2.2 L}`

func folding(space, box string) string {
	return fmt.Sprintf("study: Folds\nspace: %s\ndrivers:\n  %s\ncandidates:\n  one: {group: {driver: merlin-10}, enclosure: %s}\n", space, foldWoofer, box)
}

// However a duct is folded, its centre line keeps its length, legs and boards lie side by
// side, and it holds at least the duct’s air.
func TestAFoldKeepsItsDuct(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		length := rapid.Float64Range(0.8, 5).Draw(rt, "length")
		start, end := rapid.Float64Range(60, 600).Draw(rt, "start"), rapid.Float64Range(60, 600).Draw(rt, "end")
		form := rapid.SampledFrom([]string{"", ", width: 280 mm", ", aspect: 1.6"}).Draw(rt, "form")
		o := evaluated(t, parsed(t, folding("{width: 900 mm, height: 450 mm, depth: 500 mm, panel: 16 mm}",
			fmt.Sprintf("{kind: transmission_line, duct: {length: %.3f m, start: %.1f cm2, end: %.1f cm2%s}}", length, start, end, form)))).Candidates[0]
		f := o.Body.Fold
		if f == nil {
			return // wider than its own turns at any number of legs
		}
		// the walk ends where a leg changes by less than 1e-12 m, and may come nearer by a
		// hundredth of what is left: what remains is below 1e-9 m
		if d := f.Centre() - o.System.Facts.Line.Length; math.Abs(d) > 1e-7 {
			rt.Errorf("the centre line is %g m longer than the duct", d)
		}
		air := 0.0
		for i, l := range f.Legs {
			air += l.Wide * f.Inside * f.Clear
			air += 16e-3 * l.Turn * f.Clear // the way through the boards between the legs
			if i > 0 && l.Axis-l.Wide/2-(f.Legs[i-1].Axis+f.Legs[i-1].Wide/2)-16e-3 < -1e-9 {
				rt.Errorf("legs %d and %d are not a board apart", i, i+1)
			}
		}
		// a turn as high as its leg is wide holds what its centre line tells, and that of a
		// duct that changes along it by some per cent less a little less
		if air < 0.99*o.System.Facts.Line.Volume {
			rt.Errorf("a fold of %g L for a duct of %g L", 1e3*air, 1e3*o.System.Facts.Line.Volume)
		}
		wide, high, deep := f.Size()
		if fits := wide <= 0.9+1e-3 && high <= 0.45+1e-3 && deep <= 0.5+1e-3; f.Fits && !fits {
			rt.Errorf("said to fit with %g × %g × %g m", wide, high, deep)
		}
		for _, x := range []float64{0, 0.3 * length, 0.77 * length} {
			if leg, y := f.Place(x); leg < 0 || leg >= len(f.Legs) || !(y >= -1e-9 && y <= f.Inside+1e-9) {
				rt.Errorf("%g m from its start is on leg %d at %g m", x, leg, y)
			}
		}
	})
}

// Two legs by hand: a duct of 200 by 150 mm and 2 m folded once in the middle has a
// centre line of two legs less half a turn each, and a way across of 150 mm and a board.
func TestAFoldByHand(t *testing.T) {
	o := evaluated(t, parsed(t, folding("{width: 1.2 m, height: 420 mm, depth: 420 mm, panel: 18 mm}", "{kind: transmission_line, duct: {length: 2 m, area: 300 cm2, width: 200 mm}}"))).Candidates[0]
	f := o.Body.Fold
	if f == nil || len(f.Legs) != 2 || !f.Fits {
		t.Fatalf("%+v", f)
	}
	const why = "the fold is found to 1e-9 m"
	check.Near(t, "inside, m", f.Inside, (2+0.15-0.168)/2, 1e-7, why)
	check.Near(t, "long, m", f.Long, f.Inside+0.036, 1e-12, why)
	check.Near(t, "wide, m", f.Wide, 2*0.15+3*0.018, 1e-9, why)
	check.Near(t, "deep, m", f.Deep, 0.2+2*0.018, 1e-12, why)
	if _, ok := passed(o, study.CheckFit); !ok {
		t.Error("that it fits is not told")
	}
}

// The frames are held against the duct’s walls to the millimetre.
func TestDriversAreHeldAgainstTheirDuct(t *testing.T) {
	for name, c := range map[string]struct {
		box  string
		lack float64 // m, by hand
	}{
		// the hole of 232 mm and 8 mm beside it
		"side wall that is too narrow":   {"{kind: transmission_line, duct: {length: 2 m, area: 400 cm2, width: 200 mm}, driver_at: 0.6 m}", 0.240 - 0.200},
		"side wall, the other one holds": {"{kind: transmission_line, duct: {length: 2 m, area: 600 cm2, width: 240 mm}, driver_at: 0.6 m}", 0},
		"partition, inside both walls":   {"{kind: tapped_waveguide, duct: {length: 2.4 m, area: 500 cm2, width: 250 mm}, front_at: 0.2 m, rear_at: 2.2 m}", 0.270 - 0.250},
		"closed end":                     {"{kind: transmission_line, duct: {length: 2 m, area: 500 cm2, width: 250 mm}}", 0.240 - 0.200},
		"closed end that narrows":        {"{kind: transmission_line, duct: {length: 0.2 m, start: 625 cm2, end: 125 cm2, flare: parabolic, width: 250 mm}}", 0.150 - 0.129},
	} {
		o := evaluated(t, parsed(t, folding("{width: 3 m, height: 1 m, depth: 1 m, panel: 18 mm}", c.box))).Candidates[0]
		k, ok := passed(o, study.CheckDuctFrame)
		if !ok {
			t.Errorf("%s: not held", name)
			continue
		}
		got := math.Max(0, float64(k.Value)-k.Limit)
		check.Near(t, name+": lacking, m", got, c.lack, 1e-9, "millimetres of the sheet")
		if m := missOf(o, study.CheckDuctFrame); (m != nil) != (c.lack > 0) {
			t.Errorf("%s: %+v", name, m)
		}
	}
}

func passed(o *study.Outcome, id study.CheckID) (study.Check, bool) {
	for _, k := range o.Checks {
		if k.ID == id {
			return k, true
		}
	}
	return study.Check{}, false
}

// Where the drivers of a line stand in a fold: in the outer wall of the first or the last
// leg, or above a leg that is wide enough for their frame; no leg between two others gives
// them a wall across.
func TestAFoldHasAWallForItsDrivers(t *testing.T) {
	for name, c := range map[string]struct {
		width, duct, at string
		out             study.Way
		fits            bool
	}{
		// 280 mm for a frame of 240 mm, 150 mm across for a magnet of 140 mm
		"first leg":                  {"1.2 m", "length: 2 m, area: 420 cm2, width: 280 mm", "0.5 m", study.AcrossLegs, true},
		"a leg between, too narrow":  {"920 mm", "length: 2.4 m, area: 420 cm2, width: 280 mm", "1.2 m", study.AcrossLegs, false},
		"above a leg between":        {"920 mm", "length: 2.4 m, area: 420 cm2, width: 150 mm", "1.2 m", study.AboveLegs, true},
		"first leg, the wall above":  {"1.2 m", "length: 2 m, area: 420 cm2, width: 150 mm", "0.5 m", study.AboveLegs, true},
		"as good in either of both":  {"1.2 m", "length: 2 m, area: 625 cm2, width: 250 mm", "0.5 m", study.AcrossLegs, true},
		"a leg between, as good too": {"900 mm", "length: 2.4 m, area: 625 cm2, width: 250 mm", "1.2 m", study.AboveLegs, true},
	} {
		space := fmt.Sprintf("{width: %s, height: 880 mm, depth: 500 mm, panel: 18 mm}", c.width)
		o := evaluated(t, parsed(t, folding(space, fmt.Sprintf("{kind: transmission_line, duct: {%s}, driver_at: %s}", c.duct, c.at)))).Candidates[0]
		f := o.Body.Fold
		if f == nil {
			t.Errorf("%s: not folded", name)
			continue
		}
		if f.Out != c.out || f.Fits != c.fits {
			leg, _ := f.Place(o.System.Spec.Line.Driver)
			t.Errorf("%s: looks %d, fits %v (%s), on leg %d of %d", name, f.Out, f.Fits, f.Why, leg+1, len(f.Legs))
		}
	}
}

// What stands out before the board of the drivers counts on the side that they look out of:
// a stack whose outer magnet is outside needs its room across the legs, whichever way of the
// space these lie.
func TestAFoldCountsWhatStandsOut(t *testing.T) {
	o := evaluated(t, parsed(t, `study: Folds
space: {width: 1.2 m, height: 510 mm, depth: 320 mm, panel: 18 mm}
drivers:
  `+foldWoofer+`
candidates:
  one:
    group: {driver: merlin-10, stack: 2, arrangement: clamshell, coupling: 2 L}
    enclosure: {kind: transmission_line, duct: {length: 2 m, area: 420 cm2, width: 280 mm}, driver_at: 0.5 m}
`)).Candidates[0]
	f := o.Body.Fold
	if f == nil || len(f.Legs) != 2 || !f.Fits {
		t.Fatalf("%+v", f)
	}
	wide, high, deep := f.Size()
	const why = "the fold is found to 1e-9 m"
	check.Near(t, "along the legs, m", wide, f.Long, 1e-12, why)
	check.Near(t, "up: two legs of 150 mm, three boards and what stands out, m", high, 2*0.15+3*0.018+f.Stacked, 1e-9, why)
	check.Near(t, "the third way, m", deep, 0.28+2*0.018, 1e-12, why)
	if !(f.Stacked > 0.1) { // a magnet of 132 mm less the frame
		t.Errorf("%g m stand out", f.Stacked)
	}
}

// A fold that the space holds, but with no board between the two places of the cone, says
// what is wrong with it.
func TestAFoldThatDoesNotMeetSaysSo(t *testing.T) {
	o := evaluated(t, parsed(t, folding("{width: 2.9 m, height: 1.8 m, depth: 900 mm, panel: 18 mm}",
		"{kind: tapped_waveguide, duct: {length: 1.2 m, area: 900 cm2, width: 280 mm}, front_at: 1.0 m, rear_at: 1.1 m}"))).Candidates[0]
	if f := o.Body.Fold; f == nil || f.Meets || f.Why != "" {
		t.Fatalf("%+v", f)
	}
	for _, s := range o.BoxLedger {
		if s.Name == "Folded" {
			if !strings.HasSuffix(s.Why, "with its boards: it does not bring the two places together that the cone looks into") {
				t.Errorf("%q", s.Why)
			}
			return
		}
	}
	t.Error("the fold is not told")
}

// A fold of a back-loaded horn looks to the front where it fits so, with its drivers above
// the legs or across them, and another way where it does not.
func TestAFoldLooksToTheFront(t *testing.T) {
	for name, c := range map[string]struct {
		space string
		out   study.Way
		front bool
	}{
		"stands, seen from the front": {"{width: 1.5 m, height: 900 mm, depth: 420 mm, panel: 18 mm}", study.AboveLegs, true},
		"lies, seen from above":       {"{width: 1.5 m, height: 420 mm, depth: 900 mm, panel: 18 mm}", study.AcrossLegs, true},
		"both ways to the front":      {"{width: 1.5 m, height: 900 mm, depth: 900 mm, panel: 18 mm}", study.AcrossLegs, true},
		"no room above the legs":      {"{width: 1.5 m, height: 620 mm, depth: 420 mm, panel: 18 mm}", study.AcrossLegs, false},
	} {
		box := "{kind: back_loaded_horn, throat_chamber: {volume: 3 L}, duct: {length: 2 m, start: 200 cm2, end: 700 cm2, width: 300 mm}}"
		f := evaluated(t, parsed(t, folding(c.space, box))).Candidates[0].Body.Fold
		if f == nil || !f.Fits {
			t.Errorf("%s: %+v", name, f)
			continue
		}
		if f.Out != c.out || f.ToFront() != c.front {
			t.Errorf("%s: looks %d, to the front %v: %+v", name, f.Out, f.ToFront(), f)
		}
	}
}
