package duct

import (
	"math"
	"math/cmplx"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/phys"
)

// plainAir is the air of the reference curves.
var plainAir = Gas{Rho: 1.2041, C: 343.2, Viscosity: 1.82e-5, Prandtl: 0.71, Gamma: 1.4}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

func omega(f float64) float64 { return 2 * math.Pi * f }

// load is the impedance at the start for one at the end.
func (m Chain) load(z complex128) complex128 { return (m.A*z + m.B) / (m.C*z + m.D) }

// pass is the volume velocity at the end over that at the start.
func (m Chain) pass(z complex128) complex128 {
	return complex(math.Exp(-m.Log), 0) / (m.C*z + m.D)
}

// piston is the impedance of a mouth in a baffle, Pa·s/m³.
func piston(g Gas, area, w float64) complex128 {
	return complex(g.Rho*g.C/area, 0) * phys.PistonLoad(w*math.Sqrt(area/math.Pi)/g.C)
}

// db is how far two numbers lie apart in level.
func db(a, b complex128) float64 { return math.Abs(20 * math.Log10(cmplx.Abs(a)/cmplx.Abs(b))) }

func logDraw(t *rapid.T, name string, lo, hi float64) float64 {
	return math.Exp(rapid.Float64Range(math.Log(lo), math.Log(hi)).Draw(t, name))
}

// drawShape draws one of the flares, or a profile with jumps.
func drawShape(t *rapid.T) Shape {
	length := logDraw(t, "length", 0.05, 6)
	from := logDraw(t, "from", 1e-3, 0.1)
	to := from * logDraw(t, "widening", 0.2, 40)
	wider := max(to, from*1.5)
	switch rapid.SampledFrom([]string{"cylinder", "cone", "exponential", "hyperbolic", "parabolic", "tractrix", "points"}).Draw(t, "flare") {
	case "cylinder":
		return must(Cylinder(length, from))
	case "cone":
		return must(Cone(length, from, to))
	case "exponential":
		return must(Exponential(length, from, to))
	case "hyperbolic":
		return must(Hyperbolic(length, from, wider, rapid.Float64Range(0, 4).Draw(t, "T")))
	case "parabolic":
		return must(Parabolic(length, from, to))
	case "tractrix":
		return must(Tractrix(from, wider))
	}
	points := []Point{{0, from}}
	n := rapid.IntRange(1, 6).Draw(t, "points")
	for i := range n {
		x := length * float64(i+1) / float64(n)
		points = append(points, Point{x, from * logDraw(t, "area", 0.3, 5)})
		if i+1 < n && rapid.Bool().Draw(t, "jump") {
			points = append(points, Point{x, from * logDraw(t, "area", 0.3, 5)})
		}
	}
	return must(Points(points))
}

func drawFill(t *rapid.T) Fill {
	f := Fill{Resistivity: logDraw(t, "resistivity", 50, 5e4)}
	if rapid.Bool().Draw(t, "limp") {
		f.Density = logDraw(t, "density", 2, 60)
	}
	return f
}

// drawMaking draws what a duct is made of.
func drawMaking(t *rapid.T, length float64) Making {
	m := Making{Gas: plainAir, Walls: rapid.Bool().Draw(t, "walls"), Steps: rapid.Bool().Draw(t, "steps")}
	switch rapid.IntRange(0, 2).Draw(t, "section") {
	case 1:
		m.Section.Width = logDraw(t, "width", 0.02, 1)
	case 2:
		m.Section.Aspect = logDraw(t, "aspect", 1, 12)
	}
	switch rapid.IntRange(0, 3).Draw(t, "filled") {
	case 1:
		m.Fills = []Filling{{Fill: drawFill(t)}}
	case 2:
		m.Fills = []Filling{
			{From: length * 0.05, To: length * rapid.Float64Range(0.1, 0.5).Draw(t, "to"), Fill: drawFill(t)},
			{From: length * rapid.Float64Range(0.5, 0.9).Draw(t, "from"), Fill: drawFill(t)},
		}
	}
	return m
}

func near(t testing.TB, what string, got, want complex128, relative float64, why string) {
	t.Helper()
	if d := cmplx.Abs(got - want); !(d <= relative*cmplx.Abs(want)) {
		t.Errorf("%s is %v, want %v: %.3g of it apart, more than %.3g (%s)", what, got, want, d/cmplx.Abs(want), relative, why)
	}
}
