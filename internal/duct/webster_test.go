package duct

import (
	"math"
	"math/cmplx"
	"testing"
)

// fraction is F(s) by the continued fraction of I1/I0 (DLMF 10.33.1), evaluated
// from far inside: I1(y)/I0(y) = y/(2 + y²/(4 + y²/(6 + …))).
func fraction(s float64) complex128 {
	y2 := complex(0, s*s)
	var tail complex128
	for n := 60 + 3*int(s); n >= 1; n-- {
		tail = y2 / (complex(float64(2*n+2), 0) + tail)
	}
	return 2 / (2 + tail)
}

// The continued fraction is a second way to F, without cancellation at any s; the
// bound is what the comment of boundary states.
func TestBoundary(t *testing.T) {
	worst := 0.0
	for s := 1e-3; s < 3000; s *= 1.013 {
		got, want := boundary(s), fraction(s)
		if s > 400 {
			// The fraction would take too many terms; the leading ones of the series
			// (Abramowitz & Stegun 9.7.1) are enough there.
			y := complex(s, s) / math.Sqrt2
			want = 2 / y * (1 - 1/(2*y) - 1/(8*y*y) - 1/(8*y*y*y) - 25/(128*y*y*y*y))
		}
		e := cmplx.Abs(got-want) / cmplx.Abs(want)
		if !(e < 1e-13) {
			t.Errorf("s = %.4g: %v, want %v: error %.3g", s, got, want, e)
		}
		worst = math.Max(worst, e)
	}
	for _, s := range []float64{wideFrom, math.Nextafter(wideFrom, 0), 3 * wideFrom, math.Nextafter(3*wideFrom, 100)} {
		if e := cmplx.Abs(boundary(s) - fraction(s)); e > 1e-13*cmplx.Abs(fraction(s)) {
			t.Errorf("where one form hands over, s = %v: error %.3g", s, e)
		}
	}
	t.Logf("largest relative error %.2g", worst)
	near(t, "the viscous limit", 1-boundary(0.02), complex(0, 0.02*0.02/8), 1e-4, "Poiseuille’s law; the next term is s²/6 of it")
}

// webster integrates the two equations of package comment from the end to the
// start, once for each of two conditions, by the rule of Runge and Kutta with the
// air at each place as it is: no flare, no segment, no mean.
func webster(area func(x float64) float64, length float64, air func(x, area float64) (rho, k complex128), w float64, steps int) Chain {
	var out [2][2]complex128
	type state struct{ p, u complex128 }
	slope := func(x float64, y state) state {
		s := area(x)
		rho, k := air(x, s)
		jw := complex(0, w)
		return state{-jw * rho * y.u / complex(s, 0), -jw * y.p * complex(s, 0) / k}
	}
	for i, y := range []state{{p: 1}, {u: 1}} {
		h := -length / float64(steps)
		for n := range steps {
			x := length + h*float64(n)
			move := func(k state, by float64) state {
				c := complex(by, 0)
				return state{y.p + c*k.p, y.u + c*k.u}
			}
			k1 := slope(x, y)
			k2 := slope(x+h/2, move(k1, h/2))
			k3 := slope(x+h/2, move(k2, h/2))
			k4 := slope(max(x+h, 0), move(k3, h))
			y = state{
				y.p + complex(h/6, 0)*(k1.p+2*k2.p+2*k3.p+k4.p),
				y.u + complex(h/6, 0)*(k1.u+2*k2.u+2*k3.u+k4.u),
			}
		}
		out[i] = [2]complex128{y.p, y.u}
	}
	return Chain{A: out[0][0], C: out[0][1], B: out[1][0], D: out[1][1]}
}

// Every flare, without loss, with that of its walls (by Zwikker & Kosten’s formula
// at each place), and with fill in a part, against the equations integrated
// numerically. The integration’s own error, seen by halving its steps, is below
// 1e-8; where the model is exact the two agree to that, elsewhere to a third of the
// tolerance of the segments, which the estimate must not pass.
func TestAgainstNumericalIntegration(t *testing.T) {
	shapes := map[string]Shape{
		"cylinder":     must(Cylinder(1.3, 0.012)),
		"cone":         must(Cone(1.2, 0.008, 0.12)),
		"narrowing":    must(Cone(2.2, 0.04, 0.006)),
		"exponential":  must(Exponential(1.2, 0.008, 0.12)),
		"catenoidal":   must(Hyperbolic(1.4, 0.004, 0.09, 0)),
		"hyperbolic":   must(Hyperbolic(1.4, 0.004, 0.09, 0.6)),
		"parabolic":    must(Parabolic(1.8, 0.005, 0.05)),
		"tractrix":     must(Tractrix(0.004, 0.12)),
		"cut tractrix": must(Tractrix(0.004, 0.2)).Between(0.1, 0.5),
	}
	for name, s := range shapes {
		for _, how := range []string{"free", "walls", "slot", "part filled"} {
			m := Making{Gas: plainAir, Walls: how != "free"}
			length := s.Length()
			fill := Fill{Resistivity: 1500}
			switch how {
			case "slot":
				m.Section.Width = 0.25
			case "part filled":
				m.Walls = false
				m.Fills = []Filling{{From: length / 4, To: length / 2, Fill: fill}}
			}
			d := must(New(s, m))
			if d.Segments() > 36 {
				t.Errorf("%s, %s: %d segments; that the loss leans along them keeps them below 36", name, how, d.Segments())
			}
			if d.Estimate() > tolerance {
				t.Errorf("%s, %s: estimate %.3g", name, how, d.Estimate())
			}
			worst := 0.0
			for _, f := range []float64{9, 120, 1000} {
				w := omega(f)
				air := func(filled bool, s float64) (rho, k complex128) {
					switch {
					case filled:
						return fill.At(plainAir, w)
					case !m.Walls:
						return complex(plainAir.Rho, 0), complex(plainAir.modulus(), 0)
					}
					sv := m.Section.hydraulic(s) * math.Sqrt(w*plainAir.Rho/plainAir.Viscosity)
					return complex(plainAir.Rho, 0) / (1 - boundary(sv)), complex(plainAir.modulus(), 0) / (1 + 0.4*boundary(sv*math.Sqrt(plainAir.Prandtl)))
				}
				// The ends of the fill are ends of an integration, or it would step over
				// them.
				want := Chain{A: 1, D: 1}
				for i, to := range []float64{length / 4, length / 2, length} {
					from := []float64{0, length / 4, length / 2}[i]
					c := webster(func(x float64) float64 { return s.Area(from + x) }, to-from, func(_, s float64) (complex128, complex128) { return air(how == "part filled" && i == 1, s) }, w, 1500)
					want.times(&c)
				}
				got := d.Chain(w)
				worst = max(worst, got.far(want, plainAir, math.Sqrt(s.Area(0)), math.Sqrt(s.Area(length)), omega(f)*length))
			}
			bound := 1e-8
			if d.Estimate() > 0 {
				bound = tolerance / 3
			}
			if !(worst <= bound) {
				t.Errorf("%s, %s: %.3g apart, more than %.3g", name, how, worst, bound)
			}
			t.Logf("%s, %s: %d segments, estimate %.2g, %.2g apart", name, how, d.Segments(), d.Estimate(), worst)
		}
	}
}
