package study

import (
	"fmt"
	"math"

	"basswright/internal/enclosure"
	"basswright/internal/phys"
)

// fullMovement holds what moves in a box with a tuned opening at all that the
// amplifier gives against its limits: below the tuning its air lets a cone go, and
// a box in which one goes too far is a miss whatever the drive is. A closed box
// holds its cones at every frequency, so that its drive says enough of it.
func (c *checker) fullMovement() {
	if c.st.Amplifier == nil || c.st.Drive.Kind == DriveAmplifierFull || c.m.sys.Spec.Kind <= enclosure.Sealed || c.o.silent() {
		return // at full drive it is held already
	}
	asked := c.st.Brief.Limits.Excursion > 0 || c.st.Brief.Limits.ExcursionXmax
	c.fullTravel(CheckExcursionFull, "excursion", "excursion too far at full power", asked, c.m.sys.Cones, c.coneEnds())
	ends := make([]float64, len(c.m.sys.Radiators))
	for i := range ends {
		ends[i] = c.m.sys.Radiators[i].Xmax
	}
	c.fullTravel(CheckRadiatorFull, "radiator", "radiator too far at full power", asked, c.m.sys.Radiators, ends)
}

// coneEnds is how far each cone may go, m: its limit of excursion or its stop,
// whichever is nearer; 0: not known.
func (c *checker) coneEnds() []float64 {
	ends := make([]float64, len(c.m.sys.Cones))
	for i := range ends {
		limit, stop := c.m.coneLimit(&c.m.sys.Cones[i]), c.m.coneStop(&c.m.sys.Cones[i])
		if ends[i] = limit; stop > 0 && !(limit > 0 && limit <= stop) {
			ends[i] = stop
		}
	}
	return ends
}

// belowTuning is how far below a tuning the movement at full power is held, whatever
// the brief says: a third of an octave (a rule of our own). The cone goes farthest
// there, and limits that begin just under the tuning would see nothing of it.
const belowTuning = 1.26

// fullFrom is from where the movement at full power is held, Hz.
func (c *checker) fullFrom() float64 {
	from := c.st.LimitsFrom()
	if c.m.sys.Spec.Kind == enclosure.Bandpass {
		return from // its closed chamber holds the cone at every frequency
	}
	for _, fb := range []phys.Maybe{c.f.Tuning, c.f.RearTuning} {
		if fb.OK() {
			from = min(from, float64(fb)/belowTuning)
		}
	}
	return from
}

// fullTravel checks cones of one kind, each with its own limit; 0 is none.
func (c *checker) fullTravel(id CheckID, name, short string, asked bool, cones []enclosure.Cone, ends []float64) {
	known := false
	for _, l := range ends {
		known = known || l > 0
	}
	if !known {
		return
	}
	worst, far := 0, 0.0
	share := func(f float64) float64 {
		volts, ok := c.m.full(f)
		if !ok {
			return math.NaN()
		}
		most := math.Inf(-1)
		for i, l := range ends {
			if l == 0 {
				continue
			}
			if x := c.m.sys.Excursion(c.m.sol, &cones[i]) * volts; x/l > most {
				most, worst, far = x/l, i, x
			}
		}
		return most
	}
	p := c.m.largest(c.fullFrom(), c.st.limitsTo(), share)
	share(float64(p.At)) // leaves the worst cone and its excursion there
	limit := c.asked(ends[worst], phys.Length)
	who, called := "", "at full power, "+name+" of "+limit
	if id == CheckExcursionFull {
		who, called = c.ofWhom(worst), c.named(called, worst)
	}
	text := fmt.Sprintf("%s: at all that the amplifier gives, %s%s at %s, limit %s", short, who, c.past(phys.Maybe(far), ends[worst], phys.Length), c.show(float64(p.At), phys.Frequency), limit)
	if fb := c.f.Tuning; fb.OK() && p.At < fb {
		text += fmt.Sprintf(", below the tuning of %s", c.show(float64(fb), phys.Frequency))
	}
	c.add(Check{ID: id, Name: called, Kind: phys.Length, Value: phys.Maybe(far), Limit: ends[worst], Fill: p.Value, At: p.At, Asked: asked},
		short, text, func() string { return c.fullMend(float64(p.Value)) })
}

// fullMend is what keeps a limit at full power that is passed by the given share:
// the amplifier turned down, or the high-pass that keeps every limit of movement.
func (c *checker) fullMend(share float64) string {
	s := fmt.Sprintf("holds with the amplifier turned down by %s dB", phys.Fixed(math.Ceil(200*math.Log10(share))/10, 1))
	if p := c.o.Protection; p != nil && p.Possible {
		s += ", or " + c.behindWords(p)
	}
	return s
}
