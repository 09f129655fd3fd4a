package section

import (
	"math"

	"basswright/internal/draw"
	"basswright/internal/enclosure"
	"basswright/internal/study"
)

// portShape is a port to be drawn.
type portShape struct {
	width, length float64
	count         int
	front, rear   bool // in the outer front, in the back
	inner         bool // in the dividing board
	known         bool
}

func (c *drawing) portPlan(o *study.Outcome) []portShape {
	var out []portShape
	for _, f := range o.Body.Ports {
		p := portShape{count: max(1, f.Port.Count), known: f.Sized, length: 1e3 * f.Port.Length}
		switch f.Port.Shape {
		case enclosure.Round:
			p.width = 1e3 * f.Port.Diameter
		case enclosure.Slot:
			p.width = 1e3 * math.Min(f.Port.Width, f.Port.Height)
		case enclosure.AreaOnly:
			p.width = 1e3 * math.Sqrt(f.Port.Area)
		default:
			p.width, p.length = 60, 60
		}
		p.width = p.width*float64(p.count) + 12*float64(p.count-1)
		switch {
		case f.Chamber == "rear" && o.System.Spec.Kind == enclosure.BandpassParallel:
			p.rear = true
		case f.Chamber == "rear" && o.System.Spec.Kind == enclosure.BandpassSeries:
			p.inner = true
		default:
			p.front = true
		}
		out = append(out, p)
	}
	return out
}

// port draws the two walls of a port and its axis, inwards from the board's outer face.
func (c *drawing) port(hole [2]float64, face float64, dir float64, p portShape, room, baffle float64, split bool) {
	length := p.length
	if split {
		room = face - baffle - 30
	}
	if room > 0 {
		length = math.Min(length, room)
	}
	end := face + dir*length
	wall := draw.Style{Stroke: draw.Ink, Width: c.thick}
	if !p.known {
		wall = draw.Style{Stroke: draw.Soft, Width: c.thin, Dash: []float64{3, 2}}
	}
	for _, e := range hole {
		c.s.Line(c.x(e), c.y(face), c.x(e), c.y(end), wall)
	}
	mid := (hole[0] + hole[1]) / 2
	axis := draw.Style{Stroke: draw.Soft, Width: c.thin, Dash: []float64{8, 2, 1.5, 2}}
	c.s.Line(c.x(mid), c.y(face-dir*14), c.x(mid), c.y(end+dir*6), axis)
	if p.length > length+1 { // folded: the axis goes on along the back
		c.s.Line(c.x(mid), c.y(end+dir*6), c.x(mid-math.Min(p.length-length, 3*p.width+60)), c.y(end+dir*6), axis)
	}
}
