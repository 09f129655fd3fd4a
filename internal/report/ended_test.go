package report

import (
	"bytes"
	"encoding/csv"
	"testing"

	"basswright/internal/phys"
)

// The columns for programs name what ends each greatest level, as JSON does.
func TestGreatestLevelsNameTheirLimit(t *testing.T) {
	r := evaluated(t, `study: Wrens
amplifier: {rated: {4 ohm: 60 W}}
drive: {voltage: 10 V, signal: {spectrum: pink, from: 20 Hz, to: 200 Hz}}
drivers:
  wren-6: {fs: 38 Hz, qms: 4.2, qes: 0.41, vas: 12.5 L, sd: 136 cm2, re: 3.4 ohm, xmax: 7 mm, rated_power: 120 W}
candidates:
  one: {group: {driver: wren-6}, enclosure: {kind: sealed, volume: 9 L}}
`)
	var b bytes.Buffer
	if err := CompareCSV(&b, r); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&b).ReadAll()
	if err != nil || len(rows) != 2 {
		t.Fatal(rows, err)
	}
	got := map[string]string{}
	for k, name := range rows[0] {
		got[name] = rows[1][k]
	}
	o := r.Candidates[0]
	seen := map[string]bool{}
	for _, g := range o.Figures.Greatest {
		key := "greatest_level_" + phys.Brief(g.Frequency, phys.Number, phys.Metric) + "hz_ended_by"
		if got[key] != string(g.By) || g.By == "" {
			t.Errorf("%s is %q, want %q", key, got[key], g.By)
		}
		seen[got[key]] = true
	}
	if len(seen) < 2 {
		t.Errorf("only %v ends anything here: the check does not reach it", seen)
	}
	if v := got["greatest_noise_ended_by"]; v == "" || v != string(o.Noise.By) {
		t.Errorf("noise is ended by %q, want %q", v, o.Noise.By)
	}
}
