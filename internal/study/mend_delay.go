package study

import (
	"fmt"
	"math"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/phys"
)

// The changes of a box that are tried against a group delay.
var (
	delayTunings = [...]float64{0.9, 0.8, 0.7, 1.1, 1.25}
	delayVolumes = [...]float64{1.25, 0.8, 1.5, 0.65, 2, 0.5, 3}
	delayGaps    = [...]float64{0.75, 0.5, 0.35, 0.25}
)

// held says how a change stands to a limit and to the amplifier.
type held uint8

const (
	fails     held = iota // the limit is passed, or it cannot be built
	overloads             // the limit is kept, and the amplifier does not take the load
	keeps
)

// delayMend looks for a change with which the group delay keeps its limit: of
// the tuning, of the wiring, of the air between the cones where their resonance on
// it is the cause, and of a closed box's volume.
func (c *checker) delayMend(limit float64) string {
	spec, own := c.scalable(), c.m.sys.Group
	kept := func(g *driver.Group, s enclosure.Spec) bool { return c.delays(g, s, limit) == keeps }
	var tried []string
	if spec.Kind > enclosure.Sealed {
		for _, t := range delayTunings {
			if s, words := c.changed(spec, 1, t); words != "" && c.holds(s, 1/t) && kept(own, s) {
				return words + " keeps it"
			}
		}
		tried = append(tried, "none of the tunings tried, from 0.7 to 1.25 of this one")
	}
	g := *own
	coils := g.CoilsAChannel()
	for n := 1; n <= coils; n++ {
		if g.InSeries = n; coils%n == 0 && n != own.InSeries && kept(&g, spec) {
			return "wiring: " + wiringWord(n, coils) + " keeps it"
		}
	}
	low := c.tooLow(spec, limit)
	if coils > 1 && low == "" {
		tried = append(tried, "no other wiring")
	}
	why := ""
	if mode, ok := c.gapMode(); ok {
		why = fmt.Sprintf("; it comes from the cones, which resonate against each other on the air between them at %s", c.show(mode, phys.Frequency))
		for _, k := range delayGaps {
			if g := gapScaled(own, k); kept(g, spec) {
				return "with " + c.gapWords(g) + " between the cones it is kept" + why
			}
		}
		tried = append(tried, "none of the smaller gaps between the cones, down to a quarter")
	}
	if spec.Kind == enclosure.Sealed {
		for _, k := range delayVolumes {
			if s := scaledBox(spec, k, 1); kept(own, s) {
				return c.boxWords(s) + " keeps it" + why
			}
		}
		tried = append(tried, "none of the closed boxes tried, from half to three times as large")
	}
	if len(tried) == 0 {
		return "a woofer with a lower qts may keep it" + low
	}
	return list(tried, "and") + " keeps it" + why + low
}

// tooLow names a wiring that would keep the delay and that the amplifier does not
// take; "" where there is none.
func (c *checker) tooLow(spec enclosure.Spec, limit float64) string {
	if c.st.Amplifier == nil {
		return ""
	}
	g := *c.m.sys.Group
	coils := g.CoilsAChannel()
	for n := 1; n <= coils; n++ {
		if g.InSeries = n; coils%n != 0 || n == c.m.sys.Group.InSeries || c.delays(&g, spec, limit) != overloads {
			continue
		}
		sys, _, err := enclosure.Build(&g, spec, c.m.sys.Setting)
		if err != nil {
			continue
		}
		z := smallest(c.st.LimitsFrom(), c.st.limitsTo(), newMeter(c.st, sys).impedance)
		return fmt.Sprintf("; wiring: %s would keep it, but loads the amplifier with %s", wiringWord(n, coils), c.show(float64(z.Value), phys.Resistance))
	}
	return ""
}

// gapMode is the resonance of the cones on the air between them that is within
// a sixth of an octave of the worst delay.
func (c *checker) gapMode() (float64, bool) {
	for _, f := range c.m.sys.Facts.CouplingModes {
		if math.Abs(math.Log2(f/float64(c.f.GroupDelay.At))) < 1./6 {
			return f, true
		}
	}
	return 0, false
}

// gapScaled is a group with k times the air between its cones.
func gapScaled(g *driver.Group, k float64) *driver.Group {
	out := *g
	out.Coupling = nil
	for _, a := range g.Coupling {
		out.Coupling = append(out.Coupling, driver.Coupling{Volume: k * a.Volume, Length: k * a.Length})
	}
	return &out
}

// gapWords names the air between the cones: "1.05 L".
func (c *checker) gapWords(g *driver.Group) string {
	var words []string
	for i, a := range g.Coupling {
		if w := c.show(a.Volume, phys.Volume); i == 0 || w != words[len(words)-1] {
			words = append(words, w)
		}
	}
	return list(words, "and")
}

func (c *checker) delays(g *driver.Group, s enclosure.Spec, limit float64) held {
	sys, _, err := enclosure.Build(g, s, c.m.sys.Setting)
	if err != nil {
		return fails
	}
	m := newMeter(c.st, sys)
	_, reference := m.reference()
	p := m.longest(reference)
	switch {
	case m.err != nil || !(float64(p.Value) <= limit):
		return fails
	case !c.takes(m):
		return overloads
	}
	return keeps
}
