package driver

import (
	"fmt"
	"math"
	"strings"

	"basswright/internal/note"
	"basswright/internal/phys"
)

const (
	practice = "common practice, no source"
	circuit  = "circuit laws"
	coupled  = "circuit laws of fully coupled coils"
)

// Ledger is the account of the group against one of its drivers: for each
// parameter the single driver, the group, the factor, the rule and the reason.
// The single driver has its driven coils in parallel. A group that no single
// driver is equivalent to has one step, which says why.
func (g *Group) Ledger(air phys.Air) []note.Step { return g.LedgerIn(air, phys.Metric) }

// LedgerIn is Ledger with the numbers in its texts in a system of units.
func (g *Group) LedgerIn(air phys.Air, units phys.System) []note.Step {
	group, err := g.Composite()
	if err != nil {
		return g.looseLedger(err)
	}
	d := g.Positions[0][0].Driver
	l := ledger{
		air: air, units: units, d: d, group: group, single: compose(d, 1, 1, 1),
		by: scalesOf(group.SideBySide, group.Stack, group.Coils, group.InSeries),
	}
	var out []note.Step
	for _, part := range [][]note.Step{
		l.electrical(), l.mechanical(), l.motorSteps(), l.smallSteps(), l.outputSteps(), l.reach(),
	} {
		out = append(out, part...)
	}
	return out
}

// looseLedger is the account of a group that no single driver is equivalent to:
// what sums up all the same, against the first driver.
func (g *Group) looseLedger(err error) []note.Step {
	d := g.Positions[0][0].Driver
	one := compose(d, 1, 1, 1)
	area, power, swept := 0.0, 0.0, 0.0
	for _, stack := range g.Positions {
		least := stack[0].Driver.Data.Xmax
		for _, m := range stack { // between rigid cones equal volumes move
			least = min(least, m.Driver.Data.Xmax*m.Driver.Sd/stack[0].Driver.Sd)
			if r := m.Driver.RatedPower(); r == 0 || power < 0 {
				power = -1
			} else {
				power += r
			}
		}
		area += stack[0].Driver.Sd
		swept += stack[0].Driver.Sd * least
		if least == 0 {
			swept = math.Inf(-1)
		}
	}
	some := func(v float64) phys.Maybe {
		if v > 0 {
			return phys.Maybe(v)
		}
		return phys.None()
	}
	step := func(name, symbol string, k phys.Kind, single, value phys.Maybe, rule, why, source string) note.Step {
		return note.Step{Name: name, Symbol: symbol, Kind: k, Single: single, Value: value, Factor: phys.None(), Rule: rule, Why: why, Source: source}
	}
	return []note.Step{
		step("Coils", "Re", phys.Resistance, some(one.Re), some(g.Re()), "wiring", "strings in parallel, each the sum of its coils; one is "+d.Name, circuit),
		step("Cone area", "Sd", phys.Area, some(d.Sd), some(area), "sum", "the outermost cone of each position radiates", practice),
		step("Rated power", "P", phys.Power, some(d.RatedPower()), some(power), "sum", "if each driver takes the heat that it is rated for; unlike ones do not share alike, and the network tells each", practice),
		step("Volume displacement", "Vd", phys.Volume, some(d.Sd*d.Data.Xmax), some(swept), "sum", "each position as far as its driver with the least reach goes", small1972),
		step("Equivalent driver", "", phys.Number, phys.None(), phys.None(), "none", err.Error(), practice),
	}
}

// ledger is one run of Ledger.
type ledger struct {
	air           phys.Air
	units         phys.System
	d             *Driver
	group, single Composite
	by            scales
}

// step fills in what all steps share.
func (l *ledger) step(name, symbol string, kind phys.Kind, single, value float64) note.Step {
	s := note.Step{
		Name: name, Symbol: symbol, Kind: kind,
		Single: phys.Maybe(single), Value: phys.Maybe(value), Factor: phys.None(),
	}
	if kind == phys.Level {
		s.Rule = signed(value-single) + " dB"
		if math.Abs(value-single) < 0.05 {
			s.Rule = "unchanged"
		}
		return s
	}
	if single > 0 {
		s.Factor = phys.Maybe(value / single)
		s.Rule = factorWords(value / single)
	}
	return s
}

// factorWords is "× 2", "÷ 2" or "unchanged".
func factorWords(f float64) string {
	switch {
	case math.Abs(f-1) < rounding:
		return "unchanged"
	case f > 1:
		return "× " + plain(f)
	}
	return "÷ " + plain(1/f)
}

// signed is a difference in dB with its sign.
func signed(db float64) string {
	if db >= 0.05 {
		return "+" + phys.Fixed(db, 1)
	}
	return phys.Fixed(db, 1)
}

// number is a value in its unit's figures, without the unit.
func (l *ledger) number(v float64, k phys.Kind) string {
	text, _, _ := strings.Cut(phys.Brief(v, k, l.units), "\u2009")
	return text
}

func (l *ledger) show(v float64, k phys.Kind) string { return phys.Brief(v, k, l.units) }

// plain is a number without a unit, in four digits at most.
func plain(v float64) string { return phys.Brief(v, phys.Number, phys.Metric) }

// wired tells the wiring: "2 coils in parallel".
func (l *ledger) wired() string {
	switch s, p := l.by.s, l.by.strings; {
	case s*p == 1:
		return "one coil"
	case p == 1:
		return fmt.Sprintf("%d coils in series", s)
	case s == 1:
		return fmt.Sprintf("%d coils in parallel", p)
	default:
		return fmt.Sprintf("%d strings of %d coils", p, s)
	}
}

func (l *ledger) electrical() []note.Step {
	re := l.step("Coils", "Re", phys.Resistance, l.single.Re, l.group.Re)
	re.Why = l.wired() + ": " + l.by.re.text(l.number(l.d.Re, phys.Resistance))
	re.Formula = "Re = s · Re₁ / p, s coils a string, p strings"
	re.Numbers, re.Source = l.by.re.text(l.show(l.d.Re, phys.Resistance)), circuit
	out := []note.Step{re}
	for _, part := range blockedParts(l.d.Coil) {
		out = append(out, l.blocked(part))
	}
	return out
}

// blockedPart is one element of a voice-coil model.
type blockedPart struct {
	name, symbol string
	kind         phys.Kind
	of           func(VoiceCoil) float64
}

func blockedParts(v VoiceCoil) []blockedPart {
	le := blockedPart{"Inductance", "Le", phys.Inductance, func(v VoiceCoil) float64 { return v.Le }}
	switch v.Model {
	case CoilLR2:
		return []blockedPart{
			le,
			{"Eddy inductance", "L2", phys.Inductance, func(v VoiceCoil) float64 { return v.L2 }},
			{"Eddy resistance", "R2", phys.Resistance, func(v VoiceCoil) float64 { return v.R2 }},
		}
	case CoilPowerLaw:
		return []blockedPart{{"Coil impedance", "K", phys.Number, func(v VoiceCoil) float64 { return v.K }}}
	}
	return []blockedPart{le}
}

func (l *ledger) blocked(part blockedPart) note.Step {
	one := part.of(l.d.Coil)
	s := l.step(part.name, part.symbol, part.kind, part.of(l.single.Coil), part.of(l.group.Coil))
	if one == 0 {
		s.Rule, s.Why = "", "the sheet gives none"
		return s
	}
	number := l.number(one, part.kind)
	if l.d.Driven() == 1 {
		// One coil on each former: s²/n is then s/p.
		s.Why = l.wired() + ": " + l.by.re.text(number)
		s.Formula = part.symbol + " = s · " + part.symbol + "₁ / p, s coils a string, p strings"
		s.Numbers, s.Source = l.by.re.text(l.show(one, part.kind)), circuit
		return s
	}
	s.Why = l.wired() + ", and the coils of one driver share their flux: " + l.by.blocked.text(number)
	s.Formula = part.symbol + " = s² · " + part.symbol + "₁ / n, s coils a string, n drivers"
	s.Numbers, s.Source = l.by.blocked.text(l.show(one, part.kind)), coupled
	return s
}

func (l *ledger) mechanical() []note.Step {
	c := l.group
	area := l.step("Cone area", "Sd", phys.Area, l.single.Sd, c.Sd)
	switch {
	case c.Count() == 1:
		area.Why = "one cone: unchanged"
	case c.SideBySide == 1:
		area.Why = "a stack radiates once: unchanged"
	case c.Stack == 1:
		area.Why = fmt.Sprintf("%d cones side by side: %s", c.SideBySide, l.by.area.text(l.number(l.d.Sd, phys.Area)))
	default:
		area.Why = fmt.Sprintf("%d positions, and a stack radiates once: %s", c.SideBySide, l.by.area.text(l.number(l.d.Sd, phys.Area)))
	}
	area.Formula, area.Numbers, area.Source = "Sd = m · Sd₁, m positions", l.by.area.text(l.show(l.d.Sd, phys.Area)), practice

	mass := l.step("Moving mass", "Mms", phys.Mass, l.single.Mms, c.Mms)
	give := l.step("Compliance", "Cms", phys.Compliance, l.single.Cms, c.Cms)
	loss := l.step("Resistance", "Rms", phys.MechanicalResistance, l.single.Rms, c.Rms)
	mass.Why = l.cones() + ": " + l.by.mass.text(l.number(l.d.Mms, phys.Mass))
	give.Why = "stiffnesses add: " + l.by.give.text(l.number(l.d.Cms, phys.Compliance))
	loss.Why = "losses add: " + l.by.loss.text(l.number(l.d.Rms, phys.MechanicalResistance))
	if c.Count() == 1 {
		mass.Why, give.Why, loss.Why = "one cone: unchanged", "one suspension: unchanged", "one suspension: unchanged"
	}
	mass.Formula, mass.Numbers, mass.Source = "Mms = n · Mms₁, n drivers", l.by.mass.text(l.show(l.d.Mms, phys.Mass)), practice
	give.Formula, give.Numbers, give.Source = "Cms = Cms₁ / n, n drivers", l.by.give.text(l.show(l.d.Cms, phys.Compliance)), practice
	loss.Formula, loss.Numbers, loss.Source = "Rms = n · Rms₁, n drivers", l.by.loss.text(l.show(l.d.Rms, phys.MechanicalResistance)), practice
	return []note.Step{area, mass, give, loss}
}

// cones is "both cones move as one", "4 cones move as one".
func (l *ledger) cones() string {
	if n := l.group.Count(); n != 2 {
		return fmt.Sprintf("%d cones move as one", n)
	}
	return "both cones move as one"
}

func (l *ledger) motorSteps() []note.Step {
	bl := l.step("Force factor", "Bl", phys.ForceFactor, l.single.Bl, l.group.Bl)
	number := l.number(l.d.Bl, phys.ForceFactor)
	bl.Why = "each coil sees the group’s voltage: unchanged"
	if l.by.s > 1 {
		bl.Why = fmt.Sprintf("%d coils in series push with one current: %s", l.by.s, l.by.bl.text(number))
	}
	bl.Formula, bl.Numbers, bl.Source = "Bl = s · Bl₁, s coils a string", l.by.bl.text(l.show(l.d.Bl, phys.ForceFactor)), circuit

	strength := l.step("Motor strength", "Bl²/Re", phys.MotorStrength, l.single.Strength(), l.group.Strength())
	motors := scale{l.by.drivers, 1}
	strength.Why = "motors add, however they are wired: " + motors.text(l.number(l.single.Strength(), phys.MotorStrength))
	if l.by.drivers == 1 {
		strength.Why = "one motor, however its coils are wired: unchanged"
	}
	strength.Formula = "Bl²/Re = n · Bl₁²/Re₁, n drivers"
	strength.Numbers, strength.Source = motors.text(l.show(l.single.Strength(), phys.MotorStrength)), circuit
	return []note.Step{bl, strength}
}
