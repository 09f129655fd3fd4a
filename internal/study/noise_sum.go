package study

import (
	"math"
	"math/cmplx"

	"basswright/internal/noise"
)

// A noiseSum adds up what a noise makes of a system: for each quantity q the
// integral of |q|² over the noise's power.
//
// The range of the noise is cut into third-octaves, these into cells, evenly on a
// log scale. A cell is read in its middle, and once more in three thirds: where
// the two agree, the sum is that of the thirds with what follows from the
// difference (the middle rule's error goes with the square of the width: a ninth
// of it is left, so that an eighth of the difference is to come); where they do
// not, each third is a cell of its own. So a resonance is followed as finely as
// it is narrow, and one that no reading has met shows by its flanks.
type noiseSum struct {
	m        *meter
	list     []bound
	spectrum noise.Spectrum
	from, to float64 // the ends of what is followed, as exponents of ten; what lies beyond counts there

	allowed []float64 // of each quantity, how far a cell may be off
	sums    []float64 // of each quantity
	bands   map[int]float64
	spare   [][2][]float64 // room for two readings at each depth
}

// The quantities, before those of the bounds: place by place, in their order.
const (
	sumFed      = iota // what the filters leave of the noise
	sumWatts           // in all coils
	sumPressure        // at the listener's place
	sumBounds
)

const (
	cellsPerBand = 8
	deepest      = 12    // thirds of thirds: 5e-7 of a cell, where Q would be 1e9
	cellError    = 1e-5  // of a sum, that a cell may be off: 0.00004 dB
	bandError    = 1e-4  // of the pressure in its third-octave
	lowestNoise  = -1.05 // 0.09 Hz, below all that a noise is asked from
	highestNoise = 5.05  // 112 kHz: there is no movement above, and no sound
)

// cell is a stretch of a third-octave, with what was read in its middle.
type cell struct {
	band     int
	from, to float64 // exponents of ten
	power    float64
	read     []float64
}

func (m *meter) newNoiseSum(spectrum noise.Spectrum, list []bound) *noiseSum {
	n := sumBounds
	for i := range list {
		n += list[i].places
	}
	low, high := spectrum.Ends()
	s := &noiseSum{m: m, list: list, spectrum: spectrum, from: max(math.Log10(low), lowestNoise), to: min(math.Log10(high), highestNoise),
		allowed: make([]float64, n), sums: make([]float64, n), bands: map[int]float64{}}
	for range deepest + 1 {
		s.spare = append(s.spare, [2][]float64{make([]float64, n), make([]float64, n)})
	}
	return s
}

// add adds all up; false where the network cannot be solved.
func (s *noiseSum) add() bool {
	cells, ok := s.cells()
	if !ok {
		return false
	}
	heard := map[int]float64{}
	for _, c := range cells {
		for q, v := range c.read {
			s.allowed[q] += cellError * c.power * v
		}
		heard[c.band] += c.power * c.read[sumPressure]
	}
	for i := range cells {
		c := &cells[i]
		s.allowed[sumPressure] = bandError * heard[c.band]
		if !s.refine(c, 0) {
			return false
		}
	}
	return true
}

// cells are those that hold any of the noise, read.
func (s *noiseSum) cells() ([]cell, bool) {
	var out []cell
	first, last := int(math.Round(10*s.from)), int(math.Round(10*s.to))
	pool := make([]float64, (last-first+1)*cellsPerBand*len(s.sums))
	for band := first; band <= last; band++ {
		from, to := max(s.from, (float64(band)-0.5)/10), min(s.to, (float64(band)+0.5)/10)
		n := int(math.Ceil((to-from)*10*cellsPerBand - 1e-9))
		for k := range n {
			c := cell{band: band, from: from + (to-from)*float64(k)/float64(n), to: from + (to-from)*float64(k+1)/float64(n)}
			if c.power = s.power(c.from, c.to); c.power > 0 {
				c.read, pool = pool[:len(s.sums):len(s.sums)], pool[len(s.sums):]
				if !s.read(c.middle(), c.read) {
					return nil, false
				}
				out = append(out, c)
			}
		}
	}
	return out, true
}

func (c *cell) middle() float64 { return (c.from + c.to) / 2 }

// refine adds a cell to the sums.
func (s *noiseSum) refine(c *cell, depth int) bool {
	third := (c.to - c.from) / 3
	parts := [3]cell{
		{band: c.band, from: c.from, to: c.from + third, read: s.spare[depth][0]},
		{band: c.band, from: c.from + third, to: c.to - third, read: c.read},
		{band: c.band, from: c.to - third, to: c.to, read: s.spare[depth][1]},
	}
	for i := range parts {
		p := &parts[i]
		p.power = s.power(p.from, p.to)
		if i != 1 && !s.read(p.middle(), p.read) {
			return false
		}
	}
	if depth < deepest && !s.agrees(c, &parts) {
		for i := range parts {
			if !s.refine(&parts[i], depth+1) {
				return false
			}
		}
		return true
	}
	for q := range s.sums {
		fine, rest := thirds(c, &parts, q)
		s.sums[q] += fine + rest
		if q == sumPressure {
			s.bands[c.band] += fine + rest
		}
	}
	return true
}

// agrees says that a cell is known well enough by its thirds.
func (s *noiseSum) agrees(c *cell, parts *[3]cell) bool {
	for q := range s.sums {
		if _, rest := thirds(c, parts, q); math.Abs(rest) > s.allowed[q] {
			return false
		}
	}
	return true
}

// thirds is the sum of a cell's thirds and what is still to come.
func thirds(c *cell, parts *[3]cell, q int) (fine, rest float64) {
	for i := range parts {
		fine += parts[i].power * parts[i].read[q]
	}
	return fine, (fine - c.power*c.read[q]) / 8
}

// power is the share of the noise between two exponents of ten, with all that
// lies beyond the outermost.
func (s *noiseSum) power(from, to float64) float64 {
	low, high := 0.0, 1.0
	if from > s.from {
		low = s.spectrum.Below(math.Pow(10, from))
	}
	if to < s.to {
		high = s.spectrum.Below(math.Pow(10, to))
	}
	return high - low
}

// read is each quantity squared, for a noise of 1 V rms before the filters that
// all lies at 10^x Hz.
func (s *noiseSum) read(x float64, v []float64) bool {
	f := math.Pow(10, x)
	if _, ok := s.m.solve(f); !ok {
		return false
	}
	sys, sol := s.m.sys, s.m.sol
	clear(v)
	v[sumFed] = sq(cmplx.Abs(s.m.feed.gain(2 * math.Pi * f)))
	for i := range sys.Coils {
		v[sumWatts] += sys.CoilPower(sol, &sys.Coils[i])
	}
	v[sumPressure] = sq(cmplx.Abs(sys.Pressure(sol)) * s.m.feed.place.gain(f))
	q := sumBounds
	for i := range s.list {
		for p := range s.list[i].places {
			v[q] = sq(s.list[i].at(p))
			q++
		}
	}
	for q := 1; q < len(v); q++ {
		v[q] *= v[sumFed]
	}
	return true
}
