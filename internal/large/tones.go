package large

import (
	"fmt"
	"math"
)

// TonesError is a pair of tones that cannot be played together: what is wrong
// with them, and which may be taken instead.
type TonesError struct{ Reason, Mend string }

func (e *TonesError) Error() string { return e.Reason + "; " + e.Mend }

// FitTones says whether Two can play a low and a high tone, Hz; the error is a
// *TonesError. It is known before anything is worked out, so that a slip in what
// is asked for costs nobody a wait.
func FitTones(low, high float64) error {
	l, h, _, steps := cutTones(low, high)
	switch {
	case l < 1 || math.Abs(low-gridHz*float64(l)) > 1e-6 || math.Abs(high-gridHz*float64(h)) > 1e-6:
		return &TonesError{fmt.Sprintf("two tones have to be multiples of %g\u2009Hz, so that they have a common period", gridHz),
			fmt.Sprintf("take %.1f\u2009Hz and %.1f\u2009Hz", max(1, float64(l))*gridHz, max(1, float64(h))*gridHz)}
	case !(high > leastTones*low):
		return &TonesError{"the high tone has to lie above three times the low one, so that the side tones stand apart",
			fmt.Sprintf("take a high one above %g\u2009Hz, or a low one below %g\u2009Hz", leastTones*float64(l)/10, math.Ceil(float64(h)/leastTones)/10)}
	case steps > longest:
		return &TonesError{fmt.Sprintf("%g\u2009Hz and %g\u2009Hz have too long a common period", low, high), "take rounder ones, such as multiples of 5\u2009Hz"}
	}
	return nil
}

// leastTones is how many times the low tone the high one has to be.
const leastTones = 3

// cutTones counts two tones in the grid's steps, and what they have in common: that
// and the steps of their common period.
func cutTones(low, high float64) (l, h, common, steps int) {
	l, h = int(math.Round(low/gridHz)), int(math.Round(high/gridHz))
	if l < 1 || h < 1 {
		return l, h, 1, 0
	}
	common = gcd(l, h)
	return l, h, common, int(math.Ceil(perHighest * (high + 2*low) / (gridHz * float64(common))))
}
