package study_test

import (
	"context"
	"math"
	"strings"
	"testing"

	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// A voltage that is asked for is the same thing wherever it is asked for: what
// drive: {voltage: …} of the study is, before its filters. Distortion, two tones,
// heat, a mirror and a piece of sound do the same with it as with the study's drive.
func TestOneMeaningOfVoltage(t *testing.T) {
	const volts = 7.0
	st, err := studyfile.Parse([]byte(`study: Wrens
drive: {voltage: 7 V}
filters: {sub: {kind: highpass, at: 60 Hz, order: 4, family: butterworth}, pad: {kind: gain, gain: -3 dB}}
drivers:
  wren-6: {fs: 35 Hz, qms: 4.5, qes: 0.42, vas: 12 L, sd: 130 cm2, re: 3.3 ohm, rated_power: 100 W, xmax: 6 mm, curves: {kms: {poly_si: [1996, 1e4, 2e7]}}}
candidates:
  one: {group: {driver: wren-6, stack: 2, arrangement: clamshell, wiring: parallel}, enclosure: {kind: sealed, volume: 6 L}}
`), "study.yaml")
	if err != nil {
		t.Fatal(err)
	}
	ctx := context.Background()
	asked := []float64{volts}
	at := []float64{30, 60, 200}
	own, err := st.Distort(ctx, 0, at, nil)
	if err != nil {
		t.Fatal(err)
	}
	told, err := st.Distort(ctx, 0, at, asked)
	if err != nil {
		t.Fatal(err)
	}
	for k, p := range told.Points {
		f := at[k]
		x := math.Pow(f/60, 8)
		want := volts * math.Pow(10, -3.0/20) * math.Sqrt(x/(1+x)) // Butterworth's magnitude
		// 1e-9: the rounding of the sections
		if math.Abs(p.Volts/want-1) > 1e-9 || math.Abs(own.Points[k].Volts/want-1) > 1e-9 {
			t.Errorf("at %g Hz the source has %g V when asked and %g V on the drive, want %g V", f, p.Volts, own.Points[k].Volts, want)
		}
	}
	two, err := st.Modulate(ctx, 0, 30, 200, asked, nil)
	if err != nil {
		t.Fatal(err)
	}
	one, err := st.Modulate(ctx, 0, 30, 200, nil, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range append(two, one...) {
		if math.Abs(m.LowVolts/told.Points[0].Volts-1) > 1e-9 || math.Abs(m.HighVolts/(told.Points[2].Volts/4)-1) > 1e-9 {
			t.Errorf("two tones have %g V and %g V at the source, alone %g V and %g V", m.LowVolts, m.HighVolts, told.Points[0].Volts, told.Points[2].Volts)
		}
	}
	hot, err := st.Heat(ctx, 0, study.HeatOptions{Volts: volts, For: 60})
	if err != nil {
		t.Fatal(err)
	}
	warm, err := st.Heat(ctx, 0, study.HeatOptions{For: 60})
	if err != nil {
		t.Fatal(err)
	}
	if a, b := hot.Points[0].Watts, warm.Points[0].Watts; a != b || hot.Volts != volts {
		t.Errorf("%g W when asked, %g W on the drive", a, b)
	}
	sine := make([]float64, 4800)
	for k := range sine {
		sine[k] = math.Sin(2 * math.Pi * 200 * float64(k) / 48000)
	}
	heard, err := st.Play(ctx, 0, sine, 48000, study.ProgrammeOptions{Volts: volts, Cold: true})
	if err != nil {
		t.Fatal(err)
	}
	played, err := st.Play(ctx, 0, sine, 48000, study.ProgrammeOptions{Cold: true})
	if err != nil {
		t.Fatal(err)
	}
	if heard.Level != played.Level {
		t.Errorf("%g dB when asked, %g dB on the drive", heard.Level, played.Level)
	}
	m, err := st.Mirror(ctx, 0, at, asked)
	if err != nil {
		t.Fatal(err)
	}
	for k, r := range m.Rows {
		if r.Volts != told.Points[k].Volts {
			t.Errorf("the mirror has %g V at %g Hz", r.Volts, r.Frequency)
		}
	}
	for _, c := range []struct{ got, want string }{
		{st.Fed(), " through sub and pad"},
		{st.Left(), ", what sub and pad leave of the drive"},
	} {
		if c.got != c.want {
			t.Errorf("it says %q, want %q", c.got, c.want)
		}
	}
	st.Filters = nil
	if got := st.Fed() + st.Left(); got != " at the source" {
		t.Errorf("without filters it says %q", got)
	}
}

// The mend of a level that is missed names the drive before the filters as such:
// written into the study, it gives the level.
func TestLevelMendIsTheDrive(t *testing.T) {
	const text = `study: Wrens
drive: {voltage: 2 V}
filters: {sub: {kind: highpass, at: 60 Hz, order: 4, family: butterworth}}
brief: {level: {at: 40 Hz, spl: 80 dB}}
drivers:
  wren-6: {fs: 35 Hz, qms: 4.5, qes: 0.42, vas: 12 L, sd: 130 cm2, re: 3.3 ohm, rated_power: 100 W, xmax: 6 mm}
candidates:
  one: {group: {driver: wren-6}, enclosure: {kind: sealed, volume: 6 L}}
`
	mended := func(text string) string {
		st, err := studyfile.Parse([]byte(text), "study.yaml")
		if err != nil {
			t.Fatal(err)
		}
		r, err := study.Evaluate(context.Background(), st, study.Options{Points: 30})
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range r.Candidates[0].Misses {
			if strings.Contains(m.Mend, "it takes ") {
				return m.Mend
			}
		}
		return ""
	}
	mend := mended(text)
	_, rest, ok := strings.Cut(mend, "it takes ")
	volts, _, found := strings.Cut(rest, " through sub, ")
	if !ok || !found {
		t.Fatalf("it says %q", mend)
	}
	if again := mended(strings.Replace(text, "2 V}", strings.ReplaceAll(volts, "\u2009", " ")+"}", 1)); again != "" {
		t.Errorf("at %s it still takes more: %s", volts, again)
	}
}
