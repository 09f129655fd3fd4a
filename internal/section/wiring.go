package section

import (
	"fmt"
	"slices"
	"strings"

	"basswright/internal/driver"
	"basswright/internal/phys"
	"basswright/internal/study"
)

// What is drawn once and told for the rest.
const (
	alikeStrings = 4 // strings of one kind that are all drawn; of more, the first two
	alikeCoils   = 6 // coils of one kind in a row that are all drawn; of more, the first two and the last
)

// A lead is a coil of the wiring sketch: a driven one between its two leads,
// one that is not driven, or a text in the place of many.
type lead struct {
	at       driver.CoilAt
	name     string
	place    string
	note     string // below it
	reversed bool   // the − lead goes to the marked terminal
	wrong    bool   // its cone moves against the others
	coils    driver.Coils
	fold     bool // stands for coils that are not drawn
}

// A branch is a string of coils, or a line that stands for more like the one
// above it.
type branch struct {
	channel int // of the amplifier, from 0
	leads   []lead
	more    string
	list    string
}

// circuit is what a wiring sketch shows, before it has a place on the page.
type circuit struct {
	g        *driver.Group
	u        phys.System
	branches []branch
	idle     []branch // coils that are not driven, one each or folded
	said     []Remark
}

func circuitOf(g *driver.Group, u phys.System) *circuit {
	c := &circuit{g: g, u: u}
	for k := range g.ChannelCount() {
		for _, b := range c.fold(g.ChannelStrings(k), c.lead) {
			b.channel = k
			c.branches = append(c.branches, b)
		}
	}
	c.idle = c.fold(c.undriven(), c.idleLead)
	c.sentences()
	return c
}

// fold makes branches of strings; of many that look alike, the first two are
// drawn and the rest is told.
func (c *circuit) fold(strs [][]driver.CoilAt, show func(driver.CoilAt) lead) []branch {
	kind := func(s []driver.CoilAt) string {
		var b strings.Builder
		for _, at := range s {
			l := show(at)
			fmt.Fprintf(&b, "%q %v %v %q;", l.name, l.reversed, l.wrong, l.note)
		}
		return b.String()
	}
	count, drawn := map[string]int{}, map[string]int{}
	kinds := make([]string, len(strs))
	for i, s := range strs {
		kinds[i] = kind(s)
		count[kinds[i]]++
	}
	var out []branch
	for i, s := range strs {
		k := kinds[i]
		if drawn[k]++; count[k] > alikeStrings && drawn[k] > 2 {
			continue
		}
		var leads []lead
		for _, at := range s {
			leads = append(leads, show(at))
		}
		out = append(out, branch{leads: c.shorten(leads)})
		if count[k] > alikeStrings && drawn[k] == 2 {
			var rest [][]driver.CoilAt
			for n := i + 1; n < len(strs); n++ {
				if kinds[n] == k {
					rest = append(rest, strs[n])
				}
			}
			out = append(out, branch{more: fmt.Sprintf("and %d more like this", count[k]-2), list: c.stringsAt(rest)})
		}
	}
	return out
}

// shorten folds long runs of alike coils within a string.
func (c *circuit) shorten(leads []lead) []lead {
	look := func(l lead) lead { l.at, l.place = driver.CoilAt{}, ""; return l }
	var out []lead
	for i := 0; i < len(leads); {
		k := i + 1
		for k < len(leads) && look(leads[k]) == look(leads[i]) {
			k++
		}
		if k-i <= alikeCoils {
			out = append(out, leads[i:k]...)
		} else {
			var at []driver.CoilAt
			for _, l := range leads[i+2 : k-1] {
				at = append(at, l.at)
			}
			out = append(out, leads[i], leads[i+1], lead{name: fmt.Sprintf("and %d more", len(at)), place: "like these, in series", fold: true}, leads[k-1])
			c.said = append(c.said, Remark{"in series between them: " + c.places(at), 0})
		}
		i = k
	}
	return out
}

func (c *circuit) member(at driver.CoilAt) driver.Member {
	return c.g.Positions[at.Position][at.Member]
}

func (c *circuit) wrongWay(m driver.Member) bool { return !c.g.MovesTogether() && m.Direction() < 0 }

func (c *circuit) lead(at driver.CoilAt) lead {
	m := c.member(at)
	l := lead{at: at, name: m.Driver.Name, place: c.place(at), reversed: m.Polarity < 0, wrong: c.wrongWay(m)}
	switch {
	case l.wrong:
		l.note = "wrong way: swap its leads"
	case l.reversed:
		l.note = "reversed: − at the dot"
	}
	return l
}

// undriven lists the coils that are not driven, one a string.
func (c *circuit) undriven() [][]driver.CoilAt {
	var out [][]driver.CoilAt
	for p, stack := range c.g.Positions {
		for k, m := range stack {
			for i := range m.Driver.Undriven() {
				out = append(out, []driver.CoilAt{{Position: p, Member: k, Coil: m.Driver.Driven() + i}})
			}
		}
	}
	return out
}

func (c *circuit) idleLead(at driver.CoilAt) lead {
	m := c.member(at)
	l := lead{at: at, name: m.Driver.Name, place: c.place(at), note: "not driven, open", coils: m.Driver.Coils}
	switch m.Driver.Coils.Other {
	case driver.OtherShorted:
		l.note = "not driven, shorted"
	case driver.OtherLoaded:
		l.note = "not driven, " + phys.Brief(m.Driver.Coils.Load, phys.Resistance, c.u) + " across"
	}
	return l
}

// place is where a coil is, as far as there is more than one: "position 2, outer, coil 1".
func (c *circuit) place(at driver.CoilAt) string {
	var w []string
	if c.g.SideBySide() > 1 {
		w = append(w, fmt.Sprintf("position %d", at.Position+1))
	}
	return strings.Join(append(w, c.within(at)...), ", ")
}

// within is the place of a coil at its position.
func (c *circuit) within(at driver.CoilAt) (w []string) {
	if n := c.g.Depth(); n > 1 {
		w = append(w, study.Place(at.Member, n))
	}
	if c.member(at).Driver.Coils.Count > 1 {
		w = append(w, fmt.Sprintf("coil %d", at.Coil+1))
	}
	return w
}

// places lists coils in few words: "outer at positions 2 to 8".
func (c *circuit) places(at []driver.CoilAt) string {
	var l listing
	for _, a := range at {
		l.add(strings.Join(c.within(a), ", "), a.Position+1)
	}
	return l.text(c.g.SideBySide() > 1)
}

// stringsAt lists whole strings; what is in series is joined by +, and a
// driver or a position that a string runs through as a whole is one.
func (c *circuit) stringsAt(strs [][]driver.CoilAt) string {
	var l listing
	for _, s := range strs {
		c.through(&l, s)
	}
	return l.text(c.g.SideBySide() > 1)
}

// through adds one string to a listing.
func (c *circuit) through(l *listing, s []driver.CoilAt) {
	coils, atPosition := map[driver.CoilAt]int{}, map[int]int{} // how many of a driver, of a position
	var order, drivers []driver.CoilAt
	for _, a := range s {
		if atPosition[a.Position]++; atPosition[a.Position] == 1 {
			order = append(order, driver.CoilAt{Position: a.Position})
		}
		whole := driver.CoilAt{Position: a.Position, Member: a.Member}
		if coils[whole]++; coils[whole] == 1 {
			drivers = append(drivers, a)
		}
	}
	all, whole := true, true
	for _, o := range order {
		n := 0
		for _, m := range c.g.Positions[o.Position] {
			n += max(m.Driver.Coils.Count, 1)
		}
		all = all && n == atPosition[o.Position]
	}
	for _, d := range drivers {
		whole = whole && coils[driver.CoilAt{Position: d.Position, Member: d.Member}] == max(c.member(d).Driver.Coils.Count, 1)
	}
	name := c.within
	parts := s
	switch {
	case all && len(order) == 1:
		l.add("", order[0].Position+1)
		return
	case all:
		parts, name = order, func(driver.CoilAt) []string { return nil }
	case whole:
		parts, name = drivers, func(a driver.CoilAt) []string { return c.within(a)[:1] }
		if c.g.Depth() == 1 {
			name = func(driver.CoilAt) []string { return nil }
		}
	}
	var w []string
	for _, a := range parts {
		one := strings.Join(name(a), ", ")
		if len(order) > 1 {
			one = strings.TrimSuffix(fmt.Sprintf("position %d, %s", a.Position+1, one), ", ")
		}
		w = append(w, one)
	}
	if len(order) > 1 {
		l.add(strings.Join(w, " + "), 0)
		return
	}
	l.add(strings.Join(w, " + "), order[0].Position+1)
}

// A listing gathers positions under what is said of them, in the order of
// first mention.
type listing struct {
	keys  []string
	where map[string][]int
}

// add notes a position, from 1; 0 where the words name it.
func (l *listing) add(key string, position int) {
	if l.where == nil {
		l.where = map[string][]int{}
	}
	if l.where[key] == nil {
		l.keys = append(l.keys, key)
	}
	l.where[key] = append(l.where[key], position)
}

// text writes it: with positions where there is more than one.
func (l *listing) text(several bool) string {
	var out []string
	for _, k := range l.keys {
		n := l.where[k]
		switch {
		case !several || n[0] == 0:
			out = append(out, k)
		case k == "":
			out = append(out, positions(n))
		default:
			out = append(out, k+" at "+positions(n))
		}
	}
	return strings.Join(out, "; ")
}

// positions writes rising numbers: "positions 2 to 5 and 7".
func positions(n []int) string {
	n = slices.Compact(slices.Clone(n))
	if len(n) == 1 {
		return fmt.Sprintf("position %d", n[0])
	}
	var out []string
	for i := 0; i < len(n); {
		k := i
		for k+1 < len(n) && n[k+1] == n[k]+1 {
			k++
		}
		switch k - i {
		case 0:
			out = append(out, fmt.Sprint(n[i]))
		case 1:
			out = append(out, fmt.Sprint(n[i]), fmt.Sprint(n[k]))
		default:
			out = append(out, fmt.Sprintf("%d to %d", n[i], n[k]))
		}
		i = k + 1
	}
	last := len(out) - 1
	if last == 0 {
		return "positions " + out[0]
	}
	return "positions " + strings.Join(out[:last], ", ") + " and " + out[last]
}
