package large

import (
	"math"
	"math/cmplx"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/curve"
	"basswright/internal/driver"
	"basswright/internal/enclosure"
)

func polynomial(t fataler, c ...float64) *curve.Curve {
	t.Helper()
	out, err := curve.Polynomial(c)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// skewed is a driver with gross curves in a vented box: above its tuning the mean
// of the cone runs away inwards, and far up no state lasts.
func skewed(t fataler) *Model {
	d := &driver.Driver{
		Name: "skua-8", Re: 5.6, Bl: 10.2, Mms: 0.0385, Cms: 0.78e-3, Rms: 1.9, Sd: 0.022, Coil: driver.VoiceCoil{Le: 0.9e-3}, Coils: driver.Coils{Count: 1},
		Curves: &driver.Curves{Bl: polynomial(t, 10.2, 60, -48000, -1.2e6), Kms: polynomial(t, 1282, 8000, 6e6, 2e8), Le: polynomial(t, 0.0009, -0.022, 0.3)},
	}
	return New(build(t, single(d), enclosure.Spec{Kind: enclosure.Vented, Rear: enclosure.Chamber{
		Volume: 0.03, Losses: enclosure.Losses{Leakage: enclosure.Loss{State: enclosure.LossNone}}, Port: enclosure.Port{Shape: enclosure.Round, Diameter: 0.08, Length: 0.2},
	}}), Options{Adiabatic: true})
}

// Where a second state lies nearer to the small-signal answer, the one that is told
// is still the one that the course comes to, from whatever level it is asked for.
func TestStateIsTheOneThatIsTaken(t *testing.T) {
	m := skewed(t)
	rise := m.Rise(40)
	before := 0.0
	for _, v := range []float64{18, 28, 29, 29.5, 30, 33} {
		compareWithCourse(t, m, 40, v)
		s, how, err := rise.State(v)
		if err != nil {
			t.Fatal(err)
		}
		alone, err := m.Steady(40, v)
		if err != nil {
			t.Fatal(err)
		}
		if how != (Standing{}) {
			t.Errorf("%g V: %+v, and it lasts", v, how)
		}
		x, y := s.Cone(0), alone.Cone(0)
		if d := math.Abs(x.Mean-y.Mean) + cmplx.Abs(x.Of[0]-y.Of[0]); d > 1e-9*cmplx.Abs(x.Of[0]) {
			t.Errorf("%g V: from level to level the mean is %g m, from nothing %g m", v, x.Mean, y.Mean)
		}
		if x.Mean > before {
			t.Errorf("%g V: the mean comes back, from %g m to %g m", v, before, x.Mean)
		}
		before = x.Mean
	}
}

// The course starts at the state that is told, but for what a change of a
// thousandth at rest stirs up. It stays where the state lasts, and else leaves.
func TestLastingAgreesWithTheCourse(t *testing.T) {
	vented, d := skewed(t), skewed(t).Sys.Motors[0].Driver
	pair := single(d)
	pair.Stack, pair.Arrangement, pair.Coupling, pair.AllGaps = 2, driver.Clamshell, []driver.Coupling{{Volume: 1.5e-3}}, true
	mirrored := New(build(t, pair, sealed(0.012)), Options{Adiabatic: true})
	for _, at := range []struct {
		m        *Model
		f, volts float64
	}{{vented, 40, 30}, {vented, 40, 45}, {vented, 80, 36}, {vented, 80, 60}, {vented, 20, 20}, {mirrored, 63, 60}, {mirrored, 80, 60}} {
		m := at.m
		s, how, err := m.Rise(at.f).State(at.volts)
		if err != nil {
			t.Fatal(err)
		}
		if off := s.residual(at.volts); off > roughly {
			t.Errorf("%g Hz, %g V: what is told is no state: off by %.2g", at.f, at.volts, off)
		}
		if from, err := m.Steady(at.f, at.volts); err == nil && !how.Jumped && from.apart(s.y) > 1e-9 {
			t.Errorf("%g Hz, %g V: what is told is not what was followed, without a jump", at.f, at.volts)
		}
		if rests := m.turnedUp(at.f, 0, at.volts).rests(); rests != (how.Lasting == Lasts) {
			t.Errorf("%g Hz, %g V: the course comes to rest: %t; the state: %+v", at.f, at.volts, rests, how)
		}
	}
}

// A mass on a spring that hardens, hardly damped, above its resonance: with more
// and more force the small state ends, and the large one is jumped to. By the
// first harmonic alone (Duffing 1918), with x the amplitude, w the frequency over
// that of resonance and p = ¾·a·x²: (1 − w² + p)²·x² + (w·x/Q)² = F², whose end is where
// dF/dx is 0: 3p² + 4p(1 − w²) + (1 − w²)² + (w/Q)² = 0.
func TestJumpOfAHardeningSpring(t *testing.T) {
	const (
		k, mass, a, w, q = 2000.0, 0.05, 2e4, 1.3, 12.0
		re, bl           = 100.0, 2.0 // a source of force, nearly
	)
	rms := math.Sqrt(k*mass)/q - bl*bl/re
	d := &driver.Driver{Name: "duffing", Re: re, Bl: bl, Mms: mass, Cms: 1 / k, Rms: rms, Sd: 0.01, Coils: driver.Coils{Count: 1}, Curves: &driver.Curves{Kms: polynomial(t, k, 0, k*a)}}
	m := New(build(t, single(d), enclosure.Spec{Kind: enclosure.InfiniteBaffle}), Options{LinearAir: true})
	sol := m.Sys.Program.NewSolver()
	f0, top := 0.0, 0.0 // the air on the cone adds to its mass
	for f := 20.0; f < 40; f += 0.01 {
		if err := sol.Solve(2 * math.Pi * f); err != nil {
			t.Fatal(err)
		}
		if x := m.Sys.Excursion(sol, &m.Sys.Cones[0]); x > top {
			f0, top = f, x
		}
	}
	b := 1 - w*w
	p := (-4*b - math.Sqrt(16*b*b-12*(b*b+w*w/(q*q)))) / 6
	x := math.Sqrt(p / (0.75 * a))
	force := k * x * math.Hypot(b+p, w/q)
	volts := force * re / bl / math.Sqrt2
	rise := m.Rise(w * f0)
	for _, share := range []float64{0.9, 1.1} {
		s, how, err := rise.State(share * volts)
		if err != nil {
			t.Fatal(err)
		}
		if how.Lasting != Lasts || how.Jumped != (share > 1) {
			t.Errorf("at %g of the end: %+v", share, how)
		}
		if large := cmplx.Abs(s.Cone(0).Of[0]) > 1.5*x; large != (share > 1) {
			t.Errorf("at %g of the end the cone goes %g m, at the end %g m", share, cmplx.Abs(s.Cone(0).Of[0]), x)
		}
		if c := settled(t, m, w*f0, share*volts, 600); cmplx.Abs(c[1]-s.Cone(0).Of[0]) > 1e-3*cmplx.Abs(c[1]) { // (2π/600)²/12 times what resonance makes of it
			t.Errorf("at %g of the end the course comes to %g m, the state is %g m", share, c[1], s.Cone(0).Of[0])
		}
	}
}

// What is found at one stroke is what small steps from nothing lead to.
func TestOneStrokeIsManySteps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawDriver(t)
		e := sealed(drawVolume(t, d))
		if rapid.Bool().Draw(t, "vented") {
			e.Kind, e.Rear.Tuning = enclosure.Vented, rapid.Float64Range(22, 45).Draw(t, "tuning")
		}
		m := New(build(t, single(d), e), Options{Adiabatic: rapid.Bool().Draw(t, "adiabatic")})
		f := rapid.Float64Range(20, 90).Draw(t, "f")
		volts := inReach(m, rapid.Float64Range(3e-3, 12e-3).Draw(t, "swing"))
		one, err := m.NewTone(f, 13)
		if err != nil {
			t.Fatal(err)
		}
		many, err := m.NewTone(f, 13)
		if err != nil {
			t.Fatal(err)
		}
		found := one.Solve(volts)
		const steps = 40
		for k := 1; k <= steps; k++ {
			if err := many.Solve(volts * float64(k) / steps); err != nil {
				if found != nil {
					return // neither finds one: what there is ends before
				}
				t.Fatalf("%g Hz, %g V: one stroke finds a state, step %d none", f, volts, k)
			}
		}
		if found != nil {
			t.Fatalf("%g Hz, %g V: steps find a state, one stroke none: %v", f, volts, found)
		}
		if d := one.apart(many.y); d > 1e-6 {
			t.Errorf("%g Hz, %g V: apart by %.2g", f, volts, d)
		}
	})
}
