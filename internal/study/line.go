package study

import (
	"fmt"
	"math"

	"basswright/internal/enclosure"
	"basswright/internal/note"
	"basswright/internal/phys"
)

// LineBody is a distributed enclosure as it is drawn: its duct straight, from its
// start to its mouth, and before the start what belongs to it. Lengths in m.
type LineBody struct {
	Lead         float64 // before the duct’s start, in all
	Long         float64 // from the start: of the duct, or of a stack that reaches beyond its mouth
	Rear, Throat Cell    // the closed chamber behind the cone, the air between cone and throat; no length: none
	Driver       float64 // from the start, where the cone stands; below zero: before it
	Front        float64 // tapped waveguide: where the front of the cone looks into the duct
	Outward      float64 // +1: the listener’s side of the group is towards the mouth; −1: away from it
	InWall       bool    // the cone stands in a side wall
}

// Cell is a chamber as it is drawn.
type Cell struct{ Long, Wide float64 }

// arrowRoom is what the drawing leaves before a cone, m.
const arrowRoom = 60e-3

// layLine lays a distributed enclosure out for its drawing: how it is folded is not
// known, so that it has no outside size.
func (b *Body) layLine(sys *enclosure.System) {
	b.layRows(math.Inf(1))
	b.Lanes = b.lanes(0)[:1]
	s, f := &sys.Spec, sys.Facts.Line
	flange, reach := 0.0, 0.0
	for _, r := range b.Rows {
		reach = math.Max(reach, r.Reach)
		for _, seat := range r.Seats {
			flange = math.Max(flange, seat.Frame.Flange)
		}
	}
	l := &LineBody{Outward: -1}
	wide := flange + clearance
	room := func(volume float64) Cell {
		side := math.Max(math.Cbrt(volume), wide)
		return Cell{volume / (side * side), side}
	}
	if v := s.Line.Throat.Volume; v > 0 && (s.Kind == enclosure.FrontLoadedHorn || s.Kind == enclosure.BackLoadedHorn) {
		l.Throat = room(v)
	}
	switch s.Kind {
	case enclosure.TransmissionLine:
		l.Driver = s.Line.Driver
	case enclosure.TappedWaveguide:
		l.Driver, l.Front = s.Line.Rear, s.Line.Front
	case enclosure.FrontLoadedHorn:
		l.Rear = room(s.Rear.Volume)
		l.Rear.Long = math.Max(l.Rear.Long, reach+breath)
		l.Outward = 1
		l.Driver = -l.Throat.Long
		l.Lead = l.Throat.Long + l.Rear.Long
	case enclosure.BackLoadedHorn:
		l.Driver = -l.Throat.Long
		l.Lead = l.Throat.Long + b.InFront + arrowRoom
	}
	l.InWall = l.Driver > 0 || s.Kind == enclosure.TappedWaveguide
	if s.Kind == enclosure.TransmissionLine && !l.InWall {
		l.Lead = b.InFront + arrowRoom
	}
	l.Long = f.Length
	if !l.InWall && l.Outward < 0 {
		l.Long = math.Max(l.Long, l.Driver+reach+breath)
	}
	b.Line = l
	b.Width = l.Lead + l.Long + 2*b.Panel
}

// line tells what the duct does.
func (l *boxAccount) line() {
	f, s := l.o.System.Facts.Line, &l.o.System.Spec
	why := fmt.Sprintf("straight, %s all along; it holds %s", l.show(f.Start, phys.Area), l.show(f.Volume, phys.Volume))
	if math.Abs(f.Mouth/f.Start-1) > 1e-9 || math.Abs(f.Mean/f.Start-1) > 1e-9 {
		why = fmt.Sprintf("from %s to %s at the mouth; it holds %s", l.show(f.Start, phys.Area), l.show(f.Mouth, phys.Area), l.show(f.Volume, phys.Volume))
	}
	l.add(note.Step{Name: "Duct", Symbol: "L", Kind: phys.Distance, Value: phys.Maybe(f.Length), Why: why})
	switch s.Kind {
	case enclosure.TransmissionLine:
		l.resonancesOfLine()
		l.offset()
	case enclosure.TappedWaveguide:
		l.resonancesOfLine()
		l.add(note.Step{Name: "Between the taps", Kind: phys.Distance, Value: phys.Maybe(math.Abs(s.Line.Rear - s.Line.Front)), Why: "the way along the duct from one side of the cone to the other",
			Formula: "rear_at − front_at", Numbers: l.show(s.Line.Rear, phys.Distance) + " − " + l.show(s.Line.Front, phys.Distance), Source: byDefinition})
	default:
		l.horn()
	}
	l.coneInLine()
	l.standing()
	l.fold()
}

// straight says that the duct is a plain pipe, without fill or what stands in it.
func straight(s *enclosure.Spec) bool {
	return s.Line.Run.Start == 0 && len(s.Line.Run.Points) == 0 && len(s.Line.Fills) == 0 && s.Line.Bodies == enclosure.BodiesLeftOut
}

// quarter is the tuning of a line.
func (l *boxAccount) quarter() note.Step {
	f, s, air := l.o.System.Facts.Line, &l.o.System.Spec, l.o.System.Setting.Air
	step := note.Step{
		Name: "Quarter wave", Symbol: "fb", Kind: phys.Frequency, Value: phys.Maybe(f.Quarter),
		Why:     fmt.Sprintf("the air in the mouth moves a quarter of a period behind that at the closed end: the mouth gives most there; as a straight pipe it would be %s long", l.show(air.C/(4*f.Quarter), phys.Distance)),
		Formula: "Re(D + C · Z) = 0 of the duct’s two-port and its mouth’s load Z", Source: "one-dimensional wave theory; " + mouthSource(s.Line.Mouth),
		Numbers: fmt.Sprintf("the lowest such frequency of this duct of %s, whose mouth’s load is as %s more", l.show(f.Length, phys.Distance), l.show(f.EndCorrection, phys.Length)),
	}
	if straight(s) {
		step.Formula = "c/(4(L + end))"
		step.Numbers = fmt.Sprintf("%s / (4 · (%s + %s))", l.show(air.C, phys.Speed), l.show(f.Length, phys.Distance), l.show(f.EndCorrection, phys.Length))
	}
	return step
}

// mouthSource names the publication of a mouth’s load.
func mouthSource(m enclosure.Mouth) string {
	switch {
	case m.End == enclosure.EndFree:
		return "end of a free pipe: Levine & Schwinger 1948"
	case m.Load == enclosure.LoadPiston:
		return "end: piston in a baffle, Rayleigh 1896"
	}
	return "end of a flanged pipe: Silva et al. 2009 after Norris & Sheng 1989"
}

// resonancesOfLine tells the first two of the closed duct.
func (l *boxAccount) resonancesOfLine() {
	f := l.o.System.Facts.Line
	if f.Quarter == 0 {
		return
	}
	l.add(l.quarter())
	if fills := l.o.System.Spec.Line.Fills; len(fills) > 0 {
		speed, loss := fills[0].Fill.Wave(l.gas(), 2*math.Pi*f.Quarter)
		l.add(note.Step{Name: "Sound in the fill", Kind: phys.Speed, Value: phys.Maybe(speed),
			Why:     fmt.Sprintf("at the quarter wave, against %s without: fill makes a line longer to the sound, and takes %s\u2009dB a metre", l.show(l.o.System.Setting.Air.C, phys.Speed), phys.Digits(loss*20/math.Ln10, 3)),
			Formula: "ω/Re k, k = ω√(ρ/K)", Numbers: fmt.Sprintf("a resistivity of %s at %s", l.show(fills[0].Fill.Resistivity, phys.FlowResistivity), l.show(f.Quarter, phys.Frequency)), Source: fills[0].Fill.Model.String()})
	}
	if f.ThreeQuarters > 0 {
		l.add(note.Step{Name: "Three quarters of a wave", Kind: phys.Frequency, Value: phys.Maybe(f.ThreeQuarters), Why: "the next resonance of the duct: the first that spoils the upper bass",
			Formula: "the second place where Re(D + C · Z) = 0", Numbers: fmt.Sprintf("%s times the first", phys.Digits(f.ThreeQuarters/f.Quarter, 3)), Source: "one-dimensional wave theory"})
	}
}

// offset tells where a driver does not excite the three-quarter wave.
func (l *boxAccount) offset() {
	f, s := l.o.System.Facts.Line, &l.o.System.Spec
	at := f.Quiet(f.ThreeQuarters)
	if at == 0 {
		return
	}
	step := note.Step{Name: "Offset without it", Kind: phys.Distance, Value: phys.Maybe(at),
		Why:     fmt.Sprintf("a cone that looks into the duct there %s; this one is at %s", excited(f.Excites(at, f.ThreeQuarters)), l.show(s.Line.Driver, phys.Distance)),
		Formula: "the place of no pressure in phase at three quarters of a wave", Source: "reciprocity; for a straight pipe, a third of the effective length (common practice)",
		Numbers: fmt.Sprintf("Re D of the duct up to there is zero at %s", l.show(f.ThreeQuarters, phys.Frequency))}
	if straight(s) {
		step.Formula, step.Numbers = "(L + end)/3", fmt.Sprintf("(%s + end)/3, the end at %s", l.show(f.Length, phys.Distance), l.show(f.ThreeQuarters, phys.Frequency))
	}
	l.add(step)
}

// faintly is the share of what the closed end excites that is told as nothing: 34 dB less.
const faintly = 0.02

// excited says how much a cone at the offset excites the three-quarter wave, of what one
// at the closed end does.
func excited(share float64) string {
	decibels := phys.Fixed(math.Abs(20*math.Log10(share)), 1) + "\u2009dB"
	switch {
	case share < faintly:
		return "does not excite the three-quarter wave, whose pressure is zero there"
	case share < 1:
		return "excites the three-quarter wave " + decibels + " less than one at the closed end: what losses leave of it"
	}
	return "excites the three-quarter wave " + decibels + " more than one at the closed end: with such losses no place is quiet"
}

// horn tells the cut-off of a shape that has one.
func (l *boxAccount) horn() {
	f := l.o.System.Facts.Line
	if f.Cutoff > 0 {
		l.add(note.Step{Name: "Cut-off of the flare", Symbol: "fc", Kind: phys.Frequency, Value: phys.Maybe(f.Cutoff),
			Why:     fmt.Sprintf("below it the flare, if it were endless, would carry nothing; the mouth’s ka there is %s, and from about 1 up a mouth lets sound out well", phys.Digits(f.MouthKa, 3)),
			Formula: "κ · c/2π, κ² = (√S)″/√S", Numbers: fmt.Sprintf("from %s to %s in %s", l.show(f.Start, phys.Area), l.show(f.Mouth, phys.Area), l.show(f.Length, phys.Distance)), Source: "Salmon 1946"})
	}
}

// coneInLine tells how the cones compare with the duct where they look into it.
func (l *boxAccount) coneInLine() {
	sys := l.o.System
	sd, area := l.coneOverDuct()
	most := mostCompression(sys.Spec.Kind)
	l.add(note.Step{Name: "Cone over duct", Symbol: "Sd/S", Kind: phys.Number, Value: phys.Maybe(sd / area),
		Why:     fmt.Sprintf("how much the air is sped up where the cones look into the duct: up to %s is usual here; beyond, the air works harder on cones and surrounds than they are built for", phys.Digits(most, 2)),
		Formula: "Sd · side by side / S", Numbers: fmt.Sprintf("%s / %s", l.show(sd, phys.Area), l.show(area, phys.Area)), Source: "the bound: common practice, no source"})
	if n := sys.Group.Depth(); n > 1 {
		like := area * float64(n)
		share := "at the same voltage"
		if s := sys.Group.InSeries; s > 1 {
			share = fmt.Sprintf("at the voltage of one coil, 1/%d of the whole in this wiring,", s)
		}
		but := ""
		if len(sys.Group.Coupling) > 0 {
			but = ", and the air between its cones lets them part"
		}
		l.add(note.Step{Name: "Like one in a section of", Kind: phys.Area, Value: phys.Maybe(like),
			Why: fmt.Sprintf("what isobaric loading is for: %s a single one of its drivers would move alike in a duct of %s times the section, with as much more air in chambers. It would do so to the last digit with rigid coupling, without loss at the walls, with nothing in the duct and a mouth whose load is in proportion; as it is, some decibels may lie between near the quarter wave%s",
				share, Count(n), but),
			Formula: "S · stack", Numbers: fmt.Sprintf("%s · %d", l.show(area, phys.Area), n), Source: "common practice; rigid coupling, no loss at the walls, nothing in the duct, a mouth’s load in proportion"})
	}
	l.clear()
}

// place is where along the duct the cones look into it; of a tapped waveguide, their
// rear.
func (l *boxAccount) place() float64 {
	s := &l.o.System.Spec
	switch s.Kind {
	case enclosure.TransmissionLine:
		return s.Line.Driver
	case enclosure.TappedWaveguide:
		return s.Line.Rear
	}
	return 0
}
