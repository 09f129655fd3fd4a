package filter

import (
	"math"

	"basswright/internal/phys"
)

// Boost is what a pole-zero transform asks of the amplifier and the cone, over
// what it passes at high frequencies.
type Boost struct {
	DC   float64 // dB at 0 Hz: 40·lg(f0/fp)
	Most float64 // dB, the largest at any frequency, at least 0
	At   float64 // Hz, where that is; 0 also where Most is 0
}

// maxBoost is more than any amplifier has to spare.
const maxBoost = 60.0 // dB

// PoleZero gives a closed box with the resonance f0 and the total Q q0 the
// response of one with fp and qp: the box's poles are cancelled by zeros,
//
//	(s² + s·ω0/q0 + ω0²)/(s² + s·ωp/qp + ωp²)
//
// (Linkwitz 1978; Greiner & Schoessow 1983). Frequencies in Hz, 0.01 to
// 100 kHz, Q 0.05 to 100; a boost above 60 dB anywhere is an error. It is 1 at
// high frequencies. Its digital form agrees with it exactly at 0 Hz, where the
// boost is, and not at a corner, of which it has two.
func PoleZero(f0, q0, fp, qp float64) (Chain, Boost, error) {
	if err := first(places.holds(f0), qualities.holds(q0), places.holds(fp), qualities.holds(qp)); err != nil {
		return Chain{}, Boost{}, err
	}
	r := f0 / fp
	s := Section{F: fp, B2: 1, B1: r / q0, B0: r * r, A2: 1, A1: 1 / qp, A0: 1, Plain: true}
	b := boostOf(&s)
	if b.Most > maxBoost || b.DC < -maxBoost {
		return Chain{}, Boost{}, &Error{
			Key:    "boost",
			Reason: "from " + show(f0, phys.Frequency) + " to " + show(fp, phys.Frequency) + " it is " + show(max(b.Most, -b.DC), phys.Level),
			Mend:   "bring fp nearer to f0, or lower qp, until it is at most " + show(maxBoost, phys.Level),
		}
	}
	return Chain{Sections: []Section{s}}, b, nil
}

// boostOf finds where the square of the response, a ratio of two quadratics
// u² + n1·u + n0 and u² + d1·u + d0 in u = (f/F)², is stationary:
//
//	(d1 − n1)·u² + 2·(d0 − n0)·u + (n1·d0 − n0·d1) = 0
func boostOf(s *Section) Boost {
	n1, n0 := s.B1*s.B1-2*s.B0, s.B0*s.B0
	d1, d0 := s.A1*s.A1-2*s.A0, s.A0*s.A0
	b := Boost{DC: 20 * math.Log10(s.B0/s.A0)}
	b.Most = math.Max(b.DC, 0)
	for _, u := range quadratic(d1-n1, 2*(d0-n0), n1*d0-n0*d1) {
		if !(u > 0 && u < 1e12) {
			continue
		}
		level := 10 * math.Log10((u*u+n1*u+n0)/(u*u+d1*u+d0))
		if level > b.Most {
			b.Most, b.At = level, s.F*math.Sqrt(u)
		}
	}
	return b
}

// quadratic are the real zeros of a·u² + b·u + c, in the form that cancels
// nothing; what is no zero is 0.
func quadratic(a, b, c float64) [2]float64 {
	root := math.Sqrt(math.Max(b*b-4*a*c, 0))
	q := -(b + math.Copysign(root, b)) / 2
	var out [2]float64
	if a != 0 {
		out[0] = q / a
	}
	if q != 0 {
		out[1] = c / q
	}
	return out
}
