package section

import (
	"math"

	"basswright/internal/draw"
	"basswright/internal/driver"
	"basswright/internal/study"
)

// stack draws the drivers of one position on their axis at x, tubes first.
func (c *drawing) stack(x float64, r study.Row, members []driver.Member) {
	c.stackFrom(stand{x, c.carrier(), 1, c.leftOf(x), c.far, 0}, r, members)
}

// stand is where a position stands, mm: its axis at x, the outer face of its board at y,
// which looks down the page (way +1) or up (−1); what is on its left, and the walls that
// the magnets reach towards of drivers that look out of the board and back into it; 0: none.
type stand struct{ x, y, way, left, inner, outer float64 }

// stackFrom draws the drivers of one position where it stands.
func (c *drawing) stackFrom(b stand, r study.Row, members []driver.Member) {
	for k, s := range r.Seats {
		if s.Tube {
			c.tube(b.x, b.y, b.way, r.Tube, s)
		}
		if s.Ring > 0 {
			next := r.Seats[k+1].Frame
			from, to := b.y-b.way*1e3*(s.Front()+s.Ring), b.y-b.way*1e3*s.Front()
			c.ring(b.x, math.Min(from, to), 1e3*s.Ring, 1e3*math.Min(s.Frame.Flange, next.Flange), 1e3*math.Min(s.Frame.Cutout, next.Cutout))
		}
	}
	for k, s := range r.Seats {
		face := float64(s.Facing)
		m := sizeOf(s.Frame)
		g := gaze{c: c, x: b.x, y: b.y - b.way*1e3*s.Mount, ay: b.way * face, free: math.Max(0, b.x-m.frame/2-b.left)}
		if room := c.free(r, k); room.behind > 0 {
			g.back = m.depth + room.behind
		}
		wall := b.inner
		if s.Facing < 0 {
			wall = b.outer
		}
		if wall != 0 {
			g.back = math.Abs(g.y - wall)
		}
		if r.Tube > 0 && k+1 < len(r.Seats) { // in the tube that carries the next
			g.free = math.Max(0, 500*r.Tube-m.frame/2)
		}
		c.driver(g, m)
		c.terminal(g, m, members[k].Polarity > 0)
		c.arrow(g, m, float64(members[k].Direction()), face, c.free(r, k))
	}
}

// leftOf is where on the left of a position at x something stands: the wall, or what its
// neighbour has at the height of the magnets.
func (c *drawing) leftOf(x float64) float64 {
	at := c.box.left + c.box.t
	for _, l := range c.body.Lanes {
		cx := c.box.left + 1e3*l.Centre
		if cx >= x-1 {
			continue
		}
		edge := cx + 500*l.Width
		if l.Kind == study.LaneStack {
			edge = 0
			for _, s := range c.body.Rows[l.Index].Seats {
				edge = math.Max(edge, cx+sizeOf(s.Frame).magnet)
			}
		}
		at = math.Max(at, edge+basket)
	}
	return at
}

// basket is what a driver’s basket takes beside its magnet, mm.
const basket = 8.0

// free is the room before a driver's cone and behind its magnet, mm.
func (c *drawing) free(r study.Row, k int) (room spare) {
	const open = 1e3
	s := r.Seats[k]
	outward, inward := open, 1e3*c.body.Depth-c.box.t-1e3*(c.body.Divider+r.Reach) // of the whole row
	if c.body.Divider > 0 {
		outward = 1e3*(c.body.Divider-r.Ahead) - c.box.t
	}
	if !c.body.Known {
		inward = open
	}
	toListener, toBox := outward, inward
	if k > 0 {
		toListener = gapBetween(r.Seats[k-1], s)
	}
	if k+1 < len(r.Seats) {
		toBox = gapBetween(s, r.Seats[k+1])
	}
	if s.Facing == driver.Front {
		return spare{ahead: toListener, behind: toBox}
	}
	return spare{ahead: toBox, behind: toListener}
}

// gapBetween is the clear room between two neighbours of a stack, mm; cones
// that face each other have half of the ring each.
func gapBetween(a, b study.Seat) float64 {
	if a.Ring > 0 {
		return 1e3 * a.Ring / 2
	}
	return 1e3 * (math.Min(b.Front(), b.Back()) - math.Max(a.Front(), a.Back()))
}

// ring is the spacer between two cones that face each other.
func (c *drawing) ring(x, y, thick, outside, inside float64) {
	w := (outside - inside) / 2
	c.board(x-outside/2, y, w, thick, true)
	c.board(x+inside/2, y, w, thick, true)
}

// tube is the two boards that carry an inner driver, with the shelf around its flange.
func (c *drawing) tube(x, outer, way, width float64, s study.Seat) {
	const thick = 1e3 * study.Ledge
	half := 500 * width
	near, far := s.Shelf()
	near, far = outer-way*1e3*near, outer-way*1e3*far
	from := outer - way*1e3*s.From
	for _, q := range []float64{-1, 1} {
		c.board(x+q*(half+thick/2)-thick/2, math.Min(near, from), thick, math.Abs(from-near), true)
		a, b := x+q*500*s.Frame.Cutout, x+q*(half+thick)
		c.board(math.Min(a, b), math.Min(near, far), math.Abs(b-a), math.Abs(near-far), false)
	}
}

// spare is the free room before a cone and behind its magnet, mm.
type spare struct{ ahead, behind float64 }

// arrow shows the way a cone moves for a positive voltage at the group: from
// the dome where it moves towards its front; else from behind the magnet if
// there is room and the listener is there, or onto the dome. In a group whose
// cones fight, those that move inwards are marked. face is +1 of a driver whose front
// looks to the listener’s side of its group.
func (c *drawing) arrow(g gaze, m size, direction, face float64, room spare) {
	k := m.depth / 132
	out := 0.6 + 0.4*k
	const clear = 4.0 // mm before what is next
	from, to := -40*k, math.Min(24*out, room.ahead-clear)
	if direction != face {
		from, to = math.Min(22*out, room.ahead-clear), -38*k
		if room.behind > 52*out && face < 0 {
			from, to = -(m.depth + 5), -(m.depth + 46*out)
		}
	}
	x0, y0 := g.at(0, from)
	x1, y1 := g.at(0, to)
	long := math.Abs(x1-x0) + math.Abs(y1-y0) // one of both is 0
	ux, uy := math.Copysign(g.ax*g.ax, x1-x0), math.Copysign(g.ay*g.ay, y1-y0)
	nx, ny := math.Abs(uy), math.Abs(ux) // across it
	wide := math.Min(math.Max(3, 9*c.k), 0.25*long)
	role := draw.Ink
	if !c.out.System.Group.MovesTogether() && direction < 0 {
		role = draw.Stop
		e, mx, my := 1.1*wide, (x0+x1)/2+3.4*wide*nx, (y0+y1)/2+3.4*wide*ny
		c.s.Path(new(draw.Path).M(mx-e, my-e).L(mx+e, my+e).M(mx-e, my+e).L(mx+e, my-e), draw.Style{Stroke: role, Width: 1.5 * c.thick})
	}
	c.s.Line(x0, y0, x1-ux*2*wide, y1-uy*2*wide, draw.Style{Stroke: role, Width: c.thick})
	c.s.Path(new(draw.Path).M(x1, y1).L(x1-wide*nx-ux*2.6*wide, y1-wide*ny-uy*2.6*wide).L(x1+wide*nx-ux*2.6*wide, y1+wide*ny-uy*2.6*wide).Z(), draw.Style{Fill: role})
}
