package report

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"basswright/internal/draw"
	"basswright/internal/note"
	"basswright/internal/phys"
	"basswright/internal/study"
)

// TextOptions are the settings of texts for the terminal.
type TextOptions struct {
	Width int  // columns; 0: 100
	Color bool // the candidates' colours; nothing depends on them
	Plot  bool // the small plot above the table
}

const (
	namesWidth  = 28
	columnWidth = 18
	gaugeCells  = 8
)

// printer writes lines and keeps the first error.
type printer struct {
	w   io.Writer
	o   TextOptions
	err error
}

func newPrinter(w io.Writer, o TextOptions) *printer {
	if o.Width == 0 {
		o.Width = 100
	}
	return &printer{w: w, o: o}
}

func (p *printer) line(format string, args ...any) {
	if p.err == nil {
		_, p.err = fmt.Fprintln(p.w, strings.TrimRight(fmt.Sprintf(format, args...), " "))
	}
}

// The candidates' colours in the terminal: the nearest of the 256 that read on
// dark and on light ground.
var ansi = [...]int{32, 175, 166, 36, 136}

func (p *printer) paint(i int, s string) string {
	if !p.o.Color {
		return s
	}
	return fmt.Sprintf("\x1b[38;5;%dm%s\x1b[39m", ansi[i%len(ansi)], s)
}

func (p *printer) strong(s string) string {
	if !p.o.Color {
		return s
	}
	return "\x1b[1m" + s + "\x1b[22m"
}

// wrapped writes a text within the width, hanging under its first word.
func (p *printer) wrapped(first, hang, s string) {
	for i, l := range wrap(s, max(20, p.o.Width-width(hang))) {
		if i == 0 {
			p.line("%s%s", first, l)
		} else {
			p.line("%s%s", hang, l)
		}
	}
}

// wrap breaks a text at spaces into lines of at most room columns, and no number
// from its unit.
func wrap(s string, room int) []string {
	var lines []string
	line := ""
	for i, word := range together(s) {
		switch {
		case i == 0:
			line = word
		case width(line)+1+width(word) > room:
			lines = append(lines, line)
			line = word
		default:
			line += " " + word
		}
		for width(line) > room { // a word that is wider than the room: nothing else may stand before it
			var head string
			head, line = split(line, room)
			lines = append(lines, head)
		}
	}
	return append(lines, line)
}

// split breaks a word that is wider than the room, at a space or behind a hyphen if
// there is one.
func split(word string, room int) (head, rest string) {
	r := []rune(word)
	for k := room; k > 1; k-- {
		switch r[k-1] {
		case ' ':
			return string(r[:k-1]), string(r[k:])
		case '-':
			return string(r[:k]), string(r[k:])
		}
	}
	return string(r[:room]), string(r[room:])
}

// hanging breaks the name of a row into lines, the later ones further in than
// the first.
func hanging(name string, room int) []string {
	text := strings.TrimLeft(name, " ")
	in := name[:len(name)-len(text)]
	first := wrap(text, room-len(in))[0]
	lines := []string{in + first}
	if rest := strings.TrimPrefix(text[len(first):], " "); rest != "" {
		in += "  "
		for _, l := range wrap(rest, room-len(in)) {
			lines = append(lines, in+l)
		}
	}
	return lines
}

// lineOf is a line of a text that is broken over several; none beyond its end.
func lineOf(lines []string, i int) string {
	if i < len(lines) {
		return lines[i]
	}
	return ""
}

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

// gauges are the limits: a bar that fills towards a wall.
func (p *printer) gauges(r *study.Result, some []*study.Outcome) {
	ids := checksOf(r)
	if len(ids) == 0 {
		return
	}
	p.line("  %s", p.strong("Limits"))
	for _, k := range ids {
		p.row("  "+k.Name, some, plain, func(o *study.Outcome) string { return gauge(r, o, k) })
	}
}

// checksOf lists the checks that any candidate has, in their order; where the
// limits differ, without the limit in the name.
func checksOf(r *study.Result) []study.Check {
	var out []study.Check
	for _, id := range study.Checks() {
		first, found := study.Check{}, false
		for _, o := range r.Candidates {
			c, ok := checkOf(o, id)
			switch {
			case ok && !found:
				first, found = c, true
			case ok && c.Name != first.Name: // "excursion of 12 mm" holds for some only
				first.Name, _, _ = strings.Cut(first.Name, " of ")
			}
		}
		if id == study.CheckHeat { // the table has the power of a coil too
			first.Name = "driver’s " + first.Name
		}
		if found {
			out = append(out, first)
		}
	}
	return out
}

func checkOf(o *study.Outcome, id study.CheckID) (study.Check, bool) {
	for _, c := range o.Checks {
		if c.ID == id {
			return c, true
		}
	}
	return study.Check{}, false
}

func gauge(r *study.Result, o *study.Outcome, k study.Check) string {
	c, ok := checkOf(o, k.ID)
	if !ok || !c.Fill.OK() {
		return "–"
	}
	return strings.TrimSpace(beside(checkValue(c, r.Study.Units), bar(float64(c.Fill))) + " " + ownLimit(k, c))
}

// ownLimit is a candidate's limit where the name of the row does not tell it:
// "of 12 mm".
func ownLimit(row, c study.Check) string {
	if strings.Contains(row.Name, " of ") {
		return ""
	}
	if _, limit, ok := strings.Cut(c.Name, " of "); ok {
		return "of " + limit
	}
	return ""
}

// checkValue is a check's figure without its unit, which stands in its name.
func checkValue(c study.Check, u phys.System) string {
	if !c.Value.OK() {
		return "below"
	}
	switch c.Kind {
	case phys.Level:
		return phys.Fixed(float64(c.Value), 1)
	case phys.Price: // as in its own row
		return phys.Fixed(float64(c.Value), 0)
	}
	return phys.Digits(c.Kind.Unit(u).Of(float64(c.Value)), 3)
}

// bar is a gauge as text: what is used, what is left, the wall, and what lies
// beyond it.
func bar(fill float64) string {
	n := min(gaugeCells, int(fill*gaugeCells+0.5))
	if fill < 1 {
		n = min(n, gaugeCells-1) // a limit that is kept never touches its wall
	}
	s := strings.Repeat("━", n) + strings.Repeat("╌", gaugeCells-n) + "▒"
	if fill > 1+1e-9 {
		s += "━"
	}
	return s
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
			p.line("%sinside every limit", lead)
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
		p.wrapped("caution: ", "         ", cautionWords(c))
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

// cautionWords are a caution and what to do about it, alike wherever it is told.
func cautionWords(c note.Finding) string {
	if c.Mend == "" {
		return c.Text
	}
	return c.Text + "; " + c.Mend
}
