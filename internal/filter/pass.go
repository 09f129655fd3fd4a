package filter

import (
	"fmt"
	"math"
)

// Family is a family of high-pass and low-pass filters. The corner means
// something else in each.
type Family uint8

// The families.
const (
	// Butterworth is maximally flat (Butterworth 1930): −3.0103 dB at the corner.
	Butterworth Family = iota
	// Bessel has the low-pass with the maximally flat group delay (Thomson 1949)
	// and its mirror image as high-pass, scaled to −3.0103 dB at the corner.
	Bessel
	// BesselDelay is the same, scaled by its delay: that of the low-pass at dc is
	// 1/(2π·corner).
	BesselDelay
	// LinkwitzRiley is a Butterworth filter of half the order twice over
	// (Linkwitz 1976): −6.0206 dB at the corner, low-pass and high-pass in phase
	// with each other at all frequencies. The order is even.
	LinkwitzRiley
)

// String is the name of the trade.
func (f Family) String() string {
	switch f {
	case Butterworth:
		return "Butterworth"
	case Bessel:
		return "Bessel"
	case BesselDelay:
		return "Bessel by delay"
	case LinkwitzRiley:
		return "Linkwitz-Riley"
	}
	return "no family"
}

// A pole is that of a section of a low-pass with the corner 1: the frequency
// and the Q of a pair, or a real pole with Q 0.
type pole struct{ w, q float64 }

// LowPass is a low-pass of order 1 to 8 with its corner in Hz, 0.01 to 100 kHz.
func LowPass(family Family, order int, corner float64) (Chain, error) {
	return pass(family, order, corner, lowPass)
}

// HighPass is a high-pass of order 1 to 8 with its corner in Hz, 0.01 to
// 100 kHz: the low-pass with s/ωc and ωc/s exchanged.
func HighPass(family Family, order int, corner float64) (Chain, error) {
	return pass(family, order, corner, highPass)
}

// LowPassQ is a low-pass of second order with the frequency (Hz, 0.01 to
// 100 kHz) and the Q (0.05 to 100) of its poles; its level there is Q.
func LowPassQ(frequency, q float64) (Chain, error) { return passQ(frequency, q, lowPass) }

// HighPassQ is the high-pass of second order, as LowPassQ. It is the auxiliary
// filter of a sixth-order alignment of a vented box (Thiele 1971), with a Q
// above 1 where it lifts the end of the range.
func HighPassQ(frequency, q float64) (Chain, error) { return passQ(frequency, q, highPass) }

func pass(family Family, order int, corner float64, section func(float64, pole) Section) (Chain, error) {
	if order < 1 || order > maxOrder {
		return Chain{}, &Error{"order", fmt.Sprintf("%d is out of range", order), fmt.Sprintf("give one from 1 to %d", maxOrder)}
	}
	if err := corners.holds(corner); err != nil {
		return Chain{}, err
	}
	poles, err := family.poles(order)
	if err != nil {
		return Chain{}, err
	}
	var c Chain
	for _, p := range poles {
		c.Sections = append(c.Sections, section(corner, p))
	}
	return c, nil
}

func passQ(frequency, q float64, section func(float64, pole) Section) (Chain, error) {
	if err := first(places.holds(frequency), qualities.holds(q)); err != nil {
		return Chain{}, err
	}
	return Chain{Sections: []Section{section(frequency, pole{1, q})}}, nil
}

const maxOrder = 8

// poles are those of a low-pass with the corner 1, the real one first and then
// by rising Q, so that the sections that peak work on what is already filtered.
func (f Family) poles(order int) ([]pole, error) {
	switch f {
	case Butterworth:
		return butterworth(order), nil
	case Bessel:
		return bessel(order, besselCorner[order-1]), nil
	case BesselDelay:
		return bessel(order, 1), nil
	case LinkwitzRiley:
		if order%2 != 0 {
			return nil, &Error{
				Key:    "order",
				Reason: fmt.Sprintf("%d is odd, and a Linkwitz-Riley filter is a Butterworth filter of half its order twice over", order),
				Mend:   "give 2, 4, 6 or 8",
			}
		}
		var out []pole
		for _, p := range butterworth(order / 2) {
			if p.q == 0 {
				out = append(out, pole{1, 0.5}) // twice the real pole
			} else {
				out = append(out, p, p)
			}
		}
		return out, nil
	}
	return nil, &Error{"family", fmt.Sprintf("there is no family %d", f), "give Butterworth, Bessel or Linkwitz-Riley"}
}

// butterworth has its poles evenly on the left half of the unit circle
// (Butterworth 1930): Q = 1/(2·sin((2k − 1)·π/(2n))).
func butterworth(order int) []pole {
	var out []pole
	if order%2 != 0 {
		out = append(out, pole{1, 0})
	}
	for k := order / 2; k > 0; k-- {
		out = append(out, pole{1, 0.5 / math.Sin(float64(2*k-1)*math.Pi/float64(2*order))})
	}
	return out
}

// lowPass is the section of a low-pass with a pole at p.w corners.
func lowPass(corner float64, p pole) Section {
	if p.q == 0 {
		return Section{F: corner, B0: p.w, A1: 1, A0: p.w}
	}
	return Section{F: corner, B0: p.w * p.w, A2: 1, A1: p.w / p.q, A0: p.w * p.w}
}

// highPass is lowPass with x and 1/x exchanged.
func highPass(corner float64, p pole) Section {
	if p.q == 0 {
		return Section{F: corner, B1: p.w, A1: p.w, A0: 1}
	}
	return Section{F: corner, B2: p.w * p.w, A2: p.w * p.w, A1: p.w / p.q, A0: 1}
}
