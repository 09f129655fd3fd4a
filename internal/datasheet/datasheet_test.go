package datasheet

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"basswright/internal/check"
	"basswright/internal/note"
	"basswright/internal/phys"
	"basswright/internal/studyfile"
)

// shown is a reading as a person may look at it.
func shown(r Reading) string {
	var b strings.Builder
	for _, l := range r.Lines {
		fmt.Fprintf(&b, "%d  %s\n", l.Number, l.Text)
		switch {
		case l.Ignored != "":
			fmt.Fprintf(&b, "     passed over: %s\n", l.Ignored)
		default:
			fmt.Fprintf(&b, "     %s: %s", l.Key, l.Value)
			if l.How != "" {
				fmt.Fprintf(&b, "  (%s)", l.How)
			}
			b.WriteByte('\n')
		}
		if l.Doubt != "" {
			fmt.Fprintf(&b, "     ? %s %s\n", l.Doubt, strings.Join(l.Choices, " | "))
		}
	}
	fmt.Fprintf(&b, "\n%s; %d open\n\n%s\n\n%d steps\n", r.Numbers, r.Open, r.Driver, len(r.Steps))
	for _, f := range r.Findings {
		fmt.Fprintf(&b, "%s %s: %s; %s\n", f.Severity, f.Where, f.Text, f.Mend)
	}
	return b.String()
}

func sheets(t testing.TB) map[string]string {
	t.Helper()
	files, err := filepath.Glob("testdata/sheets/*.txt")
	if err != nil || len(files) < 15 {
		t.Fatalf("%d sheets, %v", len(files), err)
	}
	out := map[string]string{}
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		out[strings.TrimSuffix(filepath.Base(f), ".txt")] = string(data)
	}
	return out
}

// Whole sheets in the formats that people paste: the golden texts were read by
// a person, line by line, against the sheet.
func TestSheets(t *testing.T) {
	for name, text := range sheets(t) {
		check.Golden(t, "testdata/sheets/"+name+".golden", shown(Read(text, name, nil)))
	}
}

// What single lines are understood as.
func TestLines(t *testing.T) {
	for _, c := range []struct{ text, key, value, how string }{
		{"Fs 30,5 Hz", "fs", "30.5 Hz", "decimal comma"},
		{"Resonance frequency (fs): 30.5 Hz", "fs", "30.5 Hz", ""},
		{"Fs [Hz] 30.5", "fs", "30.5 Hz", ""},
		{"Fs (Hz) | 30.5", "fs", "30.5 Hz", ""},
		{"FS 30.5 HZ", "fs", "30.5 Hz", "“HZ” read as Hz"},
		{"Fs 30.5", "fs", "30.5 Hz", "no unit; Hz is the only one that fits"},
		{"f₀ 30.5 Hz", "fs", "30.5 Hz", ""},
		{"Qts = 0.45", "qts", "0.45", ""},
		{"Qts .45", "qts", "0.45", ""},
		{"Mms.....104 g", "mms", "104 g", ""},
		{"Moving mass Mms … 0,104 kg", "mms", "0.104 kg", "decimal comma"},
		{"Vas 1.55 ft³", "vas", "1.55 ft3", ""},
		{"Vas 1.55 cu. ft.", "vas", "1.55 ft3", ""},
		{"Sd 0.0345 m2", "sd", "0.0345 m2", ""},
		{"Sd 53.5 sq in", "sd", "53.5 in2", ""},
		{"Re 3.3 ohm", "re", "3.3 ohm", ""},
		{"Re 2 x 3.3 ohm", "re", "3.3 ohm", "each of two coils"},
		{"Re 2x3.3 Ω", "re", "3.3 ohm", "each of two coils"},
		{"Re 3.3 + 3.3 Ω", "re", "3.3 ohm", "each of two coils"},
		{"Voice coil inductance Le (1 kHz) 1.1 mH", "le", "1.1 mH", "at 1 kHz"},
		{"Le 1100 µH", "le", "1100 uH", ""},
		{"Xmax ±12 mm", "xmax", "12 mm", "one way"},
		{"Xmax +/- 12 mm", "xmax", "12 mm", "one way"},
		{"Xmax (one way) 12 mm", "xmax", "12 mm", "one way"},
		{"Xmax (peak-to-peak) 24 mm", "xmax_peak_to_peak", "24 mm", "peak to peak, the study halves it"},
		{"Linear coil travel p-p 24mm", "xmax_peak_to_peak", "24 mm", "peak to peak, the study halves it"},
		{"Xmech 45 mm p-p", "xmech", "22.5 mm", "peak to peak, halved"},
		{"Xmech 4,5 cm p-p", "xmech", "2.25 cm", "decimal comma, peak to peak, halved"},
		{"Nominal impedance 4 Ω", "rated_impedance", "4 ohm", ""},
		{"Power handling 350 W rms", "rated_power", "350 W", "continuous"},
		{"Power handling 350 W rms / 700 W peak", "rated_power", "350 W", "the continuous one of several, continuous"},
		{"SPL 1W/1m 86.2 dB", "sensitivity", "{level: 86.2 dB, at: 1 W}", "at 1 W and 1 m"},
		{"Sensitivity 89 dB @ 2.83 V / 1 m", "sensitivity", "{level: 89 dB, at: 2.83 V}", "at 2.83 V and 1 m"},
		{"BL 11,6 Tm", "bl", "11.6 T m", "decimal comma"},
		{"B x L 11.6 N/A", "bl", "11.6 T m", ""},
		{"Cms 0.26 mm/N", "cms", "0.26 mm/N", ""},
		{"Cms 260 × 10⁻⁶ m/N", "cms", "260e-6 m/N", ""},
		{"Cms (10^-6 m/N) 260", "cms", "260e-6 m/N", ""},
		{"Cms 2.6E-04 m/N", "cms", "2.6e-04 m/N", ""},
		{"Rms 4.1 kg/s", "rms", "4.1 kg/s", ""},
		{"Mounting depth 132 mm (5.2 in)", "mounting_depth", "132 mm", "another unit beside it says the same"},
		{"Mounting depth 5 3/16\"", "mounting_depth", "5 3/16 in", ""},
		{"Depth behind flange in mm: 132", "mounting_depth", "132 mm", ""},
		{"Cutout diameter ø232 mm", "cutout", "232 mm", ""},
		{"Overall diameter\t262\tmm", "flange", "262 mm", ""},
		{"Magnet diameter 150 mm", "magnet_diameter", "150 mm", ""},
		{"Voice coil diameter 50 mm", "coil_diameter", "50 mm", ""},
		{"Weight 5.2 kg", "mass", "5.2 kg", ""},
		{"Net weight 11.5 lbs", "mass", "11.5 lb", ""},
		{"Price €129", "price", "129 EUR", ""},
		{"Price 129,00 €", "price", "129.00 EUR", "decimal comma"},
		{"Price: 1.299,00 EUR", "price", "1299.00 EUR", "decimal comma"},
		{"Price: USD 1,299.00", "price", "1299.00 USD", "thousands marked"},
		{"Sd 1 195 cm²", "sd", "1195 cm2", "thousands marked"},
		{"Sd 1'195 cm²", "sd", "1195 cm2", "thousands marked"},
		{"Fs 30.5 ± 3 Hz", "fs", "30.5 Hz", ""},
		{"Fs 30.5 Hz ± 10 %", "fs", "30.5 Hz", ""},
		{"30.5 Hz fs", "fs", "30.5 Hz", ""},
	} {
		r := Read(c.text, "merlin", nil)
		if len(r.Lines) != 1 {
			t.Errorf("%q: %+v", c.text, r.Lines)
			continue
		}
		l := r.Lines[0]
		if l.Key != c.key || l.Value != c.value || l.How != c.how || l.Doubt != "" || l.Ignored != "" {
			t.Errorf("%q:\n got %+v\nwant %s: %s (%s)", c.text, l, c.key, c.value, c.how)
		}
	}
}

// What is in doubt is asked, left out until it is answered, and settled by any
// of its choices.
func TestDoubts(t *testing.T) {
	for _, c := range []struct {
		text    string
		choices string
		driver  []string // by choice
	}{
		{"Xmax 12 mm", "one way|peak to peak", []string{"xmax: 12 mm", "xmax_peak_to_peak: 12 mm"}},
		{"Xmech 22 mm", "one way|peak to peak", []string{"xmech: 22 mm", "xmech: 11 mm"}},
		{"Power handling 350 W", "continuous|music or peak", []string{"rated_power: 350 W", ""}},
		{"SPL 88 dB", "1 W|2.83 V", []string{"sensitivity: {level: 88 dB, at: 1 W}", "sensitivity: {level: 88 dB, at: 2.83 V}"}},
		{"Sd 345", "cm2|in2", []string{"sd: 345 cm2", "sd: 345 in2"}},
		{"Mms 1,100 g", "1.100|1100", []string{"mms: 1.100 g", "mms: 1100 g"}},
		{"Power AES 350/700 W", "350 W|700 W", []string{"rated_power: 350 W", "rated_power: 700 W"}},
		{"Fancy resonance frequency 30 Hz", "it is fs|pass it over", []string{"fs: 30 Hz", ""}},
		{"Dual coils\nRe 3.3 ohm", "each of two coils|coils in series|coils in parallel", []string{
			"re: 3.3 ohm\ncoils: {count: 2, quoted: each}", "re: 3.3 ohm\ncoils: {count: 2, quoted: series}", "re: 3.3 ohm\ncoils: {count: 2, quoted: parallel}",
		}},
		{"Fs 30 Hz\nFs 28 Hz", "28 Hz|30 Hz", []string{"fs: 28 Hz", "fs: 30 Hz"}},
	} {
		open := Read(c.text, "merlin", nil)
		var asked *Line
		for i := range open.Lines {
			if open.Lines[i].Doubt != "" {
				asked = &open.Lines[i]
			}
		}
		if asked == nil || strings.Join(asked.Choices, "|") != c.choices || strings.Contains(open.Driver, asked.Key+":") {
			t.Errorf("%q: %+v\n%s", c.text, open.Lines, open.Driver)
			continue
		}
		for i, choice := range asked.Choices {
			got := Read(c.text, "merlin", map[int]string{asked.Number: choice})
			if got.Open != 0 || got.Driver != c.driver[i] {
				t.Errorf("%q answered %q: %d open, %q, want %q", c.text, choice, got.Open, got.Driver, c.driver[i])
			}
		}
		if again := Read(c.text, "merlin", map[int]string{asked.Number: "none of them"}); again.Open != open.Open {
			t.Errorf("%q: an answer that is none settled it", c.text)
		}
	}
}

// Questions of one line come one after the other; its choices carry the
// answers before.
func TestDoubtsInARow(t *testing.T) {
	answers := map[int]string{}
	for _, want := range []string{"mm", "peak to peak"} {
		r := Read("Xmax 12", "merlin", answers)
		i := slices.IndexFunc(r.Lines[0].Choices, func(c string) bool { return strings.HasSuffix(c, want) })
		if i < 0 {
			t.Fatalf("%+v", r.Lines)
		}
		answers[1] = r.Lines[0].Choices[i]
	}
	if r := Read("Xmax 12", "merlin", answers); r.Driver != "xmax_peak_to_peak: 12 mm" || r.Open != 0 {
		t.Errorf("%+v", r)
	}
}

// The whole sheet decides what a comma means.
func TestDecimals(t *testing.T) {
	for _, c := range []struct{ beside, value string }{
		{"Qts 0,45", "1.100 g"}, {"Qts 0.45", "1100 g"}, {"Price 1.299,00 EUR", "1.100 g"}, {"Price 1,299.00 EUR", "1100 g"},
	} {
		r := Read("Mms 1,100 g\n"+c.beside, "merlin", nil)
		if r.Lines[0].Value != c.value || r.Open != 0 || r.Numbers == "" {
			t.Errorf("beside %s: %+v", c.beside, r)
		}
	}
	if r := Read("Mms 1,100 g\nQts 0,45\nQms 4.9", "merlin", nil); r.Open != 1 || !strings.Contains(r.Numbers, "mixes") {
		t.Errorf("a mixed sheet: %+v", r)
	}
}

// Contradictions are told with the equation and the values.
func TestContradiction(t *testing.T) {
	r := Read("Fs 30 Hz\nQms 5\nQes 0.5\nQts 0.6\nVas 44 L\nSd 345 cm2\nRe 3.3 ohm", "merlin", nil)
	if len(r.Findings) != 1 || r.Findings[0].ID != "sheet-disagrees" || r.Findings[0].Where != "drivers.merlin.qts" ||
		!strings.Contains(r.Findings[0].Text, "Qms") || len(r.Steps) == 0 {
		t.Errorf("%+v", r.Findings)
	}
}

func TestLimits(t *testing.T) {
	if r := Read(strings.Repeat("x", mostBytes+1), "merlin", nil); len(r.Lines) != 0 || r.Findings[0].ID != "sheet-too-long" {
		t.Errorf("%+v", r)
	}
	r := Read("Fs 30 Hz\n"+strings.Repeat("note\n", mostLines)+"Qts 0.4\n", "merlin", nil)
	if len(r.Lines) != mostLines || r.Findings[0].ID != "sheet-too-long" || r.Driver != "fs: 30 Hz" {
		t.Errorf("%d lines, %+v, %s", len(r.Lines), r.Findings, r.Driver)
	}
	if r := Read("", "merlin", nil); len(r.Lines) != 0 || r.Findings[0].ID != "nothing-understood" {
		t.Errorf("%+v", r)
	}
}

// The order of lines decides nothing.
func TestShuffle(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for name, text := range sheets(t) {
		want := Read(text, name, nil)
		sorted := func(r Reading) []string {
			var out []string
			for _, l := range r.Lines {
				l.Number = 0
				out = append(out, fmt.Sprintf("%+v", l))
			}
			slices.Sort(out)
			return out
		}
		lines := strings.Split(text, "\n")
		for range 20 {
			rng.Shuffle(len(lines), func(i, j int) { lines[i], lines[j] = lines[j], lines[i] })
			got := Read(strings.Join(lines, "\n"), name, nil)
			if !slices.Equal(sorted(got), sorted(want)) || got.Driver != want.Driver || got.Numbers != want.Numbers ||
				!reflect.DeepEqual(got.Findings, want.Findings) || fmt.Sprint(got.Steps) != fmt.Sprint(want.Steps) {
				t.Fatalf("%s:\n%s\n%s", name, shown(got), shown(want))
			}
		}
	}
}

const host = "study: Aviary\ndrivers:\n  host: {fs: 30.5 Hz, qms: 4.9, qes: 0.49, vas: 44 L, sd: 345 cm2, re: 3.3 ohm}\n" +
	"candidates:\n  one: {group: {driver: host}, enclosure: {kind: sealed, volume: 28 L}}\n"

// inStudy puts a reading into a study through the door that the page uses.
func inStudy(t testing.TB, r Reading) {
	t.Helper()
	if r.Driver == "" {
		return
	}
	data, err := studyfile.Edit([]byte(host), []studyfile.Change{{Do: "set", Path: "drivers.guest", Value: r.Driver}})
	if err != nil {
		t.Fatalf("%v\n%s", err, r.Driver)
	}
	_, err = studyfile.Parse(data, "aviary.yaml")
	insufficient := slices.ContainsFunc(r.Findings, func(f note.Finding) bool { return f.ID == "bad-sheet" })
	if (err != nil) != insufficient {
		t.Fatalf("the study says %v, the reading %+v\n%s", err, r.Findings, r.Driver)
	}
}

func TestDriverStandsInAStudy(t *testing.T) {
	complete := 0
	for name, text := range sheets(t) {
		answers := map[int]string{}
		for range 40 { // any answer to every question
			r := Read(text, name, answers)
			inStudy(t, r)
			if r.Open == 0 {
				break
			}
			i := slices.IndexFunc(r.Lines, func(l Line) bool { return l.Doubt != "" })
			answers[r.Lines[i].Number] = r.Lines[i].Choices[0]
		}
		if r := Read(text, name, answers); r.Open != 0 {
			t.Errorf("%s: %d questions stay open\n%s", name, r.Open, shown(r))
		} else if len(r.Steps) > 0 {
			complete++
		}
	}
	if complete < 12 {
		t.Errorf("only %d sheets make a driver", complete)
	}
}

// The ranges are those of the study file.
func TestRanges(t *testing.T) {
	fields := map[string]studyfile.Field{}
	for _, f := range studyfile.Open([]byte(host), "").Fields() {
		if name, ok := strings.CutPrefix(f.Path, "drivers.host."); ok {
			fields[name] = f
		}
	}
	for _, e := range entries {
		if e.key == "" || e.key == "sensitivity" || e.key == "coils" {
			continue
		}
		f, ok := fields[e.key]
		if !ok || f.Kind != e.kind.String() || f.Above != e.above {
			t.Errorf("%s is %+v", e.key, f)
			continue
		}
		unit, err := phys.Parse("1 "+f.Unit, e.kind)
		if e.kind == phys.Number {
			unit, err = phys.Quantity{SI: 1}, nil
		}
		if err != nil {
			t.Fatal(err)
		}
		check.Near(t, e.key+" min", f.Min*unit.SI, e.min, 1e-9, "a bound is rounded to 12 digits")
		check.Near(t, e.key+" max", f.Max*unit.SI, e.max, 1e-9, "a bound is rounded to 12 digits")
	}
}

func FuzzRead(f *testing.F) {
	for _, text := range sheets(f) {
		f.Add(text, "one way")
	}
	f.Add("Fs (\x00\xff 3e999 Hz", "")
	f.Add("\"Sd\";\"345\";\"cm²\"\nVas,44,L\nfs=3O.5, Qms=4.9,Re=l,5\nWeight 12 lb 6 oz\nMms\n104\ng\nDVC 2+2 ohm", "")
	f.Add("Power: peak 700 W, rms 350 W\nPe 1,2.3,4 W max\nFs 30.S Hz\n\"\"\"\",,\"", "350 W")
	f.Fuzz(func(t *testing.T, text, answer string) {
		if len(text) > 4000 {
			return
		}
		answers := map[int]string{}
		for i := range 20 {
			answers[i] = answer
		}
		r := Read(text, "merlin", answers)
		inStudy(t, r)
		for _, l := range r.Lines {
			if l.Number < 1 || (l.Key == "") != (l.Ignored != "") || (l.Doubt == "") != (len(l.Choices) == 0) || l.Doubt == "" && l.Ignored == "" && l.Value == "" {
				t.Errorf("%+v", l)
			}
			if s := fmt.Sprintf("%+v", l); strings.Contains(s, "NaN") && !strings.Contains(strings.ToLower(text), "nan") {
				t.Error(s)
			}
		}
	})
}

func BenchmarkRead(b *testing.B) {
	text := sheets(b)["bittern"]
	for b.Loop() {
		Read(text, "bittern", nil)
	}
}
