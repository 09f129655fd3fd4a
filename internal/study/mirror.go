package study

import (
	"context"
	"fmt"
	"math"

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
	Words    []string // what follows from the rows, in plain sentences
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
	Odd              [2]phys.Maybe // the third and fifth, which stay
}

// EvenLines are the lines of a MirrorRow.
var evenLines = [2]int{2, 4}

// Mirror finds what mirroring buys for candidate i at some frequencies and
// voltages as Distort takes them; nil where the candidate has no stack of alike
// drivers of even depth, or where they have no curves. The error is a
// *CandidateError or the context's.
func (st *Study) Mirror(ctx context.Context, i int, at, volts []float64) (*Mirror, error) {
	c := &st.Candidates[i]
	g := c.Group
	if !mirrorable(g) {
		return nil, nil
	}
	m := &Mirror{Mirrored: mirrored(g), Coupled: len(g.Coupling) > 0}
	own, linear := large.Options{Adiabatic: st.Model.AdiabaticAir, LinearAir: st.Model.LinearAir}, large.Options{Adiabatic: st.Model.AdiabaticAir, LinearAir: true}
	turned := turnedGroup(g, true)
	samples, err := st.mismatch().unlike(tight(turned))
	if err != nil {
		return nil, &CandidateError{c, err}
	}
	for _, v := range []struct {
		of    *driver.Group
		model large.Options
		to    func(r *MirrorRow) *[2]phys.Maybe
		skip  bool
	}{
		{of: turnedGroup(g, false), model: own, to: func(r *MirrorRow) *[2]phys.Maybe { return &r.SameWay }},
		{of: turned, model: own, to: func(r *MirrorRow) *[2]phys.Maybe { return &r.Facing }},
		{of: tight(turned), model: linear, to: func(r *MirrorRow) *[2]phys.Maybe { return &r.Tight }},
		{of: tight(turned), model: large.Options{Adiabatic: own.Adiabatic}, to: func(r *MirrorRow) *[2]phys.Maybe { return &r.BoxAir }},
		{of: turned, model: linear, to: func(r *MirrorRow) *[2]phys.Maybe { return &r.GapAir }, skip: !m.Coupled},
		{of: samples, model: linear, to: func(r *MirrorRow) *[2]phys.Maybe { return &r.Unlike }},
	} {
		d := &Distortion{}
		if !v.skip {
			var err error
			if d, err = st.distortGroup(ctx, c, v.of, v.model, at, volts); err != nil {
				return nil, err
			}
		}
		m.fill(d, v.to)
	}
	m.Words = st.mirrorWords(m)
	return m, nil
}

// fill takes one variant's lines into the rows.
func (m *Mirror) fill(d *Distortion, to func(r *MirrorRow) *[2]phys.Maybe) {
	if len(m.Rows) == 0 {
		m.Rows = make([]MirrorRow, len(d.Points))
		for k, p := range d.Points {
			m.Rows[k] = MirrorRow{Frequency: p.Frequency, Volts: p.Volts, Odd: linesOf(p.Pressure, [2]int{3, 5})}
		}
	}
	for k := range m.Rows {
		if r := to(&m.Rows[k]); k < len(d.Points) {
			*r = linesOf(d.Points[k].Pressure, evenLines)
		} else {
			*r = [2]phys.Maybe{phys.None(), phys.None()}
		}
	}
}

// inaudible is how far below the fundamental a line is taken for none, dB:
// what lies lower is rounding.
const inaudible = -160.0

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
	sys, _, err := enclosure.Build(g, c.Enclosure, set)
	if err != nil {
		return nil, &CandidateError{c, err}
	}
	return st.distort(ctx, c, large.New(sys, o), at, volts)
}

// The words are about the second line where the same-way stack has most of it.
const (
	tinyShare = -60.0 // dB: a second line below this is no reason to mirror
	little    = 3.0   // dB: less than this is no gain to build for
)

// mirrorWords say what follows.
func (st *Study) mirrorWords(m *Mirror) []string {
	worst := 0
	for k := range m.Rows {
		if v := m.Rows[k].SameWay[0]; v.OK() && !(float64(v) <= float64(m.Rows[worst].SameWay[0])) {
			worst = k
		}
	}
	r := m.Rows[worst]
	at := fmt.Sprintf("at %s and %s", phys.Brief(r.Frequency, phys.Frequency, st.Units), phys.Brief(r.Volts, phys.Voltage, st.Units))
	db := func(v phys.Maybe) string {
		if !v.OK() {
			return "none"
		}
		return phys.Fixed(float64(v), 1) + "\u2009dB"
	}
	same, now := r.SameWay[0], r.Facing[0]
	gain := float64(same - now)
	if !now.OK() {
		gain = math.Inf(1)
	}
	verb := "mirroring would bring"
	if m.Mirrored {
		verb = "mirroring brings"
	}
	var out []string
	switch {
	case !same.OK() || float64(same) < tinyShare:
		out = append(out, fmt.Sprintf("The drivers’ curves are so symmetrical that mirroring buys nothing: turned the same way, the second harmonic is %s %s at most.", db(same), at))
	case gain < little:
		out = append(out, fmt.Sprintf("Mirroring buys next to nothing: it takes the second harmonic from %s to %s %s.", db(same), db(now), at))
	default:
		out = append(out, fmt.Sprintf("Where it is largest, %s, %s the second harmonic from %s to %s.", at, verb, db(same), db(now)))
	}
	if odd := r.Odd[0]; odd.OK() {
		out = append(out, fmt.Sprintf("The odd harmonics stay: the third is %s there.", db(odd)))
	}
	back := ""
	add := func(what string, v phys.Maybe) {
		if v.OK() {
			if back != "" {
				back += ", "
			}
			back += fmt.Sprintf("%s alone leaves %s", what, db(v))
		}
	}
	if m.Coupled {
		add("the air between the cones", r.GapAir[0])
	}
	if !st.Model.LinearAir {
		add("the air of the box", r.BoxAir[0])
	}
	add("a pair of unlike samples ("+st.mismatch().Words(st.Units)+")", r.Unlike[0])
	if back != "" {
		out = append(out, "What takes it back: of a second harmonic that a perfect mirror would cancel, "+back+".")
	}
	for k := range m.Rows {
		if a, b := m.Rows[k].SameWay[1], m.Rows[k].Facing[1]; m.Coupled && a.OK() && b.OK() && float64(b-a) > little && float64(b) > tinyShare {
			out = append(out, fmt.Sprintf("The fourth even rises, from %s to %s at %s: where the cones move against each other on the air between them, nothing is cancelled.",
				db(a), db(b), phys.Brief(m.Rows[k].Frequency, phys.Frequency, st.Units)))
			break
		}
	}
	return out
}
