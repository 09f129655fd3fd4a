package filter

import (
	"math"

	"basswright/internal/phys"
)

// Biquad is a digital section of second order with a0 = 1. The signs are those of
//
//	y[n] = B0·x[n] + B1·x[n−1] + B2·x[n−2] − A1·y[n−1] − A2·y[n−2]
//
// so that H = (B0 + B1·z⁻¹ + B2·z⁻²)/(1 + A1·z⁻¹ + A2·z⁻²).
type Biquad struct {
	B0 float64 `json:"b0"`
	B1 float64 `json:"b1"`
	B2 float64 `json:"b2"`
	A1 float64 `json:"a1"`
	A2 float64 `json:"a2"`
}

// Digital is a chain at a sampling rate. Gain and polarity of the chain, where
// it has any, are the first biquad, which then is B0 alone.
type Digital struct {
	Rate    float64 // Hz
	Biquads []Biquad
	Names   []string // of the filter that each biquad is part of; nil: not known
	Delay   int      // samples, after the biquads
	Late    float64  // s, what the delay in whole samples has more than was asked for; negative: less
}

// edge is how near to 0 Hz and to half the rate a section may lie, as a share of
// the rate. 1 + a1 + a2 is about (2π·share)², here 4e-11: the rounding of a1,
// 1.1e-16, moves the response by 3e-6, and nearer by more.
const edge = 1e-6

// Digital transforms the chain to a sampling rate in Hz, 100 to 768 kHz, by the
// bilinear transform (Oppenheim & Schafer, Discrete-Time Signal Processing, from
// memory),
//
//	s = 2πF/tan(πF/rate)·(1 − z⁻¹)/(1 + z⁻¹)
//
// F being the corner of each section, where the response is thus kept exactly;
// a plain section has s = 2·rate·(1 − z⁻¹)/(1 + z⁻¹). A rate that is not above
// twice a corner is an error, and so is one above a million times it.
func (c *Chain) Digital(rate float64) (Digital, error) {
	if err := first(rates.holds(rate), gains.holds(c.Gain), delays.holds(c.Delay)); err != nil {
		return Digital{}, err
	}
	d := Digital{Rate: rate, Delay: int(math.Round(c.Delay * rate))}
	d.Late = float64(d.Delay)/rate - c.Delay
	if c.Gain != 0 || c.Reversed {
		k := c.linear()
		if c.Reversed {
			k = -k
		}
		d.Biquads = append(d.Biquads, Biquad{B0: k})
	}
	for i := range c.Sections {
		s := &c.Sections[i]
		if err := s.fits(rate); err != nil {
			return Digital{}, err
		}
		d.Biquads = append(d.Biquads, s.bilinear(rate))
	}
	return d, nil
}

// fits says whether a rate can carry a section.
func (s *Section) fits(rate float64) error {
	lowest, highest := s.F, s.F
	if s.A2 != 0 {
		lowest = min(s.F, s.F*math.Sqrt(s.A0/s.A2))
	}
	if s.Plain { // its zeros are a corner as well
		zero := s.F * math.Sqrt(s.B0/s.B2)
		lowest, highest = min(lowest, zero), max(highest, zero)
	}
	switch {
	case !(highest <= (0.5-edge)*rate):
		return &Error{
			Key:    "rate",
			Reason: show(rate, phys.Frequency) + " is not above twice the corner of " + show(highest, phys.Frequency),
			Mend:   "take a higher rate or a lower corner",
		}
	case !(lowest >= edge*rate):
		return &Error{
			Key:    "rate",
			Reason: show(rate, phys.Frequency) + " is too high for poles at " + show(lowest, phys.Frequency) + ": coefficients of 64 bits do not hold them",
			Mend:   "take a lower rate or a higher corner",
		}
	}
	return nil
}

// bilinear transforms a section. t is the tangent of half the angle that F
// becomes. The coefficients are rounded one after another, each in view of the
// last, so that what matters is as right as it can be: the sums at z = 1,
// 4·A0·t²/d for the denominator, and for t > 1 those at z = −1.
func (s *Section) bilinear(rate float64) Biquad {
	t := math.Tan(math.Pi * s.F / rate)
	if s.Plain {
		t = math.Pi * s.F / rate
	}
	var b Biquad
	if s.A2 == 0 {
		d := s.A1 + s.A0*t
		b.B0 = (s.B1 + s.B0*t) / d
		b.B1 = second(b.B0, s.B0*t/d, s.B1/d, t)
		b.A1 = second(1, s.A0*t/d, s.A1/d, t)
		return b
	}
	d := s.A2 + s.A1*t + s.A0*t*t
	b.B0 = (s.B2 + s.B1*t + s.B0*t*t) / d
	b.B2 = b.B0 - 2*s.B1*t/d
	b.B1 = middle(b.B0, b.B2, s.B0*t*t/d, s.B2/d, t)
	b.A2 = 1 - 2*s.A1*t/d
	b.A1 = middle(1, b.A2, s.A0*t*t/d, s.A2/d, t)
	return b
}

// second is c1 where c0 + c1 is 2·low and c0 − c1 is 2·high.
func second(c0, low, high, t float64) float64 {
	if t <= 1 {
		return 2*low - c0
	}
	return c0 - 2*high
}

// middle is c1 where c0 + c1 + c2 is 4·low and c0 − c1 + c2 is 4·high. c0 − c2 is
// exact where the two are alike.
func middle(c0, c2, low, high, t float64) float64 {
	if t <= 1 {
		return ((c0 - c2) + 4*low) - 2*c0
	}
	return 2*c0 - ((c0 - c2) + 4*high)
}

// At is the response at ω in rad/s, of either sign; it repeats with the rate. An
// ω that is not finite is a caller's mistake.
func (d *Digital) At(w float64) complex128 {
	mustBeFinite(w)
	sin, cos := math.Sincos(w / d.Rate / 2)
	h := complex(1, 0)
	for i := range d.Biquads {
		h *= d.Biquads[i].at(sin, cos)
	}
	return delayed(h, w/d.Rate*float64(d.Delay))
}

// at is the response at the angle whose half has this sine and cosine.
func (b *Biquad) at(sin, cos float64) complex128 {
	n, m := around(b.B0, b.B1, b.B2, sin, cos), around(1, b.A1, b.A2, sin, cos)
	d := real(m)*real(m) + imag(m)*imag(m)
	return complex((real(n)*real(m)+imag(n)*imag(m))/d, (imag(n)*real(m)-real(n)*imag(m))/d)
}

// around is c0·z + c1 + c2/z on the unit circle. Near z = ±1, where the terms
// cancel, it starts from the value there.
func around(c0, c1, c2, sin, cos float64) complex128 {
	im := 2 * (c0 - c2) * sin * cos
	if sin*sin <= 0.5 {
		return complex(closing(c0, c1, c2)-2*(c0+c2)*sin*sin, im)
	}
	return complex(2*(c0+c2)*cos*cos-closing(c0, -c1, c2), im)
}

// closing is c0 + c1 + c2. Where these nearly cancel, c1 lies next to −2·c0 and
// both differences are of numbers within a factor of two: they are exact.
func closing(c0, c1, c2 float64) float64 { return (c0 + c1) + c2 }
