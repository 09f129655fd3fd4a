package study

import (
	"fmt"
	"strings"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/phys"
)

// numbers up to twelve as words.
var small = [...]string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"}

// Count is a small number as a word.
func Count(n int) string {
	if n >= 0 && n < len(small) {
		return small[n]
	}
	return fmt.Sprint(n)
}

// Mounting is how a group is mounted, in a few words: "one position",
// "2 side by side", "clamshell stack", "2 stacks of 2".
func Mounting(g *driver.Group) string {
	m, n := g.SideBySide(), g.Depth()
	switch {
	case m == 1 && n == 1:
		return "one position"
	case n == 1:
		return fmt.Sprintf("%d side by side", m)
	case m == 1 && n == 2:
		return arrangement(g.Arrangement) + " stack"
	case m == 1:
		return fmt.Sprintf("stack of %d", n)
	}
	return fmt.Sprintf("%d stacks of %d", m, n)
}

// Facing is how the drivers of a stack face each other: "clamshell",
// "back-to-back"; a dash where nothing is stacked.
func Facing(g *driver.Group) string {
	if g.Depth() == 1 {
		return "–"
	}
	return arrangement(g.Arrangement)
}

func arrangement(a driver.Arrangement) string {
	return strings.ReplaceAll(a.String(), "_", "-")
}

// Place names a driver's place in a stack of a depth, counted from the
// listener inward from 0.
func Place(k, depth int) string {
	switch {
	case depth == 1:
		return "each"
	case k == 0:
		return "outer"
	case k == depth-1:
		return "inner"
	case depth == 3:
		return "middle"
	}
	return fmt.Sprintf("%d from outside", k+1)
}

// Drivers is what a group is made of: "2 × merlin-10", "merlin-10, wren-6".
func Drivers(g *driver.Group) string {
	var names []string
	counts := map[string]int{}
	for _, stack := range g.Positions {
		for _, m := range stack {
			if counts[m.Driver.Name] == 0 {
				names = append(names, m.Driver.Name)
			}
			counts[m.Driver.Name]++
		}
	}
	for i, n := range names {
		names[i] = fmt.Sprintf("%d × %s", counts[n], n)
	}
	return strings.Join(names, ", ")
}

// KindWords is a kind of enclosure in words.
func KindWords(k enclosure.Kind) string { return kindWords[k] }

var kindWords = map[enclosure.Kind]string{
	enclosure.InfiniteBaffle: "infinite baffle", enclosure.Sealed: "sealed", enclosure.Vented: "vented",
	enclosure.PassiveRadiator: "passive radiator", enclosure.Bandpass: "bandpass",
	enclosure.BandpassParallel: "parallel bandpass", enclosure.BandpassSeries: "series bandpass",
	enclosure.TransmissionLine: "transmission line", enclosure.TappedWaveguide: "tapped waveguide",
	enclosure.FrontLoadedHorn: "front-loaded horn", enclosure.BackLoadedHorn: "back-loaded horn",
	enclosure.Network: "network",
}

// plainWords is a candidate in one line.
func plainWords(o *Outcome, u phys.System) string {
	g := o.System.Group
	var b strings.Builder
	if m, n := g.SideBySide(), g.Depth(); m == 1 && n == 1 {
		fmt.Fprintf(&b, "one %s", g.Positions[0][0].Driver.Name)
	} else {
		fmt.Fprintf(&b, "%s, %s", Mounting(g), Drivers(g))
		if m > 1 && n > 1 {
			fmt.Fprintf(&b, ", %s", Facing(g))
		}
	}
	if w := Wiring(g); w != "–" {
		fmt.Fprintf(&b, ", wired in %s", w)
	}
	if !g.MovesTogether() {
		b.WriteString(" WITH A WRONG POLARITY")
	}
	fmt.Fprintf(&b, ", %s", KindWords(o.System.Spec.Kind))
	if v := o.Figures.NetVolume; v.OK() {
		fmt.Fprintf(&b, ", %s", phys.Show(float64(v), phys.Volume, u))
	}
	if t := o.Figures.Tuning; t.OK() {
		fmt.Fprintf(&b, " at %s", phys.Show(float64(t), phys.Frequency, u))
	}
	return b.String()
}

// list joins words: "a, b and c".
func list(words []string, last string) string {
	switch n := len(words); n {
	case 0:
		return ""
	case 1:
		return words[0]
	default:
		return strings.Join(words[:n-1], ", ") + " " + last + " " + words[n-1]
	}
}

// BriefWords is the brief in sentences; empty if nothing is asked.
func (st *Study) BriefWords() string {
	u := st.Units
	var s []string
	if sp := st.Space; sp != nil {
		unit := phys.Length.Unit(u)
		side := func(x float64) string { return phys.Digits(unit.Of(x), 4) }
		text := fmt.Sprintf("The space is %s × %s × %s\u2009%s (width, depth, height)", brief0(side(sp.Width)), brief0(side(sp.Depth)), brief0(side(sp.Height)), unit.Name)
		if sp.Material != "" && sp.Panel > 0 {
			text += fmt.Sprintf(", in %s %s", phys.Brief(sp.Panel, phys.Length, u), sp.Material)
		}
		s = append(s, text)
	}
	if a := st.Amplifier; a != nil {
		s = append(s, a.words(u))
	}
	b := st.Brief
	for _, e := range []struct {
		name string
		f    float64
	}{{"F3", b.Extension.F3}, {"F6", b.Extension.F6}, {"F10", b.Extension.F10}} {
		if e.f > 0 {
			s = append(s, fmt.Sprintf("%s at %s or below", e.name, phys.Brief(e.f, phys.Frequency, u)))
		}
	}
	if b.Level > 0 && b.LevelAt > 0 {
		s = append(s, fmt.Sprintf("%s at %s, heard at %s in %s space%s", st.Asked(b.Level, phys.Level), phys.Brief(b.LevelAt, phys.Frequency, u), phys.Brief(st.Listening.Distance, phys.Distance, u), st.Listening.Space, st.Surrounded()))
	}
	if l := st.limitWords(); len(l) > 0 {
		s = append(s, fmt.Sprintf("From %s up, at most %s", phys.Brief(st.LimitsFrom(), phys.Frequency, u), list(l, "and")))
	}
	if len(s) == 0 {
		return ""
	}
	return strings.Join(s, ". ") + "."
}

func (st *Study) limitWords() []string {
	l := st.Brief.Limits
	var s []string
	switch {
	case l.ExcursionXmax:
		s = append(s, "each driver’s xmax")
	case l.Excursion > 0:
		s = append(s, st.Asked(l.Excursion, phys.Length)+" of excursion")
	}
	if l.PortSpeed > 0 {
		s = append(s, st.Asked(l.PortSpeed, phys.Speed)+" of port air, peak")
	}
	if l.GroupDelay > 0 {
		s = append(s, st.Asked(l.GroupDelay, phys.Time)+" of group delay")
	}
	if l.Mass > 0 {
		s = append(s, st.Asked(l.Mass, phys.Weight))
	}
	if l.Price > 0 {
		s = append(s, price(l.Price, l.Currency))
	}
	return s
}

// brief0 drops zeros behind the point.
func brief0(s string) string {
	if strings.Contains(s, ".") {
		return strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
	}
	return s
}
