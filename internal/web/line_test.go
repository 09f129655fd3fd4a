package web

import (
	"slices"
	"strings"
	"testing"

	"basswright/internal/studyfile"
)

const ductStudy = `study: Ducts
amplifier: {rated: {4 ohm: 300 W}}
space: {width: 700 mm, height: 400 mm, depth: 400 mm}
drivers: {wren-6: {fs: 38 Hz, qms: 4.2, qes: 0.41, vas: 12.5 L, sd: 136 cm2, re: 3.4 ohm, xmax: 7 mm}}
candidates:
  one: {group: {driver: wren-6}, enclosure: {kind: sealed, volume: 9 L, fill: {resistivity: 3000 Pa s/m2}}}
  line: {group: {driver: wren-6, stack: 2, coupling: 1 L}, enclosure: {kind: transmission_line, duct: {length: 1.8 m, area: 80 cm2}, driver_at: 0.6 m, fill: {resistivity: 900 Pa s/m2, to: 1 m}}}
  tapped: {group: {driver: wren-6}, enclosure: {kind: tapped_waveguide, duct: {length: 2.1 m, start: 80 cm2, end: 250 cm2}, front_at: 0.1 m, rear_at: 1.9 m}}
  front: {group: {driver: wren-6}, enclosure: {kind: front_loaded_horn, duct: {length: 1.2 m, start: 60 cm2, end: 900 cm2, flare: exponential}, rear: {volume: 6 L}}}
  back: {group: {driver: wren-6}, enclosure: {kind: back_loaded_horn, duct: {profile: [{at: 0 m, area: 60 cm2}, {at: 1.1 m, area: 200 cm2}, {at: 1.8 m, area: 900 cm2}]}}}
`

// Ducts are shown like any box: curves, a section, a wiring, a ledger and variants, and
// an edit of one of their fields changes them.
func TestDuctsInTheWorkbench(t *testing.T) {
	dir := t.TempDir()
	put(t, dir, "bench.yaml", ductStudy)
	s := openOn(t, dir, "127.0.0.1:0")
	v := ask[View](s, 200, "POST", "/api/studies/bench/view", Ask{Suggest: true})
	if len(v.Faults) > 0 {
		t.Fatal(v.Faults)
	}
	for i, c := range v.Result.Candidates {
		if len(c.Curves.Level) == 0 || len(c.Steps) == 0 || len(c.Variants) == 0 || !strings.HasPrefix(c.Section, "<svg") || !strings.HasPrefix(c.Wiring, "<svg") {
			t.Errorf("%s: %d steps, %d variants", c.Name, len(c.Steps), len(c.Variants))
		}
		says := slices.ContainsFunc(c.Told, func(m Remark) bool { return strings.HasPrefix(m.Text, "folded in ") && m.Weight == "" })
		if says != (i > 0) {
			t.Errorf("%s: its section says that it is folded: %t", c.Name, says)
		}
		for _, m := range c.Told { // beside the drawing, where it can be read at any size of it
			if strings.Contains(c.Section, m.Text) {
				t.Errorf("%s: %q stands in the drawing too", c.Name, m.Text)
			}
		}
	}
	fields := map[string]bool{}
	for _, f := range v.Fields {
		fields[f.Path] = f.Present
	}
	const length = "candidates.line.enclosure.duct.length"
	for _, path := range []string{length, "candidates.line.enclosure.fill.to", "candidates.back.enclosure.duct.profile[1].area"} {
		if !fields[path] {
			t.Errorf("no field %s", path)
		}
	}
	was := v.Result.Candidates[1].Plain
	e := Edit{Changes: []studyfile.Change{set(length, "2.4 m")}, Label: "longer"}
	next := ask[View](s, 200, "POST", "/api/studies/bench/try", e.tried())
	if len(next.Faults) > 0 || next.Result.Candidates[1].Plain == was {
		t.Errorf("%v, still %q", next.Faults, was)
	}
}
