package driver

import "fmt"

// Split says how a group is shared out over the channels of an amplifier.
type Split uint8

// The ways to share a group out.
const (
	Whole    Split = iota // one channel drives the whole group
	ByDriver              // each channel drives as many drivers, in member order
	ByCoil                // each channel drives as many coils of every driver
)

// String is the split in the words of the study file.
func (s Split) String() string { return [...]string{"whole", "driver", "coil"}[s] }

// ChannelCount is the number of channels that drive the group, 1 or more.
func (g *Group) ChannelCount() int { return max(g.Channels, 1) }

// Shares is the driven coils by the channel that drives them, each share in the
// order of Coils.
func (g *Group) Shares() [][]CoilAt {
	n := g.ChannelCount()
	out := make([][]CoilAt, n)
	for _, c := range g.Coils() {
		k := 0
		if n > 1 {
			switch g.Split {
			case ByDriver:
				k = (c.Position*g.Depth() + c.Member) * n / g.Count()
			case ByCoil:
				k = c.Coil * n / g.Positions[c.Position][c.Member].Driver.Driven()
			}
		}
		out[k] = append(out[k], c)
	}
	return out
}

// CoilsAChannel is the number of driven coils that wiring counts over: those of
// the largest share.
func (g *Group) CoilsAChannel() int {
	most := 0
	for _, s := range g.Shares() {
		most = max(most, len(s))
	}
	return most
}

// ChannelStrings is the strings that a channel drives, in the order of Strings,
// which lists them channel by channel.
func (g *Group) ChannelStrings(channel int) [][]CoilAt {
	share := g.Shares()[channel]
	out := make([][]CoilAt, 0, len(share)/g.InSeries)
	for i := 0; i < len(share); i += g.InSeries {
		out = append(out, share[i:i+g.InSeries:i+g.InSeries])
	}
	return out
}

// ChannelRe is the resistance of what a channel drives, Ω for direct current.
func (g *Group) ChannelRe(channel int) float64 { return g.resistance(g.ChannelStrings(channel)) }

// resistance is that of strings in parallel, Ω.
func (g *Group) resistance(strings [][]CoilAt) float64 {
	var siemens float64
	for _, s := range strings {
		r := 0.0
		for _, c := range s {
			r += g.Positions[c.Position][c.Member].Driver.Re
		}
		siemens += 1 / r
	}
	return 1 / siemens
}

// share sets how the group is shared out over the outputs that there are.
func (g *Group) share(split Split, outputs int) error {
	if split == Whole {
		return nil
	}
	fail := func(mend, format string, args ...any) error {
		return &GroupError{"split", fmt.Sprintf(format, args...), mend}
	}
	if outputs == 0 {
		return fail("add amplifier: {rated: {4 ohm: 260 W}, channels: 2}, or leave split out", "a group is split over channels, and the study describes no amplifier")
	}
	if outputs < 2 {
		return fail("write channels: 2 in amplifier (4 if it is bridged), or leave split out", "a group is split over channels, and the amplifier has one output for it")
	}
	n, parts, one := g.Count(), "drivers", "the group has one driver"
	if split == ByCoil {
		parts, one = "driven coils of each driver", "each driver has one driven coil"
		n = g.Positions[0][0].Driver.Driven()
		for _, stack := range g.Positions {
			for _, m := range stack {
				if m.Driver.Driven() != n {
					return fail("write split: driver, or leave it out", "the drivers of the group differ in the number of their driven coils")
				}
			}
		}
	}
	if n == 1 {
		return fail("leave split out", "%s, which channels cannot share", one)
	}
	channels := min(outputs, n)
	if n%channels != 0 {
		return fail("take a number of them that "+fmt.Sprint(channels)+" divides, or leave split out", "%d %s do not divide over %d channels", n, parts, channels)
	}
	g.Split, g.Channels = split, channels
	return nil
}

// strung settles the wiring, which is counted over the coils of each channel.
func (g *Group) strung(w Wiring) error {
	for _, s := range g.Shares() {
		n, err := w.inSeries(len(s))
		if err != nil {
			return err
		}
		if g.InSeries == 0 {
			g.InSeries = n
		}
		if n != g.InSeries {
			return &GroupError{"wiring", "the channels drive different numbers of coils, which no one wiring in series suits", "write wiring: parallel, or leave split out"}
		}
	}
	return nil
}
