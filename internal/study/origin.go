package study

import (
	"fmt"
	"math"
	"strings"

	"basswright/internal/driver"
	"basswright/internal/note"
	"basswright/internal/phys"
)

// An Origin tells where a candidate's figures come from, each as a step: what it
// is by definition, the numbers in it, why, and the source. It computes no figure
// again: it reads what the evaluation has found, and what was asked.
type Origin struct{ boxAccount }

// Origin is that of one of the result's candidates.
func (r *Result) Origin(o *Outcome) Origin { return Origin{boxAccount{st: r.Study, o: o}} }

// Where what is told comes from.
const (
	byDefinition = "definition"
	fromNetwork  = "definition; read from the network"
	fromSheets   = "the drivers’ sheets"
	ratedBy      = "IEC 60268-5, rated impedance"
)

// origin is a step that has no single driver beside it. Formula and numbers are
// written so that "= the value" may follow.
func origin(name string, k phys.Kind, v phys.Maybe, formula, numbers, why, source string) note.Step {
	return note.Step{Name: name, Kind: k, Value: v, Single: phys.None(), Factor: phys.None(), Formula: formula, Numbers: numbers, Why: why, Source: source}
}

func (g *Origin) hz(f float64) string { return phys.Brief(f, phys.Frequency, g.st.Units) }

// told is a figure as the ledger has it.
func (g *Origin) told(v phys.Maybe, k phys.Kind) string { return g.show(float64(v), k) }

// at is the place of a peak: "at 29.3 Hz".
func (g *Origin) at(p Peak) string { return "at " + g.told(p.At, phys.Frequency) }

// held is the range in which limits are held: "from 20 Hz to 1000 Hz".
func (g *Origin) held() string {
	return "from " + g.hz(g.st.LimitsFrom()) + " to " + g.hz(g.st.limitsTo())
}

// drive is what the candidate is fed: "on 75 W into each group’s Re through lift".
func (g *Origin) drive() string { return "on " + g.st.Drive.Words(g.st.Units) + g.st.Through() }

// pressed is a level as the sound pressure that it stands for.
func (g *Origin) pressed(level float64) string {
	p := referencePressure * math.Pow(10, level/20)
	return fmt.Sprintf("20 lg(%s / 20\u2009µPa)", g.show(p, phys.Pressure))
}

// most is a figure that is the largest over the range of the limits.
func (g *Origin) most(name string, k phys.Kind, p Peak, formula, what, why string) note.Step {
	return origin(name, k, p.Value, formula, fmt.Sprintf("%s %s, the largest %s", what, g.at(p), g.held()), why+", "+g.drive(), fromNetwork)
}

// Brief is what decides whether the candidate meets what was asked.
func (g Origin) Brief() note.Step {
	kept, numbers := 0, ""
	for _, c := range g.o.Checks {
		if c.Passed && c.Fill.OK() {
			kept++
		}
	}
	switch n := len(g.o.Checks); {
	case len(g.o.Misses) > 0:
		var all []string
		for _, m := range g.o.Misses {
			all = append(all, m.Text)
		}
		numbers = fmt.Sprintf("%d of %d kept; %s", kept, n, list(all, "and"))
	case n == 0:
		numbers = "nothing is asked and no limit is known"
	default:
		numbers = fmt.Sprintf("%d of %d kept", kept, n)
	}
	return origin("Against the brief", phys.Number, phys.None(), "every figure ≤ its limit, every goal reached", numbers,
		"a candidate meets the brief if it misses nothing that is asked and keeps every limit that is known of its parts", "the study’s brief and limits; the gauges below")
}

// Polarity is whether the cones move alike.
func (g Origin) Polarity() note.Step {
	towards, all := 0, 0
	for _, stack := range g.o.System.Group.Positions {
		for _, m := range stack {
			all++
			if m.Direction() > 0 {
				towards++
			}
		}
	}
	return origin("Polarity", phys.Number, phys.None(), "polarity at the terminals · way the driver looks, alike for all",
		fmt.Sprintf("for a positive voltage %d of %d cones move towards the listener", towards, all),
		"cones that move against each other cancel what they radiate, or push against the air between them", byDefinition)
}

// Re is the group's resistance for direct current.
func (g Origin) Re() note.Step {
	for _, s := range groupLedger(g.o, g.st) {
		if s.Symbol != "Re" {
			continue
		}
		if s.Formula == "" { // unlike drivers
			s.Formula, s.Numbers = "1 / Σ(1 / R of each string), R the sum of its coils", g.strings()
		}
		return s
	}
	return note.Step{}
}

// strings are the coils' resistances: in series in a string, the strings in parallel.
func (g *Origin) strings() string {
	group := g.o.System.Group
	var parts []string
	for _, s := range group.Strings() {
		var coils []string
		for _, c := range s {
			coils = append(coils, g.show(group.Positions[c.Position][c.Member].Driver.Re, phys.Resistance))
		}
		parts = append(parts, "1/("+strings.Join(coils, " + ")+")")
	}
	return "1 / (" + strings.Join(parts, " + ") + ")"
}

// RatedLoad is what the group may be called on a plate.
func (g Origin) RatedLoad() note.Step {
	f := &g.o.Figures
	return origin("Rated load", phys.Resistance, f.Load, "|Z| at its lowest / 0.8",
		fmt.Sprintf("%s %s / 0.8", g.told(f.LowestZ.Value, phys.Resistance), g.at(f.LowestZ)),
		"within its range an impedance may fall below the rated one by a fifth and no more", ratedBy)
}

// Price adds up the drivers'.
func (g Origin) Price() note.Step {
	one := func(d *driver.Driver) string { return price(d.Data.Price, g.st.currency()) }
	return origin("Drivers", phys.Price, g.o.Figures.Price, "Σ prices of the drivers", g.sum(one), "the drivers alone: boards and amplifier have no price here", fromSheets)
}

// Weight adds up drivers and boards.
func (g Origin) Weight() note.Step {
	f := &g.o.Figures
	formula, why, source := "Σ weights of the drivers", "a wall is not the candidate’s and is not counted", fromSheets
	numbers := g.sum(func(d *driver.Driver) string { return g.show(d.Data.Weight, phys.Weight) })
	if f.BoardMass.OK() {
		formula += " + volume of the boards · density"
		numbers += " + " + g.told(f.BoardMass, phys.Weight) + " of boards"
		why = fmt.Sprintf("boards of %s %s, laid out as in the drawing", phys.Brief(g.o.Body.Panel, phys.Length, g.st.Units), g.st.Space.Material)
		if g.o.Body.Fold != nil {
			why += "; a board stands along each edge of its duct, and dead space is hollow"
		}
		source += "; densities of boards: Hopkins 2007, table A2"
	}
	return origin("Weight", phys.Weight, f.Mass, formula, numbers, why, source)
}

// sum is a sum over the drivers, alike ones together: "2 · 145 + 1 · 90".
func (g *Origin) sum(one func(d *driver.Driver) string) string {
	var list []*driver.Driver
	count := map[string]int{}
	for _, stack := range g.o.System.Group.Positions {
		for _, m := range stack {
			if count[m.Driver.Name]++; count[m.Driver.Name] == 1 {
				list = append(list, m.Driver)
			}
		}
	}
	var parts []string
	for _, d := range list {
		parts = append(parts, fmt.Sprintf("%d · %s", count[d.Name], one(d)))
	}
	return strings.Join(parts, " + ")
}
