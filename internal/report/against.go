package report

import (
	"fmt"
	"slices"
	"strings"

	"basswright/internal/draw"
	"basswright/internal/study"
)

// against turns a subject into that of the differences from one candidate: the
// yardstick's curve is taken from each, or divides it where the axis is one of
// ratios. Walls and goals belong to values and have no place here.
func (s subject) against(r *study.Result, name string) (subject, error) {
	if s.time {
		return s, fmt.Errorf("the %s has no difference: choose a figure on a frequency axis", strings.ToLower(s.title))
	}
	i := slices.IndexFunc(r.Candidates, func(o *study.Outcome) bool { return o.Candidate.Name == name })
	if i < 0 {
		return s, fmt.Errorf("no candidate is called %q, from which the others could differ", name)
	}
	y := r.Candidates[i]
	base := s.curves(r, y)
	if len(base) == 0 {
		return s, fmt.Errorf("%s has no %s from which the others could differ", name, strings.ToLower(s.title))
	}
	ratio := false
	quantity := s.title + " in dB"
	if s.axis != nil {
		a := s.axis(r, [][]float64{base[0].Y}, nil)
		ratio, quantity = a.Log, a.Name
	}
	out := s
	out.title = s.title + " against " + name
	out.level, out.limit, out.unlike, out.spans, out.wall = false, nil, nil, nil, ""
	out.curves = func(r *study.Result, o *study.Outcome) []draw.Series {
		list := s.curves(r, o)
		for k := range list {
			y := make([]float64, len(list[k].Y))
			for j, v := range list[k].Y {
				if y[j] = v - base[0].Y[j]; ratio {
					y[j] = v / base[0].Y[j]
				}
			}
			list[k].Y = y
		}
		return list
	}
	out.axis = func(_ *study.Result, ys [][]float64, _ []float64) draw.YAxis {
		if ratio {
			return draw.LogAxis(s.title+", times that of "+name, []float64{1}, ys...)
		}
		return draw.LinearAxis(quantity+", difference from "+name, []float64{0}, ys...)
	}
	return out, nil
}
