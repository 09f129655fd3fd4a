package report

import (
	"fmt"
	"strings"

	"basswright/internal/phys"
	"basswright/internal/study"
)

// A pageTable is a table of what only some candidates have: a row for each.
type (
	pageTable struct {
		Title, Note string
		Head        []pageHead // of the columns behind the name
		Rows        []pageTableRow
		Span        int // columns in all
	}
	pageHead     struct{ Name, Unit string }
	pageTableRow struct {
		Name, Part string // the candidate, and what of it
		Colour     int
		Cells      []pageCell
		Below      string // a sentence under the row
	}
)

func (t *pageTable) add(o *study.Outcome, part, below string, cells ...pageCell) {
	t.Rows = append(t.Rows, pageTableRow{Name: o.Candidate.Name, Part: part, Colour: colour(o.Look()), Cells: cells, Below: below})
}

// tables adds those that have a row.
func (d *pageData) tables(r *study.Result) {
	for _, t := range []pageTable{portTable(r), leastTable(r), coneTable(r)} {
		if t.Span = len(t.Head) + 1; len(t.Rows) > 0 {
			d.Tables = append(d.Tables, t)
		}
	}
}

// plainNumber is a figure in the unit of its kind without the unit, which its column has.
func plainNumber(v phys.Maybe, k phys.Kind, u phys.System) pageCell {
	if k == phys.Level {
		return pageCell{Text: decibels(v).text}
	}
	return pageCell{Text: number(v, k, u).text}
}

// placedNumber is one with the frequency that it is at.
func placedNumber(v, f phys.Maybe, k phys.Kind, u phys.System) pageCell {
	c := plainNumber(v, k, u)
	if v.OK() {
		c.At = at(study.Peak{Value: v, At: f}, u)
	}
	return c
}

// partOf names an opening where a candidate has several.
func partOf(o *study.Outcome, a *study.PortAir) string {
	if len(o.Air) < 2 {
		return ""
	}
	return a.Name
}

// portTable is what the air in each port does.
func portTable(r *study.Result) pageTable {
	u := r.Study.Units
	speed, hz := unitWord(phys.Speed, u), unitWord(phys.Frequency, u)
	t := pageTable{Title: "The air in the ports", Head: []pageHead{
		{"Air, peak", speed}, {"Its limit", speed}, {"Of it", "times"}, {"Vortices from", speed}, {"Its loss costs", "dB"}, {"Pipe resonance", hz},
	}}
	full := false
	for _, o := range r.Candidates {
		for i := range o.Air {
			a := &o.Air[i]
			full = full || a.Full
			air, where := a.Speed, a.Share.At
			if !a.Share.Value.OK() {
				air, where = a.Fastest.Value, a.Fastest.At
			}
			share := plainNumber(a.Share.Value, phys.Number, u)
			share.Bad = a.Share.Value > 1+1e-9
			from := plainNumber(a.Onset, phys.Speed, u)
			if a.Onset == 0 {
				from.Text = "any speed"
			}
			below := ""
			if a.Limit.OK() && !a.Stated {
				below = "The limit: " + a.Source + "."
			}
			t.add(o, partOf(o, a), below, placedNumber(air, where, phys.Speed, u), plainNumber(a.Limit, phys.Speed, u), share, from,
				placedNumber(a.Loss.Value, a.Loss.At, phys.Level, u), plainNumber(phys.Maybe(a.PipeMode), phys.Frequency, u))
		}
	}
	t.Note = "On the drive, where the air is nearest to its limit."
	if full {
		t.Note = "At all that the amplifier gives, where the air is nearest to its limit."
	}
	return t
}

// leastTable is the least port for each use, and what else can be done where it
// has no room.
func leastTable(r *study.Result) pageTable {
	u := r.Study.Units
	t := pageTable{Title: "The least ports", Note: "The smallest port of the same shape whose air keeps its limit, with the tuning that is there.", Head: []pageHead{
		{"For", ""}, {"Size", ""}, {"In all", unitWord(phys.Area, u)}, {"Takes", unitWord(phys.Volume, u)}, {"Pipe resonance", unitWord(phys.Frequency, u)}, {"Does it fit?", ""},
	}}
	for _, o := range r.Candidates {
		for i := range o.Air {
			a := &o.Air[i]
			for k := range a.Least {
				l := &a.Least[k]
				cells, below := leastCells(r.Study, l)
				t.add(o, partOf(o, a), below, cells...)
			}
		}
	}
	return t
}

func leastCells(st *study.Study, l *study.LeastPort) (cells []pageCell, below string) {
	if l.Area == 0 {
		none := pageCell{Text: "–"}
		return []pageCell{{Text: l.For}, {Text: "none"}, none, none, none, none}, capital(l.Why) + "."
	}
	fits := pageCell{Text: "it does"}
	switch {
	case l.Enough:
		fits.Text = "the port there is large enough"
	case l.Fits && l.Anywhere:
		fits.Text = "no space is given"
	case !l.Fits:
		fits = pageCell{Text: "no", Bad: true}
		below = capital(l.Why) + ". Instead: " + strings.Join(l.Instead, "; or ") + "."
	}
	return []pageCell{
		{Text: l.For}, {Text: l.Size(st)}, plainNumber(phys.Maybe(l.Area), phys.Area, st.Units), plainNumber(phys.Maybe(l.Taken), phys.Volume, st.Units),
		plainNumber(phys.Maybe(l.PipeMode), phys.Frequency, st.Units), fits,
	}, below
}

// coneTable is what the air between the cones of each stack does.
func coneTable(r *study.Result) pageTable {
	u := r.Study.Units
	t := pageTable{Title: "The air between the cones", Head: []pageHead{
		{"From a rigid link", "dB"}, {"The cones against each other", unitWord(phys.Frequency, u)}, {"Its mass", unitWord(phys.Mass, u)}, {"Cones, peak", unitWord(phys.Length, u)},
	}}
	for _, o := range r.Candidates {
		for i, s := range o.Coupling {
			part := ""
			if len(o.Coupling) > 1 {
				part = fmt.Sprintf("stack %d", i+1)
			}
			below := ""
			off := pageCell{Text: "–"}
			switch {
			case s.Rigid:
				off.Text, below = "rigid", "No coupling volume is given."
			case s.Error.Value.OK():
				off = pageCell{Text: phys.Fixed(float64(s.Error.Value), 2), At: at(study.Peak{Value: s.Error.Value, At: s.Error.At}, u)}
				if !s.AirMass.OK() {
					below = "The mass of the air is not counted without the coupling’s length."
				}
			default:
				below = "The cones work against each other."
			}
			cones, _ := strings.CutSuffix(coneWords(s, u), " peak at the drive.")
			t.add(o, part, below, off, pageCell{Text: modeWords(s.Modes, u)}, plainNumber(s.AirMass, phys.Mass, u), pageCell{Text: cones})
			t.Note = fmt.Sprintf("The level against that of rigidly coupled cones, at its worst from %s to %s; the movement of the cones on the drive.",
				phys.Brief(s.Band.From, phys.Frequency, u), phys.Brief(s.Band.To, phys.Frequency, u))
		}
	}
	return t
}

// modeWords are frequencies without their unit: one by one, or of many the range.
func modeWords(modes []float64, u phys.System) string {
	if len(modes) == 0 {
		return "–"
	}
	var each []string
	for _, f := range modes {
		each = append(each, phys.Digits(phys.Frequency.Unit(u).Of(f), 3))
	}
	if n := len(each); n > told {
		return fmt.Sprintf("%s to %s (%d of them)", each[0], each[n-1], n)
	}
	return enumerate(each)
}
