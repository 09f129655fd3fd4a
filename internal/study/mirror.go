package study

import (
	"context"
	"math"
	"slices"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/large"
	"basswright/internal/phys"
)

// Mirror tells what it buys to mirror a stack: to let its drivers face both ways,
// so that one goes in where the other goes out, and what takes that back.
type Mirror struct {
	Mirrored bool // it is mirrored as it stands; else Mirror tells what it would be
	Coupled  bool // there is air between the cones
	Rows     []MirrorRow
	Words    []string // what follows from the rows, in plain sentences; or why there are none
}

// MirrorRow is the even lines at one frequency and drive, in the order of
// EvenLines: dB against the fundamental, none where there is no line.
type MirrorRow struct {
	Frequency, Volts float64
	SameWay          [2]phys.Maybe // all drivers turned the same way
	Facing           [2]phys.Maybe // mirrored, in the box and with the air that the candidate has
	Tight            [2]phys.Maybe // mirrored, rigidly coupled, in linear air: what mirroring promises
	BoxAir           [2]phys.Maybe // the same with the air of the box as the gas has it: no mirror touches that
	GapAir           [2]phys.Maybe // the same with the air between the cones as a linear spring; none where there is none
	Unlike           [2]phys.Maybe // the same with samples that differ by the study’s mismatch
	OddSame, Odd     [2]phys.Maybe // the third and fifth: turned the same way, and mirrored
	Swing            float64       // m, how far a cone goes that is turned the same way
	Off              []string      // columns that have no state, or one that has jumped or does not last; they have no lines then
}

// The names of columns in MirrorRow.Off.
const (
	ColumnSameWay, ColumnFacing, ColumnTight = "same way", "mirrored", "perfect"
	ColumnBoxAir, ColumnGapAir, ColumnUnlike = "box air", "gap air", "unlike"
)

// stands says whether there is a state that can be compared with others: one that the system
// has jumped to, or that does not last, lies on another branch than theirs.
func (p *DistortionPoint) stands() bool {
	return p.Lost == "" && !p.Standing.Jumped && p.Standing.Lasting != large.Unstable
}

// off says whether a column of the row cannot be compared.
func (r *MirrorRow) off(columns ...string) bool {
	return slices.ContainsFunc(columns, func(c string) bool { return slices.Contains(r.Off, c) })
}

// The lines of a MirrorRow.
var evenLines, oddLines = [2]int{2, 4}, [2]int{3, 5}

// Mirror finds what mirroring buys for candidate i at some frequencies and
// voltages as Distort takes them; nil where the candidate has no stack, or its
// drivers no curves. Without rows it says why it cannot tell of a stack that faces
// both ways. The error is a *CandidateError or the context's.
func (st *Study) Mirror(ctx context.Context, i int, at, volts []float64) (*Mirror, error) {
	c := &st.Candidates[i]
	g := c.Group
	if !mirrorable(g) {
		return unmirrored(g), nil
	}
	m := &Mirror{Mirrored: mirrored(g), Coupled: len(g.Coupling) > 0}
	own, linear := large.Options{Adiabatic: st.Model.AdiabaticAir, LinearAir: st.Model.LinearAir}, large.Options{Adiabatic: st.Model.AdiabaticAir, LinearAir: true}
	turned := turnedGroup(g, true)
	samples, err := st.mismatch().unlike(tight(turned))
	if err != nil {
		return nil, &CandidateError{c, err}
	}
	same, err := st.distortGroup(ctx, c, turnedGroup(g, false), own, at, volts)
	if err != nil {
		return nil, err
	}
	m.Rows = make([]MirrorRow, len(same.Points))
	for k, p := range same.Points {
		r := &m.Rows[k]
		r.Frequency, r.Volts = p.Frequency, p.Volts
		r.SameWay, r.OddSame = linesOf(p.Pressure, evenLines), linesOf(p.Pressure, oddLines)
		if !p.stands() {
			r.Off = append(r.Off, ColumnSameWay)
			r.SameWay, r.OddSame = noLines(), noLines()
		}
		for _, cone := range p.Cones[:g.Depth()] {
			r.Swing = math.Max(r.Swing, math.Max(cone.Max, -cone.Min))
		}
	}
	for _, v := range []struct {
		name  string
		of    *driver.Group
		model large.Options
		to    func(r *MirrorRow) *[2]phys.Maybe
		skip  bool
	}{
		{name: ColumnFacing, of: turned, model: own, to: func(r *MirrorRow) *[2]phys.Maybe { return &r.Facing }},
		{name: ColumnTight, of: tight(turned), model: linear, to: func(r *MirrorRow) *[2]phys.Maybe { return &r.Tight }},
		{name: ColumnBoxAir, of: tight(turned), model: large.Options{Adiabatic: own.Adiabatic}, to: func(r *MirrorRow) *[2]phys.Maybe { return &r.BoxAir }},
		{name: ColumnGapAir, of: turned, model: linear, to: func(r *MirrorRow) *[2]phys.Maybe { return &r.GapAir }, skip: !m.Coupled},
		{name: ColumnUnlike, of: samples, model: linear, to: func(r *MirrorRow) *[2]phys.Maybe { return &r.Unlike }},
	} {
		for k := range m.Rows {
			*v.to(&m.Rows[k]) = noLines()
		}
		if v.skip {
			continue
		}
		d, err := st.distortGroup(ctx, c, v.of, v.model, at, volts)
		if err != nil {
			return nil, err
		}
		for k, p := range d.Points {
			r := &m.Rows[k]
			to := v.to(r)
			if !p.stands() {
				r.Off = append(r.Off, v.name)
				if to == &r.Facing {
					r.Odd = noLines()
				}
				continue
			}
			if *to = linesOf(p.Pressure, evenLines); to == &r.Facing {
				r.Odd = linesOf(p.Pressure, oddLines)
			}
		}
	}
	m.Words = st.mirrorWords(m, g.Positions[0][0].Driver)
	return m, nil
}

// inaudible is how far below the fundamental a line is taken for none, dB:
// what lies lower is rounding.
const inaudible = -160.0

func noLines() [2]phys.Maybe { return [2]phys.Maybe{phys.None(), phys.None()} }

func linesOf(l large.Lines, which [2]int) (out [2]phys.Maybe) {
	for i, n := range which {
		out[i] = LineLevel(l, n) - LineLevel(l, 1)
		if !(float64(out[i]) > inaudible) {
			out[i] = phys.None()
		}
	}
	return out
}

// mirrorable says whether mirroring changes anything: a stack of alike drivers of
// even depth that move together and have curves.
func mirrorable(g *driver.Group) bool {
	return g.Depth()%2 == 0 && g.Alike() && g.MovesTogether() && g.Positions[0][0].Driver.Curves != nil
}

// mirrored says whether the drivers of a stack face both ways.
func mirrored(g *driver.Group) bool {
	for _, m := range g.Positions[0] {
		if m.Facing != g.Positions[0][0].Facing {
			return true
		}
	}
	return false
}

// turnedGroup is the group with its drivers facing in turn, or all to the
// listener; their cones move as before. What is mirrored already keeps its way.
func turnedGroup(g *driver.Group, inTurn bool) *driver.Group {
	out := *g
	out.Positions = make([][]driver.Member, len(g.Positions))
	for p, stack := range g.Positions {
		for k, m := range stack {
			way := m.Direction()
			switch {
			case !inTurn:
				m.Facing = driver.Front
			case !mirrored(g) && k%2 == 1:
				m.Facing = driver.Rear
			}
			m.Polarity = way * int(m.Facing)
			out.Positions[p] = append(out.Positions[p], m)
		}
	}
	return &out
}

// tight is the group with its cones rigidly coupled.
func tight(g *driver.Group) *driver.Group {
	out := *g
	out.Coupling = nil
	return &out
}

// distortGroup finds the steady states of a candidate with another group.
func (st *Study) distortGroup(ctx context.Context, c *Candidate, g *driver.Group, o large.Options, at, volts []float64) (*Distortion, error) {
	set := st.Setting()
	set.BareAir = true
	own, _, err := enclosure.Build(c.Group, c.Enclosure, set)
	if err != nil {
		return nil, &CandidateError{c, err}
	}
	sys, _, err := enclosure.Build(g, resolved(own.Spec), set) // the box is built once
	if err != nil {
		return nil, &CandidateError{c, err}
	}
	return st.distort(ctx, c, large.New(sys, o), at, volts)
}
