package study_test

import (
	"bytes"
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"basswright/internal/export"
	"basswright/internal/large"
	"basswright/internal/note"
	"basswright/internal/report"
	"basswright/internal/study"
)

// ids are what findings are about.
func ids(list []note.Finding) (out []string) {
	for _, f := range list {
		out = append(out, f.ID)
	}
	return out
}

const gross = `study: Gross
air: {speed_of_sound: 343.2 m/s, density: 1.2041 kg/m3}
model: {static_air: adiabatic}
drivers:
  skua-8: {re: 5.6 ohm, le: 0.9 mH, bl: 10.2 T m, mms: 38.5 g, cms: 0.78 mm/N, rms: 1.9 kg/s, sd: 220 cm2, xmax: 8 mm, xmech: 12 mm, curves: {
    bl: {poly_si: [10.2, 60, -48000, -1.2e6]}, kms: {poly_si: [1282.051282051282, 8000, 6.0e6, 2.0e8]}, le: {poly_si: [0.0009, -0.022, 0.3]}}}
  wren-6: {fs: 38 Hz, qms: 4.2, qes: 0.41, vas: 12.5 L, sd: 136 cm2, re: 3.4 ohm, xmax: 7 mm, rated_power: 100 W, curves: {kms: {poly_si: [1100, 4e4, 2e7]}}}
candidates:
  vented: {group: {driver: skua-8}, enclosure: {kind: vented, volume: 30 L, losses: {leakage: none}, port: {diameter: 80 mm, length: 200 mm}}}
  opposed: {group: {driver: wren-6, side_by_side: 2, polarity: [normal, reversed]}, enclosure: {kind: sealed, volume: 18 L}}
  fighting: {group: {driver: wren-6, stack: 2, arrangement: clamshell, polarity: [normal, normal]}, enclosure: {kind: sealed, volume: 18 L}}
`

// The mean goes on the same way through the volts at which another state comes near
// to the small-signal answer, as a course in time does (signal of a sine of 40 Hz,
// 30 V: −5.911 mm, −0.52 to −10.67 mm); a state that does not last says so.
func TestStatesAreThoseThatAreTaken(t *testing.T) {
	st := parsed(t, gross)
	d, err := st.Distort(context.Background(), 0, []float64{40}, []float64{28, 29, 29.5, 30, 33, 45})
	if err != nil {
		t.Fatal(err)
	}
	for k := range d.Points[1:] {
		if a, b := d.Points[k].Cones[0].Lines.Mean, d.Points[k+1].Cones[0].Lines.Mean; b >= a {
			t.Errorf("from %g V to %g V the mean goes from %g m to %g m", d.Points[k].Volts, d.Points[k+1].Volts, a, b)
		}
	}
	const rate = 24000
	sound := make([]float64, 4*rate)
	for k := range sound {
		sound[k] = math.Sin(2*math.Pi*40*float64(k)/rate) * min(1, 4*float64(k)/rate)
	}
	p, err := st.Play(context.Background(), 0, sound, rate, study.ProgrammeOptions{Volts: 30, Cold: true})
	if err != nil {
		t.Fatal(err)
	}
	mean := 0.0
	for _, x := range p.Movement[3*rate:] {
		mean += x / rate
	}
	if want := d.Points[3].Cones[0].Lines.Mean; math.Abs(mean-want) > 2e-3*math.Abs(want) { // (2π·40/24000)²/12 per line, of 600 steps a period, grown by resonance
		t.Errorf("in time the mean is %g m, balanced %g m", mean, want)
	}
	for k, p := range d.Points {
		if lasts := p.Volts < 40; lasts != (p.Standing.Lasting == large.Lasts) {
			t.Errorf("point %d, %g V: %+v", k, p.Volts, p.Standing)
		}
	}
	if list := ids(d.Findings); !slices.Contains(list, "state-does-not-last") {
		t.Errorf("findings %v", list)
	}
	var csv, text bytes.Buffer
	if err := export.DistortionCSV(&csv, d); err != nil {
		t.Fatal(err)
	}
	if err := report.DistortionText(&text, st, "vented", d, nil, report.TextOptions{}); err != nil {
		t.Fatal(err)
	}
	rows := strings.Split(strings.TrimSpace(csv.String()), "\n")
	if !strings.HasSuffix(rows[0], ",lasts,jumped,lost") || !strings.HasSuffix(rows[1], ",1,0,") || !strings.HasSuffix(rows[len(rows)-1], ",0,0,") {
		t.Errorf("columns lasts and jumped:\n%s", csv.String())
	}
	if strings.Count(text.String(), "  does not last\n") != 1 {
		t.Errorf("the row does not say so:\n%s", text.String())
	}
}

// Cones that work against each other are told first, and there is no distortion of
// a fundamental that is none.
func TestWrongPolarityIsToldOfLargeSignals(t *testing.T) {
	st := parsed(t, gross)
	ctx := context.Background()
	for i, id := range map[int]string{1: "positions-oppose", 2: "polarity-fights"} {
		name := st.Candidates[i].Name
		d, err := st.Distort(ctx, i, []float64{30}, []float64{4})
		if err != nil {
			t.Fatal(err)
		}
		h, err := st.Heat(ctx, i, study.HeatOptions{Volts: 4, For: 10})
		if err != nil {
			t.Fatal(err)
		}
		p, err := st.Play(ctx, i, make([]float64, 200), 4800, study.ProgrammeOptions{Volts: 4})
		if err != nil {
			t.Fatal(err)
		}
		var texts [3]bytes.Buffer
		for _, err := range []error{
			report.DistortionText(&texts[0], st, name, d, nil, report.TextOptions{}),
			report.HeatText(&texts[1], st, name, h, study.HeatOptions{}, report.TextOptions{}),
			report.ProgrammeText(&texts[2], st, name, p, report.Heard{}, report.TextOptions{}),
		} {
			if err != nil {
				t.Fatal(err)
			}
		}
		for k, list := range [][]note.Finding{d.Findings, h.Findings, p.Findings} {
			if got := ids(list); slices.Index(got, id) < 0 {
				t.Errorf("%s, %d: findings %v", name, k, got)
			}
			if lines := strings.SplitN(texts[k].String(), "\n", 3); len(lines) < 3 || !strings.HasPrefix(lines[1], "WIRED WRONG: ") {
				t.Errorf("%s, %d: it is not said first:\n%s", name, k, texts[k].String())
			}
			if strings.Contains(texts[k].String(), "10¹") {
				t.Errorf("%s, %d: rounding is told:\n%s", name, k, texts[k].String())
			}
		}
		if q := d.Points[0]; id == "positions-oppose" && (study.THD(q.Pressure).OK() || q.Compression.OK() || study.LineLevel(q.Pressure, 1).OK()) {
			t.Errorf("of silence: THD %v, loss %v, level %v", study.THD(q.Pressure), q.Compression, study.LineLevel(q.Pressure, 1))
		}
	}
}

// What lies beyond the stop, the table or the sign of a curve is said, and what
// does not is not.
func TestTravelBeyondWhatIsKnownIsDoubtful(t *testing.T) {
	st := parsed(t, gross)
	tabled := parsed(t, strings.Replace(gross, "kms: {poly_si: [1100, 4e4, 2e7]}", "kms: {x: [-3 mm, 0 mm, 3 mm], value: [1.3 N/mm, 1.1 N/mm, 1.2 N/mm]}", 1))
	tabled.Candidates[1].Group.Positions[1][0].Polarity = tabled.Candidates[1].Group.Positions[0][0].Polarity
	for _, c := range []struct {
		st    *study.Study
		i     int
		f     float64
		volts float64
		want  []string
		not   []string
	}{
		{st, 0, 40, 10, nil, []string{"beyond-the-stop", "curve-turns-negative", "beyond-the-curves"}},
		{st, 0, 40, 33, []string{"beyond-the-stop"}, []string{"curve-turns-negative"}},
		{st, 0, 20, 60, []string{"beyond-the-stop", "curve-turns-negative"}, []string{"beyond-the-curves"}},
		{tabled, 1, 40, 10, []string{"beyond-the-curves"}, []string{"curve-turns-negative", "beyond-the-stop"}},
		{tabled, 1, 40, 0.5, nil, []string{"beyond-the-curves"}},
	} {
		d, err := c.st.Distort(context.Background(), c.i, []float64{c.f}, []float64{c.volts})
		if err != nil {
			t.Fatal(err)
		}
		got := ids(d.Findings)
		for _, id := range c.want {
			if !slices.Contains(got, id) {
				t.Errorf("%g V: no %s in %v", c.volts, id, got)
			}
		}
		for _, id := range c.not {
			if slices.Contains(got, id) {
				t.Errorf("%g V: %s in %v", c.volts, id, got)
			}
		}
	}
}

// Tones of a whole ratio are told, with a pair that has none.
func TestWholeRatioOfTones(t *testing.T) {
	st := parsed(t, gross)
	f := st.WholeRatio(40, 200)
	if len(f) != 1 || !strings.Contains(f[0].Text, "5 times 40") || !strings.Contains(f[0].Mend, "210") {
		t.Errorf("40 Hz and 200 Hz: %+v", f)
	}
	for _, pair := range [][2]float64{{40, 210}, {30, 200}} {
		if f := st.WholeRatio(pair[0], pair[1]); len(f) != 0 {
			t.Errorf("%v: %+v", pair, f)
		}
	}
}
