package large

import (
	"math"
	"testing"

	"basswright/internal/phys"
)

// The series and the power are one law, and its derivative is that of the
// difference quotient.
func TestAirLaw(t *testing.T) {
	a := airLaw{volume: 0.02, compliance: 1.41e-7, static: 0.02 / (1.41e-7 * phys.Gamma)}
	for _, e := range []float64{-0.9, -0.3, -0.021, -0.0199, -1e-3, -1e-6, 1e-6, 1e-3, 0.0199, 0.021, 0.3, 2} {
		p := e * a.static
		v, d := a.at(p)
		want := a.compliance*p + a.volume*math.Expm1(-math.Log1p(e)/phys.Gamma)
		if math.Abs(v-want) > 4e-16*a.volume*math.Abs(e)+1e-11*math.Abs(want) { // what the subtraction leaves of the digits; the series’ end
			t.Errorf("at %g of the static pressure it is %g, the power law %g", e, v, want)
		}
		h := 1e-4 * math.Abs(p)
		lo, _ := a.at(p - h)
		hi, _ := a.at(p + h)
		if got := (hi - lo) / (2 * h); math.Abs(got-d) > 1e-6*math.Abs(d) {
			t.Errorf("at %g of the static pressure the derivative is %g, by differences %g", e, d, got)
		}
	}
	if v, d := a.at(-5 * a.static); math.IsNaN(v) || !(d < a.compliance) {
		t.Errorf("beyond a vacuum it is %g with a slope of %g", v, d)
	}
}
