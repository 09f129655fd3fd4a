package curve

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// A shifted curve has at x all that the curve has at x plus the shift, and its
// integral from rest is the difference of two of the curve's.
func TestShifted(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var c *Curve
		var err error
		if rapid.Bool().Draw(t, "a table") {
			xs, vs := drawTable(t)
			c, err = Table(xs, vs, Tail(rapid.IntRange(0, 1).Draw(t, "tail")))
		} else {
			c, err = Polynomial([]float64{1, rapid.Float64Range(-20, 20).Draw(t, "c1"), rapid.Float64Range(-2e3, 2e3).Draw(t, "c2"), rapid.Float64Range(-1e5, 1e5).Draw(t, "c3")})
		}
		if err != nil {
			t.Fatal(err)
		}
		by, x := rapid.Float64Range(-0.005, 0.005).Draw(t, "by"), rapid.Float64Range(-0.02, 0.02).Draw(t, "x")
		s := c.Shifted(by)
		v, d1, _ := s.At(x)
		w, e1, _ := c.At(x + by)
		// ten roundings of numbers of the size of the value and of its slope
		if math.Abs(v-w) > 1e-14*(math.Abs(w)+10) || math.Abs(d1-e1) > 1e-11*(math.Abs(e1)+1e3) {
			t.Errorf("at %g m, shifted by %g m: %g and %g, want %g and %g", x, by, v, d1, w, e1)
		}
		if got, want := s.Integral(x), c.Integral(x+by)-c.Integral(by); math.Abs(got-want) > 1e-15 {
			t.Errorf("its integral is %g, want %g", got, want)
		}
	})
}
