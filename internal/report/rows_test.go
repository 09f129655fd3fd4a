package report

import (
	"bytes"
	"context"
	"math"
	"reflect"
	"strings"
	"testing"

	"basswright/internal/phys"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// evaluated is the result of a study at few points: these tests are about what
// is written of it.
func evaluated(t *testing.T, text string) *study.Result {
	t.Helper()
	st, err := studyfile.Parse([]byte(text), "study.yaml")
	if err != nil {
		t.Fatal(err)
	}
	r, err := study.Evaluate(context.Background(), st, study.Options{Points: 40})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

const wrens = `study: Wrens
units: metric
brief: {extension: {f3: 45 Hz}, level: {at: 50 Hz, spl: 101 dB}}
drivers:
  wren-6: {fs: 38 Hz, qms: 4.2, qes: 0.41, vas: 12.5 L, sd: 136 cm2, re: 3.4 ohm, xmax: 7 mm, rated_power: 120 W, price: 58 EUR}
candidates:
  one: {group: {driver: wren-6}, enclosure: {kind: sealed, volume: 9 L}}
  a-back-to-back-stack-of-two: {group: {driver: wren-6, stack: 2, arrangement: back_to_back, wiring: parallel}, enclosure: {kind: sealed, volume: 4.5 L}}
`

// distinct gives every figure a value that no other has, in the order of the
// fields: 1.5, 2.5, 3.5 … in SI units.
func distinct(f *study.Figures) {
	next := 0.5
	var fill func(v reflect.Value)
	fill = func(v reflect.Value) {
		switch v.Kind() {
		case reflect.Float64:
			next++
			v.SetFloat(next)
		case reflect.Int:
			next++
			v.SetInt(int64(next))
		case reflect.Struct:
			for i := range v.NumField() {
				fill(v.Field(i))
			}
		case reflect.Slice:
			if _, ok := v.Interface().([]study.GreatestAt); ok {
				var list []study.GreatestAt
				for i, hz := range study.LevelFrequencies() {
					next++
					list = append(list, study.GreatestAt{Frequency: hz, Level: next, By: []study.BoundID{study.BoundExcursion, study.BoundPortAir}[i%2]})
				}
				v.Set(reflect.ValueOf(list))
				return
			}
			next += 3 // the largest is neither the first nor the last, nor the sum
			v.Set(reflect.ValueOf([]float64{next - 1, next, next - 2}))
		}
	}
	fill(reflect.ValueOf(f).Elem())
}

// Every row shows its own figure and no other, in the row's unit.
func TestEveryRowShowsItsFigure(t *testing.T) {
	for _, u := range []phys.System{phys.Metric, phys.Imperial} {
		r := evaluated(t, wrens)
		r.Study.Units = u
		o := r.Candidates[0]
		f := &o.Figures
		distinct(f)
		inches, feet, pounds := 1e3, 1.0, 1.0
		litres := 1e3
		if u == phys.Imperial { // NIST SP 811, appendix B: 1 in = 25.4 mm, 1 ft = 0.3048 m, 1 lb = 0.453 592 37 kg, all exact
			inches, feet, pounds = 1/0.0254, 1/0.3048, 1/0.45359237
			litres = feet * feet * feet
		}
		want := map[string]float64{
			"re_ohm": f.Re, "rated_load_ohm": float64(f.Load),
			"net_volume": litres * float64(f.NetVolume), "occupied_volume": litres * float64(f.OccupiedVolume), "volume_per_driver": litres * float64(f.VolumePerDriver),
			"tuning_hz": float64(f.Tuning), "rear_tuning_hz": float64(f.RearTuning), "fc_hz": float64(f.Fc), "qtc": float64(f.Qtc),
			"f3_hz": float64(f.F3), "f6_hz": float64(f.F6), "f10_hz": float64(f.F10), "f3_high_hz": float64(f.F3High), "f6_high_hz": float64(f.F6High), "f10_high_hz": float64(f.F10High),
			"reference_level_db": float64(f.Reference), "peak_db": float64(f.PeakLevel.Value), "above_band_db": float64(f.Above.Value), "ripple_db": float64(f.Ripple),
			"group_delay_ms": 1e3 * float64(f.GroupDelay.Value), "group_delay_cycles": float64(f.DelayCycles.Value), "level_asked_db": float64(f.LevelAsked),
			"excursion_peak": inches * float64(f.Excursion.Value), "radiator_excursion_peak": inches * float64(f.RadiatorExcursion.Value),
			"port_speed_peak": feet * float64(f.PortSpeed.Value), "watts_per_coil": float64(f.HottestCoil.Value), "watts_total": f.TotalPower,
			"lowest_impedance_ohm": float64(f.LowestZ.Value), "lowest_impedance_phase_deg": float64(f.LowestZPhase),
			"price": float64(f.Price), "weight_" + phys.Weight.Unit(u).Name: pounds * float64(f.Mass),
		}
		places := map[string]phys.Maybe{
			"peak_db": f.PeakLevel.At, "above_band_db": f.Above.At, "group_delay_ms": f.GroupDelay.At, "group_delay_cycles": f.DelayCycles.At, "excursion_peak": f.Excursion.At,
			"radiator_excursion_peak": f.RadiatorExcursion.At, "port_speed_peak": f.PortSpeed.At, "lowest_impedance_ohm": f.LowestZ.At,
		}
		for i, hz := range []string{"20", "25", "31.5", "40", "50", "63", "80"} {
			want["greatest_level_"+hz+"hz_db"] = f.Greatest[i].Level
		}
		seen := 0
		for _, w := range rows(r) {
			if w.kind == rowText {
				continue
			}
			seen++
			c := w.cell(o)
			v, ok := want[w.key]
			if !ok || math.Abs(float64(c.value)/v-1) > 1e-9 { // the arithmetic
				t.Errorf("%s: %v, want %v", w.key, c.value, v)
			}
			if by, ok := strings.CutPrefix(w.key, "greatest_level_"); ok {
				if ends := map[bool]string{true: "excursion", false: "port air"}[strings.HasPrefix(by, "20") || strings.HasPrefix(by, "31.5") || strings.HasPrefix(by, "50") || strings.HasPrefix(by, "80")]; c.at != ends {
					t.Errorf("%s: ended by %q, want %q", w.key, c.at, ends)
				}
				continue
			}
			if at := places[w.key]; (at == 0) != (c.at == "") || at != 0 && c.at != "at "+phys.Show(float64(at), phys.Frequency, u) {
				t.Errorf("%s: %q, want %v Hz", w.key, c.at, at)
			}
		}
		if seen != len(want) {
			t.Errorf("%d rows of figures, want %d", seen, len(want))
		}
	}
}

// The same of the figures for programs, which are in SI units.
func TestEveryFigureForPrograms(t *testing.T) {
	var f study.Figures
	distinct(&f)
	seen := map[phys.Maybe]string{}
	for name, v := range figuresJSON(&f) {
		if other, ok := seen[v]; ok || !v.OK() {
			t.Errorf("%s and %s are the same figure, %v", name, other, v)
		}
		seen[v] = name
	}
	for name, want := range map[string]phys.Maybe{
		"f3_hz": f.F3, "f6_hz": f.F6, "f10_hz": f.F10, "f3_high_hz": f.F3High, "f6_high_hz": f.F6High, "f10_high_hz": f.F10High,
		"excursion_peak_m": f.Excursion.Value, "port_speed_peak_m_s": f.PortSpeed.Value, "net_volume_m3": f.NetVolume, "total_power_w": phys.Maybe(f.TotalPower),
	} {
		if got := figuresJSON(&f)[name]; got != want {
			t.Errorf("%s is %v, want %v", name, got, want)
		}
	}
}

// A long value does not run into its place, nor into its gauge.
func TestValuesStandApart(t *testing.T) {
	for _, c := range [][3]string{
		{"7.71", "at 20.0 Hz", "7.71  at 20.0 Hz"},
		{"371802", "at 34.2 Hz", "371802 at 34.2 Hz"},
		{"0.0377", "━━╌▒", "0.0377 ━━╌▒"},
	} {
		if got := beside(c[0], c[1]); got != c[2] {
			t.Errorf("%q, want %q", got, c[2])
		}
	}
}

// What is wider than its column goes on below, and nothing of it is lost.
func TestLongCellsGoOnBelow(t *testing.T) {
	r := evaluated(t, wrens)
	var b bytes.Buffer
	p := newPrinter(&b, TextOptions{})
	p.row("  Tuning of the front chamber fb, Hz", r.Candidates, plain, func(o *study.Outcome) string {
		return []string{"1 × plover-12, 1 × wren-6", "a-back-to-back-stack-of-two"}[o.Index]
	})
	want := strings.Join([]string{
		"    Tuning of the front     1 × plover-12, 1  a-back-to-back-",
		"      chamber fb, Hz        × wren-6          stack-of-two", "",
	}, "\n")
	if b.String() != want {
		t.Errorf("got\n%s\nwant\n%s", b.String(), want)
	}
	for _, text := range []string{"one", "aaaaaaaaaaaaaaaaaaaa bb", "aa-bbbbbbbbbbbbbbbb", "a b  c"} {
		lines := wrap(text, 7)
		for _, l := range lines {
			if width(l) > 7 {
				t.Errorf("%q is wider than 7", l)
			}
		}
		if a, b := strings.Join(lines, ""), text; strings.ReplaceAll(a, " ", "") != strings.ReplaceAll(b, " ", "") {
			t.Errorf("%q became %q", b, lines)
		}
	}
	b.Reset()
	if err := CompareText(&b, r, TextOptions{}); err != nil {
		t.Fatal(err)
	}
	if err := ExplainText(&b, r, nil, TextOptions{}); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(b.String(), "…") {
		t.Error("something is cut")
	}
}

// A stack tells few figures one by one, with a final "and", and many as a range.
func TestStackWords(t *testing.T) {
	some := func(n int) study.StackFacts {
		s := study.StackFacts{Error: study.Peak{Value: -12.04, At: 119}, Band: study.Band{From: 10, To: 400}, AirMass: phys.None()}
		for i := range n {
			s.Excursions = append(s.Excursions, study.Peak{Value: phys.Maybe(0.001 * float64(n-i))})
			if i > 0 {
				s.Modes = append(s.Modes, 10*float64(i)+0.5)
			}
		}
		return s
	}
	for n, want := range map[int][]string{
		2: {"at 10.5\u2009Hz;", "outer 2.00\u2009mm, inner 1.00\u2009mm peak at the drive."},
		4: {"at 10.5\u2009Hz, 20.5\u2009Hz and 30.5\u2009Hz;", "3 from outside 2.00\u2009mm, inner 1.00\u2009mm peak"},
		5: {"20.5\u2009Hz, 30.5\u2009Hz and 40.5\u2009Hz;", "outer 5.00\u2009mm, inner 1.00\u2009mm, the 3 between them 2.00 to 4.00\u2009mm peak"},
		6: {"from 10.5\u2009Hz to 50.5\u2009Hz (5 of them);", "outer 6.00\u2009mm, inner 1.00\u2009mm, the 4 between them 2.00 to 5.00\u2009mm peak"},
	} {
		got := stackWords(some(n), phys.Metric)
		for _, w := range append(want, "is 12.04\u2009dB below a rigid link at 119\u2009Hz, its worst from 10\u2009Hz to 400\u2009Hz;") {
			if !strings.Contains(got, w) {
				t.Errorf("%d cones: %q lacks %q", n, got, w)
			}
		}
	}
	s := some(2)
	s.Error.Value = 0.65
	if got := stackWords(s, phys.Metric); !strings.Contains(got, "is 0.65\u2009dB above a rigid link") {
		t.Errorf("%q", got)
	}
}

// What the column "one" stands for is said where the driver has several coils:
// the account of the group has them in parallel.
func TestOneOfSeveralCoils(t *testing.T) {
	dual := strings.Replace(wrens, "re: 3.4 ohm", "coils: {count: 2, quoted: series}, re: 3.4 ohm", 1)
	for text, want := range map[string]bool{wrens: false, dual: true} {
		r := evaluated(t, text)
		var b bytes.Buffer
		if err := ExplainText(&b, r, nil, TextOptions{}); err != nil {
			t.Fatal(err)
		}
		if err := ExplainHTML(&b, r, nil, HTMLOptions{}); err != nil {
			t.Fatal(err)
		}
		if n := strings.Count(b.String(), "one = wren-6, coils in parallel"); want && n != 4 || !want && n != 0 {
			t.Errorf("said %d times, want it: %v", n, want)
		}
	}
}

// The gauge of heat says that it is of a driver: the table has the power of a coil.
func TestHeatIsOfADriver(t *testing.T) {
	for _, c := range checksOf(evaluated(t, wrens)) {
		if c.ID == study.CheckHeat && c.Name != "driver’s heat of 120\u2009W" {
			t.Errorf("%q", c.Name)
		}
	}
}

// flat gives a candidate one level at all frequencies.
func flat(o *study.Outcome, level float64) {
	for i := range o.Curves.SPL {
		o.Curves.SPL[i] = level
	}
}

// The small plot is 48 dots high for 40 dB below the multiple of 5 dB that is at
// least 2 dB above the highest level. So levels of 90 dB and 60 dB lie under 95 dB at
// 5/40 and 35/40 of 47 steps: the 6th and the 41st, which are dots 3 and 2 of rows
// 1 and 10; of the long dash every fourth cell is empty. A candidate without a level leaves no dot and is named at the foot,
// as one that gives no sound.
func TestDotsOfKnownLevels(t *testing.T) {
	r := evaluated(t, wrens+"  quiet: {group: {driver: wren-6}, enclosure: {kind: sealed, volume: 9 L}}\n")
	flat(r.Candidates[0], 90)
	flat(r.Candidates[1], 60)
	flat(r.Candidates[2], math.NaN())
	lines := braillePlot(r, 40, plain)
	for y, want := range map[int]string{
		0:  "      │",
		1:  "   90 │" + strings.Repeat("⠤", 40) + "  one",
		4:  "   80 │",
		10: "   60 │" + strings.Repeat("⠒⠒⠒ ", 10) + "  a-back-to-back-stack-of-two",
		11: "      │" + strings.Repeat(" ", 40) + "  quiet: no sound",
	} {
		if lines[y] != want {
			t.Errorf("row %d is\n%q, want\n%q", y, lines[y], want)
		}
	}
}

// Of more candidates than the plot has rows, the last row tells how many are not
// named.
func TestManyCandidatesAreNamedOrCounted(t *testing.T) {
	r := evaluated(t, wrens)
	for range 13 {
		o := *r.Candidates[0]
		o.Index = len(r.Candidates)
		r.Candidates = append(r.Candidates, &o)
	}
	for n, want := range map[int]string{12: "one", 13: "… and 2 more", 15: "… and 4 more"} {
		few := *r
		few.Candidates = r.Candidates[:n]
		lines := braillePlot(&few, 40, plain)
		named := 0
		for _, l := range lines[:plotRows] {
			if _, name, ok := strings.Cut(l[strings.Index(l, "│"):], "  "); ok && strings.TrimSpace(name) != "" {
				named++
			}
		}
		if got := lines[plotRows-1]; !strings.HasSuffix(got, "  "+want) || named != plotRows {
			t.Errorf("%d candidates: %d named, the last row is %q", n, named, got)
		}
	}
}

// On the page a name stands before its sentence with a colon, and small letters
// follow.
func TestSentencesOfThePage(t *testing.T) {
	r := evaluated(t, wrens)
	var b bytes.Buffer
	if err := ReportHTML(&b, r, HTMLOptions{}); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		`<b class="t1">one</b>: costs 58`, `<b class="t2">a-back-to-back-stack-of-two</b>: in 4.50`, `<b class="t1">one</b>:<span class="miss">short of`,
	} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("the page lacks %q", want)
		}
	}
}
