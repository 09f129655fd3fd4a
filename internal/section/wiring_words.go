package section

import (
	"fmt"
	"strings"

	"basswright/internal/draw"
	"basswright/internal/driver"
	"basswright/internal/phys"
	"basswright/internal/study"
)

// sentences say what a wiring sketch comes to and what to mind while soldering.
func (c *circuit) sentences() {
	re := "Re " + phys.Show(c.g.Re(), phys.Resistance, c.u) + " at the amplifier’s terminals"
	if n := c.g.ChannelCount(); n > 1 {
		re = c.channelRe()
	}
	said := []Remark{{c.way() + ": " + re, draw.Ink}}
	if at := c.drivers(c.wrongWay); len(at) > 0 {
		said = append(said, Remark{"the cones work against each other: swap the leads of " + c.named(at), draw.Stop})
	} else if c.g.Positions[0][0].Direction() < 0 {
		said = append(said, Remark{"all cones move inwards for a positive voltage: swap the leads at the amplifier", draw.Heed})
	}
	if at := c.drivers(func(m driver.Member) bool { return m.Polarity < 0 }); len(at) > 0 {
		said = append(said, Remark{"reversed, − to the marked terminal: " + c.named(at), draw.Soft})
	}
	said = append(said, Remark{"dot: the driver’s marked terminal; + and −: the lead that goes there", draw.Soft})
	for i := range c.said {
		c.said[i].Role = draw.Soft
	}
	c.said = append(said, c.said...)
}

// way says how the driven coils hang together.
func (c *circuit) way() string {
	n, before := c.g.CoilsAChannel(), ""
	if k := c.g.ChannelCount(); k > 1 {
		before = study.Count(k) + " channels, on each "
	}
	return before + c.wayOf(n)
}

// channelRe is what the channels meet.
func (c *circuit) channelRe() string {
	var w []string
	alike := true
	for k := range c.g.ChannelCount() {
		w = append(w, phys.Show(c.g.ChannelRe(k), phys.Resistance, c.u))
		alike = alike && w[k] == w[0]
	}
	if alike {
		return "Re " + w[0] + " at the terminals of each, which are never joined"
	}
	return "Re " + strings.Join(w, ", ") + " at the terminals of one after the other, which are never joined"
}

// wayOf is how n coils hang together.
func (c *circuit) wayOf(n int) string {
	switch s := c.g.InSeries; {
	case n == 1:
		return "one coil"
	case s == n:
		return study.Count(n) + " coils in series"
	case s == 1:
		return study.Count(n) + " coils in parallel"
	default:
		return fmt.Sprintf("%s strings of %s coils in series, the strings in parallel", study.Count(n/s), study.Count(s))
	}
}

// drivers are the members of which something holds, each at its first coil.
func (c *circuit) drivers(holds func(driver.Member) bool) (at []driver.CoilAt) {
	for p, stack := range c.g.Positions {
		for k, m := range stack {
			if holds(m) {
				at = append(at, driver.CoilAt{Position: p, Member: k})
			}
		}
	}
	return at
}

// named lists drivers without their coils: "the outer driver at positions 1 and 2".
func (c *circuit) named(at []driver.CoilAt) string {
	var l listing
	for _, a := range at {
		k := "the driver"
		if n := c.g.Depth(); n > 1 {
			k = "the " + study.Place(a.Member, n) + " driver"
			if n > 3 && a.Member > 0 && a.Member < n-1 {
				k = "the driver " + study.Place(a.Member, n)
			}
		}
		l.add(k, a.Position+1)
	}
	return l.text(c.g.SideBySide() > 1)
}

// told is the sketch in words, for who cannot see it.
func (c *circuit) told() string {
	var s []string
	for _, b := range c.branches {
		on := ""
		if c.g.ChannelCount() > 1 {
			on = fmt.Sprintf("channel %d: ", b.channel+1)
		}
		if b.more != "" {
			s = append(s, on+b.more+": "+b.list)
			continue
		}
		var w []string
		for _, l := range b.leads {
			w = append(w, l.words())
		}
		s = append(s, on+"from + through "+strings.Join(w, ", then ")+" to −")
	}
	for _, b := range c.idle {
		if b.more != "" {
			s = append(s, b.more+": "+b.list)
		} else {
			s = append(s, b.leads[0].words())
		}
	}
	for _, r := range c.said {
		s = append(s, r.Text)
	}
	return strings.Join(s, ". ") + "."
}

func (l lead) words() string {
	w := l.name
	for _, more := range []string{l.place, l.note} {
		if more != "" {
			w += " (" + more + ")"
		}
	}
	return w
}
