package section

import (
	"math"
	"slices"

	"basswright/internal/draw"
	"basswright/internal/enclosure"
	"basswright/internal/phys"
	"basswright/internal/study"
)

// folded is a duct being drawn in the legs that its space asks for: u along the legs from
// where the first begins, v across them on the page, both mm inside the outer boards.
type folded struct {
	*line
	fold  *study.Fold
	ox    float64 // mm on the page, of u = 0
	oy    float64 // mm on the page, of v = 0
	total float64 // mm, of all legs across
	block float64 // mm, of chambers beside the first leg
	up    bool    // the first leg lies at the bottom of the page
}

// foldedLegs reports whether a candidate’s duct is drawn folded too.
func foldedLegs(b *study.Body) bool { return b.Fold != nil && len(b.Fold.Legs) > 1 }

// drawFold draws the duct folded under what is drawn already, whose end is at y on the
// scene, and returns the end of it down and across the page.
func (l *line) drawFold(y float64) (end, right float64) {
	fold := l.drawing.body.Fold
	last := fold.Legs[len(fold.Legs)-1]
	f := folded{line: l, fold: fold, ox: l.box.t, total: 1e3 * (last.Axis + last.Wide/2), block: 1e3 * fold.Block}
	leg, _ := fold.Place(l.body.Driver)
	f.up = f.block > 0 || l.body.Driver <= 0 || leg == 0
	below := 0.0
	if l.facesOut() {
		below = 1e3*l.drawing.body.InFront + underneath
	}
	if l.body.Lead > 0 && !l.body.InWall && f.block == 0 { // drivers in the closed end stand before it
		f.ox += 1e3 * l.body.Lead
	}
	f.oy = (y-l.y0)/l.k + 0.8*l.o.Size/l.k + l.box.t
	if !f.up {
		f.oy += f.block
	}
	if l.o.Terse || l.o.Built {
		l.say(f.title(), draw.Soft)
	} else {
		l.say("above: straight; below: "+f.title()+"; what is hatched is boards and dead space"+lightly(l.sys), draw.Soft)
	}
	if !fold.Fits && fold.Why != "" {
		l.say("the fold is "+fold.Why, l.doubt())
	}
	top, room := f.oy-l.box.t, fold.Room
	if !f.up {
		top -= f.block
	}
	if room[0] > 0 {
		l.s.Rect(f.x(-l.box.t), l.y(top), 1e3*room[0]*l.k, 1e3*room[1]*l.k, draw.Style{Stroke: draw.Rule, Width: 0.8, Dash: []float64{7, 2, 1, 2}})
	}
	f.wood()
	f.air()
	f.packed()
	f.edges()
	f.chambers()
	f.centre()
	f.group()
	low, far := f.oy+f.total+f.block+l.box.t+below, 1e3*fold.Inside+l.box.t
	if text := l.figure(1e3 * fold.Long); l.o.Built && l.o.Dims && l.legible(text, 1e3*fold.Long*l.k) {
		l.across(f.x(-l.box.t), f.x(far), l.y(top)-8, l.y(top), text)
	}
	return l.y(math.Max(low, top+1e3*room[1])), math.Max(f.x(far), f.x(-l.box.t)+1e3*room[0]*l.k)
}

// doubt is how gravely it is meant that a fold does not fit: another by hand may, unless the
// duct holds more than the whole space.
func (l *line) doubt() draw.Role {
	if slices.ContainsFunc(l.out.Misses, func(m study.Miss) bool { return m.Check == study.CheckDuctAir }) {
		return draw.Stop
	}
	return draw.Heed
}

// lightly tells the fill of a duct from what else is hatched.
func lightly(sys *enclosure.System) string {
	if len(sys.Spec.Line.Fills) == 0 {
		return ""
	}
	return ", and lightly its fill"
}

// facesOut says that drivers stand in an outer wall of the fold.
func (l *line) facesOut() bool {
	switch k := l.sys.Spec.Kind; {
	case l.drawing.body.Fold.Out != study.AcrossLegs:
		return false
	case k == enclosure.BackLoadedHorn:
		return true
	}
	return l.body.InWall && l.sys.Spec.Kind == enclosure.TransmissionLine
}

// title says what is drawn.
func (f *folded) title() string {
	fold := f.fold
	side := func(m float64) string { return phys.Brief(math.Round(1e3*m)/1e3, phys.Length, f.o.Units) }
	wide, high, deep := fold.Size() // as the space has them, whichever way the page shows
	legs, size := study.Count(len(fold.Legs))+" legs", side(wide)+" wide, "+side(high)+" high and "+side(deep)+" deep"
	if f.o.Terse || f.o.Built {
		return "folded in " + legs + ": " + size
	}
	return "folded in " + legs + " with a centre line as long, " + size
}

func (f *folded) x(u float64) float64 { return f.line.x(f.ox + u) }

func (f *folded) y(v float64) float64 {
	if f.up {
		v = f.total - v
	}
	return f.line.y(f.oy + v)
}

// half is half of a leg’s clear width at u, mm.
func (f *folded) half(i int, u float64) float64 {
	_, h := f.fold.Half(f.sys, i, u/1e3)
	return 1e3 * h
}

// turn is the place of the turn after a leg: where it begins and ends along u, mm.
func (f *folded) turn(i int) (from, to float64) {
	inside, high := 1e3*f.fold.Inside, 1e3*f.fold.Legs[i].Turn
	if i%2 == 1 {
		return 0, high
	}
	return inside - high, inside
}

// edge is the course of one wall of a leg, from one u to another; side is −1 towards the
// leg before.
func (f *folded) edge(p *draw.Path, i int, side, from, to float64, move bool) {
	const n = 60
	axis := 1e3 * f.fold.Legs[i].Axis
	for k := range n + 1 {
		u := from + (to-from)*float64(k)/n
		x, y := f.x(u), f.y(axis+side*f.half(i, u))
		if k == 0 && move {
			p.M(x, y)
		} else {
			p.L(x, y)
		}
	}
}

// rect is a closed rectangle in u and v.
func (f *folded) rect(u0, u1, v0, v1 float64) *draw.Path {
	y0, y1 := f.y(v0), f.y(v1)
	return new(draw.Path).Box(f.x(math.Min(u0, u1)), math.Min(y0, y1), math.Abs(u1-u0)*f.k, math.Abs(y1-y0))
}

// wood hatches the outside of the fold: what of it holds no air is boards and dead space.
func (f *folded) wood() {
	t, inside := f.box.t, 1e3*f.fold.Inside
	f.s.Path(f.rect(-t, inside+t, -t-f.block, f.total+t), draw.Style{Hatch: f.hatch(false), Stroke: draw.Ink, Width: f.thick})
}

// air clears the legs, the turns and the mouth.
func (f *folded) air() {
	clear := draw.Style{Fill: draw.Paper}
	inside := 1e3 * f.fold.Inside
	for i, l := range f.fold.Legs {
		p := new(draw.Path)
		f.edge(p, i, -1, 0, inside, true)
		f.edge(p, i, 1, inside, 0, false)
		f.s.Path(p.Z(), clear)
		if l.Turn > 0 {
			a, b := f.turn(i)
			f.s.Path(f.rect(a, b, 1e3*l.Axis, 1e3*f.fold.Legs[i+1].Axis), clear)
		}
	}
	a, b := f.mouthEnd()
	n := len(f.fold.Legs) - 1
	axis, half := 1e3*f.fold.Legs[n].Axis, f.half(n, a)
	over := math.Copysign(1.5*f.thick/f.k, b-a) // the lines of the outside too
	f.s.Path(f.rect(a-over, b+over, axis-half, axis+half), clear)
}

// mouthEnd is the board that the mouth goes through: its inside and its outside.
func (f *folded) mouthEnd() (from, to float64) {
	if len(f.fold.Legs)%2 == 1 {
		inside := 1e3 * f.fold.Inside
		return inside, inside + f.box.t
	}
	return 0, -f.box.t
}

// packed shades fill, in the legs as far as it goes and in turns whose middle it holds.
func (f *folded) packed() {
	shade := draw.Style{Hatch: draw.Hatch{Role: draw.Rule, Pitch: math.Max(5, 16*f.k), Width: f.thin}}
	length := f.sys.Facts.Line.Length
	for _, fill := range f.sys.Spec.Line.Fills {
		to := fill.To
		if to == 0 {
			to = length
		}
		for i, l := range f.fold.Legs {
			from, end := math.Max(fill.From, l.From), math.Min(to, l.To)
			if end > from {
				_, a := f.fold.Place(from + 1e-9)
				_, b := f.fold.Place(end - 1e-9)
				p := new(draw.Path)
				f.edge(p, i, -1, 1e3*a, 1e3*b, true)
				f.edge(p, i, 1, 1e3*b, 1e3*a, false)
				f.s.Path(p.Z(), shade)
			}
			if l.Turn == 0 {
				continue
			}
			if next := f.fold.Legs[i+1]; fill.From < (l.To+next.From)/2 && to > (l.To+next.From)/2 {
				u0, u1 := f.turn(i)
				f.s.Path(f.rect(u0, u1, 1e3*l.Axis-f.half(i, u0), 1e3*next.Axis+f.half(i+1, u0)), shade)
			}
		}
	}
}

// edges draws the walls of the legs and the ends of the boards between them.
func (f *folded) edges() {
	ink := draw.Style{Stroke: draw.Ink, Width: f.thick}
	inside, n := 1e3*f.fold.Inside, len(f.fold.Legs)
	at := func(i int, side, u float64) (x, y float64) {
		return f.x(u), f.y(1e3*f.fold.Legs[i].Axis + side*f.half(i, u))
	}
	between := func(x0, y0, x1, y1 float64) { f.s.Line(x0, y0, x1, y1, ink) }
	for i, l := range f.fold.Legs {
		for _, side := range []float64{-1, 1} {
			a, b := 0.0, inside
			turned := -1
			if side > 0 && i < n-1 {
				turned = i
			} else if side < 0 && i > 0 {
				turned = i - 1
			}
			if turned >= 0 {
				if from, to := f.turn(turned); turned%2 == 1 {
					a = to
				} else {
					b = from
				}
			}
			p := new(draw.Path)
			f.edge(p, i, side, a, b, true)
			f.s.Path(p, ink)
		}
		far, near := inside, 0.0
		if i%2 == 1 {
			far, near = 0, inside
		}
		if i == 0 { // the closed end
			x0, y0 := at(0, -1, near)
			x1, y1 := at(0, 1, near)
			between(x0, y0, x1, y1)
		}
		if l.Turn == 0 {
			continue
		}
		x0, y0 := at(i, -1, far) // the end wall of the turn
		x1, y1 := at(i+1, 1, far)
		between(x0, y0, x1, y1)
		a, b := f.turn(i) // the end of the board between
		u := a
		if i%2 == 1 {
			u = b
		}
		x0, y0 = at(i, 1, u)
		x1, y1 = at(i+1, -1, u)
		between(x0, y0, x1, y1)
	}
	a, b := f.mouthEnd()
	axis, half := 1e3*f.fold.Legs[n-1].Axis, f.half(n-1, a)
	for _, side := range []float64{-1, 1} {
		between(f.x(a), f.y(axis+side*half), f.x(b), f.y(axis+side*half))
	}
}

// centre draws the centre line, whose length is the duct’s.
func (f *folded) centre() {
	p := new(draw.Path).M(f.x(0), f.y(1e3*f.fold.Legs[0].Axis))
	inside := 1e3 * f.fold.Inside
	for i, l := range f.fold.Legs {
		end := inside
		if i%2 == 1 {
			end = 0
		}
		if l.Turn > 0 {
			a, b := f.turn(i)
			u := (a + b) / 2
			p.L(f.x(u), f.y(1e3*l.Axis)).L(f.x(u), f.y(1e3*f.fold.Legs[i+1].Axis))
			continue
		}
		p.L(f.x(end), f.y(1e3*l.Axis))
	}
	f.s.Path(p, draw.Style{Stroke: draw.Soft, Width: 0.85 * f.thin, Dash: []float64{10, 2, 2, 2}})
}

// group draws the drivers where they stand in the fold.
func (f *folded) group() {
	row, members := f.drawing.body.Rows[0], f.sys.Group.Positions[0]
	line := *f.line
	switch {
	case f.sys.Spec.Kind == enclosure.TappedWaveguide:
		f.tapped()
		return
	case f.block > 0:
		f.inBlock(row, members)
		return
	case !f.body.InWall: // in the closed end; a hole in its board first
		r := 500 * row.Seats[0].Frame.Cutout
		axis := f.axisOnPage(0)
		if r <= 500*f.fold.Legs[0].Wide {
			f.s.Path(new(draw.Path).Box(f.x(-f.box.t-1), f.line.y(axis-r), (f.box.t+2)*f.k, 2*r*f.k), draw.Style{Fill: draw.Paper})
		}
		line.axis = axis
		line.along(f.ox-f.box.t, row, members)
		return
	}
	leg, u := f.fold.Place(f.body.Driver)
	if f.fold.Out == study.AboveLegs { // seen from outside
		f.above(f.axisOnPage(leg), 1e3*u)
		f.say("in the fold the drivers stand in "+f.wall()+" the leg", draw.Soft)
		return
	}
	r := 500 * row.Seats[0].Frame.Cutout
	at := math.Max(math.Min(1e3*u, 1e3*f.fold.Inside-r), r)
	v := f.total
	if f.up {
		v = 0
	}
	outer := f.oy + f.total + f.box.t
	inner := outer - f.box.t - math.Abs(v-1e3*f.fold.Legs[leg].Axis) + f.half(leg, at) // where the leg’s air begins
	f.s.Path(new(draw.Path).Box(f.x(at-r), f.line.y(inner-f.box.t/2), 2*r*f.k, (outer-inner+f.box.t)*f.k), draw.Style{Fill: draw.Paper})
	f.stackFrom(stand{f.ox + at, outer, 1, f.ox, inner - 2*f.half(leg, at), 0}, row, members)
}

// axisOnPage is a leg’s axis, mm on the page.
func (f *folded) axisOnPage(i int) float64 {
	v := 1e3 * f.fold.Legs[i].Axis
	if f.up {
		v = f.total - v
	}
	return f.oy + v
}

// wall is the one above the legs, seen from where the fold is seen.
func (f *folded) wall() string {
	if f.fold.ToFront() {
		return "the front wall, before"
	}
	return "the wall above"
}

// above draws the outline of drivers in the wall above what is cut, round a place on the page.
func (f *folded) above(y, u float64) {
	s := f.drawing.body.Rows[0].Seats[0].Frame
	for _, d := range []float64{s.Flange, s.Cutout} {
		f.s.Circle(f.x(u), f.line.y(y), 500*d*f.k, draw.Style{Stroke: draw.Ink, Width: f.thin, Dash: []float64{6, 3}})
	}
}

// tapped draws the drivers of a tapped waveguide between the two legs that they look
// into, where the fold brings those together.
func (f *folded) tapped() {
	row := f.drawing.body.Rows[0]
	front, u := f.fold.Place(f.body.Front)
	rear, w := f.fold.Place(f.body.Driver)
	r := 500 * row.Seats[0].Frame.Cutout
	if !f.fold.Meets {
		f.above(f.axisOnPage(rear), 1e3*w)
		f.say("this fold does not bring the two places together that the cone looks into", f.doubt())
		return
	}
	at := math.Max(math.Min(500*(u+w), 1e3*f.fold.Inside-r), r)
	a, b := f.axisOnPage(front), f.axisOnPage(rear)
	down := math.Copysign(1, a-b) // towards the front
	face := a - down*f.half(front, at)
	back := b + down*f.half(rear, at)
	f.s.Path(new(draw.Path).Box(f.x(at-r), f.line.y(math.Min(face, back)-f.box.t/2), 2*r*f.k, (math.Abs(face-back)+f.box.t)*f.k), draw.Style{Fill: draw.Paper})
	f.stackFrom(stand{f.ox + at, face, down, f.ox, b - down*f.half(rear, at), a + down*f.half(front, at)}, row, f.sys.Group.Positions[0])
}
