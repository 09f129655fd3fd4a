package study

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/check"
)

// A summit lies within its bounds, is no less than where it was looked for from, and is
// found with few readings, whatever is climbed.
func TestSummitStaysWithinItsBounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := rapid.Float64Range(0, 8).Draw(t, "a")
		b := a + rapid.Float64Range(0, 0.1).Draw(t, "width")
		x := a + (b-a)*rapid.SampledFrom([]float64{0, 0.3, 0.5, 1}).Draw(t, "from")
		top, bend := rapid.Float64Range(a-0.1, b+0.1).Draw(t, "top"), rapid.SampledFrom([]float64{0, 1, 1.5, 2, 4}).Draw(t, "bend")
		hole := rapid.Float64Range(a, a+0.2).Draw(t, "hole") // no value from here up
		readings := 0
		f := func(u float64) float64 {
			readings++
			if u < a || u > b {
				t.Fatalf("read at %v, outside of %v to %v", u, a, b)
			}
			if u > hole {
				return math.NaN()
			}
			return -math.Pow(math.Abs(u-top), bend)
		}
		from := f(x)
		at, got := summit(a, b, x, from, f)
		if at < a || at > b || got < from || readings > mostReadings+1 {
			t.Fatalf("%v at %v, from %v at %v, in %d readings", got, at, from, x, readings)
		}
	})
}

// Summits of known places: a smooth one to the root of rounding, a cusp and an end of the
// range to what the search stops at.
func TestSummitIsFound(t *testing.T) {
	for name, c := range map[string]struct {
		f        func(float64) float64
		at, most float64 // where, and in how many readings
		within   float64
	}{
		"parabola": {func(x float64) float64 { return 3 - 7*(x-1.013)*(x-1.013) }, 1.013, 12, 1e-7},
		"sine":     {func(x float64) float64 { return math.Sin(60 * (x - 1.013 + math.Pi/120)) }, 1.013, 14, 1e-7},
		"cusp":     {func(x float64) float64 { return -math.Abs(x - 1.0071) }, 1.0071, 45, 2.1e-8},
		"lower":    {func(x float64) float64 { return -x }, 1, 45, 2.1e-8},
		"upper":    {func(x float64) float64 { return x }, 1.03, 45, 2.1e-8},
	} {
		readings := 0.0
		f := func(x float64) float64 { readings++; return c.f(x) }
		at, got := summit(1, 1.03, 1.015, c.f(1.015), f)
		check.Near(t, name, at, c.at, c.within, "near is 1e-8, twice that to either side; a smooth summit is flat to rounding within 1e-7")
		check.Near(t, name+", its value", got, c.f(at), 0, "what was read there")
		if readings > c.most {
			t.Errorf("%s: %g readings", name, readings)
		}
	}
}

// The edges of a fall are those where each is looked for alone, and below one that is none
// there is none.
func TestLowEdgesAreThoseOfEachAlone(t *testing.T) {
	st := camper(t)
	for i := range st.Candidates {
		sys, _, err := st.Build(i)
		if err != nil {
			t.Fatal(err)
		}
		m := newMeter(st, sys)
		band, reference := m.reference()
		limits := []float64{float64(reference) - 3, float64(reference) - 6, float64(reference) - 10, float64(reference) - 500, float64(reference) - 600}
		for k, got := range m.lowEdges(band, limits...) {
			want := m.lowEdge(band, limits[k])
			if got.OK() != want.OK() || got.OK() && math.Abs(float64(got-want)) > 1e-9*float64(want) { // both are bisected to 1e-12
				t.Errorf("%s, %g dB: %v, alone %v", st.Candidates[i].Name, limits[k], got, want)
			}
		}
	}
}

// A zero is found where it is, in few readings where what goes through it is smooth, and
// within bounds whatever it is.
func TestZeroIsFound(t *testing.T) {
	for name, c := range map[string]struct {
		f        func(float64) float64
		at, most float64
	}{
		"line":                   {func(x float64) float64 { return 1.007 - x }, 1.007, 6},
		"steep":                  {func(x float64) float64 { return math.Exp(90*(1.007-x)) - 1 }, 1.007, 14},
		"bend":                   {func(x float64) float64 { return 1 - math.Exp(90*(x-1.023)) }, 1.023, 14},
		"endless":                {func(x float64) float64 { return map[bool]float64{true: math.Inf(1), false: -1}[x < 1.007] }, 1.007, 70},
		"jump":                   {func(x float64) float64 { return math.Copysign(1, 1.007-x) }, 1.007, 60},
		"far above, just under":  {func(x float64) float64 { return map[bool]float64{true: 1e12, false: -1e-3}[x < 1.007] }, 1.007, 130},
		"at the end that is not": {func(x float64) float64 { return 1.03 - 1e-13 - x }, 1.03, 12},
		"at the end that is":     {func(x float64) float64 { return 1 - x }, 1, 12},
	} {
		for _, turned := range []bool{false, true} { // from above, too
			f, a, b, sign := c.f, 1.0, 1.03, 1.0
			if turned {
				f, a, b, sign = func(x float64) float64 { return c.f(-x) }, -1, -1.03, -1
			}
			readings := 0.0
			got := zero(a, b, func(x float64) float64 {
				if readings++; !(min(a, b) <= x && x <= max(a, b)) {
					t.Fatalf("%s: read at %v", name, x)
				}
				return f(x)
			})
			check.Near(t, name, sign*got, c.at, edgeNear, "what it is closed in to")
			if readings > c.most {
				t.Errorf("%s: %g readings", name, readings)
			}
		}
	}
}
