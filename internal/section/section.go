// Package section draws a candidate cut through the axes of its cones, seen
// from above, front down the page: box, cones, magnets, ports, polarity and
// motion, everything at its real size (general drawing practice, ISO 128).
package section

import (
	"math"
	"strings"

	"basswright/internal/draw"
	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/phys"
	"basswright/internal/study"
)

// Options are the settings of a section drawing.
type Options struct {
	Scale float64 // scene units per mm
	Theme draw.Theme
	Size  float64 // of text
	Dims  bool    // the width above the box
	Units phys.System
	Space *study.Space // its outline, dash-dot; nil: none
}

// drawing is one section being drawn; x and y are mm.
type drawing struct {
	s      *draw.Scene
	k      float64
	x0, y0 float64 // scene place of (0, 0)
	o      Options
	group  *driver.Group
	thick  float64
	thin   float64
}

// Draw draws the section of a candidate.
func Draw(o *study.Outcome, opt Options) *draw.Scene {
	b := o.Body
	w, d := 1e3*b.Width, 1e3*b.Depth
	if !b.Known {
		w, d = 0, 0
	}
	g := newLayout(o)
	w, d = math.Max(w, g.width), math.Max(d, g.depth)
	if !b.Known {
		w *= 1.25 // the wall goes on
	}
	front := 1e3 * b.InFront
	roomW, roomD := w, d+front
	if opt.Space != nil && b.Known {
		roomW, roomD = math.Max(w, 1e3*opt.Space.Width), math.Max(roomD, 1e3*opt.Space.Depth)
	}
	top := 4.0
	if opt.Dims && b.Known {
		top = 2 * opt.Size
	}
	const below = 20.0 // for arrows that point out of the front
	s := draw.NewScene(roomW*opt.Scale+4, top+roomD*opt.Scale+below, opt.Theme)
	s.Title = o.Candidate.Name + " in section"
	s.Desc = o.Plain
	c := &drawing{s: s, k: opt.Scale, x0: 2, y0: top, o: opt, group: o.System.Group, thick: math.Max(1, 1.15+(opt.Scale-0.32)*1.4), thin: 0.7}
	if opt.Space != nil && b.Known {
		c.s.Rect(c.x(0), c.y(roomD-1e3*opt.Space.Depth), 1e3*opt.Space.Width*c.k, 1e3*opt.Space.Depth*c.k, draw.Style{Stroke: draw.Rule, Width: 0.8, Dash: []float64{7, 2, 1, 2}})
	}
	c.box(g, (roomW-w)/2, roomD-front-d, w, d, b)
	if b.Known && !b.Fits {
		c.unfit((roomW-w)/2, roomD-front-d, w, d)
	}
	return s
}

func (c *drawing) x(mm float64) float64 { return c.x0 + mm*c.k }
func (c *drawing) y(mm float64) float64 { return c.y0 + mm*c.k }

// size is a driver's, mm.
type size struct {
	frame, cutout, depth, cone, edge, coil, magnet, flange float64
	guessed                                                bool
}

func sizeOf(d *driver.Driver) size {
	f := study.FrameOf(d)
	return size{
		frame: 1e3 * f.Flange, cutout: 1e3 * f.Cutout, depth: 1e3 * f.Depth, cone: 1e3 * f.Cone, edge: 1e3 * f.Surround,
		coil: 1e3 * f.Coil, magnet: 1e3 * f.Magnet, flange: 1e3 * f.FlangeThickness, guessed: f.Guessed,
	}
}

// layout is the sizes of a candidate's drivers and the least outside measures
// at which they can be drawn.
type layout struct {
	o            *study.Outcome
	sizes        [][]size
	width, depth float64
}

func newLayout(o *study.Outcome) *layout {
	l := &layout{o: o}
	t := 1e3 * o.Body.Panel
	for _, stack := range o.System.Group.Positions {
		var row []size
		widest, deep := 0.0, 0.0
		for k, m := range stack {
			s := sizeOf(m.Driver)
			row = append(row, s)
			widest = math.Max(widest, s.frame)
			if !study.StandsOutside(stack, k) {
				deep += s.depth + s.flange
			}
		}
		l.sizes = append(l.sizes, row)
		l.width += widest + 8
		l.depth = math.Max(l.depth, deep-t+20)
	}
	l.width += 2 * t
	l.depth += 2 * t
	return l
}

// depths are what the drivers need behind the board that carries them, and
// what the outer ones of clamshells need before it.
func (l *layout) depths() (behind, before float64) {
	for p, stack := range l.o.System.Group.Positions {
		sum := 0.0
		for k := range stack {
			if study.StandsOutside(stack, k) {
				before = math.Max(before, 1e3*study.Ring+l.sizes[p][k].depth)
			} else {
				sum += l.sizes[p][k].depth
			}
		}
		behind = math.Max(behind, sum)
	}
	return behind, before
}

// box draws boards, drivers and ports.
func (c *drawing) box(l *layout, x, y, w, d float64, b study.Body) {
	t := 1e3 * b.Panel
	front := y + d
	kind := l.o.System.Spec.Kind
	n := len(l.sizes)
	var holes [][2]float64
	centres := make([]float64, n)
	ports := c.portPlan(l.o)
	room := w - 2*t
	for _, p := range ports { // ports stand at the right, the inner one of a series bandpass too
		if p.front && kind == enclosure.Vented || p.inner || p.rear {
			room -= p.width + 16
		}
	}
	if kind == enclosure.PassiveRadiator {
		room -= 2*c.radiatorSize(l) + 24
	}
	for i := range l.sizes {
		centres[i] = x + t + room*(float64(i)+0.5)/float64(n)
		h := l.sizes[i][0].cutout / 2
		holes = append(holes, [2]float64{centres[i] - h, centres[i] + h})
	}
	baffle := front
	if kind >= enclosure.Bandpass {
		share := l.o.System.Spec.Rear.Volume / (l.o.System.Spec.Rear.Volume + l.o.System.Spec.Front.Volume)
		baffle = y + t + (d-2*t)*share + t/2
		behind, before := l.depths()
		baffle = math.Min(math.Max(baffle, y+2*t+behind+12), front-t-math.Max(before+10, 40))
	}
	switch {
	case kind == enclosure.InfiniteBaffle:
		c.wall(x, front, w, t, holes)
		c.breakLine(x, front-t/2, t)
		c.breakLine(x+w, front-t/2, t)
	default:
		c.board(x, y, w, t, false)
		c.board(x, y+t, t, d-t, true)
		c.board(x+w-t, y+t, t, d-t, true)
		c.baffles(l, x, y, w, t, front, baffle, holes, ports)
	}
	for i, stack := range l.o.System.Group.Positions {
		c.stack(stack, l.sizes[i], centres[i], baffle, t)
	}
	if kind == enclosure.PassiveRadiator {
		c.passive(l, x+w-t, front)
	}
	if c.o.Dims && b.Known {
		c.dimension(x, x+w, y)
	}
}

// baffles draws the front, the dividing board of a bandpass, and the ports.
func (c *drawing) baffles(l *layout, x, y, w, t, front, baffle float64, holes [][2]float64, ports []portShape) {
	var outer, inner [][2]float64
	split := baffle < front-1
	if split {
		inner = holes
	} else {
		outer = holes
	}
	right := x + w - t - 10
	for _, p := range ports {
		hole := [2]float64{right - p.width, right}
		switch {
		case p.front:
			outer = append(outer, hole)
			c.port(hole, front, -1, p, (front-t)-(y+t), baffle, split)
		case p.inner:
			inner = append(inner, hole)
			c.port(hole, baffle, -1, p, baffle-y-2*t, baffle, false)
		case p.rear:
			c.port(hole, y, 1, p, baffle-y-2*t, baffle, false)
		}
	}
	if l.o.System.Spec.Kind == enclosure.PassiveRadiator {
		r := c.radiatorSize(l)
		outer = append(outer, [2]float64{x + w - t - 12 - 2*r, x + w - t - 12})
	}
	c.wall(x+t, front, w-2*t, t, outer)
	if split {
		c.wall(x+t, baffle, w-2*t, t, inner)
	}
}

// wall draws a board whose outer face is at y, with holes.
func (c *drawing) wall(x, y, w, t float64, holes [][2]float64) {
	for i := range holes {
		for j := i; j > 0 && holes[j][0] < holes[j-1][0]; j-- {
			holes[j], holes[j-1] = holes[j-1], holes[j]
		}
	}
	at := x
	for _, h := range holes {
		c.board(at, y-t, h[0]-at, t, false)
		at = math.Max(at, h[1])
	}
	c.board(at, y-t, x+w-at, t, false)
}

// breakLine is the free-hand line at which a wall that goes on is broken off.
func (c *drawing) breakLine(x, y, t float64) {
	p := new(draw.Path).M(c.x(x), c.y(y-1.1*t)).
		C(c.x(x+0.3*t), c.y(y-0.5*t), c.x(x-0.4*t), c.y(y-0.1*t), c.x(x), c.y(y)).
		C(c.x(x+0.4*t), c.y(y+0.1*t), c.x(x-0.3*t), c.y(y+0.5*t), c.x(x), c.y(y+1.1*t))
	c.s.Path(p, draw.Style{Stroke: draw.Ink, Width: c.thin})
}

// board is a cut board, hatched.
func (c *drawing) board(x, y, w, h float64, falling bool) {
	if w <= 0.5 || h <= 0.5 {
		return
	}
	c.s.Path(new(draw.Path).Box(c.x(x), c.y(y), w*c.k, h*c.k), draw.Style{
		Hatch: draw.Hatch{Role: draw.Ink, Falling: falling, Pitch: math.Max(3, 9*c.k), Width: c.thin}, Stroke: draw.Ink, Width: c.thick,
	})
}

func (c *drawing) radiatorSize(l *layout) float64 {
	return 1e3 * math.Sqrt(l.o.System.Spec.Radiator.Sd/math.Pi)
}

// passive draws a passive radiator: surround, flat cone and mass, no motor.
func (c *drawing) passive(l *layout, right, front float64) {
	r := c.radiatorSize(l)
	cx := right - 12 - r
	st := draw.Style{Stroke: draw.Ink, Width: c.thick * 1.25}
	c.s.Line(c.x(cx-0.86*r), c.y(front-4), c.x(cx+0.86*r), c.y(front-4), st)
	for _, q := range []float64{-1, 1} {
		c.s.Path(new(draw.Path).M(c.x(cx+q*0.86*r), c.y(front-4)).Q(c.x(cx+q*0.94*r), c.y(front+14), c.x(cx+q*r), c.y(front-2)), draw.Style{Stroke: draw.Ink, Width: c.thick})
	}
	c.s.Rect(c.x(cx-0.25*r), c.y(front-18), 0.5*r*c.k, 14*c.k, draw.Style{Fill: draw.Ink})
}

// unfit marks a box that does not fit its space: its outline in the colour of
// what cannot be.
func (c *drawing) unfit(x, y, w, d float64) {
	c.s.Rect(c.x(x), c.y(y), w*c.k, d*c.k, draw.Style{Stroke: draw.Stop, Width: 2 * c.thick})
}

// dimension is the outside width above the box.
func (c *drawing) dimension(x1, x2, y float64) {
	u := phys.Length.Unit(c.o.Units)
	text := strings.TrimSuffix(phys.Digits(u.Of((x2-x1)/1e3), 3), ".0")
	a, b, yy := c.x(x1), c.x(x2), c.y(y)-8
	st := draw.Style{Stroke: draw.Soft, Width: c.thin}
	c.s.Line(a, yy, b, yy, st)
	for _, e := range []float64{a, b} {
		c.s.Line(e, c.y(y)-2, e, yy-4, st)
	}
	c.s.Path(new(draw.Path).M(a, yy).L(a+7, yy-2).L(a+7, yy+2).Z(), draw.Style{Fill: draw.Soft})
	c.s.Path(new(draw.Path).M(b, yy).L(b-7, yy-2).L(b-7, yy+2).Z(), draw.Style{Fill: draw.Soft})
	c.s.Text((a+b)/2, yy-4, text, draw.TextStyle{Role: draw.Soft, Size: c.o.Size, Anchor: draw.Middle})
}
