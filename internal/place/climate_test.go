package place

import (
	"math"
	"strings"
	"testing"

	"basswright/internal/check"
	"basswright/internal/phys"
)

func TestPublishedCopper(t *testing.T) {
	rows := check.Rows(t, "testdata/driver-models.csv")
	for _, r := range rows {
		got, err := CopperResistance(20 + after(t, r, "dT="))
		if err != nil {
			t.Fatal(err)
		}
		v := r.Values(t)
		check.Near(t, r.ID, got, v[0], 0.5e-6, lastDigit)
		check.Near(t, r.ID+" level", 20*math.Log10(got), v[1], 0.5e-6, lastDigit)
	}
	if len(rows) != 5 {
		t.Errorf("%d rows", len(rows))
	}
}

// The factors of IEC 60228 for cables, which take a resistance to 20 °C, are the
// other way round, with α = 1/254.5 K.
func TestCopperAgainstCables(t *testing.T) {
	n := 0
	for _, r := range check.Rows(t, "testdata/electrical-wire-hearing.csv") {
		printed := strings.HasSuffix(r.Quantity, "factor kt")
		if !printed && !strings.HasPrefix(r.Quantity, "same from") {
			continue
		}
		n++
		temperature := after(t, r, "")
		got, err := CopperResistance(temperature)
		if err != nil {
			t.Fatal(err)
		}
		if printed {
			// The standard's annex has the factors of 1/(1 + 0.004 (T − 20)), rounded to 0.001: that α
			// is 0.00007/K from ours. (70 °C: 0.833 = 1/1.2.)
			check.Near(t, r.ID, 1/got, r.Values(t)[0], 0.0005+0.00007*math.Abs(temperature-20)*1.2, "three decimals, and its α of 0.004/K")
			continue
		}
		check.Near(t, r.ID, 1/got, r.Values(t)[0], 0.5e-6+5e-6*math.Abs(temperature-20), "six decimals, and α to three digits")
	}
	if n != 16 {
		t.Errorf("%d rows", n)
	}
}

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
	check.Near(t, "copper", c.Copper, 1-0.00393*30, 1e-15, arithmetic)
	check.Near(t, "compliance", c.Compliance(3e-4), 2e-4, 1e-18, arithmetic)
	// c ∝ √T and ρ ∝ 1/T, so that ρc² of dry air stays: a box is as stiff in the cold
	std := phys.StandardAir()
	check.Near(t, "ρc² over that at 20 °C", c.Air.Rho*c.Air.C*c.Air.C/(std.Rho*std.C*std.C), 1, 1e-3, "the specific heats move by less")
	c, err = NewClimate(20, 1)
	if err != nil || c.Air != std || c.Copper != 1 || c.Compliance(1e-4) != 1e-4 {
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
	for _, v := range []float64{-61, 401, math.NaN(), math.Inf(-1)} {
		_, err := CopperResistance(v)
		refuses(t, err, "temperature", "lies outside")
	}
}
