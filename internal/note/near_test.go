package note_test

import (
	"testing"

	"basswright/internal/note"
)

// The word that was meant is the one with the fewest letters wrong, as long as it is no
// other word altogether; the first of two that are as near.
func TestNearest(t *testing.T) {
	for _, c := range []struct {
		typed, want string
		of          []string
	}{
		{"celar", "cellar", []string{"hall", "cellar"}},
		{"Cellra", "cellar", []string{"hall", "cellar"}},
		{"front.prot", "front.port", []string{"rear.port", "front.port"}},
		{"cell", "", []string{"hall-way", "loft"}},
		{"loft", "", []string{"hall"}},
		{"a", "", []string{"b"}},
		{"pat", "part", []string{"port", "part"}},
		{"tap", "tape", []string{"tape", "taps"}},
	} {
		if got := note.Nearest(c.typed, c.of); got != c.want {
			t.Errorf("%s of %v: %q, want %q", c.typed, c.of, got, c.want)
		}
	}
}
