package phys

import (
	"errors"
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"
)

func TestParse(t *testing.T) {
	for _, c := range []struct {
		text     string
		kind     Kind
		si, step float64
	}{
		{"30.5 Hz", Frequency, 30.5, 0.1},
		{"30,5 Hz", Frequency, 30.5, 0.1},
		{"0,234 Hz", Frequency, 0.234, 0.001}, // no thousand begins with 0
		{"1,2345 kHz", Frequency, 1234.5, 0.1},
		{"28 L", Volume, 0.028, 0.001},
		{"28.0 L", Volume, 0.028, 0.0001},
		{"28L", Volume, 0.028, 0.001},
		{"\u00a028\u2009L ", Volume, 0.028, 0.001},
		{".5 L", Volume, 0.0005, 0.0001},
		{"0 L", Volume, 0, 0.001},
		{"345cm²", Area, 0.0345, 1e-4},
		{"345 cm^2", Area, 0.0345, 1e-4},
		{"345 c m2", Number, math.NaN(), 0},
		{"30.5e-3 kg", Mass, 0.0305, 1e-4},
		{"3E2 g", Mass, 0.3, 0.1},
		{"+12 mm", Length, 0.012, 0.001},
		{"-12 mm", Length, -0.012, 0.001},
		{"−12 mm", Length, -0.012, 0.001},
		{"\u22123 dB", Level, -3, 1},
		{`8"`, Length, 0.2032, 0.0254},
		{`12.5"`, Length, 0.3175, 0.00254},
		{"3/4 in", Length, 0.01905, 0.00635},
		{`10 1/2"`, Length, 0.2667, 0.0127},
		{"-1 1/2 in", Length, -0.0381, 0.0127},
		{"260 10⁻⁶ m/N", Compliance, 260e-6, 1e-6},
		{"260 × 10⁻⁶ m/N", Compliance, 260e-6, 1e-6},
		{"260×10^-6 m/N", Compliance, 260e-6, 1e-6},
		{"260 x 10-6 m/N", Compliance, 260e-6, 1e-6},
		{"260 1e-6 m/N", Compliance, 260e-6, 1e-6},
		{"2.6·10⁻⁴ m/N", Compliance, 2.6e-4, 1e-5},
		{"2.6 * 10^-4 m/N", Compliance, 2.6e-4, 1e-5},
		{"10⁻⁶ m/N", Compliance, 1e-6, 1e-6},
		{"10^-6 m N⁻¹", Compliance, 1e-6, 1e-6},
		{"0.26 mm·N⁻¹", Compliance, 2.6e-4, 1e-5},
		{"1.5 N·s·m⁻¹", MechanicalResistance, 1.5, 0.1},
		{"1.5 N.s/m", MechanicalResistance, 1.5, 0.1},
		{"1.5 N*s / m", MechanicalResistance, 1.5, 0.1},
		{"1.5 N s/m", MechanicalResistance, 1.5, 0.1},
		{"11.6 T·m", ForceFactor, 11.6, 0.1},
		{"11.6 T⋅m", ForceFactor, 11.6, 0.1},
		{"11.6 T.m", ForceFactor, 11.6, 0.1},
		{"11.6 N A^-1", ForceFactor, 11.6, 0.1},
		{"68 °F", Temperature, 20, 5.0 / 9},
		{"20 ° C", Temperature, 20, 1},
		{"293.15 K", Temperature, 20, 0.01},
		{"50 %", Ratio, 0.5, 0.01},
		{"50%", Ratio, 0.5, 0.01},
		{"0.49", Number, 0.49, 0.01},
		{"10", Number, 10, 1},
		{"1e3", Number, 1000, 1000},
		{"10³", Number, 1000, 1000},
		{"1/2", Number, 0.5, 0.5},
		{"64,90 €", Price, 64.9, 0.01},
		{"$64.90", Price, 64.9, 0.01},
		{"2 in.", Length, 0.0508, 0.0254},
		{"3 sq. in.", Area, 3 * 6.4516e-4, 6.4516e-4},
		{"1 cu. ft.", Volume, 0.028316846592, 0.028316846592},
	} {
		q, err := Parse(c.text, c.kind)
		if math.IsNaN(c.si) {
			if err == nil {
				t.Errorf("Parse(%q, %s) = %g, want an error", c.text, c.kind, q.SI)
			}
			continue
		}
		if err != nil {
			t.Errorf("Parse(%q, %s): %v", c.text, c.kind, err)
			continue
		}
		// One rounding for the number, one for the factor, one for the offset
		// of a temperature (as large as 460 °F).
		if math.Abs(q.SI-c.si) > 4e-16*math.Max(math.Abs(c.si), tempScale(c.kind)) {
			t.Errorf("Parse(%q) = %.17g, want %.17g", c.text, q.SI, c.si)
		}
		if math.Abs(q.Step-c.step) > 1e-12*c.step {
			t.Errorf("Parse(%q) has step %g, want %g", c.text, q.Step, c.step)
		}
		if q.Text != c.text {
			t.Errorf("Parse(%q) holds the text %q", c.text, q.Text)
		}
	}
}

func tempScale(k Kind) float64 {
	if k == Temperature {
		return 300
	}
	return 0
}

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct {
		text         string
		kind         Kind
		reason, mend string
	}{
		{"28", Volume, `"28" has no unit`, "write 28 L, 28 dm3 or 0.99 ft3"},
		{"30.5", Frequency, `"30.5" has no unit`, "write 30.5 Hz or 0.0305 kHz"},
		{"30,5", Frequency, `"30,5" has no unit`, "write 30.5 Hz or 0.0305 kHz"},
		{"12", Length, `"12" has no unit`, "write 12 mm, 1.2 cm, 0.012 m or 0.472 in"},
		{"345", Length, `"345" has no unit`, "write 345 mm, 34.5 cm, 0.345 m or 13.6 in"},
		{"20", Temperature, `"20" has no unit`, "write 20 C or 68 F"},
		{"0.5", Ratio, `"0.5" has no unit`, "write 0.5 % or, for 0.5 of the whole, 50 %"},
		{"400", Price, `"400" has no unit`, "write 400 EUR, 400 USD or 400 GBP"},
		{"2.83", Voltage, `"2.83" has no unit`, "write 2.83 V or 2830 mV"},
		{"88", Level, `"88" has no unit`, "write 88 dB"},
		{"0.49 Hz", Number, `"0.49 Hz" has a unit, but this is a pure number`, "write 0.49"},
		{"28 Hz", Volume, `"28 Hz" is a frequency, not a volume`, "write 28 L, 28 dm3 or 0.99 ft3"},
		{"28 L", Area, `"28 L" is a volume, not an area`, "write 28 cm2, 0.0028 m2 or 4.34 in2"},
		{"1 ohm", Inductance, `"1 ohm" is an electrical resistance, not an inductance`, "write 1 mH or 1000 uH"},
		{"1.1 MH", Inductance, `"1.1 MH" has no unit of inductance: "MH" is not one`, "did you mean 1.1 mH?"},
		{"30 hz", Frequency, `"30 hz" has no unit of frequency: "hz" is not one`, "did you mean 30 Hz?"},
		{"3 khz", Frequency, `"3 khz" has no unit of frequency: "khz" is not one`, "did you mean 3 kHz?"},
		{"3 mhz", Frequency, `"3 mhz" has no unit of frequency: "mhz" is not one`, "did you mean 3 MHz or 3 mHz?"},
		{"11 TM", ForceFactor, `"11 TM" has no unit of force factor: "TM" is not one`, "did you mean 11 T m?"},
		{"28 litters", Volume, `"28 litters" has no unit of volume: "litters" is not one`, "did you mean 28 liters?"},
		{"3 Hzz", Frequency, `"3 Hzz" has no unit of frequency: "Hzz" is not one`, "did you mean 3 Hz?"},
		{"4 omh", Resistance, `"4 omh" has no unit of electrical resistance: "omh" is not one`, "did you mean 4 ohm?"},
		{"4 eur", Price, `"4 eur" has no unit of price: "eur" is not one`, "did you mean 4 EUR?"},
		{"28 furlongs", Length, `"28 furlongs" has no unit of length: "furlongs" is not one`, "write 28 mm, 2.8 cm, 0.028 m or 1.1 in"},
		{"28 L net", Volume, `"28 L net" has no unit of volume: "L net" is not one`, "write 28 L, 28 dm3 or 0.99 ft3"},
		{"17 gr", Mass, `"17 gr" may be grams or grains`, "write 17 g or 17 grain"},
		{"5 mil", Length, `"5 mil" may be millimetres or thousandths of an inch`, "write 5 mm or 5 thou"},
		{"5 gal", Volume, `"5 gal" may be gallons of two sizes`, "write 5 L, 5 dm3 or 0.177 ft3"},
		{"1,234 Hz", Frequency, `"1,234 Hz" may mean a decimal comma or thousands`, "write 1.234 Hz or 1234 Hz"},
		{"-1,234 mm", Length, `"-1,234 mm" may mean a decimal comma or thousands`, "write -1.234 mm or -1234 mm"},
		{"1.234,5 Hz", Frequency, `"1.234,5 Hz" mixes points and commas`, "write 1234.5 Hz"},
		{"1,234.5 Hz", Frequency, `"1,234.5 Hz" mixes points and commas`, "write 1234.5 Hz"},
		{"1,2.3,4 Hz", Frequency, `"1,2.3,4 Hz" mixes points and commas`, "write a number and its unit, such as 30.5 Hz"},
		{"1,234,567 Hz", Frequency, `"1,234,567 Hz" groups its digits`, "write 1234567 Hz"},
		{"1_000 Hz", Frequency, `"1_000 Hz" groups its digits with underscores`, "write 1000 Hz"},
		{"1_000", Number, `"1_000" groups its digits with underscores`, "write 1000"},
		{"28. L", Volume, `"28. L" ends its number with a point or comma`, "write 28 L"},
		{"0x1F Hz", Frequency, `"0x1F Hz" is a hexadecimal number`, "write a number and its unit, such as 30.5 Hz"},
		{"inf Hz", Frequency, `"inf Hz" is not a finite number`, "write a number and its unit, such as 30.5 Hz"},
		{"-Infinity Hz", Frequency, `"-Infinity Hz" is not a finite number`, "write a number and its unit, such as 30.5 Hz"},
		{"NaN", Number, `"NaN" is not a finite number`, "write a plain number, such as 0.49"},
		{"1e999 Hz", Frequency, `"1e999 Hz" is too large a number`, "write a number and its unit, such as 30.5 Hz"},
		{"1e308 kHz", Frequency, `"1e308 kHz" is too large a number`, "write a number and its unit, such as 30.5 Hz"},
		{"1 × 10⁹⁹⁹ Hz", Frequency, `"1 × 10⁹⁹⁹ Hz" is too large a number`, "write a number and its unit, such as 30.5 Hz"},
		{"1e-999 Hz", Frequency, `"1e-999 Hz" is too small to be told from zero`, "write a number and its unit, such as 30.5 Hz"},
		{"Hz", Frequency, `"Hz" has no number in front`, "write a number and its unit, such as 30.5 Hz"},
		{"", Frequency, `"" has no number in front`, "write a number and its unit, such as 30.5 Hz"},
		{"–3 dB", Level, `"–3 dB" has no number in front`, "write a number and its unit, such as 105 dB"},
		{"20-40 Hz", Frequency, `"20-40 Hz" has two numbers`, "write a number and its unit, such as 30.5 Hz"},
		{"1 234 Hz", Frequency, `"1 234 Hz" has two numbers`, "write a number and its unit, such as 30.5 Hz"},
		{"5 ft 3 in", Length, `"5 ft 3 in" has two numbers`, "write a number and its unit, such as 345 mm"},
		{"3/0 in", Length, `"3/0 in" has a fraction that cannot be worked out`, "write a number and its unit, such as 345 mm"},
		{"-300 C", Temperature, `"-300 C" is below absolute zero`, "write a number and its unit, such as 20 C"},
		{`8" x`, Length, `'8" x' has no unit of length: '" x' is not one`, "write 8 mm, 0.8 cm, 0.008 m or 0.315 in"},
		{"5 \x00", Length, "\"5 \ufffd\" has no unit of length: \"\ufffd\" is not one", "write 5 mm, 0.5 cm, 0.005 m or 0.197 in"},
		{"5 \xff", Length, "\"5 \ufffd\" is not UTF-8 text", "write a number and its unit, such as 345 mm"},
		{strings.Repeat("9", 101) + " Hz", Frequency, `"` + strings.Repeat("9", 39) + `…" is too long for a quantity`, "write a number and its unit, such as 30.5 Hz"},
		{"5 ms", Kind(99), `"5 ms" is of an unknown kind`, "name a kind that exists"},
	} {
		q, err := Parse(c.text, c.kind)
		var pe *ParseError
		if !errors.As(err, &pe) {
			t.Errorf("Parse(%q, %s) = %g, %v; want a *ParseError", c.text, c.kind, q.SI, err)
			continue
		}
		if pe.Reason != c.reason || pe.Mend != c.mend {
			t.Errorf("Parse(%q, %s):\n got  %s; %s\n want %s; %s", c.text, c.kind, pe.Reason, pe.Mend, c.reason, c.mend)
		}
		if pe.Text != c.text || pe.Kind != c.kind || err.Error() != c.reason+"; "+c.mend {
			t.Errorf("Parse(%q): the error holds %q, %s, and says %q", c.text, pe.Text, pe.Kind, err)
		}
	}
}

// A mend is worth nothing if it is refused in its turn.
func TestMendsParse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := Kind(rapid.IntRange(int(Frequency), len(kindTable)-1).Draw(t, "kind"))
		number := rapid.StringMatching(`[1-9][0-9]{0,3}(\.[0-9]{1,3})?(e-?[1-3])?`).Draw(t, "number")
		_, err := Parse(number, k)
		var pe *ParseError
		if !errors.As(err, &pe) {
			t.Fatalf("Parse(%q, %s) takes a number without a unit", number, k)
		}
		list, ok := strings.CutPrefix(pe.Mend, "write ")
		if told := strings.Join(pe.Instead, " or "); ok && k != Ratio && len(pe.Instead) > 0 && strings.ReplaceAll(list, ", ", " or ") != told {
			t.Fatalf("%q: %q and %q", number, pe.Mend, told)
		}
		if len(pe.Instead) == 0 && !strings.Contains(pe.Mend, "such as") {
			t.Fatalf("%q of %s: %q offers nothing", number, k, pe.Mend)
		}
		if k == Ratio { // which offers two that differ
			for _, m := range pe.Instead {
				if _, err := Parse(m, k); err != nil {
					t.Fatalf("%q: the mend %q is refused: %v", number, m, err)
				}
			}
			return
		}
		first := math.NaN()
		for _, mend := range pe.Instead {
			q, err := Parse(mend, k)
			if err != nil {
				t.Fatalf("%q: the mend %q is refused: %v", number, mend, err)
			}
			if math.IsNaN(first) {
				first = q.SI
			}
			// Suggestions in other units are rounded to half a percent; a
			// temperature that nears 0 °F is off by half a percent of that.
			if slack := 0.0051*math.Abs(first) + tempScale(k)*0.001; math.Abs(q.SI-first) > slack && k != Temperature {
				t.Fatalf("%q: the mends of %q differ: %g and %g", number, pe.Mend, first, q.SI)
			}
		}
	})
}

func TestCurrency(t *testing.T) {
	for text, want := range map[string]string{"64 EUR": "EUR", "64 €": "EUR", "€64": "EUR", "64$": "USD", "£ 64": "GBP", "SEK 640": "SEK", "640 SEK": "SEK", "64": "", "": ""} {
		if got := (Quantity{Text: text}).Currency(); got != want {
			t.Errorf("the currency of %q is %q, want %q", text, got, want)
		}
	}
}

// What is shown can be typed back: within half a unit of the last digit shown.
func TestShowParsesBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := Kind(rapid.IntRange(int(Number), len(kindTable)-1).Draw(t, "kind"))
		s := System(rapid.IntRange(int(Metric), int(Imperial)).Draw(t, "system"))
		v := rapid.Float64Range(1, 10).Draw(t, "mantissa") * math.Pow(10, float64(rapid.IntRange(-12, 12).Draw(t, "power")))
		if rapid.Bool().Draw(t, "negative") {
			v = -v
		}
		if k == Temperature {
			v = math.Mod(v, 200)
		}
		text := Show(v, k, s)
		if rapid.Bool().Draw(t, "brief") {
			text = Brief(v, k, s)
		}
		if k == Price {
			text += " EUR"
		}
		q, err := Parse(text, k)
		if err != nil {
			t.Fatalf("Show(%g, %s) is %q, which does not parse: %v", v, k, text, err)
		}
		if math.Abs(q.SI-v) > 0.5000001*q.Step+1e-9*math.Abs(v) {
			t.Fatalf("Show(%g, %s) is %q, which is %g", v, k, text, q.SI)
		}
	})
}

func FuzzParse(f *testing.F) {
	for _, c := range exactUnits {
		f.Add(c.text, uint8(c.kind))
	}
	for _, text := range []string{"1.234,5 Hz", "1e999 Hz", "0x10 L", "10⁻⁶ m/N", "3/4 in", "1 1/2\"", "−5 dB", "\xff", "5 · · L", "1/", "€", "u", "9 x 10", "1e-400 L", "-", "1,,2"} {
		f.Add(text, uint8(Volume))
	}
	f.Fuzz(func(t *testing.T, text string, kind uint8) {
		q, err := Parse(text, Kind(kind))
		if err == nil {
			if math.IsNaN(q.SI) || math.IsInf(q.SI, 0) || !(q.Step > 0) || math.IsInf(q.Step, 0) || q.Text != text {
				t.Fatalf("Parse(%q, %d) = %+v", text, kind, q)
			}
			return
		}
		var pe *ParseError
		if !errors.As(err, &pe) || pe.Reason == "" || pe.Mend == "" || q != (Quantity{}) {
			t.Fatalf("Parse(%q, %d): %#v, %+v", text, kind, err, q)
		}
		if m := err.Error(); !utf8.ValidString(m) || strings.ContainsAny(m, "\x00\n\r\t\x1b") || len(m) > 600 {
			t.Fatalf("Parse(%q, %d) says %q", text, kind, m)
		}
	})
}

// 200 of these are read at start-up.
func BenchmarkParse(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Parse("260 × 10⁻⁶ m/N", Compliance); err != nil {
			b.Fatal(err)
		}
	}
}
