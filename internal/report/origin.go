package report

import (
	"io"
	"slices"
	"strings"

	"basswright/internal/note"
	"basswright/internal/study"
)

// briefKey is the row that sums up what the others say against the brief.
const briefKey = "brief"

// limitKey stands before the check of a row of gauges: a price is a figure and a
// limit too.
const limitKey = "limit-"

// Opened is where a cell of the comparison comes from: what it is by definition,
// the numbers in it, why, and the source. The key is that of its [TableRow]; false
// where there is no such row, it has no value, or the value is the study's own.
func Opened(r *study.Result, o *study.Outcome, key string) (Line, bool) {
	s, c, unit, ok := opened(r, o, key)
	if !ok {
		return Line{}, false
	}
	l := Lines([]note.Step{s}, r.Study.Units)[0]
	if c.text != "" { // as it stands in the cell
		l.Value, l.Unit = c.text, unit
	}
	return l, true
}

// OpenedLevel is where the level at one frequency comes from; false where the
// curves do not go there.
func OpenedLevel(r *study.Result, o *study.Outcome, hz float64) (Line, bool) {
	s, ok := r.Origin(o).LevelAt(hz)
	if !ok {
		return Line{}, false
	}
	return Lines([]note.Step{s}, r.Study.Units)[0], true
}

// opened is the step behind a cell; the cell is empty where it shows another
// figure than the step ends with.
func opened(r *study.Result, o *study.Outcome, key string) (s note.Step, c cell, unit string, ok bool) {
	g := r.Origin(o)
	if key == briefKey {
		return g.Brief(), text(briefCell(r, o).Text), "", true
	}
	if id, is := strings.CutPrefix(key, limitKey); is {
		k, found := checkOf(o, study.CheckID(id))
		if study.CheckID(id) == study.CheckFit && o.Unfolded(r.Study) != "" {
			return g.Unfolded(), text(o.Unfolded(r.Study)), "", true
		}
		return g.Check(k.ID), cell{}, "", found && k.Fill.OK() // the gauge is what is told
	}
	list := rows(r)
	i := slices.IndexFunc(list, func(w row) bool { return w.key == key && w.from != nil })
	if i < 0 {
		return s, c, "", false
	}
	c = list[i].cell(o)
	if c.text == "–" {
		return s, c, "", false
	}
	return list[i].from(g), c, list[i].unit, true
}

// OriginKeys are the keys of all figures of a result that [Opened] knows, in the
// order of its table.
func OriginKeys(r *study.Result) []string {
	var out []string
	for _, t := range NewTable(r).Rows {
		if t.Opens {
			out = append(out, t.Key)
		}
	}
	return out
}

// OriginText writes for a terminal where one figure of the candidates comes from.
// The key is one of [OriginKeys].
func OriginText(w io.Writer, r *study.Result, names []string, key string, o TextOptions) error {
	p := newPrinter(w, o)
	for i, c := range chosen(r, names) {
		if i > 0 {
			p.line("")
		}
		name := p.strong(p.paint(c.Index, c.Candidate.Name))
		l, ok := Opened(r, c, key)
		if !ok {
			p.wrapped("", "  ", name+": has no such figure")
			continue
		}
		value := l.Value
		switch l.Unit {
		case "", "°":
			value += l.Unit
		default:
			value += "\u2009" + l.Unit
		}
		p.wrapped("", "  ", name+": "+l.Name+", "+value)
		p.wrapped("  ", "    ", l.Formula)
		p.wrapped("  = ", "    ", l.Numbers)
		p.wrapped("  ", "    ", l.Why+". "+capital(l.Source)+".")
	}
	return p.err
}

type originJSON struct {
	Study      string            `json:"study"`
	Figure     string            `json:"figure"`
	Candidates []originCandidate `json:"candidates"`
}

type originCandidate struct {
	Name string    `json:"name"`
	Step *stepJSON `json:"step"` // null: the candidate has no such figure
}

// OriginJSON writes the same for programs, values in SI units.
func OriginJSON(w io.Writer, r *study.Result, names []string, key string) error {
	out := originJSON{Study: r.Study.Name, Figure: key}
	for _, c := range chosen(r, names) {
		j := originCandidate{Name: c.Candidate.Name}
		if s, _, _, ok := opened(r, c, key); ok {
			j.Step = &stepJSON{s, s.Kind.String(), s.Kind.SI()}
		}
		out.Candidates = append(out.Candidates, j)
	}
	return writeJSON(w, out)
}
