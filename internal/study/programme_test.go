package study_test

import (
	"context"
	"math"
	"math/cmplx"
	"testing"

	"basswright/internal/filter"
	"basswright/internal/study"
)

// sine is a second and a half of a tone at full scale.
func sine(f float64, rate int) []float64 {
	out := make([]float64, rate*3/2)
	for k := range out {
		out[k] = math.Sin(2 * math.Pi * f * float64(k) / float64(rate))
	}
	return out
}

// A tone, once it has settled, has the level, the travel and the port’s air speed
// that the curves tell, for drivers without curves and so quiet that the air is
// linear: the trapezoidal rule and the slope’s difference are off by (ωh)² and
// less, 3e-5 at 40 Hz.
func TestToneIsThatOfTheCurves(t *testing.T) {
	st := example(t, "camper-bench")
	i, err := st.Find("tuned")
	if err != nil {
		t.Fatal(err)
	}
	hp, err := filter.HighPass(filter.Butterworth, 2, 25)
	if err != nil {
		t.Fatal(err)
	}
	const volts, rate, f = 0.2, 48000, 40.0
	for _, chain := range []filter.Chain{{}, hp} {
		st.Chain = chain
		p, err := st.Play(context.Background(), i, sine(f, rate), rate, study.ProgrammeOptions{Volts: volts, Cold: true})
		if err != nil {
			t.Fatal(err)
		}
		sys, _, err := st.Build(i)
		if err != nil {
			t.Fatal(err)
		}
		st.Drive = study.Drive{Kind: study.DriveVoltage, Value: volts}
		c, err := st.CurvesAt(context.Background(), sys, []float64{f}, 1)
		if err != nil {
			t.Fatal(err)
		}
		amplitude := func(y []float64) float64 { // over the last second, a whole number of periods
			var sum complex128
			for k := len(y) - rate; k < len(y); k++ {
				sum += complex(y[k], 0) * cmplx.Exp(complex(0, -2*math.Pi*f*float64(k)/rate))
			}
			return 2 * cmplx.Abs(sum) / rate
		}
		want := 20e-6 * math.Sqrt2 * math.Pow(10, c.SPL[0]/20)
		if got := amplitude(p.Pressure); math.Abs(got/want-1) > 2e-4 {
			t.Errorf("%g Pa, by the curves %g", got, want)
		}
		if got := amplitude(p.Movement); math.Abs(got/c.ExcursionMax[0]-1) > 2e-4 {
			t.Errorf("%g m, by the curves %g", got, c.ExcursionMax[0])
		}
		if len(p.Ports) != 1 || p.Moving != "driver" || p.Clipped != 0 || p.Rate != rate {
			t.Errorf("%+v", p)
		}
	}
}

// What is beyond the amplifier is cut off, what is beyond a limit is counted in
// seconds, coils warm up, and a run can be stopped.
func TestPlayCountsAndStops(t *testing.T) {
	st := example(t, "camper-bench")
	ctx := context.Background()
	const rate = 8000
	quiet, err := st.Play(ctx, 0, sine(25, rate), rate, study.ProgrammeOptions{Volts: 5})
	if err != nil {
		t.Fatal(err)
	}
	most := st.Amplifier.MaxVoltage()
	loud, err := st.Play(ctx, 0, sine(25, rate), rate, study.ProgrammeOptions{Volts: 3 * most})
	if err != nil {
		t.Fatal(err)
	}
	if quiet.Clipped != 0 || quiet.Cones[0].Over != 0 || !(loud.Cones[0].Over > 0.3) {
		t.Errorf("quiet %+v, loud %+v", quiet.Cones, loud.Cones)
	}
	// a sine three times too large is cut where |sin| > 1/3: 1 − 2/π·asin(1/3) of the time
	if want := 1.5 * (1 - 2/math.Pi*math.Asin(1.0/3)); math.Abs(loud.Clipped-want) > 0.01 {
		t.Errorf("cut for %g s, want %g", loud.Clipped, want)
	}
	if !(loud.Warmest > quiet.Warmest && quiet.Warmest > 20) {
		t.Errorf("%g °C quiet, %g °C loud", quiet.Warmest, loud.Warmest)
	}
	told := 0
	if _, err := st.Play(ctx, 0, sine(25, rate), rate, study.ProgrammeOptions{Volts: 1, Progress: func(float64) { told++ }}); err != nil || told != 2 {
		t.Errorf("progress was told %d times, %v", told, err)
	}
	stopped, cancel := context.WithCancel(ctx)
	cancel()
	if _, err := st.Play(stopped, 0, sine(25, rate), rate, study.ProgrammeOptions{}); err != context.Canceled {
		t.Errorf("a cancelled run ends with %v", err)
	}
}
