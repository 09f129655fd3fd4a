package study

import (
	"basswright/internal/enclosure"
)

// mostDuct is how much larger than it is a duct is tried without a space that bounds it.
const mostDuct = 10.0

// holds says that a larger duct may be told as a mend: its space could hold its air, and
// without one it is no more than so many times as large. Boxes are told by what fits
// elsewhere.
func (c *checker) holds(s enclosure.Spec, k float64) bool {
	if !s.Kind.Distributed() {
		return true
	}
	if k > mostDuct {
		return false
	}
	room, ok := c.st.roomFor(c.o)
	if !ok {
		return true
	}
	shape, err := s.Line.Run.Shape()
	if err != nil {
		return false
	}
	air := shape.Volume() + s.Rear.Volume + s.Line.Throat.Volume
	return air <= room
}

// noDuct says that no duct was found, and within what.
func (c *checker) noDuct() string {
	within := "up to ten times as large"
	if _, ok := c.st.roomFor(c.o); ok {
		within = "as large as the space could hold"
	}
	return "none of the ducts tried, " + within + ", reaches it: take a woofer with a lower fs, or another kind of box"
}
