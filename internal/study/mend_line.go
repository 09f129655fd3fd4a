package study

import (
	"basswright/internal/enclosure"
)

// mostDuct is how much larger than it is a duct, or a network, is tried without a space
// that bounds it.
const mostDuct = 10.0

// holds says that a larger duct or network may be told as a mend: its space could hold its
// air, and without one it is no more than so many times as large. Boxes are told by what
// fits elsewhere.
func (c *checker) holds(s enclosure.Spec, k float64) bool {
	if !s.Kind.Distributed() && s.Net == nil {
		return true
	}
	if k > mostDuct {
		return false
	}
	room, ok := c.st.roomFor()
	if !ok {
		return true
	}
	if s.Net != nil {
		return s.Net.Volume() <= room
	}
	shape, err := s.Line.Run.Shape()
	if err != nil {
		return false
	}
	air := shape.Volume() + s.Rear.Volume + s.Line.Throat.Volume
	return air <= room
}

// noDuct says that no duct or network was found, and within what.
func (c *checker) noDuct(s enclosure.Spec) string {
	tried, within := "none of the ducts tried", "up to ten times as large"
	if s.Net != nil {
		tried = "none of the networks of these parts that were tried"
	}
	if _, ok := c.st.roomFor(); ok {
		within = "as large as the space could hold"
	}
	return tried + ", " + within + ", reaches it: take a woofer with a lower fs, or another kind of box"
}
