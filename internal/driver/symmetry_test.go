package driver

import (
	"math"
	"testing"

	"basswright/internal/curve"
)

// The difference between in and out by hand: of 1 + a·x + b·x² it is 2·a·x over
// 1 + b·x², the largest of all curves counts, and nothing is looked at beyond the
// end of a table.
func TestAsymmetry(t *testing.T) {
	poly := func(c ...float64) *curve.Curve {
		p, err := curve.Polynomial(c)
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	table, err := curve.Table([]float64{-8e-3, 0, 4e-3}, []float64{1, 1.2, 1.5}, curve.Settle)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		about  string
		curves *Curves
		share  float64
		at     float64
		known  float64
		name   string
	}{
		{"none", nil, 0, 0, 6e-3, ""},
		{"even", &Curves{Bl: poly(10, 0, -4e4), Kms: poly(2000, 0, 3e7)}, 0, 0, 6e-3, ""},
		{"stiffness", &Curves{Bl: poly(10, 1), Kms: poly(1, 5, 1000)}, 2 * 5 * 6e-3 / (1 + 1000*36e-6), 6e-3, 6e-3, "stiffness"},
		{"a table ends", &Curves{Bl: poly(10, 1), Le: table}, (1.5 - tableAt(table, -4e-3)) / ((1.5 + tableAt(table, -4e-3)) / 2), 4e-3, 4e-3, "inductance"},
	} {
		d := &Driver{Curves: c.curves}
		got, known := d.Asymmetry(6e-3)
		// the arithmetic of a few operations
		if got.Name != c.name || math.Abs(got.Share-c.share) > 1e-12 || math.Abs(got.At-c.at) > 1e-12 || known != c.known {
			t.Errorf("%s: %+v out to %g, want %g of the %s at %g, out to %g", c.about, got, known, c.share, c.name, c.at, c.known)
		}
	}
}

func tableAt(c *curve.Curve, x float64) float64 { v, _, _ := c.At(x); return v }
