package study_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"basswright/internal/note"
)

// Openings half a wave apart at the end of the reference band are the last that are not
// doubted: with c = 343.2 m/s and a band to 120 Hz, 1.43 m. In a space of 1.2 m by 0.9 m by
// 0.8 m, nothing may take more than 1.2 m by 0.9 m, radii included.
func TestPlacesFarApartAreDoubted(t *testing.T) {
	const text = `study: Far
SPACEreference: {from: 60 Hz, to: 120 Hz}
drivers:
  merlin-10: {fs: 30.5 Hz, qms: 4.9, qes: 0.49, vas: 44 L, sd: 345 cm2, re: 3.3 ohm}
candidates:
  one: {group: {driver: merlin-10}, enclosure: {kind: KIND, baffle: {cones: [{x: 0 cm, y: 0 cm}], PLACE}}}
`
	const line, pipe = "transmission_line, duct: {length: 1.8 m, area: 400 cm2}", "transmission_line, duct: {length: 1.8 m, area: 400 cm2}, mouth: free"
	const space, turned = "space: {width: 1200 mm, height: 900 mm, depth: 800 mm}\n", "space: {width: 800 mm, height: 1200 mm, depth: 900 mm}\n"
	// a cone of 104.8 mm and a mouth of 112.8 mm in radius take 0.2176 m more than their distance
	for _, c := range []struct {
		space, kind, place string
		want               string
	}{
		{"", line, "mouth: {y: -1.42 m}", ""},
		{"", line, "mouth: {y: -1.44 m}", "baffle-far"},
		{"", line, "mouth: {x: 1.2 m, y: -0.8 m}", "baffle-far"},
		{"", pipe, "mouth: {y: 1.5 m}", "baffle-far"},
		{"", "vented, volume: 40 L, tuning: 35 Hz", "port: {y: -1.5 m}", "baffle-far"},
		{space, line, "mouth: {x: 0.98 m}", ""},
		{space, line, "mouth: {y: 0.98 m}", ""},
		{space, line, "mouth: {x: 0.99 m}", "baffle-beyond-space"},
		{space, line, "mouth: {x: 0.7 m, y: 0.7 m}", "baffle-beyond-space"},
		{space, line, "mouth: {x: 0.7 m, y: 0.68 m}", ""},
		{space, line, "mouth: {x: 1.5 m}", "baffle-far baffle-beyond-space"},
		{turned, line, "mouth: {x: 0.98 m}", ""},
		{turned, line, "mouth: {x: 0.99 m}", "baffle-beyond-space"},
	} {
		o := evaluated(t, parsed(t, strings.NewReplacer("SPACE", c.space, "KIND", c.kind, "PLACE", c.place).Replace(text))).Candidates[0]
		var got []string
		for _, f := range o.Findings {
			if strings.HasPrefix(f.ID, "baffle-far") || strings.HasPrefix(f.ID, "baffle-beyond") {
				got = append(got, f.ID)
				if f.Severity != note.Warning || f.Mend == "" {
					t.Errorf("%s", fmt.Sprint(f))
				}
				if f.ID == "baffle-far" && !strings.Contains(f.Mend, "no more than 1.43\u2009m apart") {
					t.Errorf("%s", f.Mend)
				}
			}
		}
		if strings.Join(got, " ") != c.want {
			t.Errorf("%s%s, %s: %v, want %s", c.space, c.kind, c.place, got, c.want)
		}
	}
}

// Behind an infinite baffle there is no box that a space would have to hold.
func TestAWallIsNotHeldAgainstTheSpace(t *testing.T) {
	const text = `study: Wall
space: {width: 600 mm, height: 500 mm, depth: 400 mm}
reference: {from: 60 Hz, to: 80 Hz}
drivers:
  merlin-10: {fs: 30.5 Hz, qms: 4.9, qes: 0.49, vas: 44 L, sd: 345 cm2, re: 3.3 ohm}
candidates:
  one: {group: {driver: merlin-10, side_by_side: 2}, enclosure: {kind: KIND, baffle: {cones: [{x: 0 cm, y: 0 cm}, {x: 90 cm, y: 0 cm}]}}}
`
	for kind, want := range map[string]bool{"infinite_baffle": false, "sealed, volume: 40 L": true} {
		o := evaluated(t, parsed(t, strings.Replace(text, "KIND", kind, 1))).Candidates[0]
		if got := slices.ContainsFunc(o.Findings, func(f note.Finding) bool { return f.ID == "baffle-beyond-space" }); got != want {
			t.Errorf("%s: warned: %v", kind, got)
		}
	}
}
