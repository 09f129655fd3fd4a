package phys

import (
	"math"
	"testing"
)

// The standard's table, inches to the fourth decimal (ASTM B258, table 1), and the
// resistance of 1000 ft at 20 °C (NBS Handbook 100, 1966, table 5; from memory):
// within half of the last printed digit of the diameter; of the resistance within
// 2e-4, because that table reckons with the mil-foot resistance 10.371 Ω, which
// is 1.72410e-8 Ω m, and rounds to four digits.
func TestGauges(t *testing.T) {
	for _, w := range []struct {
		gauge  int
		inches float64
		ohms   float64 // 0: not held
	}{
		{0, 0.3249, 0.09827}, {1, 0.2893, 0.1239}, {2, 0.2576, 0.1563}, {4, 0.2043, 0.2485}, {6, 0.1620, 0.3951}, {8, 0.1285, 0.6282}, {10, 0.1019, 0.9988},
		{12, 0.0808, 1.588}, {14, 0.0641, 2.525}, {16, 0.0508, 4.016}, {18, 0.0403, 6.385}, {20, 0.0320, 10.15}, {24, 0.0201, 25.67},
		{30, 0.0100, 103.2}, {36, 0.0050, 0}, {40, 0.0031, 0},
	} {
		if d := GaugeDiameter(w.gauge) / inch; math.Abs(d-w.inches) > 0.5e-4*(1+1e-9) {
			t.Errorf("AWG %d: %.5f in, the table says %.4f in", w.gauge, d, w.inches)
		}
		// one conductor: half of what a cable of this length has
		r := CableResistance(1000*foot, GaugeArea(w.gauge)) / 2
		half := 0.5 * math.Pow(10, math.Floor(math.Log10(w.ohms))-3)
		if w.ohms > 0 && math.Abs(r-w.ohms) > half+2e-4*w.ohms {
			t.Errorf("AWG %d: %.5g Ω a 1000 ft, the table says %.4g Ω", w.gauge, r, w.ohms)
		}
	}
	if d := GaugeDiameter(36); d != 0.127e-3 {
		t.Errorf("AWG 36 is %g m, 0.127 mm by definition", d)
	}
}

// The definition of the copper standard: 1 m of 1 mm² has 1/58 Ω at 20 °C (IEC
// 60028), to the five digits of the constant; both conductors count; half the
// length and twice the area halve it.
func TestCableResistance(t *testing.T) {
	if r := CableResistance(1, 1e-6); math.Abs(r-2.0/58) > 2*0.5e-6 { // half of the fifth digit, 0.5e-12 Ω m over 1 mm²
		t.Errorf("1 m of 1 mm² is %g Ω", r)
	}
	for _, l := range []float64{0.3, 6, 100} {
		for _, a := range []float64{1e-7, 2.5e-6, 1e-4} {
			r := CableResistance(l, a)
			for what, other := range map[string]float64{"half the length": CableResistance(l/2, a), "twice the area": CableResistance(l, 2*a)} {
				if math.Abs(other/r-0.5) > 1e-15 { // a halving is exact but for the last bit
					t.Errorf("%g m, %g m²: %s gives %g of it", l, a, what, other/r)
				}
			}
		}
	}
}
