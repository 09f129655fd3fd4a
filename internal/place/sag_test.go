package place

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"basswright/internal/check"
	"basswright/internal/phys"

	"pgregory.net/rapid"
)

// The sag by the resonance, which knows neither mass nor compliance alone:
// g/ωs²·(1 − load/Mms).
func TestSagByResonance(t *testing.T) {
	air := phys.StandardAir()
	rapid.Check(t, func(t *rapid.T) {
		fs := rapid.Float64Range(10, 100).Draw(t, "fs")
		sd := rapid.Float64Range(1e-3, 0.2).Draw(t, "sd")
		a := math.Sqrt(sd / math.Pi)
		load := 2 * 8.0 / 3 * air.Rho * a * a * a / 2 // both faces; each has 4/3
		mms := load * rapid.Float64Range(1.05, 50).Draw(t, "mms over load")
		w := 2 * math.Pi * fs
		xmax := rapid.Float64Range(1e-3, 0.05).Draw(t, "xmax")
		s, err := NewSag(Cone{Mms: mms, Cms: 1 / (w * w * mms), Sd: sd, Xmax: xmax}, air)
		if err != nil {
			t.Skip(err) // a compliance out of range
		}
		want := 9.80665 / (w * w) * (1 - load/mms)
		if off := math.Abs(s.Distance/want - 1); !(off < 1e-12) { // the difference of mass and load loses a digit or two
			t.Fatalf("%g m, want %g m", s.Distance, want)
		}
		if math.Abs(s.Share*xmax/want-1) > 1e-12 || math.Abs(s.Weight-9.80665*(mms-load)) > 1e-12*s.Weight {
			t.Fatalf("%+v", s)
		}
		if found := len(s.Findings("")) > 0; found != (s.Share > 0.05) {
			t.Fatalf("share %g, warned: %v", s.Share, found)
		}
	})
}

// A cone worked by hand: 104.5 g, 0.261 mm/N, 345 cm², xmax 12 mm. a = 104.8 mm,
// load = 8/3 · 1.2041 · 0.1048³ = 3.695 g; 100.8 g · 9.80665 = 0.9886 N; 0.258 mm.
func TestSagByHand(t *testing.T) {
	s, err := NewSag(Cone{Mms: 0.1045, Cms: 2.61e-4, Sd: 0.0345, Xmax: 0.012}, phys.StandardAir())
	if err != nil {
		t.Fatal(err)
	}
	check.Near(t, "weight", s.Weight, 0.9886, 5e-5, lastDigit)
	check.Near(t, "sag", s.Distance, 0.258e-3, 0.5e-6, lastDigit)
	check.Near(t, "share", s.Share, 0.0215, 5e-5, lastDigit)
	if got := s.Findings("drivers.merlin-10"); got != nil {
		t.Errorf("warned: %+v", got)
	}
}

// The mend holds: with the compliance that it names, nothing is warned of.
func TestSagMend(t *testing.T) {
	air := phys.StandardAir()
	cone := Cone{Mms: 0.31, Cms: 1.9e-3, Sd: 0.0855, Xmax: 0.0143}
	s, err := NewSag(cone, air)
	if err != nil {
		t.Fatal(err)
	}
	got := s.Findings("drivers.gannet-15")
	check.Golden(t, "testdata/sag.txt", told(got))
	_, text, _ := strings.Cut(got[0].Mend, "suspension of ")
	text, _, _ = strings.Cut(text, "mm/N")
	v, err := strconv.ParseFloat(strings.TrimRight(text, "\u2009\u00a0 "), 64)
	if err != nil {
		t.Fatal(err)
	}
	cone.Cms = v / 1e3
	if s, err = NewSag(cone, air); err != nil || s.Findings("") != nil || s.Share < 0.0495 {
		t.Errorf("with %g mm/N: %+v, %v", v, s, err)
	}
}

func TestSagRefused(t *testing.T) {
	air := phys.StandardAir()
	good := Cone{Mms: 0.1, Cms: 3e-4, Sd: 0.03, Xmax: 0.01}
	for _, c := range []struct {
		change       func(*Cone)
		about, words string
	}{
		{func(c *Cone) { c.Mms = 0 }, "mms", "lies outside"},
		{func(c *Cone) { c.Mms = math.NaN() }, "mms", "lies outside"},
		{func(c *Cone) { c.Cms = -1 }, "cms", "lies outside"},
		{func(c *Cone) { c.Sd = math.Inf(1) }, "sd", "lies outside"},
		{func(c *Cone) { c.Xmax = 0 }, "xmax", "lies outside"},
		{func(c *Cone) { c.Mms = 1e-3 }, "mms", "air load"},
	} {
		cone := good
		c.change(&cone)
		_, err := NewSag(cone, air)
		refuses(t, err, c.about, c.words)
	}
	if _, err := NewSag(good, air); err != nil {
		t.Error(err)
	}
	check.Panics(t, "no density", func() { _, _ = NewSag(good, phys.Air{}) })
}
