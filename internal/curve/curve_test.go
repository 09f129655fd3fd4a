package curve

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// derivativesAgree holds the derivatives and the integral against differences
// of the values. The step's truncation error is of the order h²·d³; the
// tolerance leaves a factor of ten for the pieces' joints.
func derivativesAgree(t *rapid.T, c *Curve, x, scale float64) {
	const h = 1e-7 // m
	v, d1, d2 := c.At(x)
	lo, dlo, _ := c.At(x - h)
	hi, dhi, _ := c.At(x + h)
	if got := (hi - lo) / (2 * h); math.Abs(got-d1) > 1e-4*scale/1e-3 {
		t.Fatalf("slope at %g: %g, by differences %g", x, d1, got)
	}
	if got := (dhi - dlo) / (2 * h); math.Abs(got-d2) > 5e-2*scale/1e-6 {
		t.Fatalf("second derivative at %g: %g, by differences %g", x, d2, got)
	}
	if !c.recip {
		if got := (c.Integral(x+h) - c.Integral(x-h)) / (2 * h); math.Abs(got-v) > 1e-5*scale {
			t.Fatalf("value at %g: %g, by differences of the integral %g", x, v, got)
		}
	}
}

func drawTable(t *rapid.T) ([]float64, []float64) {
	n := rapid.IntRange(3, 30).Draw(t, "points")
	x, v := make([]float64, n), make([]float64, n)
	at := -1e-3 * rapid.Float64Range(0, 15).Draw(t, "from")
	for i := range n {
		x[i] = at
		at += 1e-3 * rapid.Float64Range(0.2, 3).Draw(t, "step")
		v[i] = rapid.Float64Range(0.1, 2).Draw(t, "value")
	}
	if x[n-1] < 0 {
		x[n-1] = 1e-3
	}
	return x, v
}

func TestPolynomialByDifferences(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, err := Polynomial([]float64{1, rapid.Float64Range(-20, 20).Draw(t, "c1"), rapid.Float64Range(-2e3, 2e3).Draw(t, "c2"), rapid.Float64Range(-1e5, 1e5).Draw(t, "c3")})
		if err != nil {
			t.Fatal(err)
		}
		derivativesAgree(t, c, rapid.Float64Range(-0.015, 0.015).Draw(t, "x"), 1)
	})
}

func TestTableByDifferences(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		xs, vs := drawTable(t)
		c, err := Table(xs, vs, Tail(rapid.IntRange(0, 1).Draw(t, "tail")))
		if err != nil {
			t.Fatal(err)
		}
		x := rapid.Float64Range(-0.03, 0.06).Draw(t, "x")
		for _, k := range xs { // the second derivative jumps at a knot
			if math.Abs(x-k) < 1e-6 {
				return
			}
		}
		derivativesAgree(t, c, x, 10)
	})
}

// A table goes through its points, and between two of them stays between their
// values (Fritsch & Butland 1984).
func TestTableKeepsBetweenItsPoints(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		xs, vs := drawTable(t)
		c, err := Table(xs, vs, Settle)
		if err != nil {
			t.Fatal(err)
		}
		for i := range xs {
			if v, _, _ := c.At(xs[i]); math.Abs(v-vs[i]) > 1e-12*vs[i] {
				t.Fatalf("at its point %d it is %g instead of %g", i, v, vs[i])
			}
		}
		i := rapid.IntRange(0, len(xs)-2).Draw(t, "piece")
		x := xs[i] + (xs[i+1]-xs[i])*rapid.Float64Range(0, 1).Draw(t, "part")
		v, _, _ := c.At(x)
		if lo, hi := min(vs[i], vs[i+1]), max(vs[i], vs[i+1]); v < lo-1e-12 || v > hi+1e-12 {
			t.Fatalf("between %g and %g it is %g", lo, hi, v)
		}
	})
}

// Far beyond its ends a force factor is a positive constant, and a stiffness
// that rises goes on to rise.
func TestTails(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		xs, vs := drawTable(t)
		bl, err := Table(xs, vs, Settle)
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range []float64{-1e3, -0.1, 0.1, 1e3} {
			v, d1, _ := bl.At(x)
			if !(v > 0) || math.IsInf(v, 0) || math.Abs(x) > 1 && d1 != 0 {
				t.Fatalf("at %g it is %g with a slope of %g", x, v, d1)
			}
		}
	})
	k, err := Table([]float64{-0.01, 0, 0.01}, []float64{3000, 1000, 2000}, Onward)
	if err != nil {
		t.Fatal(err)
	}
	if v, d1, _ := k.At(0.02); !(v > 2500) || !(d1 > 0) {
		t.Errorf("beyond its end the stiffness is %g with a slope of %g", v, d1)
	}
}

func TestReciprocal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		xs, vs := drawTable(t)
		c, err := Table(xs, vs, Settle)
		if err != nil {
			t.Fatal(err)
		}
		x := rapid.Float64Range(-0.01, 0.03).Draw(t, "x")
		for _, k := range xs {
			if math.Abs(x-k) < 1e-6 {
				return
			}
		}
		v, _, _ := c.At(x)
		r, _, _ := c.Reciprocal().At(x)
		if math.Abs(r*v-1) > 1e-12 {
			t.Fatalf("1/%g is %g", v, r)
		}
		derivativesAgree(t, c.Reciprocal(), x, 1e4)
	})
}

func TestBadCurves(t *testing.T) {
	nan := math.NaN()
	for _, c := range [][]float64{nil, {0}, {-1}, {1, nan}, {1, math.Inf(1)}, make([]float64, 21)} {
		if _, err := Polynomial(c); err == nil {
			t.Errorf("the polynomial %v was taken", c)
		}
	}
	for _, c := range []struct{ x, v []float64 }{
		{[]float64{-1, 0}, []float64{1, 1}},
		{[]float64{-1, 0, 1}, []float64{1, 1}},
		{[]float64{-1, 0, 0}, []float64{1, 1, 1}},
		{[]float64{-1, 0, 1}, []float64{1, 0, 1}},
		{[]float64{-1, nan, 1}, []float64{1, 1, 1}},
		{[]float64{1, 2, 3}, []float64{1, 1, 1}},
		{[]float64{-3, -2, -1}, []float64{1, 1, 1}},
	} {
		if _, err := Table(c.x, c.v, Settle); err == nil {
			t.Errorf("the table %v, %v was taken", c.x, c.v)
		}
	}
}
