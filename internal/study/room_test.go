package study

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/phys"
)

// shortlist is a study of a space and of drivers without candidates.
func shortlist(space *Space, d ...*driver.Driver) *Study {
	st := &Study{Air: phys.StandardAir(), Listening: Listening{Distance: 1}, Space: space}
	for _, x := range d {
		st.Drivers = append(st.Drivers, Driver{Driver: x})
	}
	return st
}

// The bench of the camper holds two merlins side by side or two behind one
// another: 664 mm inside are two lanes of 270 mm, and 330 mm are 18 mm of back,
// 20 mm of air and 7 + 132 + 10 + 7 + 132 mm of two woofers, which three exceed.
func TestRoomOfTheBench(t *testing.T) {
	st := shortlist(&Space{Width: 0.7, Height: 0.28, Depth: 0.33, Panel: 18e-3}, merlin(t))
	f := FrameOf(st.Drivers[0].Driver)
	r := st.Rooms()[0]
	if r.SideBySide != int(0.664/(f.Flange+clearance)) || r.SideBySide != 2 || r.Behind != 2 || r.Why != "" {
		t.Errorf("%+v", r)
	}
	if want := 0.33 - 18e-3 - f.FlangeThickness - f.Depth; math.Abs(r.Back-want) > 1e-12 {
		t.Errorf("%g stays behind the magnet, want %g", r.Back, want)
	}
	if len(r.Centres) != 2 || math.Abs(r.Centres[0]+r.Centres[1]-0.7) > 1e-12 {
		t.Errorf("axes at %v, want them level on both sides", r.Centres)
	}
	for _, small := range []struct {
		space Space
		word  string
	}{
		{Space{Width: 0.25, Height: 0.28, Depth: 0.33}, "wide"}, {Space{Width: 0.7, Height: 0.2, Depth: 0.33}, "high"}, {Space{Width: 0.7, Height: 0.28, Depth: 0.15}, "deep"},
	} {
		st.Space = &small.space
		if r := st.Rooms()[0]; r.SideBySide != 0 || r.Behind != 0 || !strings.Contains(r.Why, "too "+small.word) || (r.TooDeep > 0) != (small.word == "deep") {
			t.Errorf("%+v holds %+v", small.space, r)
		}
	}
	st.Space = nil
	if st.Rooms() != nil {
		t.Error("without a space there is no room to tell of")
	}
}

// What the space is said to hold is what a box of a candidate takes: as many
// side by side or behind one another fit by the box's own account, one more does
// not. The box is given no more air than its drivers' lanes and seats need.
func TestRoomAgreesWithBoxes(t *testing.T) {
	d := merlin(t)
	rapid.Check(t, func(rt *rapid.T) {
		s := &Space{
			Width:  rapid.Float64Range(0.2, 1.6).Draw(rt, "width"),
			Height: rapid.Float64Range(0.2, 0.6).Draw(rt, "height"),
			Depth:  rapid.Float64Range(0.1, 1.2).Draw(rt, "depth"),
			Panel:  rapid.Float64Range(0, 0.025).Draw(rt, "panel"),
		}
		r := shortlist(s, d).Rooms()[0]
		fits := func(side, stack int) bool {
			b, _ := bodyOf(t, s, driver.GroupSpec{SideBySide: side, Stack: stack}, enclosure.Spec{Kind: enclosure.Sealed, Rear: enclosure.Chamber{Volume: 1e-6}})
			return b.Fits
		}
		if r.SideBySide == 0 {
			if fits(1, 1) {
				rt.Fatalf("a box fits where there is said to be no room: %+v", r)
			}
			return
		}
		if !fits(r.SideBySide, 1) || fits(r.SideBySide+1, 1) {
			rt.Fatalf("%d side by side is not what fits %+v", r.SideBySide, s)
		}
		if r.Behind > 0 && (!fits(1, r.Behind) || fits(1, r.Behind+1)) {
			rt.Fatalf("%d behind one another is not what fits %+v", r.Behind, s)
		}
	})
}
