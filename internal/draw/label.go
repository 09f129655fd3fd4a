package draw

import (
	"cmp"
	"math"
	"slices"
	"strings"
)

const (
	labelIndent = 1.9  // from the frame to the labels, in sizes: the room of the leaders
	labelGap    = 1.34 // from label to label
	labelTight  = 1.1  // the least gap at which lines of text do not touch
)

// ending is a label on its way to its place.
type ending struct {
	series int
	name   string
	at     float64 // y where the curve ends, inside the frame
	before float64 // y a little earlier, to order those that end together
	y      float64 // y of the middle of the label
	off    bool    // the curve does not come to the right edge of the frame
}

// labels names the curves at their ends: those that reach the right edge beside it, others at the place where they
// stop if there is room, and beside the frame with an arrow if there is not.
func (d *drawing) labels() {
	var ends []ending
	for i, e := range d.p.Series {
		if e.Name == "" {
			continue
		}
		last, ok := d.lastPlace(i)
		if ok && last.X < d.f.right()-1.5*d.size && d.inside(i, last) {
			continue
		}
		if !ok {
			if last, ok = d.outOfSight(i); !ok {
				continue
			}
		}
		end := ending{series: i, name: e.Name, at: min(max(last.Y, d.f.t), d.f.bottom()), before: d.heightBefore(i)}
		end.off = len(d.lines[i]) == 0 || last.X < d.f.right()-1.5*d.size
		switch {
		case last.Y > d.f.bottom()+d.lw/2:
			end.name += " ↓"
		case last.Y < d.f.t-d.lw/2:
			end.name += " ↑"
		}
		ends = append(ends, end)
	}
	size := d.place(ends)
	for _, e := range ends {
		d.label(e, size)
	}
}

// lastPlace is the last point of a curve that is in the frame.
func (d *drawing) lastPlace(i int) (Point, bool) {
	runs := d.lines[i]
	if len(runs) == 0 {
		return Point{}, false
	}
	run := runs[len(runs)-1]
	return run[len(run)-1], true
}

// outOfSight is where a curve that has no point in the frame would have its last one.
func (d *drawing) outOfSight(i int) (Point, bool) {
	e := d.p.Series[i]
	for k := len(e.X) - 1; k >= 0; k-- {
		if y := d.f.py(e.Y[k]); finite(e.Y[k]) && finite(y) && d.f.holdsX(e.X[k]) {
			return Point{d.f.right(), y}, true
		}
	}
	return Point{}, false
}

// heightBefore is the height of a curve an eighth of the frame before its end.
func (d *drawing) heightBefore(i int) float64 {
	last, _ := d.lastPlace(i)
	for r := len(d.lines[i]) - 1; r >= 0; r-- {
		run := d.lines[i][r]
		for k := len(run) - 1; k > 0; k-- {
			if a, b := run[k-1], run[k]; a.X <= last.X-d.f.w/8 && b.X > a.X {
				return a.Y + (b.Y-a.Y)*(last.X-d.f.w/8-a.X)/(b.X-a.X)
			}
		}
	}
	return last.Y
}

// place finds the heights of the labels beside the frame: in the order of the curves' ends, as near to them as they
// can be without touching. It gives the size of text at which that works.
func (d *drawing) place(ends []ending) float64 {
	slices.SortStableFunc(ends, func(a, b ending) int {
		// Those whose end is out of sight come last: they have no leader and may stand anywhere.
		if a.off != b.off {
			return off(a) - off(b)
		}
		// Ends in the same step of a line's width count as one place, which the curves' way there then orders.
		return cmp.Or(cmp.Compare(math.Round(a.at/d.lw), math.Round(b.at/d.lw)), cmp.Compare(a.before, b.before))
	})
	size, gap := d.size, labelGap*d.size
	lo, hi := d.f.t+0.5*size, d.f.bottom()-0.4*size
	if n := float64(len(ends) - 1); n > 0 && n*gap > hi-lo {
		// Too many for the frame: the whole height of the plot, then closer, then smaller.
		lo, hi = d.y0+0.6*size, d.y0+d.p.H-0.6*size
		gap = min(gap, max(hi-lo, 1)/n)
		size = min(size, gap/labelTight)
	}
	led := 0
	for led < len(ends) && !ends[led].off {
		led++
	}
	best := math.Inf(1)
	var order []int
	var ys []float64
	for k := range led + 1 {
		if o, y, cost := tryBlock(ends, led, k, gap, lo, hi); cost < best {
			best, order, ys = cost, o, y
		}
	}
	for j, i := range order {
		ends[i].y = ys[j]
	}
	return size
}

func off(e ending) int {
	if e.off {
		return 1
	}
	return 0
}

// tryBlock puts the labels without leaders, as a block, before the kth label with one, and gives the order, the
// heights, and what that costs: the squares of the ways of leaders, a little for the block's own, and a gap's square for
// every sample of the block that a leader has to cross.
func tryBlock(ends []ending, led, k int, gap, lo, hi float64) (order []int, ys []float64, cost float64) {
	for i := range led {
		if i == k {
			order = append(order, span(led, len(ends))...)
		}
		order = append(order, i)
	}
	if k == led {
		order = append(order, span(led, len(ends))...)
	}
	want := make([]float64, len(order))
	for j, i := range order {
		want[j] = ends[i].at
	}
	// The block goes where its neighbours leave it, not where it would push them.
	for j, i := range order {
		if ends[i].off && k < led {
			want[j] = min(want[j], ends[k].at-float64(k+len(ends)-led-j)*gap)
		}
	}
	ys = spread(want, gap, lo, hi)
	for j, i := range order {
		d := ys[j] - ends[i].at
		if ends[i].off {
			d /= 20
		} else {
			cost += gap * gap * crossed(ends, order, ys, j)
		}
		cost += d * d
	}
	return order, ys, cost
}

// crossed counts the samples of the block that the leader of the jth label runs through.
func crossed(ends []ending, order []int, ys []float64, j int) float64 {
	lo, hi := ends[order[j]].at, ys[j]
	lo, hi = min(lo, hi), max(lo, hi)
	n := 0.0
	for k, i := range order {
		if ends[i].off && ys[k] > lo && ys[k] < hi {
			n++
		}
	}
	return n
}

func span(a, b int) []int {
	var out []int
	for ; a < b; a++ {
		out = append(out, a)
	}
	return out
}

// spread moves heights, given in their order, the least possible way (in squares) so that they are gap apart and
// inside [lo, hi]. Taking k·gap from the kth turns this into a regression that may only rise, which is solved exactly
// by pooling neighbours that are out of order (Barlow et al. 1972); its bounded solution is the free one, clamped.
func spread(want []float64, gap, lo, hi float64) []float64 {
	type pool struct {
		sum float64
		n   int
	}
	var pools []pool
	for k, y := range want {
		p := pool{y - float64(k)*gap, 1}
		for len(pools) > 0 {
			q := pools[len(pools)-1]
			if q.sum/float64(q.n) <= p.sum/float64(p.n) {
				break
			}
			p = pool{p.sum + q.sum, p.n + q.n}
			pools = pools[:len(pools)-1]
		}
		pools = append(pools, p)
	}
	out := make([]float64, 0, len(want))
	top := hi - float64(len(want)-1)*gap
	for _, p := range pools {
		z := max(min(p.sum/float64(p.n), top), lo)
		for range p.n {
			out = append(out, z+float64(len(out))*gap)
		}
	}
	return out
}

// label writes a name beside the frame, led to by a thin line from the curve's end. Where the end is not there, a
// piece of the curve with its dash stands in for the leader.
func (d *drawing) label(e ending, size float64) {
	i, dash, u := d.p.Series[e.series].Index, d.p.Series[e.series].pattern(), d.size
	x, lx := d.f.right(), d.f.right()+labelIndent*u
	if e.off {
		st := Style{Stroke: Line(i), Width: d.lw, Dash: DashAt(dash, d.lw), Round: Dotted(dash)}
		d.s.Line(x+0.3*u, e.y, lx-0.5*u, e.y, st)
	} else {
		d.s.Path(new(Path).Polyline(Point{x + 0.25*u, e.at}, Point{x + 0.45*u, e.at}, Point{x + 1.3*u, e.y},
			Point{lx - 0.3*u, e.y}), Style{Stroke: Line(i), Width: d.hair})
	}
	room := d.x0 + d.p.W - lx
	d.s.Text(lx, e.y+middle*size, shorten(e.name, size, room), TextStyle{Role: Text(i), Size: size, Weight: Medium})
}

// inside names a curve that does not reach the right edge where it stops or leaves, if there is a free place there.
func (d *drawing) inside(i int, last Point) bool {
	e := d.p.Series[i]
	u := d.size
	wide, frame := MeasureText(e.Name, u, Medium)*widerFaces, d.frameBox()
	for _, q := range d.walkBack(i, last, 4*u) {
		for _, x := range []float64{q.X + 0.6*u, q.X + 1.2*u, q.X - 0.6*u - wide, q.X - 1.2*u - wide} {
			for _, y := range []float64{q.Y, q.Y - 0.5*u} { // beside a falling end, and a little above
				b := box{x, y - 0.55*u, x + wide, y + 0.55*u}
				if b.within(frame) && d.overlap(b) == 0 {
					d.s.Text(x, y+middle*u, e.Name, TextStyle{Role: Text(e.Index), Size: u, Weight: Medium, Halo: true})
					d.taken = append(d.taken, b)
					return true
				}
			}
		}
	}
	return false
}

// walkBack are places on the last stretch of a curve, from its end backwards.
func (d *drawing) walkBack(i int, last Point, far float64) []Point {
	run := d.lines[i][len(d.lines[i])-1]
	out := []Point{last}
	gone := 0.0
	for k := len(run) - 1; k > 0 && gone < far; k-- {
		a, b := run[k], run[k-1]
		long := distance(a, b, b)
		for s := d.size / 4; s <= long && gone+s < far; s += d.size / 4 {
			out = append(out, Point{a.X + (b.X-a.X)*s/long, a.Y + (b.Y-a.Y)*s/long})
		}
		gone += long
	}
	return out
}

// overlap is how much of a box is taken: the length of curves through it, and a large number for words or walls.
func (d *drawing) overlap(b box) float64 {
	sum := 0.0
	for _, t := range d.taken {
		if b.meets(t) {
			sum += 1e6
		}
	}
	for _, l := range d.p.Limits {
		if xa, xb, y, ok := d.wall(l); ok && b.meets(box{xa, y - 0.3*d.size, xb, y + 0.3*d.size}) {
			sum += 1e3
		}
	}
	wide := box{b.x0 - d.lw, b.y0 - d.lw, b.x1 + d.lw, b.y1 + d.lw}
	for _, runs := range slices.Concat(d.lines, d.ghosts) {
		for _, run := range runs {
			for k := 1; k < len(run); k++ {
				if p, q, ok := wide.clipSegment(run[k-1], run[k]); ok {
					sum += distance(p, q, q)
				}
			}
		}
	}
	return sum
}

// shorten cuts the middle out of a name that is too long: beginnings and ends tell names apart.
func shorten(s string, size, room float64) string {
	room /= widerFaces
	if MeasureText(s, size, Medium) <= room {
		return s
	}
	r := []rune(s)
	for keep := len(r) - 1; keep > 1; keep-- {
		head := (keep + 1) / 2
		cut := strings.TrimSpace(string(r[:head])) + "…" + strings.TrimSpace(string(r[len(r)-(keep-head):]))
		if MeasureText(cut, size, Medium) <= room {
			return cut
		}
	}
	return "…"
}

// wrap breaks a text into lines that are no wider than room, at spaces.
func wrap(s string, size, room float64) []string {
	var rows []string
	row := ""
	for _, word := range strings.Split(s, " ") { // never at the thin space before a unit
		next := word
		if row != "" {
			next = row + " " + word
		}
		if row != "" && MeasureText(next, size, Regular)*widerFaces > room {
			rows = append(rows, row)
			next = word
		}
		row = next
	}
	return append(rows, row)
}
