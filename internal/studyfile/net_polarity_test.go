package studyfile

import (
	"slices"
	"strings"
	"testing"

	"basswright/internal/note"
)

// Positions of a network that look elsewhere than the others are not held to their
// direction; which way one that turns its rear to the listener moves is told where
// nothing is said of it.
func TestPolarityOfPositionsThatLookElsewhere(t *testing.T) {
	const text = `study: Turned
drivers: {wren-6: {fs: 38 Hz, qms: 4.2, qes: 0.41, vas: 12.5 L, sd: 136 cm2, re: 3.4 ohm}}
candidates:
  two:
    group: {driver: wren-6, side_by_side: 2POLARITY}
    enclosure:
      kind: network
      front: outside
      rear: box
      parts:
        - {kind: chamber, at: box, volume: 20 L}
        - {kind: drivers, position: 2, between: [box, outside]}
`
	for _, c := range []struct {
		polarity string
		told     bool
	}{{"", true}, {", polarity: [normal, reversed]", false}, {", polarity: [normal, normal]", false}} {
		st, err := Parse([]byte(strings.Replace(text, "POLARITY", c.polarity, 1)), "turned.yaml")
		if err != nil {
			t.Fatal(err)
		}
		has := func(id string) bool {
			return slices.ContainsFunc(st.Findings, func(f note.Finding) bool { return f.ID == id })
		}
		if !st.Candidates[0].Group.MovesTogether() || has("positions-oppose") {
			t.Errorf("%q: positions that look elsewhere are said to oppose each other", c.polarity)
		}
		if has("default-turned-polarity") != c.told {
			t.Errorf("%q: which way the turned one moves is told: %v, want %v", c.polarity, has("default-turned-polarity"), c.told)
		}
	}
}
