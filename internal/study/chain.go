package study

import (
	"fmt"
	"math/cmplx"

	"basswright/internal/enclosure"
	"basswright/internal/phys"
)

// Cable is the copper cable from each channel to what it drives.
type Cable struct {
	Length float64 // m, one way
	Area   float64 // m², of one conductor
	Gauge  int     // its American Wire Gauge, where it was given by that; else −1
}

// Resistance is that of both conductors at 20 °C, Ω.
func (c *Cable) Resistance() float64 { return phys.CableResistance(c.Length, c.Area) }

// words is the cable in a few words: "6 m of 2.5 mm² copper".
func (c *Cable) words(u phys.System) string {
	size := squareMillimetres(c.Area)
	if c.Gauge >= 0 {
		size = fmt.Sprintf("AWG %d (%s)", c.Gauge, size)
	}
	return phys.Brief(c.Length, phys.Distance, u) + " of " + size + " copper"
}

func squareMillimetres(area float64) string { return brief0(phys.Digits(area*1e6, 3)) + "\u2009mm²" }

// Part is a passive part with the kind that the study calls it.
type Part struct {
	Kind string // "inductor"
	enclosure.Part
}

func (st *Study) parts() []enclosure.Part {
	var out []enclosure.Part
	for _, p := range st.Parts {
		out = append(out, p.Part)
	}
	return out
}

// words is what a part is: "inductor of 2 mH and 0.3 Ω in series".
func (p *Part) words(u phys.System) string {
	var values []string
	for _, v := range []struct {
		value float64
		kind  phys.Kind
	}{{p.L, phys.Inductance}, {p.C, phys.Capacitance}, {p.R, phys.Resistance}} {
		if v.value != 0 {
			values = append(values, phys.Brief(v.value, v.kind, u))
		}
	}
	way := "in series with the group"
	if p.Across {
		way = "across the group"
	}
	kind := map[string]string{"series_resonant": "series resonant circuit", "parallel_resonant": "parallel resonant circuit"}[p.Kind]
	if kind == "" {
		kind = p.Kind
	}
	return fmt.Sprintf("%s of %s, %s", kind, list(values, "and"), way)
}

// SourceResistance is what lies in series with each channel, Ω: as stated, or the
// output's and the cable's.
func (st *Study) SourceResistance() float64 {
	r := st.Source
	if st.Amplifier != nil {
		r += st.Amplifier.OutputResistance()
	}
	if st.Cable != nil {
		r += st.Cable.Resistance()
	}
	return r
}

// ChainFigures is what the amplifier meets where a candidate is split over its
// channels, or a cable or parts are described.
type ChainFigures struct {
	Channels []ChannelFigures // of a split group; else none
	FullAmps Peak             // A rms, the largest of a channel at full amplifier power; none without an amplifier
	Parts    []Peak           // W, the most that each of the study's parts turns into heat on the drive, on the channel where that is most
}

// ChannelFigures is what one channel meets from the limits' lower edge up.
type ChannelFigures struct {
	Drivers []string   // that it drives
	LowestZ Peak       // Ω
	Volts   phys.Maybe // V rms, the largest on the drive
	Amps    Peak       // A rms, the largest on the drive
	Watts   Peak       // W, the most that it gives on the drive
}

// chain reads them, nil where there is nothing to tell.
func (m *meter) chain() *ChainFigures {
	split := len(m.sys.Channels) > 1
	if !split && m.st.Cable == nil && len(m.st.Parts) == 0 {
		return nil
	}
	out := &ChainFigures{FullAmps: Peak{phys.None(), phys.None()}}
	var list []reading
	if a := m.st.Amplifier; a != nil {
		list = append(list, reading{of: m.on(func(float64) float64 {
			i := m.sys.LargestCurrent(m.sol)
			return i * a.Voltage(1/i)
		}), to: &out.FullAmps})
	}
	if split {
		out.Channels = make([]ChannelFigures, len(m.sys.Channels))
	}
	volts := make([]Peak, len(out.Channels))
	for k := range out.Channels {
		list = append(list, m.channelReadings(k, &out.Channels[k], &volts[k])...)
	}
	out.Parts = make([]Peak, len(m.st.Parts))
	for k := range out.Parts {
		list = append(list, reading{of: m.on(func(e float64) float64 {
			most := 0.0 // each channel has a part of its own
			for i := k; i < len(m.sys.Parted); i += len(out.Parts) {
				most = max(most, m.sys.PartPower(m.sol, &m.sys.Parted[i]))
			}
			return e * e * most
		}), to: &out.Parts[k]})
	}
	largestEach(m.gridwise(), m.st.LimitsFrom(), m.st.limitsTo(), list)
	for k := range out.Channels {
		out.Channels[k].LowestZ.Value *= -1
		out.Channels[k].Volts = volts[k].Value
	}
	return out
}

// on is a reading on the drive, of which it is given the volts.
func (m *meter) on(read func(volts float64) float64) func(f float64) float64 {
	return func(f float64) float64 {
		e, ok := m.solve(f)
		if !ok {
			return e
		}
		return read(e)
	}
}

// channelReadings names the drivers of a channel and lists what is read of it;
// LowestZ comes out negative.
func (m *meter) channelReadings(k int, c *ChannelFigures, volts *Peak) []reading {
	for _, d := range m.sys.Channels[k].Drivers {
		c.Drivers = append(c.Drivers, m.sys.Cones[d].Name)
	}
	return []reading{
		{of: m.on(func(float64) float64 { return -cmplx.Abs(m.sys.ChannelImpedance(m.sol, k)) }), to: &c.LowestZ},
		{of: m.on(func(e float64) float64 { return e }), to: volts},
		{of: m.on(func(e float64) float64 { return e * cmplx.Abs(m.sys.ChannelCurrent(m.sol, k)) }), to: &c.Amps},
		{of: m.on(func(e float64) float64 { return e * e * m.sys.ChannelDrawn(m.sol, k) }), to: &c.Watts},
	}
}
