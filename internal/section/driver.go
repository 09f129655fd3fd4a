package section

import (
	"math"

	"basswright/internal/draw"
	"basswright/internal/driver"
	"basswright/internal/study"
)

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
