package curve

import (
	"math"
	"testing"
)

// The zeros of parabolas are known; a table that stays above zero has none.
func TestZero(t *testing.T) {
	p, err := Polynomial([]float64{8.45, 0, -6e5})
	if err != nil {
		t.Fatal(err)
	}
	for _, side := range []float64{1, -1} {
		at, found := p.Zero(side * 6e-3)
		if want := side * math.Sqrt(8.45/6e5); !found || math.Abs(at-want) > 1e-12 {
			t.Errorf("the zero is at %g, %t, want %g", at, found, want)
		}
		if at, found := p.Zero(side * 3.7e-3); found {
			t.Errorf("a zero before it, at %g", at)
		}
	}
	table, err := Table([]float64{-1, 0, 1}, []float64{1, 2, 1}, Tail(0))
	if err != nil {
		t.Fatal(err)
	}
	if at, found := table.Zero(1); found {
		t.Errorf("a table above zero has one at %g", at)
	}
}
