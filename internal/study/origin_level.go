package study

import (
	"fmt"
	"math"
	"slices"

	"basswright/internal/note"
	"basswright/internal/phys"
)

// LevelAt is the level at one frequency of the curves, read between the two points
// that it lies between; no step where the curves do not go there.
func (g Origin) LevelAt(hz float64) (note.Step, bool) {
	c := g.o.Curves
	v, ok := between(c.Frequency, c.SPL, hz)
	if !ok {
		return note.Step{}, false
	}
	numbers := g.pressed(v)
	if i, exact := slices.BinarySearch(c.Frequency, hz); !exact {
		numbers += fmt.Sprintf(", between %s at %s and %s at %s", g.show(c.SPL[i-1], phys.Level), g.hz(c.Frequency[i-1]), g.show(c.SPL[i], phys.Level), g.hz(c.Frequency[i]))
	}
	return origin("Level at "+g.hz(hz), phys.Level, phys.Maybe(v), "20 lg(|p| / 20\u2009µPa)", numbers, g.heard(), fromNetwork), true
}

// heard is where the listener is, and what is driven.
func (g *Origin) heard() string {
	return fmt.Sprintf("heard at %s in %s space%s, %s", phys.Brief(g.st.Listening.Distance, phys.Distance, g.st.Units), g.st.Listening.Space, g.st.Surrounded(), g.drive())
}

// between is a curve's value at x on a logarithmic axis; false where it has none.
func between(xs, ys []float64, x float64) (float64, bool) {
	n := len(xs)
	if n == 0 || len(ys) != n || !(x >= xs[0] && x <= xs[n-1]) {
		return 0, false
	}
	i, exact := slices.BinarySearch(xs, x)
	v := ys[i]
	if !exact {
		v = ys[i-1] + (ys[i]-ys[i-1])*math.Log(x/xs[i-1])/math.Log(xs[i]/xs[i-1])
	}
	return v, !math.IsNaN(v) && !math.IsInf(v, 0)
}
