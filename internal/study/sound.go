package study

import (
	"iter"
	"math"

	"basswright/internal/phys"
)

// sound is what a meter has read of the sound: the last reading, and those at the places
// of the lattice, on which reference level, edges, ripple and peaks are looked for.
type sound struct {
	at, square float64
	lattice    []float64 // nil: none yet; NaN: not yet
}

var nothingRead = sound{at: math.NaN()}

// The lattice is bandLow times whole steps of 1/meanSteps octave. It is kept from the lowest
// to the highest that figures are looked for at.
var latticeFrom, latticeTo = int(math.Floor(latticeAt(lowest))), int(math.Ceil(latticeAt(highest)))

func latticeAt(f float64) float64 { return math.Log2(f/bandLow) * meanSteps }
func latticeHz(k int) float64     { return bandLow * octaves(k) }

// octaves is 2^(k/meanSteps): of the lattice from a table, as all figures are looked for there.
func octaves(k int) float64 {
	if i := k - latticeFrom; i >= 0 && i < len(octave) {
		return octave[i]
	}
	return math.Exp2(float64(k) / meanSteps)
}

var octave = exponentials(latticeFrom, latticeTo)

func exponentials(from, to int) []float64 {
	list := make([]float64, to-from+1)
	for i := range list {
		list[i] = math.Exp2(float64(from+i) / meanSteps)
	}
	return list
}

// square is |p|² in Pa² on the drive, in the plain space, where extension and reference
// level are at home. Levels are compared by it: it takes no logarithm.
func (m *meter) square(f float64) float64 {
	if f != m.sound.at {
		e, ok := m.solve(f)
		if !ok {
			return e
		}
		m.sound.at, m.sound.square = f, phys.Square(m.sys.Pressure(m.sol))*e*e
	}
	return m.sound.square
}

// squareAt is the same at place k of the lattice, read when it is first asked for.
func (m *meter) squareAt(k int) float64 {
	if k < latticeFrom || k > latticeTo { // a reference band may lie beyond
		return m.square(latticeHz(k))
	}
	s := &m.sound
	if s.lattice == nil {
		s.lattice = make([]float64, latticeTo-latticeFrom+1)
		for i := range s.lattice {
			s.lattice[i] = math.NaN()
		}
	}
	known := &s.lattice[k-latticeFrom]
	if math.IsNaN(*known) {
		*known = m.square(latticeHz(k))
	}
	return *known
}

// knows says that place k of the lattice has been read.
func (s *sound) knows(k int) bool {
	return s.lattice != nil && k >= latticeFrom && k <= latticeTo && !math.IsNaN(s.lattice[k-latticeFrom])
}

// besides is how close to an end of a range a place of the lattice may lie, in steps: any
// closer, and rounding alone would make a turning point of it.
const besides = 1e-3

// way are the places of the lattice between two frequencies, up or down, at which the sound
// is known, and then the second of the two.
func (m *meter) way(from, to float64) iter.Seq[float64] {
	return func(yield func(float64) bool) {
		by, a, b := 1, latticeAt(from), latticeAt(to)
		if to < from {
			by, a, b = -1, -a, -b
		}
		for k := int(math.Floor(a+besides)) + 1; float64(k) < b-besides; k++ {
			square := m.squareAt(by * k)
			m.sound.at, m.sound.square = latticeHz(by*k), square
			if !yield(m.sound.at) {
				return
			}
		}
		yield(to)
	}
}

// along calls at for the ends of a range and the places of the lattice between them.
func (m *meter) along(lo, hi float64, at func(f float64)) {
	if !(lo <= hi) {
		return
	}
	at(lo)
	if lo < hi {
		for f := range m.way(lo, hi) {
			at(f)
		}
	}
}

// lattice are its places for a search: all of its peaks are looked at closer, but for those
// 40 dB below the best.
func (m *meter) lattice() places { return places{m.along, 1 - 1e-4} }

// falls is where the sound falls to a limit, Pa², on the way from one frequency to another.
func (m *meter) falls(from, to, limit float64) phys.Maybe {
	return crossing(from, m.way(from, to), limit, m.square)
}

// levelOf is the level of |p|², dB.
func levelOf(square float64) float64 { return 10 * math.Log10(square/sq(referencePressure)) }

// squareOf is |p|² of a level.
func squareOf(level float64) float64 { return sq(referencePressure) * math.Pow(10, level/10) }
