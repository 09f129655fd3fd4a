package report

import (
	"fmt"
	"io"
	"math"
	"strings"

	"basswright/internal/driver"
	"basswright/internal/note"
	"basswright/internal/phys"
	"basswright/internal/study"
)

// chosen are the outcomes with the given names, all if there are none.
func chosen(r *study.Result, names []string) []*study.Outcome {
	if len(names) == 0 {
		return r.Candidates
	}
	var out []*study.Outcome
	for _, n := range names {
		for _, o := range r.Candidates {
			if o.Candidate.Name == n {
				out = append(out, o)
			}
		}
	}
	return out
}

// ExplainText writes the ledger for a terminal.
func ExplainText(w io.Writer, r *study.Result, names []string, o TextOptions) error {
	p := newPrinter(w, o)
	for i, c := range chosen(r, names) {
		if i > 0 {
			p.line("")
			p.line("")
		}
		p.ledger(r, c)
	}
	return p.err
}

const (
	ledgerName  = 31
	ledgerValue = 9
	ledgerRule  = 11
)

func (p *printer) ledger(r *study.Result, o *study.Outcome) {
	u := r.Study.Units
	first := o.System.Group.Positions[0][0].Driver.Name
	p.wrapped("", "  ", p.strong(p.paint(o.Index, o.Candidate.Name))+": "+o.Plain+", against one "+first)
	if single := singleWords(o); single != "" {
		p.line("%s", single)
	}
	p.line("")
	names := wrap(o.Candidate.Name, ledgerValue-1)
	for i, name := range names {
		one, rule, why := "", "", ""
		if i == len(names)-1 {
			one, rule, why = "one", "factor", "why"
		}
		p.line("  %s%s%s  %s%s", pad("", ledgerName-2), left(one, ledgerValue), left(name, ledgerValue), pad(rule, ledgerRule), why)
	}
	for _, s := range o.Ledger {
		p.step(s, u)
	}
	if len(o.BoxLedger) > 0 {
		p.line("  %s", strings.Repeat("─", min(p.o.Width, 100)-3))
	}
	for _, s := range o.BoxLedger {
		p.step(s, u)
	}
	p.line("")
	p.wrapped("polarity: ", "          ", polarity(o))
	for _, s := range o.Coupling {
		p.wrapped("excursion: ", "           ", coneWords(s, u))
	}
}

// singleWords say what the column "one" is where that is not just the driver.
func singleWords(o *study.Outcome) string {
	d := o.System.Group.Positions[0][0].Driver
	driven := d.Coils.Driven
	if driven == 0 {
		driven = d.Coils.Count
	}
	if driven < 2 {
		return ""
	}
	return "one = " + d.Name + ", coils in parallel"
}

// step is one line of a ledger, with its formula below where there is one.
func (p *printer) step(s note.Step, u phys.System) {
	values := left(stepValue(s.Single, s.Kind, u), ledgerValue) + left(stepValue(s.Value, s.Kind, u), ledgerValue) + "  " + pad(s.Rule, ledgerRule-2)
	p.quantity(s, u, ledgerName, values, func(room int) []string {
		why := wrap(s.Why, room)
		if s.Formula == "" {
			return why
		}
		f := s.Formula
		if s.Numbers != "" {
			f += " = " + s.Numbers
		}
		return append(why, hanging(f, room)...)
	})
}

// quantity is one line of a ledger or a datasheet: what it is, with its unit,
// its values, and beside them the reasons. The name and the reasons take as many
// lines as they need.
func (p *printer) quantity(s note.Step, u phys.System, nameWidth int, values string, reasons func(room int) []string) {
	names := hanging(stepName(s, u), nameWidth-3)
	blank := strings.Repeat(" ", width(values))
	why := reasons(max(20, p.o.Width-nameWidth-width(values)-2))
	for i := range max(len(names), len(why)) {
		p.line("  %s%s  %s", pad(lineOf(names, i), nameWidth-2), values, lineOf(why, i))
		values = blank
	}
}

// stepName is what a step is about, with the unit of its values.
func stepName(s note.Step, u phys.System) string {
	name := s.Name
	if s.Symbol != "" {
		name += " " + s.Symbol
	}
	if unit := s.Kind.Unit(u).Name; unit != "" {
		name += ", " + unit
	}
	return name
}

func stepValue(v phys.Maybe, k phys.Kind, u phys.System) string {
	if !v.OK() {
		return "–"
	}
	if k == phys.Level {
		return phys.Fixed(float64(v), 1)
	}
	return phys.Digits(k.Unit(u).Of(float64(v)), 3)
}

func left(s string, n int) string {
	if w := width(s); w < n {
		return strings.Repeat(" ", n-w) + s
	}
	return s
}

// polarity says how the leads go and whether the cones move the same way.
func polarity(o *study.Outcome) string {
	g := o.System.Group
	s := leads(g)
	switch {
	case o.WrongPolarity():
		return "WRONG: " + s + "; the cones work against each other. The impedance gives it away: no hump at the group’s resonance."
	case g.Count() == 1:
		return s + "."
	}
	return s + "; checked, all cones move the same way for a positive voltage."
}

// leads says which lead goes to the marked terminal of each driver.
func leads(g *driver.Group) string {
	alike := true
	for _, stack := range g.Positions {
		for k := range stack {
			alike = alike && stack[k].Polarity == g.Positions[0][k].Polarity
		}
	}
	sign := map[int]string{1: "+", -1: "−"}
	if !alike { // position by position, from left to right
		var all []string
		for p, stack := range g.Positions {
			var signs []string
			for k, m := range stack {
				signs = append(signs, strings.TrimPrefix(study.Place(k, g.Depth())+" "+sign[m.Polarity], "each "))
			}
			all = append(all, fmt.Sprintf("position %d: %s", p+1, strings.Join(signs, ", ")))
		}
		return "the positions are wired differently: " + strings.Join(all, "; ")
	}
	first := g.Positions[0]
	lead := map[int]string{1: "positive", -1: "negative"}[first[0].Polarity]
	switch {
	case g.Count() == 1:
		return "one driver: its marked terminal takes the " + lead + " lead"
	case g.Depth() == 1:
		return "all marked terminals take the " + lead + " lead"
	}
	var turned, signs []string
	facing := true // the signs follow from the way the drivers look
	for k, m := range first {
		facing = facing && m.Direction() > 0
		where := study.Place(k, g.Depth())
		if m.Polarity < 0 {
			turned = append(turned, where)
		}
		signs = append(signs, where+" "+sign[m.Polarity])
	}
	switch list := strings.Join(turned, " and the "); {
	case facing && len(turned) == 0:
		return "all look the same way and are wired alike: " + strings.Join(signs, ", ")
	case facing:
		return fmt.Sprintf("the %s woofer is turned round, so its marked terminal takes the other lead: %s", list, strings.Join(signs, ", "))
	case len(turned) == 0 || len(turned) == len(first):
		return "all are wired alike: " + strings.Join(signs, ", ")
	}
	return fmt.Sprintf("the marked terminal of the %s woofer takes the other lead: %s", strings.Join(turned, " and the "), strings.Join(signs, ", "))
}

// stackWords tells how far a stack is from rigid coupling, where its cones
// resonate against each other, each cone's excursion and the air that moves
// along.
func stackWords(s study.StackFacts, u phys.System) string {
	if s.Rigid {
		return "taken as a rigid link, because no coupling volume is given; " + coneWords(s, u)
	}
	if !s.Error.Value.OK() {
		return "the cones work against each other; " + coneWords(s, u)
	}
	band := fmt.Sprintf("from %s to %s", phys.Brief(s.Band.From, phys.Frequency, u), phys.Brief(s.Band.To, phys.Frequency, u))
	w := ""
	switch e := float64(s.Error.Value); {
	case math.Abs(e) < 0.005:
		w = "nowhere " + band + " parts from a rigid link by 0.01\u2009dB"
	default:
		side := "above"
		if e < 0 {
			side = "below"
		}
		w = fmt.Sprintf("is %s\u2009dB %s a rigid link at %s, its worst %s", phys.Fixed(math.Abs(e), 2), side, phys.Show(float64(s.Error.At), phys.Frequency, u), band)
	}
	if n := len(s.Modes); n > told {
		w += fmt.Sprintf("; the cones resonate against each other from %s to %s (%d of them)", phys.Show(s.Modes[0], phys.Frequency, u), phys.Show(s.Modes[n-1], phys.Frequency, u), n)
	} else if n > 0 {
		var modes []string
		for _, f := range s.Modes {
			modes = append(modes, phys.Show(f, phys.Frequency, u))
		}
		w += "; the cones resonate against each other at " + enumerate(modes)
	}
	if s.AirMass.OK() {
		w += fmt.Sprintf("; their air counts as %s of moving mass at each position", phys.Show(float64(s.AirMass), phys.Mass, u))
	} else {
		w += "; the mass of the air is not counted without the coupling’s length"
	}
	return w + "; " + coneWords(s, u)
}

// told is how many figures of a stack are told one by one; of more, the range.
const told = 4

// enumerate joins what is told one by one: "a, b and c".
func enumerate(list []string) string {
	last := len(list) - 1
	if last < 1 {
		return strings.Join(list, "")
	}
	return strings.Join(list[:last], ", ") + " and " + list[last]
}

// coneWords tells each cone's excursion in a stack.
func coneWords(s study.StackFacts, u phys.System) string {
	var parts []string
	last := len(s.Excursions) - 1
	least, most := math.Inf(1), math.Inf(-1)
	for k, x := range s.Excursions {
		if k == 0 || k == last || last < told {
			parts = append(parts, fmt.Sprintf("%s %s", study.Place(k, last+1), phys.Show(float64(x.Value), phys.Length, u)))
		} else {
			least, most = min(least, float64(x.Value)), max(most, float64(x.Value))
		}
	}
	if last >= told {
		parts = append(parts, fmt.Sprintf("the %d between them %s to %s", last-1, phys.Digits(phys.Length.Unit(u).Of(least), 3), phys.Show(most, phys.Length, u)))
	}
	return strings.Join(parts, ", ") + " peak at the drive."
}

type explainJSON struct {
	Study      string               `json:"study"`
	Candidates []explainedCandidate `json:"candidates"`
}

type explainedCandidate struct {
	Name     string     `json:"name"`
	Plain    string     `json:"in_words"`
	Against  string     `json:"single_driver"`
	Ledger   []stepJSON `json:"ledger"`
	Box      []stepJSON `json:"box"`
	Polarity string     `json:"polarity"`

	Protection *protectionJSON `json:"protection"`
}

type stepJSON struct {
	note.Step
	Quantity string `json:"quantity"`
	Unit     string `json:"si_unit"`
}

// ExplainJSON writes the ledger for programs, values in SI units.
func ExplainJSON(w io.Writer, r *study.Result, names []string) error {
	out := explainJSON{Study: r.Study.Name}
	for _, o := range chosen(r, names) {
		c := explainedCandidate{Name: o.Candidate.Name, Plain: o.Plain, Against: o.System.Group.Positions[0][0].Driver.Name, Polarity: polarity(o), Protection: protectionOf(o)}
		for _, s := range o.Ledger {
			c.Ledger = append(c.Ledger, stepJSON{s, s.Kind.String(), s.Kind.SI()})
		}
		for _, s := range o.BoxLedger {
			c.Box = append(c.Box, stepJSON{s, s.Kind.String(), s.Kind.SI()})
		}
		out.Candidates = append(out.Candidates, c)
	}
	return writeJSON(w, out)
}
