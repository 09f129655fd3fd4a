package section

import (
	"fmt"
	"math"

	"basswright/internal/draw"
	"basswright/internal/enclosure"
	"basswright/internal/study"
)

// How ports stand, mm (common practice, no source).
const (
	axisOut = 14.0 // how far an axis stands out of the opening
	beside  = 16.0 // between the bores of alike ports
	offWall = 10.0 // between a pipe and the wall it runs along
	slotted = 1e3 * study.Ledge
)

func (c *drawing) portWall(p enclosure.PortFacts) where {
	switch {
	case p.Chamber == "rear" && c.body.Spec.Kind == enclosure.BandpassParallel:
		return wallBack
	case p.Chamber == "rear" && c.body.Spec.Kind == enclosure.BandpassSeries:
		return wallInner
	}
	return wallFront
}

// openings are the holes of the alike ports of an opening from left to right;
// that of a slot takes its board too and begins at the side wall.
func (c *drawing) openings(cx float64, l study.Lane, p enclosure.PortFacts) []hole {
	n := min(l.Columns, max(p.Port.Count, 1))
	out := make([]hole, n)
	wide, step := 1e3*study.PortAcross(p), 1e3*study.PortAcross(p)+beside
	left := cx - (float64(n)*step-beside)/2
	if p.Port.Shape == enclosure.Slot {
		wide += slotted
		step = wide
		left = c.box.right - c.box.t - float64(n)*step
	}
	for i := range out {
		out[i] = hole{left + float64(i)*step, left + float64(i)*step + wide}
	}
	return out
}

// course is the way of a port: inwards, and then aside to the left or up
// towards who looks at the drawing; mm along the axis.
type course struct {
	inward, aside, up float64
	short             bool // it would need more bends than are drawn
}

// ports draws the alike ports of an opening.
func (c *drawing) ports(cx float64, l study.Lane, p enclosure.PortFacts) {
	y, dir := c.box.front, -1.0
	opposite := c.box.back + c.box.t
	switch c.portWall(p) {
	case wallFront:
		if c.body.Divider > 0 {
			opposite = c.carrier()
		}
	case wallInner:
		y = c.carrier()
	case wallBack:
		y, dir, opposite = c.box.back, 1, c.carrier()-c.box.t
	}
	name := "port"
	if len(c.body.Ports) > 1 {
		name = p.Chamber + " port"
	}
	holes := c.openings(cx, l, p)
	for i, h := range holes {
		if p.Port.Shape == enclosure.Slot {
			h.from += slotted
		}
		c.port(h, y, dir, c.course(h, y, dir, opposite, len(holes)-1-i, p), p, name)
	}
	if n := max(p.Port.Count, 1); n > len(holes) {
		text := fmt.Sprintf("%s %ss above each other", study.Count(n), name)
		if len(holes) > 1 {
			text = fmt.Sprintf("%s %ss, %s side by side", study.Count(n), name, study.Count(len(holes)))
		}
		c.say(text, draw.Soft)
	}
	if !p.Sized {
		c.say(name+": size not given", draw.Soft)
	}
}

// course finds the way of a port; outer counts the alike ports between it and
// the side wall, around which its bend has to go.
func (c *drawing) course(h hole, y, dir, opposite float64, outer int, p enclosure.PortFacts) course {
	wide := h.to - h.from
	long := 1e3 * p.Port.Length
	if !p.Sized {
		return course{inward: c.box.t + wide}
	}
	slot := p.Port.Shape == enclosure.Slot
	room := math.Abs(opposite - y)
	if long <= room-math.Max(12, wide/2) {
		return course{inward: long}
	}
	off := offWall
	if slot {
		off = 0 // the wall of the box is a wall of the slot
	}
	nest := float64(outer) * (wide + beside)
	bend := math.Max(room-off-wide/2-nest, c.box.t+wide/2)
	if dir > 0 { // from the back: along the back too
		bend = c.box.t + off + wide/2 + nest
	}
	bend = math.Min(bend, long-0.8*wide)
	aside := long - bend
	if aside > 0 && c.portWall(p) != wallFront || c.body.Divider == 0 {
		inner := c.box.back + c.box.t + off + nest + wide // the side of the bent leg that faces the drivers
		if slot {
			inner += slotted
		}
		axis := (h.from + h.to) / 2
		if axis-aside >= c.box.left+c.box.t+wide/2 && c.clear(axis-aside, h.from, inner+5) {
			return course{inward: bend, aside: aside}
		}
	}
	reach := math.Max(room-off-wide/2, c.box.t)
	tall := 1e3*c.body.Height - 2*c.box.t - 1.5*wide  // from the bottom to the top
	if max(p.Port.Count, 1) > outer+1 && outer == 0 { // others may stand above it
		tall /= 2
	}
	if up := long - reach; !slot && up <= tall {
		return course{inward: reach, up: up}
	}
	return course{inward: math.Max(room-wide/2, c.box.t), short: true}
}

// clear reports whether nothing of the drivers between two x reaches behind y.
func (c *drawing) clear(from, to, y float64) bool {
	for _, l := range c.body.Lanes {
		half, cx := 500*l.Width, c.box.left+1e3*l.Centre
		if l.Kind == study.LaneStack && cx+half > from && cx-half < to && c.carrier()-1e3*c.body.Rows[l.Index].Reach < y {
			return false
		}
	}
	return true
}

// port draws the walls of one port and its axis, the length that counts.
func (c *drawing) port(h hole, y, dir float64, w course, p enclosure.PortFacts, name string) {
	x, half := (h.from+h.to)/2, (h.to-h.from)/2
	bend, end := y+dir*w.inward, x-w.aside
	axis := new(draw.Path).M(c.x(x), c.y(y-dir*axisOut))
	switch {
	case w.aside > 0:
		axis.L(c.x(x), c.y(bend)).L(c.x(end-axisOut), c.y(bend))
	case w.up > 0:
		axis.L(c.x(x), c.y(bend-dir*half))
	default:
		axis.L(c.x(x), c.y(bend+dir*axisOut/2))
	}
	if p.Port.Shape == enclosure.Slot {
		c.slot(h.from-slotted, y, bend-dir*half*flag(w.aside > 0), end)
	} else {
		c.pipe(x, half, y, bend, end, dir, p.Sized)
	}
	c.s.Path(axis, draw.Style{Stroke: draw.Soft, Width: c.thin, Dash: []float64{8, 2, 1.5, 2}})
	switch {
	case w.up > 0:
		c.s.Circle(c.x(x), c.y(bend), (half+500*study.PipeWall)*c.k, draw.Style{Stroke: draw.Ink, Width: math.Max(c.thick, 1e3*study.PipeWall*c.k)})
		c.s.Circle(c.x(x), c.y(bend), math.Max(1.5, 5*c.k), draw.Style{Fill: draw.Ink})
		c.say(name+": the last "+c.length(w.up)+" turn up", draw.Soft)
	case w.short:
		c.say(name+" of "+c.length(1e3*p.Port.Length)+": needs more than one bend", draw.Heed)
	}
}

func flag(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

// pipe draws the two walls of a pipe from a board's face at y to a bend, and
// from there aside to x = end.
func (c *drawing) pipe(x, half, y, bend, end, dir float64, sized bool) {
	st := draw.Style{Stroke: draw.Ink, Width: math.Max(c.thick, 1e3*study.PipeWall*c.k)}
	if !sized {
		st = draw.Style{Stroke: draw.Ink, Width: c.thin, Dash: []float64{3, 2}}
	}
	half += 500 * study.PipeWall // the wall is outside of the bore
	for _, q := range []float64{-1, 1} {
		p := new(draw.Path).M(c.x(x+q*half), c.y(y))
		if end < x {
			turn := c.y(bend + q*dir*half)
			p.L(c.x(x+q*half), turn).L(c.x(end), turn)
		} else {
			p.L(c.x(x+q*half), c.y(bend))
		}
		c.s.Path(p, st)
	}
}

// slot draws the board of a slot along the side wall from a board's face at y
// to a bend, and from there along the back to x = end.
func (c *drawing) slot(x, y, bend, end float64) {
	c.board(x, math.Min(y, bend), slotted, math.Abs(y-bend), true)
	if end < x {
		top := bend
		if bend > y { // it comes from the back
			top -= slotted
		}
		c.board(end, top, x-end, slotted, false)
	}
}
