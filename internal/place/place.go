// Package place is what the place of the listener does to the level, and what
// the place does to the driver: a closed cabin as a pressure zone, walls near
// the box, a transfer function that was measured, what the level means for
// hearing, the temperature of a car, and the sag of a cone that does not stand
// upright. It knows nothing of boxes, studies or files: it takes numbers and
// texts and gives factors and findings.
//
// A transfer is a factor on the sound pressure of the far field without its
// time of flight, jωρU/(2πr) in the half space: see enclosure's
// System.Pressure. Frequencies are in Hz. A frequency below a thousandth of a
// hertz or above a megahertz is taken as that bound, so that no result is
// endless; one that is not a number is a mistake of the caller, and panics.
package place

import (
	"fmt"
	"math"

	"basswright/internal/note"
)

// Error is a description of a place that cannot be.
type Error struct {
	About  string // what is to blame: "volume", "leak"
	Reason string
	Mend   string
}

// Error is the reason and the mend.
func (e *Error) Error() string { return fmt.Sprintf("%s: %s; %s", e.About, e.Reason, e.Mend) }

// TableError is a text that holds no measured transfer function.
type TableError struct {
	At     note.Position
	Reason string
	Mend   string
}

// Error is "file:line:column: reason; mend".
func (e *TableError) Error() string { return fmt.Sprintf("%s: %s; %s", e.At, e.Reason, e.Mend) }

// The frequencies, Hz, between which the functions of this package work.
const (
	lowest  = 1e-3
	highest = 1e6
)

// within is a frequency, Hz, moved into the range of the package.
func within(f float64) float64 {
	if math.IsNaN(f) {
		panic("place: the frequency is not a number")
	}
	return min(max(f, lowest), highest)
}
