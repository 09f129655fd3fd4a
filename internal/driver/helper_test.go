package driver

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/check"
	"basswright/internal/phys"
)

// near compares relatively; tolerance 1e-9 is what float64 leaves after a
// solution of six equations in logarithms, with a wide margin.
func near(got, want, relative float64) bool {
	return math.Abs(got-want) <= relative*math.Abs(want)
}

func air(t testing.TB, c, rho float64) phys.Air {
	t.Helper()
	a, err := phys.AirOf(c, rho)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// quantity is a value exact to all digits, as a program would give it.
func quantity(v float64) phys.Quantity { return phys.Quantity{SI: v} }

// printed parses a value as a sheet prints it.
func printed(t testing.TB, s Symbol, text string) phys.Quantity {
	t.Helper()
	q, ok := quantOf(s)
	if !ok {
		t.Fatalf("no symbol %q", s)
	}
	v, err := phys.Parse(text, infoOf(q).kind)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// sheetOf is a sheet from texts: "fs", "30.5 Hz", "qms", "4.9", …
func sheetOf(t testing.TB, pairs ...string) Sheet {
	t.Helper()
	s := Sheet{Name: "merlin-10", Values: map[Symbol]phys.Quantity{}}
	for i := 0; i < len(pairs); i += 2 {
		s.Values[Symbol(pairs[i])] = printed(t, Symbol(pairs[i]), pairs[i+1])
	}
	return s
}

// merlin is the demo woofer.
func merlin(t testing.TB) *Driver {
	t.Helper()
	s := sheetOf(t, "fs", "30.5 Hz", "qms", "4.9", "qes", "0.49", "vas", "44 L", "sd", "345 cm2", "re", "3.3 ohm")
	s.Coil = VoiceCoil{Le: 1.1e-3}
	s.Data = Data{RatedPower: 350, RatedImpedance: 4, Xmax: 12e-3}
	d, _, findings, err := Complete(s)
	if err != nil || len(findings) != 0 {
		t.Fatal(err, findings)
	}
	return d
}

// randomDriver covers what woofers are, from a few grams to half a kilogram.
func randomDriver(t *rapid.T) *Driver {
	d := &Driver{
		Name:  "wren-6",
		Re:    rapid.Float64Range(0.5, 20).Draw(t, "re"),
		Bl:    rapid.Float64Range(2, 40).Draw(t, "bl"),
		Mms:   rapid.Float64Range(5e-3, 0.5).Draw(t, "mms"),
		Cms:   rapid.Float64Range(5e-5, 2e-3).Draw(t, "cms"),
		Rms:   rapid.Float64Range(0.2, 20).Draw(t, "rms"),
		Sd:    rapid.Float64Range(5e-3, 0.15).Draw(t, "sd"),
		Coils: Coils{Count: rapid.IntRange(1, 4).Draw(t, "coils")},
	}
	// No motor gives more sound than the power it takes: half of that for four coils.
	d.Bl = min(d.Bl, math.Sqrt(math.Pi/4*343.2*d.Re/1.2041)*d.Mms/d.Sd)
	// Nor is one of them so weak that a sheet would not print its sensitivity: 40 dB at 1 W.
	d.Bl = max(d.Bl, math.Sqrt(1e-7*2*math.Pi*343.2*d.Re/1.2041)*d.Mms/d.Sd)
	d.Coil.Le = rapid.Float64Range(0, 5e-3).Draw(t, "le")
	d.Coils.Driven = rapid.IntRange(0, d.Coils.Count).Draw(t, "driven")
	d.Coils.Other = rapid.SampledFrom([]Other{OtherOpen, OtherShorted, OtherLoaded}).Draw(t, "other")
	d.Coils.Load = rapid.Float64Range(0, 50).Draw(t, "load")
	return d
}

// printedOf is a sheet that gives every symbol of a driver's first coil, exact
// to all digits.
func printedOf(d *Driver, a phys.Air) map[Symbol]phys.Quantity {
	m := motor{re: d.Re, bl: d.Bl, mms: d.Mms, cms: d.Cms, rms: d.Rms, sd: d.Sd}
	out := map[Symbol]phys.Quantity{Qts: quantity(m.qts())}
	for q := quant(0); q < symbols; q++ {
		if q != qQts {
			out[infoOf(q).key] = quantity(m.of(q, a))
		}
	}
	return out
}

// valueRow is one row of a file of check values.
type valueRow struct {
	number                                    int // the end of its id
	quantity, value, unit, conditions, source string
}

func valueRows(t *testing.T, name string) []valueRow {
	t.Helper()
	var out []valueRow
	for _, r := range check.Rows(t, "testdata/"+name+".csv") {
		n, err := strconv.Atoi(r.ID[strings.LastIndex(r.ID, "-")+1:])
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, valueRow{n, r.Quantity, r.Value, r.Unit, r.Conditions, r.Source})
	}
	return out
}

// half is half a unit in the last digit of a printed number, plus what
// float64 may add.
func half(t *testing.T, text string) (value, tolerance float64) {
	t.Helper()
	mantissa, exponent, _ := strings.Cut(strings.ToLower(strings.TrimSpace(text)), "e")
	value, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	if err != nil {
		t.Fatal(err)
	}
	_, decimals, _ := strings.Cut(mantissa, ".")
	e, _ := strconv.Atoi(exponent)
	return value, 0.5*math.Pow(10, float64(e-len(decimals)))*(1+1e-6) + 1e-12*math.Abs(value)
}

// agrees compares results with the cell of a row, list with list. The derived
// rows were printed with 8 decimals, or with 8 significant digits or more less
// the zeros at their end, so that a shorter text ("87.7334", "6") stands for 8
// digits.
func (r valueRow) agrees(t *testing.T, got ...float64) {
	t.Helper()
	cells := strings.Split(r.value, ";")
	if len(cells) != len(got) {
		t.Fatalf("row %d has %d values, the test %d", r.number, len(cells), len(got))
	}
	for i, cell := range cells {
		want, tolerance := half(t, cell)
		_, decimals, _ := strings.Cut(cell, ".")
		if len(decimals) < 8 && want != 0 {
			eighth := 0.5 * math.Pow(10, math.Floor(math.Log10(math.Abs(want)))-7)
			tolerance = min(tolerance, eighth*(1+1e-6))
		}
		if math.Abs(got[i]-want) > tolerance {
			t.Errorf("row %d, %s: got %.10g, want %s within %.2g (%s)", r.number, r.quantity, got[i], cell, tolerance, r.source)
		}
	}
}

// conditionValues reads "Mms=.060 Cms=.4e-3 …" out of a row's conditions.
func (r valueRow) conditionValues(t *testing.T) map[string]float64 {
	t.Helper()
	out := map[string]float64{}
	for _, word := range strings.FieldsFunc(r.conditions, func(c rune) bool { return c == ' ' || c == ',' || c == ';' }) {
		name, text, ok := strings.Cut(word, "=")
		if !ok {
			continue
		}
		unit := 1.0
		if s, cut := strings.CutSuffix(text, "mH"); cut {
			text, unit = s, 1e-3
		}
		v, err := strconv.ParseFloat(text, 64)
		if err != nil {
			t.Fatalf("row %d: %v", r.number, err)
		}
		out[name] = v * unit
	}
	return out
}
