package enclosure

import (
	"fmt"

	"basswright/internal/network"
)

// A Part is a passive part between the amplifier and the group: a resistance, an
// inductance and a capacitance, those of them that are not 0.
type Part struct {
	Name     string
	Across   bool // from the wire to its return; else in the wire
	Parallel bool // its elements lie beside each other; else one behind the other
	R        float64
	L        float64 // H
	C        float64 // F
}

// A Channel is an output of the amplifier with what it drives. All channels
// carry the same signal, so that one source of the network stands for them all,
// each behind a resistance and parts of its own.
type Channel struct {
	Terminal network.Node // behind the source's resistance and before the parts: there its load is read
	Re       float64      // Ω, of its strings
	Drivers  []int        // into System.Cones, those that it drives
	feeds    []network.ElementID
}

// Feeds are the elements whose currents add up to the channel's.
func (c *Channel) Feeds() []network.ElementID { return c.feeds }

// channel lays the way from the source to what a channel drives and returns
// where its strings begin. Where nothing lies between, its strings themselves
// tell the current.
func (b *builder) channel(k int) network.Node {
	of := ""
	if b.Group.ChannelCount() > 1 {
		of = fmt.Sprintf(" of channel %d", k+1)
	}
	c := Channel{Terminal: b.Net.Source(), Re: b.Group.ChannelRe(k)}
	for _, coil := range b.Group.Shares()[k] {
		if d := coil.Position*b.Group.Depth() + coil.Member; len(c.Drivers) == 0 || c.Drivers[len(c.Drivers)-1] != d {
			c.Drivers = append(c.Drivers, d)
		}
	}
	parted := len(b.Setting.Parts) > 0 // a part at the source itself would have no flow of its own
	if parted || b.Setting.Source > 0 {
		c.Terminal = b.Net.AddNode(network.Electrical, "terminal"+of)
		id := b.Net.AddImpedance("source resistance"+of, b.Net.Source(), c.Terminal, network.Triple{G: b.Setting.Source}, nil)
		if parted {
			c.feeds = append(c.feeds, id)
		}
	}
	at := c.Terminal
	for _, p := range b.Setting.Parts {
		to := network.Earth
		if !p.Across {
			to = b.Net.AddNode(network.Electrical, "behind "+p.Name+of)
		}
		id := b.part("part "+p.Name+of, p, at, to)
		b.Parted = append(b.Parted, PartAt{p, k, id})
		if !p.Across {
			at = to
		}
	}
	b.Channels = append(b.Channels, c)
	return at
}

// PartAt is a part in its place.
type PartAt struct {
	Part
	Channel int // from 0
	element network.ElementID
}

// PartPower is what a part's resistance turns into heat, W per V².
func (s *System) PartPower(sol *network.Solver, p *PartAt) float64 {
	square := func(z complex128) float64 { return real(z)*real(z) + imag(z)*imag(z) }
	if p.R == 0 {
		return 0
	}
	if p.Parallel {
		e := s.Net.Element(p.element)
		return square(sol.Potential(e.A)-sol.Potential(e.B)) / p.R
	}
	return square(sol.Flow(p.element)) * p.R
}

func (b *builder) part(name string, p Part, from, to network.Node) network.ElementID {
	inverse := func(v float64) float64 {
		if v == 0 {
			return 0
		}
		return 1 / v
	}
	if p.Parallel {
		return b.Net.AddAdmittance(name, from, to, network.Triple{G: inverse(p.R), C: p.C, L: inverse(p.L)}, nil)
	}
	return b.Net.AddImpedance(name, from, to, network.Triple{G: p.R, C: p.L, L: inverse(p.C)}, nil)
}

// SizingSource is the resistance behind which a box is sized by a total Q or an
// alignment, Ω: that of the source and of the parts in the wire, shared by the
// channels. What else the parts do is no part of such a box's theory, as a voice
// coil's inductance is none.
func (s *System) SizingSource() float64 {
	return s.Setting.wire() / float64(s.Group.ChannelCount())
}

// wire is the resistance in the wire of a channel, Ω.
func (s Setting) wire() float64 {
	r := s.Source
	for _, p := range s.Parts {
		if !p.Across && !p.Parallel {
			r += p.R
		}
	}
	return r
}
