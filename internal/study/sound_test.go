package study

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/check"
)

// Along a range the sound is that at each place, whatever was read before and at whatever
// drive; the places rise from one end to the other, no closer to an end than rounding needs
// and no further apart than a step.
func TestSoundAlongARange(t *testing.T) {
	st := camper(t)
	sys, _, err := st.Build(0)
	if err != nil {
		t.Fatal(err)
	}
	m, alone := newMeter(st, sys), newMeter(st, sys)
	rapid.Check(t, func(t *rapid.T) {
		lo := rapid.OneOf(rapid.Float64Range(1, 900), rapid.Just(bandLow), rapid.Just(bandLow*math.Exp2(7.0/meanSteps))).Draw(t, "lo")
		hi := lo * rapid.OneOf(rapid.Float64Range(1, 20), rapid.Float64Range(1, 1.01), rapid.Just(1.0)).Draw(t, "wide") // up to 18 kHz, as a reference band may
		volts := rapid.SampledFrom([]float64{1, 3}).Draw(t, "volts")
		m.feedVolts(volts)
		alone.feedVolts(volts)
		var places []float64
		m.along(lo, hi, func(f float64) {
			places = append(places, f)
			if got, want := m.square(f), alone.square(f); math.Abs(got-want) > 1e-13*want { // the same solution
				t.Errorf("at %g Hz %g, alone %g", f, got, want)
			}
		})
		if len(places) == 0 || places[0] != lo || places[len(places)-1] != hi {
			t.Fatalf("from %g to %g: %v", lo, hi, places)
		}
		for k := 1; k < len(places); k++ {
			step := math.Log2(places[k]/places[k-1]) * meanSteps
			if len(places) > 2 && step < 0.999e-3 || step > 1.0011 { // a thousandth of a step
				t.Errorf("from %g to %g, a step of %g", places[k-1], places[k], step)
			}
		}
	})
	if m.err != nil {
		t.Fatal(m.err)
	}
}

// A level and the sound that has it are each other's.
func TestLevelOfASquare(t *testing.T) {
	for _, l := range []float64{-40, 0, 87.3, 140} {
		check.Near(t, "level", levelOf(squareOf(l)), l, 1e-12, "rounding")
		check.Near(t, "square", squareOf(l), sq(referencePressure*math.Pow(10, l/20)), 1e-12*squareOf(l), "20 µPa, IEC 61672-1")
	}
}

// Where the sound falls is the first such place on the way, as fine as the lattice, and it
// has just the limit there.
func TestFallsAtTheFirstPlace(t *testing.T) {
	st := camper(t)
	var meters []*meter
	for i := range st.Candidates {
		sys, _, err := st.Build(i)
		if err != nil {
			t.Fatal(err)
		}
		meters = append(meters, newMeter(st, sys))
	}
	rapid.Check(t, func(t *rapid.T) {
		m := rapid.SampledFrom(meters).Draw(t, "candidate")
		from, to := rapid.Float64Range(1, 5000).Draw(t, "from"), rapid.Float64Range(1, 5000).Draw(t, "to")
		limit := m.square(from) * rapid.Float64Range(0.01, 1).Draw(t, "limit")
		got := m.falls(from, to, limit)
		if got.OK() {
			if p := m.square(float64(got)); math.Abs(p/limit-1) > 1e-9 { // edgeNear, and a slope of hundreds
				t.Errorf("at %v Hz the sound is %g, the limit %g", got, p, limit)
			}
			to = float64(got)
		}
		for f := range m.way(from, to) {
			if f != to && m.square(f) < limit {
				t.Fatalf("from %g: at %g Hz it is below, and told is %v", from, f, got)
			}
		}
		if !got.OK() && m.square(to) < limit {
			t.Errorf("from %g to %g it falls, and is told nowhere", from, to)
		}
	})
}

// A reference band may lie where nothing else is computed.
func TestReferenceBandAnywhere(t *testing.T) {
	for _, band := range []Band{{1, 1.5}, {1, 30}, {1, 20000}, {60, 20000}, {40, 4100}, {4500, 6000}, {5000, 20000}} {
		st := camper(t)
		st.Reference = &band
		r, err := Evaluate(t.Context(), st, Options{WithoutMends: true})
		if err != nil {
			t.Fatal(err)
		}
		for _, o := range r.Candidates {
			f := &o.Figures
			if !f.Reference.OK() || f.ReferenceBand != band {
				t.Errorf("%v, %s: %v over %v", band, o.Candidate.Name, f.Reference, f.ReferenceBand)
			}
			if p := f.PeakLevel; p.Value.OK() && f.F10.OK() && f.F10 > bandHigh {
				t.Errorf("%v, %s: its F10 is %v Hz, and a peak is told at %v", band, o.Candidate.Name, f.F10, p.At)
			}
		}
	}
}

// Of two peaks the higher is found, however much of it lies between two places.
func TestNarrowPeakIsFound(t *testing.T) {
	st := camper(t)
	sys, _, err := st.Build(0)
	if err != nil {
		t.Fatal(err)
	}
	m := newMeter(st, sys)
	wide, narrow := 179.6, latticeHz(450)*math.Exp2(0.5/meanSteps)
	bell := func(f, at, q, dB float64) float64 { // of the power, a resonance over a floor of 1
		return 1 + (math.Pow(10, dB/10)-1)/(1+sq(q*(f/at-at/f)))
	}
	f := func(f float64) float64 { return bell(f, wide, 50, 26) * bell(f, narrow, 1000, 30) }
	p := largestOn(m.lattice(), bandLow, bandHigh, f)
	check.Near(t, "where", float64(p.At), narrow, 1e-5*narrow, "near")
	check.Near(t, "how high", 10*math.Log10(float64(p.Value)), 10*math.Log10(f(narrow)), 1e-6, "flat there")
}
