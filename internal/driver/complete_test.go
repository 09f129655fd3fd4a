package driver

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/note"
	"basswright/internal/phys"
)

// sufficient reports whether a set of printed symbols determines a driver, by
// a way of its own: it takes the six unknowns as functions of the printed
// values and asks whether the Jacobian of the printed values with respect to
// the logarithms of the unknowns has full rank at this driver. A Qts beside
// neither Qms nor Qes can have two solutions, which the caller leaves out.
func sufficient(d *Driver, a phys.Air, set []Symbol) bool {
	read := func(x [6]float64) []float64 {
		m := printedOf(&Driver{
			Re: math.Exp(x[0]), Bl: math.Exp(x[1]), Mms: math.Exp(x[2]), Cms: math.Exp(x[3]), Rms: math.Exp(x[4]), Sd: math.Exp(x[5]),
		}, a)
		out := make([]float64, len(set))
		for i, s := range set {
			q, _ := quantOf(s)
			out[i] = logOf(q, m[s].SI, a)
		}
		return out
	}
	x := [6]float64{math.Log(d.Re), math.Log(d.Bl), math.Log(d.Mms), math.Log(d.Cms), math.Log(d.Rms), math.Log(d.Sd)}
	const step = 1e-5
	var columns [][]float64
	for j := range x {
		up, down := x, x
		up[j] += step
		down[j] -= step
		p, q := read(up), read(down)
		for i := range p {
			p[i] = (p[i] - q[i]) / (2 * step)
		}
		columns = append(columns, p)
	}
	return rank(columns) == 6
}

// rank counts independent vectors by Gram-Schmidt. The tolerance lies between
// the error of the differences, 1e-9, and the least angle that these
// relations make, about 1e-3.
func rank(vectors [][]float64) int {
	var basis [][]float64
	for _, v := range vectors {
		r := slices.Clone(v)
		for range 2 {
			for _, b := range basis {
				dot := 0.0
				for i := range r {
					dot += r[i] * b[i]
				}
				for i := range r {
					r[i] -= dot * b[i]
				}
			}
		}
		norm := 0.0
		for _, x := range r {
			norm += x * x
		}
		if norm = math.Sqrt(norm); norm > 1e-5 {
			for i := range r {
				r[i] /= norm
			}
			basis = append(basis, r)
		}
	}
	return len(basis)
}

func TestCompleteFromAnySufficientSet(t *testing.T) {
	complete := 0
	rapid.Check(t, func(t *rapid.T) {
		d := randomDriver(t)
		d.Coils = Coils{Count: 1}
		a := phys.StandardAir()
		all := printedOf(d, a)
		keys := rapid.Permutation([]Symbol{Fs, Qms, Qes, Qts, Vas, Re, Bl, Mms, Cms, Rms, Sd, EffectiveDiameter, Sensitivity1W, Sensitivity283V}).Draw(t, "order")
		keys = keys[:rapid.IntRange(5, 9).Draw(t, "size")]
		s := Sheet{Name: "heron-8", Values: map[Symbol]phys.Quantity{}, Coil: d.Coil}
		for _, k := range keys {
			s.Values[k] = all[k]
		}
		got, steps, findings, err := Complete(s)
		if !sufficient(d, a, keys) {
			var e *SheetError
			if !errors.As(err, &e) || e.Reason == "" || e.Mend == "" {
				t.Fatalf("%v is not sufficient, but the error is %v", keys, err)
			}
			return
		}
		if err != nil {
			// The one ambiguity: a Qts with a sensitivity, where Qms and Qes
			// trade against each other.
			if slices.Contains(keys, Qts) && (slices.Contains(keys, Sensitivity1W) || slices.Contains(keys, Sensitivity283V)) &&
				!slices.Contains(keys, Qms) && !slices.Contains(keys, Qes) {
				return
			}
			t.Fatalf("%v: %v", keys, err)
		}
		complete++
		for _, f := range findings {
			t.Fatalf("%v: %s", keys, f.Text)
		}
		for _, p := range [][2]float64{{got.Re, d.Re}, {got.Bl, d.Bl}, {got.Mms, d.Mms}, {got.Cms, d.Cms}, {got.Rms, d.Rms}, {got.Sd, d.Sd}} {
			// A Qts close to Qms leaves Qes as a small difference: up to three
			// digits of sixteen are lost.
			if !near(p[0], p[1], 1e-9) {
				t.Fatalf("%v: got %v, want %v", keys, got, d)
			}
		}
		checkSteps(t, steps, s)
	})
	if complete < 20 {
		t.Errorf("only %d random sheets were sufficient", complete)
	}
}

// checkSteps holds that every parameter is accounted for, and how.
func checkSteps(t interface {
	Fatalf(string, ...any)
}, steps []note.Step, s Sheet,
) {
	used := 0
	for _, p := range steps {
		if !p.Value.OK() {
			t.Fatalf("%s has no value", p.Name)
		}
		switch p.Rule {
		case "given":
			used++
		case "derived", "set aside":
			if p.Formula == "" || p.Source == "" || p.Why == "" {
				t.Fatalf("%s is not explained: %+v", p.Name, p)
			}
		default:
			t.Fatalf("%s has the rule %q", p.Name, p.Rule)
		}
		if text := p.Why + p.Formula + p.Numbers; strings.Contains(text, "NaN") || strings.Contains(text, "Inf") {
			t.Fatalf("%s says %s", p.Name, text)
		}
	}
	if used != 6 {
		t.Fatalf("%d values are used of %v, want 6", used, s.Values)
	}
}

// TestRelationsAgree holds each relation that explains for random drivers, so
// that a formula that is shown is one that is true.
func TestRelationsAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := randomDriver(t)
		a := phys.StandardAir()
		m := motor{re: d.Re, bl: d.Bl, mms: d.Mms, cms: d.Cms, rms: d.Rms, sd: d.Sd}
		k := constantsOf(a)
		for i, r := range explaining() {
			sum := 0.0
			for _, f := range r.factors {
				l := k[f.q]
				if f.q < symbols {
					l = m.log(f.q, a)
				}
				sum += f.e * l
			}
			if math.Abs(sum) > 1e-11 { // logarithms up to 20, exponents up to 4
				t.Fatalf("relation %d is off by %g", i, sum)
			}
		}
		// The same by hand, Small 1972, so that the table itself is checked.
		ws := 1 / math.Sqrt(d.Mms*d.Cms)
		bl2 := d.Bl * d.Bl / d.Re
		for i, p := range [][2]float64{
			{m.fs(), ws / (2 * math.Pi)},
			{m.qms(), ws * d.Mms / d.Rms},
			{m.qes(), ws * d.Mms / bl2},
			{m.qts(), ws * d.Mms / (d.Rms + bl2)},
			{m.of(qVas, a), a.Rho * a.C * a.C * d.Sd * d.Sd * d.Cms},
			{m.of(qDiameter, a), 2 * math.Sqrt(d.Sd/math.Pi)},
			{m.efficiency(a), a.Rho * bl2 * d.Sd * d.Sd / (2 * math.Pi * a.C * d.Mms * d.Mms)},
		} {
			if !near(p[0], p[1], 1e-12) {
				t.Fatalf("relation %d: %g, want %g", i, p[0], p[1])
			}
		}
	})
}

func TestFormulasAsPeopleWriteThem(t *testing.T) {
	_, steps, _, err := Complete(sheetOf(t, "fs", "30.5 Hz", "qms", "4.9", "qes", "0.49", "vas", "44 L", "sd", "345 cm2", "re", "3.3 ohm"))
	if err != nil {
		t.Fatal(err)
	}
	want := map[string][2]string{
		"Cms": {"Cms = Vas / (ρ · c² · Sd²)", "44 L / (1.204 kg/m³ · (343.2 m/s)² · (345 cm²)²)"},
		"Mms": {"Mms = 1 / ((2π)² · fs² · Cms)", "1 / ((2π)² · (30.5 Hz)² · 0.2606 mm/N)"},
		"Rms": {"Rms = 2π · fs · Mms / Qms", "2π · 30.5 Hz · 104.5 g / 4.9"},
		"Bl":  {"Bl = √(2π · fs · Mms · Re / Qes)", "√(2π · 30.5 Hz · 104.5 g · 3.3 Ω / 0.49)"},
		"Qts": {"Qts = Qms · Qes / (Qms + Qes)", "4.9 · 0.49 / (4.9 + 0.49)"},
	}
	for _, s := range steps {
		w, ok := want[s.Symbol]
		if !ok {
			continue
		}
		delete(want, s.Symbol)
		if s.Formula != w[0] || strings.ReplaceAll(s.Numbers, "\u2009", " ") != w[1] {
			t.Errorf("%s: %q %q, want %q", s.Symbol, s.Formula, s.Numbers, w)
		}
	}
	if len(want) > 0 {
		t.Errorf("no step for %v", want)
	}
}

// TestRoots solves relations for what stands under a root of each order.
func TestRoots(t *testing.T) {
	name := func(q quant) string { return infoOf(q).text }
	c := canonical()
	for _, w := range []struct {
		r    relation
		q    quant
		want string
	}{
		{c[2], qBl, "Bl = ∜(Mms · Re² / (Qes² · Cms))"},
		{c[4], qDiameter, "d = √(Sd / (π/4))"},
		{explaining()[10], qFs, "fs = ∛(c³ · η0 · Qes / ((2π)² · Vas))"},
		{c[1], qMms, "Mms = Qms² · Cms · Rms²"},
	} {
		if got := w.r.solvedFor(w.q, name).formula; got != w.want {
			t.Errorf("%s, want %s", got, w.want)
		}
	}
}

func stepOf(t *testing.T, steps []note.Step, symbol string) note.Step {
	t.Helper()
	for _, s := range steps {
		if s.Symbol == symbol {
			return s
		}
	}
	t.Fatalf("no step for %s", symbol)
	return note.Step{}
}

func TestPrecedence(t *testing.T) {
	full := []string{
		"fs", "30.5 Hz", "qms", "4.9", "qes", "0.49", "vas", "44 L", "sd", "345 cm2", "re", "3.3 ohm",
		"bl", "13 T m", "mms", "98 g", "cms", "0.30 mm/N", "rms", "5 kg/s",
	}
	for _, c := range []struct {
		name  string
		trust []Symbol
		given string // the set used, in the order of the steps
	}{
		{"the usual order", nil, "fs Qms Qes Vas Sd Re"},
		{"a motor is trusted: Qes gives way, and mass takes the place of Vas", []Symbol{Bl, Mms}, "fs Qms Sd Re Bl Mms"},
		{"losses are trusted: Qms gives way", []Symbol{Rms}, "fs Qes Vas Sd Re Rms"},
		{"compliance is trusted: Vas gives way", []Symbol{Cms}, "fs Qms Qes Sd Re Cms"},
	} {
		s := sheetOf(t, full...)
		s.Trust = c.trust
		_, steps, findings, err := Complete(s)
		if err != nil {
			t.Fatal(c.name, err)
		}
		var given []string
		for _, p := range steps {
			if p.Rule == "given" {
				given = append(given, p.Symbol)
			}
		}
		if got := strings.Join(given, " "); got != c.given {
			t.Errorf("%s: used %s, want %s", c.name, got, c.given)
		}
		if len(findings) == 0 {
			t.Errorf("%s: this sheet contradicts itself, but nothing is said", c.name)
		}
	}
}

func TestContradictions(t *testing.T) {
	base := []string{"fs", "30.5 Hz", "qms", "4.9", "qes", "0.49", "vas", "44 L", "sd", "345 cm2", "re", "3.3 ohm"}
	for _, c := range []struct {
		key, text string
		want      bool
		says      string
	}{
		// 0.4455 follows; the digits of qms and qes allow 0.441 to 0.450.
		{"qts", "0.44", false, ""},
		{"qts", "0.45", false, ""},
		{"qts", "0.46", true, "follows from qms and qes by Qts = Qms · Qes / (Qms + Qes)"},
		// 104.5 g follows; vas 44 L (±0.5), sd 345 (±0.5) and fs 30.5 (±0.05)
		// allow 102.7 to 106.3 g.
		{"mms", "103 g", false, ""},
		{"mms", "98 g", true, "mms 98 g disagrees with 104.5 g, which follows from sd, fs and vas by Mms = 1 / ((2π)² · fs² · Cms); the printed digits allow 102.7 g to 106.3 g"},
		{"bl", "11.6 T m", false, ""},
		{"bl", "12.5 T m", true, "disagrees"},
		{"effective_diameter", "210 mm", false, ""},
		{"effective_diameter", "22 cm", true, "follows from sd"},
		{"sensitivity_1w", "86 dB", false, ""},
		{"sensitivity_1w", "89 dB", true, "disagrees with 86.12 dB"},
		{"sensitivity_2v83", "92.0 dB", true, "disagrees with 89.97 dB"},
	} {
		_, _, findings, err := Complete(sheetOf(t, append(slices.Clone(base), c.key, c.text)...))
		if err != nil {
			t.Fatal(err)
		}
		if (len(findings) == 1) != c.want {
			t.Errorf("%s %s: %v", c.key, c.text, findings)
			continue
		}
		if !c.want {
			continue
		}
		f := findings[0]
		if f.ID != "sheet-disagrees" || f.Severity != note.Warning || f.Where != "drivers.merlin-10."+c.key || f.Mend == "" ||
			!strings.Contains(strings.ReplaceAll(f.Text, "\u2009", " "), c.says) {
			t.Errorf("%s %s: %+v", c.key, c.text, f)
		}
		a := f.Apart
		if a == nil || a.Key != c.key || a.Says != c.text || a.Leads != strings.Contains(f.Mend, "trust: ["+c.key+"]") {
			t.Errorf("%s %s: taken apart it is %+v", c.key, c.text, a)
			continue
		}
		told := fmt.Sprintf("%s %s disagrees with %s, which follows from %s by %s", a.Key, a.Says, a.Follows, a.From, a.Formula)
		if a.Allows != "" {
			told += "; the printed digits allow " + a.Allows
		}
		if told != f.Text {
			t.Errorf("%s %s: %q is told, and %q taken apart", c.key, c.text, f.Text, told)
		}
	}
}

// TestDigitsExplainRounding rounds the whole sheet of a random driver to few
// digits: whatever is printed then must not be called a contradiction.
func TestDigitsExplainRounding(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := randomDriver(t)
		d.Coils = Coils{Count: 1}
		digits := rapid.IntRange(2, 4).Draw(t, "digits")
		values := map[Symbol]phys.Quantity{}
		for k, v := range printedOf(d, phys.StandardAir()) {
			step := math.Pow(10, math.Floor(math.Log10(v.SI))-float64(digits-1))
			values[k] = phys.Quantity{SI: math.Round(v.SI/step) * step, Step: step}
		}
		_, _, findings, err := Complete(Sheet{Name: "plover-12", Values: values})
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range findings {
			t.Fatal(f.Text)
		}
	})
}

func TestQtsThatCannotBe(t *testing.T) {
	s := sheetOf(t, "fs", "30 Hz", "qms", "0.4", "qts", "0.5", "vas", "80 L", "sd", "330 cm2", "re", "6 ohm")
	_, _, _, err := Complete(s)
	var e *SheetError
	if !errors.As(err, &e) || !strings.Contains(e.Reason, "qts 0.5 is not below qms and qes") {
		t.Fatalf("got %v", err)
	}
	// A force factor settles the motor; Qts is then only in the way.
	s.Values[Bl] = printed(t, Bl, "10 T m")
	d, _, findings, err := Complete(s)
	if err != nil || !near(d.Bl, 10, 1e-9) {
		t.Fatal(d, err)
	}
	if len(findings) != 1 || !strings.HasSuffix(findings[0].Where, ".qts") {
		t.Errorf("the impossible qts is not reported: %v", findings)
	}
	// Losses that allow the Qts: the impossible qms is left out.
	delete(s.Values, Bl)
	s.Values[Rms] = printed(t, Rms, "3 kg/s")
	d, steps, findings, err := Complete(s)
	if err != nil {
		t.Fatal(err)
	}
	if !near(d.Qts(), 0.5, 1e-9) || !near(d.Rms, 3, 1e-9) || stepOf(t, steps, "Qms").Rule != "set aside" {
		t.Errorf("got %v", d)
	}
	if len(findings) != 1 || !strings.HasSuffix(findings[0].Where, ".qms") {
		t.Errorf("the impossible qms is not reported: %v", findings)
	}
}

func TestSheetErrors(t *testing.T) {
	base := []string{"fs", "30.5 Hz", "qms", "4.9", "qes", "0.49", "vas", "44 L", "sd", "345 cm2", "re", "3.3 ohm"}
	without := func(keys ...string) Sheet {
		s := sheetOf(t, base...)
		for _, k := range keys {
			delete(s.Values, Symbol(k))
		}
		return s
	}
	with := func(change func(*Sheet)) Sheet {
		s := sheetOf(t, base...)
		change(&s)
		return s
	}
	for _, c := range []struct {
		name         string
		sheet        Sheet
		reason, mend string
	}{
		{"empty", Sheet{}, "leaves Re, Bl, Mms, Cms, Rms and Sd open", "add fs, qms, qes, vas, sd and re"},
		{"no motor", without("qes"), "leaves Bl open", "add qes (or qts, bl)"},
		{"no area", without("sd"), "leaves Bl, Mms, Cms, Rms and Sd open", "add sd (or bl, mms, cms)"},
		{"no losses", without("qms"), "leaves Rms open", "add qms (or qts, rms)"},
		{"no resonance", without("fs"), "leaves Bl, Mms and Rms open", "add fs"},
		{"Qts alone", with(func(s *Sheet) {
			delete(s.Values, Qms)
			delete(s.Values, Qes)
			s.Values[Qts] = quantity(0.4)
		}), "leaves Bl and Rms open", "add qms (or qes, bl, rms)"},
		{"negative", with(func(s *Sheet) { s.Values[Qms] = phys.Quantity{SI: -4.9, Text: "-4.9"} }), "qms is -4.9, and it must be above zero", "correct"},
		{"zero", with(func(s *Sheet) { s.Values[Sd] = phys.Quantity{Text: "0 cm2"} }), "sd is 0 cm2", "correct"},
		{"huge", with(func(s *Sheet) { s.Values[Re] = phys.Quantity{SI: 1e12, Text: "1e12 ohm"} }), "which no driver has", "unit"},
		{"no number", with(func(s *Sheet) { s.Values[Fs] = quantity(math.NaN()) }), "not a number", "prints"},
		{"trust in nothing", with(func(s *Sheet) { s.Trust = []Symbol{Bl} }), "trust names bl, which the sheet does not give", "give bl"},
		{"trust in a stranger", with(func(s *Sheet) { s.Trust = []Symbol{"colour"} }), "trust names colour", "bl or mms"},
		{"too many coils", with(func(s *Sheet) { s.Coils.Count = 20 }), "20 voice coils", "1 to 8"},
		{"more driven than there are", with(func(s *Sheet) { s.Coils = Coils{Count: 2, Driven: 3} }), "3 of its 2 coils", "1 to 2"},
		{"negative load", with(func(s *Sheet) { s.Coils = Coils{Count: 2, Driven: 1, Other: OtherLoaded, Load: -1} }), "closed with", "0 ohm or more"},
		{"negative le", with(func(s *Sheet) { s.Coil.Le = -1e-3 }), "le is below zero", "0 mH"},
		{"lr2 without l2", with(func(s *Sheet) { s.Coil = VoiceCoil{Model: CoilLR2, R2: 4} }), "lr2 needs", "both"},
		{"power law", with(func(s *Sheet) { s.Coil = VoiceCoil{Model: CoilPowerLaw, K: 0.02, N: 1.5} }), "power_law needs", "both"},
		{"creep", with(func(s *Sheet) { s.Creep.Lambda = 1 }), "creep is 1", "0.05 to 0.2"},
		{"creep takes too much", with(func(s *Sheet) { s.Creep.Lambda = 0.5 }), "creep 0.5 alone", "below 0.312, or form: real"},
		{"negative xmax", with(func(s *Sheet) { s.Data.Xmax = -1e-3 }), "xmax is below zero", "correct"},
		{"stop inside the travel", with(func(s *Sheet) { s.Data.Xmax, s.Data.Xmech = 12e-3, 6e-3 }), "xmech 6 mm is less than xmax 12 mm", "peak to peak"},
	} {
		d, _, _, err := Complete(c.sheet)
		var e *SheetError
		if d != nil || !errors.As(err, &e) {
			t.Errorf("%s: got %v, %v", c.name, d, err)
			continue
		}
		if !strings.Contains(strings.ReplaceAll(e.Reason, "\u2009", " "), c.reason) || !strings.Contains(e.Mend, c.mend) {
			t.Errorf("%s: %s", c.name, e)
		}
	}
}

func TestVasUsesTheSheetsAirOnce(t *testing.T) {
	s := sheetOf(t, "fs", "30 Hz", "qms", "5", "qes", "0.4", "vas", "80 L", "sd", "330 cm2", "re", "6 ohm")
	s.Air = air(t, 345, 1.18)
	d, _, _, err := Complete(s)
	if err != nil {
		t.Fatal(err)
	}
	if want := 0.080 / (1.18 * 345 * 345 * 0.033 * 0.033); !near(d.Cms, want, 1e-12) {
		t.Errorf("Cms %g, want %g", d.Cms, want)
	}
	a := phys.StandardAir()
	if got, want := d.Vas(a), a.Rho*a.C*a.C*0.033*0.033*d.Cms; !near(got, want, 1e-12) {
		t.Errorf("Vas in other air %g, want %g", got, want)
	}
}

func TestGeometricXmax(t *testing.T) {
	s := sheetOf(t, "fs", "30 Hz", "qms", "5", "qes", "0.4", "vas", "80 L", "sd", "330 cm2", "re", "6 ohm")
	s.Data.WindingHeight, s.Data.GapHeight = 32e-3, 8e-3
	d, _, findings, err := Complete(s)
	if err != nil || !near(d.Data.Xmax, 12e-3, 1e-12) {
		t.Fatal(d, err)
	}
	if len(findings) != 1 || findings[0].Severity != note.Default || findings[0].ID != "default-xmax" {
		t.Errorf("the default is not shown: %v", findings)
	}
	s.Data.Xmax = 9e-3
	if d, _, findings, _ = Complete(s); d.Data.Xmax != 9e-3 || len(findings) != 0 {
		t.Errorf("a printed xmax was replaced: %v %v", d.Data, findings)
	}
}
