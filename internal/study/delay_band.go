package study

import (
	"fmt"
	"math"

	"basswright/internal/phys"
)

// heardBelow is how far below its reference level a candidate's sound may lie for its
// delay to count, dB: what comes late and is not heard beside the rest delays nothing.
// It is a rule of our own, with no source.
const heardBelow = 20

// delayTo is the frequency up to which delay counts: above it a low-pass, or the box, has
// taken the sound away for good.
func (m *meter) delayTo(reference phys.Maybe) float64 {
	from, to := m.st.LimitsFrom(), m.st.limitsTo()
	quiet := heardBelow - float64(reference) // of the level with its sign turned
	if !reference.OK() || -m.level(to) <= quiet {
		return to
	}
	if f := crossing(to, from, quiet, func(x float64) float64 { return -m.level(x) }); f.OK() {
		return float64(f)
	}
	return to
}

// delayUpTo is delay, and less than any above a frequency.
func (m *meter) delayUpTo(to float64) func(f float64) float64 {
	return func(f float64) float64 {
		if f > to {
			return math.Inf(-1)
		}
		return m.delay(f)
	}
}

// longest is the longest delay that counts.
func (m *meter) longest(reference phys.Maybe) Peak {
	return largest(m.st.LimitsFrom(), m.st.limitsTo(), m.delayUpTo(m.delayTo(reference)))
}

// counted tells up to where delay counts, where that is not the end of the limits.
func (g Origin) counted() string {
	if to := g.o.Figures.DelayTo; to < phys.Maybe(g.st.limitsTo()) {
		return fmt.Sprintf("; above %s the sound lies more than %d dB below the reference level, and its delay does not count", g.told(to, phys.Frequency), heardBelow)
	}
	return ""
}
