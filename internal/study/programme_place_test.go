package study_test

import (
	"context"
	"math"
	"math/cmplx"
	"testing"

	"basswright/internal/filter"
	"basswright/internal/study"
)

// A tone that is played in a car has, once it has settled, the level and the phase
// that the transfer of the place makes of it in the plain space, and the level that
// the curves tell; the cones move as before. What is cut off at the end of the piece
// rings in it as a part of 1e-4.
func TestPieceAtTheListenersPlace(t *testing.T) {
	st := example(t, "salt-road")
	const volts, rate = 0.2, 8000
	for _, f := range []float64{20, 40, 90} {
		play := func(at *study.Listener) *study.Programme {
			t.Helper()
			own := st.Listening.At
			st.Listening.At = at
			defer func() { st.Listening.At = own }()
			p, err := st.Play(context.Background(), 0, sine(f, rate), rate, study.ProgrammeOptions{Volts: volts, Cold: true})
			if err != nil {
				t.Fatal(err)
			}
			return p
		}
		phasor := func(y []float64) complex128 { // over half a second, a whole number of periods, before the end
			var sum complex128
			for k := len(y) - rate; k < len(y)-rate/2; k++ {
				sum += complex(y[k], 0) * cmplx.Exp(complex(0, -2*math.Pi*f*float64(k)/rate))
			}
			return sum * 4 / complex(rate, 0)
		}
		here, plain := play(st.Listening.At), play(nil)
		want := phasor(plain.Pressure) * st.Listening.At.Transfer(f)
		if got := phasor(here.Pressure); cmplx.Abs(got-want) > 2e-3*cmplx.Abs(want) {
			t.Errorf("%g Hz: %v Pa in the cabin, by its transfer %v", f, got, want)
		}
		if cmplx.Abs(want) < 1.05*cmplx.Abs(phasor(plain.Pressure)) && f < 60 {
			t.Errorf("%g Hz: the cabin gains nothing", f)
		}
		if a, b := phasor(here.Movement), phasor(plain.Movement); a != b {
			t.Errorf("%g Hz: the cone moves by %v instead of %v", f, a, b)
		}
		told := 0
		for _, x := range here.Findings {
			if x.ID == "pressure-in-place" {
				told++
			}
		}
		if told != 1 {
			t.Errorf("told %d times", told)
		}
	}
}

// Gain, polarity and delay of the line-level filters are heard in a piece even where
// they are all that there is.
func TestPieceBehindAGainAlone(t *testing.T) {
	st := example(t, "camper-bench")
	const rate = 8000
	play := func(c filter.Chain) []float64 {
		t.Helper()
		st.Chain = c
		p, err := st.Play(context.Background(), 0, sine(50, rate), rate, study.ProgrammeOptions{Volts: 1e-3, Cold: true})
		if err != nil {
			t.Fatal(err)
		}
		return p.Pressure
	}
	bare, turned := play(filter.Chain{}), play(filter.Chain{Gain: -20, Reversed: true, Delay: 0.01})
	const late = rate / 100
	most := 0.0
	for _, v := range bare {
		most = math.Max(most, math.Abs(v))
	}
	for k := rate / 2; k < len(bare)-late-1; k++ { // so quiet that all is linear to 1e-6
		if d := turned[k+late] + bare[k]/10; math.Abs(d) > 1e-5*most {
			t.Fatalf("sample %d is %g, want %g", k, turned[k+late], -bare[k]/10)
		}
	}
}
