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
		lo := rapid.OneOf(rapid.Float64Range(lowest, 900), rapid.Just(bandLow), rapid.Just(bandLow*math.Exp2(7.0/meanSteps))).Draw(t, "lo")
		hi := math.Min(highest, lo*rapid.Float64Range(1, 20).Draw(t, "wide"))
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
		if len(places) < 2 || places[0] != lo || places[len(places)-1] != hi {
			t.Fatalf("from %g to %g: %v", lo, hi, places)
		}
		for k := 1; k < len(places); k++ {
			step := math.Log2(places[k]/places[k-1]) * meanSteps
			if len(places) > 2 && step < besides*(1-1e-6) || step > 1+besides+1e-6 {
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
