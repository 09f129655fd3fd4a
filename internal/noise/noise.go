// Package noise knows how the power of test noises is spread over frequency:
// pink noise, and the noise of IEC 60268-1 that stands for a programme. With the
// share of its power in each of many narrow bands, what a steady noise makes of any
// linear response X is expected to be
//
//	rms = √(Σ share·|X(f)|²),  peak = crest × rms
//
// X for the noise's whole rms voltage. The crest is that of the noise as it is
// fed; a response that filters it tends to that of Gaussian noise, which has no
// highest peak, so the peak is a convention and no bound.
package noise

import (
	"math"

	"basswright/internal/phys"
)

// Crest is peak over rms of noise as IEC 60268-1 and 60268-5 have it, 6.02 dB:
// 2 ± 0.2 by the text of the French order of 24 July 1998 on portable players,
// which takes it from NF C 97-301, the French IEC 60268-1. AES 2-2012 asks for
// the same (from memory).
const Crest = 2.0

// A Spectrum is how the power of a noise is spread over frequency; all of it is
// 1. It is made by Programme, Pink or PinkFiltered, does not change, and may be
// shared; methods of the zero value panic.
type Spectrum struct {
	knots     []knot  // of the power below a frequency, rising; nil: filtered pink noise
	low, high float64 // of filtered pink noise: fourth powers of its corners, Hz⁴
}

// A knot is a point of the power below a frequency, as a cubic over ln f.
type knot struct{ x, y, slope float64 }

// BandError is a band that no noise can fill.
type BandError struct {
	From, To float64 // Hz
	Reason   string
}

// Error is the band and the reason.
func (e *BandError) Error() string {
	show := func(f float64) string { return phys.Show(f, phys.Frequency, phys.Metric) }
	if !finite(e.From) || !finite(e.To) {
		return "a band of noise: " + e.Reason
	}
	return "a band of noise from " + show(e.From) + " to " + show(e.To) + ": " + e.Reason
}

// The frequencies that a band may lie between, Hz: further out, no loudspeaker
// is tested, and nothing is gained by rounding that has to be thought about.
const lowest, highest = 0.1, 1e6

func band(from, to float64) error {
	switch {
	case !finite(from) || !finite(to):
		return &BandError{from, to, "its ends have to be numbers"}
	case from < lowest || to > highest:
		return &BandError{from, to, "it has to lie between 0.1 Hz and 1 MHz"}
	case to < 1.01*from:
		return &BandError{from, to, "its upper end has to lie above its lower end, by 1 % or more"}
	}
	return nil
}

// Pink is noise with the same power in every octave between two frequencies, Hz
// (0.1 Hz to 1 MHz, to ≥ 1.01·from), and none elsewhere. Its error is a
// *BandError.
func Pink(from, to float64) (Spectrum, error) {
	if err := band(from, to); err != nil {
		return Spectrum{}, err
	}
	a, b := math.Log(from), math.Log(to)
	slope := 1 / (b - a)
	return Spectrum{knots: []knot{{a, 0, slope}, {b, 1, slope}}}, nil
}

// PinkFiltered is pink noise through a high-pass and a low-pass of Butterworth’s
// second order, 12 dB an octave, with their half-power points at from and to, Hz
// (as in Pink). From memory, this is how AES 2-1984 (r2003) and AES 2-2012 make
// noise for power handling, a decade wide. The power below f has a closed form,
// with u = f⁴, L = from⁴, H = to⁴:
//
//	1 + ln[(u + L)/(u + H)] / ln(H/L)
//
// from ∫ u/(u + L)·H/(u + H) d ln f by partial fractions. Its error is a
// *BandError.
func PinkFiltered(from, to float64) (Spectrum, error) {
	if err := band(from, to); err != nil {
		return Spectrum{}, err
	}
	return Spectrum{low: fourth(from), high: fourth(to)}, nil
}

// Below is the share of the power below a frequency, Hz: 0 to 1, rising. A
// negative frequency has none below it; not a number panics.
func (s Spectrum) Below(f float64) float64 {
	s.made()
	if math.IsNaN(f) {
		panic("noise: a frequency that is not a number")
	}
	if f <= 0 {
		return 0
	}
	if s.knots == nil {
		u := fourth(f)
		if math.IsInf(u, 1) {
			return 1
		}
		return unit(1 + math.Log((u+s.low)/(u+s.high))/math.Log(s.high/s.low))
	}
	x := math.Log(f)
	first, last := s.knots[0], s.knots[len(s.knots)-1]
	switch {
	case x <= first.x:
		return 0
	case x >= last.x:
		return 1
	}
	a, b, t := s.piece(x)
	h := b.x - a.x
	// Hermite's cubic, as what it adds to its lower end.
	return unit(a.y + t*(h*a.slope+t*(3*(b.y-a.y)-h*(2*a.slope+b.slope)+t*(2*(a.y-b.y)+h*(a.slope+b.slope)))))
}

// Density is the share of the power per hertz at a frequency, Hz: the slope of
// Below. Not a number panics.
func (s Spectrum) Density(f float64) float64 {
	s.made()
	if math.IsNaN(f) {
		panic("noise: a frequency that is not a number")
	}
	if f <= 0 || math.IsInf(f, 1) {
		return 0
	}
	if s.knots == nil {
		u := fourth(f)
		if math.IsInf(u, 1) {
			return 0
		}
		return 4 * u / (u + s.low) * ((s.high - s.low) / (u + s.high)) / math.Log(s.high/s.low) / f
	}
	x := math.Log(f)
	if x < s.knots[0].x || x > s.knots[len(s.knots)-1].x {
		return 0
	}
	a, b, t := s.piece(x)
	secant := (b.y - a.y) / (b.x - a.x)
	return (a.slope + t*(6*secant-4*a.slope-2*b.slope+t*(3*(a.slope+b.slope)-6*secant))) / f
}

// piece finds the knots around x = ln f, and how far x lies between them.
func (s Spectrum) piece(x float64) (a, b knot, t float64) {
	i := 1
	for i+1 < len(s.knots) && s.knots[i].x < x {
		i++
	}
	a, b = s.knots[i-1], s.knots[i]
	return a, b, (x - a.x) / (b.x - a.x)
}

func (s Spectrum) made() {
	if s.knots == nil && !(s.high > s.low) {
		panic("noise: a spectrum that was not made by Programme, Pink or PinkFiltered")
	}
}

func fourth(f float64) float64 { return f * f * f * f }
func unit(y float64) float64   { return min(max(y, 0), 1) }
func finite(f float64) bool    { return !math.IsNaN(f) && !math.IsInf(f, 0) }
