package study

import (
	"fmt"
	"strings"

	"basswright/internal/airflow"
	"basswright/internal/enclosure"
	"basswright/internal/note"
	"basswright/internal/phys"
)

// fedWords is what the air in a port is told for.
func (a *PortAir) fedWords() string {
	if a.Full {
		return "all that the amplifier gives"
	}
	return "the drive"
}

// Words tells what the air in a port does, in one or two sentences without the
// full stop.
func (a *PortAir) Words(st *Study) string {
	show := func(x phys.Maybe, k phys.Kind) string { return phys.Show(float64(x), k, st.Units) }
	if !a.Fastest.Value.OK() {
		return "nothing moves in it"
	}
	var s []string
	if a.Share.Value.OK() {
		s = append(s, fmt.Sprintf("at %s: %s peak at %s, %s its limit of %s (%s)", a.fedWords(), show(a.Speed, phys.Speed), show(a.Share.At, phys.Frequency),
			shareWords(float64(a.Share.Value)), show(a.Limit, phys.Speed), a.Source))
	} else {
		s = append(s, fmt.Sprintf("at %s: %s peak at %s; of a port of this size no limit is known", a.fedWords(), show(a.Fastest.Value, phys.Speed), show(a.Fastest.At, phys.Frequency)))
	}
	switch {
	case !a.Onset.OK():
	case a.Onset > 0 && a.Onset >= a.Speed:
		s = append(s, "vortices leave its edges from "+show(a.Onset, phys.Speed)+" up, which it does not reach")
	case a.Onset > 0:
		s = append(s, "vortices leave its edges from "+show(a.Onset, phys.Speed)+" up")
	default:
		s = append(s, "sharp edges shed vortices at any speed")
	}
	if a.Jet {
		s = append(s, "the air leaves as a jet")
	}
	if l := lossWords(a, st); l != "" {
		s = append(s, l)
	}
	return strings.Join(s, "; ")
}

// Words tells a least port.
func (l *LeastPort) Words(st *Study) string {
	m := meter{st: st}
	if l.Area == 0 {
		return "for " + l.For + " there is none: " + l.Why
	}
	s := fmt.Sprintf("for %s: %s, %s in all", l.For, m.portWords(l.Port), phys.Show(l.Area, phys.Area, st.Units))
	if l.Enough {
		return s + "; the port is large enough"
	}
	s += fmt.Sprintf(", taking %s, its own resonance at %s; ", phys.Show(l.Taken, phys.Volume, st.Units), phys.Show(l.PipeMode, phys.Frequency, st.Units))
	switch {
	case l.Fits && l.Anywhere:
		return s + "no space is given that it would have to fit"
	case l.Fits:
		return s + "it fits"
	}
	return s + "it does not fit (" + l.Why + "); instead: " + strings.Join(l.Instead, "; or ")
}

// Size is its bore and length in words.
func (l *LeastPort) Size(st *Study) string { return (&meter{st: st}).portWords(l.Port) }

// aim is what a least port is for, as the end of its name.
func (l *LeastPort) aim() string {
	switch {
	case l.Asked:
		return "the level asked"
	case l.Full:
		return "full power"
	}
	return "the drive"
}

// air tells the ports' air in the ledger.
func (l *boxAccount) air() {
	for i := range l.o.Air {
		a := &l.o.Air[i]
		name := ""
		if len(l.o.Air) > 1 {
			name = " of " + a.Name
		}
		value := a.Speed
		if !value.OK() {
			value = a.Fastest.Value
		}
		source := "the network; airflow’s figures are published ones, some from memory, which docs/limits.md tells apart"
		l.add(note.Step{Name: "Port air" + name, Symbol: "û", Kind: phys.Speed, Value: value, Why: a.Words(l.st), Formula: "û = √2·|U|/S; loss: 8/(3π)·ρKÛ/(2S²) in series with the port’s mass", Source: source})
		for k := range a.Least {
			least := &a.Least[k]
			area := phys.None()
			if least.Area > 0 {
				area = phys.Maybe(least.Area)
			}
			l.add(note.Step{Name: "Least port" + name + " for " + least.aim(), Symbol: "S", Kind: phys.Area, Value: area, Why: least.Words(l.st), Formula: "Û/S within the limit; length by ρ·(L + ends)/S = M", Source: source})
		}
	}
	l.smallRule()
}

// smallRule is the trade's oldest rule for a vented box's port, beside what was
// worked out; it knows the driver and not the amplifier.
func (l *boxAccount) smallRule() {
	sys := l.o.System
	if sys.Spec.Kind != enclosure.Vented || len(l.o.Air) == 0 {
		return
	}
	moved := 0.0
	for i := range sys.Cones {
		c := &sys.Cones[i]
		if c.Xmax == 0 {
			return
		}
		if c.Depth == 0 {
			moved += c.Sd * c.Xmax
		}
	}
	fb := sys.Facts.Ports[0].Tuning
	l.add(note.Step{Name: "Least port by Small’s rule", Symbol: "S", Kind: phys.Area, Value: phys.Maybe(airflow.SmallArea(fb, moved)),
		Why:     fmt.Sprintf("the cones move %s at xmax, and the air shall stay within 4 to 5 %% of the speed of sound", l.show(moved, phys.Volume)),
		Formula: "0.8 fb Vd", Source: "Small 1973, vented-box systems part II, from memory"})
}

// airFindings show a limit of port air that the study does not state, and ports
// for which none is known.
func (st *Study) airFindings(o *Outcome) []note.Finding {
	var out []note.Finding
	where := "candidates." + o.Candidate.Name + ".enclosure."
	if fb := o.Figures.Tuning; fb.OK() && 1.05*float64(fb) < st.LimitsFrom() && o.System.Spec.Kind <= enclosure.PassiveRadiator {
		out = append(out, note.Finding{ID: "limits-above-tuning", Severity: note.Warning, Where: "brief.limits.from", At: o.Candidate.At,
			Text: fmt.Sprintf("limits hold from %s up, above the tuning of %s at %s: where its cone goes farthest and its air is fastest, nothing is judged", phys.Brief(st.LimitsFrom(), phys.Frequency, st.Units), o.Candidate.Name, phys.Show(float64(fb), phys.Frequency, st.Units)),
			Mend: "let limits.from be below the tuning, and set a high-pass in filters if nothing is played there"})
	}
	for _, p := range o.System.Facts.Ports {
		if !p.Sized && st.Amplifier != nil && st.Brief.Limits.PortSpeed == 0 { // with a stated limit it is a miss
			out = append(out, note.Finding{ID: "port-unsized", Severity: note.Warning, Where: where + p.Name, At: o.Candidate.At,
				Text: where + p.Name + " has no size, so that whether it bears the amplifier is not judged", Mend: "give it a diameter, a width and height, or an area"})
		}
	}
	for i := range o.Air {
		switch a := &o.Air[i]; {
		case a.Stated:
		case a.Limit.OK():
			out = append(out, note.Finding{ID: "default-port-speed", Severity: note.Default, Where: "brief.limits.port_speed", At: o.Candidate.At,
				Text: fmt.Sprintf("the air in %s is held to %s at %s, a cautious limit; %s", where+a.Name, phys.Show(float64(a.Limit), phys.Speed, st.Units), phys.Show(float64(a.Share.At), phys.Frequency, st.Units), a.Source),
				Mend: "write brief: {limits: {port_speed: …}} to replace it"})
		case a.Fastest.Value.OK():
			out = append(out, note.Finding{ID: "port-unlimited", Severity: note.Warning, Where: where + a.Name, At: o.Candidate.At,
				Text: where + a.Name + ": no limit of air speed is known for a port of this size, so that its air is not judged", Mend: "write brief: {limits: {port_speed: …}}"})
		}
	}
	return out
}
