package place

import (
	"math"
	"testing"

	"basswright/internal/check"
	"basswright/internal/phys"
)

func TestClimate(t *testing.T) {
	c, err := NewClimate(-10, 1.5)
	if err != nil {
		t.Fatal(err)
	}
	want, err := phys.NewAir(-10, 0, 101325)
	if err != nil {
		t.Fatal(err)
	}
	if c.Air != want {
		t.Errorf("air %+v, want %+v", c.Air, want)
	}
	check.Near(t, "compliance", c.Compliance(3e-4), 2e-4, 1e-18, arithmetic)
	// c ∝ √T and ρ ∝ 1/T, so that ρc² of dry air stays: a box is as stiff in the cold
	std := phys.StandardAir()
	check.Near(t, "ρc² over that at 20 °C", c.Air.Rho*c.Air.C*c.Air.C/(std.Rho*std.C*std.C), 1, 1e-3, "the specific heats move by less")
	c, err = NewClimate(20, 1)
	if err != nil || c.Air != std || c.Temperature != 20 || c.Compliance(1e-4) != 1e-4 {
		t.Errorf("20 °C changes something: %+v, %v", c, err)
	}
}

func TestClimateRefused(t *testing.T) {
	for _, v := range []float64{-21, 51, math.NaN(), math.Inf(1)} {
		_, err := NewClimate(v, 1)
		refuses(t, err, "temperature", "lies outside")
	}
	for _, v := range []float64{0, -1, 11, math.NaN()} {
		_, err := NewClimate(20, v)
		refuses(t, err, "stiffness", "lies outside")
	}
}
