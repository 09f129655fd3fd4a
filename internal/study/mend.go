package study

import (
	"fmt"
	"math"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/phys"
)

// A mend is only told after it has been computed: it is a true statement about
// the network, not a rule of thumb.

// limitMend says up to which power, or from which frequency up, a limit is
// held; share is the worst share of it and at gives the share by frequency.
func (c *checker) limitMend(share float64, at func(float64) float64) string {
	power := c.powerMend(share)
	from := c.st.LimitsFrom()
	worst := phys.None()
	grid(from, bandHigh, func(f float64) {
		if at(f) > 1 {
			worst = phys.Maybe(f)
		}
	})
	if !worst.OK() || float64(worst) > bandHigh/2 {
		return power
	}
	edge := crossing(float64(worst), float64(worst)*1.1, 1, func(f float64) float64 { return at(f) })
	if !edge.OK() {
		return power
	}
	up := c.show(math.Ceil(float64(edge)*10)/10, phys.Frequency)
	if power == "" {
		return "holds from " + up + " up"
	}
	return power + ", or from " + up + " up"
}

// powerMend says up to which drive a limit is held of which the drive takes
// the given share, in volts per volt.
func (c *checker) powerMend(share float64) string {
	if c.st.Drive.Kind == DriveAmplifierFull {
		return fmt.Sprintf("holds with the drive turned down by %s dB", phys.Fixed(math.Ceil(200*math.Log10(share))/10, 1))
	}
	v := c.m.volts(100) / share
	return "holds up to " + c.show(floor3(v*v/c.f.Re), phys.Power) + " into the coils"
}

// floor3 rounds down to three significant digits, so that what is printed holds.
func floor3(x float64) float64 {
	if x <= 0 {
		return x
	}
	k := math.Pow(10, math.Floor(math.Log10(x))-2)
	return math.Floor(x/k) * k
}

// wiringMend looks for a wiring whose lowest impedance the amplifier takes.
func (c *checker) wiringMend(least float64) string {
	g := c.m.sys.Group
	coils := len(g.Coils())
	for n := 2; n <= coils; n++ {
		if coils%n != 0 || n <= g.InSeries {
			continue
		}
		other := *g
		other.InSeries = n
		sys, _, err := enclosure.Build(&other, resolved(c.m.sys.Spec), c.m.sys.Setting)
		if err != nil {
			continue
		}
		z := smallest(c.st.LimitsFrom(), bandHigh, newMeter(c.st, sys).impedance)
		if float64(z.Value) >= least {
			return fmt.Sprintf("wiring: %s makes it %s", wiringWord(n, coils), c.show(float64(z.Value), phys.Resistance))
		}
	}
	return "no wiring of these coils reaches it: use coils of more ohms, or an amplifier rated for less"
}

func wiringWord(n, coils int) string {
	switch {
	case n == coils:
		return "series"
	case n == 1:
		return "parallel"
	}
	return fmt.Sprintf("{in_series: %d}", n)
}

// extensionMend looks for a box in which the same group reaches the asked
// frequency: larger, and for a tuned one tuned near it.
func (c *checker) extensionMend(asked, drop float64) string {
	spec := resolved(c.m.sys.Spec)
	switch spec.Kind {
	case enclosure.Sealed:
		for _, k := range []float64{1.1, 1.25, 1.5, 2, 2.5, 3, 4, 5, 7, 10} {
			s := spec
			s.Rear.Volume *= k
			s.Rear.Losses.At = 0
			if c.reaches(s, asked, drop) {
				return "a box of " + c.show(s.Rear.Volume, phys.Volume) + " net reaches it"
			}
		}
		return "no closed box reaches it with this group, however large: tune it, or take a woofer with a lower fs"
	case enclosure.Vented:
		for _, k := range []float64{1, 1.1, 1.25, 1.5, 2, 2.5, 3, 4} {
			for _, t := range []float64{1, 0.9, 1.1, 0.8} {
				s := spec
				s.Rear.Volume *= k
				s.Rear.Tuning, s.Rear.Losses.At = asked*t, 0
				s.Rear.Port.Length = 0
				if c.reaches(s, asked, drop) {
					return "a box of " + c.show(s.Rear.Volume, phys.Volume) + " net tuned to " + c.show(s.Rear.Tuning, phys.Frequency) + " reaches it"
				}
			}
		}
	}
	return "a larger box or a lower tuning reaches further down"
}

func (c *checker) reaches(s enclosure.Spec, asked, drop float64) bool {
	sys, _, err := enclosure.Build(c.m.sys.Group, s, c.m.sys.Setting)
	if err != nil {
		return false
	}
	m := newMeter(c.st, sys)
	f := blank()
	m.response(&f)
	got := map[float64]phys.Maybe{halfPower: f.F3, 6: f.F6, 10: f.F10}[drop]
	return m.err == nil && (!got.OK() || float64(got) <= asked)
}

// Wiring is the wiring of a group in words: "–" for a single coil, "series",
// "parallel", "2 strings of 2 in series".
func Wiring(g *driver.Group) string {
	n := len(g.Coils())
	switch {
	case n == 1:
		return "–"
	case g.InSeries == n:
		return "series"
	case g.InSeries == 1:
		return "parallel"
	}
	return fmt.Sprintf("%d strings of %d", n/g.InSeries, g.InSeries)
}
