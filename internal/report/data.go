package report

import (
	"strings"

	"basswright/internal/note"
	"basswright/internal/phys"
	"basswright/internal/study"
)

// A TableRow is a row of the comparison as data: what [CompareText] and the page
// show, in the same order.
type TableRow struct {
	Group string // heading above the row; empty if the group goes on
	Key   string // "f3_hz"; of a limit limitKey and its [study.CheckID]
	Name  string
	Unit  string
	Per   float64 // the unit in SI; 0 of what is no quantity
	Limit bool    // the cells are gauges
	Opens bool    // [Opened] tells where its values come from
	Cells []TableCell
}

// A TableCell is what stands in a row for one candidate.
type TableCell struct {
	Text  string
	At    string     // where it is worst: "at 29.3 Hz"
	Asked string     // what was asked, where a figure misses it
	Fill  phys.Maybe // share of the limit
	Over  bool       // the limit is passed
}

// Table is the comparison: the figures, then what gives first and the limits,
// then cost and weight.
func Table(r *study.Result) []TableRow {
	list := rows(r)
	out := make([]TableRow, 0, 2*len(list))
	out = append(out, TableRow{Key: briefKey, Name: "against the brief", Opens: true, Cells: briefCells(r)})
	bill := len(list)
	for i, w := range list {
		if w.group == "Cost and weight" {
			bill = i
		}
	}
	for _, w := range list[:bill] {
		out = append(out, figureRow(r, w))
	}
	out = append(out, limitRows(r)...)
	for _, w := range list[bill:] {
		out = append(out, figureRow(r, w))
	}
	return out
}

func figureRow(r *study.Result, w row) TableRow {
	t := TableRow{Group: w.group, Key: w.key, Name: strings.TrimSpace(w.name), Unit: w.unit, Per: w.per, Opens: w.from != nil, Cells: make([]TableCell, 0, len(r.Candidates))}
	for _, o := range r.Candidates {
		c := w.cell(o)
		cell := TableCell{Text: c.text, At: c.at, Fill: phys.None()}
		cell.Asked = askedOf(r, o, w.key)
		t.Cells = append(t.Cells, cell)
	}
	return t
}

// askedBy are the figures that the brief asks for by themselves.
var askedBy = map[string]study.CheckID{
	"f3_hz": study.CheckF3, "f6_hz": study.CheckF6, "f10_hz": study.CheckF10, "level_asked_db": study.CheckLevel,
}

// askedOf says what was asked where a candidate misses the goal of a row.
func askedOf(r *study.Result, o *study.Outcome, key string) string {
	if k, ok := checkOf(o, askedBy[key]); ok && k.Asked && !k.Passed {
		return "asked: " + limitValue(k, r.Study.Units)
	}
	return ""
}

func limitValue(k study.Check, u phys.System) string {
	if k.Kind == phys.Level {
		return phys.Fixed(k.Limit, 1)
	}
	return phys.Digits(k.Kind.Unit(u).Of(k.Limit), 3)
}

// briefCells say in few words what each candidate misses.
func briefCells(r *study.Result) []TableCell {
	var out []TableCell
	for _, o := range r.Candidates {
		out = append(out, briefCell(r, o))
	}
	return out
}

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

// limitRows are the gauges, but for what a figure of the table says already.
func limitRows(r *study.Result) []TableRow {
	var out []TableRow
	for _, k := range checksOf(r) {
		t := TableRow{Key: limitKey + string(k.ID), Name: k.Name, Limit: true, Opens: true, Cells: make([]TableCell, 0, len(r.Candidates))}
		if len(out) == 0 {
			t.Group = "Limits"
		}
		for _, o := range r.Candidates {
			c, ok := checkOf(o, k.ID)
			if !ok || !c.Fill.OK() {
				text := "–"
				if fold := o.Unfolded(r.Study); k.ID == study.CheckFit && fold != "" {
					text = fold
				}
				t.Cells = append(t.Cells, TableCell{Text: text, Fill: phys.None()})
				continue
			}
			cell := TableCell{Text: checkValue(c, r.Study.Units), Fill: c.Fill, Over: !c.Passed}
			if c.At.OK() {
				cell.At = "at " + phys.Show(float64(c.At), phys.Frequency, r.Study.Units)
			}
			t.Cells = append(t.Cells, cell)
		}
		out = append(out, t)
	}
	return out
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
