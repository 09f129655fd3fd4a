package report

import (
	"slices"
	"sync"

	"basswright/internal/study"
)

// A CurveName is what a curve is called wherever it is shown: as a figure, as a
// strip of the page, on the command line.
type CurveName struct {
	Key   string // "group-delay"
	Title string // "Group delay"
	Short string // where there is little room: "Port air"
}

// CurveNames are those of all figures in the order of [FigureNames], the sections
// and schematics included, which are no curves.
func CurveNames() []CurveName { return slices.Clone(curveNames()) }

var curveNames = sync.OnceValue(func() []CurveName {
	var out []CurveName
	for _, s := range subjects {
		n := CurveName{s.name, s.title, s.short}
		if n.Short == "" {
			n.Short = s.title
		}
		out = append(out, n)
	}
	return append(out, CurveName{sections, "Sections", "Sections"}, CurveName{schematics, "Schematics", "Schematics"})
})

// CurveNamed is the name with a key, which must be one of [FigureNames].
func CurveNamed(key string) CurveName {
	list := curveNames()
	return list[slices.IndexFunc(list, func(n CurveName) bool { return n.Key == key })]
}

// Shown are the points of a candidate's curve as its figure shows them, in the
// units of its axes; none where it has no such curve. They are not to be changed.
func Shown(r *study.Result, o *study.Outcome, key string) (x, y []float64) {
	s, ok := subjectNamed(key)
	if !ok {
		return nil, nil
	}
	list := s.curves(r, o)
	if len(list) == 0 {
		return nil, nil
	}
	return list[0].X, list[0].Y
}
