package duct

import (
	"errors"
	"math"
	"math/cmplx"
	"testing"

	"basswright/internal/check"

	"pgregory.net/rapid"
)

// det is AD − BC over the size of what cancels in it.
func det(m Chain) float64 {
	size := cmplx.Abs(m.A*m.D) + cmplx.Abs(m.B*m.C)
	return cmplx.Abs(m.A*m.D-m.B*m.C-complex(math.Exp(-2*m.Log), 0)) / size
}

// A two-port of air and walls is reciprocal, and passive: whatever the pressures at
// both ends, power goes in, so that the real part of its admittance has no negative
// eigenvalue. Both to 1e-9 of the two-port’s size.
func TestReciprocalAndPassive(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawShape(t)
		d := must(New(s, drawMaking(t, s.Length())))
		w := omega(logDraw(t, "frequency", 5, 3000))
		if e := det(d.Chain(w)); !(e < 1e-9) {
			t.Fatalf("AD − BC is off by %.3g", e)
		}
		a, b, c := d.At(w)
		for _, y := range []complex128{a, b, c} {
			if cmplx.IsNaN(y) || cmplx.IsInf(y) {
				t.Fatalf("not finite: %v %v %v", a, b, c)
			}
		}
		// The smaller eigenvalue of a real symmetric 2×2 matrix. The ends are scaled
		// to the same admittance, or the wide one would hide the narrow one.
		r := math.Sqrt(s.Area(0) / s.Area(s.Length()))
		p, q, o := real(a)/r, real(c)*r, real(b)
		least := (p+q)/2 - math.Hypot((p-q)/2, o)
		if size := cmplx.Abs(a)/r + cmplx.Abs(b) + cmplx.Abs(c)*r; !(least >= -1e-9*size) {
			t.Fatalf("gives power: eigenvalue %.3g of %.3g", least, size)
		}
	})
}

// A duct cut in pieces is the same duct. Where the model is exact (any fill, and
// without loss at the walls or in a cylinder all flares of one family) to 1e-10;
// elsewhere to the tolerance of the segments.
func TestCutInPiecesEqualsTheWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawShape(t)
		length := s.Length()
		m := Making{Gas: plainAir, Walls: rapid.Bool().Draw(t, "walls")}
		if rapid.Bool().Draw(t, "filled") {
			m.Fills = []Filling{{Fill: drawFill(t)}}
		}
		whole := must(New(s, m))
		n := rapid.IntRange(2, 9).Draw(t, "pieces")
		var parts []*Duct
		at, sum := 0.0, 0.0
		for i := range n {
			to := length
			if i+1 < n {
				to = at + (length-at)*rapid.Float64Range(0.1, 0.6).Draw(t, "cut")
			}
			p := must(New(s.Between(at, to), m))
			parts = append(parts, p)
			sum += p.Estimate()
			at = to
		}
		bound := 1e-10
		if whole.Estimate() > 0 || sum > 0 {
			bound = 4 * (whole.Estimate() + sum + tolerance)
		}
		for _, f := range []float64{7, 40, 180, 900} {
			chain := Chain{A: 1, D: 1}
			for _, p := range parts {
				c := p.Chain(omega(f))
				chain.times(&c)
			}
			if e := whole.Chain(omega(f)).far(chain, plainAir, math.Sqrt(s.Area(0)), math.Sqrt(s.Area(length)), omega(f)*length); !(e <= bound) {
				t.Fatalf("%g Hz: %d pieces differ by %.3g, more than %.3g (estimate %.3g)", f, n, e, bound, whole.Estimate())
			}
		}
	})
}

// A shape turned round has its two ends exchanged.
func TestReversed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawShape(t)
		m := Making{Gas: plainAir}
		w := omega(logDraw(t, "frequency", 5, 2000))
		a, b := must(New(s, m)), must(New(s.Reversed(), m))
		x, y := a.Chain(w), b.Chain(w)
		y.A, y.D = y.D, y.A
		bound := 1e-10 + 4*(a.Estimate()+b.Estimate())
		if e := x.far(y, plainAir, math.Sqrt(s.Area(0)), math.Sqrt(s.Area(s.Length())), w*s.Length()); !(e <= bound) {
			t.Fatalf("differs by %.3g, more than %.3g", e, bound)
		}
	})
}

// At a jump of the area pressure and volume velocity go on: the duct is its parts,
// one behind the other. With steps it has the mass of the jump between them.
func TestAreaJump(t *testing.T) {
	const small, large = 0.005, 0.03
	s := must(Points([]Point{{0, small}, {0.7, small}, {0.7, large}, {1.6, large}}))
	one, two := must(Cylinder(0.7, small)), must(Cylinder(0.9, large))
	if got := one.Then(two); math.Abs(got.Area(0.7)-large) > 1e-15 || math.Abs(got.Area(0.6999)-small) > 1e-15 {
		t.Errorf("areas at the jump %g and %g", got.Area(0.6999), got.Area(0.7))
	}
	for _, f := range []float64{10, 55, 140, 800} {
		w := omega(f)
		m := Making{Gas: plainAir}
		got := must(New(s, m)).Chain(w)
		a, b := must(New(one, m)).Chain(w), must(New(two, m)).Chain(w)
		step := a
		step.times(&b)
		if e := got.far(step, plainAir, math.Sqrt(small), math.Sqrt(large), w*1.6); e > 1e-14 {
			t.Errorf("%g Hz: %.3g apart", f, e)
		}
		m.Steps = true
		got = must(New(s, m)).Chain(w)
		radius := math.Sqrt(small / math.Pi)
		ratio := math.Sqrt(small / large)
		mass := plainAir.Rho / small * 0.8217 * radius * (1 - 1.35*ratio + 0.31*math.Pow(ratio, 3))
		inert := Chain{A: 1, B: complex(0, w*mass), D: 1}
		step = a
		step.times(&inert)
		step.times(&b)
		if e := got.far(step, plainAir, math.Sqrt(small), math.Sqrt(large), w*1.6); e > 1e-14 {
			t.Errorf("%g Hz: with the step’s mass %.3g apart", f, e)
		}
	}
	check.Near(t, "the end into a half space", StepEnd(0), 0.8217, 1e-12, "a flanged end")
	check.Near(t, "the end of no step", StepEnd(1), 0, 0, "no step")
}

// Without loss at its walls a duct that is half a wave long has no admittance; what
// is answered there is still finite, reciprocal, and right in what it lets through:
// p2 = −p1 for a load that is not blind.
func TestHalfWaveWithoutLoss(t *testing.T) {
	d := must(New(must(Cylinder(1.716, 0.01)), Making{Gas: plainAir}))
	for _, f := range []float64{100, 200, 300, math.Nextafter(100, 0), 100 * (1 + 1e-9)} {
		a, b, c := d.At(omega(f))
		z := complex(plainAir.Rho*plainAir.C/0.01, 0) * (0.3 + 0.2i)
		p2 := -b / (c + 1/z) // for p1 = 1
		in := a + b*p2
		n := math.Round(f / 100)
		near(t, "pressure at the end", p2, complex(math.Pow(-1, n), 0), 1e-5, "the frequency is off by 3e-7, which is a phase of 1e-6 n")
		near(t, "impedance at the start", 1/in, z, 1e-5, "as above, and half the digits")
	}
}

// No length of fill leaves the range of numbers, and what is behind it is not heard.
func TestFillWithoutEnd(t *testing.T) {
	f := Fill{Resistivity: 1e5}
	d := must(New(must(Exponential(400, 0.001, 0.5)), Making{Gas: plainAir, Fills: []Filling{{Fill: f}}}))
	w := omega(2000)
	a, b, c := d.At(w)
	if b != 0 || cmplx.IsNaN(a) || cmplx.IsNaN(c) {
		t.Fatalf("%v %v %v", a, b, c)
	}
	rho, k := f.At(plainAir, w)
	near(t, "the start", a, complex(0.001, 0)/cmplx.Sqrt(rho*k), 1e-3, "the flare’s own share, m/(2|k|) = 4e-5 here")
	two := must(New(must(Points([]Point{{0, 0.01}, {200, 0.02}, {400, 0.01}})), Making{Gas: plainAir, Fills: []Filling{{From: 0, To: 200, Fill: f}, {From: 200, Fill: Fill{Resistivity: 9e4}}}}))
	a, b, c = two.At(w)
	if b != 0 || cmplx.IsNaN(a+c) || cmplx.IsInf(a+c) {
		t.Fatalf("two fills: %v %v %v", a, b, c)
	}
}

// As long as its loss is within the range of numbers it is told, and then it is 0.
func TestFillOfAnyLength(t *testing.T) {
	f := Fill{Resistivity: 2e4}
	w := omega(900)
	_, loss := f.Wave(plainAir, w)
	rho, k := f.At(plainAir, w)
	zc := cmplx.Sqrt(rho*k) / 0.01
	for _, nepers := range []float64{0.4, 3, 39, 41, 300, 650, 1000, 5000} {
		d := must(New(must(Cylinder(nepers/loss, 0.01)), Making{Gas: plainAir, Fills: []Filling{{Fill: f}}}))
		y11, y12, y22 := d.At(w)
		kl := cmplx.Sqrt(rho/k) * complex(w*nepers/loss, 0)
		tan := cmplx.Tan(kl)
		if nepers > 30 {
			tan = -1i
		}
		near(t, "the start", y11, 1/(1i*zc*tan), 1e-12, "rounding: −j·cot kL over the impedance")
		near(t, "the end", y22, y11, 1e-12, "rounding: both ends are alike")
		if nepers > 700 {
			if y12 != 0 {
				t.Errorf("%g Np: %v goes through", nepers, y12)
			}
			continue
		}
		check.Near(t, "ln of what goes through", math.Log(cmplx.Abs(y12*zc)), math.Log(2/cmplx.Abs(1-cmplx.Exp(-2i*kl)))-nepers, 1e-9, "rounding")
	}
}

// The numbers of a segment against the functions that they stand for, on all sides of
// the places where one way to sum them hands over to another.
func TestSegmentAgainstTrigonometry(t *testing.T) {
	for _, l := range []float64{1e-3, 0.05, 0.2499, 0.2501, 0.99, 1.001, 1.7, 1.999, 2.001, 3, 3.1, 12, 60} {
		for _, turn := range []float64{0, -0.01, -0.3, -0.7} {
			// A cylinder 1 m long in air of which k is l at an angle.
			k := cmplx.Rect(l, turn)
			w := 300.0
			mod := cmplx.Rect(plainAir.modulus(), 0.1)
			rho := mod * k * k / complex(w*w, 0)
			g := newSegment(1, 0.1, 0.1, 0, 0, 0)
			var m Chain
			g.chain(w, rho, mod, &plainAir, &m)
			by := complex(math.Exp(m.Log), 0)
			size := math.Cosh(imag(k)) // of cosine and sine
			z := cmplx.Sqrt(rho*mod) / 0.01
			for name, v := range map[string][2]complex128{
				"A": {m.A * by, cmplx.Cos(k)}, "D": {m.D * by, cmplx.Cos(k)},
				"B": {m.B * by / z, 1i * cmplx.Sin(k)}, "C": {m.C * by * z, 1i * cmplx.Sin(k)},
			} {
				e := cmplx.Abs(v[0]-v[1]) / min(size, max(cmplx.Abs(v[1]), size*1e-1))
				if !(e < 3e-14*max(1, l)) {
					t.Errorf("kL = %v: %s is %v, want %v: %.3g apart, more than rounding", k, name, v[0], v[1], e)
				}
			}
		}
	}
}

// Where a short duct widens much, what leans of the loss must not give power: the case
// in which it once did.
func TestSteepConeIsPassive(t *testing.T) {
	d := must(New(must(Cone(0.05, 0.1, 4)), Making{Gas: plainAir, Walls: true}))
	for _, f := range []float64{30, 200, 900, 1808, 2500} {
		a, b, c := d.At(omega(f))
		r := math.Sqrt(0.1 / 4.0)
		p, q, o := real(a)/r, real(c)*r, real(b)
		if least := (p+q)/2 - math.Hypot((p-q)/2, o); least < -1e-9*(cmplx.Abs(a)/r+cmplx.Abs(c)*r) {
			t.Errorf("%g Hz: gives power: %.3g", f, least)
		}
	}
}

// Nor do many parts of it, each of which grows by e^30, as much as is written without
// its growth set apart.
func TestManyPartsOfFill(t *testing.T) {
	f := Fill{Resistivity: 2e4}
	w := omega(1500)
	_, loss := f.Wave(plainAir, w)
	var points []Point
	for i := range 60 {
		points = append(points, Point{float64(i) * 30 / loss, 0.01 + 0.005*float64(i%2)})
	}
	d := must(New(must(Points(points)), Making{Gas: plainAir, Fills: []Filling{{Fill: f}}}))
	m := d.Chain(w)
	if got, want := m.Log+math.Log(cmplx.Abs(m.A)), 59.0*30; math.Abs(got-want) > 10 {
		t.Errorf("it grows by e^%.1f, want about e^%.0f", got, want)
	}
	y11, y12, y22 := d.At(w)
	if cmplx.IsNaN(y11+y12+y22) || cmplx.IsInf(y11+y22) || y12 != 0 {
		t.Fatalf("%v %v %v", y11, y12, y22)
	}
	// All that is heard of it is its first part.
	one := must(New(must(Cone(30/loss, 0.01, 0.015)), Making{Gas: plainAir, Fills: []Filling{{Fill: f}}}))
	first, _, _ := one.At(w)
	near(t, "the start", y11, first, 1e-10, "e^−60 of what comes back, and rounding")
}

// At a very low frequency a duct is the volume of its air, and the mass of ∫dx/S.
func TestLowFrequencyLimits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawShape(t)
		d := must(New(s, Making{Gas: plainAir}))
		const f = 1e-3
		m := d.Chain(omega(f))
		const n = 4000
		length := s.Length()
		var mass float64
		at := 0.0
		for _, part := range s.stretches {
			for i := range n {
				x := part.length * (float64(i) + 0.5) / n
				r := part.at(x)
				mass += part.length / n / (r * r)
			}
			at += part.length
		}
		c := imag(m.C) / omega(f) * plainAir.modulus()
		if math.Abs(c/s.Volume()-1) > 2e-4 || math.Abs(imag(m.B)/omega(f)/plainAir.Rho/mass-1) > 2e-4 {
			t.Fatalf("volume %.9g of %.9g, mass %.9g of %.9g (length %g, estimate %g)", c, s.Volume(), imag(m.B)/omega(f)/plainAir.Rho, mass, length, d.Estimate())
		}
	})
}

func TestFaults(t *testing.T) {
	s := must(Cylinder(1, 0.01))
	for name, f := range map[string]func() error{
		"length": func() error { _, err := Cone(0, 1, 1); return err },
		"area":   func() error { _, err := Exponential(1, 1, math.NaN()); return err },
		"flare":  func() error { _, err := Hyperbolic(1, 0.2, 0.1, 1); return err },
		"points": func() error { _, err := Points([]Point{{0, 1}, {1, 1}, {0.5, 1}}); return err },
		"section": func() error {
			_, err := New(s, Making{Gas: plainAir, Section: Section{Width: math.NaN()}})
			return err
		},
		"fill": func() error {
			_, err := New(s, Making{Gas: plainAir, Fills: []Filling{{From: 0.5, To: 1.5, Fill: Fill{Resistivity: 500}}}})
			return err
		},
		"resistivity": func() error {
			_, err := New(s, Making{Gas: plainAir, Fills: []Filling{{}}})
			return err
		},
	} {
		var e *Error
		if err := f(); !errors.As(err, &e) || e.Key != name || e.Mend == "" {
			t.Errorf("%s: %v", name, err)
		}
	}
	for _, p := range [][]Point{{{0, 1}}, {{0.1, 1}, {1, 1}}, {{0, 1}, {0, 2}, {1, 1}}, {{0, 1}, {1, 1}, {1, 2}}, {{0, 1}, {1, 1}, {1, 2}, {1, 3}, {2, 1}}} {
		if _, err := Points(p); err == nil {
			t.Errorf("%v: no error", p)
		}
	}
	for i, f := range [][]Filling{{{From: 0, To: 0.6, Fill: Fill{Resistivity: 500}}, {From: 0.5, Fill: Fill{Resistivity: 500}}}, {{Fill: Fill{Resistivity: 500, Density: -1}}}, {{From: math.NaN(), Fill: Fill{Resistivity: 500}}}} {
		if _, err := New(s, Making{Gas: plainAir, Fills: f}); err == nil {
			t.Errorf("fills %d: no error", i)
		}
	}
	if _, err := New(Shape{}, Making{Gas: plainAir}); err == nil {
		t.Error("no shape: no error")
	}
	check.Panics(t, "cut", func() { s.Between(1, 1) })
}
