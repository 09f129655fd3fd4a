package place

import (
	"fmt"
	"math"

	"basswright/internal/phys"
)

// slenderest is how many times as long as wide and high a cabin may be: a bus has
// 5 and a narrow passage 15 (a rule of our own, against a slip of the decimal
// point).
const slenderest = 20.0

// slender is the error of a cabin that is too long for its volume.
func (c Cabin) slender() error {
	metres := func(x float64) string { return phys.Digits(x, 3) + "\u2009m" }
	return &Error{
		About:  "length",
		Reason: fmt.Sprintf("%s m³ over a length of %s leave a passage %s wide and high, and no cabin", brief(c.Volume), metres(c.Length), metres(math.Sqrt(c.Volume/c.Length))),
		Mend:   fmt.Sprintf("correct its volume or its length, which can be %s at the most", metres(slenderLength(c.Volume))),
	}
}

// slenderLength is the length, m, at which a volume is slenderest.
func slenderLength(volume float64) float64 { return math.Cbrt(slenderest * slenderest * volume) }

// Reach is how far apart two places of the cabin can be at the most, m: the
// diagonal where one more side is as long as the longest, and of a cabin of which
// only the volume is known the length of the slenderest.
func (c Cabin) Reach() float64 {
	if c.Length == 0 {
		return slenderLength(c.Volume)
	}
	return math.Hypot(math.Sqrt2*c.Length, c.Volume/(c.Length*c.Length))
}
