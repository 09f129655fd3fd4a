package filter

import (
	"fmt"
	"math"

	"basswright/internal/phys"
)

// The range, Hz, in which a chain is looked at as a whole, and how finely: what
// lies outside is heard by nobody, and no section is so narrow between two steps
// that is not also looked at where it is.
const (
	heardFrom, heardTo = 1.0, 20e3
	perOctave          = 24
)

// Most is the largest gain of a chain, dB, and where it is, Hz, from 1 Hz to 20 kHz.
func (c *Chain) Most() (gain, at float64) {
	gain = math.Inf(-1)
	look := func(f float64) {
		h := c.At(2 * math.Pi * f)
		if g := 10 * math.Log10(real(h)*real(h)+imag(h)*imag(h)); g > gain {
			gain, at = g, f
		}
	}
	steps := int(math.Ceil(perOctave * math.Log2(heardTo/heardFrom)))
	for k := range steps + 1 {
		look(heardFrom * math.Pow(heardTo/heardFrom, float64(k)/float64(steps)))
	}
	for i := range c.Sections {
		pole, _ := c.Sections[i].Pole()
		for _, f := range [...]float64{pole, c.Sections[i].F} {
			if f >= heardFrom && f <= heardTo {
				look(f)
			}
		}
	}
	return gain, at
}

// Sensible is an *Error for a chain whose filters work against each other or pile
// up: one that lifts by more than any amplifier has to spare, or whose sections
// leave nothing anywhere. Turning all of it down by a gain is no such thing.
func (c *Chain) Sensible() error {
	if gain, at := c.Most(); gain > maxBoost {
		return &Error{
			Key:    "filters",
			Reason: fmt.Sprintf("together they lift %s by %s", phys.Show(at, phys.Frequency, phys.Metric), phys.Show(gain, phys.Level, phys.Metric)),
			Mend:   "take it back to at most " + show(maxBoost, phys.Level) + ": no amplifier has more to spare",
		}
	}
	shape := *c
	shape.Gain = 0
	if gain, _ := shape.Most(); gain < -maxBoost {
		return &Error{
			Key:    "filters",
			Reason: fmt.Sprintf("together they take away %s or more at every frequency", phys.Show(-gain, phys.Level, phys.Metric)),
			Mend:   "let each high-pass lie below each low-pass, and turn the level down by a gain",
		}
	}
	return nil
}
