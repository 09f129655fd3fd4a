package airflow

import (
	"math"

	"basswright/internal/phys"
)

// stream works out what an end of a bore does.
//
// Out of a port, the air’s motion is lost as a jet: K = 1 in the bore’s speed,
// or (S/Sm)² where a cone has slowed it down. Into it, K is Idelchik’s entrance.
// A cone adds 2.6·sin α·(1 − S/Sm)² outwards and 0.8·sin α·(1 − S/Sm) inwards
// (Crane TP 410, from memory; for round ones, used for slots too).
func (e End) stream(s Section) stream {
	cone := s
	var axial, mass, room float64
	out := stream{widens: 1, edge: e.Edge}
	if e.Mouth > 1 {
		h := s.Height
		if s.Diameter > 0 {
			h = s.Diameter
		}
		cone = s.widened((e.Mouth - 1) * h)
		out.widens = cone.area() / s.area()
		narrows := 1 - 1/out.widens
		out.coneOut = 2.6 * math.Sin(e.Slope) * narrows * narrows
		out.coneIn = 0.8 * math.Sin(e.Slope) * narrows
		axial = (e.Mouth - 1) * h / (2 * math.Tan(e.Slope))
		mass, room = along(s, axial, func(t float64) (speed, wider float64) { return 1, t * (e.Mouth - 1) * h })
	}
	square := 1 / (out.widens * out.widens)
	out.edgeOut = square
	out.edgeIn = square * entrance(e.Edge/cone.hydraulic(), e.Flanged)
	out.gain = min((1+e.Edge/cone.half())*out.widens, MostGain)

	mouth := cone
	if e.Edge > 0 {
		mouth = cone.widened(2 * e.Edge)
		m, v := along(cone, e.Edge, func(t float64) (speed, wider float64) {
			cos := math.Cos(t * math.Pi / 2) // t is the angle along the rounding
			return cos * math.Pi / 2, 2 * e.Edge * (1 - cos)
		})
		axial, mass, room = axial+e.Edge, mass+m/out.widens, room+v
	}
	out.axial, out.room = axial, room
	out.mass = mass + mouth.outside(e.Flanged)*s.area()/mouth.area()
	return out
}

// outside is the end correction of an opening, m.
func (s Section) outside(flanged bool) float64 {
	switch {
	case s.Diameter > 0 && flanged:
		return phys.EndFlanged * s.Diameter / 2
	case s.Diameter > 0:
		return phys.EndFree * s.Diameter / 2
	case flanged:
		return phys.RectangularEndFlanged(s.Width, s.Height)
	}
	return phys.RectangularEndFree(s.Width, s.Height)
}

// along sums a widening of a section over its length, m: its mass as a length of
// the section, ∫ S/S(x) dx, the air moving as a flat front, and its volume, m³.
// path tells, for a parameter t from 0 to 1, how fast the way along rises with it
// (1 on the mean) and how much wider the section is there, m. Simpson’s rule;
// within 1e-6 for edges of up to 20 times the bore’s radius.
func along(s Section, length float64, path func(t float64) (speed, wider float64)) (mass, volume float64) {
	const n = 256
	for i := range n + 1 {
		weight := 4.0
		switch {
		case i == 0 || i == n:
			weight = 1
		case i%2 == 0:
			weight = 2
		}
		speed, wider := path(float64(i) / n)
		area := s.widened(wider).area()
		mass += weight * speed * s.area() / area
		volume += weight * speed * area
	}
	return mass * length / (3 * n), volume * length / (3 * n)
}

// entrance is the coefficient K of air that enters a bore past an edge with a
// radius of r hydraulic diameters, in a wall or at the end of a thin pipe:
// Idelchik, Handbook of Hydraulic Resistance, diagram 3-4 (from memory), straight
// between its points.
func entrance(r float64, flanged bool) float64 {
	table := [...][3]float64{ // r, in free air, in a wall
		{0, 1, 0.5}, {0.01, 0.87, 0.43}, {0.02, 0.74, 0.36}, {0.03, 0.61, 0.31}, {0.04, 0.51, 0.26}, {0.05, 0.40, 0.22},
		{0.06, 0.32, 0.20}, {0.08, 0.20, 0.15}, {0.12, 0.10, 0.09}, {0.16, 0.06, 0.06}, {0.20, 0.03, 0.03},
	}
	column := 1
	if flanged {
		column = 2
	}
	for i := 1; i < len(table); i++ {
		if a, b := table[i-1], table[i]; r < b[0] {
			return a[column] + (b[column]-a[column])*(r-a[0])/(b[0]-a[0])
		}
	}
	return table[len(table)-1][column]
}
