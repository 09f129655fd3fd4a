package duct

import (
	"math"
	"math/cmplx"

	"basswright/internal/phys"
)

// tolerance is the sum of the errors that the segments of one duct may have, as a
// share of its two-port: 0.001 dB. What was measured against an integration is ten
// times less.
const tolerance = 1e-4

// halvings is how often a part may be cut in two. Beyond it the estimate tells.
const halvings = 14

// cutter cuts shapes into the segments of a duct.
type cutter struct {
	making Making
	total  float64 // length of the whole duct
	top    float64 // rad/s
	duct   *Duct
	last   float64 // √S where the last part ended; 0: nothing yet
}

// part adds a part with one kind of fill or none.
func (c *cutter) part(s Shape, fill *Fill) {
	for _, t := range s.stretches {
		r := t.at(0)
		if c.making.Steps && c.last > 0 && math.Abs(r/c.last-1) > 1e-9 {
			c.step(c.last, r)
		}
		c.split(t, fill, 0)
		c.last = t.at(t.length)
	}
}

// split adds a stretch as one segment, or as two halves where that is not good
// enough.
func (c *cutter) split(t stretch, fill *Fill, depth int) {
	whole, a := c.segment(t, fill)
	if t.curve == nil && (a.free || a.fill != nil || t.d == 0 && t.kk == 0) {
		c.add(whole, a)
		return
	}
	one, two := t.between(0, t.length/2), t.between(t.length/2, t.length)
	s1, a1 := c.segment(one, fill)
	s2, a2 := c.segment(two, fill)
	worst := 0.0
	for _, share := range []float64{0.02, 0.06, 0.15, 0.4, 1} {
		w := c.top * share
		var m, n, k Chain
		root := math.Sqrt(w)
		rho, mod := c.duct.at(&a, w, root)
		whole.chain(w, rho, mod, &c.duct.gas, &m)
		rho, mod = c.duct.at(&a1, w, root)
		s1.chain(w, rho, mod, &c.duct.gas, &n)
		rho, mod = c.duct.at(&a2, w, root)
		s2.chain(w, rho, mod, &c.duct.gas, &k)
		n.times(&k)
		worst = max(worst, m.far(n, c.making.Gas, t.at(0), t.at(t.length), w*c.total))
	}
	if worst <= tolerance*t.length/c.total && !whole.steep || depth == halvings {
		c.duct.estimate += worst
		c.add(whole, a)
		return
	}
	c.split(one, fill, depth+1)
	c.split(two, fill, depth+1)
}

// far is how far two chains of one part lie apart: the largest difference of their
// numbers, made free of units and of the areas, over the largest number. Where the
// whole duct is short against the wave, B and C, its mass and its volume, are small
// and what they differ by counts for more: ω times the duct’s length is wl, in m/s.
func (m Chain) far(n Chain, g Gas, r1, r2, wl float64) float64 {
	small := min(1, wl/g.C)
	by := [4]float64{r1 / r2, r1 * r2 / (g.Rho * g.C * small), g.Rho * g.C / (r1 * r2 * small), r2 / r1}
	less := complex(math.Exp(n.Log-m.Log), 0)
	var apart, most float64
	for i, z := range [4]complex128{m.A, m.B, m.C, m.D} {
		v := [4]complex128{n.A, n.B, n.C, n.D}[i]
		apart = max(apart, by[i]*cmplx.Abs(z-v*less))
		most = max(most, by[i]*cmplx.Abs(z))
	}
	return apart / most
}

// add puts a segment at the end of the duct.
func (c *cutter) add(g segment, a air) {
	d := c.duct
	n := len(d.airs)
	if n == 0 || d.airs[n-1] != a {
		d.airs = append(d.airs, a)
		n++
	}
	g.air = int32(n - 1)
	d.segments = append(d.segments, g)
}

// segment is a stretch as one segment: as it is, or the one of the family through
// its ends and its middle.
func (c *cutter) segment(t stretch, fill *Fill) (segment, air) {
	l := t.length
	r1, r2 := t.at(0), t.at(l)
	var g segment
	if t.curve == nil {
		g = newSegment(l, r1, r2, t.d, t.slope(l), t.kk)
	} else {
		// r1 + r2 = 2·rm·cosh(κL/2)
		var kk float64
		if q := (r1 + r2) / (2 * t.at(l/2)); q > 1 {
			kk = math.Pow(2*math.Acosh(q)/l, 2)
		} else {
			kk = -math.Pow(2*math.Acos(q)/l, 2)
		}
		cosh, sinh := family(kk, l)
		g = newSegment(l, r1, r2, (r2-r1*cosh)/sinh, (r2*cosh-r1)/sinh, kk)
	}
	switch {
	case fill != nil:
		return g, air{fill: fill}
	case !c.making.Walls:
		return g, air{free: true}
	}
	return g, air{wall: c.wall(t, &g)}
}

// wall finds the two radii at which the loss is right on the mean, and by how much
// it leans to the start. For wide ducts F goes as 1/a; it adds to ρ/S and to S/K,
// so that its means have those weights.
func (c *cutter) wall(t stretch, g *segment) wall {
	const n = 8 // Simpson’s rule
	type sums struct{ all, lossy, moment, lossyMoment, start, both, end float64 }
	var mass, give sums
	add := func(s *sums, by, weight, radius, lever float64) {
		s.all += by * weight
		s.lossy += by * weight / radius
		s.moment += by * weight * lever
		s.lossyMoment += by * weight / radius * lever
		s.start += by * weight * (0.5 + lever) * (0.5 + lever)
		s.both += by * weight * (0.5 + lever) * (0.5 - lever)
		s.end += by * weight * (0.5 - lever) * (0.5 - lever)
	}
	for i := range n + 1 {
		by := t.length / (3 * n) * float64(2+2*(i&1))
		if i == 0 || i == n {
			by = t.length / (3 * n)
		}
		r := t.at(t.length * float64(i) / n)
		s := r * r
		a := c.making.Section.hydraulic(s)
		lever := 0.5 - float64(i)/n // over the length
		add(&mass, by, 1/s, a, lever)
		add(&give, by, s, a, lever)
	}
	viscous, thermal := mass.all/mass.lossy, give.all/give.lossy
	if t.curve != nil || t.d != 0 || t.kk != 0 {
		g.shiftZ = viscous*mass.lossyMoment - mass.moment
		g.shiftY = thermal*give.lossyMoment - give.moment
		// What leans must not take more at the end than is lost there, or the segment
		// would give power: for a flow that changes evenly from end to end, its loss is
		// the form start·u1² + 2·both·u1·u2 + end·u2². Half of the room is left for
		// flows that do not.
		bears := func(s sums, shift float64) bool {
			return (s.start+shift)*(s.end-shift)-s.both*s.both >= (s.start*s.end-s.both*s.both)/2 && s.start+shift > 0
		}
		if !bears(mass, g.shiftZ) || !bears(give, g.shiftY) {
			g.steep, g.shiftZ, g.shiftY = true, 0, 0
		}
	}
	gas := c.making.Gas
	root := math.Sqrt(gas.Rho / gas.Viscosity)
	return wall{viscous: viscous * root, thermal: thermal * root * math.Sqrt(gas.Prandtl)}
}

// StepEnd is the length, in radii of the narrower duct, that the flow’s coming
// together adds to it where a round duct opens into a wider one whose radius is
// larger by a factor of 1/ratio: 0.8217·(1 − 1.35·ε + 0.31·ε³) (Kergomard & Garcia,
// J. Sound Vib. 114 (1987), 465; the fit from memory), kept from turning negative
// near ε = 1.
func StepEnd(ratio float64) float64 {
	return phys.EndFlanged * max(0, 1-1.35*ratio+0.31*ratio*ratio*ratio)
}

// step adds the mass of a jump from one √S to another.
func (c *cutter) step(from, to float64) {
	narrow, wide := min(from, to), max(from, to)
	l := StepEnd(narrow/wide) * narrow / math.Sqrt(math.Pi)
	if l > 0 {
		c.add(segment{mass: true, b: l / (narrow * narrow)}, air{free: true})
	}
}
