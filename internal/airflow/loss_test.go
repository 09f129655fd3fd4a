package airflow

import (
	"math"
	"math/rand/v2"
	"testing"

	"basswright/internal/check"
	"basswright/internal/phys"
)

// Idelchik’s handbook has a formula for an entrance in a wall beside its table.
func TestEntranceAgainstFormula(t *testing.T) {
	for r := 0.0; r <= 0.3; r += 0.001 {
		formula := 0.03 + 0.47*math.Pow(10, -7.7*r) // from memory
		check.Near(t, "entrance in a wall", entrance(r, true), formula, 0.03, "the table’s two decimals, and the formula beyond 0.1")
		if free := entrance(r, false); free < entrance(r, true) || free > 1 {
			t.Errorf("r = %g: %g in free air, %g in a wall", r, free, entrance(r, true))
		}
	}
	for _, flanged := range []bool{true, false} {
		for r := 0.001; r < 0.5; r += 0.001 {
			if entrance(r, flanged) > entrance(r-0.001, flanged) {
				t.Errorf("entrance rises at %g", r)
			}
		}
	}
}

func TestCoefficients(t *testing.T) {
	p := port(t, Section{Diameter: 0.1}, End{}, End{Flanged: true, Edge: 0.03})
	inner, outer := p.Coefficients()
	if inner != (Coefficients{1, 1}) || outer != (Coefficients{1, 0.03}) {
		t.Errorf("%+v, %+v", inner, outer)
	}
	if _, sharp := port(t, Section{Diameter: 0.1}, End{}, End{Flanged: true}).Coefficients(); sharp != (Coefficients{1, 0.5}) {
		t.Errorf("%+v", sharp)
	}
	// A cone at 6° to twice the diameter: a quarter of the speed leaves with a
	// sixteenth of the energy, and 2.6·sin 6°·(3/4)² is lost on the way.
	cone, _ := port(t, Section{Diameter: 0.1}, End{Flanged: true, Mouth: 2, Slope: math.Pi / 30}, End{}).Coefficients()
	check.Near(t, "out of a cone", cone.Out, 1.0/16+2.6*0.104528463*9/16, 1e-8, "the sine is printed to 9 digits")
	check.Near(t, "into a cone", cone.In, 0.5/16+0.8*0.104528463*3/4, 1e-8, "as above")
	// Points of the table, in a slot too: its hydraulic diameter is 4·0.012/0.8, and
	// behind a cone the edge is that of the mouth.
	for _, c := range []struct {
		s    Section
		e    End
		want float64
	}{
		{Section{Diameter: 0.1}, End{Edge: 0.002}, 0.74},
		{Section{Diameter: 0.1}, End{Edge: 0.006}, 0.32},
		{Section{Diameter: 0.1}, End{Edge: 0.012}, 0.10},
		{Section{Width: 0.3, Height: 0.1}, End{Edge: 0.06 * 0.15}, 0.32},
		{Section{Width: 0.3, Height: 0.1}, End{Edge: 0.06 * 0.15, Flanged: true}, 0.20},
		{Section{Diameter: 0.1}, End{Edge: 0.012, Mouth: 2, Slope: 0.1}, 0.32/16 + 0.8*math.Sin(0.1)*3/4},
	} {
		got, _ := port(t, c.s, c.e, End{}).Coefficients()
		check.Near(t, "entrance", got.In, c.want, 1e-14, "rounding")
	}
	// The two directions, by hand: ρ/(2S²)·½·[(1 + 1) + (1 + 0.5)].
	s := math.Pi * 0.0025
	two := port(t, Section{Diameter: 0.1}, End{}, End{Flanged: true})
	check.Near(t, "Quadratic", two.Quadratic()/(phys.StandardAir().Rho/(2*s*s)*1.75), 1, 1e-14, "rounding")
}

// The brief form of the describing function, for sharp ends at any frequency.
func TestResistanceOfSharpEnds(t *testing.T) {
	p := port(t, Section{Width: 0.3, Height: 0.04}, End{}, End{Flanged: true})
	for _, f := range []float64{1e-3, 20, 1e4} {
		for _, flow := range []float64{1e-6, 0.01, 0.3} {
			want := 8 / (3 * math.Pi) * p.Quadratic() * flow
			check.Near(t, "resistance", p.Resistance(f, flow)/want, 1, 1e-14, "rounding")
		}
	}
	if p.Resistance(20, 0) != 0 {
		t.Error("a port at rest has a quadratic loss")
	}
}

// A second way: the pressure of the port over time, with each end’s loss switched
// on where the air has come two radii far in its half of the cycle, and its
// component in phase averaged over random instants of a sine.
func TestResistanceByTimeDomainAverage(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 1998))
	for _, c := range []struct {
		inner, outer End
		f, speed     float64
	}{
		{End{}, End{Flanged: true}, 30, 5},
		{End{Edge: 0.02}, End{Flanged: true, Edge: 0.03}, 30, 12},
		{End{Edge: 0.01}, End{Flanged: true}, 45, 8},
		{End{}, End{Flanged: true, Edge: 0.015, Mouth: 1.5, Slope: 0.1}, 25, 15},
		{End{Edge: 0.03}, End{Flanged: true, Edge: 0.03}, 40, 7}, // stays attached: no loss at all
	} {
		p := port(t, Section{Diameter: 0.1}, c.inner, c.outer)
		w, rho, flow := 2*math.Pi*c.f, p.air.Rho, c.speed*p.area
		travelled := func(phase float64) float64 { // since the flow turned, m
			return c.speed / w * (1 - math.Cos(math.Mod(phase, math.Pi)))
		}
		pressure := func(phase float64) float64 {
			u := c.speed * math.Sin(phase)
			k := 0.0
			for _, end := range []struct {
				s   stream
				out bool
			}{{p.inner, u < 0}, {p.outer, u > 0}} {
				edge, cone := end.s.edgeIn, end.s.coneIn
				if end.out {
					edge, cone = end.s.edgeOut, end.s.coneOut
				}
				if travelled(phase) > 2*end.s.edge*end.s.widens/Separation {
					k += edge
				}
				k += cone
			}
			return rho / 2 * k * u * math.Abs(u)
		}
		const n = 1 << 19
		sum := 0.0
		for i := range n { // one random instant in each of n parts of the cycle
			phase := 2 * math.Pi * (float64(i) + random.Float64()) / n
			sum += pressure(phase) * math.Sin(phase)
		}
		got, want := 2*sum/n/flow, p.Resistance(c.f, flow)
		whole := 8 / (3 * math.Pi) * p.Quadratic() * flow
		check.Near(t, "resistance", got/whole, want/whole, 1e-5, "the parts in which an end’s loss begins, each 1/n of the cycle")
	}
}
