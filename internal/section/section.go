// Package section draws a candidate cut through the axes of its cones, seen
// from above, front down the page: box, cones, magnets, ports, polarity and
// motion, everything at its real size (general drawing practice, ISO 128).
package section

import (
	"math"

	"basswright/internal/draw"
	"basswright/internal/phys"
	"basswright/internal/study"
)

// Options are the settings of a section drawing.
type Options struct {
	Scale float64 // scene units per mm
	Theme draw.Theme
	Size  float64 // of text
	Dims  bool    // the width above the box
	Mute  bool    // without the words below
	Terse bool    // the words below as short as can be: whoever shows it says what holds for all drawings
	Built bool    // of a duct that is folded, the fold alone
	Room  float64 // for the words below, scene units; 0: as wide as the drawing
	Units phys.System
	Space *study.Space // its outline, dash-dot; nil: none
	Width float64      // of a wiring sketch at most, scene units; 0: wide enough for three coils in a row
}

// drawing is one section being drawn; x and y are mm, y towards the front.
type drawing struct {
	s      *draw.Scene
	k      float64
	x0, y0 float64 // scene place of (0, 0)
	o      Options
	out    *study.Outcome
	body   study.Body
	box    box
	thick  float64
	thin   float64
	far    float64 // mm on the page: the wall of a duct that drivers in the other one reach towards; 0: none
	remark []Remark
}

// box is the outside of the box on the page, mm, and the boards' thickness.
type box struct{ left, right, back, front, t float64 }

const margin = 2.0 // around the drawing, scene units

// Draw draws the section of a candidate.
func Draw(o *study.Outcome, opt Options) *draw.Scene {
	s, _ := Told(o, opt)
	return s
}

// Told is the section of a candidate, and what it cannot show: the words that stand
// below it unless the options leave them to whoever shows it.
func Told(o *study.Outcome, opt Options) (*draw.Scene, []Remark) {
	b := o.Body
	if b.Line != nil {
		return drawLine(o, opt)
	}
	if b.Spec.Net != nil {
		return schematic(o, opt)
	}
	w, d := 1e3*b.Width, 1e3*b.Depth
	if !b.Known {
		for _, r := range b.Rows {
			d = math.Max(d, 1e3*r.Reach+30) // and an arrow
		}
		opt.Space = nil
	}
	across, deep := w+2*bulge(b), d+1e3*b.InFront
	if opt.Space != nil {
		across, deep = math.Max(across, 1e3*opt.Space.Width), math.Max(deep, 1e3*opt.Space.Depth)
	}
	c := &drawing{
		k: opt.Scale, x0: margin, o: opt, out: o, body: b,
		box:   box{left: (across - w) / 2, right: (across + w) / 2, back: deep - 1e3*b.InFront - d, front: deep - 1e3*b.InFront, t: 1e3 * b.Panel},
		thick: math.Max(1, 1.15+(opt.Scale-0.32)*1.4), thin: 0.7,
	}
	c.y0 = 2*margin + axisOut*c.k // the same for all, so that drawings side by side are level
	if opt.Dims {
		c.y0 += 2*opt.Size - 2*margin
	}
	bottom := c.y0 + deep*c.k + math.Max(22, 60*c.k) // for arrows that point out of the front
	c.s = draw.NewScene(across*c.k+2*margin, bottom, opt.Theme)
	c.s.Title = o.Candidate.Name + " in section"
	c.s.Desc = o.Plain
	if sp := opt.Space; sp != nil {
		c.s.Rect(c.x((across-1e3*sp.Width)/2), c.y(deep-1e3*sp.Depth), 1e3*sp.Width*c.k, 1e3*sp.Depth*c.k, draw.Style{Stroke: draw.Rule, Width: 0.8, Dash: []float64{7, 2, 1, 2}})
	}
	if b.Known {
		c.boards()
	} else {
		c.wallAlone()
	}
	c.contents()
	c.polarity(o)
	if b.Known && !b.Fits {
		c.unfit(across, deep)
	}
	if opt.Dims && b.Known {
		c.dimension()
	}
	c.s.H = c.remarks(bottom)
	return c.s, c.remark
}

// bulge is what stands out of the sides, mm: surrounds, the line where a wall is broken off.
func bulge(b study.Body) float64 {
	if !b.Known {
		return 0.3 * 1e3 * b.Panel
	}
	for _, l := range b.Lanes {
		if l.Kind == study.LaneSide {
			return 0.18 * 1e3 * study.RadiatorFrame(b.Spec.Radiator).Surround
		}
	}
	return 0
}

func (c *drawing) x(mm float64) float64 { return c.x0 + mm*c.k }
func (c *drawing) y(mm float64) float64 { return c.y0 + mm*c.k }

// carrier is the outer face of the board that carries the drivers, mm.
func (c *drawing) carrier() float64 { return c.box.front - 1e3*c.body.Divider }

// contents draws drivers, radiators and ports in their lanes.
func (c *drawing) contents() {
	for i, l := range c.body.Lanes {
		cx := c.box.left + 1e3*l.Centre
		switch l.Kind {
		case study.LaneStack:
			c.stack(cx, c.body.Rows[l.Index], c.out.System.Group.Positions[l.Index])
		case study.LaneRadiator:
			c.radiator(gaze{c, cx, c.box.front, 0, 1, 0, 0})
		case study.LaneSide:
			c.sideRadiator(i > 0, l.Columns)
		case study.LanePorts:
			for k := range c.body.Ports {
				c.ports(cx, l, c.body.Ports[k])
			}
		}
	}
}

// boards draws the box: the back over the sides, the front between them.
func (c *drawing) boards() {
	b := c.box
	c.wall(b.left, b.right, b.back+b.t, c.holes(wallBack))
	c.side(b.left, false)
	c.side(b.right-b.t, true)
	c.wall(b.left+b.t, b.right-b.t, b.front, c.holes(wallFront))
	if c.body.Divider > 0 {
		c.wall(b.left+b.t, b.right-b.t, c.carrier(), c.holes(wallInner))
	}
}

// side draws a side board, open where a radiator stands in it.
func (c *drawing) side(x float64, right bool) {
	b := c.box
	from := b.back + b.t
	for i, l := range c.body.Lanes {
		if l.Kind == study.LaneSide && (i > 0) == right {
			cy, r := c.sideAxis(), 500*study.RadiatorFrame(c.body.Spec.Radiator).Cutout
			c.board(x, from, b.t, cy-r-from, true)
			from = cy + r
		}
	}
	c.board(x, from, b.t, b.front-from, true)
}

// where an opening may be.
type where uint8

const (
	wallFront where = iota
	wallInner       // the dividing board
	wallBack
)

// stackWall is the wall that carries the drivers.
func (c *drawing) stackWall() where {
	if c.body.Divider > 0 {
		return wallInner
	}
	return wallFront
}

type hole struct{ from, to float64 }

// holes are the openings of a wall from left to right.
func (c *drawing) holes(w where) []hole {
	var out []hole
	for _, l := range c.body.Lanes {
		cx := c.box.left + 1e3*l.Centre
		switch l.Kind {
		case study.LaneStack:
			r := 500 * c.body.Rows[l.Index].Seats[0].Frame.Cutout
			if w == c.stackWall() {
				out = append(out, hole{cx - r, cx + r})
			}
		case study.LaneRadiator:
			r := 500 * study.RadiatorFrame(c.body.Spec.Radiator).Cutout
			if w == wallFront {
				out = append(out, hole{cx - r, cx + r})
			}
		case study.LanePorts:
			for _, p := range c.body.Ports {
				if c.portWall(p) == w {
					out = append(out, c.openings(cx, l, p)...)
				}
			}
		}
	}
	return out
}

// wall draws a board across the page whose front face is at y, open at the holes.
func (c *drawing) wall(left, right, y float64, holes []hole) {
	t := c.box.t
	at := left
	for _, h := range holes {
		c.board(at, y-t, h.from-at, t, false)
		at = math.Max(at, h.to)
	}
	c.board(at, y-t, right-at, t, false)
}

// wallAlone draws the wall of an infinite baffle, broken off at both ends.
func (c *drawing) wallAlone() {
	b := c.box
	line := draw.Style{Stroke: draw.Ink, Width: c.thick}
	at := b.left
	for _, h := range append(c.holes(wallFront), hole{b.right, b.right}) {
		left, right, top, low := c.x(at), c.x(h.from), c.y(b.front-b.t), c.y(b.front)
		at = h.to
		if right-left < 0.5 {
			continue
		}
		c.s.Path(new(draw.Path).Box(left, top, right-left, low-top), draw.Style{Hatch: c.hatch(false)})
		c.s.Line(left, top, right, top, line)
		c.s.Line(left, low, right, low, line)
		for _, e := range []float64{left, right} {
			if e > c.x(b.left) && e < c.x(b.right) {
				c.s.Line(e, top, e, low, line)
			}
		}
	}
	for _, end := range []float64{b.left, b.right} {
		w := 0.22 * b.t
		x, y := func(d float64) float64 { return c.x(end + d*w) }, func(d float64) float64 { return c.y(b.front - b.t/2 + d*b.t) }
		p := new(draw.Path).M(x(0), y(-0.95)).C(x(1.4), y(-0.6), x(1.2), y(-0.3), x(0), y(0)).C(x(-1.2), y(0.3), x(-1.4), y(0.6), x(0), y(0.95))
		c.s.Path(p, draw.Style{Stroke: draw.Ink, Width: c.thin})
	}
}

func (c *drawing) hatch(falling bool) draw.Hatch {
	return draw.Hatch{Role: draw.Ink, Falling: falling, Pitch: math.Max(3, 9*c.k), Width: c.thin}
}

// board is a cut board, hatched; neighbours are hatched in opposite directions.
func (c *drawing) board(x, y, w, h float64, falling bool) {
	if w <= 0.5 || h <= 0.5 {
		return
	}
	c.s.Path(new(draw.Path).Box(c.x(x), c.y(y), w*c.k, h*c.k), draw.Style{
		Hatch: c.hatch(falling), Stroke: draw.Ink, Width: c.thick,
	})
}
