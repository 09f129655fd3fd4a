package study_test

import (
	"context"
	"math"
	"math/cmplx"
	"strings"
	"testing"

	"basswright/internal/enclosure"
	"basswright/internal/phys"
	"basswright/internal/study"
)

// tone is a sine at full scale that lasts so long.
func tone(f, seconds float64, rate int) []float64 {
	out := make([]float64, int(math.Round(seconds*float64(rate))))
	for k := range out {
		out[k] = math.Sin(2 * math.Pi * f * float64(k) / float64(rate))
	}
	return out
}

// settled is what the second half of a tone of 2 s adds to a first half of 1 s.
func settled(t *testing.T, st *study.Study, i int, f, volts float64, of func(p *study.Programme) float64) float64 {
	t.Helper()
	const rate = 24000
	var told [2]float64
	for k := range told {
		p, err := st.Play(context.Background(), i, tone(f, float64(k+1), rate), rate, study.ProgrammeOptions{Volts: volts, Cold: true})
		if err != nil {
			t.Fatal(err)
		}
		told[k] = of(p)
	}
	return told[1] - told[0]
}

// beyond is the share of the time in which a sine is beyond a limit.
func beyond(limit, amplitude float64) float64 {
	return 1 - 2/math.Pi*math.Asin(math.Min(1, limit/amplitude))
}

// Over a second of a settled tone, the time beyond xmax, the mechanical stop, the
// radiator’s xmax, the port’s cautious limit and the brief’s is that of a sine of
// the amplitude that the curves tell: the limits are those of compare, as a share
// of a quiet tone whose air is linear. Each of four crossings a period is told to
// a step of 1/24000 s, of which half is lost on the mean: at 40 Hz 3 ms at worst.
func TestTimeBeyondEachLimit(t *testing.T) {
	const f, volts, slack = 40.0, 0.2, 3e-3
	st := example(t, "camper-bench")
	i, err := st.Find("tuned")
	if err != nil {
		t.Fatal(err)
	}
	sys, _, err := st.Build(i)
	if err != nil {
		t.Fatal(err)
	}
	quiet := *st
	quiet.Drive = study.Drive{Kind: study.DriveVoltage, Value: volts}
	c, err := quiet.CurvesAt(context.Background(), sys, []float64{f}, 1)
	if err != nil {
		t.Fatal(err)
	}
	travel, speed := c.Excursion[0].Y[0], math.Sqrt2*c.SpeedMax[0]
	d := st.Candidates[i].Group.Positions[0][0].Driver
	for _, share := range []float64{0.3, 0.9, 1.2} {
		d.Data.Xmax, sys.Cones[0].Xmax = share*travel, share*travel
		d.Data.Xmech = 0.8 * travel
		st.Brief.Limits.PortSpeed = share * speed
		for name, x := range map[string]struct {
			want float64
			of   func(p *study.Programme) float64
		}{
			"xmax": {beyond(share, 1), func(p *study.Programme) float64 { return p.Cones[0].Over }},
			"stop": {beyond(0.8, 1), func(p *study.Programme) float64 { return p.Cones[0].OverStop }},
			"port": {beyond(share, 1), func(p *study.Programme) float64 { return p.Ports[0].Over }},
		} {
			if got := settled(t, st, i, f, volts, x.of); math.Abs(got-x.want) > slack {
				t.Errorf("%s at %g of the amplitude: %.4f s, want %.4f", name, share, got, x.want)
			}
		}
	}
	// without the brief’s speed it is the cautious limit of the port, smaller here so
	// that the quiet tone passes it
	st.Brief.Limits.PortSpeed = 0
	st.Candidates[i].Enclosure.Rear = enclosure.Chamber{Volume: 2e-3, Tuning: 29, Port: enclosure.Port{Shape: enclosure.Round, Diameter: 8e-3, Count: 1}}
	small, _, err := st.Build(i)
	if err != nil {
		t.Fatal(err)
	}
	flow, err := small.Facts.Ports[0].Port.Airflow(st.Air)
	if err != nil {
		t.Fatal(err)
	}
	limit, _ := flow.Limit(f)
	quiet.Drive.Value = 2 * volts
	c, err = quiet.CurvesAt(context.Background(), small, []float64{f}, 1)
	if err != nil {
		t.Fatal(err)
	}
	speed = math.Sqrt2 * c.SpeedMax[0]
	if !(speed > 1.1*limit) {
		t.Fatalf("%g m/s do not pass the limit of %g", speed, limit)
	}
	got := settled(t, st, i, f, 2*volts, func(p *study.Programme) float64 {
		j := p.Ports[0]
		if l, _ := flow.Limit(j.LimitAt); j.Limit != l { // it may be a half swing of the beginning that uses it up most
			t.Errorf("held against %g m/s at %g Hz, where the port has %g", j.Limit, j.LimitAt, l)
		}
		if w := j.Words(phys.Speed, phys.Metric); !strings.Contains(w, "beyond its cautious limit (") {
			t.Errorf("the words do not tell of it: %s", w)
		}
		return j.Over
	})
	if want := beyond(limit, speed); math.Abs(got-want) > slack {
		t.Errorf("cautious limit: %.4f s, want %.4f", got, want)
	}
}

// A radiator is held against its own xmax.
func TestTimeBeyondTheRadiator(t *testing.T) {
	const f, volts = 40.0, 0.2
	st := example(t, "camper-bench")
	st.Candidates[0].Enclosure = enclosure.Spec{Kind: enclosure.PassiveRadiator, Rear: enclosure.Chamber{Volume: 0.028},
		Radiator: enclosure.Radiator{Sd: 0.0345, Mms: 0.12, Fs: 18, Qms: 6, Count: 1, Xmax: 1}}
	sys, _, err := st.Build(0)
	if err != nil {
		t.Fatal(err)
	}
	quiet := *st
	quiet.Drive = study.Drive{Kind: study.DriveVoltage, Value: volts}
	c, err := quiet.CurvesAt(context.Background(), sys, []float64{f}, 1)
	if err != nil {
		t.Fatal(err)
	}
	st.Candidates[0].Enclosure.Radiator.Xmax = 0.5 * c.Excursion[1].Y[0]
	got := settled(t, st, 0, f, volts, func(p *study.Programme) float64 { return p.Cones[1].Over })
	if want := beyond(0.5, 1); math.Abs(got-want) > 3e-3 {
		t.Errorf("%.4f s, want %.4f", got, want)
	}
}

// The watts of a settled tone are those of the curves, to what (ωh)² leaves; all of
// a tone beyond the rating is told as such, and nothing of one below it; a short
// end counts no peak of the current as a mean.
func TestTimeBeyondTheRating(t *testing.T) {
	const f, volts, rate = 100.0, 0.2, 24000 // far from resonance, near which the beginning takes more
	st := example(t, "camper-bench")
	sys, _, err := st.Build(0)
	if err != nil {
		t.Fatal(err)
	}
	quiet := *st
	quiet.Drive = study.Drive{Kind: study.DriveVoltage, Value: volts}
	c, err := quiet.CurvesAt(context.Background(), sys, []float64{f}, 1)
	if err != nil {
		t.Fatal(err)
	}
	watts := c.Power[0].Y[0]
	for _, x := range []struct{ rated, over float64 }{{watts / 2, 1.503}, {2 * watts, 0}} {
		st.Candidates[0].Group.Positions[0][0].Driver.Data.RatedPower = x.rated
		p, err := st.Play(context.Background(), 0, tone(f, 1.503, rate), rate, study.ProgrammeOptions{Volts: volts, Cold: true})
		if err != nil {
			t.Fatal(err)
		}
		h := p.Cones[0].Heat
		if math.Abs(h.Most/watts-1) > 0.02 { // the first half second holds the beginning
			t.Errorf("%g W, by the curves %g", h.Most, watts)
		}
		if math.Abs(h.Over-x.over) > 1e-6 || h.Rated != x.rated {
			t.Errorf("rated for %g W: %g s of %g W beyond %g, want %g s", x.rated, h.Over, h.Most, h.Rated, x.over)
		}
	}
}

// A tone through drivers with curves comes to the steady state that harmonic
// balance finds: fundamental, second and third harmonic of the pressure, played
// loud enough for a percent of them. The trapezoidal rule is off by (nωh)²/12 a
// harmonic, here 2e-5 and less; the difference that makes a pressure of a flow by
// (nωh)²/6.
func TestPlayedWithCurvesIsTheSteadyState(t *testing.T) {
	const f, volts, rate = 30.0, 12.0, 48000
	st := example(t, "hayloft")
	i, err := st.Find("mirrored")
	if err != nil {
		t.Fatal(err)
	}
	// what the air has pumped up leaks away slowly: after 15 s the second line is still 0.4 % off
	p, err := st.Play(context.Background(), i, tone(f, 30, rate), rate, study.ProgrammeOptions{Volts: volts, Cold: true})
	if err != nil {
		t.Fatal(err)
	}
	d, err := st.Distort(context.Background(), i, []float64{f}, []float64{volts})
	if err != nil {
		t.Fatal(err)
	}
	want := d.Points[0]
	for n := 1; n <= 3; n++ {
		var sum complex128
		for k := len(p.Pressure) - rate; k < len(p.Pressure); k++ { // a second, a whole number of periods
			sum += complex(p.Pressure[k], 0) * cmplx.Exp(complex(0, -2*math.Pi*float64(n)*f*float64(k)/rate))
		}
		got, is := 2*cmplx.Abs(sum)/rate, cmplx.Abs(want.Pressure.Of[n-1])
		if !(is > 1e-3*cmplx.Abs(want.Pressure.Of[0])) {
			t.Fatalf("line %d of %g Pa is none to be measured", n, is)
		}
		if math.Abs(got/is-1) > 2e-3 {
			t.Errorf("line %d: %g Pa in time, %g in the steady state", n, got, is)
		}
	}
}
