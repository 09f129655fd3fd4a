package large

import (
	"context"
	"math"
	"math/cmplx"
	"testing"

	"basswright/internal/driver"
)

func unwatched(float64) {}

// Without curves and with linear air two tones pass as each alone does.
func TestTwoTonesOfALinearModel(t *testing.T) {
	c, _ := readCase(t, "C_vented_single")
	sys := c.system(t)
	sys.Motors[0].Driver.Curves = nil
	two, err := New(sys, Options{LinearAir: true}).Two(context.Background(), 30, 200, 10, 2, unwatched)
	if err != nil {
		t.Fatal(err)
	}
	sol := sys.Program.NewSolver()
	if err := sol.Solve(2 * math.Pi * 200); err != nil {
		t.Fatal(err)
	}
	want := 2 * math.Sqrt2 * cmplx.Abs(sys.Pressure(sol))
	if math.Abs(two.Level/want-1) > 2e-4 { // the steps, see perHighest
		t.Errorf("the high tone is %g Pa, alone %g", two.Level, want)
	}
	if s := two.Share(); s > 1e-5 {
		t.Errorf("the side tones of a linear model are %g", s)
	}
}

// A slow low tone only shifts the working point of the high one: its side tones
// are those of the high tone's level at the displacements that the low one
// passes through. The level there is that of a driver whose parameters are those
// at that displacement. The theory is for a low tone that is infinitely slow; with
// a hundredth of the high tone's frequency it is off by what the cone's mass and
// the inductance do to the sides, a percent here.
func TestSideTonesOfASlowTone(t *testing.T) {
	c, _ := readCase(t, "C_sealed_single")
	c.Driver.Le = 0
	c.Polynomials.Le = []float64{1}
	c.Polynomials.K = []float64{1282.05}
	c.Polynomials.Bl = []float64{10.2, 200, -15000}
	sys := c.system(t)
	m := New(sys, Options{LinearAir: true, Adiabatic: true})
	const low, high, a = 4.0, 800.0, 3.0
	two, err := m.Two(context.Background(), low, high, a, 0.05, unwatched)
	if err != nil {
		t.Fatal(err)
	}
	s, err := m.Steady(low, a)
	if err != nil {
		t.Fatal(err)
	}
	// far above resonance the level goes with Bl(x) where the motor’s damping is small beside the mass
	wave := s.Cone(0)
	var first, second, mean complex128
	const n = 720
	for k := range n {
		angle := 2 * math.Pi * float64(k) / n
		x, _, _ := wave.at(angle)
		b, _, _ := sys.Motors[0].Driver.Curves.Bl.At(x)
		mean += complex(b/n, 0)
		first += complex(b/n, 0) * cmplx.Exp(complex(0, -angle))
		second += complex(b/n, 0) * cmplx.Exp(complex(0, -2*angle))
	}
	for i, want := range []float64{cmplx.Abs(first) / cmplx.Abs(mean), cmplx.Abs(second) / cmplx.Abs(mean)} {
		got := (cmplx.Abs(two.Above[i])/(high+float64(i+1)*low)*high + cmplx.Abs(two.Below[i])/(high-float64(i+1)*low)*high) / 2 / two.Level
		if math.Abs(got/want-1) > 0.03 {
			t.Errorf("side tone %d is %.5f of the high tone, by the curve %.5f", i+1, got, want)
		}
	}
}

// What is steady moves slowly where air leaks out of a closed box: a wait of some low
// periods sees it stand still at its beginning. A course of its own, with leaks of half
// the speed, waits 15 s, after which the two cones are still moving apart by what makes
// less than a hundredth; its steps, of which the high tone has 48, make 0.15 %.
func TestTwoTonesWaitForTheLeak(t *testing.T) {
	pair := single(skewed(t).Sys.Motors[0].Driver)
	pair.Stack, pair.Arrangement, pair.Coupling, pair.AllGaps = 2, driver.Clamshell, []driver.Coupling{{Volume: 1.5e-3}}, true
	m := New(build(t, pair, sealed(0.012)), Options{})
	const low, high, a, b = 100.0, 1000.0, 20.0, 5.0
	two, err := m.Two(context.Background(), low, high, a, b, unwatched)
	if err != nil {
		t.Fatal(err)
	}
	const perSecond, seconds = 48000, 15
	c, err := m.newCourse(1.0/perSecond, low*leakShare/2)
	if err != nil {
		t.Fatal(err)
	}
	var level, above complex128
	for k := 1; k <= seconds*perSecond; k++ {
		at := 2 * math.Pi * float64(k) / perSecond
		rise := min(1, float64(k)/perSecond*low/4)
		if err := c.Step(math.Sqrt2 * rise * (a*math.Sin(low*at) + b*math.Sin(high*at))); err != nil {
			t.Fatal(err)
		}
		if k > seconds*perSecond-perSecond/100 {
			u := complex(c.VolumeVelocity()*200/perSecond, 0)
			level += u * cmplx.Exp(complex(0, -high*at))
			above += u * cmplx.Exp(complex(0, -(high+low)*at))
		}
	}
	got, want := cmplx.Abs(two.Above[0])/two.Level, cmplx.Abs(above)/cmplx.Abs(level)*(high+low)/high
	if math.Abs(got/want-1) > 0.01 {
		t.Errorf("the side tone is %.4f of the high one, in a course that waits %.4f", got, want)
	}
}

func TestTonesThatCannotBe(t *testing.T) {
	c, _ := readCase(t, "C_sealed_single")
	m := New(c.system(t), Options{LinearAir: true})
	for _, f := range [][2]float64{{30, 80}, {30.05, 200}, {0, 200}, {0.1, 999.9}} {
		if _, err := m.Two(context.Background(), f[0], f[1], 1, 1, unwatched); err == nil {
			t.Errorf("%v Hz was taken", f)
		}
	}
}
