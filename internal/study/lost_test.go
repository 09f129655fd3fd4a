package study_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"basswright/internal/export"
	"basswright/internal/report"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// skewed has no steady state at some low frequencies and 120 V, far beyond its curves.
const skewed = `study: Skewed
air: {speed_of_sound: 343.2 m/s, density: 1.2041 kg/m3}
model: {static_air: adiabatic}
drivers:
  skua-8:
    {re: 5.6 ohm, le: 0.9 mH, bl: 10.2 T m, mms: 38.5 g, cms: 0.78 mm/N, rms: 1.9 kg/s, sd: 220 cm2, xmax: 8 mm,
    curves: {bl: {poly_si: [10.2, 60, -48000, -1.2e6]}, kms: {poly_si: [1282.051282051282, 8000, 6.0e6, 2.0e8]}, le: {poly_si: [0.0009, -0.022, 0.3]}}}
candidates:
  vented: {group: {driver: skua-8}, enclosure: {kind: vented, volume: 30 L, losses: {leakage: none}, port: {diameter: 80 mm, length: 200 mm}}}
`

// tandem has none at 63 Hz and 43 V, with air between its cones that leaks: its stiffness
// turns negative on one side.
const tandem = `study: Tandem
drivers:
  skua-8:
    {re: 5.6 ohm, le: 0.9 mH, bl: 10.2 T m, mms: 38.5 g, cms: 0.78 mm/N, rms: 1.9 kg/s, sd: 220 cm2, xmax: 8 mm,
    curves: {bl: {poly_si: [10.2, -78.61, -5.898e+04, -5.202e+05]}, kms: {poly_si: [1282.051282051282, 2078, 5.006e+06, -2.607e+08]}, le: {poly_si: [0.0009, -0.022, 0.3]}}}
candidates:
  tandem: {group: {driver: skua-8, stack: 2, coupling: 0.5 L}, enclosure: {kind: sealed, volume: 20 L}}
`

// A point without a steady state says why, in the terminal, as CSV and as JSON, and takes
// nothing from the others: they are what they are when they are asked for alone.
func TestALostPointKeepsTheTable(t *testing.T) {
	t.Run("vented", func(t *testing.T) {
		keepsItsTable(t, skewed, []float64{23.875532834288727, 25.327603469348063, 150}, []float64{2, 120})
	})
	t.Run("tandem", func(t *testing.T) { keepsItsTable(t, tandem, []float64{40, 63}, []float64{2, 43}) })
}

func keepsItsTable(t *testing.T, of string, at, volts []float64) {
	t.Helper()
	st, err := studyfile.Parse([]byte(of), "lost.yaml")
	if err != nil {
		t.Fatal(err)
	}
	d, err := st.Distort(context.Background(), 0, at, volts)
	if err != nil {
		t.Fatal(err)
	}
	lost := 0
	for k := range d.Points {
		p := &d.Points[k]
		if p.Frequency != at[k/2] || p.Volts != volts[k%2] {
			t.Errorf("point %d is at %g Hz and %g V", k, p.Frequency, p.Volts)
		}
		if p.Lost != "" {
			lost++
			if !strings.HasPrefix(p.Lost, fmt.Sprintf("no steady state was found at %.4g Hz and %g V", p.Frequency, p.Volts)) {
				t.Errorf("point %d: %s", k, p.Lost)
			}
			continue
		}
		alone, err := st.Distort(context.Background(), 0, []float64{p.Frequency}, []float64{p.Volts})
		if err != nil {
			t.Fatal(err)
		}
		if !slices.Equal(alone.Points[0].Pressure.Of, p.Pressure.Of) {
			t.Errorf("point %d: %v beside others, %v alone", k, p.Pressure.Of, alone.Points[0].Pressure.Of)
		}
	}
	if lost == 0 || lost > len(at)-1 {
		t.Fatalf("%d of %d points are lost: the case has to have both", lost, len(d.Points))
	}
	if !slices.Contains(ids(d.Findings), "no-state") {
		t.Errorf("findings %v", ids(d.Findings))
	}

	var text, table, data bytes.Buffer
	if err := report.DistortionText(&text, st, "vented", d, nil, report.TextOptions{}); err != nil {
		t.Fatal(err)
	}
	if err := export.DistortionCSV(&table, d); err != nil {
		t.Fatal(err)
	}
	if err := export.DistortionJSON(&data, "vented", d, nil); err != nil {
		t.Fatal(err)
	}
	for name, s := range map[string]string{"text": text.String(), "CSV": table.String(), "JSON": data.String()} {
		if low := strings.ToLower(s); strings.Contains(low, "nan") || strings.Contains(low, "inf,") || strings.Contains(low, " inf") {
			t.Errorf("%s prints what is no number:\n%s", name, s)
		}
	}
	if n := strings.Count(text.String(), "  no steady state\n"); n != lost {
		t.Errorf("%d rows of the text say so, %d are lost:\n%s", n, lost, text.String())
	}
	if !strings.Contains(strings.Join(strings.Fields(text.String()), " "), "cone or air is far beyond") {
		t.Errorf("the text does not say why:\n%s", text.String())
	}
	rows, err := csv.NewReader(&table).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out struct{ States []map[string]any }
	if err := json.Unmarshal(data.Bytes(), &out); err != nil {
		t.Fatal(err)
	}
	why := slices.Index(rows[0], "lost")
	for k := range d.Points {
		p, row, state := &d.Points[k], rows[k+1], out.States[k]
		if row[why] != p.Lost || (state["lost"] == nil) != (p.Lost == "") || p.Lost != "" && state["lost"] != p.Lost {
			t.Errorf("point %d, %q: %q as CSV, %v as JSON", k, p.Lost, row[why], state["lost"])
		}
		for i, name := range rows[0] {
			told := row[i] != ""
			if must := i < 2 || (name == "lost") == (p.Lost != ""); name != "compression_db" && !strings.Contains(name, "phase") && told != must {
				t.Errorf("point %d: %s is %q", k, name, row[i])
			}
			if told == (state[name] == nil) {
				t.Errorf("point %d: %s is %q as CSV and %v as JSON", k, name, row[i], state[name])
			}
		}
	}
}

// The figure has a gap where there is no state, and says at how many frequencies and why.
func TestALostPointIsAGapInTheFigure(t *testing.T) {
	st, err := studyfile.Parse([]byte(skewed), "skewed.yaml")
	if err != nil {
		t.Fatal(err)
	}
	at := []float64{23.875532834288727, 25.327603469348063, 150, 160}
	d, err := st.DistortionOver(context.Background(), 0, at, 120)
	if err != nil {
		t.Fatal(err)
	}
	f, err := report.DistortionFigure(st, []*study.DistortionCurve{d}, report.FigureOptions{})
	if err != nil {
		t.Fatal(err)
	}
	var svg bytes.Buffer
	if err := f.Write(&svg, "svg"); err != nil {
		t.Fatal(err)
	}
	if s := svg.String(); !strings.Contains(s, "has no steady state at") || !strings.Contains(s, "of 4 frequencies") || strings.Contains(s, "NaN") {
		t.Errorf("%s", s)
	}
	for _, f := range d.Lost {
		if k := slices.Index(at, f); !math.IsNaN(d.THD[k]) {
			t.Errorf("%g Hz: THD %g dB", f, d.THD[k])
		}
	}
}

// What mirroring buys is told of the points that have states, and which have none.
func TestALostPointIsLeftOutOfAMirror(t *testing.T) {
	text := strings.Replace(skewed, "group: {driver: skua-8}", "group: {driver: skua-8, stack: 2, arrangement: tandem, coupling: 3 L}", 1)
	st, err := studyfile.Parse([]byte(text), "skewed.yaml")
	if err != nil {
		t.Fatal(err)
	}
	m, err := st.Mirror(context.Background(), 0, []float64{25.327603469348063}, []float64{2, 160})
	if err != nil {
		t.Fatal(err)
	}
	if len(m.Rows) != 2 || len(m.Rows[0].Off) != 0 || len(m.Rows[1].Off) == 0 || !m.Rows[0].SameWay[0].OK() {
		t.Errorf("%+v", m.Rows)
	}
}
