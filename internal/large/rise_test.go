package large

import (
	"flag"
	"fmt"
	"math"
	"math/cmplx"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/driver"
	"basswright/internal/phys"
)

var hardStates = flag.Int("states", 12, "how many drawn stacks the tests of hard-driven states go through")

// hard is a stack that is driven to where its curves bend, and beyond.
type hard struct {
	m        *Model
	f, volts float64
	what     string
}

// hardDriven draws stacks that face one way or both, with air between the cones and
// without, in closed boxes that keep their static pressure or let it leak away.
var hardDriven = rapid.Custom(func(t *rapid.T) hard {
	d, gross := drawDriver(t), rapid.Bool().Draw(t, "gross")
	if gross {
		d = skewed(&testing.T{}).Sys.Motors[0].Driver
	}
	spec := single(d)
	spec.Stack = 2
	spec.Arrangement = rapid.SampledFrom([]driver.Arrangement{driver.Clamshell, driver.BackToBack, driver.Tandem}).Draw(t, "arrangement")
	air := phys.StandardAir()
	vas := air.Rho * air.C * air.C * d.Sd * d.Sd * d.Cms
	coupled := rapid.Bool().Draw(t, "coupled")
	if coupled {
		spec.Coupling, spec.AllGaps = []driver.Coupling{{Volume: vas * rapid.Float64Range(0.01, 0.05).Draw(t, "gap")}}, true
	}
	o := Options{Adiabatic: rapid.Bool().Draw(t, "adiabatic"), LinearAir: rapid.Bool().Draw(t, "linear air")}
	m := New(build(&testing.T{}, spec, sealed(drawVolume(t, d)/2)), o)
	// above resonance the mean runs away, and rapid likes the ends of a range
	h := hard{m: m, f: rapid.SampledFrom([]float64{63, 80, 90, 100, 112, 125}).Draw(t, "f")}
	h.volts = inAt(&testing.T{}, m, h.f, 1e-3*rapid.SampledFrom([]float64{5, 6, 7, 8, 9}).Draw(t, "swing"))
	h.what = fmt.Sprintf("gross %t, %v, air between %t, %+v, %.4g Hz, %.4g V", gross, spec.Arrangement, coupled, o, h.f, h.volts)
	return h
})

func eachHardDriven(t *testing.T, check func(t *testing.T, h hard)) {
	for seed := range *hardStates {
		h := hardDriven.Example(seed)
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			t.Log(h.what)
			check(t, h)
		})
	}
}

// far is how far two cones' lines are from each other, as a share of the swing.
func far(a, b Lines) float64 {
	d, size := math.Abs(a.Mean-b.Mean), math.Abs(b.Mean)
	for n := range min(len(a.Of), len(b.Of), 5) {
		d, size = d+cmplx.Abs(a.Of[n]-b.Of[n]), size+cmplx.Abs(b.Of[n])
	}
	return d / size
}

// What is told of a level is the same alone, in a list and in another list, downwards
// too. What is gentle is found from elsewhere then: to what the search leaves.
func TestStatesDoNotDependOnWhatIsAsked(t *testing.T) {
	eachHardDriven(t, func(t *testing.T, h hard) {
		type told struct {
			x   []Lines
			how Standing
			err bool
		}
		ask := func(r *Rise, volts float64) told {
			s, how, err := r.State(volts)
			out := told{how: how, err: err != nil}
			for k := range h.m.Sys.Cones {
				if err == nil {
					out.x = append(out.x, s.Cone(k))
				}
			}
			return out
		}
		alone := ask(h.m.Rise(h.f), h.volts)
		for _, list := range [][]float64{{0.25, 0.5, 0.75, 1}, {0.31, 0.77, 0.83, 0.9, 0.95, 0.99, 1}, {1.3, 1}} {
			r := h.m.Rise(h.f)
			var last told
			for _, part := range list {
				last = ask(r, part*h.volts)
			}
			if last.how != alone.how || last.err != alone.err {
				t.Errorf("in the list %v it is %+v, and alone %+v", list, last.how, alone.how)
				continue
			}
			for k := range alone.x {
				if d := far(last.x[k], alone.x[k]); d > 1e-9 {
					t.Errorf("in the list %v cone %d has a mean of %g m, and alone %g m: %.2g apart", list, k, last.x[k].Mean, alone.x[k].Mean, d)
				}
			}
		}
	})
}

// A state that lasts is the one that the course comes to when its sine is turned up
// slowly. Its leaks empty a chamber in about thirty periods, and take 4e-4 of what a
// spring takes; 128 steps a period are off by (2π/128)²/12 = 2e-4. Resonance and curves make
// more of both, and where states end they decide on which side it is: there the
// state a little below or above is as good.
func TestStatesAreWhatASlowRiseLeadsTo(t *testing.T) {
	lasting, large := 0, 0
	eachHardDriven(t, func(t *testing.T, h hard) {
		s, how, err := h.m.Rise(h.f).State(h.volts)
		if err != nil || how.Lasting != Lasts {
			return // there is none that lasts; how many do is counted below
		}
		lasting++
		if x := s.Cone(0); math.Abs(x.Mean) > 0.2*cmplx.Abs(x.Of[0]) {
			large++
		}
		x, rests := slowlyRisen(t, h.m, h.f, h.volts)
		if !rests {
			t.Fatalf("%+v, mean %g m, fundamental %g m: the course does not come to rest", how, s.Cone(0).Mean, cmplx.Abs(s.Cone(0).Of[0]))
		}
		nearest := math.Inf(1)
		for _, by := range []float64{1, 0.98, 1.02} {
			s, _, err := h.m.Rise(h.f).State(by * h.volts)
			if err != nil {
				continue
			}
			d := 0.0
			for k := range x {
				d = math.Max(d, far(s.Cone(k), x[k]))
			}
			if nearest = math.Min(nearest, d); nearest < 0.03 {
				return
			}
		}
		t.Errorf("%+v: the mean is %g m, that of the course %g m: %.2g apart", how, s.Cone(0).Mean, x[0].Mean, nearest)
	})
	if lasting < *hardStates/3 || large < *hardStates/6 {
		t.Errorf("of %d states %d last, and %d of them have a large mean: the check is not about this", *hardStates, lasting, large)
	}
}

// slowlyRisen is what the cones do once the sine has been turned up, slowly against what
// leaks, and repeats itself.
func slowlyRisen(t fataler, m *Model, f, volts float64) (cones []Lines, rests bool) {
	const steps, atRest = 128, 1e-6
	up := 300
	switch len(m.closed()) { // what a cavity between two cones lets go needs hundreds of periods
	case 1:
		up = 2000
	case 2:
		up = 12000
	}
	most := 2*up + 2000
	c, err := m.newCourse(1/f/steps, f*leakShare)
	if err != nil {
		t.Fatal(err)
	}
	n := len(m.Sys.Cones)
	still := 0
	for period := range most {
		next := make([]Lines, n)
		for k := range next {
			next[k].Of = make([]complex128, 5)
		}
		for i := 1; i <= steps; i++ {
			part := math.Min(1, (float64(period)+float64(i)/steps)/float64(up))
			sin := math.Sin(2 * math.Pi * float64(i) / steps)
			push := 0.0
			if part < 1 {
				push = 1e-6 // what is perfectly symmetrical would stay so
			}
			if c.Step(math.Sqrt2*volts*(part*sin+push)) != nil {
				return nil, false
			}
			for k := range next {
				x := c.Cone(k)
				next[k].Mean += x / steps
				for h := range next[k].Of {
					next[k].Of[h] += complex(2*x/steps, 0) * cmplx.Exp(complex(0, -2*math.Pi*float64(h+1)*float64(i)/steps))
				}
			}
		}
		still++
		for k := range next {
			if cones == nil || far(next[k], cones[k]) > atRest {
				still = 0
			}
		}
		cones = next
		if period > up && still > 20 {
			return cones, true
		}
	}
	return cones, false
}

// The stacks of two reports in which one voltage alone was told otherwise than at the
// end of a list: the mean of the cones runs away outwards, as it does in time.
func TestMeanOfAStackRunsAway(t *testing.T) {
	d := skewed(t).Sys.Motors[0].Driver
	for _, c := range []struct {
		arrangement driver.Arrangement
		gap, volts  float64
		least       float64 // m, mean of the innermost cone
	}{{driver.Clamshell, 1.5e-3, 40, 9e-3}, {driver.Tandem, 3e-3, 40, 9e-3}} {
		spec := single(d)
		spec.Stack, spec.Arrangement, spec.Coupling, spec.AllGaps = 2, c.arrangement, []driver.Coupling{{Volume: c.gap}}, true
		m := New(build(t, spec, sealed(0.012)), Options{})
		s, how, err := m.Rise(100).State(c.volts)
		if err != nil {
			t.Fatal(err)
		}
		if x := s.Cone(0); how != (Standing{}) || math.Abs(x.Mean) < c.least {
			t.Errorf("%v, %g V: %+v, and the mean is %g m", c.arrangement, c.volts, how, x.Mean)
		}
		x, rests := slowlyRisen(t, m, 100, c.volts)
		if d := far(s.Cone(0), x[0]); !rests || d > 0.01 {
			t.Errorf("%v, %g V: the course has a mean of %g m (at rest: %t), the state %g m", c.arrangement, c.volts, x[0].Mean, rests, s.Cone(0).Mean)
		}
	}
}
