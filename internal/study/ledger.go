package study

import (
	"fmt"
	"math"

	"basswright/internal/enclosure"
	"basswright/internal/note"
	"basswright/internal/phys"
)

// groupLedger accounts for the group against the single driver.
func groupLedger(o *Outcome, st *Study) []note.Step {
	return o.Candidate.Group.LedgerIn(st.Air, st.Units)
}

// boxLedger accounts for what the box makes of the group, and for what lies
// between it and the amplifier.
func boxLedger(o *Outcome, st *Study) []note.Step {
	l := boxAccount{st: st, o: o}
	if o.Figures.NetVolume.OK() {
		switch {
		case l.o.System.Facts.Line != nil:
			l.line()
		case l.o.System.Spec.Net != nil:
			l.network()
		default:
			l.volumes()
		}
		l.fills()
		l.resonances()
		l.air()
		l.stack()
		l.protection()
	}
	l.chain()
	return l.steps
}

type boxAccount struct {
	st    *Study
	o     *Outcome
	steps []note.Step
}

func (l *boxAccount) show(v float64, k phys.Kind) string { return phys.Show(v, k, l.st.Units) }

func (l *boxAccount) add(s note.Step) {
	s.Single, s.Factor = phys.None(), phys.None()
	l.steps = append(l.steps, s)
}

// volumes tells the net volume and what each driver has of it.
func (l *boxAccount) volumes() {
	g := l.o.System.Group
	m, n := float64(g.SideBySide()), float64(g.Depth())
	spec := l.o.System.Spec
	v := float64(l.o.Figures.NetVolume)
	why := "as given"
	switch c := l.o.Candidate.Enclosure; {
	case c.Rear.SystemQ > 0:
		why = fmt.Sprintf("the volume in which the total Q is %s", phys.Digits(c.Rear.SystemQ, 3))
	case c.Alignment.Family != "":
		why = "from the alignment " + c.Alignment.Family
	case spec.Kind.TwoChambers():
		why = fmt.Sprintf("rear %s + front %s", l.show(spec.Rear.Volume, phys.Volume), l.show(spec.Front.Volume, phys.Volume))
	}
	l.add(note.Step{Name: "Box, net", Symbol: "V", Kind: phys.Volume, Value: phys.Maybe(v), Why: why})
	if _, err := g.Composite(); err != nil || g.Count() == 1 {
		return // drivers that differ share neither the air nor the work alike
	}
	own := v * n / m
	l.add(note.Step{
		Name: "Each as if alone in", Kind: phys.Volume, Value: phys.Maybe(own),
		Why:     fmt.Sprintf("in this box each driver behaves as if it had %s of its own", l.show(own, phys.Volume)),
		Formula: "V · stack / side by side", Numbers: fmt.Sprintf("%s · %.0f / %.0f", l.show(v, phys.Volume), n, m),
		Source: "common practice, no source; rigid coupling",
	})
	like := v * m / n
	l.add(note.Step{
		Name: "Like one in this box", Kind: phys.Volume, Value: phys.Maybe(like),
		Why:     fmt.Sprintf("in %s this group would repeat what a single driver does in %s", l.show(like, phys.Volume), l.show(v, phys.Volume)),
		Formula: "V · side by side / stack", Numbers: fmt.Sprintf("%s · %.0f / %.0f", l.show(v, phys.Volume), m, n),
		Source: "common practice, no source; rigid coupling",
	})
}

// resonances tells what the box tunes to.
func (l *boxAccount) resonances() {
	f, g := &l.o.Figures, l.o.System.Group
	if c, err := g.Composite(); err == nil && f.Fc.OK() {
		vas, v := c.Vas(l.st.Air), l.apparent(l.o.System.Spec.Rear.Volume)
		root := math.Sqrt(1 + vas/v)
		l.add(note.Step{
			Name: "Resonance", Symbol: "fc", Kind: phys.Frequency, Value: f.Fc,
			Why: "the air behind the cone adds its stiffness", Formula: "fs √(1 + Vas/V)",
			Numbers: fmt.Sprintf("%s · √(1 + %s/%s) = %s · %s", phys.Digits(c.Fs(), 3), phys.Digits(vas*1e3, 3), phys.Digits(v*1e3, 3), phys.Digits(c.Fs(), 3), phys.Digits(root, 3)),
			Source:  "Small 1972, closed-box systems part I; the value is read from the network",
		})
		l.add(note.Step{
			Name: "Total Q", Symbol: "Qtc", Kind: phys.Number, Value: f.Qtc,
			Why: "the same losses at a higher resonance, and those of the box and the source", Formula: "Qts √(1 + Vas/V) without losses of box and source",
			Numbers: fmt.Sprintf("%s · %s = %s", phys.Digits(c.Qts(), 3), phys.Digits(root, 3), phys.Digits(c.Qts()*root, 3)),
			Source:  "Small 1972, closed-box systems part I; the value is read from the network",
		})
	}
	for i := range l.o.System.Facts.Ports {
		p := &l.o.System.Facts.Ports[i]
		if p.Tuning > 0 {
			l.add(l.portTuning(p))
		}
		if p.PipeMode > 0 {
			l.add(note.Step{Name: "Port’s own pipe mode", Kind: phys.Frequency, Value: phys.Maybe(p.PipeMode), Why: "half a wave fits into the port: above about a third of this the port is no lump of air", Formula: "c/(2(L + ends))", Source: "open pipe, both ends"})
		}
	}
	if l.o.System.Facts.RadiatorFb > 0 {
		l.add(l.radiatorTuning())
	}
}

// portTuning tells what a port tunes its chamber to.
func (l *boxAccount) portTuning(p *enclosure.PortFacts) note.Step {
	why, name := "as asked", "Tuning of the "+p.Chamber+" chamber"
	if f := l.o.Candidate.Enclosure.Alignment.Family; f != "" {
		why = "from the alignment " + f
	}
	if l.o.System.Spec.Kind == enclosure.Vented {
		name = "Tuning of the box"
	}
	if l.o.System.Spec.Net != nil {
		name = "Tuning of " + p.Chamber + " on " + p.Name
	}
	if p.Sized {
		ends := "its ends"
		if p.Port.Shape == enclosure.Slot {
			ends = "its ends, a rectangle’s by Ingard 1953"
		}
		why = fmt.Sprintf("the air of the port (%s long with %s) bounces on the air of the chamber", l.show(p.Effective, phys.Length), ends)
	}
	chamber, air := l.o.System.Spec.PortChamber(p), l.o.System.Setting.Air
	return note.Step{
		Name: name, Symbol: "fb", Kind: phys.Frequency, Value: phys.Maybe(p.Tuning), Why: why,
		Formula: "1/(2π √(M · C)), M = ρ(L + ends)/S, C = V/(ρc²)",
		Numbers: fmt.Sprintf("1/(2π √(%s\u2009kg/m⁴ · %s / (%s · (%s)²)))", phys.Digits(p.Mass, 3), l.show(chamber.Volume*p.Gain, phys.Volume), l.show(air.Rho, phys.Density), l.show(air.C, phys.Speed)),
		Source:  portSource(p),
	}
}

// portSource is where a port's mass is from.
func portSource(p *enclosure.PortFacts) string {
	if !p.Sized {
		return "Helmholtz 1860; the mass is an ideal one, of a port without a size"
	}
	return "Helmholtz 1860; " + p.Port.EndSources()
}

// radiatorTuning tells what a passive radiator tunes the box to.
func (l *boxAccount) radiatorTuning() note.Step {
	r, air := &l.o.System.Spec.Radiator, l.o.System.Setting.Air
	return note.Step{
		Name: "Tuning of the radiator", Symbol: "fb", Kind: phys.Frequency, Value: phys.Maybe(l.o.System.Facts.RadiatorFb),
		Why:     fmt.Sprintf("its mass, with %s added, on its suspension and the air of the box", l.show(r.AddedMass, phys.Mass)),
		Formula: "√((1/Cmp + n Sp²/C)/m)/(2π)",
		Numbers: fmt.Sprintf("√((1/%s + %d · (%s)² · %s · (%s)² / %s)/(%s + %s and the air on it))/(2π)", l.show(r.Cms, phys.Compliance), r.Count, l.show(r.Sd, phys.Area),
			l.show(air.Rho, phys.Density), l.show(air.C, phys.Speed), l.show(l.apparent(l.o.System.Spec.Rear.Volume), phys.Volume), l.show(r.Mms, phys.Mass), l.show(r.AddedMass, phys.Mass)),
		Source: "Small 1974, passive-radiator systems part I",
	}
}

// stack tells what the air between the cones does, and what a stack does not
// give.
func (l *boxAccount) stack() {
	for _, s := range l.o.Coupling {
		n := l.o.System.Group.Depth()
		if s.Rigid {
			l.add(note.Step{Name: "Coupling", Kind: phys.Volume, Value: 0, Why: "no volume is given between the cones: they are taken as rigidly coupled"})
		} else {
			why := "air between the cones, which work against each other"
			if s.Error.Value.OK() {
				why = fmt.Sprintf("air between the cones: the level parts from rigid coupling by %s\u2009dB at most, at %s", phys.Fixed(math.Abs(float64(s.Error.Value)), 2), l.show(float64(s.Error.At), phys.Frequency))
			}
			l.add(note.Step{Name: "Coupling", Kind: phys.Volume, Value: phys.Maybe(l.o.Figures.CouplingVolume), Why: why, Source: "network against the same network with rigid coupling"})
			for i, f := range s.Modes {
				name := "Cones against each other"
				if i > 0 {
					name = "and again"
				}
				l.add(note.Step{Name: name, Kind: phys.Frequency, Value: phys.Maybe(f), Why: "the cones resonate on the air between them, one against the other"})
			}
			air := "give the coupling’s length to count the mass of its air"
			if s.AirMass.OK() {
				air = "the air between the cones counts as this much moving mass at each position: ρV (Sd · l / V)²"
			}
			l.add(note.Step{Name: "Air that moves along", Kind: phys.Mass, Value: s.AirMass, Why: air})
		}
		if _, err := l.o.System.Group.Composite(); err != nil {
			continue
		}
		l.add(note.Step{
			Name: "What a stack does not give", Value: phys.None(),
			Why:    fmt.Sprintf("in 1/%d of the box it takes the same watts in each coil and %s the watts in all for the same level, so no more level at the excursion limit and none at the thermal limit", n, multiple(n)),
			Source: "common practice, no source",
		})
	}
}

func multiple(n int) string {
	if n == 2 {
		return "twice"
	}
	return Count(n) + " times"
}
