package filter

import (
	"fmt"
	"math"
)

// Section is a filter of first or second order,
//
//	H = (B2·x² + B1·x + B0)/(A2·x² + A1·x + A0),  x = jω/(2π·F)
//
// F, Hz, is also the frequency at which the digital section agrees with this
// one exactly, unless it is Plain: then that frequency is 0. A section of first
// order has A2 = B2 = 0.
type Section struct {
	F          float64
	B2, B1, B0 float64
	A2, A1, A0 float64
	Plain      bool
}

// At is the section's response at ω in rad/s, of either sign.
func (s *Section) At(w float64) complex128 {
	u := w / (2 * math.Pi * s.F)
	var nr, ni, dr, di float64
	switch {
	case math.Abs(u) <= 1:
		nr, ni = s.B0-s.B2*u*u, s.B1*u
		dr, di = s.A0-s.A2*u*u, s.A1*u
	case s.A2 == 0: // both over x, so that nothing overflows
		nr, ni = s.B1, -s.B0/u
		dr, di = s.A1, -s.A0/u
	default: // both over −x²
		v := 1 / u
		nr, ni = s.B0*v*v-s.B2, s.B1*v
		dr, di = s.A0*v*v-s.A2, s.A1*v
	}
	d := dr*dr + di*di
	return complex((nr*dr+ni*di)/d, (ni*dr-nr*di)/d) // divided, so that what passes is 1 and not nearly 1
}

// Pole is the frequency of the section's poles, Hz, and their Q; Q is 0 for a
// section of first order, which has one real pole.
func (s *Section) Pole() (frequency, q float64) {
	if s.A2 == 0 {
		return s.F * s.A0 / s.A1, 0
	}
	return s.F * math.Sqrt(s.A0/s.A2), math.Sqrt(s.A0*s.A2) / s.A1
}

// Chain is what stands between the source and the amplifier: sections one behind
// another, then gain, polarity and delay. The zero value passes everything as
// it is. What the constructors and Join return has finite responses at every
// frequency.
type Chain struct {
	Sections []Section
	Gain     float64 // dB
	Reversed bool    // the polarity
	Delay    float64 // s
}

// Idle says that a chain passes everything as it is.
func (c *Chain) Idle() bool {
	return len(c.Sections) == 0 && c.Gain == 0 && !c.Reversed && c.Delay == 0
}

// At is the response at ω in rad/s, of either sign: the output's phasor over the
// input's. An ω that is not finite is a caller's mistake.
func (c *Chain) At(w float64) complex128 {
	mustBeFinite(w)
	h := complex(1, 0)
	for i := range c.Sections {
		h *= c.Sections[i].At(w)
	}
	if c.Gain != 0 {
		h *= complex(c.linear(), 0)
	}
	if c.Reversed {
		h = -h
	}
	return delayed(h, w*c.Delay)
}

// linear is the gain as a factor.
func (c *Chain) linear() float64 { return math.Pow(10, c.Gain/20) }

// delayed turns a phasor back by an angle in rad.
func delayed(h complex128, angle float64) complex128 {
	if angle == 0 {
		return h
	}
	sin, cos := math.Sincos(angle)
	return h * complex(cos, -sin)
}

func mustBeFinite(w float64) {
	if !(math.Abs(w) <= math.MaxFloat64) {
		panic("filter: the frequency is not finite")
	}
}

// maxSections keeps the response of a whole chain finite: no section that a
// constructor makes has more than 60 dB.
const maxSections = 64

// Join puts chains one behind another. The sum of the gains must lie in −120 dB
// to 60 dB and that of the delays below 1 s, and there may be 64 sections.
func Join(chains ...Chain) (Chain, error) {
	var out Chain
	for _, c := range chains {
		out.Sections = append(out.Sections, c.Sections...)
		out.Gain += c.Gain
		out.Reversed = out.Reversed != c.Reversed
		out.Delay += c.Delay
	}
	if n := len(out.Sections); n > maxSections {
		return Chain{}, &Error{"sections", fmt.Sprintf("%d sections are too many", n), fmt.Sprintf("leave at most %d", maxSections)}
	}
	if err := first(gains.holds(out.Gain), delays.holds(out.Delay)); err != nil {
		return Chain{}, err
	}
	return out, nil
}

// Gain is a gain in dB, −120 to 60.
func Gain(db float64) (Chain, error) {
	if err := gains.holds(db); err != nil {
		return Chain{}, err
	}
	return Chain{Gain: db}, nil
}

// Reverse is a reversed polarity.
func Reverse() Chain { return Chain{Reversed: true} }

// Delay is a delay in s, 0 to 1.
func Delay(seconds float64) (Chain, error) {
	if err := delays.holds(seconds); err != nil {
		return Chain{}, err
	}
	return Chain{Delay: seconds}, nil
}
