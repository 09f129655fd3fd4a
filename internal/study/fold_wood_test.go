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

// What of the outside is no air and no hollow is boards: of a single leg that opens, a
// board stands along either edge, with what is hollow behind it.
func TestBoardsStandAlongALegThatOpens(t *testing.T) {
	o := evaluated(t, parsed(t, weighing("{kind: transmission_line, duct: {length: 1.9 m, start: 200 cm2, end: 700 cm2, width: 300 mm}}"))).Candidates[0]
	f := o.Body.Fold
	if f == nil || len(f.Legs) != 1 {
		t.Fatalf("%+v", f)
	}
	const n, panel = 20000, 0.018
	air, hollow := 0.0, 0.0
	for k := range n {
		w, h := o.System.Section((float64(k) + 0.5) / n * 1.9)
		air += w * h * 1.9 / n
		hollow += 2 * math.Max(0, (f.Legs[0].Wide-h)/2-panel) * w * 1.9 / n
	}
	if hollow < 0.01 {
		t.Fatalf("only %g m³ are hollow", hollow)
	}
	check.Near(t, "boards, m³", f.Wood, f.Long*f.Wide*f.Deep-air-hollow, 1e-6, "the fold is summed in 400 steps, and where a board grows thinner than its panel one of them is not a straight piece")
}

// The chambers of a horn are beside its first leg: behind the last of them a board, and
// what is left of the leg’s length is hollow.
func TestTheChambersOfAFoldAreWeighed(t *testing.T) {
	o := evaluated(t, parsed(t, weighing("{kind: front_loaded_horn, rear: {volume: 24 L}, throat_chamber: {volume: 18 L}, duct: {length: 2.6 m, area: 480 cm2, width: 400 mm}}"))).Candidates[0]
	f := o.Body.Fold
	if f == nil || len(f.Legs) < 2 {
		t.Fatalf("%+v", f)
	}
	const panel = 0.018
	n := float64(len(f.Legs))
	air := n*f.Inside*0.4*0.12 + panel*0.4*0.12 // and the mouth’s way through its board
	for _, l := range f.Legs[:len(f.Legs)-1] {
		air += l.Turn * panel * 0.4
	}
	across, third := f.Block-panel, f.Deep-2*panel
	air += (f.Throat+f.Rear)*across*third + panel*third*0.12 // and the way from the throat into the leg
	left := f.Inside - f.Throat - f.Rear - 2*panel
	if left < 0.05 || math.Abs(third-0.4) > 1e-9 {
		t.Fatalf("%g m are left beside the leg, %g m deep", left, third)
	}
	check.Near(t, "boards, m³", f.Wood, f.Long*f.Wide*f.Deep-air-left*across*third, n*f.Inside/400*panel*0.4, "the end of each board between legs lies within one of 400 steps")
}

// Whatever is folded, its boards are more than those of its outside alone, and with the
// air of the duct they are less than the outside holds.
func TestAFoldHasRoomForItsBoards(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		box := rapid.SampledFrom([]string{
			"{kind: back_loaded_horn, throat_chamber: {volume: 6 L}, duct: {length: %.2f m, start: 150 cm2, end: %.0f cm2, flare: exponential, width: 400 mm}}",
			"{kind: front_loaded_horn, rear: {volume: 20 L}, throat_chamber: {volume: 3 L}, duct: {length: %.2f m, start: 150 cm2, end: %.0f cm2, flare: cone, aspect: 1.8}}",
			"{kind: front_loaded_horn, rear: {volume: 150 L}, throat_chamber: {volume: 0.5 L}, duct: {length: %.2f m, start: 150 cm2, end: %.0f cm2, flare: cone, width: 300 mm}}",
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
		between := 0.0
		if f.Throat > 0 && f.Rear > 0 {
			between = t18
		}
		if f.Throat+between+f.Rear > f.Inside+1e-9 {
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
