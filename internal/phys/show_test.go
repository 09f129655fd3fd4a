package phys

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestDigits(t *testing.T) {
	for _, c := range []struct {
		v    float64
		sig  int
		want string
	}{
		{28, 3, "28.0"}, {6.4, 3, "6.40"}, {104.5, 4, "104.5"}, {150, 3, "150"}, {0.445, 3, "0.445"},
		{9.996, 3, "10.0"}, {99.96, 3, "100"}, {0.9996, 3, "1.00"}, {0.00099996, 3, "0.0010"},
		{1234.4, 3, "1234"}, {999999, 3, "999999"}, {999999.9, 3, "1000000"}, {999999.9, 7, "999999.9"}, {1e6, 3, "1.00 × 10⁶"}, {-2.5e7, 2, "−2.5 × 10⁷"},
		{0.0123456, 6, "0.0123"}, {0.00123, 3, "0.0012"}, {0.000123, 3, "1.23 × 10⁻⁴"}, {1.5e-12, 2, "1.5 × 10⁻¹²"},
		{-3.25, 3, "−3.25"}, {0, 3, "0.00"}, {math.Copysign(0, -1), 2, "0.0"}, {0, 1, "0"},
		{5, 0, "5"}, {5, -3, "5"}, {1, 99, "1.0000"},
		{math.NaN(), 3, "–"}, {math.Inf(1), 3, "–"}, {math.Inf(-1), 3, "–"},
	} {
		if got := Digits(c.v, c.sig); got != c.want {
			t.Errorf("Digits(%g, %d) = %q, want %q", c.v, c.sig, got, c.want)
		}
	}
}

func TestFixed(t *testing.T) {
	for _, c := range []struct {
		v        float64
		decimals int
		want     string
	}{
		{105, 1, "105.0"}, {-3.0103, 1, "−3.0"}, {-0.04, 1, "0.0"}, {-0.06, 1, "−0.1"}, {math.Copysign(0, -1), 0, "0"},
		{2.5, 0, "2"}, {3.5, 0, "4"}, // ties to even, as strconv has them
		{1.5, -1, "2"}, {math.NaN(), 1, "–"}, {math.Inf(-1), 1, "–"}, {1e7, 1, "10000000.0"},
	} {
		if got := Fixed(c.v, c.decimals); got != c.want {
			t.Errorf("Fixed(%g, %d) = %q, want %q", c.v, c.decimals, got, c.want)
		}
	}
}

func TestShow(t *testing.T) {
	for _, c := range []struct {
		si       float64
		kind     Kind
		metric   string
		imperial string
	}{
		{0.028, Volume, "28.0\u2009L", "0.989\u2009ft³"},
		{0.12, Length, "120\u2009mm", "4.72\u2009in"},
		{0.0345, Area, "345\u2009cm²", "53.5\u2009in²"},
		{0.1045, Mass, "104.5\u2009g", "3.686\u2009oz"},
		{25, Weight, "25.0\u2009kg", "55.1\u2009lb"},
		{1, Distance, "1.00\u2009m", "3.28\u2009ft"},
		{30.5, Frequency, "30.5\u2009Hz", "30.5\u2009Hz"},
		{3.3, Resistance, "3.30\u2009\u03a9", "3.30\u2009\u03a9"},
		{1.1e-3, Inductance, "1.10\u2009mH", "1.10\u2009mH"},
		{11.6, ForceFactor, "11.6\u2009T\u00a0m", "11.6\u2009T\u00a0m"},
		{0.261e-3, Compliance, "0.261\u2009mm/N", "0.261\u2009mm/N"},
		{17, Speed, "17.0\u2009m/s", "55.8\u2009ft/s"},
		{105, Level, "105.0\u2009dB", "105.0\u2009dB"},
		{20, Temperature, "20.0\u2009°C", "68.0\u2009°F"},
		{101325, Pressure, "101325\u2009Pa", "101325\u2009Pa"},
		{0.5, Ratio, "50.0\u2009%", "50.0\u2009%"},
		{0.714, Number, "0.714", "0.714"},
		{64.9, Price, "64.9", "64.9"},
		{-45, Angle, "−45.0°", "−45.0°"},
		{math.NaN(), Volume, "–", "–"},
		{math.Inf(1), Mass, "–", "–"},
	} {
		if got := Show(c.si, c.kind, Metric); got != c.metric {
			t.Errorf("Show(%g, %s, Metric) = %q, want %q", c.si, c.kind, got, c.metric)
		}
		if got := Show(c.si, c.kind, Imperial); got != c.imperial {
			t.Errorf("Show(%g, %s, Imperial) = %q, want %q", c.si, c.kind, got, c.imperial)
		}
	}
}

func TestBrief(t *testing.T) {
	for _, c := range []struct {
		si   float64
		kind Kind
		want string
	}{
		{0.028, Volume, "28\u2009L"}, {0.0123456, Length, "12.35\u2009mm"}, {100, Frequency, "100\u2009Hz"}, {0, Level, "0\u2009dB"},
		{-2.5, Level, "−2.5\u2009dB"}, {2e-9, Length, "2.000 × 10⁻⁶\u2009mm"}, {0.5, Number, "0.5"}, {90, Angle, "90°"},
		{64, Price, "64"}, {math.NaN(), Volume, "–"},
	} {
		if got := Brief(c.si, c.kind, Metric); got != c.want {
			t.Errorf("Brief(%g, %s) = %q, want %q", c.si, c.kind, got, c.want)
		}
	}
}

// The unit that is shown is the unit that is read: one of it has the same size
// to the rounding of the conversion.
func TestShownUnitsAreReadAlike(t *testing.T) {
	for k := range Kind(len(kindTable)) {
		for _, s := range []System{Metric, Imperial} {
			u := k.Unit(s)
			if u.Name == "" {
				continue
			}
			q, err := Parse("50 "+u.Name, k)
			if err != nil {
				t.Errorf("%s: %v", k, err)
				continue
			}
			if back := u.Of(q.SI); math.Abs(back-50) > 1e-13 {
				t.Errorf("50 %s is shown as %g", u.Name, back)
			}
		}
	}
}

// However large or small, a shown number is a number, has a true minus and no
// more than four decimals, and is right to half a unit of its last digit.
func TestDigitsAreRight(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(-1e300, 1e300).Draw(t, "v")
		sig := rapid.IntRange(1, 9).Draw(t, "sig")
		text := Digits(v, sig)
		plain := strings.ReplaceAll(text, minus, "-")
		mantissa, power, scaled := strings.Cut(plain, " × 10")
		_, decimals, _ := strings.Cut(mantissa, ".")
		if _, err := strconv.ParseFloat(mantissa, 64); err != nil || strings.Contains(text, "-") || !scaled && len(decimals) > 4 {
			t.Fatalf("Digits(%g, %d) = %q", v, sig, text)
		}
		exponent := 0
		if scaled {
			p, _, ok := raised(power, false)
			if !ok {
				t.Fatalf("Digits(%g, %d) = %q", v, sig, text)
			}
			exponent = p
		}
		near, err := strconv.ParseFloat(mantissa+"e"+strconv.Itoa(exponent), 64)
		half := 0.5 * math.Pow(10, float64(exponent-len(decimals)))
		if err != nil || math.Abs(near-v) > half*(1+1e-9)+1e-15*math.Abs(v) {
			t.Fatalf("Digits(%g, %d) = %q, which is %g", v, sig, text, near)
		}
	})
}
