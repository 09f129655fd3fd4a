package duct

import (
	"errors"
	"math"
	"testing"

	"basswright/internal/check"

	"pgregory.net/rapid"
)

// The parts of a duct, behind one another, are the duct, with its fills wherever they
// are: to 1e-10 where the model is exact.
func TestPartsAreTheDuct(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawShape(t)
		m := drawMaking(t, s.Length())
		m.Steps = false // a jump at a place belongs to neither part
		length := s.Length()
		var at []float64
		for k := range rapid.IntRange(0, 3).Draw(t, "places") { // each in a third of its own, so that no two are one
			at = append(at, length*(float64(k)+rapid.Float64Range(0.02, 0.98).Draw(t, "at"))/3)
		}
		at = rapid.Permutation(at).Draw(t, "order")
		parts, err := NewParts(s, m, at)
		if err != nil {
			t.Fatal(err)
		}
		if len(parts) != len(at)+1 {
			t.Fatalf("%d parts for %d places", len(parts), len(at))
		}
		whole := must(New(s, m))
		bound := 1e-10
		sum := whole.Estimate()
		for _, p := range parts {
			sum += p.Estimate()
		}
		if sum > 0 {
			bound = 4 * (sum + tolerance)
		}
		for _, f := range []float64{20, 130, 700} {
			chain := Chain{A: 1, D: 1}
			for _, p := range parts {
				c := p.Chain(omega(f))
				chain.times(&c)
			}
			if e := whole.Chain(omega(f)).far(chain, plainAir, math.Sqrt(s.Area(0)), math.Sqrt(s.Area(length)), omega(f)*length); !(e <= bound) {
				t.Fatalf("%g Hz: %.3g apart, more than %.3g", f, e, bound)
			}
		}
	})
}

func TestPartsAtWrongPlaces(t *testing.T) {
	s := must(Cylinder(1, 0.01))
	for _, at := range [][]float64{{0}, {1}, {0.5, 0.5}, {-1}, {2}, {math.NaN()}} {
		var e *Error
		if _, err := NewParts(s, Making{Gas: plainAir}, at); !errors.As(err, &e) || e.Key != "length" {
			t.Errorf("%v: %v", at, err)
		}
	}
	if _, err := NewParts(s, Making{Gas: plainAir, Fills: []Filling{{}}}, nil); err == nil {
		t.Error("a fill without resistivity: no error")
	}
	if _, err := NewParts(s, Making{Gas: plainAir, Section: Section{Width: -1}}, nil); err == nil {
		t.Error("a section without width: no error")
	}
}

// What stands in a duct takes its volume off it, the same share everywhere, and a
// cylinder with something in it is one with jumps.
func TestNarrowed(t *testing.T) {
	points := must(Points([]Point{{0, 0.01}, {0.6, 0.03}, {2, 0.08}}))
	for name, s := range map[string]Shape{"exponential": must(Exponential(2, 0.01, 0.08)), "points": points, "reversed tractrix": must(Tractrix(0.01, 0.9)).Reversed()} {
		n := must(s.Narrowed(0.5, 0.9, 0.0024))
		share := 0.0024 / s.Between(0.5, 0.9).Volume()
		check.Near(t, name+": volume taken off, m³", s.Between(0.5, 0.9).Volume()-n.Between(0.5, 0.9).Volume(), 0.0024, 1e-14, "rounding")
		check.Near(t, name+": area in front, m²", n.Area(0.4999), s.Area(0.4999), 1e-14, "rounding")
		check.Near(t, name+": area beside it, m²", n.Area(0.7), s.Area(0.7)*(1-share), 1e-14, "rounding")
		check.Near(t, name+": area behind, m²", n.Area(0.9001), s.Area(0.9001), 1e-14, "rounding")
		check.Near(t, name+": length, m", n.Length(), s.Length(), 1e-14, "rounding")
	}
	got := must(New(must(must(Cylinder(1, 0.02)).Narrowed(0, 0.3, 0.0015)), Making{Gas: plainAir})).Chain(omega(150))
	want := must(New(must(Points([]Point{{0, 0.015}, {0.3, 0.015}, {0.3, 0.02}, {1, 0.02}})), Making{Gas: plainAir})).Chain(omega(150))
	check.Near(t, "apart from jumps", got.far(want, plainAir, 0.1, 0.1, omega(150)), 0, 1e-14, "rounding")
	full := must(must(Cylinder(1, 0.02)).Narrowed(0, 1, 0.005))
	check.Near(t, "all along, m³", full.Volume(), 0.015, 1e-14, "rounding")
	flare := must(Exponential(2, 0.01, 0.08))
	plain, narrow := must(New(flare, Making{Gas: plainAir})), must(New(must(flare.Narrowed(0.5, 0.9, 0.002)), Making{Gas: plainAir}))
	if narrow.Segments() != plain.Segments()+2 {
		t.Errorf("something in a flare of %d segments makes it %d: its law is kept", plain.Segments(), narrow.Segments())
	}
	for _, c := range [][3]float64{{0.5, 0.9, 0.02}, {0.5, 2.5, 0.001}, {0.5, 0.5, 0.001}, {-1, 1, 0.001}, {0, 1, math.NaN()}} {
		var e *Error
		if _, err := flare.Narrowed(c[0], c[1], c[2]); !errors.As(err, &e) || e.Mend == "" {
			t.Errorf("%v: %v", c, err)
		}
	}
}
