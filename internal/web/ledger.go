package web

import (
	"strconv"

	"basswright/internal/report"
	"basswright/internal/study"
	"basswright/internal/variant"
)

// The ledger goes to the page in parts, each under a key of its own: the heads of its rows,
// and a column of cells for each candidate. While a number is dragged, one column changes.

// head adds the heads of the rows, unless the page has them.
func (r *Result) head(t *report.Table, have map[string]bool) {
	text := make([]byte, 0, 4<<10)
	for i := range t.Rows {
		row := &t.Rows[i]
		for _, s := range [...]string{row.Group, row.Key, row.Name, row.Unit} {
			text = append(append(text, s...), 0)
		}
		text = strconv.AppendFloat(text, row.Per, 'g', -1, 64)
		text = strconv.AppendBool(strconv.AppendBool(text, row.Limit), row.Opens)
	}
	if r.HeadsKey = keyOf(text); have[r.HeadsKey] {
		return
	}
	r.Heads = make([]Head, len(t.Rows))
	for i, row := range t.Rows {
		r.Heads[i] = Head(row)
	}
}

// column adds a candidate's cells, with the places where its figures can be set, unless the
// page has them. What they depend on is told at [report.Table.Column].
func (c *Candidate) column(r *study.Result, o *study.Outcome, t *report.Table, headsKey string, have map[string]bool) {
	of := o.Candidate.Digest
	c.CellsKey = key("cells", foundBy(r, o), r.HasBrief, headsKey)
	if of != "" && have[c.CellsKey] {
		return
	}
	column := t.Column(o)
	c.Cells = make([]Cell, len(column))
	for i := range column {
		d := &column[i]
		c.Cells[i] = Cell{Text: d.Text, At: d.At, Asked: d.Asked, Over: d.Over, Path: variant.Field(t.Rows[i].Key, o)}
		if d.Fill.OK() {
			c.Cells[i].Fill = (*float64)(&d.Fill)
		}
	}
}
