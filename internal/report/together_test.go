package report

import (
	"slices"
	"testing"
)

// No line ends between a number and its unit, whatever space stands between them; a
// word that only begins like a unit is free to go.
func TestNumbersKeepTheirUnits(t *testing.T) {
	for _, c := range []struct {
		text string
		room int
		want []string
	}{
		{"F3 is 4.1 Hz higher", 10, []string{"F3 is", "4.1 Hz", "higher"}},
		{"F3 is 4.1\u2009Hz higher", 10, []string{"F3 is", "4.1\u2009Hz", "higher"}},
		{"port: {diameter: 100 mm}, count", 22, []string{"port: {diameter:", "100 mm}, count"}},
		{"of 2 homes", 5, []string{"of 2", "homes"}},
		{"at 5 Hz", 3, []string{"at", "5", "Hz"}}, // there is no room for both
		{"", 10, []string{""}},
		{"two  spaces", 20, []string{"two  spaces"}},
	} {
		if got := wrap(c.text, c.room); !slices.Equal(got, c.want) {
			t.Errorf("%q in %d columns: %q, want %q", c.text, c.room, got, c.want)
		}
	}
}
