package study

import (
	"fmt"

	"basswright/internal/enclosure"
	"basswright/internal/note"
	"basswright/internal/phys"
)

const (
	small1973 = "Small 1973, vented-box systems, appendix 1"
	laidOut   = "definition; how a box is laid out is common practice, no source"
)

// NetVolume is the air of the chambers: given, or found for what was asked.
func (g Origin) NetVolume() note.Step {
	spec, asked, v := &g.o.System.Spec, &g.o.Candidate.Enclosure, g.o.Figures.NetVolume
	net := func(formula, numbers, why, source string) note.Step {
		return origin("Net volume", phys.Volume, v, formula, numbers, why, source)
	}
	group, err := g.o.System.Group.Composite()
	switch {
	case asked.Rear.SystemQ > 0:
		return net("V where Qtc(V) is as asked", fmt.Sprintf("V where Qtc is %s; fc is then %s", phys.Digits(asked.Rear.SystemQ, 3), g.told(g.o.Figures.Fc, phys.Frequency)),
			"the total Q was asked for and the volume follows: less air makes it higher", "Small 1972, closed-box systems part I; looked for on the network")
	case asked.Alignment.Family != "" && err == nil:
		vas := group.Vas(g.st.Air)
		return net("Vas / α", fmt.Sprintf("%s / %s", g.show(vas, phys.Volume), phys.Digits(vas/float64(v), 3)),
			"the alignment "+asked.Alignment.Family+" of a group with this total Q and these losses", small1973)
	case spec.Kind.Distributed():
		return net("duct + chambers", g.show(g.o.System.Facts.Line.Volume, phys.Volume)+" + "+g.show(float64(v)-g.o.System.Facts.Line.Volume, phys.Volume), "the air of the duct counts as that of a box", byDefinition)
	case spec.Net != nil:
		return net("chambers + ducts", g.show(float64(v)-netDucts(g.o), phys.Volume)+" + "+g.show(netDucts(g.o), phys.Volume), "the air of all parts of the network", byDefinition)
	case spec.Kind.TwoChambers():
		return net("rear + front", g.show(spec.Rear.Volume, phys.Volume)+" + "+g.show(spec.Front.Volume, phys.Volume), "a bandpass box has two chambers, each as given", byDefinition)
	}
	return net("as given", g.told(v, phys.Volume)+" of air, drivers and ports not counted", "it is an input of the study", "the study: candidates."+g.o.Candidate.Name+".enclosure.volume")
}

// OccupiedVolume is what the inside has to hold beside boards.
func (g Origin) OccupiedVolume() note.Step {
	f := &g.o.Figures
	litres := func(v float64) string { return g.show(v, phys.Volume) }
	return origin("Occupied volume", phys.Volume, f.OccupiedVolume, "net + coupling + drivers + ports",
		fmt.Sprintf("%s + %s + %s + %s", g.told(f.NetVolume, phys.Volume), litres(f.CouplingVolume), litres(f.BodyVolume), litres(f.PortVolume)),
		"the air between cones, the bodies of drivers and the air in ports take room that the net volume does not count", "definition; bodies by the sheet’s displacement, else estimated from the frame")
}

// VolumePerDriver shares the net volume out.
func (g Origin) VolumePerDriver() note.Step {
	f := &g.o.Figures
	return origin("Volume per driver", phys.Volume, f.VolumePerDriver, "net / drivers", fmt.Sprintf("%s / %d", g.told(f.NetVolume, phys.Volume), f.Drivers),
		"what the box costs in air for each driver bought", byDefinition)
}

// Tuning is that of the box, the radiator or the front chamber.
func (g Origin) Tuning() note.Step {
	if g.o.System.Facts.Line != nil && g.o.Figures.Tuning.OK() {
		return g.alone(g.quarter())
	}
	if g.o.System.Facts.RadiatorFb > 0 {
		return g.alone(g.radiatorTuning())
	}
	if g.o.System.Spec.Net != nil {
		one := netPort(g.o.System)
		return g.tuning(func(p *enclosure.PortFacts) bool { return p == one })
	}
	return g.tuning(func(p *enclosure.PortFacts) bool {
		return p.Chamber != "rear" || g.o.System.Spec.Kind == enclosure.Vented
	})
}

// RearTuning is that of a bandpass box's rear chamber.
func (g Origin) RearTuning() note.Step {
	return g.tuning(func(p *enclosure.PortFacts) bool {
		return g.o.System.Spec.Net == nil && p.Chamber == "rear" && g.o.System.Spec.Kind != enclosure.Vented
	})
}

func (g *Origin) tuning(of func(p *enclosure.PortFacts) bool) note.Step {
	for i := range g.o.System.Facts.Ports {
		if p := &g.o.System.Facts.Ports[i]; of(p) {
			return g.alone(g.portTuning(p))
		}
	}
	return note.Step{}
}

// alone is a step of the ledger without a single driver beside it.
func (g *Origin) alone(s note.Step) note.Step {
	s.Single, s.Factor = phys.None(), phys.None()
	return s
}

// Fc is the resonance of the group on closed air.
func (g Origin) Fc() note.Step { return g.boxStep("fc") }

// Qtc is its total Q there.
func (g Origin) Qtc() note.Step { return g.boxStep("Qtc") }

func (g *Origin) boxStep(symbol string) note.Step {
	for _, s := range boxLedger(g.o, g.st) {
		if s.Symbol == symbol {
			return s
		}
	}
	return note.Step{}
}

// Outside is the box's size.
func (g Origin) Outside() note.Step {
	b, u := &g.o.Body, g.st.Units
	inside := *b
	inside.Width, inside.Height, inside.Depth = b.Width-2*b.Panel, b.Height-2*b.Panel, b.Depth-2*b.Panel
	numbers := fmt.Sprintf("%s (width × depth × height) and boards of %s; inside are %s of air, drivers and ports",
		outside(inside, u), phys.Brief(b.Panel, phys.Length, u), g.told(g.o.Figures.OccupiedVolume, phys.Volume))
	if b.Boards > 0 {
		numbers += ", " + g.show(b.Boards, phys.Volume) + " of boards"
	}
	if b.Spare > 1e-6 {
		numbers += ", " + g.show(b.Spare, phys.Volume) + " to spare"
	}
	why := "in its space a box takes the full depth and height and as much width as it needs"
	if b.Guessed {
		why = "no space is given: the proportions are our own"
	}
	return origin("Outside", phys.Length, phys.None(), "inside + 2 · board, each way", numbers, why, laidOut)
}
