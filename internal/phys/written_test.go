package phys

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestAsWritten(t *testing.T) {
	for _, c := range []struct {
		text          string
		kind          Kind
		number, digit float64
		unit          string
	}{
		{"28 L", Volume, 28, 1, "L"},
		{"0,50 ft3", Volume, 0.5, 0.01, "ft3"},
		{"345 cm^2", Area, 345, 1, "cm^2"},
		{"68 °F", Temperature, 68, 1, "°F"},
		{"10 1/2\"", Length, 10.5, 0.5, `"`},
		{"2.6·10⁻⁴ m/N", Compliance, 2.6e-4, 1e-5, "m/N"},
		{"11.6 T m", ForceFactor, 11.6, 0.1, "T m"},
		{"€64", Price, 64, 1, "EUR"},
		{"4.9", Number, 4.9, 0.1, ""},
	} {
		w, err := AsWritten(c.text, c.kind)
		if err != nil || w.Number != c.number || math.Abs(w.Digit-c.digit) > 1e-15 || w.Unit.Name != c.unit || w.Text != c.text {
			t.Errorf("%q is %+v, %v", c.text, w, err)
		}
	}
	_, err := AsWritten("28", Volume)
	var p *ParseError
	if !errors.As(err, &p) {
		t.Errorf("28 without a unit: %v", err)
	}
}

// The number in its unit is the quantity that Parse reads.
func TestAsWrittenAgreesWithParse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := rapid.SampledFrom(exactUnits).Draw(t, "unit")
		text := rapid.StringMatching(`[1-9][0-9]{0,3}(\.[0-9]{1,3})?`).Draw(t, "number") + c.text[1:]
		q, err := Parse(text, c.kind)
		w, err2 := AsWritten(text, c.kind)
		if (err == nil) != (err2 == nil) || w.Quantity != q {
			t.Fatalf("%q: %+v, %v and %+v, %v", text, q, err, w, err2)
		}
		if err == nil && w.Number*w.Unit.Factor+w.Unit.Offset != q.SI {
			t.Fatalf("%q is %+v", text, w)
		}
	})
}
