package study

import (
	"context"
	"math"

	"gonum.org/v1/gonum/dsp/fourier"

	"basswright/internal/enclosure"
	"basswright/internal/filter"
	"basswright/internal/network"
)

// The time responses that are shown: the band is far above any bass system's,
// so that the step's edge is short beside what follows it.
const (
	shownRate = 8000.0 // Hz, sampling
	shownBand = 2000.0 // Hz: complete below, faded out above over one octave
	shownLead = 0.5e-3 // s, before t = 0
	shownTime = 0.2    // s
)

// Transients computes the pressure at the listening distance, without the
// flight, for a step and for an impulse of 1 V (1 V s) through the line-level
// filters, by the inverse Fourier
// transform of the network's answer. Above band the answer is faded out over
// an octave by half a cosine, so that the responses are those of the system
// behind a low-pass without phase; band must be at most a quarter of rate.
// The transform is long enough that what is left of the ringing at its end
// folds back below 1e-6 of the peak for any Q up to about 50 at 10 Hz.
//
// A fade without phase spreads every edge to both sides in time: before, in s,
// is how much ahead of t = 0 is given. Whoever takes the impulse response for a
// filter needs all of it: cut at 0, half of the first edge would be missing.
func Transients(ctx context.Context, sys *enclosure.System, chain *filter.Chain, rate, band, before, seconds float64) (step, impulse *TimeCurve, err error) {
	n := 1
	for float64(n) < 8*rate { // 8 s of record
		n *= 2
	}
	half := n/2 + 1
	bins := make([]complex128, half)
	var ws []float64
	last := min(half-1, int(2*band/rate*float64(n)))
	for k := 1; k <= last; k++ {
		ws = append(ws, 2*math.Pi*rate*float64(k)/float64(n))
	}
	err = sys.Program.Sweep(ctx, ws, 1, func(k int, s *network.Solver) error {
		bins[k+1] = sys.Pressure(s) * chain.At(ws[k]) * complex(fade(ws[k]/(2*math.Pi), band), 0)
		return nil
	})
	if err != nil {
		return nil, nil, err
	}
	fft := fourier.NewFFT(n)
	h := fft.Sequence(nil, bins) // sum of bins·exp(+jωt)
	// The step is the integral: each bin over its jω. What that leaves open is a
	// constant, which is set where all has died away: half a period later a
	// system that passes no dc is back at 0.
	for k := 1; k < half; k++ {
		bins[k] /= complex(0, 2*math.Pi*rate*float64(k)/float64(n))
	}
	sum := fft.Sequence(nil, bins)
	scale := rate / float64(n)
	keep := min(n, int(math.Ceil(seconds*rate))+1)
	lead := int(math.Ceil(before * rate))
	impulse = &TimeCurve{To: band}
	step = &TimeCurve{To: band}
	for k := -lead; k < keep; k++ {
		i := (k + n) % n
		t := float64(k) / rate
		impulse.T = append(impulse.T, t)
		impulse.Y = append(impulse.Y, h[i]*scale)
		step.T = append(step.T, t)
		step.Y = append(step.Y, (sum[i]-sum[n/2])*scale)
	}
	return step, impulse, nil
}

// fade is 1 up to band and falls to 0 over the octave above it.
func fade(f, band float64) float64 {
	switch {
	case f <= band:
		return 1
	case f >= 2*band:
		return 0
	}
	return (1 + math.Cos(math.Pi*math.Log2(f/band))) / 2
}
