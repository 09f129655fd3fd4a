package draw

import (
	"fmt"
	"slices"
)

// Moments at which a logarithmic axis of time has ticks, s: those by which people tell how long a thing takes.
var moments = []float64{1, 2, 5, 10, 20, 30, 60, 120, 300, 600, 1200, 1800, 3600, 7200, 5 * 3600, 10 * 3600, 24 * 3600}

// round are those of them that have numbers before the others.
var round = []float64{1, 10, 60, 600, 3600, 10 * 3600}

// nearEnd is how many times a moment has to fit into the last one to have a number beside it.
const nearEnd = 2.9

// TimeAxis is a logarithmic axis of time from one moment to another, in s, with ticks that are told in seconds,
// minutes and hours.
func TimeAxis(from, to float64) XAxis {
	a := XAxis{From: from, To: to, Name: "Time", Write: Moment}
	for _, t := range moments {
		if t >= from*(1-1e-9) && t <= to*(1+1e-9) {
			a.Ticks = append(a.Ticks, t)
		}
	}
	for k := 2; len(a.Ticks) == 0; k *= 2 { // over less than a third of an octave none may lie inside
		a.Ticks = NiceTicks(from, to, k)
	}
	last := a.Ticks[len(a.Ticks)-1]
	for k, t := range a.Ticks {
		if k > 0 && t != last && t > last/nearEnd {
			continue
		}
		if k == 0 || k == len(a.Ticks)-1 || slices.Contains(round, t) {
			a.first = append(a.first, t)
		}
	}
	return a
}

// Moment writes a time, s, in the unit that a person would choose: "30 s", "5 min", "2 h".
func Moment(s float64) string {
	switch {
	case s < 60:
		return fmt.Sprintf("%s\u2009s", Number(s))
	case s < 3600:
		return fmt.Sprintf("%s\u2009min", Number(s/60))
	}
	return fmt.Sprintf("%s\u2009h", Number(s/3600))
}

// Stacked draws plots below each other on one x axis, the first at the top: their frames begin and end at the same
// places, and only the last has numbers and a name. Each keeps its own height; the scene has to be as high as all.
func Stacked(s *Scene, x, y float64, plots ...Plot) {
	left, right := 0.0, 0.0
	margins := make([]Margin, len(plots))
	for i := range plots {
		plots[i].X.Bare = i < len(plots)-1
		margins[i] = plots[i].margin()
		left, right = max(left, margins[i].Left), max(right, margins[i].Right)
	}
	for i, p := range plots {
		margins[i].Left, margins[i].Right = left, right
		p.Margin = &margins[i]
		p.Draw(s, x, y)
		y += p.H
	}
}
