package section

import (
	"fmt"
	"math"

	"basswright/internal/draw"
	"basswright/internal/study"
)

// radiator draws a passive radiator whose flange is flush at a place: surround,
// flat cone and mass, no motor, no terminal, no arrow (its phase turns).
func (c *drawing) radiator(g gaze) {
	f := study.RadiatorFrame(c.body.Spec.Radiator)
	m := sizeOf(f)
	g.x, g.y = g.x-m.flange*g.ax, g.y-m.flange*g.ay
	st := c.styles(false)
	block := math.Min(0.4*m.depth, 14)
	flat := -(m.depth - block)
	for _, q := range []float64{-1, 1} {
		c.s.Path(g.line(q*(m.edge+2), 0, q*m.frame/2, 0, q*m.frame/2, m.flange, q*(m.edge+2), m.flange).Z(), st.iron)
		c.s.Path(g.bow(q*m.cone, -2, q*(m.cone+m.edge)/2, 0.18*m.edge, q*m.edge, 2), st.line)
	}
	c.s.Path(g.line(-m.cone, -2, -0.42*m.cone, flat, 0.42*m.cone, flat, m.cone, -2), st.cone)
	c.s.Path(g.line(-0.35*m.cone, flat-2, 0.35*m.cone, flat-2, 0.35*m.cone, -m.depth, -0.35*m.cone, -m.depth).Z(), st.iron)
}

// sideAxis is where the axis of the radiators in the sides lies.
func (c *drawing) sideAxis() float64 {
	r := 500 * study.RadiatorFrame(c.body.Spec.Radiator).Flange
	return math.Max((c.box.back+c.box.front)/2, c.box.back+c.box.t+r)
}

// sideRadiator draws what stands in a side wall; n are above each other.
func (c *drawing) sideRadiator(right bool, n int) {
	g := gaze{c, c.box.left, c.sideAxis(), -1, 0, 0, 0}
	if right {
		g.x, g.ax = c.box.right, 1
	}
	c.radiator(g)
	if n > 1 {
		c.say(fmt.Sprintf("%s radiators above each other on either side", study.Count(n)), draw.Soft)
	}
}
