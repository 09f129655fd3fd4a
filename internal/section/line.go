package section

import (
	"math"

	"basswright/internal/draw"
	"basswright/internal/driver"
	"basswright/internal/duct"
	"basswright/internal/enclosure"
	"basswright/internal/study"
)

// How a duct is drawn, mm.
const (
	flangeOut  = 60.0 // how far the wall around a flanged mouth is drawn
	underneath = 70.0 // what is left below a side wall with a driver
)

// line is a duct being drawn: x from its start, its axis across the page.
type line struct {
	*drawing
	body   *study.LineBody
	sys    *enclosure.System
	start  float64 // mm on the page where the duct begins
	axis   float64 // mm on the page
	length float64
	holes  []hole // of the side wall below the axis, from the start
}

// layLine lays out a distributed enclosure, straight and to scale, from what stands
// before its duct to its mouth on the right; deep is how far it reaches down the
// page, mm, and high how far from the axis up.
func layLine(o *study.Outcome, opt Options) (l line, high, deep float64) {
	c := newDrawing(opt)
	c.out, c.body = o, o.Body
	c.x0, c.y0 = margin, margin
	t := 1e3 * o.Body.Panel
	c.box.t = t
	l = line{drawing: c, body: o.Body.Line, sys: o.System, length: 1e3 * o.System.Facts.Line.Length}
	for i := range 201 {
		high = math.Max(high, l.half(l.length*float64(i)/200))
	}
	high = math.Max(high, 500*math.Max(l.body.Rear.Wide, l.body.Throat.Wide)) + t
	for _, s := range c.body.Rows[0].Seats { // whose flange may be wider than the duct
		high = math.Max(high, 500*s.Frame.Flange)
	}
	if o.System.Spec.Line.Mouth.End != enclosure.EndFree {
		high = math.Max(high, l.half(l.length)+flangeOut)
	}
	if l.body.InWall { // a stack may be deeper than the duct is wide
		high = math.Max(high, 1e3*c.body.Rows[0].Reach-t-l.half(1e3*l.body.Driver))
	}
	l.start = 1e3*l.body.Lead + t
	c.box.left = l.start - t // the closed end, for what stands in the side wall
	l.axis = high
	if opt.Dims {
		c.y0 += 2 * opt.Size
	}
	deep = 2 * high
	if l.body.InWall {
		deep = math.Max(deep, high+l.half(1e3*l.body.Driver)+t+1e3*c.body.InFront+underneath)
	}
	return l, high, deep
}

// drawLine draws a distributed enclosure.
func drawLine(o *study.Outcome, opt Options) (*draw.Scene, []Remark) {
	l, high, deep := layLine(o, opt)
	c := l.drawing
	if opt.Built && foldedLegs(&o.Body) {
		return l.built()
	}
	bottom := c.y0 + deep*c.k + margin
	c.s = draw.NewScene(1e3*o.Body.Width*c.k+2*margin, bottom, opt.Theme)
	c.s.Title = o.Candidate.Name + " in section"
	c.s.Desc = o.Plain
	l.fills()
	l.drivers()
	l.walls()
	l.chambers()
	l.mouth()
	if opt.Dims {
		if text := c.figure(l.length); c.legible(text, l.length*c.k) {
			c.across(c.x(l.start), c.x(l.start+l.length), c.y0-8, c.y(l.axis-high), text)
		}
	}
	c.polarity(o)
	if foldedLegs(&o.Body) {
		end, _ := l.drawFold(bottom)
		bottom = end + margin
	} else {
		c.say("drawn straight: how it is folded is not laid out", draw.Soft)
	}
	if n := o.System.Group.SideBySide(); n > 1 {
		c.say("one of "+study.Count(n)+" positions side by side", draw.Soft)
	}
	c.s.H = c.remarks(bottom)
	return c.s, c.remark
}

// built draws the duct as it is built: folded, with the length of its legs above it.
func (l *line) built() (*draw.Scene, []Remark) {
	c := l.drawing
	c.s = draw.NewScene(1, 1, c.o.Theme) // it is as large as the fold comes to be
	c.s.Title = c.out.Candidate.Name + " in section"
	c.s.Desc = c.out.Plain
	end, right := l.drawFold(c.y0)
	c.s.W = right + margin
	c.polarity(c.out)
	if n := l.sys.Group.SideBySide(); n > 1 {
		c.say("one of "+study.Count(n)+" positions side by side", draw.Soft)
	}
	c.s.H = c.remarks(end + margin)
	return c.s, c.remark
}

// half is half of the duct's clear width at x from its start, as it is seen.
func (l *line) half(x float64) float64 {
	factor, power := seenAs(l.sys.Spec.Line.Run.Section)
	return 1e3 * math.Pow(l.sys.Facts.Line.Area(x/1e3)/factor, 1/power)
}

// seenAs is how a cross-section follows from half of the clear width as it is seen, in
// SI: factor·half^power.
func seenAs(s duct.Section) (factor, power float64) {
	switch {
	case s.Width > 0:
		return 2 * s.Width, 1
	case s.Aspect > 0:
		return 4 / s.Aspect, 2
	}
	return math.Pi, 2
}

// places are where the course of the walls is drawn through, between two places.
func (l *line) places(from, to float64) []float64 {
	out := []float64{from}
	const n = 120
	points := l.sys.Spec.Line.Run.Points
	for i := range n + 1 {
		x := l.length * float64(i) / n
		for len(points) > 0 && 1e3*points[0].X <= x { // both sides of what may be a jump
			p := 1e3 * points[0].X
			for _, q := range []float64{p - 1e-3, p + 1e-3} {
				if q > from && q < to && q > out[len(out)-1] {
					out = append(out, q)
				}
			}
			points = points[1:]
		}
		if x > out[len(out)-1] && x < to {
			out = append(out, x)
		}
	}
	return append(out, to)
}

// wallBetween is a closed path along a side wall; side is −1 above the axis.
func (l *line) wallBetween(from, to, side float64) {
	if to-from < 0.5 {
		return
	}
	p := new(draw.Path)
	at := l.places(from, to)
	for i, x := range at {
		px, py := l.x(l.start+x), l.y(l.axis+side*l.half(x))
		if i == 0 {
			p.M(px, py)
		} else {
			p.L(px, py)
		}
	}
	for i := len(at) - 1; i >= 0; i-- {
		p.L(l.x(l.start+at[i]), l.y(l.axis+side*(l.half(at[i])+l.box.t)))
	}
	l.s.Path(p.Z(), draw.Style{Hatch: l.hatch(side > 0), Stroke: draw.Ink, Width: l.thick})
}

// walls draws the side walls and what closes the start.
func (l *line) walls() {
	l.wallBetween(0, l.length, -1)
	at := 0.0
	for _, h := range l.holes {
		l.wallBetween(at, h.from, 1)
		at = math.Max(at, h.to)
	}
	l.wallBetween(at, l.length, 1)
	if l.body.InWall || l.body.Driver == 0 && l.body.Throat.Long == 0 && l.body.Rear.Long == 0 {
		l.board0(l.start-l.box.t, l.half(0)+l.box.t, !l.body.InWall)
	}
}

// board0 draws a board across the axis whose left face is at x, open for the driver
// where it carries one.
func (l *line) board0(x, half float64, carries bool) {
	if !carries {
		l.board(x, l.axis-half, l.box.t, 2*half, true)
		return
	}
	r := 500 * l.drawing.body.Rows[0].Seats[0].Frame.Cutout
	half = math.Max(half, 500*l.drawing.body.Rows[0].Seats[0].Frame.Flange)
	l.board(x, l.axis-half, l.box.t, half-r, true)
	l.board(x, l.axis+r, l.box.t, half-r, true)
}

// chambers draws the throat chamber and the closed rear chamber before the duct.
func (l *line) chambers() {
	t := l.box.t
	at := l.start // the right end of what is drawn next
	if c := l.body.Throat; c.Long > 0 {
		l.cell(at-1e3*c.Long, at, 500*c.Wide, l.half(0))
		at -= 1e3 * c.Long
	}
	if c := l.body.Rear; c.Long > 0 {
		l.cell(at-1e3*c.Long, at-t, 500*c.Wide, 0)
		l.board(at-1e3*c.Long-t, l.axis-500*c.Wide-t, t, 1e3*c.Wide+2*t, true)
	}
	if !l.body.InWall && (l.body.Throat.Long > 0 || l.body.Rear.Long > 0) {
		l.board0(at-t, 500*math.Max(l.body.Rear.Wide, l.body.Throat.Wide)+t, true)
	}
}

// cell draws the side walls of a chamber and the wall that narrows to a throat.
func (l *line) cell(from, to, half, throat float64) {
	t := l.box.t
	l.board(from, l.axis-half-t, to-from, t, false)
	l.board(from, l.axis+half, to-from, t, false)
	if throat > 0 && half > throat+t {
		l.board(to-t, l.axis-half, t, half-throat, true)
		l.board(to-t, l.axis+throat, t, half-throat, true)
	}
}

// mouth draws the wall around a flanged mouth.
func (l *line) mouth() {
	if l.sys.Spec.Line.Mouth.End == enclosure.EndFree {
		return
	}
	half, x := l.half(l.length)+l.box.t, l.start+l.length
	for _, side := range []float64{-1, 1} {
		l.s.Line(l.x(x), l.y(l.axis+side*half), l.x(x), l.y(l.axis+side*(half-l.box.t+flangeOut)), draw.Style{Stroke: draw.Ink, Width: l.thick})
	}
}

// fills shades what is filled.
func (l *line) fills() {
	for _, f := range l.sys.Spec.Line.Fills {
		to := 1e3 * f.To
		if to == 0 {
			to = l.length
		}
		p := new(draw.Path)
		at := l.places(1e3*f.From, to)
		for i, x := range at {
			if i == 0 {
				p.M(l.x(l.start+x), l.y(l.axis-l.half(x)))
			} else {
				p.L(l.x(l.start+x), l.y(l.axis-l.half(x)))
			}
		}
		for i := len(at) - 1; i >= 0; i-- {
			p.L(l.x(l.start+at[i]), l.y(l.axis+l.half(at[i])))
		}
		l.s.Path(p.Z(), draw.Style{Hatch: draw.Hatch{Role: draw.Rule, Pitch: math.Max(5, 16*l.k), Width: l.thin}})
	}
}

// drivers draws the stack of one position where it stands.
func (l *line) drivers() {
	row, members := l.drawing.body.Rows[0], l.sys.Group.Positions[0]
	if !l.body.InWall {
		face := l.start + 1e3*l.body.Driver - l.box.t // the outer face of the board that carries them
		if l.body.Outward > 0 {
			face += l.box.t
		}
		l.along(face, row, members)
		return
	}
	flange, r := 500*row.Seats[0].Frame.Flange, 500*row.Seats[0].Frame.Cutout
	x := math.Max(math.Min(1e3*l.body.Driver, l.length-flange), flange)
	l.box.front = l.axis + l.half(x) + l.box.t
	l.far = l.axis - l.half(x)
	l.holes = []hole{{x - r, x + r}}
	l.stack(l.start+x, row, members)
	if l.sys.Spec.Kind != enclosure.TappedWaveguide {
		return
	}
	at := 1e3 * l.body.Front
	out := math.Min(math.Max(at, r), l.length-r)
	open := hole{out - r/2, out + r/2}
	if open.to < l.holes[0].from {
		l.holes = []hole{open, l.holes[0]}
	} else if open.from > l.holes[0].to {
		l.holes = append(l.holes, open)
	}
	ahead := 1e3 * l.drawing.body.InFront
	low := math.Max(l.box.front, l.axis+l.half(out)+l.box.t) + ahead + 0.6*underneath
	p := new(draw.Path).M(l.x(l.start+x), l.y(l.box.front+ahead+0.3*underneath)).L(l.x(l.start+x), l.y(low)).
		L(l.x(l.start+out), l.y(low)).L(l.x(l.start+out), l.y(l.axis+l.half(out)))
	l.s.Path(p, draw.Style{Stroke: draw.Soft, Width: l.thin, Dash: []float64{8, 2, 1.5, 2}})
	if !(l.o.Terse || l.o.Built) || !foldedLegs(&l.drawing.body) { // else the fold shows it
		l.say("folded so that the front of the cone looks into the duct at "+l.drawing.length(at), draw.Soft)
	}
}

// along draws the drivers of a position on the duct's axis, in a board whose outer
// face is at x.
func (l *line) along(x float64, r study.Row, members []driver.Member) {
	out := l.body.Outward
	for k, s := range r.Seats {
		if s.Ring > 0 {
			next := r.Seats[k+1].Frame
			outside, inside := 1e3*math.Min(s.Frame.Flange, next.Flange), 1e3*math.Min(s.Frame.Cutout, next.Cutout)
			a, b := x-out*1e3*s.Front(), x-out*1e3*(s.Front()+s.Ring)
			w := (outside - inside) / 2
			l.board(math.Min(a, b), l.axis-outside/2, math.Abs(b-a), w, true)
			l.board(math.Min(a, b), l.axis+inside/2, math.Abs(b-a), w, true)
		}
		if s.Tube {
			const thick = 1e3 * study.Ledge
			_, far := s.Shelf()
			a, b, half := x-out*1e3*s.From, x-out*1e3*far, 500*r.Tube
			for _, q := range []float64{-1, 1} {
				l.board(math.Min(a, b), l.axis+q*(half+thick/2)-thick/2, math.Abs(b-a), thick, false)
			}
		}
	}
	for k, s := range r.Seats {
		face := float64(s.Facing)
		g := gaze{l.drawing, x - out*1e3*s.Mount, l.axis, out * face, 0, 0, 0}
		m := sizeOf(s.Frame)
		l.driver(g, m)
		l.terminal(g, m, members[k].Polarity > 0)
		l.arrow(g, m, float64(members[k].Direction()), face, l.free(r, k))
	}
}
