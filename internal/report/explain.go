package report

import (
	"fmt"
	"io"
	"math"
	"strings"

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
)

func (p *printer) ledger(r *study.Result, o *study.Outcome) {
	u := r.Study.Units
	first := o.System.Group.Positions[0][0].Driver.Name
	p.wrapped("", "  ", p.strong(p.paint(o.Index, o.Candidate.Name))+": "+o.Plain+", against one "+first)
	p.line("")
	p.line("  %s%s%s  why", pad("", ledgerName-2), left("one", ledgerValue), left(clip(o.Candidate.Name, ledgerValue-1), ledgerValue))
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

// step is one line of a ledger, with its formula below where there is one.
func (p *printer) step(s note.Step, u phys.System) {
	name := s.Name
	if s.Symbol != "" {
		name += " " + s.Symbol
	}
	if unit := s.Kind.Unit(u).Name; unit != "" {
		name += ", " + unit
	}
	head := "  " + pad(clip(name, ledgerName-3), ledgerName-2) + left(stepValue(s.Single, s.Kind, u), ledgerValue) + left(stepValue(s.Value, s.Kind, u), ledgerValue) + "  "
	hang := strings.Repeat(" ", width(head))
	p.wrapped(head, hang, s.Why)
	if s.Formula != "" {
		f := s.Formula
		if s.Numbers != "" {
			f += " = " + s.Numbers
		}
		p.wrapped(hang, hang+"  ", f)
	}
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
	if g.Count() == 1 {
		return "one driver: its marked terminal takes the positive lead."
	}
	var turned []string
	signs := make([]string, 0, g.Depth())
	for k, m := range g.Positions[0] {
		where := place(k, g.Depth())
		sign := "+"
		if m.Polarity < 0 {
			sign = "−"
			turned = append(turned, where)
		}
		signs = append(signs, where+" "+sign)
	}
	s := ""
	switch {
	case g.Depth() == 1:
		s = "all marked terminals take the positive lead"
	case len(turned) > 0:
		s = fmt.Sprintf("the %s woofer is turned round, so its marked terminal takes the other lead: %s", strings.Join(turned, " and the "), strings.Join(signs, ", "))
	default:
		s = "all look the same way and are wired alike: " + strings.Join(signs, ", ")
	}
	if g.MovesTogether() {
		return s + "; checked, all cones move the same way for a positive voltage."
	}
	return "WRONG: " + s + "; the cones work against each other. The impedance gives it away: no hump at the group’s resonance."
}

// place names a driver's place in a stack.
func place(k, depth int) string {
	switch {
	case depth == 1:
		return "each"
	case k == 0:
		return "outer"
	case k == depth-1:
		return "inner"
	case depth == 3:
		return "middle"
	}
	return fmt.Sprintf("%d from outside", k+1)
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
	w := fmt.Sprintf("parts from a rigid link by %s dB at %s, its worst from %s to %s", phys.Fixed(float64(s.Error.Value), 2),
		phys.Show(float64(s.Error.At), phys.Frequency, u), phys.Brief(s.Band.From, phys.Frequency, u), phys.Brief(s.Band.To, phys.Frequency, u))
	if math.Abs(float64(s.Error.Value)) < 0.005 {
		w = fmt.Sprintf("nowhere from %s to %s parts from a rigid link by 0.01 dB", phys.Brief(s.Band.From, phys.Frequency, u), phys.Brief(s.Band.To, phys.Frequency, u))
	}
	var modes []string
	for _, f := range s.Modes {
		modes = append(modes, phys.Show(f, phys.Frequency, u))
	}
	if len(modes) > 0 {
		w += "; the cones resonate against each other at " + strings.Join(modes, " and ")
	}
	if s.AirMass.OK() {
		w += fmt.Sprintf("; their air counts as %s of moving mass at each position", phys.Show(float64(s.AirMass), phys.Mass, u))
	} else {
		w += "; the mass of the air is not counted without the coupling’s length"
	}
	return w + "; " + coneWords(s, u)
}

// coneWords tells each cone's excursion in a stack.
func coneWords(s study.StackFacts, u phys.System) string {
	var parts []string
	for k, x := range s.Excursions {
		parts = append(parts, fmt.Sprintf("%s %s", place(k, len(s.Excursions)), phys.Show(float64(x.Value), phys.Length, u)))
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
		c := explainedCandidate{Name: o.Candidate.Name, Plain: o.Plain, Against: o.System.Group.Positions[0][0].Driver.Name, Polarity: polarity(o)}
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
