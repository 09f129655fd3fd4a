package study

import (
	"fmt"
	"math"
	"strings"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/phys"
)

// A mend is only told after it has been computed: it is a true statement about
// the network, not a rule of thumb, and what it builds loads the amplifier no
// worse than it may. Whether it breaks another limit is said where it is known.

// takes says that the amplifier takes a load: what it is rated for, or no worse
// than the load of the candidate as it stands.
func (c *checker) takes(m *meter) bool {
	a := c.st.Amplifier
	if a == nil {
		return true
	}
	least := min(a.LeastImpedance(), float64(c.f.LowestZ.Value))
	z := smallest(c.st.LimitsFrom(), c.st.limitsTo(), m.impedance)
	return float64(z.Value) >= least*(1-1e-9)
}

// levelMend says which drive gives the level asked for; or, where that passes a limit,
// that it is none: a drive that breaks something is no advice.
func (c *checker) levelMend(ratio float64) string {
	if c.st.Drive.Kind == DriveAmplifierFull {
		more := ceil3(ratio * ratio)
		if passed := c.tooMuch(math.Sqrt(more)); len(passed) > 0 {
			return fmt.Sprintf("%s: it takes an amplifier of %s the power, and there %s", notSo, shareWords(more), list(passed, "and"))
		}
		return fmt.Sprintf("an amplifier of %s the power reaches it", shareWords(more))
	}
	now := c.m.feed.fixed // before the filters
	v := ceil3(now * ratio)
	power := c.show(ceil3(c.st.nominal(v, c.m.sys)), phys.Power)
	short := false
	if a := c.st.Amplifier; a != nil {
		_, ok := c.m.solve(float64(c.f.LowestZ.At))
		short = ok && v > a.most(c.m.sys, c.m.sol)*(1+1e-9)
	}
	from := c.st.throughFilters()
	if from == "" {
		from = " from the source"
	}
	takes := fmt.Sprintf("it takes %s%s, %s into Re", c.show(v, phys.Voltage), from, power)
	passed := c.tooMuch(v / now)
	switch {
	case len(passed) == 0 && short:
		return "not with this amplifier: " + takes + ", more than it gives into this load"
	case len(passed) == 0:
		return takes
	case short:
		passed = append(passed, "it is more than the amplifier gives into this load")
	}
	return notSo + ": " + takes + ", and there " + list(passed, "and")
}

// notSo begins what is told instead of a mend that passes a limit.
const notSo = "not with this group in this box"

// passedWords say of a limit how many times it is used.
var passedWords = map[BoundID]string{
	BoundExcursion: "the excursion is %s its limit",
	BoundStop:      "a cone goes %s as far as its stop",
	BoundRadiator:  "the radiator’s excursion is %s its limit",
	BoundHeat:      "the heat is %s what a driver is rated for",
	BoundPortAir:   "the port air is %s its limit",
	BoundPressure:  "the chamber’s pressure is %s its limit",
}

// tooMuch says which limits a drive passes that is ratio times as large.
func (c *checker) tooMuch(ratio float64) []string {
	var out []string
	bounds := c.m.bounds()
	for i := range bounds {
		what, ok := passedWords[bounds[i].id]
		if !ok {
			continue // what the amplifier gives is told by itself
		}
		worst := c.m.largest(c.st.LimitsFrom(), c.st.limitsTo(), func(f float64) float64 {
			e, ok := c.m.solve(f)
			if !ok {
				return math.NaN()
			}
			return e * bounds[i].share()
		})
		x := float64(worst.Value) * ratio
		if bounds[i].id == BoundHeat {
			x *= x // watts
		}
		if x > 1+1e-9 {
			out = append(out, fmt.Sprintf(what, shareWords(x)))
		}
	}
	return out
}

// ceil3 rounds up to three significant digits, so that what is printed reaches.
func ceil3(x float64) float64 {
	if !(x > 0) {
		return x
	}
	k := math.Pow(10, math.Floor(math.Log10(x))-2)
	return math.Ceil(x/k*(1-1e-12)) * k
}

// limitMend says up to which power, or from which frequency up, a limit is
// held; share is the worst share of it and at gives the share by frequency.
func (c *checker) limitMend(share float64, at func(float64) float64) string {
	power := c.powerMend(share)
	from := c.st.LimitsFrom()
	worst := phys.None()
	grid(from, c.st.limitsTo(), func(f float64) {
		if at(f) > 1 {
			worst = phys.Maybe(f)
		}
	})
	if !worst.OK() || float64(worst) > c.st.limitsTo()/2 {
		return power
	}
	edge := crossing(float64(worst), stepping(float64(worst), float64(worst)*1.1), 1, func(f float64) float64 { return at(f) })
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
	v := c.m.feed.fixed / share
	return "holds up to " + c.show(floor3(c.st.nominal(v, c.m.sys)), phys.Power) + " into Re"
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
	coils := g.CoilsAChannel()
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
		z := smallest(c.st.LimitsFrom(), c.st.limitsTo(), newMeter(c.st, sys).impedance)
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

// scalable is the candidate's box, ready to be built larger or tuned otherwise.
// A passive radiator keeps its bare mass and takes its tuning as a target.
func (c *checker) scalable() enclosure.Spec {
	s := c.m.sys.Spec
	if s.Kind.Distributed() || s.Net != nil {
		return c.asWorded()
	}
	if fb := c.m.sys.Facts.RadiatorFb; s.Kind == enclosure.PassiveRadiator && fb > 0 {
		s.Alignment, s.Radiator.AddedMass, s.Rear.Tuning = enclosure.Alignment{}, 0, fb
		return s
	}
	return resolved(s)
}

// extensionMend looks for a box in which the same group reaches the asked
// frequency: larger, and for a tuned one tuned otherwise.
func (c *checker) extensionMend(asked float64, of func(*Figures) phys.Maybe) string {
	spec := c.scalable()
	if spec.Kind == enclosure.InfiniteBaffle {
		return "no wall changes it: take a woofer with a lower fs, or a box that is tuned"
	}
	tunings := []float64{1}
	if spec.Kind != enclosure.Sealed {
		tunings = []float64{1, 0.9, 0.8, 1.1, 0.7}
	}
	for _, k := range []float64{1, 1.1, 1.25, 1.5, 2, 2.5, 3, 4, 6, 10, 30, 100} {
		for _, t := range tunings {
			if k == 1 && t == 1 {
				continue
			}
			if s, words := c.changed(spec, k, t); words != "" && c.holds(s, k) && c.reaches(s, asked, of) {
				return words + " reaches it"
			}
		}
	}
	if spec.Kind == enclosure.Sealed {
		return "none of the closed boxes tried, up to a hundred times as large, reaches it: tune it, or take a woofer with a lower fs"
	}
	if spec.Kind.Distributed() || spec.Net != nil {
		return c.noDuct(spec)
	}
	return "none of the boxes of this kind that were tried, up to a hundred times as large, reaches it: take a woofer with a lower fs"
}

// scaledBox is a box with k times the volumes and t times the tunings.
func scaledBox(s enclosure.Spec, k, t float64) enclosure.Spec {
	if s.Kind.Distributed() { // a lower tuning takes a longer duct, a larger volume a wider one
		s.Line = s.Line.Scaled(1/t, k*t)
		s.Rear.Volume *= k
		return s
	}
	if s.Net != nil {
		s.Net = s.Net.Scaled(k, t)
		return s
	}
	for _, ch := range []*enclosure.Chamber{&s.Rear, &s.Front} {
		ch.Volume *= k
		ch.Tuning *= t
		ch.Losses.At = 0
		if ch.Tuning > 0 {
			ch.Port.Length = 0
		}
	}
	return s
}

// boxWords names a box's volumes and tunings.
func (c *checker) boxWords(s enclosure.Spec) string {
	chamber := func(ch enclosure.Chamber) string {
		w := c.show(ch.Volume, phys.Volume)
		if ch.Tuning > 0 {
			w += " net tuned to " + c.show(ch.Tuning, phys.Frequency)
		} else {
			w += " net"
		}
		return w
	}
	if s.Front.Volume > 0 {
		return "a box with a rear chamber of " + chamber(s.Rear) + " and a front one of " + chamber(s.Front)
	}
	return "a box of " + chamber(s.Rear)
}

// fitMend looks for the largest net volume whose box fits the space.
func (c *checker) fitMend() string {
	spec := c.scalable()
	why := ""
	fits := func(k float64) bool {
		sys, _, err := enclosure.Build(c.m.sys.Group, scaledBox(spec, k, 1), c.m.sys.Setting)
		if err != nil {
			why = err.Error()
			return false
		}
		b := layBody(c.st.Space, sys, c.st.Units)
		why = b.Why
		return b.Fits
	}
	const least = 0.2
	if !fits(least) {
		w := "no smaller volume tried fits, down to a fifth (" + why + ")"
		if len(c.m.sys.Facts.Ports) > 0 {
			return w + ": give the port another shape or a smaller area, or take another space"
		}
		return w + ": these drivers need another space, or another mounting"
	}
	lo, hi := least, 1.0
	for range 12 {
		if mid := (lo + hi) / 2; fits(mid) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return "a net volume of " + c.show(floor3(1e3*lo*float64(c.f.NetVolume))/1e3, phys.Volume) + " fits"
}

func (c *checker) reaches(s enclosure.Spec, asked float64, of func(*Figures) phys.Maybe) bool {
	sys, _, err := enclosure.Build(c.m.sys.Group, s, c.m.sys.Setting)
	if err != nil {
		return false
	}
	m := newMeter(c.st, sys)
	f := blank()
	m.response(&f)
	got := of(&f)
	return m.err == nil && f.Reference.OK() && (!got.OK() || float64(got) <= asked) && c.takes(m)
}

// Wiring is the wiring of a group in words: "–" for a single coil, "series",
// "parallel", "2 strings of 2 in series"; of a split group for each channel.
func Wiring(g *driver.Group) string {
	n, channels := g.CoilsAChannel(), ""
	if k := g.ChannelCount(); k > 1 {
		channels = fmt.Sprintf(" on %d channels", k)
	}
	switch {
	case n == 1 && channels != "":
		return strings.TrimPrefix(channels, " on ")
	case n == 1:
		return "–"
	case g.InSeries == n:
		return "series" + channels
	case g.InSeries == 1:
		return "parallel" + channels
	}
	return fmt.Sprintf("%d strings of %d", n/g.InSeries, g.InSeries) + channels
}
