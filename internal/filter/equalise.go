package filter

import "math"

// The equalisers follow the audio EQ cookbook (Bristow-Johnson, W3C Note 2021),
// with A the square root of the gain.

// Peak is a parametric equaliser: gain in dB, −40 to 40, at a frequency in Hz,
// 0.01 to 100 kHz, with a Q of 0.05 to 100,
//
//	(x² + x·A/Q + 1)/(x² + x/(A·Q) + 1)
//
// A cut of the same size undoes it exactly.
func Peak(frequency, q, gain float64) (Chain, error) {
	if err := first(places.holds(frequency), qualities.holds(q), equalising.holds(gain)); err != nil {
		return Chain{}, err
	}
	a := math.Pow(10, gain/40)
	return Chain{Sections: []Section{{F: frequency, B2: 1, B1: a / q, B0: 1, A2: 1, A1: 1 / (a * q), A0: 1}}}, nil
}

// LowShelf is a shelf below a frequency in Hz, at which it has half its gain in
// dB; the ranges are those of Peak. With Q = 1/√2 it is as steep as it can be
// without overshoot.
//
//	A·(x² + x·√A/Q + A)/(A·x² + x·√A/Q + 1)
func LowShelf(frequency, q, gain float64) (Chain, error) {
	if err := first(places.holds(frequency), qualities.holds(q), equalising.holds(gain)); err != nil {
		return Chain{}, err
	}
	a := math.Pow(10, gain/40)
	r := math.Sqrt(a) / q
	return Chain{Sections: []Section{{F: frequency, B2: a, B1: a * r, B0: a * a, A2: a, A1: r, A0: 1}}}, nil
}

// HighShelf is the shelf above a frequency, as LowShelf with x and 1/x exchanged.
func HighShelf(frequency, q, gain float64) (Chain, error) {
	c, err := LowShelf(frequency, q, gain)
	for i := range c.Sections {
		s := &c.Sections[i]
		s.B2, s.B0, s.A2, s.A0 = s.B0, s.B2, s.A0, s.A2
	}
	return c, err
}

// ShelfQ is the Q of a shelf of a gain in dB, −40 to 40, whose slope is given as
// a share S of the steepest without overshoot,
//
//	1/Q = √((A + 1/A)·(1/S − 1) + 2)
//
// S above 1 overshoots, and not every one exists: that is an error.
func ShelfQ(gain, slope float64) (float64, error) {
	if err := first(equalising.holds(gain), slopes.holds(slope)); err != nil {
		return 0, err
	}
	a := math.Pow(10, gain/40)
	square := (a+1/a)*(1/slope-1) + 2
	q := 1 / math.Sqrt(math.Max(square, 0))
	if !(q <= qualities.to) {
		return 0, &Error{"slope", "no shelf of this gain is so steep", "give a slope of at most 1"}
	}
	return q, nil
}

// BandwidthQ is the Q of a peak whose bandwidth, between the frequencies with
// half its gain in dB, is given in octaves, 0.02 to 8: 1/Q = 2·sinh(ln2/2·B).
func BandwidthQ(octaves float64) (float64, error) {
	if err := bandwidths.holds(octaves); err != nil {
		return 0, err
	}
	return 0.5 / math.Sinh(math.Ln2/2*octaves), nil
}

// AllPass turns the phase by −90° at a frequency in Hz, 0.01 to 100 kHz, and by
// −180° far above it: (1 − x)/(1 + x).
func AllPass(frequency float64) (Chain, error) {
	if err := places.holds(frequency); err != nil {
		return Chain{}, err
	}
	return Chain{Sections: []Section{{F: frequency, B1: -1, B0: 1, A1: 1, A0: 1}}}, nil
}

// AllPassQ turns the phase by −180° at a frequency in Hz, 0.01 to 100 kHz, and
// by −360° far above it, the faster the higher its Q of 0.05 to 100:
// (x² − x/Q + 1)/(x² + x/Q + 1).
func AllPassQ(frequency, q float64) (Chain, error) {
	if err := first(places.holds(frequency), qualities.holds(q)); err != nil {
		return Chain{}, err
	}
	return Chain{Sections: []Section{{F: frequency, B2: 1, B1: -1 / q, B0: 1, A2: 1, A1: 1 / q, A0: 1}}}, nil
}
