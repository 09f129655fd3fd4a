package draw

import "math"

// box is an upright rectangle.
type box struct{ x0, y0, x1, y1 float64 }

func (b box) meets(c box) bool { return b.x0 < c.x1 && c.x0 < b.x1 && b.y0 < c.y1 && c.y0 < b.y1 }

func (b box) within(c box) bool { return b.x0 >= c.x0 && b.x1 <= c.x1 && b.y0 >= c.y0 && b.y1 <= c.y1 }

// clipSegment is the part of a straight line inside a box (Liang & Barsky 1984).
func (b box) clipSegment(p, q Point) (Point, Point, bool) {
	t0, t1 := 0.0, 1.0
	dx, dy := q.X-p.X, q.Y-p.Y
	for _, e := range [4][2]float64{{-dx, p.X - b.x0}, {dx, b.x1 - p.X}, {-dy, p.Y - b.y0}, {dy, b.y1 - p.Y}} {
		switch {
		case e[0] == 0 && e[1] < 0:
			return p, q, false
		case e[0] < 0:
			t0 = max(t0, e[1]/e[0])
		case e[0] > 0:
			t1 = min(t1, e[1]/e[0])
		}
	}
	if t0 > t1 {
		return p, q, false
	}
	at := func(t float64) Point { return Point{p.X + t*dx, p.Y + t*dy} }
	a, c := p, q
	if t0 > 0 {
		a = at(t0)
	}
	if t1 < 1 {
		c = at(t1)
	}
	return a, c, true
}

// runs are the stretches of a curve that lie inside a box: broken where a value is missing and where the curve
// leaves. A lone point between two gaps is a run of one.
func (f frame) runs(xs, ys []float64, b box) [][]Point {
	var out [][]Point
	var run []Point
	flush := func() {
		if len(run) > 0 {
			out = append(out, run)
		}
		run = nil
	}
	var last Point
	have, alone := false, false
	for i := range xs {
		q := Point{f.px(xs[i]), f.py(ys[i])}
		if !finite(ys[i]) || !finite(q.X) || !finite(q.Y) {
			if alone && inside(b, last) {
				run = append(run, last)
			}
			flush()
			have, alone = false, false
			continue
		}
		if have {
			a, c, ok := b.clipSegment(last, q)
			if ok && (len(run) == 0 || run[len(run)-1] != a) {
				flush()
				run = append(run, a)
			}
			if ok {
				run = append(run, c)
			}
		}
		last, alone, have = q, !have, true
	}
	if alone && inside(b, last) {
		run = append(run, last)
	}
	flush()
	return out
}

func inside(b box, q Point) bool { return q.X >= b.x0 && q.X <= b.x1 && q.Y >= b.y0 && q.Y <= b.y1 }

// simplify drops the points that lie within tol of the line through their neighbours that stay (Douglas & Peucker
// 1973): the line that is left is never further than tol from the one that was.
func simplify(pts []Point, tol float64) []Point {
	if len(pts) < 3 {
		return pts
	}
	keep := make([]bool, len(pts))
	keep[0], keep[len(pts)-1] = true, true
	stack := [][2]int{{0, len(pts) - 1}}
	for len(stack) > 0 {
		a, b := stack[len(stack)-1][0], stack[len(stack)-1][1]
		stack = stack[:len(stack)-1]
		worst, at := tol, -1
		for i := a + 1; i < b; i++ {
			if d := distance(pts[i], pts[a], pts[b]); d > worst {
				worst, at = d, i
			}
		}
		if at >= 0 {
			keep[at] = true
			stack = append(stack, [2]int{a, at}, [2]int{at, b})
		}
	}
	out := make([]Point, 0, len(pts))
	for i, k := range keep {
		if k {
			out = append(out, pts[i])
		}
	}
	return out
}

// distance from a point to the stretch between two others.
func distance(p, a, b Point) float64 {
	dx, dy := b.X-a.X, b.Y-a.Y
	n := dx*dx + dy*dy
	t := 0.0
	if n > 0 {
		t = min(max(((p.X-a.X)*dx+(p.Y-a.Y)*dy)/n, 0), 1)
	}
	return math.Hypot(p.X-a.X-t*dx, p.Y-a.Y-t*dy)
}

// valueAt is a curve's value between its points, along the axis's own measure; ok is false in gaps and beyond its ends.
func (f frame) valueAt(s Series, x float64) (float64, bool) {
	for i := 1; i < len(s.X); i++ {
		if x < s.X[i-1] || x > s.X[i] || s.X[i] == s.X[i-1] {
			continue
		}
		t := (f.px(x) - f.px(s.X[i-1])) / (f.px(s.X[i]) - f.px(s.X[i-1]))
		v := s.Y[i-1] + t*(s.Y[i]-s.Y[i-1])
		if finite(v) {
			return v, true
		}
	}
	return 0, false
}
