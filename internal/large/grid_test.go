package large

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// A model’s grid depends on nothing but its harmonics: what it was asked for at one
// frequency leaves no trace in the answer at another, to the last bit.
func TestGridsAreCutByPhase(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sys := build(t, single(drawDriver(t)), sealed(0.03))
		f, g := rapid.Float64Range(15, 60).Draw(t, "f"), rapid.Float64Range(60, 200).Draw(t, "g")
		used := New(sys, Options{})
		if _, err := used.Steady(f, 2); err != nil {
			t.Fatal(err)
		}
		got, err := used.Steady(g, 2)
		if err != nil {
			t.Fatal(err)
		}
		want, err := New(sys, Options{}).Steady(g, 2)
		if err != nil {
			t.Fatal(err)
		}
		if !slices.Equal(got.Pressure().Of, want.Pressure().Of) {
			t.Errorf("%v after %g Hz, %v at first", got.Pressure().Of, f, want.Pressure().Of)
		}
		a, err := used.NewTone(f, 5)
		if err != nil {
			t.Fatal(err)
		}
		b, err := used.NewTone(g, 5)
		if err != nil {
			t.Fatal(err)
		}
		c, err := used.NewTone(g, 9)
		if err != nil {
			t.Fatal(err)
		}
		if a.grid != b.grid || b.grid == c.grid || a.grid.h != 5 || c.grid.h != 9 {
			t.Errorf("grids of %d, %d and %d harmonics", a.grid.h, b.grid.h, c.grid.h)
		}
	})
	coarse, fine := &grids{degree: 2}, &grids{degree: 6}
	if c, f := coarse.of(9), fine.of(9); !(c.n < f.n) {
		t.Errorf("%d points for squares and %d for sixth powers", c.n, f.n)
	}
}
