package report

import (
	"bytes"
	"context"
	"regexp"
	"strings"
	"testing"

	"basswright/internal/large"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// twoWrens is a stack with curves.
const twoWrens = `study: Wrens
drive: {voltage: 10 V}
drivers:
  wren-6: {fs: 35 Hz, qms: 4.5, qes: 0.42, vas: 12 L, sd: 130 cm2, re: 3.3 ohm, xmax: 6 mm, rated_power: 100 W, curves: {kms: {poly_si: [1996, 1e4, 2e7]}}}
candidates:
  two: {group: {driver: wren-6, stack: 2, arrangement: clamshell, coupling: 1 L, wiring: parallel}, enclosure: {kind: sealed, volume: 6 L}}
`

// The columns of steady states, of a mirror, of two tones and of heat never touch,
// however many letters a number takes: two spaces stand between any two cells.
func TestColumnsNeverTouch(t *testing.T) {
	st, err := studyfile.Parse([]byte(twoWrens), "study.yaml")
	if err != nil {
		t.Fatal(err)
	}
	ctx := context.Background()
	var b bytes.Buffer
	d, err := st.Distort(ctx, 0, []float64{25, 2000}, []float64{1e-3, 2})
	if err != nil {
		t.Fatal(err)
	}
	m, err := st.Mirror(ctx, 0, []float64{25, 2000}, []float64{1e-3, 2})
	if err != nil {
		t.Fatal(err)
	}
	m.Rows[0].Facing[1] = -1234567.8 // wider than any that is
	if err := DistortionText(&b, st, "two", d, m, TextOptions{}); err != nil {
		t.Fatal(err)
	}
	h, err := st.Heat(ctx, 0, study.HeatOptions{Volts: 1000, For: 60})
	if err != nil {
		t.Fatal(err)
	}
	h.Points[0].Watts = 1.234e12
	if err := HeatText(&b, st, "two", h, study.HeatOptions{For: 60}, TextOptions{}); err != nil {
		t.Fatal(err)
	}
	tones := []study.Modulation{{LowVolts: 1e-9, TwoTone: &large.TwoTone{Low: 30, High: 200, Level: 1e-3, Below: [2]complex128{1e-12, 1e-3}, Above: [2]complex128{1e9, 1e-9}}}}
	if err := ModulationText(&b, st, tones, TextOptions{}); err != nil {
		t.Fatal(err)
	}
	states, mirrors, heats, pairs := 0, 0, 0, 0
	gap := regexp.MustCompile(` {2,}`)
	number := regexp.MustCompile(`^(−?[0-9.]+( × 10[⁰¹²³⁴⁵⁶⁷⁸⁹⁻]+)?|–|[0-9.]+.(s|min|h)|in the end)$`)
	for line := range strings.Lines(b.String()) {
		row := gap.Split(strings.TrimSpace(line), -1)
		if len(row) < 5 || !number.MatchString(row[0]) {
			continue
		}
		for _, c := range row {
			if !number.MatchString(c) {
				t.Errorf("%q is no number, in %q", c, line)
			}
		}
		switch len(row) {
		case 11:
			states++
		case 13:
			mirrors++
		case 7:
			if strings.ContainsAny(row[0], "smhd") {
				heats++
			} else {
				pairs++
			}
		default:
			t.Errorf("%d cells in %q", len(row), line)
		}
	}
	if states != 4 || mirrors != 4 || heats < 4 || pairs != 1 {
		t.Errorf("%d states, %d rows of a mirror, %d of heat, %d of two tones in\n%s", states, mirrors, heats, pairs, b.String())
	}
}
