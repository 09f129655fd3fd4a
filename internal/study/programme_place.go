package study

import (
	"math/bits"

	"gonum.org/v1/gonum/dsp/fourier"

	"basswright/internal/note"
	"basswright/internal/phys"
)

// What a piece is brought to the listener's place with.
const (
	// placeFrom is where the transfer of a place begins, Hz: below, where a cabin
	// would show how far the cones have drifted since the piece began, it goes to
	// nothing with the frequency.
	placeFrom = LowestFrequency
	// placeRing is the silence that is put behind a piece, s, so that what rings on
	// does not come back at its beginning.
	placeRing = 2.0
)

// there is a pressure over time as it is at the listener's place: all of it at once,
// frequency by frequency. A transfer without phase changes no phase.
func (l *Listener) there(p []float64, rate int) []float64 {
	n := 1 << bits.Len(uint(len(p)+int(placeRing*float64(rate))-1)) // a power of two, which is quickly transformed
	wave := make([]float64, n)
	copy(wave, p)
	fft := fourier.NewFFT(n)
	c := fft.Coefficients(nil, wave)
	c[0] = 0
	for k := 1; k < len(c); k++ {
		f := fft.Freq(k) * float64(rate)
		h := l.Transfer(max(f, placeFrom)) * complex(min(f/placeFrom, 1), 0)
		if 2*k == n { // half the rate has no phase
			h = complex(real(h), 0)
		}
		c[k] *= h / complex(float64(n), 0)
	}
	return fft.Sequence(wave, c)[:len(p)]
}

// placeFindings say how a piece came to the listener's place.
func (l *Listener) placeFindings(u phys.System) []note.Finding {
	if !l.changes() {
		return nil
	}
	return []note.Finding{{
		ID: "pressure-in-place", Severity: note.Default, Where: "listening",
		Text: "the pressure is that at the listener’s place, " + l.Words(u) + ", by its transfer from " + phys.Brief(placeFrom, phys.Frequency, u) + " up; cones and air do not feel the place",
		Mend: "leave " + l.key() + " out of listening for the plain space",
	}}
}
