package section

import (
	"math"

	"basswright/internal/draw"
	"basswright/internal/study"
)

// size is a driver's, mm.
type size struct {
	frame, cutout, depth, cone, edge, coil, magnet, flange float64
	guessed                                                bool
}

func sizeOf(f study.Frame) size {
	return size{
		frame: 1e3 * f.Flange, cutout: 1e3 * f.Cutout, depth: 1e3 * f.Depth, cone: 1e3 * f.Cone, edge: 1e3 * f.Surround,
		coil: 1e3 * f.Coil, magnet: 1e3 * f.Magnet, flange: 1e3 * f.FlangeThickness, guessed: f.Guessed,
	}
}

// gaze is where a part stands and which way it looks: its place is given
// across, and along its axis towards where it looks, from the mounting face.
type gaze struct {
	c      *drawing
	x, y   float64 // mm
	ax, ay float64 // the way it looks, of length 1
	free   float64 // mm beyond its flange that nothing takes, on the side of its terminal; 0: not known
	back   float64 // mm from its front to what stands behind it; 0: not known
}

func (g gaze) at(across, along float64) (x, y float64) {
	return g.c.x(g.x + across*math.Abs(g.ay) + along*g.ax), g.c.y(g.y + across*math.Abs(g.ax) + along*g.ay)
}

// line is an open line through places given in turn across and along.
func (g gaze) line(pts ...float64) *draw.Path {
	p := new(draw.Path)
	for i := 0; i < len(pts); i += 2 {
		x, y := g.at(pts[i], pts[i+1])
		if i == 0 {
			p.M(x, y)
		} else {
			p.L(x, y)
		}
	}
	return p
}

// bow is a curve with one control point.
func (g gaze) bow(a, b, u, v, e, f float64) *draw.Path {
	x0, y0 := g.at(a, b)
	x1, y1 := g.at(u, v)
	x2, y2 := g.at(e, f)
	return new(draw.Path).M(x0, y0).Q(x1, y1, x2, y2)
}

// styles are how the parts of a driver are drawn: one whose size is guessed is thin.
type styles struct{ thin, line, cone, iron, magnet draw.Style }

func (c *drawing) styles(guessed bool) styles {
	if guessed {
		thin := draw.Style{Stroke: draw.Ink, Width: c.thin}
		return styles{thin, thin, thin, thin, thin}
	}
	return styles{
		thin:   draw.Style{Stroke: draw.Ink, Width: c.thin},
		line:   draw.Style{Stroke: draw.Ink, Width: c.thick},
		cone:   draw.Style{Stroke: draw.Ink, Width: c.thick * 1.25, Round: true},
		iron:   draw.Style{Fill: draw.Ink},
		magnet: draw.Style{Fill: draw.Soft},
	}
}

// driver draws one driver from its axis: basket, flange, cone, surround,
// former, spider, plates, magnet, pole and dust cap. Heights inside are shares
// of its depth.
func (c *drawing) driver(g gaze, m size) {
	k := m.depth / 132
	st := c.styles(m.guessed)
	for _, q := range []float64{-1, 1} {
		c.s.Path(g.line(q*m.cutout/2, 0, q*(m.cutout/2-6*k), -26*k, q*(m.magnet+4*k), -80*k), st.thin)
		c.s.Path(g.line(q*(m.edge+2), 0, q*m.frame/2, 0, q*m.frame/2, m.flange, q*(m.edge+2), m.flange).Z(), st.iron)
		c.s.Path(g.line(q*(m.coil+1), -54*k, q*m.cone, -2), st.cone)
		c.s.Path(g.bow(q*m.cone, -2, q*(m.cone+m.edge)/2, 19*k, q*m.edge, 2), st.line)
		if c.k >= 0.25 {
			c.s.Path(g.line(q*m.coil, -54*k, q*m.coil, -98*k), st.thin)
			c.s.Path(g.line(spider(q, m, k)...), st.thin)
		}
		c.s.Path(g.line(q*(m.coil+3*k), -82*k, q*m.magnet, -82*k, q*m.magnet, -91*k, q*(m.coil+3*k), -91*k).Z(), st.iron)
		out := m.magnet + lip(m)
		c.s.Path(g.line(q*(m.coil+9*k), -92.5*k, q*out, -92.5*k, q*out, -116*k, q*(m.coil+9*k), -116*k).Z(), st.magnet)
	}
	c.s.Path(g.line(-m.magnet, -117.5*k, m.magnet, -117.5*k, m.magnet-5*k, -m.depth, -m.magnet+5*k, -m.depth).Z(), st.iron)
	c.s.Path(g.line(-0.84*m.coil, -117*k, -0.84*m.coil, -86*k, 0.84*m.coil, -86*k, 0.84*m.coil, -117*k).Z(), st.iron)
	c.s.Path(g.bow(-m.coil, -53*k, 0, -34*k, m.coil, -53*k), st.line)
}

// lip is what the magnet stands out of its plates, mm.
func lip(m size) float64 { return math.Min(5*m.depth/132, 0.07*m.magnet) }

// spider is the zigzag of the inner suspension on one side.
func spider(q float64, m size, k float64) []float64 {
	var z []float64
	for n := range 7 {
		dy := -3.5
		if n%2 == 1 {
			dy = 3.5
		}
		z = append(z, q*(m.coil+(m.magnet-2*k-m.coil)*float64(n)/6), (-66+dy)*k)
	}
	return z
}

// A terminal’s sign is as large as this, and where it is narrow no smaller than that, scene units.
const (
	usualSign = 3.6
	leastSign = 2.8
)

// terminal is a driver's own marked terminal, a dot beside the magnet, with the sign of
// the lead that goes there: beside the dot, or behind it where a neighbour or a wall
// would be in its way. Where it has no room there either the driver has none.
func (c *drawing) terminal(g gaze, m size, plus bool) {
	reach := (m.frame/2 - m.magnet) * c.k // to the edge of the flange
	room := reach + g.free*c.k
	z := math.Max(usualSign, math.Min(math.Max(5.5, 17*c.k), reach/2.4))
	next := func() float64 { return math.Max(1.1*z, 0.9*z+1.5) } // from the dot to the sign
	off := math.Max(0.36*z+1.5, math.Min(15*c.k, reach-1.6*z))
	beside := off+next()+0.5*z+1 <= room
	if !beside {
		gap := 0.5 + lip(m)*c.k
		if z = math.Min(z, room-gap); z < leastSign {
			return
		}
		off = gap + 0.5*z
		if g.back > 0 && 88*m.depth/132+(next()+0.5*z)/c.k > g.back {
			return
		}
	}
	across, along := -m.magnet-off/c.k, -88*m.depth/132
	x, y := g.at(across, along)
	c.s.Circle(x, y, 0.36*z, draw.Style{Fill: draw.Ink})
	if beside {
		across -= next() / c.k
	} else {
		along -= next() / c.k
	}
	x, y = g.at(across, along)
	p := new(draw.Path).M(x-0.5*z, y).L(x+0.5*z, y)
	if plus {
		p.M(x, y-0.5*z).L(x, y+0.5*z)
	}
	c.s.Path(p, draw.Style{Stroke: draw.Ink, Width: c.thick})
}
