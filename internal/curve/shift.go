package curve

import "slices"

// Shifted is c at x + by: the curve of a coil that rests by further out.
func (c *Curve) Shifted(by float64) *Curve {
	s := *c
	if c.poly != nil {
		s.poly = slices.Clone(c.poly)
		for i := range s.poly { // Horner's rule again and again: Taylor's coefficients
			for k := len(s.poly) - 2; k >= i; k-- {
				s.poly[k] += by * s.poly[k+1]
			}
		}
		return &s
	}
	s.x = slices.Clone(c.x)
	for i := range s.x {
		s.x[i] -= by
	}
	s.zero = s.raw(0)
	return &s
}
