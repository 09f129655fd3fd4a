package report

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"basswright/internal/draw"
	"basswright/internal/note"
	"basswright/internal/study"
)

const (
	namesWidth  = 28
	columnWidth = 18
	gaugeCells  = 8
)

// CompareText writes the comparison for a terminal.
func CompareText(w io.Writer, r *study.Result, o TextOptions) error {
	p := newPrinter(w, o)
	p.line("%s", p.strong(r.Study.Name))
	p.wrapped("", "", fmt.Sprintf("%s. Yardstick: %s.", r.Study.Terms(), r.Candidates[r.Yardstick].Candidate.Name))
	if o.Plot {
		p.line("")
		head := "  Level, dB re 20 µPa"
		if r.Study.InPlace() {
			head += "," + r.Study.Surrounded()
		}
		p.line("%s", head)
		longest := 0
		for _, c := range r.Candidates {
			longest = max(longest, width(lineName(c)))
		}
		for _, l := range braillePlot(r, max(40, min(78, p.o.Width-9-longest)), p.paint) {
			p.line("%s", l)
		}
	}
	per := max(1, (p.o.Width-namesWidth)/columnWidth)
	for from := 0; from < len(r.Candidates); from += per {
		p.line("")
		p.block(r, r.Candidates[from:min(len(r.Candidates), from+per)])
	}
	p.line("")
	p.brief(r)
	p.verdicts(r)
	p.stacks(r)
	p.ports(r)
	p.summaries(r)
	p.notes(r)
	return p.err
}

// block is the table of some of the candidates.
func (p *printer) block(r *study.Result, some []*study.Outcome) {
	p.row("", some, p.paint, func(o *study.Outcome) string { return o.Candidate.Name })
	p.row("", some, p.paint, func(o *study.Outcome) string { return sample[draw.Pattern(o.Index)] })
	if slices.ContainsFunc(some, (*study.Outcome).WrongPolarity) {
		p.row("", some, p.paint, func(o *study.Outcome) string {
			if o.WrongPolarity() {
				return "WRONG POLARITY"
			}
			return ""
		})
	}
	for _, w := range rows(r) {
		if w.group != "" {
			p.line("  %s", p.strong(w.group))
		}
		name := w.name
		if w.unit != "" {
			name += ", " + w.unit
		}
		p.row("  "+name, some, plain, func(o *study.Outcome) string {
			c := w.cell(o)
			if c.at != "" && c.text != "–" {
				return beside(c.text, c.at)
			}
			return c.text
		})
	}
	p.gauges(r, some)
}

func plain(_ int, s string) string { return s }

// beside sets a text behind a value: in a column of its own, but behind a long
// value with one space.
func beside(value, text string) string { return pad(value, 5) + " " + text }

// row writes a row of the table. What is wider than its column goes on below:
// cut, it would lose what it says.
func (p *printer) row(name string, some []*study.Outcome, paint func(i int, s string) string, cell func(o *study.Outcome) string) {
	names := hanging(name, namesWidth-3)
	high := len(names)
	cells := make([][]string, len(some))
	for k, o := range some {
		cells[k] = wrap(cell(o), columnWidth-1)
		high = max(high, len(cells[k]))
	}
	for i := range high {
		line := "  " + pad(lineOf(names, i), namesWidth-2)
		for k, o := range some {
			line += paint(o.Index, pad(lineOf(cells[k], i), columnWidth))
		}
		p.line("%s", line)
	}
}

// brief says what is missed and the mend.
func (p *printer) brief(r *study.Result) {
	if told := r.Told + "."; r.HasBrief {
		p.line("%s", p.strong(told))
	} else {
		p.line("%s", told)
	}
	for _, o := range r.Candidates {
		lead, hang := p.lead(r, o)
		if len(o.Misses) == 0 && r.HasBrief {
			p.wrapped(lead, hang, o.Kept(r.Study))
		}
		for _, m := range o.Misses {
			p.wrapped(lead, hang, m.Text)
			lead = hang
			if m.Mend != "" {
				p.wrapped(hang+"→ ", hang+"  ", m.Mend)
			}
		}
	}
}

// lead is a candidate's name at the start of a line, as wide as the longest
// name, and the room that it takes.
func (p *printer) lead(r *study.Result, o *study.Outcome) (lead, hang string) {
	longest := 0
	for _, c := range r.Candidates {
		longest = max(longest, width(c.Candidate.Name))
	}
	return "  " + p.paint(o.Index, pad(o.Candidate.Name, longest+2)), strings.Repeat(" ", longest+4)
}

// verdicts tell the candidates against the yardstick.
func (p *printer) verdicts(r *study.Result) {
	if len(r.Candidates) < 2 {
		return
	}
	p.line("")
	p.line("%s", p.strong("Against "+r.Candidates[r.Yardstick].Candidate.Name))
	for i, o := range r.Candidates {
		if i != r.Yardstick {
			lead, hang := p.lead(r, o)
			p.wrapped(lead, hang, strings.Join(o.Verdict, "; "))
		}
	}
}

// stacks say for each stack how far it is from rigid coupling.
func (p *printer) stacks(r *study.Result) {
	first := true
	for _, o := range r.Candidates {
		for _, s := range o.Coupling {
			if first {
				p.line("")
				p.line("%s", p.strong("The air between the cones"))
				first = false
			}
			lead, hang := p.lead(r, o)
			p.wrapped(lead, hang, stackWords(s, r.Study.Units))
		}
	}
}

// summaries are the customer's three lines.
func (p *printer) summaries(r *study.Result) {
	p.line("")
	p.line("%s", p.strong("For the customer"))
	for _, o := range r.Candidates {
		lead, hang := p.lead(r, o)
		p.wrapped(lead, hang, o.Plain)
		for _, s := range o.Summary {
			p.wrapped(hang, hang, s)
		}
	}
}

// notes are what was filled in, what is doubtful and what can hurt.
func (p *printer) notes(r *study.Result) {
	warnings, defaults := findings(r)
	if len(warnings) > 0 {
		p.line("")
		for _, f := range warnings {
			p.finding(f)
		}
	}
	if len(defaults) > 0 {
		p.line("")
		p.line("%s", p.strong("Filled in, because the study does not say"))
		for _, f := range defaults {
			p.wrapped("  ", "    ", f.Where+": "+f.Text)
		}
	}
	p.line("")
	for _, c := range r.Cautions {
		p.wrapped("caution: ", "         ", withMend(c))
	}
}

func (p *printer) finding(f note.Finding) {
	at := f.At.String()
	if at != "" {
		at += ": "
	}
	s := at + f.Severity.String() + ": " + f.Text
	if f.Mend != "" {
		s += "; " + f.Mend
	}
	p.wrapped("", "  ", s)
}

// findings gathers what a result has to say, each once: warnings first.
func findings(r *study.Result) (warnings, defaults []note.Finding) {
	seen := map[string]bool{}
	take := func(list []note.Finding) {
		for _, f := range list {
			key := f.ID + f.Where + f.Text
			if seen[key] {
				continue
			}
			seen[key] = true
			if f.Severity == note.Default {
				defaults = append(defaults, f)
			} else {
				warnings = append(warnings, f)
			}
		}
	}
	take(r.Study.Findings)
	for i := range r.Study.Drivers {
		take(r.Study.Drivers[i].Findings)
	}
	for _, o := range r.Candidates {
		take(o.Findings)
	}
	return warnings, defaults
}
