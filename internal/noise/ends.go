package noise

import "math"

// beyond is the share of a filtered noise's power that may lie outside its ends.
const beyond = 1e-6

// Ends are the frequencies, Hz, between which its power lies: all of it, or for
// filtered pink noise, which has none that are sharp, all but a millionth on
// either side.
func (s Spectrum) Ends() (low, high float64) {
	s.made()
	if s.knots != nil {
		return math.Exp(s.knots[0].x), math.Exp(s.knots[len(s.knots)-1].x)
	}
	// Far below, the share is u/L·(1 − L/H)/ln(H/L), and the same above with H/u.
	far := math.Sqrt(math.Sqrt(beyond * math.Log(s.high/s.low) / (1 - s.low/s.high)))
	return math.Sqrt(math.Sqrt(s.low)) * far, math.Sqrt(math.Sqrt(s.high)) / far
}
