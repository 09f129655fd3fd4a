package place

import (
	"math"
	"slices"
)

// Measured is a transfer function that was measured: the pressure at the
// listener over that of the half space, or over whatever it is meant to
// multiply. ReadMeasured makes one.
type Measured struct {
	low, high float64 // Hz, the ends

	octave []float64 // log2 of the frequency in Hz, rising
	level  []float64 // dB
	phase  []float64 // rad, without jumps of a turn; nil: none was given
}

// Band is where the measurement begins and ends, Hz.
func (m *Measured) Band() (low, high float64) { return m.low, m.high }

// HasPhase says whether a phase was given. Without one Transfer is real: right
// for levels, and for nothing that adds it to another sound.
func (m *Measured) HasPhase() bool { return m.phase != nil }

// Transfer is the factor on the pressure at f in Hz: level in dB and phase lie on
// straight lines over the logarithm of the frequency. Outside of the measured
// band it stays as at the nearer end, and inside is false.
//
// The phase is followed from point to point by the shorter way round. Where a
// delay turns it by more than half a turn between two points of the table, it
// cannot be known from them.
func (m *Measured) Transfer(f float64) (h complex128, inside bool) {
	x := math.Log2(within(f))
	last := len(m.octave) - 1
	i, _ := slices.BinarySearch(m.octave, x) // the first point at or above x
	inside = f >= m.low && f <= m.high       // by the frequency that was asked for, not by the one it was moved to
	switch {
	case i == 0:
		return m.point(0, 0, 0), inside
	case i > last:
		return m.point(last, last, 0), inside
	}
	return m.point(i-1, i, (x-m.octave[i-1])/(m.octave[i]-m.octave[i-1])), inside
}

// point is the factor at a share of the way from one point to another.
func (m *Measured) point(a, b int, share float64) complex128 {
	size := math.Pow(10, (m.level[a]+share*(m.level[b]-m.level[a]))/20)
	if m.phase == nil {
		return complex(size, 0)
	}
	sin, cos := math.Sincos(m.phase[a] + share*(m.phase[b]-m.phase[a]))
	return complex(size*cos, size*sin)
}
