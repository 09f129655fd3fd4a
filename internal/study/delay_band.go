package study

import (
	"math"

	"basswright/internal/phys"
)

// heardBelow is how far below its reference level a candidate's sound may lie for its
// delay to count, dB: what comes late and is not heard beside the rest delays nothing. In
// a dip, where two sounds cancel each other, a delay is without bounds.
// It is a rule of our own, with no source.
const heardBelow = 20

// late is delay where the sound is heard, and less than any elsewhere.
func (m *meter) late(reference phys.Maybe) func(f float64) float64 {
	if !reference.OK() {
		return m.delay
	}
	least := squareOf(float64(reference) - heardBelow)
	last, delay := math.NaN(), 0.0 // asked for twice at a frequency
	return func(f float64) float64 {
		if f == last {
			return delay
		}
		last, delay = f, math.Inf(-1)
		if m.square(f) >= least {
			delay = m.delay(f)
		}
		return delay
	}
}

// longest is the longest delay that counts.
func (m *meter) longest(reference phys.Maybe) Peak {
	return largest(m.st.LimitsFrom(), m.st.limitsTo(), m.late(reference))
}
