package curve

// zeroSteps is how finely Zero looks: the dip of a cubic that fits into a
// five-hundredth of the way is not one that a driver has.
const zeroSteps = 500

// Zero is where a curve first is no longer above zero on the way from rest to x,
// m, and whether it is anywhere there.
func (c *Curve) Zero(x float64) (at float64, found bool) {
	above := func(x float64) bool { v, _, _ := c.At(x); return v > 0 }
	for k := range zeroSteps {
		lo, hi := x*float64(k)/zeroSteps, x*float64(k+1)/zeroSteps
		if above(hi) {
			continue
		}
		for range 50 {
			if mid := (lo + hi) / 2; above(mid) {
				lo = mid
			} else {
				hi = mid
			}
		}
		return hi, true
	}
	return 0, false
}
