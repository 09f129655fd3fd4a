package study

import (
	"fmt"
	"math"

	"basswright/internal/note"
	"basswright/internal/phys"
)

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
