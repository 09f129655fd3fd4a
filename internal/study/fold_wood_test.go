package study_test

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/check"
	"basswright/internal/study"
)

const board = "{width: 2.2 m, height: 1.6 m, depth: 900 mm, panel: 18 mm, material: birch plywood}"

// weighing is the study of a fold that has to weigh less than 100 kg.
func weighing(box string) string {
	text := strings.Replace(folding(board, box), "magnet_diameter: 150 mm", "magnet_diameter: 150 mm, mass: 5 kg", 1)
	return strings.Replace(text, "drivers:", "brief: {limits: {mass: 100 kg}}\ndrivers:", 1)
}

// A duct of one section leaves no dead space: what of the outside is no air is boards.
func TestAFoldIsWeighed(t *testing.T) {
	for name, form := range map[string]string{"two legs": "length: 3.4 m, area: 300 cm2, width: 200 mm", "one leg": "length: 1.9 m, area: 300 cm2, width: 200 mm", "three legs": "length: 6.2 m, area: 300 cm2, aspect: 1.333333333"} {
		o := evaluated(t, parsed(t, weighing("{kind: transmission_line, duct: {"+form+"}}"))).Candidates[0]
		f := o.Body.Fold
		if f == nil {
			t.Fatalf("%s: not folded", name)
		}
		n := float64(len(f.Legs))
		air := n*f.Inside*0.2*0.15 + 0.018*0.2*0.15*min(n-1, 1) // and the mouth’s way through its board
		for _, l := range f.Legs[:len(f.Legs)-1] {
			air += l.Turn * 0.018 * 0.2
		}
		want := f.Long*f.Wide*f.Deep - air
		// the ends of the boards between legs are found to a four-hundredth of a leg
		check.Near(t, name+": boards, m³", f.Wood, want, n*f.Inside/400*0.018*0.2, "the end of each board between legs lies within one of 400 steps")
		check.Near(t, name+": weight, kg", float64(o.Figures.Mass), 5+710*f.Wood, 1e-9, "the sum")
		if k, ok := passed(o, study.CheckMass); !ok || !k.Passed {
			t.Errorf("%s: the weight is not judged: %+v", name, k)
		}
	}
}

// Whatever is folded, its boards are more than those of its outside alone, and with the
// air of the duct they are less than the outside holds.
func TestAFoldHasRoomForItsBoards(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		box := rapid.SampledFrom([]string{
			"{kind: back_loaded_horn, throat_chamber: {volume: 6 L}, duct: {length: %.2f m, start: 150 cm2, end: %.0f cm2, flare: exponential, width: 400 mm}}",
			"{kind: front_loaded_horn, rear: {volume: 20 L}, throat_chamber: {volume: 3 L}, duct: {length: %.2f m, start: 150 cm2, end: %.0f cm2, flare: cone, aspect: 1.8}}",
			"{kind: front_loaded_horn, rear: {volume: 20 L}, duct: {length: %.2f m, start: 150 cm2, end: %.0f cm2, flare: cone, width: 300 mm}}",
			"{kind: transmission_line, duct: {length: %.2f m, start: 650 cm2, end: %.0f cm2, width: 260 mm}}",
		}).Draw(rt, "box")
		o := evaluated(t, parsed(t, weighing(fmt.Sprintf(box, rapid.Float64Range(1.2, 5).Draw(rt, "length"), rapid.Float64Range(200, 1600).Draw(rt, "end"))))).Candidates[0]
		f := o.Body.Fold
		if f == nil {
			return
		}
		t18 := 0.018
		shell := f.Long*f.Wide*f.Deep - (f.Long-2*t18)*(f.Wide-2*t18)*(f.Deep-2*t18)
		ends := 2 * t18 * f.Wide * f.Deep // of which the mouth leaves some
		if f.Wood < shell-ends || f.Wood > f.Long*f.Wide*f.Deep-0.97*o.System.Facts.NetVolume {
			rt.Errorf("boards of %g m³ in %g × %g × %g m with %g m³ of air", f.Wood, f.Long, f.Wide, f.Deep, o.System.Facts.NetVolume)
		}
		if f.Throat+f.Rear > f.Inside+1e-9 {
			rt.Errorf("chambers of %g m and %g m beside a leg of %g m", f.Throat, f.Rear, f.Inside)
		}
	})
}

// A round duct is not made of boards, and no weight is told of it.
func TestARoundDuctIsNotWeighed(t *testing.T) {
	o := evaluated(t, parsed(t, weighing("{kind: transmission_line, duct: {length: 2.4 m, area: 700 cm2}}"))).Candidates[0]
	if o.Figures.Mass.OK() {
		t.Errorf("%g kg", float64(o.Figures.Mass))
	}
	if m := missOf(o, study.CheckMass); m == nil || !strings.Contains(m.Text, "the duct is round") {
		t.Errorf("%+v", m)
	}
}
