package heat

import (
	"math"
	"strings"
	"testing"

	"basswright/internal/check"
)

// Copper by IEC 60028, as tabulated.
func TestPublishedCopper(t *testing.T) {
	rows := check.Rows(t, "testdata/driver-models.csv")
	for _, r := range rows {
		got := Copper.Resistance(20 + r.After(t, "dT="))
		v := r.Values(t)
		check.Near(t, r.ID, got, v[0], 0.5e-6, "half a unit of the last printed digit")
		check.Near(t, r.ID+" level", 20*math.Log10(got), v[1], 0.5e-6, "half a unit of the last printed digit")
	}
	if len(rows) != 5 {
		t.Errorf("%d rows", len(rows))
	}
}

// The factors of IEC 60228 for cables, which take a resistance to 20 °C, are the
// other way round, with α = 1/254.5 K.
func TestCopperAgainstCables(t *testing.T) {
	n := 0
	for _, r := range check.Rows(t, "testdata/copper-cables.csv") {
		printed := strings.HasSuffix(r.Quantity, "factor kt")
		if !printed && !strings.HasPrefix(r.Quantity, "same from") {
			continue
		}
		n++
		temperature := r.After(t, "")
		got := Copper.Resistance(temperature)
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

// Aluminium's coefficient (IEC 60889, from memory) is driver-models-086 of the
// tables; 100 K make 1.403.
func TestAluminium(t *testing.T) {
	check.Near(t, "aluminium", Aluminium.Resistance(120), 1+0.00403*100, 1e-15, "arithmetic")
	if Copper.Resistance(20) != 1 || Aluminium.Resistance(20) != 1 {
		t.Error("20 °C changes a resistance")
	}
}
