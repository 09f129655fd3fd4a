package study

import (
	"fmt"
	"math"
	"math/cmplx"

	"basswright/internal/enclosure"
	"basswright/internal/note"
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
		list = append(list, reading{func(f float64) float64 {
			if e, ok := m.solve(f); !ok {
				return e
			}
			i := m.sys.LargestCurrent(m.sol)
			return i * a.Voltage(1/i)
		}, &out.FullAmps})
	}
	if split {
		out.Channels = make([]ChannelFigures, len(m.sys.Channels))
	}
	volts := make([]Peak, len(out.Channels))
	for k := range out.Channels {
		c := &out.Channels[k]
		for _, d := range m.sys.Channels[k].Drivers {
			c.Drivers = append(c.Drivers, m.sys.Cones[d].Name)
		}
		on := func(read func(e float64) float64) func(f float64) float64 {
			return func(f float64) float64 {
				e, ok := m.solve(f)
				if !ok {
					return e
				}
				return read(e)
			}
		}
		list = append(list,
			reading{on(func(float64) float64 { return -cmplx.Abs(m.sys.ChannelImpedance(m.sol, k)) }), &c.LowestZ},
			reading{on(func(e float64) float64 { return e }), &volts[k]},
			reading{on(func(e float64) float64 { return e * cmplx.Abs(m.sys.ChannelCurrent(m.sol, k)) }), &c.Amps},
			reading{on(func(e float64) float64 { return e * e * m.sys.ChannelDrawn(m.sol, k) }), &c.Watts})
	}
	out.Parts = make([]Peak, len(m.st.Parts))
	for k := range out.Parts {
		list = append(list, reading{func(f float64) float64 {
			e, ok := m.solve(f)
			if !ok {
				return e
			}
			most := 0.0 // each channel has a part of its own
			for i := k; i < len(m.sys.Parted); i += len(out.Parts) {
				most = max(most, m.sys.PartPower(m.sol, &m.sys.Parted[i]))
			}
			return e * e * most
		}, &out.Parts[k]})
	}
	largestEach(m.st.LimitsFrom(), m.st.limitsTo(), list)
	for k := range out.Channels {
		out.Channels[k].LowestZ.Value *= -1
		out.Channels[k].Volts = volts[k].Value
	}
	return out
}

// chain accounts for what lies between the amplifier and the group.
func (l *boxAccount) chain() {
	st := l.st
	a := st.Amplifier
	if a != nil && a.Bridged {
		l.add(note.Step{Name: "Lowest load, bridged", Kind: phys.Resistance, Value: phys.Maybe(a.LowestLoad()),
			Why: "two channels push and pull at one load: each sees half of it, and their voltages add", Formula: "2 · the lowest load of a channel",
			Numbers: "2 · " + l.show(a.LowestLoad()/2, phys.Resistance), Source: "two sources in series"})
	}
	if c := st.Cable; c != nil {
		source := "IEC 60028, copper at 20 °C"
		if c.Gauge >= 0 {
			source += "; ASTM B258, wire gauge"
		}
		l.add(note.Step{Name: "Cable", Kind: phys.Resistance, Value: phys.Maybe(c.Resistance()), Why: c.words(st.Units) + ", there and back",
			Formula: "ρ · 2L / A", Numbers: fmt.Sprintf("1.7241e-8\u2009Ω\u2009m · 2 · %s / %s", phys.Brief(c.Length, phys.Distance, phys.Metric), squareMillimetres(c.Area)),
			Source: source})
	}
	if a != nil && a.Output > 0 {
		why := "of the amplifier, as given"
		if a.Bridged {
			why = "of both channels, which work on one load"
		}
		l.add(note.Step{Name: "Output resistance", Kind: phys.Resistance, Value: phys.Maybe(a.OutputResistance()), Why: why})
	}
	for i := range st.Parts {
		p := &st.Parts[i]
		step := note.Step{Name: "Part " + p.Name, Kind: phys.Resistance, Value: phys.Maybe(p.R), Why: p.words(st.Units)}
		if w := l.o.Chain.Parts[i]; p.R > 0 {
			step.Why += fmt.Sprintf("; its resistance takes at most %s on the drive, at %s", l.show(float64(w.Value), phys.Power), l.show(float64(w.At), phys.Frequency))
		}
		switch {
		case p.L > 0 && p.C > 0:
			step.Kind, step.Value = phys.Frequency, phys.Maybe(resonance(p.L, p.C))
			step.Formula, step.Source = "1/(2π √(L · C))", "resonance of the two"
		case p.L > 0:
			step.Kind, step.Value = phys.Inductance, phys.Maybe(p.L)
		case p.C > 0:
			step.Kind, step.Value = phys.Capacitance, phys.Maybe(p.C)
		}
		l.add(step)
	}
	if l.o.Chain == nil {
		return
	}
	for k, c := range l.o.Chain.Channels {
		l.add(note.Step{Name: fmt.Sprintf("Channel %d, lowest |Z|", k+1), Kind: phys.Resistance, Value: c.LowestZ.Value,
			Why: fmt.Sprintf("at %s; it drives %s, on the drive with at most %s, %s and %s", l.show(float64(c.LowestZ.At), phys.Frequency), list(c.Drivers, "and"),
				l.show(float64(c.Volts), phys.Voltage), l.show(float64(c.Amps.Value), phys.Current), l.show(float64(c.Watts.Value), phys.Power)),
			Source: "the network, each channel behind a source of its own"})
	}
}

// cautiousDensity is the current density in a copper cable above which its heat
// and its fuse are worth a look, A/m² (4 A/mm², common practice, from memory):
// thin cables that lie open bear more, thick ones in bundles less.
const cautiousDensity = 4e6

// cableCaution warns of a cable that carries much at full amplifier power.
func (r *Result) cableCaution(add func(id, text string)) {
	c := r.Study.Cable
	if c == nil {
		return
	}
	most := 0.0
	for _, o := range r.Candidates {
		if o.Chain != nil && float64(o.Chain.FullAmps.Value) > most {
			most = float64(o.Chain.FullAmps.Value)
		}
	}
	if most <= cautiousDensity*c.Area {
		return
	}
	u := r.Study.Units
	add("cable", fmt.Sprintf("at full power up to %s run through %s, more than 4\u2009A/mm²: a cable can grow hot in a bundle or under carpet; choose cable and fuse by the rules of your place",
		phys.Show(most, phys.Current, u), c.words(u)))
}

// loadWords names what a candidate loads: "the bridged amplifier", "channel 2 of the amplifier".
func (m *meter) loadWords(at float64) string {
	name := "the amplifier"
	a := m.st.Amplifier
	if a != nil && a.Bridged {
		name = "the bridged amplifier"
	}
	if len(m.sys.Channels) == 1 {
		return name
	}
	if _, ok := m.solve(at); !ok {
		return name
	}
	k := fmt.Sprint(m.sys.HardestChannel(m.sol) + 1)
	if a != nil && a.Bridged {
		return "bridged pair " + k + " of the amplifier"
	}
	return "channel " + k + " of the amplifier"
}

// halved says what each side of a bridged amplifier sees of a load.
func (c *checker) halved(z float64) string {
	if !c.st.Amplifier.Bridged {
		return ""
	}
	return ", so that each side works on " + c.show(z/2, phys.Resistance)
}

// loaded names what a candidate loads in the customer's summary.
func (st *Study) loaded(o *Outcome) string {
	name := "an amplifier" // the study names none
	switch a := st.Amplifier; {
	case a != nil && a.Bridged:
		name = "the bridged amplifier"
	case a != nil:
		name = "the amplifier"
	}
	if n := len(o.System.Channels); n > 1 {
		return fmt.Sprintf("each of %s outputs of %s", Count(n), name)
	}
	return name
}

// resonance is that of an inductance with a capacitance, Hz.
func resonance(l, c float64) float64 { return 1 / (2 * math.Pi * math.Sqrt(l*c)) }
