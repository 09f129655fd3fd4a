package study_test

import (
	"slices"
	"strings"
	"testing"

	"basswright/internal/note"
	"basswright/internal/study"
)

// A duct that holds more air than its space is a miss, and one that holds less is not
// judged: how it is folded is not laid out.
func TestADuctHoldsNoMoreThanItsSpace(t *testing.T) {
	const text = `study: Space
space: {width: 536 mm, height: 336 mm, depth: 336 mm}
drivers:
  merlin-10: {fs: 30.5 Hz, qms: 4.9, qes: 0.49, vas: 44 L, sd: 345 cm2, re: 3.3 ohm}
candidates:
  line: {group: {driver: merlin-10}, enclosure: {kind: transmission_line, duct: {length: LENGTH, area: 250 cm2}}}
`
	// 500 × 300 × 300 mm inside boards of 18 mm are 45 L, and so is a duct of 1.8 m
	for length, over := range map[string]bool{"1.79 m": false, "1.81 m": true, "4 m": true} {
		o := evaluated(t, parsed(t, strings.Replace(text, "LENGTH", length, 1))).Candidates[0]
		if m := missOf(o, study.CheckDuctAir); (m != nil) != over {
			t.Errorf("%s: %+v", length, m)
		}
		told := slices.ContainsFunc(o.Findings, func(f note.Finding) bool { return f.ID == "line-not-folded" })
		if told == over {
			t.Errorf("%s: that its fit is not judged is told: %v", length, told)
		}
	}
}

// What a duct would need to reach deeper is told no larger than its space could hold, and
// without a space no more than ten times as large.
func TestMendsOfDuctsStayInTheirSpace(t *testing.T) {
	const text = `study: Deep
SPACEbrief: {extension: {f3: 11 Hz}}
drivers:
  merlin-10: {fs: 30.5 Hz, qms: 4.9, qes: 0.49, vas: 44 L, sd: 345 cm2, re: 3.3 ohm}
candidates:
  horn: {group: {driver: merlin-10}, enclosure: {kind: back_loaded_horn, duct: {length: 1.2 m, start: 150 cm2, end: 900 cm2}, throat_chamber: {volume: 3 L}}}
`
	const net = "  net: {group: {driver: merlin-10}, enclosure: {kind: network, front: outside, rear: r, parts: [{kind: duct, between: [closed, m], duct: {length: 1.4 m, area: 350 cm2}, taps: [{at: 0.4 m, place: r}]}, {kind: opening, at: m}]}}\n"
	for space, want := range map[string]string{"": "up to ten times as large", "space: {width: 900 mm, height: 500 mm, depth: 500 mm}\n": "as large as the space could hold"} {
		for _, o := range evaluated(t, parsed(t, strings.Replace(text+net, "SPACE", space, 1))).Candidates {
			if m := missOf(o, study.CheckF3); m == nil || !strings.Contains(m.Mend, want) {
				t.Errorf("%s, %q: %+v", o.Candidate.Name, space, m)
			}
		}
	}
}

// What stands in a round duct is held against its diameter, at its closed end and along
// it: in millimetres, and of one that tapers where it is narrowest along the stack.
func TestWhatARoundDuctHasNoRoomFor(t *testing.T) {
	const text = `study: Round
drivers:
  merlin-10: {fs: 30.5 Hz, qms: 4.9, qes: 0.49, vas: 44 L, sd: 345 cm2, re: 3.3 ohm, mounting_depth: 132 mm, cutout: 232 mm, flange: 262 mm, magnet_diameter: 150 mm}
candidates:
`
	for _, c := range []struct {
		name, box, says string // says: "" for a duct that is wide enough
	}{
		{"end", "{kind: transmission_line, duct: {length: 2.6 m, area: 180 cm2}}", "151\u2009mm wide at its start"},
		{"along", "{kind: transmission_line, duct: {length: 2.6 m, area: 180 cm2}, driver_at: 0.8 m}", "151\u2009mm wide at 0.800\u2009m"},
		{"tapers", "{kind: transmission_line, duct: {length: 2.6 m, start: 700 cm2, end: 100 cm2}, driver_at: 0.8 m}", "from its start"},
		{"tapped", "{kind: tapped_waveguide, duct: {length: 2.6 m, start: 180 cm2, end: 200 cm2, flare: exponential}, front_at: 0.2 m, rear_at: 2.3 m}", "wide at 2."},
		{"wide", "{kind: transmission_line, duct: {length: 2.6 m, area: 1800 cm2}, driver_at: 0.8 m}", ""},
	} {
		o := evaluated(t, parsed(t, text+"  "+c.name+": {group: {driver: merlin-10, stack: 2}, enclosure: "+c.box+"}\n")).Candidates[0]
		told := ""
		for _, f := range o.Findings {
			if f.ID == "line-too-narrow" {
				told = f.Text
			}
		}
		if (told == "") != (c.says == "") || !strings.Contains(told, c.says) || c.says != "" && !strings.Contains(told, "\u2009mm too wide") {
			t.Errorf("%s: %q", c.name, told)
		}
		if c.name == "tapers" && strings.Contains(told, "at 0.800") {
			t.Errorf("the narrowest place along the stack lies behind its middle: %s", told)
		}
	}
}
