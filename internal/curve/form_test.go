package curve

import (
	"math"
	"testing"
)

// at is the value of a form at x, by its words.
func (f Form) at(x float64) float64 {
	k := 0
	for x > f.Pieces[k].To {
		k++
	}
	p := f.Pieces[k]
	t, v := x-p.At, 0.0
	if p.Reach != 0 {
		v = p.C[0] - p.C[1]*p.Reach*math.Expm1(-t/p.Reach)
	} else {
		for i := len(p.C) - 1; i >= 0; i-- {
			v = v*t + p.C[i]
		}
	}
	if f.Reciprocal {
		return 1 / v
	}
	return v
}

// A form says what At says: the two evaluate the same coefficients in another
// order, so that rounding alone is left, 1e-14 of the value.
func TestFormIsTheCurve(t *testing.T) {
	x := []float64{-0.016, -0.009, -0.004, 0, 0.005, 0.011, 0.014}
	v := []float64{3, 6, 9.2, 10, 9.8, 7, 6.9}
	made := func(c *Curve, err error) *Curve {
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	stiff := []float64{4200, 2500, 1500, 1300, 1450, 2600, 4000}
	for name, c := range map[string]*Curve{
		"polynomial":   made(Polynomial([]float64{10.2, -30, -4e4, 2e5, 1e7})),
		"table":        made(Table(x, v, Settle)),
		"stiffness":    made(Table(x, stiff, Onward)),
		"compliance":   made(Table(x, v, Settle)).Reciprocal(),
		"1/polynomial": made(Polynomial([]float64{7.8e-4, 0, -1})).Reciprocal(),
	} {
		f := c.Form()
		for k := range 401 {
			at := -0.04 + 2e-4*float64(k)
			want, _, _ := c.At(at)
			if got := f.at(at); !(math.Abs(got-want) <= 1e-14*math.Abs(want)) {
				t.Errorf("%s at %g m: the form gives %.17g, the curve %.17g", name, at, got, want)
			}
		}
	}
}
