package section

import (
	"fmt"
	"math"
	"strings"

	"basswright/internal/draw"
	"basswright/internal/phys"
	"basswright/internal/study"
)

// views is the space of a brief, from the front and from above.
type views struct {
	*drawing
	st   *study.Study
	room *study.Room // of the first driver of the shortlist; nil: there is none
	f    size
	w    float64 // mm, of the space, or of what is drawn in its place
	h, d float64
	left float64 // mm, the space's left side on the page
}

// Space draws the space of a brief to scale in two views, from the front and
// below it from above with the front down the page, and holds the first driver
// of the shortlist against it. Without a space the outline is left open.
func Space(st *study.Study, opt Options) *draw.Scene {
	if opt.Size <= 0 {
		opt.Size = defaultSize
	}
	v := &views{drawing: newDrawing(opt), st: st}
	v.measure()
	t := opt.Size
	beside, above := 2.6*t, 2.2*t // for the dimensions
	v.x0 = margin + beside
	width := v.x0 + (v.w+2*v.left)*v.k + margin + 0.7*t
	v.s = draw.NewScene(math.Max(width, v.x0+24*t), 1, opt.Theme)
	v.s.Title, v.s.Desc = v.told()

	high := math.Max(v.h, v.f.frame)
	v.y0 = margin + above + (high-v.h)/2*v.k
	v.front()
	y := v.caption(v.y0+(v.h+high)/2*v.k+math.Max(1.6*t, 12), "from the front", Remark{v.fits(), v.mark(v.fitsIn())})
	v.y0 = y + 1.6*t
	if back := v.f.depth + v.f.flange - v.d; back > 0 { // a driver that is too deep stands out behind
		v.y0 += back * v.k
	}
	v.above()
	y = v.y0 + v.d*v.k + math.Max(1.6*t, 0.2*v.f.edge*v.k+t)
	v.s.H = v.caption(y, "from above", Remark{v.stays(), v.mark(v.room == nil || v.room.TooDeep == 0)}) + margin
	return v.s
}

// measure finds the first driver and how large what is drawn is.
func (v *views) measure() {
	if len(v.st.Drivers) > 0 {
		if rooms := v.st.Rooms(); len(rooms) > 0 {
			v.room = &rooms[0]
		}
		v.f = sizeOf(study.FrameOf(v.st.Drivers[0].Driver))
	}
	if s := v.st.Space; s != nil {
		v.w, v.h, v.d = 1e3*s.Width, 1e3*s.Height, 1e3*s.Depth
		v.box.t = 1e3 * s.Board()
	} else {
		side := math.Max(v.f.frame, 250)
		v.w, v.h, v.d, v.box.t = 1.8*side, 1.25*side, math.Max(1.6*v.f.depth, 0.7*side), 18
	}
	v.left = math.Max(0, (v.f.frame-v.w)/2)
}

// centres are the axes of the drivers side by side, mm from the space's left.
func (v *views) centres() []float64 {
	if v.room == nil || v.room.SideBySide == 0 {
		return []float64{v.w / 2}
	}
	var out []float64
	for _, c := range v.room.Centres {
		out = append(out, 1e3*c)
	}
	return out
}

// fitsIn reports whether the driver is held against the space and fits.
func (v *views) fitsIn() bool { return v.room == nil || v.room.SideBySide > 0 }

// mark is the colour of words about what can be, or cannot.
func (v *views) mark(can bool) draw.Role {
	if can {
		return draw.Soft
	}
	return draw.Stop
}

// front draws the space from the front: outline, the inside hidden behind it,
// the first driver, and those for which there is room beside it.
func (v *views) front() {
	k, t := v.k, v.box.t
	x, y := v.x(v.left), v.y(0)
	if v.st.Space == nil {
		v.s.Rect(x, y, v.w*k, v.h*k, v.outline())
	} else {
		v.s.Rect(x, y, v.w*k, v.h*k, draw.Style{Stroke: draw.Ink, Width: v.thick})
		if w, h := v.w-2*t, v.h-2*t; w > 0 && h > 0 {
			v.s.Rect(x+t*k, y+t*k, w*k, h*k, draw.Style{Stroke: draw.Soft, Width: v.thin, Dash: []float64{6, 3}})
		}
		if text := v.figure(v.w); v.legible(text, v.w*k) {
			v.across(x, x+v.w*k, v.y(math.Min(0, (v.h-v.f.frame)/2))-8, y, text)
		}
		if text := v.figure(v.h); v.legible(text, v.h*k) {
			v.along(y, y+v.h*k, v.x(0)-8, x, x, text)
		}
	}
	if v.f.frame == 0 {
		return
	}
	for i, c := range v.centres() {
		v.face(v.left+c, v.h/2, i > 0)
	}
}

// outline is how a space is drawn that nobody has given.
func (v *views) outline() draw.Style {
	return draw.Style{Stroke: draw.Rule, Width: 0.8, Dash: []float64{7, 2, 1, 2}}
}

// face draws a driver from the front: flange, surround, cone and dust cap, and
// the lines through its centre; a ghost is one for which there is room.
func (v *views) face(x, y float64, ghost bool) {
	st := draw.Style{Stroke: draw.Ink, Width: v.thin}
	rim := draw.Style{Stroke: draw.Ink, Width: v.thick}
	if ghost {
		st = draw.Style{Stroke: draw.Rule, Width: v.thin, Dash: []float64{7, 2, 1, 2}}
		rim = st
	} else if !v.fitsIn() {
		rim.Stroke = draw.Stop
	}
	for i, r := range []float64{v.f.frame / 2, v.f.edge, v.f.cone, v.f.coil} {
		if i == 0 {
			v.s.Circle(v.x(x), v.y(y), r*v.k, rim)
		} else {
			v.s.Circle(v.x(x), v.y(y), r*v.k, st)
		}
	}
	reach := v.f.frame/2*v.k + math.Min(6, 0.3*v.box.t*v.k+1)
	chain := draw.Style{Stroke: draw.Soft, Width: 0.85 * v.thin, Dash: []float64{10, 2, 2, 2}}
	v.s.Line(v.x(x)-reach, v.y(y), v.x(x)+reach, v.y(y), chain)
	v.s.Line(v.x(x), v.y(y)-reach, v.x(x), v.y(y)+reach, chain)
}

// above draws the space from above: boards cut, the driver in its front, the
// width inside, and how deep it is.
func (v *views) above() {
	k := v.k
	x, y := v.x(v.left), v.y(0)
	cx := v.left + v.centres()[0]
	if v.st.Space == nil {
		v.s.Rect(x, y, v.w*k, v.d*k, v.outline())
	} else {
		if text := v.figure(v.d); v.legible(text, v.d*k) {
			v.along(y, v.y(v.d), v.x(0)-8, x, x, text)
		}
		v.walls(cx)
	}
	if v.f.frame > 0 {
		v.drawing.driver(gaze{v.drawing, cx, v.d - v.f.flange, 0, 1, 0, 0}, v.f)
		v.depth(cx)
	}
	v.inside()
}

// walls draws a box as large as the space, cut; open where the driver stands,
// if it does.
func (v *views) walls(cx float64) {
	t := v.box.t
	left, right := v.left, v.left+v.w
	if v.w <= 2*t || v.d <= 2*t {
		v.s.Rect(v.x(left), v.y(0), v.w*v.k, v.d*v.k, draw.Style{Stroke: draw.Ink, Width: v.thick})
		return
	}
	v.wall(left, right, t, nil)
	v.board(left, t, t, v.d-t, true)
	v.board(right-t, t, t, v.d-t, true)
	var holes []hole
	if r := v.f.cutout / 2; r > 0 && r < v.w/2-t {
		holes = []hole{{cx - r, cx + r}}
	}
	v.wall(left+t, right-t, v.d, holes)
}

// depth is the driver's, beside it, where there is room for the number.
func (v *views) depth(cx float64) {
	d := v.st.Drivers[0].Driver
	at := cx + v.f.frame/2 + 1.8*v.o.Size/v.k
	text := v.measured(v.f.depth, d.Data.MountingDepth)
	if at > v.left+v.w-v.box.t-6/v.k || !v.legible(text, v.f.depth*v.k) {
		return
	}
	face := v.d - v.f.flange
	v.along(v.y(face-v.f.depth), v.y(face), v.x(at), v.x(cx+v.f.magnet), v.x(cx+v.f.frame/2), text)
}

// inside is the width inside, behind the driver where there is room.
func (v *views) inside() {
	t := v.box.t
	if v.st.Space == nil || v.w <= 2*t || v.d <= 2*t {
		return
	}
	clear := v.d - v.f.flange - v.f.depth - t // behind the magnet
	if v.f.frame == 0 {
		clear = v.d - 2*t
	}
	y := v.y(t) + math.Max(1.6*v.o.Size, 0.5*clear*v.k)
	if y > v.y(t+clear)-3 && v.f.frame > 0 {
		return // said in the caption
	}
	if text := v.figure(v.w-2*t) + " inside"; v.legible(text, (v.w-2*t)*v.k) {
		v.across(v.x(v.left+t), v.x(v.left+v.w-t), y, y, text)
	}
}

// caption writes what a view is and what it shows, and returns where it ends.
func (v *views) caption(y float64, view string, said Remark) float64 {
	t, says := v.o.Size, said.Text
	x := v.x(v.left)
	head := loose*draw.MeasureText(view, t, draw.Medium) + 0.5*t
	v.s.Text(x, y, view, draw.TextStyle{Size: t, Weight: draw.Medium})
	room := (v.s.W - margin - x) / loose
	head0 := head / loose
	lines := broken(says, room-head0, t)
	if len(lines) > 1 {
		lines = append(lines[:1:1], broken(strings.TrimPrefix(says, lines[0]), room, t)...)
	}
	for i, line := range lines {
		at := x
		if i == 0 {
			at += head
		}
		v.s.Text(at, y+float64(i)*1.3*t, line, draw.TextStyle{Role: said.Role, Size: t})
	}
	return y + float64(len(lines)-1)*1.3*t + 0.4*t
}

// fits says how many of the driver there is room for.
func (v *views) fits() string {
	switch {
	case v.st.Space == nil:
		return "no space is given: a box may be as large as it needs"
	case v.room == nil:
		return "no woofer is in the shortlist yet"
	case v.room.SideBySide == 0:
		return v.room.Driver.Name + " does not fit: " + v.room.Why
	}
	s := fmt.Sprintf("room for %s %s side by side", study.Count(v.room.SideBySide), v.room.Driver.Name)
	if v.room.SideBySide == 1 {
		s = "room for one " + v.room.Driver.Name + " and none beside it"
	}
	if n := v.room.Behind; n > 1 {
		s += fmt.Sprintf(", %s behind one another", study.Count(n))
	}
	return s
}

// stays says what is left behind the driver.
func (v *views) stays() string {
	s := "the front is down the page"
	if v.f.guessed && v.f.frame > 0 {
		s += "; depth not known, by its cone"
	}
	switch {
	case v.room == nil:
		return s
	case v.room.TooDeep > 0:
		return s + "; " + v.length(1e3*v.room.TooDeep) + " too deep, with air behind the magnet"
	}
	return s + "; " + v.length(1e3*v.room.Back) + " stay behind the magnet"
}

// told is the drawing's title and what it shows in words.
func (v *views) told() (title, desc string) {
	s := v.st.Space
	if s == nil {
		return "The space, not given", v.fits() + "."
	}
	u := v.o.Units
	side := func(m float64) string { return phys.Brief(m, phys.Length, u) }
	w, h, d := s.Inside()
	return "The space to scale", fmt.Sprintf("%s wide, %s high, %s deep outside; %s × %s × %s inside, boards of %s. From the front: %s. From above: %s.",
		side(s.Width), side(s.Height), side(s.Depth), side(w), side(h), side(d), side(s.Board()), v.fits(), v.stays())
}
