package draw

import "math"

// Span is a stretch of a curve with a word for what holds along it.
type Span struct {
	Series   int     // into Plot.Series
	From, To float64 // on the x axis, From < To
	Word     string
}

// spans writes the word of each stretch beside the curve, where it disturbs
// least, and a dot where the next one begins.
func (d *drawing) spans() {
	for i, sp := range d.p.Spans {
		e := d.p.Series[sp.Series]
		if i > 0 && d.p.Spans[i-1].Series == sp.Series {
			if v, ok := d.f.valueAt(e, sp.From); ok && d.f.holdsX(sp.From) && d.f.holdsY(v) {
				x, y := d.f.px(sp.From), d.f.py(v)
				d.s.Circle(x, y, 1.1*d.lw, Style{Fill: Paper, Stroke: Line(e.Index), Width: 1.5 * d.hair})
				d.taken = append(d.taken, box{x - 1.5*d.lw, y - 1.5*d.lw, x + 1.5*d.lw, y + 1.5*d.lw})
			}
		}
		d.span(sp, e)
	}
}

// span tries the middle of the stretch first, then places towards its ends, close
// to the curve above and below.
func (d *drawing) span(sp Span, e Series) {
	u := 0.88 * d.size
	wide := MeasureText(sp.Word, u, Regular) * widerFaces
	from, to := math.Max(d.f.px(math.Max(sp.From, d.p.X.From)), d.f.l), math.Min(d.f.px(math.Min(sp.To, d.p.X.To)), d.f.right())
	if to-from < 0.6*wide { // a stretch that is much shorter than its word would be told of its neighbours
		return
	}
	best, worst := box{}, math.Inf(1)
	for _, part := range []float64{0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8} {
		x := from + part*(to-from)
		v, ok := d.f.valueAt(e, d.f.atX(x))
		if !ok || !d.f.holdsY(v) {
			continue
		}
		y := d.f.py(v)
		try := func(cx, cy, dear float64) {
			b := box{cx - wide/2, cy - 0.55*u, cx + wide/2, cy + 0.55*u}
			if n := d.overlap(b) + math.Abs(part-0.5) + dear; n < worst && b.within(d.frameBox()) {
				best, worst = b, n
			}
		}
		for _, lift := range []float64{-1.1, 1.1, -1.7, 1.7, -2.4, 2.4} {
			try(x, y+lift*u, math.Abs(lift)/10)
		}
		for _, side := range []float64{1, -1} { // beside a steep curve
			try(x+side*(wide/2+0.7*u), y, 0.15)
			try(x+side*(wide/2+0.7*u), y+side*0.6*u, 0.2)
		}
	}
	if math.IsInf(worst, 1) || worst >= 1e3 { // over other words it could not be read
		return
	}
	d.s.Text(best.x0, best.y0+0.55*u+middle*u, sp.Word, TextStyle{Role: Text(e.Index), Size: u, Halo: true})
	d.taken = append(d.taken, best)
}
