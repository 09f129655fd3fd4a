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

// stack draws the drivers of one position, from the outside inward. edge is
// how far in the last one reaches.
func (c *drawing) stack(stack []driver.Member, sizes []size, cx, baffle, t float64) {
	const gap = 10.0 // mm between one driver's back and the next one's flange
	ring := 1e3 * study.Ring
	fight := !c.group.MovesTogether()
	edge, wall := baffle, baffle-t
	for k, m := range stack {
		s := sizes[k]
		face, mount := 1.0, 0.0
		switch {
		case study.StandsOutside(stack, k): // it looks in, its magnet in front of the box
			face, mount = -1, baffle+ring+s.flange
			c.ring(cx, baffle, s)
		case m.Facing == driver.Front && (k == 0 || study.StandsOutside(stack, k-1)):
			mount = baffle - s.flange
			edge = mount - s.depth
		case m.Facing == driver.Front:
			mount = edge - gap
			if stack[k-1].Facing == driver.Rear { // cone to cone, inside
				mount = edge - ring - s.flange
			}
			c.tube(cx, wall, mount, 1, s, sizes[k-1])
			edge, wall = mount-s.depth, mount
		default: // it looks into the box, its magnet towards the one before
			face, mount = -1, edge-gap-s.depth
			c.tube(cx, wall, mount, -1, s, sizes[k-1])
			edge, wall = mount-s.flange, mount
		}
		c.driver(cx, mount, s, face, m)
		c.arrow(cx, mount, s, face, m, place{outside: study.StandsOutside(stack, k), free: k == 0, fight: fight})
	}
}

// ring is the spacer between the two cones of a clamshell.
func (c *drawing) ring(cx, baffle float64, s size) {
	w := (s.frame - s.cutout) / 2
	c.board(cx-s.frame/2, baffle, w, 1e3*study.Ring, true)
	c.board(cx+s.cutout/2, baffle, w, 1e3*study.Ring, true)
}

// tube is the walls between two drivers of a stack, with the ledge on which
// the inner one sits; face is the way it looks.
func (c *drawing) tube(cx, from, mount, face float64, s, outer size) {
	const thick = 12.0
	half := math.Max(s.frame, outer.frame)/2 + 2
	top := mount - thick
	if face < 0 {
		top = mount
	}
	for _, q := range []float64{-1, 1} {
		x := cx + q*half
		if q < 0 {
			x -= thick
		}
		c.board(x, top, thick, from-top, true)
		x = cx + q*s.cutout/2
		if q < 0 {
			x = cx - half
		}
		c.board(x, top, half-s.cutout/2, thick, false)
	}
}

// driver draws one driver whose flange lies at y; face +1 looks down the page.
func (c *drawing) driver(x, y float64, m size, face float64, mem driver.Member) {
	k := m.depth / 132
	p := func(dx, dy float64) (float64, float64) { return c.x(x + dx), c.y(y + face*dy) }
	path := func(pts ...float64) *draw.Path {
		q := new(draw.Path)
		for i := 0; i < len(pts); i += 2 {
			px, py := p(pts[i], pts[i+1])
			if i == 0 {
				q.M(px, py)
			} else {
				q.L(px, py)
			}
		}
		return q
	}
	thin := draw.Style{Stroke: draw.Ink, Width: c.thin}
	thick := draw.Style{Stroke: draw.Ink, Width: c.thick * 1.25, Round: true}
	fill := draw.Style{Fill: draw.Ink}
	for _, q := range []float64{-1, 1} {
		c.s.Path(path(q*m.cutout/2, 0, q*(m.cutout/2-6), -26*k, q*(m.magnet+4), -80*k), thin)
		c.s.Path(path(q*(m.edge+2), 0, q*m.frame/2, 0, q*m.frame/2, m.flange, q*(m.edge+2), m.flange).Z(), fill)
		c.s.Path(path(q*(m.coil+1), -54*k, q*m.cone, -2), thick)
		ax, ay := p(q*m.cone, -2)
		bx, by := p(q*(m.cone+m.edge)/2, 19)
		ex, ey := p(q*m.edge, 2)
		c.s.Path(new(draw.Path).M(ax, ay).Q(bx, by, ex, ey), draw.Style{Stroke: draw.Ink, Width: c.thick})
		if c.k >= 0.25 {
			c.s.Path(path(q*m.coil, -54*k, q*m.coil, -98*k), thin)
			var z []float64
			for n := range 7 {
				dy := -3.5
				if n%2 == 1 {
					dy = 3.5
				}
				z = append(z, q*(m.coil+(m.magnet-2-m.coil)*float64(n)/6), (-66+dy)*k)
			}
			c.s.Path(path(z...), thin)
		}
		c.s.Path(path(q*(m.coil+3), -82*k, q*m.magnet, -82*k, q*m.magnet, -91*k, q*(m.coil+3), -91*k).Z(), fill)
		c.s.Path(path(q*(m.coil+9), -92.5*k, q*(m.magnet+5), -92.5*k, q*(m.magnet+5), -116*k, q*(m.coil+9), -116*k).Z(), draw.Style{Fill: draw.Soft})
	}
	c.s.Path(path(-m.magnet, -117.5*k, m.magnet, -117.5*k, m.magnet-5, -m.depth, -m.magnet+5, -m.depth).Z(), fill)
	c.s.Path(path(-m.coil+4, -117*k, -m.coil+4, -86*k, m.coil-4, -86*k, m.coil-4, -117*k).Z(), fill)
	ax, ay := p(-m.coil, -53*k)
	bx, by := p(0, -34*k)
	ex, ey := p(m.coil, -53*k)
	c.s.Path(new(draw.Path).M(ax, ay).Q(bx, by, ex, ey), draw.Style{Stroke: draw.Ink, Width: c.thick})
	c.terminal(x, y, m, face, mem)
}

// place says what is around a driver, for its arrow.
type place struct {
	outside bool // it stands in front of the box
	free    bool // nothing stands before it
	fight   bool // the cones of the group do not all move the same way
}

// arrow shows the way a cone moves for a positive voltage at the group: from
// the dome where it moves towards its front, else from behind the magnet if
// there is room, or onto the dome. In a group whose cones fight, those that
// move inwards are marked.
func (c *drawing) arrow(x, y float64, m size, face float64, mem driver.Member, at place) {
	dir := float64(mem.Direction())
	role := draw.Ink
	if at.fight && dir < 0 {
		role = draw.Stop
	}
	k := m.depth / 132
	from, to := y-face*40*k, y+face*22*k
	switch {
	case face == dir && !at.free:
		to = y - face*2*k
	case face == dir:
	case at.outside:
		from, to = y-face*(m.depth+4), y-face*(m.depth+44*k)
	default:
		from, to = y+face*24*k, y-face*34*k
	}
	head := math.Max(3, 9*c.k)
	end := c.y(to)
	c.s.Line(c.x(x), c.y(from), c.x(x), end-dir*head*2, draw.Style{Stroke: role, Width: c.thick})
	c.s.Path(new(draw.Path).M(c.x(x), end).L(c.x(x)-head, end-dir*2.6*head).L(c.x(x)+head, end-dir*2.6*head).Z(), draw.Style{Fill: role})
}

// terminal is a driver's own marked terminal, a dot, with the sign of the lead that goes there.
func (c *drawing) terminal(x, y float64, m size, face float64, mem driver.Member) {
	k := m.depth / 132
	sz := math.Max(5.5, 17*c.k)
	// on the basket beside the magnet, the sign between it and the flange's edge
	reach := m.frame/2 - m.magnet
	cx, cy := c.x(x-m.magnet)-math.Min(15*c.k, 0.35*reach*c.k), c.y(y-face*88*k)
	c.s.Circle(cx, cy, sz*0.36, draw.Style{Fill: draw.Ink})
	ox := cx - sz*1.25
	st := draw.Style{Stroke: draw.Ink, Width: c.thick}
	c.s.Line(ox-sz*0.5, cy, ox+sz*0.5, cy, st)
	if mem.Polarity > 0 {
		c.s.Line(ox, cy-sz*0.5, ox, cy+sz*0.5, st)
	}
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
