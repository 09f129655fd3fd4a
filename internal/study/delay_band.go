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

// late is a delay where the sound is heard, and less than any elsewhere. It is asked for
// twice at a frequency.
func (m *meter) late(reference phys.Maybe, of func(f float64) float64) func(f float64) float64 {
	least := 0.0
	if reference.OK() {
		least = squareOf(float64(reference) - heardBelow)
	}
	last, delay := math.NaN(), 0.0
	return func(f float64) float64 {
		if f == last {
			return delay
		}
		last, delay = f, math.Inf(-1)
		if least == 0 || m.square(f) >= least {
			delay = of(f)
		}
		return delay
	}
}

// lateReadings look for the longest delay that counts, in seconds and in periods. They
// leave the solver beside the frequency.
func (m *meter) lateReadings(reference phys.Maybe, seconds, periods *Peak) [2]reading {
	of, roughly := m.late(reference, m.delay), m.late(reference, m.roughDelay)
	return [...]reading{
		{of: of, roughly: roughly, to: seconds},
		{of: func(f float64) float64 { return f * of(f) }, roughly: func(f float64) float64 { return f * roughly(f) }, to: periods},
	}
}

// longest is the longest delay that counts.
func (m *meter) longest(reference phys.Maybe) (p Peak) {
	list := m.lateReadings(reference, &p, nil)
	largestEach(m.gridwise(), m.st.LimitsFrom(), m.st.limitsTo(), list[:1])
	return p
}
