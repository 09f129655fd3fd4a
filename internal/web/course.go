package web

import "basswright/internal/section"

// Course tells where the points of a duct’s profile are in its section, straight, and what a
// place there means, in the SVG’s own units: so the page moves them by hand and
// knows no shape of a duct.
type Course struct {
	Drawing  string   `json:"drawing" doc:"SVG of the duct, straight; empty where the section is that"`
	Told     []Remark `json:"told" nullable:"false" doc:"what is said of that drawing; empty where the section’s words are"`
	Points   []Mark   `json:"points" nullable:"false" doc:"in the order of the profile"`
	Between  []Mark   `json:"between" nullable:"false" doc:"halfway between two that stand apart"`
	Start    float64  `json:"start" doc:"where the duct begins"`
	Axis     float64  `json:"axis" doc:"down the drawing"`
	PerMetre float64  `json:"per_metre"`
	Factor   float64  `json:"factor" doc:"a cross-section is factor · half^power, m²"`
	Power    float64  `json:"power"`
}

// Mark is a place of a duct.
type Mark struct {
	At   float64 `json:"at" doc:"m"`
	Area float64 `json:"area" doc:"m²"`
	Half float64 `json:"half" doc:"from the axis to the wall"`
}

func course(c *section.Course) *Course {
	if c == nil {
		return nil
	}
	out := &Course{Told: []Remark{}, Points: []Mark{}, Between: []Mark{}, Start: c.Start, Axis: c.Axis, PerMetre: c.PerMetre, Factor: c.Factor, Power: c.Power}
	for _, m := range c.Points {
		out.Points = append(out.Points, Mark(m))
	}
	for _, m := range c.Between {
		out.Between = append(out.Between, Mark(m))
	}
	return out
}
