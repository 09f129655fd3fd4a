package section

import (
	"math"

	"basswright/internal/study"
)

// Course tells where in the drawing of a duct the points of its profile are, and
// what a place there means: for whoever lets them be moved by hand.
type Course struct {
	Points   []Mark  // of the profile, in its order
	Between  []Mark  // halfway between two of them that stand apart: where one may come in without changing a cone
	Start    float64 // scene units: where the duct begins
	Axis     float64 // scene units: its axis, across the page
	PerMetre float64 // scene units along the axis
	Factor   float64 // a cross-section is Factor·half^Power in m²,
	Power    float64 // half being half of its width as it is drawn, scene units
}

// Mark is a place of a duct.
type Mark struct {
	At, Area float64 // m, m²
	Half     float64 // scene units
}

// CourseOf is the course of a candidate’s duct in the drawing that Draw makes with the
// same options; nil where it has no points.
func CourseOf(o *study.Outcome, opt Options) *Course {
	if o.Body.Line == nil || len(o.System.Spec.Line.Run.Points) == 0 {
		return nil
	}
	l, _, _ := layLine(o, opt)
	run := o.System.Spec.Line.Run
	factor, power := seenAs(run.Section)
	each := 1e-3 / l.k // m of a scene unit
	c := &Course{Start: l.x(l.start), Axis: l.y(l.axis), PerMetre: 1e3 * l.k, Factor: factor * math.Pow(each, power), Power: power}
	mark := func(at, area float64) Mark {
		return Mark{At: at, Area: area, Half: math.Pow(area/c.Factor, 1/c.Power)}
	}
	for i, p := range run.Points {
		if i > 0 && p.X > run.Points[i-1].X {
			at := (run.Points[i-1].X + p.X) / 2
			c.Between = append(c.Between, mark(at, o.System.Facts.Line.Area(at)))
		}
		c.Points = append(c.Points, mark(p.X, p.Area))
	}
	return c
}
