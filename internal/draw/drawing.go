package draw

import (
	"cmp"
	"math"
	"slices"
)

// middle is how far below the middle of figures and small letters their baseline is, in sizes.
const middle = 0.36

// tolerance is how far, in sizes of text, a drawn curve may be from the polygon through its points: a four-hundredth,
// less than a hundredth of a millimetre in print.
const tolerance = 0.0025

// drawing is one plot on its way onto a scene.
type drawing struct {
	p      *Plot
	s      *Scene
	x0, y0 float64 // top left corner of the plot
	f      frame   // in scene units
	size   float64
	lw     float64 // width of curves
	hair   float64 // width of axes and grid
	tx     []tickX
	lines  [][][]Point // of each series, its runs inside the frame
	ghosts [][][]Point // the same of the former curves
	taken  []box       // where words stand
}

func newDrawing(p *Plot, s *Scene, x, y float64) *drawing {
	d := &drawing{p: p, s: s, x0: x, y0: y, f: p.frame(), size: p.size(), lw: p.stroke()}
	d.f.l += x
	d.f.t += y
	d.hair = d.size / 12
	d.tx = d.ticksX()
	for _, e := range p.Series {
		d.lines = append(d.lines, d.trace(e.X, e.Y))
		d.ghosts = append(d.ghosts, nil)
		if e.Ghost != nil {
			d.ghosts[len(d.ghosts)-1] = d.trace(e.X, e.Ghost)
		}
	}
	return d
}

func (d *drawing) frameBox() box { return box{d.f.l, d.f.t, d.f.right(), d.f.bottom()} }

func (d *drawing) grid() {
	st := Style{Stroke: Hair, Width: d.hair, NoHalo: true}
	for _, t := range d.tx {
		if t.major {
			d.s.Line(d.f.px(t.at), d.f.t, d.f.px(t.at), d.f.bottom(), st)
		}
	}
	across := func(vs []float64, st Style) {
		for _, v := range vs {
			if d.f.holdsY(v) {
				d.s.Line(d.f.l, d.f.py(v), d.f.right(), d.f.py(v), st)
			}
		}
	}
	across(d.p.Y.Ticks, st)
	st.Width *= 0.6
	across(d.p.Y.Fine, st)
}

// trace is a curve's runs in the frame, with half a stroke's leave above and below so that a line on the edge of the
// frame is whole, and no more points than it takes.
func (d *drawing) trace(xs, ys []float64) [][]Point {
	b := d.frameBox()
	b.y0 -= d.lw
	b.y1 += d.lw
	runs := d.f.runs(xs, ys, b)
	for i := range runs {
		runs[i] = simplify(runs[i], tolerance*d.size)
	}
	return runs
}

func (d *drawing) curves() {
	b := d.frameBox()
	d.s.ClipRect(b.x0, b.y0-d.lw/2, b.x1-b.x0, b.y1-b.y0+d.lw)
	for i, e := range d.p.Series {
		d.curve(d.ghosts[i], Style{Stroke: Line(e.Index), Width: d.lw / 2, Opacity: 0.75})
	}
	for _, i := range d.paintOrder() {
		e := d.p.Series[i]
		w := d.lw
		switch {
		case e.Index < 0:
			w *= 0.625 // a measured curve is thin, and on top: it shows on the curve that it should agree with
		case e.Thin:
			w *= 0.5
		}
		d.curve(d.lines[i], Style{Stroke: Line(e.Index), Width: w, Dash: DashAt(e.pattern(), w), Round: Dotted(e.pattern()) && e.Index >= 0})
	}
	d.s.Unclip()
}

// paintOrder puts the curves with the most ink at the bottom, so that where curves coincide the lower ones show
// through the gaps of the upper ones.
func (d *drawing) paintOrder() []int {
	order := make([]int, len(d.p.Series))
	for i := range order {
		order[i] = i
	}
	ink := func(i int) float64 {
		if e := d.p.Series[i]; e.Index >= 0 {
			return inked(e.pattern())
		}
		return 0
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(ink(b), ink(a)) })
	return order
}

func (d *drawing) curve(runs [][]Point, st Style) {
	p := new(Path)
	for _, run := range runs {
		if len(run) == 1 {
			d.s.Circle(run[0].X, run[0].Y, st.Width*0.75, Style{Fill: st.Stroke, Opacity: st.Opacity})
			continue
		}
		p.Polyline(run...)
	}
	d.s.Path(p, st)
}

func (d *drawing) marks() {
	for _, m := range d.p.Marks {
		for _, e := range d.p.Series {
			if e.Index != m.Index || !d.f.holdsX(m.At) {
				continue
			}
			v, ok := d.f.valueAt(e, m.At)
			if !ok || !d.f.holdsY(v) {
				break
			}
			x, y := d.f.px(m.At), d.f.py(v)
			d.s.Line(x, y-0.62*d.size, x, y+0.62*d.size, Style{Stroke: Paper, Width: 4 * d.hair})
			d.s.Line(x, y-0.5*d.size, x, y+0.5*d.size, Style{Stroke: Text(m.Index), Width: 1.8 * d.hair})
			d.taken = append(d.taken, box{x - 2*d.hair, y - 0.62*d.size, x + 2*d.hair, y + 0.62*d.size})
			break
		}
	}
}

// wall is where a limit runs on the scene; ok is false where it is off the axes.
func (d *drawing) wall(l Limit) (xa, xb, y float64, ok bool) {
	xa, xb = d.f.l, d.f.right()
	if l.From > d.p.X.From {
		xa = d.f.px(l.From)
	}
	if l.To != 0 && l.To < d.p.X.To {
		xb = d.f.px(l.To)
	}
	if !finite(l.At) || !d.f.holdsY(l.At) || !(xb > xa) {
		return 0, 0, 0, false
	}
	return xa, xb, d.f.py(l.At), true
}

func (d *drawing) walls() {
	for _, l := range d.p.Limits {
		xa, xb, y, ok := d.wall(l)
		if !ok {
			continue
		}
		depth := math.Min(0.6*d.size, y-d.f.t)
		top := y - depth
		if l.Side == Below {
			depth = math.Min(0.6*d.size, d.f.bottom()-y)
			top = y
		}
		hatch := Hatch{Role: Rule, Pitch: 5. / 12 * d.size, Width: 1.1 / 12 * d.size}
		if depth > 0 {
			d.s.Rect(xa, top, xb-xa, depth, Style{Hatch: hatch, NoHalo: true})
		}
		d.s.Line(xa, y, xb, y, Style{Stroke: Rule, Width: 1.2 * d.hair})
	}
}

// flags stand on the axis where the brief asks for something; the words turn to the left where the right is taken.
func (d *drawing) flags() {
	for _, g := range d.p.Goals {
		if !d.f.holdsX(g.At) {
			continue
		}
		x, b, u := d.f.px(g.At), d.f.bottom(), d.size
		wide := MeasureText(g.Label, u, Regular) * widerFaces
		dir := 1.0
		if right := d.overlap(box{x + u, b - 2*u, x + u + wide, b - 0.5*u}); right > 0 || x+u+wide > d.f.right() {
			left := box{x - u - wide, b - 2*u, x - u, b - 0.5*u}
			if left.x0 >= d.f.l && (d.overlap(left) < right || x+u+wide > d.f.right()) {
				dir = -1
			}
		}
		d.s.Line(x, b, x, b-1.9*u, Style{Stroke: Ink, Width: 1.2 * d.hair})
		d.s.Path(new(Path).Polygon(Point{x, b - 1.9*u}, Point{x + dir*0.62*u, b - 1.9*u}, Point{x + dir*0.42*u, b - 1.6*u},
			Point{x + dir*0.62*u, b - 1.3*u}, Point{x, b - 1.3*u}), Style{Fill: Ink})
		anchor := Start
		if dir < 0 {
			anchor = End
		}
		d.s.Text(x+dir*u, b-1.02*u, g.Label, TextStyle{Size: u, Anchor: anchor, Halo: true})
		d.taken = append(d.taken, box{min(x, x+dir*(u+wide)), b - 2.1*u, max(x, x+dir*(u+wide)), b - 0.5*u})
	}
}

// note stands in the corner that the curves disturb least, and wraps where it is wider than the frame.
func (d *drawing) note() {
	if d.p.Note == "" {
		return
	}
	u := d.size
	rows := wrap(d.p.Note, u, d.f.w-1.6*u)
	wide := 0.0
	for _, r := range rows {
		wide = max(wide, MeasureText(r, u, Regular)*widerFaces)
	}
	high := 1.3 * u * float64(len(rows))
	best, worst := box{}, math.Inf(1)
	try := func(left, top float64) {
		b := box{left, top, left + wide, top + high}
		if n := d.overlap(b) + d.ruled(b); n < worst {
			best, worst = b, n
		}
	}
	// In each corner a few depths, to stand between two grid lines.
	for _, low := range []bool{false, true} {
		for _, left := range []float64{d.f.l + 0.8*u, d.f.right() - 0.8*u - wide} {
			for _, in := range []float64{0.5 * u, 0.9 * u, 1.3 * u, 1.7 * u} {
				if low {
					try(left, d.f.bottom()-in-high)
				} else {
					try(left, d.f.t+in)
				}
			}
		}
	}
	for i, r := range rows {
		d.s.Text(best.x0, best.y0+(1.3*float64(i)+0.8)*u, r, TextStyle{Role: Soft, Size: u, Halo: true})
	}
	d.taken = append(d.taken, best)
}

// ruled counts the grid lines that run along a text and would look as if they struck it out.
func (d *drawing) ruled(b box) float64 {
	n := 0.0
	for _, v := range slices.Concat(d.p.Y.Ticks, d.p.Y.Fine) {
		if y := d.f.py(v); y > b.y0 && y < b.y1-0.3*d.size {
			n++
		}
	}
	return n
}

// wallLabels are the words of limits, beside the wall where one may go.
func (d *drawing) wallLabels() {
	u := d.size
	for _, l := range d.p.Limits {
		xa, xb, y, ok := d.wall(l)
		if !ok || l.Label == "" {
			continue
		}
		wide := MeasureText(l.Label, u, Regular) * widerFaces
		base := y + 1.15*u // above: the words hang below the wall
		if l.Side == Below {
			base = y - 0.45*u
		}
		over := y - 0.95*u // beyond the hatching, where the near side is taken
		if l.Side == Below {
			over = y + 1.55*u
		}
		best, worst := box{}, math.Inf(1)
		try := func(x, at float64, anyhow bool) {
			b := box{x, at - 0.8*u, x + wide, at + 0.25*u}
			if n := d.overlap(b); n < worst && (anyhow || b.within(d.frameBox())) {
				best, worst = b, n
			}
		}
		for _, at := range []float64{base, over} {
			for _, x := range []float64{xb - 0.5*u - wide, xa + 0.5*u, (xa + xb - wide) / 2} {
				try(x, at, at == base && xb-xa >= wide)
			}
		}
		if xb-xa < wide { // beside a wall that is shorter than its words
			for _, at := range []float64{y + middle*u, base, base - u, over, over + u} {
				try(xa-0.5*u-wide, at, false)
				try(xb+0.5*u, at, false)
			}
			in := min(max((xa+xb-wide)/2, d.f.l+0.3*u), d.f.right()-0.3*u-wide)
			for _, at := range []float64{base, base - u, over, over + u} {
				try(in, at, false)
			}
			for _, at := range []float64{base, base - u, base - 2*u} { // or as far to the left as the frame lets it
				try(max(xa-0.5*u-wide, d.f.l+0.5*u), at, false)
			}
			if math.IsInf(worst, 1) { // no room: the limit's number on the axis has to do
				continue
			}
		}
		d.s.Text(best.x0, best.y0+0.8*u, l.Label, TextStyle{Role: Soft, Size: u, Halo: true})
		d.taken = append(d.taken, best)
	}
}
