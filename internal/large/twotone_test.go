package large

import (
	"context"
	"math"
	"math/cmplx"
	"testing"
)

// Without curves and with linear air two tones pass as each alone does.
func TestTwoTonesOfALinearModel(t *testing.T) {
	c, _ := readCase(t, "C_vented_single")
	sys := c.system(t)
	sys.Motors[0].Driver.Curves = nil
	two, err := New(sys, Options{LinearAir: true}).Two(context.Background(), 30, 200, 10, 2)
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
	two, err := m.Two(context.Background(), low, high, a, 0.05)
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

func TestTonesThatCannotBe(t *testing.T) {
	c, _ := readCase(t, "C_sealed_single")
	m := New(c.system(t), Options{LinearAir: true})
	for _, f := range [][2]float64{{30, 80}, {30.05, 200}, {0, 200}, {0.1, 999.9}} {
		if _, err := m.Two(context.Background(), f[0], f[1], 1, 1); err == nil {
			t.Errorf("%v Hz was taken", f)
		}
	}
}
