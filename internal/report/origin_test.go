package report_test

import (
	"math"
	"regexp"
	"strings"
	"testing"

	"basswright/internal/phys"
	"basswright/internal/report"
)

// worded are the rows that repeat in words what the study says.
var worded = map[string]bool{"drivers": true, "mounting": true, "facing": true, "wiring": true, "kind": true}

// more are studies with the figures that no example has.
var more = map[string]string{
	"unlike, reversed and boxed apart": `study: Unlike
units: imperial
space: {width: 700 mm, depth: 400 mm, height: 400 mm, panel: 18 mm, material: plywood}
amplifier: {rated: {8 ohm: 200 W, 4 ohm: 300 W}, channels: 2, bridged: true}
drive: {voltage: 20 V, signal: {spectrum: pink, from: 30 Hz, to: 120 Hz}}
brief: {extension: {f3: 40 Hz, f6: 35 Hz, f10: 30 Hz}, level: {at: 40 Hz, spl: 104 dB}, limits: {excursion: 8 mm, port_speed: 15 m/s, chamber_pressure: 1 kPa, group_delay: 15 ms, mass: 20 kg, price: 200 EUR}}
drivers:
  owl: {fs: 38 Hz, qms: 4.2, qes: 0.41, vas: 12.5 L, sd: 136 cm2, re: 3.4 ohm, xmax: 7 mm, xmech: 12 mm, rated_power: 80 W, price: 60 EUR, mass: 2 kg}
  jay: {fs: 45 Hz, qms: 5, qes: 0.5, vas: 9 L, sd: 136 cm2, re: 5.6 ohm, xmax: 5 mm, rated_power: 60 W, price: 40 EUR, mass: 1.5 kg}
candidates:
  mixed: {group: {members: [[owl], [jay]]}, enclosure: {kind: sealed, volume: 20 L}}
  wrong: {group: {driver: owl, side_by_side: 2, polarity: [normal, reversed]}, enclosure: {kind: vented, volume: 20 L, tuning: 40 Hz, port: {diameter: 60 mm}}}
  asked: {group: {driver: owl}, enclosure: {kind: sealed, system_q: 0.9}}
  aligned: {group: {driver: owl}, enclosure: {kind: vented, alignment: {family: qb3}, port: {diameter: 60 mm}}}
  radiated: {group: {driver: owl}, enclosure: {kind: passive_radiator, volume: 12 L, tuning: 35 Hz, radiator: {sd: 136 cm2, mms: 30 g, fs: 25 Hz, qms: 8, xmax: 9 mm}}}
  both: {group: {driver: owl}, enclosure: {kind: bandpass_parallel, rear: {volume: 15 L, tuning: 35 Hz}, front: {volume: 8 L, tuning: 70 Hz, port: {diameter: 60 mm}}}}
  band: {group: {driver: owl, stack: 2, coupling: {volume: 1 L}}, enclosure: {kind: bandpass, rear: {volume: 15 L}, front: {volume: 8 L, tuning: 60 Hz}}}
  wall: {group: {driver: owl}, enclosure: {kind: infinite_baffle}}
`,
	"ducts and fill": `study: Ducts
space: {width: 700 mm, depth: 400 mm, height: 400 mm, panel: 18 mm, material: plywood}
amplifier: {rated: {4 ohm: 300 W}}
brief: {extension: {f3: 40 Hz}, level: {at: 40 Hz, spl: 104 dB}, limits: {excursion: 8 mm, port_speed: 5 m/s, chamber_pressure: 1 kPa, group_delay: 15 ms, mass: 20 kg}}
drivers:
  owl: {fs: 38 Hz, qms: 4.2, qes: 0.41, vas: 12.5 L, sd: 136 cm2, re: 3.4 ohm, xmax: 7 mm, xmech: 12 mm, rated_power: 80 W, price: 60 EUR, mass: 2 kg}
candidates:
  line: {group: {driver: owl, stack: 2, coupling: 1 L}, enclosure: {kind: transmission_line, duct: {length: 1.8 m, area: 80 cm2, width: 120 mm}, driver_at: 0.6 m, fill: {resistivity: 900 Pa s/m2}}}
  tapped: {group: {driver: owl}, enclosure: {kind: tapped_waveguide, duct: {length: 2.1 m, start: 80 cm2, end: 250 cm2}, front_at: 0.1 m, rear_at: 1.9 m}}
  front: {group: {driver: owl}, enclosure: {kind: front_loaded_horn, duct: {length: 1.2 m, start: 60 cm2, end: 900 cm2, flare: exponential}, rear: {volume: 6 L, fill: {resistivity: 900 Pa s/m2}}}}
  back: {group: {driver: owl}, enclosure: {kind: back_loaded_horn, duct: {start: 60 cm2, end: 900 cm2, flare: tractrix}, throat_chamber: {volume: 1 L}}}
  stuffed: {group: {driver: owl}, enclosure: {kind: sealed, system_q: 0.8, fill: {resistivity: 3000 Pa s/m2}}}
`,
}

// Every value that is shown opens into what it is, the numbers in it, why, and the
// source; and what it opens into is that value.
func TestEveryFigureOpens(t *testing.T) {
	results := examples(t)
	for name, text := range more {
		results[name] = evaluate(t, text, "more.yaml")
	}
	digit := regexp.MustCompile(`\d`)
	opened := map[string]int{}
	for name, r := range results {
		table := report.NewTable(r)
		for _, o := range r.Candidates {
			for i, c := range table.Column(o) {
				row := table.Rows[i]
				who := name + ", " + o.Candidate.Name + ", " + row.Key
				l, ok := report.Opened(r, o, row.Key)
				switch {
				case worded[row.Key]:
					if ok || row.Opens {
						t.Errorf("%s: what the study says opens", who)
					}
					continue
				case c.Text == "–":
					if ok {
						t.Errorf("%s: nothing is shown, and it opens into %+v", who, l)
					}
					continue
				case !ok || !row.Opens:
					t.Errorf("%s: %q does not open", who, c.Text)
					continue
				}
				opened[row.Key]++
				for what, s := range map[string]string{"name": l.Name, "formula": l.Formula, "numbers": l.Numbers, "why": l.Why, "source": l.Source} {
					if strings.TrimSpace(s) == "" || strings.Contains(s, "NaN") || strings.Contains(s, "Inf") || strings.HasSuffix(s, ".") || strings.Contains(s, "–") {
						t.Errorf("%s: its %s is %q", who, what, s)
					}
				}
				if row.Key != "brief" && !digit.MatchString(l.Numbers) {
					t.Errorf("%s: no number in %q", who, l.Numbers)
				}
				if f, ok := strings.CutPrefix(c.At, "at "); ok && !strings.Contains(l.Numbers, f) {
					t.Errorf("%s: %q does not say that it is at %s", who, l.Numbers, f)
				}
				if row.Limit && c.Fill.OK() { // else it is told in words that it is not judged
					if want := phys.Digits(100*float64(c.Fill), 3); l.Value != want || l.Unit != "%" || c.Text != "below" && !strings.Contains(l.Numbers, c.Text) {
						t.Errorf("%s: %s of %s opens into %s %s, %q", who, c.Text, want, l.Value, l.Unit, l.Numbers)
					}
				} else if l.Value != c.Text || l.Unit != row.Unit {
					t.Errorf("%s: %s %s opens into %s %s", who, c.Text, row.Unit, l.Value, l.Unit)
				}
			}
		}
	}
	for _, key := range []string{"f3_hz", "f10_high_hz", "rear_tuning_hz", "polarity", "outside", "greatest_level_40hz_db", "gives_first", "greatest_noise_db", "greatest_noise_40hz_db", "greatest_noise_v", "price", "weight_lb",
		"limit-extension-f6", "limit-level", "limit-excursion", "limit-radiator-excursion", "limit-heat", "limit-load", "limit-port-speed", "limit-port-speed-full", "limit-group-delay", "limit-fit", "limit-mass", "limit-price"} {
		if opened[key] == 0 {
			t.Errorf("no study shows %s", key)
		}
	}
}

// A step ends with the very value of its row, not with one that looks alike.
func TestAStepEndsWithItsFigure(t *testing.T) {
	for name, r := range examples(t) {
		for _, o := range r.Candidates {
			g, f := r.Origin(o), &o.Figures
			for what, pair := range map[string][2]phys.Maybe{
				"F3": {g.F3().Value, f.F3}, "upper F10": {g.F10High().Value, f.F10High}, "reference": {g.Reference().Value, f.Reference}, "tuning": {g.Tuning().Value, f.Tuning},
				"net volume": {g.NetVolume().Value, f.NetVolume}, "weight": {g.Weight().Value, f.Mass}, "lowest |Z|": {g.LowestZ().Value, f.LowestZ.Value},
				"Re": {g.Re().Value, phys.Maybe(f.Re)},
			} {
				if pair[1].OK() && math.Abs(float64(pair[0]-pair[1])) > 1e-12*math.Abs(float64(pair[1])) { // Re is worked out by factors
					t.Errorf("%s, %s: %s is %v and opens into %v", name, o.Candidate.Name, what, pair[1], pair[0])
				}
			}
			if c := o.Checks; len(c) > 0 && c[0].Fill.OK() && g.Check(c[0].ID).Value != c[0].Fill {
				t.Errorf("%s, %s: %s opens into %v", name, o.Candidate.Name, c[0].Name, g.Check(c[0].ID).Value)
			}
		}
	}
}

// F3 in full: what a person has to see to believe it.
func TestF3Opens(t *testing.T) {
	r := examples(t)["camper-bench.yaml"]
	i, err := r.Study.Find("tuned")
	if err != nil {
		t.Fatal(err)
	}
	l, ok := report.Opened(r, r.Candidates[i], "f3_hz")
	f := r.Candidates[i].Figures
	hz := func(v float64) string { return phys.Show(v, phys.Frequency, phys.Metric) }
	want := "f where L(f) falls to " + phys.Show(float64(f.Reference), phys.Level, phys.Metric) + " (" + hz(f.ReferenceBand.From) + " to " + hz(f.ReferenceBand.To) + ") − 3.01\u2009dB = " +
		phys.Show(float64(f.Reference)-3.0103, phys.Level, phys.Metric)
	if !ok || l.Numbers != want {
		t.Errorf("F3 opens into %q, want %q", l.Numbers, want)
	}
}
