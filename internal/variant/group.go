package variant

import (
	"fmt"
	"slices"
	"strings"

	"basswright/internal/driver"
	"basswright/internal/phys"
	"basswright/internal/study"
)

// mountings are the ways to mount the same drivers side by side and behind
// one another, the box following. One driver alone may become two, and two
// one. Unlike members stay where they are: which of them should face the
// listener is the designer's to say.
func (d draft) mountings() []Variant {
	if d.group.Members != nil {
		return nil
	}
	m, n := d.group.SideBySide, d.group.Stack
	var out []Variant
	for _, to := range mountable(m * n) {
		id := fmt.Sprintf("mounting-%dx%d", to[0], to[1])
		if to[0] == m && to[1] == n {
			out = append(out, current(id, Mounting, mountingWords(d.sys.Group)+boxWords(d.sys, d.st.Units)))
			continue
		}
		e := d.fresh()
		e.mount(to[0], to[1])
		if v, ok := e.asMounting(id, m*n != to[0]*to[1]); ok {
			out = append(out, v)
		}
	}
	return out
}

// mountable lists side_by_side and stack for n drivers.
func mountable(n int) [][2]int {
	if n <= 2 {
		return [][2]int{{1, 1}, {2, 1}, {1, 2}}
	}
	var out [][2]int
	for stack := 1; stack <= n; stack++ {
		if n%stack == 0 {
			out = append(out, [2]int{n / stack, stack})
		}
	}
	return out
}

func (d draft) asMounting(id string, loaded bool) (Variant, bool) {
	d, sys, ok := d.fitPorts()
	if !ok {
		return Variant{}, false
	}
	words := mountingWords(sys.Group)
	if loaded { // the load is another
		words += ", " + wiringWords(sys.Group)
	}
	return d.variant(id, Mounting, words+roomWords(sys, d.sys.Group, d.st.Units)), true
}

// mountingWords is a mounting in words: "two side by side", "clamshell stack".
func mountingWords(g *driver.Group) string {
	m, n := g.SideBySide(), g.Depth()
	switch {
	case m == 1 && n == 1:
		return "one alone"
	case n == 1:
		return study.Count(m) + " side by side"
	case m == 1:
		return study.Facing(g) + " stack of " + study.Count(n)
	}
	return fmt.Sprintf("%s %s stacks of %s", study.Count(m), study.Facing(g), study.Count(n))
}

// mount changes the mounting and lets the box follow.
func (d *draft) mount(m, n int) {
	was := d.group
	d.group.SideBySide, d.group.Stack = m, n
	for _, k := range []struct {
		key     string
		was, is int
	}{{"side_by_side", was.SideBySide, m}, {"stack", was.Stack, n}} {
		switch {
		case k.was == k.is:
		case k.is == 1:
			d.remove("group." + k.key)
		default:
			d.set("group."+k.key, fmt.Sprint(k.is))
		}
	}
	d.face(n)
	d.air(n)
	d.dropPolarity()
	d.rewire()
	volume, area := ratio(was, d.group)
	d.scaleBox(volume, area)
}

// face keeps the arrangement where a stack of n can have it. Two drivers that
// become a stack go cone to cone: it is the shortest, and both magnets stay
// outside the coupling air. Deeper stacks are tandem.
func (d *draft) face(n int) {
	a := d.group.Arrangement
	want := a
	switch {
	case n == 1:
		want = driver.Single
	case n == 2 && (a == driver.Single || len(d.group.Facing) > 0):
		want = driver.Clamshell
	case n > 2:
		want = driver.Tandem
	}
	d.arrange(want)
}

// arrange words an arrangement; Single takes the word away.
func (d *draft) arrange(a driver.Arrangement) {
	if len(d.group.Facing) > 0 {
		d.group.Facing = nil
		d.remove("group.facing")
	}
	switch {
	case a == d.group.Arrangement:
		return
	case a == driver.Single:
		d.remove("group.arrangement")
	default:
		d.set("group.arrangement", a.String())
	}
	d.group.Arrangement = a
}

// air keeps what is known of the coupling air, for a stack of n.
func (d *draft) air(n int) {
	c := d.group.Coupling
	switch {
	case len(c) == 0 || n > 1 && len(c) <= 1 || len(c) == n-1:
		return
	case n == 1:
		d.group.Coupling = nil
		d.remove("group.coupling")
		return
	}
	gap := c[0]
	text, volume := written(gap.Volume, phys.Volume, d.st.Units)
	gap.Volume = volume
	if gap.Length > 0 {
		var long string
		long, gap.Length = written(gap.Length, phys.Length, d.st.Units)
		text = fmt.Sprintf("{volume: %s, length: %s}", text, long)
	}
	d.set("group.coupling", text)
	d.group.Coupling = []driver.Coupling{gap}
}

// dropPolarity leaves the polarity to what the arrangement needs.
func (d *draft) dropPolarity() {
	if len(d.group.Polarity) > 0 {
		d.group.Polarity = nil
		d.remove("group.polarity")
	}
}

// rewire finds a wiring for a group whose number of coils has changed: the
// lowest resistance that the amplifier takes, if there is one, else the
// wiring that was asked for as near as the number allows.
func (d *draft) rewire() {
	parallel := d.group
	parallel.Wiring = driver.Wiring{}
	g, _, err := driver.NewGroup(parallel)
	if err != nil {
		return // the group cannot be, and is not offered
	}
	coils := g.CoilsAChannel()
	if coils == d.sys.Group.CoilsAChannel() {
		return
	}
	asked := d.asked(coils)
	n := asked
	if a := d.st.Amplifier; a != nil && coils > 1 {
		one := d.group.Driver.Re
		for n = 1; n < coils; n++ {
			if coils%n == 0 && one*float64(n*n)/float64(coils) >= a.LeastImpedance() {
				break
			}
		}
	}
	if n != asked || d.group.Wiring.Way == driver.WiringStrings && n != d.group.Wiring.N {
		d.wire(n, coils)
	}
}

// asked is the number of coils a string that the group's words ask for, or
// the next lower one that divides the coils.
func (d *draft) asked(coils int) int {
	w := d.group.Wiring
	switch w.Way {
	case driver.WiringSeries:
		return coils
	case driver.WiringStrings:
		n := min(w.N, coils)
		for coils%n != 0 {
			n--
		}
		return n
	}
	return 1
}

// arrangements are the ways in which the drivers of a stack may face, with
// the polarity that each needs.
func (d draft) arrangements() []Variant {
	n := d.sys.Group.Depth()
	if n == 1 {
		return nil
	}
	choices := []driver.Arrangement{driver.Tandem, driver.Clamshell, driver.BackToBack}
	if n > 2 {
		choices = []driver.Arrangement{driver.Tandem, driver.MixedFacing}
	}
	var out []Variant
	for _, a := range choices {
		if v, ok := d.arrangement(a, n); ok {
			out = append(out, v)
		}
	}
	return out
}

func (d draft) arrangement(a driver.Arrangement, n int) (Variant, bool) {
	id, words := "arrangement-"+a.String(), arrangementWords(a)
	switch {
	case a != d.sys.Group.Arrangement:
	case a == driver.MixedFacing:
		return current(id, Arrangement, "facing as listed"), true
	default:
		return current(id, Arrangement, words), true
	}
	e := d.fresh()
	if a == driver.MixedFacing {
		e.alternate(n)
	} else {
		e.arrange(a)
	}
	e.dropPolarity()
	_, ok := e.build()
	return e.variant(id, Arrangement, words), ok
}

// alternate turns every other driver of a deep stack, beginning cone to cone.
func (d *draft) alternate(n int) {
	d.arrange(driver.Single)
	var words []string
	for k := range n {
		f := driver.Rear
		if k%2 == 1 {
			f = driver.Front
		}
		d.group.Facing = append(d.group.Facing, f)
		words = append(words, f.String())
	}
	d.set("group.facing", "["+strings.Join(words, ", ")+"]")
}

func arrangementWords(a driver.Arrangement) string {
	return map[driver.Arrangement]string{
		driver.Tandem:      "tandem, all the same way",
		driver.Clamshell:   "clamshell, cone to cone",
		driver.BackToBack:  "back-to-back, magnet to magnet",
		driver.MixedFacing: "facing in turn, cone to cone and magnet to magnet",
	}[a]
}

// wirings are all wirings that the driven coils of the group allow.
func (d draft) wirings() []Variant {
	coils := d.sys.Group.CoilsAChannel()
	if coils == 1 {
		return nil
	}
	var out []Variant
	for n := 1; n <= coils; n++ {
		if coils%n != 0 {
			continue
		}
		id := "wiring-" + strings.Trim(strings.ReplaceAll(wiringValue(n, coils), ": ", "-"), "{}")
		if n == d.sys.Group.InSeries {
			out = append(out, current(id, Wiring, wiringWords(d.sys.Group)))
			continue
		}
		e := d.fresh()
		e.wire(n, coils)
		if sys, ok := e.build(); ok {
			out = append(out, e.variant(id, Wiring, wiringWords(sys.Group)))
		}
	}
	return out
}

// wire puts n coils into each string.
func (d *draft) wire(n, coils int) {
	d.group.Wiring = driver.Wiring{Way: driver.WiringStrings, N: n}
	d.set("group.wiring", wiringValue(n, coils))
}

// wiringValue is a wiring in the words of the study file.
func wiringValue(n, coils int) string {
	switch n {
	case coils:
		return "series"
	case 1:
		return "parallel"
	}
	return fmt.Sprintf("{in_series: %d}", n)
}

// wiringWords is a wiring with the resistance that comes of it: "parallel,
// 1.65 Ω".
func wiringWords(g *driver.Group) string {
	words := study.Wiring(g)
	if words == "–" {
		words = "one coil"
	}
	return words + ", " + phys.Show(g.Re(), phys.Resistance, phys.Metric)
}

// polarities is the way back from a stated polarity that differs from what
// the arrangement needs.
func (d draft) polarities() []Variant {
	needed := d.sys.Group.NeededPolarity()
	if len(d.group.Polarity) == 0 || slices.Equal(d.group.Polarity, needed) {
		return nil
	}
	e := d.fresh()
	e.dropPolarity()
	if _, ok := e.build(); !ok {
		return nil
	}
	words := "polarity as the arrangement needs it"
	if len(needed) <= 4 {
		var list []string
		for _, p := range needed {
			list = append(list, map[int]string{1: "normal", -1: "reversed"}[p])
		}
		words += ": " + strings.Join(list, ", ")
	}
	return []Variant{e.variant("polarity-needed", Polarity, words)}
}
