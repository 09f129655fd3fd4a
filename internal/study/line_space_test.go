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
	for space, want := range map[string]string{"": "up to ten times as large", "space: {width: 900 mm, height: 500 mm, depth: 500 mm}\n": "as large as the space could hold"} {
		o := evaluated(t, parsed(t, strings.Replace(text, "SPACE", space, 1))).Candidates[0]
		if m := missOf(o, study.CheckF3); m == nil || !strings.Contains(m.Mend, want) {
			t.Errorf("%q: %+v", space, m)
		}
	}
}
