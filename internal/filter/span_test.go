package filter

import (
	"math"
	"testing"
)

// The largest gain is known where sections of one frequency stand on each other,
// and where a pass band is flat.
func TestMostIsTheLargestGain(t *testing.T) {
	chain := func(list ...func() (Chain, error)) Chain {
		var all []Chain
		for _, of := range list {
			c, err := of()
			if err != nil {
				t.Fatal(err)
			}
			all = append(all, c)
		}
		c, err := Join(all...)
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	bell := func(at, q, gain float64) func() (Chain, error) {
		return func() (Chain, error) { return Peak(at, q, gain) }
	}
	high := func(at float64) func() (Chain, error) {
		return func() (Chain, error) { return HighPass(Butterworth, 8, at) }
	}
	low := func(at float64) func() (Chain, error) {
		return func() (Chain, error) { return LowPass(Butterworth, 8, at) }
	}
	for _, c := range []struct {
		name     string
		chain    Chain
		gain, at float64 // at 0: anywhere
		within   float64 // dB: what the steps between which it lies leave open
		sensible bool
	}{
		{"nothing", Chain{}, 0, 0, 0, true},
		{"one bell, narrower than a step", chain(bell(43.21, 50, 30)), 30, 43.21, 1e-9, true},
		{"two bells on each other", chain(bell(45, 1, 40), bell(45, 1, 40)), 80, 45, 1e-9, false},
		{"a bell and the gain that takes it back", chain(bell(45, 1, 40), func() (Chain, error) { return Gain(-40) }), 0, 45, 1e-9, true},
		{"mute", chain(func() (Chain, error) { return Gain(-120) }), -120, 0, 1e-9, true},
		{"a usual band", chain(high(25), low(120)), 0, 0, 1e-3, true},
		// |H|² = 1/((1+(200/f)^16)(1+(f/20)^16)): at √(200·20) Hz both fall by 80 dB
		{"a high-pass above a low-pass", chain(high(200), low(20)), -20 * math.Log10(1+math.Pow(10, 8)), math.Sqrt(200 * 20), 1e-3, false},
	} {
		gain, at := c.chain.Most()
		if math.Abs(gain-c.gain) > c.within || c.at > 0 && math.Abs(math.Log2(at/c.at)) > 1.0/perOctave {
			t.Errorf("%s: %.9g dB at %.6g Hz, want %.9g dB at %.6g Hz", c.name, gain, at, c.gain, c.at)
		}
		if err := c.chain.Sensible(); (err == nil) != c.sensible {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}
