package report

import (
	"slices"
	"strings"

	"basswright/internal/note"
	"basswright/internal/phys"
	"basswright/internal/study"
)

// A Table is the comparison as data: what [CompareText] and the page show, in the same
// order. It is the heads of its rows; the cells are made a candidate at a time, as few of
// them change with a study.
type Table struct {
	Rows  []TableRow
	cells []func(o *study.Outcome) TableCell
}

// A TableRow is the head of a row.
type TableRow struct {
	Group string // heading above the row; empty if the group goes on
	Key   string // "f3_hz"; of a limit limitKey and its [study.CheckID]
	Name  string
	Unit  string
	Per   float64 // the unit in SI; 0 of what is no quantity
	Limit bool    // the cells are gauges
	Opens bool    // [Opened] tells where its values come from
}

// A TableCell is what stands in a row for one candidate.
type TableCell struct {
	Text  string
	At    string     // where it is worst: "at 29.3 Hz"
	Asked string     // what was asked, where a figure misses it
	Fill  phys.Maybe // share of the limit
	Over  bool       // the limit is passed
}

// NewTable is the comparison of a result: the figures, then what gives first and the
// limits, then cost and weight.
func NewTable(r *study.Result) *Table {
	list := rows(r)
	room := 1 + len(list) + len(study.Checks())
	t := &Table{Rows: make([]TableRow, 0, room), cells: make([]func(*study.Outcome) TableCell, 0, room)}
	t.add(TableRow{Key: briefKey, Name: "against the brief", Opens: true}, func(o *study.Outcome) TableCell { return briefCell(r, o) })
	bill := slices.IndexFunc(list, func(w row) bool { return w.group == "Cost and weight" })
	if bill < 0 {
		bill = len(list)
	}
	t.figures(r.Study, list[:bill])
	t.limits(r)
	t.figures(r.Study, list[bill:])
	return t
}

// Column are the cells of a candidate of the result, one a row. They follow from the
// candidate as it was found, from its study, from which rows there are and from whether the
// result has a brief: where these are as they were, so are they.
func (t *Table) Column(o *study.Outcome) []TableCell {
	out := make([]TableCell, len(t.cells))
	for i, cell := range t.cells {
		out[i] = cell(o)
	}
	return out
}

func (t *Table) add(r TableRow, cell func(o *study.Outcome) TableCell) {
	t.Rows, t.cells = append(t.Rows, r), append(t.cells, cell)
}

func (t *Table) figures(st *study.Study, list []row) {
	for i := range list {
		w := &list[i]
		t.add(TableRow{Group: w.group, Key: w.key, Name: strings.TrimSpace(w.name), Unit: w.unit, Per: w.per, Opens: w.from != nil}, func(o *study.Outcome) TableCell {
			c := w.cell(o)
			return TableCell{Text: c.text, At: c.at, Fill: phys.None(), Asked: askedOf(st, o, w.key)}
		})
	}
}

// askedBy are the figures that the brief asks for by themselves.
var askedBy = map[string]study.CheckID{
	"f3_hz": study.CheckF3, "f6_hz": study.CheckF6, "f10_hz": study.CheckF10, "level_asked_db": study.CheckLevel,
}

// askedOf says what was asked where a candidate misses the goal of a row.
func askedOf(st *study.Study, o *study.Outcome, key string) string {
	if k, ok := checkOf(o, askedBy[key]); ok && k.Asked && !k.Passed {
		return "asked: " + limitValue(k, st.Units)
	}
	return ""
}

func limitValue(k study.Check, u phys.System) string {
	if k.Kind == phys.Level {
		return phys.Fixed(k.Limit, 1)
	}
	return phys.Digits(k.Kind.Unit(u).Of(k.Limit), 3)
}

// briefCell says in few words what a candidate misses.
func briefCell(r *study.Result, o *study.Outcome) TableCell {
	c := TableCell{Text: o.Kept(r.Study), Fill: phys.None()}
	switch {
	case len(o.Misses) > 0:
		var short []string
		for _, m := range o.Misses {
			short = append(short, m.Short)
		}
		if fold := o.Unfolded(r.Study); fold != "" {
			short = append(short, fold)
		}
		c.Text, c.Over = strings.Join(short, "; "), true
	case r.HasBrief:
		c.Text = "meets it"
		if o.FitUnjudged(r.Study) {
			c.Text += "; its fit is not judged: " + o.Unfolded(r.Study)
		}
	}
	return c
}

// limits are the gauges, but for what a figure of the table says already.
func (t *Table) limits(r *study.Result) {
	group := "Limits"
	for _, k := range checksOf(r) {
		t.add(TableRow{Group: group, Key: limitKey + string(k.ID), Name: k.Name, Limit: true, Opens: true}, func(o *study.Outcome) TableCell { return limitCell(r.Study, o, k.ID) })
		group = ""
	}
}

func limitCell(st *study.Study, o *study.Outcome, id study.CheckID) TableCell {
	c, ok := checkOf(o, id)
	if !ok || !c.Fill.OK() {
		text := "–"
		if fold := o.Unfolded(st); id == study.CheckFit && fold != "" {
			text = fold
		}
		return TableCell{Text: text, Fill: phys.None()}
	}
	cell := TableCell{Text: checkValue(c, st.Units), Fill: c.Fill, Over: !c.Passed}
	if c.At.OK() {
		cell.At = "at " + phys.Show(float64(c.At), phys.Frequency, st.Units)
	}
	return cell
}

// A Line is a step of a derivation in words.
type Line struct {
	Name, Symbol, Unit       string
	Single, Value            string
	Rule, Why                string
	Formula, Numbers, Source string
}

// Lines are steps in the units of a study.
func Lines(steps []note.Step, u phys.System) []Line {
	out := make([]Line, 0, len(steps))
	for _, s := range steps {
		out = append(out, Line{
			Name: s.Name, Symbol: s.Symbol, Unit: s.Kind.Unit(u).Name, Single: stepValue(s.Single, s.Kind, u), Value: stepValue(s.Value, s.Kind, u),
			Rule: s.Rule, Why: s.Why, Formula: s.Formula, Numbers: s.Numbers, Source: s.Source,
		})
	}
	return out
}

// Ledger is where a candidate's figures come from: the group against the single
// driver, then what the box makes of it.
func Ledger(o *study.Outcome, u phys.System) []Line {
	return append(Lines(o.Ledger, u), Lines(o.BoxLedger, u)...)
}

// GroupWords say how the leads go and, of a stack, what it is not.
func GroupWords(o *study.Outcome, u phys.System) []string {
	out := []string{capital(polarity(o))}
	for _, s := range o.Coupling {
		out = append(out, capital(stackWords(s, u)))
	}
	return out
}
