package study

import (
	"fmt"
	"strings"

	"basswright/internal/enclosure"
	"basswright/internal/note"
	"basswright/internal/phys"
)

// netPort is the port of a network whose tuning is told as the candidate’s; nil: none.
func netPort(s *enclosure.System) *enclosure.PortFacts {
	voice := s.Spec.Net.Voice()
	for i := range s.Facts.Ports {
		if p := &s.Facts.Ports[i]; voice != nil && p.Name == voice.Name {
			return p
		}
	}
	return nil
}

// netDucts is the air in a network’s ducts, m³.
func netDucts(o *Outcome) float64 {
	v := 0.0
	for _, d := range o.System.Facts.Ducts {
		v += d.Volume
	}
	return v
}

// network tells the parts of a network, one by one.
func (l *boxAccount) network() {
	sys := l.o.System
	l.add(note.Step{Name: "Air, net", Symbol: "V", Kind: phys.Volume, Value: phys.Maybe(float64(l.o.Figures.NetVolume)),
		Why: "of all its chambers and ducts; the front of the cones looks into " + sys.Spec.Net.Front + ", their rear into " + sys.Spec.Net.Rear})
	ducts := 0
	for i := range sys.Spec.Net.Parts {
		p := &sys.Spec.Net.Parts[i]
		step := note.Step{Name: strings.ToUpper(p.Name[:1]) + p.Name[1:], Why: NetEnds(p)}
		switch p.Kind {
		case enclosure.NetChamber:
			step.Symbol, step.Kind, step.Value = "V", phys.Volume, phys.Maybe(p.Chamber.Volume)
		case enclosure.NetPort:
			f := portOfNet(sys, p.Name)
			step.Symbol, step.Kind, step.Value = "L", phys.Length, phys.None()
			if f.Sized {
				step.Value = phys.Maybe(f.Port.Length)
				step.Why += fmt.Sprintf("; %s in area, as long as %s with its ends", l.show(f.Area, phys.Area), l.show(f.Effective, phys.Length))
				step.Formula, step.Source = "M = ρ(L + ends)/S", f.Port.EndSources()
				step.Numbers = fmt.Sprintf("%s\u2009kg/m⁴", phys.Digits(f.Mass, 3))
			} else {
				step.Why += fmt.Sprintf("; an ideal mass of %s\u2009kg/m⁴", phys.Digits(f.Mass, 3))
			}
		case enclosure.NetDuct:
			d := sys.Facts.Ducts[ducts]
			ducts++
			step.Symbol, step.Kind, step.Value = "L", phys.Distance, phys.Maybe(d.Length)
			step.Why += fmt.Sprintf("; from %s to %s, and it holds %s", l.show(d.Start, phys.Area), l.show(d.Finish, phys.Area), l.show(d.Volume, phys.Volume))
			for _, s := range p.Run.Taken {
				step.Why += fmt.Sprintf("; %s stand in it from %s to %s", l.show(s.Volume, phys.Volume), l.show(s.From, phys.Distance), l.show(s.To, phys.Distance))
			}
			step.Formula, step.Numbers = "a quarter of a wave: c/(4 L)", l.show(d.Quarter, phys.Frequency)+" without ends and fill"
			step.Source = "one-dimensional wave theory"
		case enclosure.NetDiaphragm:
			r := &p.Radiator
			step.Symbol, step.Kind, step.Value = "fs", phys.Frequency, phys.Maybe(r.Fs)
			step.Why += fmt.Sprintf("; %s in area, %s and %s added", l.show(r.Sd, phys.Area), l.show(r.Mms, phys.Mass), l.show(r.AddedMass, phys.Mass))
			step.Formula, step.Numbers = "1/(2π √(Cms · Mms)), without added mass", fmt.Sprintf("1/(2π √(%s · %s))", l.show(r.Cms, phys.Compliance), l.show(r.Mms, phys.Mass))
		case enclosure.NetOpening:
			step.Symbol, step.Kind, step.Value = "S", phys.Area, phys.Maybe(l.openingArea(p.Name))
			step.Why += "; " + enclosure.MouthWords(p.Mouth)
			step.Source = mouthSource(p.Mouth)
		case enclosure.NetLeak, enclosure.NetAbsorber:
			step.Symbol, step.Kind, step.Value = "R", phys.AcousticResistance, phys.Maybe(p.Resist)
			if p.Chamber.Volume > 0 {
				step.Why += fmt.Sprintf(", with %s behind it", l.show(p.Chamber.Volume, phys.Volume))
			}
			if s := p.Sheet; s.Area > 0 {
				step.Formula = "σ · d/S"
				step.Numbers = fmt.Sprintf("%s · %s / %s", l.show(s.Resistivity, phys.FlowResistivity), l.show(s.Thickness, phys.Length), l.show(s.Area, phys.Area))
				step.Source = byDefinition
			}
		case enclosure.NetDrivers:
			step.Name = fmt.Sprintf("Drivers at position %d", p.Position)
			step.Kind, step.Value = phys.Number, phys.None()
		}
		l.add(step)
	}
}

// openingArea is that of an opening of a network, m².
func (l *boxAccount) openingArea(name string) float64 {
	for _, o := range l.o.System.Openings {
		if o.Name == name {
			return o.Area
		}
	}
	return 0
}

// portOfNet is what is known of a port of a network.
func portOfNet(s *enclosure.System, name string) enclosure.PortFacts {
	for _, p := range s.Facts.Ports {
		if p.Name == name {
			return p
		}
	}
	return enclosure.PortFacts{}
}

// NetEnds says where a part is: “from box to outside”.
func NetEnds(p *enclosure.NetPart) string {
	words := fmt.Sprintf("a %s at %s", p.Kind, p.A)
	switch {
	case p.Kind == enclosure.NetDrivers:
		return fmt.Sprintf("their cones look from %s into %s", p.A, p.B)
	case p.B != "":
		words = fmt.Sprintf("a %s from %s to %s", p.Kind, p.A, p.B)
	}
	if p.Kind == enclosure.NetOpening || p.Kind == enclosure.NetAbsorber {
		words = "an" + words[1:]
	}
	for _, t := range p.Taps {
		words += ", past " + t.Place
	}
	return words
}

// netFindings warn of a space that a network is not laid out in.
func (st *Study) netFindings(o *Outcome) []note.Finding {
	room, ok := st.roomFor()
	if !ok || o.System.Facts.NetVolume > room {
		return nil
	}
	show := func(v float64) string { return phys.Show(v, phys.Volume, st.Units) }
	where := "candidates." + o.Candidate.Name + ".enclosure"
	return []note.Finding{{ID: "network-not-laid-out", Severity: note.Warning, Where: where, At: o.Candidate.At,
		Text: fmt.Sprintf("%s: where the parts of a network stand is not said, so that its fit in the space is not judged: it holds %s of air, and the space %s inside its boards", where,
			show(o.System.Facts.NetVolume), show(room)),
		Mend: "lay the parts out by hand; drivers and the boards between the chambers take room too"}}
}
