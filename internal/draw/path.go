package draw

import "math"

// Point is a place in a scene.
type Point struct{ X, Y float64 }

type verb uint8

const (
	moveTo verb = iota
	lineTo
	quadTo
	cubicTo
	closePath
)

// segment is one step of a path; its last used point is where the pen comes to stand.
type segment struct {
	verb verb
	p    [3]Point
}

// Path is an outline, built step by step: M(x, y).L(x, y).C(…).Z(). The zero value is an empty path.
// A path that does not begin with M begins at the origin.
type Path struct{ seg []segment }

// M lifts the pen to a place.
func (p *Path) M(x, y float64) *Path { return p.add(moveTo, Point{x, y}) }

// L draws a straight line.
func (p *Path) L(x, y float64) *Path { return p.add(lineTo, Point{x, y}) }

// Q draws a quadratic curve with one control point.
func (p *Path) Q(x1, y1, x, y float64) *Path { return p.add(quadTo, Point{x1, y1}, Point{x, y}) }

// C draws a cubic curve with two control points.
func (p *Path) C(x1, y1, x2, y2, x, y float64) *Path {
	return p.add(cubicTo, Point{x1, y1}, Point{x2, y2}, Point{x, y})
}

// Z draws back to where the last M was.
func (p *Path) Z() *Path { return p.add(closePath) }

// Polyline adds an open line through the points.
func (p *Path) Polyline(pts ...Point) *Path {
	for i, q := range pts {
		if i == 0 {
			p.M(q.X, q.Y)
		} else {
			p.L(q.X, q.Y)
		}
	}
	return p
}

// Polygon adds a closed line through the points.
func (p *Path) Polygon(pts ...Point) *Path {
	if len(pts) == 0 {
		return p
	}
	return p.Polyline(pts...).Z()
}

// Box adds a rectangle.
func (p *Path) Box(x, y, w, h float64) *Path {
	return p.Polygon(Point{x, y}, Point{x + w, y}, Point{x + w, y + h}, Point{x, y + h})
}

// arcHandle is the length of the control arms by which four cubics make a unit circle: 4/3·(√2 − 1), which is off by
// 0.027 % of the radius at most.
const arcHandle = 0.5522847498307936

// Disc adds a full circle.
func (p *Path) Disc(x, y, r float64) *Path {
	k := r * arcHandle
	return p.M(x+r, y).
		C(x+r, y+k, x+k, y+r, x, y+r).C(x-k, y+r, x-r, y+k, x-r, y).
		C(x-r, y-k, x-k, y-r, x, y-r).C(x+k, y-r, x+r, y-k, x+r, y).Z()
}

// usualSegments is what most outlines have room in: a box has five.
const usualSegments = 6

func (p *Path) add(v verb, pts ...Point) *Path {
	if p.seg == nil {
		p.seg = make([]segment, 0, usualSegments)
	}
	if len(p.seg) == 0 && v != moveTo {
		p.seg = append(p.seg, segment{verb: moveTo})
	}
	s := segment{verb: v}
	for i, q := range pts {
		if !finite(q.X) || !finite(q.Y) {
			panic("draw: path through a point that is not a number")
		}
		s.p[i] = q
	}
	p.seg = append(p.seg, s)
	return p
}

func (s segment) points() []Point {
	switch s.verb {
	case cubicTo:
		return s.p[:3]
	case quadTo:
		return s.p[:2]
	case closePath:
		return nil
	}
	return s.p[:1]
}

// Empty reports whether the path holds nothing.
func (p *Path) Empty() bool { return len(p.seg) == 0 }

// copy is a path of its own, so that a builder may go on being used.
func (p *Path) copy() Path { return Path{seg: append([]segment(nil), p.seg...)} }

// subpath is a run of straight lines.
type subpath struct {
	pts    []Point
	closed bool
}

// runs is how many figures the path consists of: as many as flatten gives.
func (p *Path) runs() int {
	n, drawn := 0, false // drawn: the figure has a point
	for _, s := range p.seg {
		if s.verb == moveTo || s.verb != closePath && !drawn {
			n++
		}
		drawn = s.verb != closePath
	}
	return n
}

// flatten replaces curves by chords that stay within tol of them.
func (p *Path) flatten(tol float64) []subpath {
	var out []subpath
	var cur subpath
	flush := func() {
		if len(cur.pts) > 0 {
			out = append(out, cur)
		}
		cur = subpath{}
	}
	var pen, start Point
	for _, s := range p.seg {
		switch s.verb {
		case moveTo:
			flush()
			pen, start = s.p[0], s.p[0]
			cur.pts = append(cur.pts, pen)
			continue
		case closePath:
			cur.closed = true
			flush()
			pen = start
			continue
		}
		if len(cur.pts) == 0 { // after Z the pen stands at the start of the closed figure
			cur.pts = append(cur.pts, pen)
		}
		cur.pts = s.chords(cur.pts, pen, tol)
		pen = cur.pts[len(cur.pts)-1]
	}
	flush()
	return out
}

// chords appends the end points of a segment's chords. The number of chords follows from the bound of a parabola's
// sagitta: with d the largest second difference of the control points, n = √(k·d/tol), k = 1/4 and 3/4.
func (s segment) chords(out []Point, from Point, tol float64) []Point {
	switch s.verb {
	case lineTo:
		return append(out, s.p[0])
	case quadTo:
		d := math.Hypot(from.X-2*s.p[0].X+s.p[1].X, from.Y-2*s.p[0].Y+s.p[1].Y)
		n := steps(d / 4 / tol)
		for i := 1; i <= n; i++ {
			t := float64(i) / float64(n)
			a, b, c := (1-t)*(1-t), 2*t*(1-t), t*t
			out = append(out, Point{a*from.X + b*s.p[0].X + c*s.p[1].X, a*from.Y + b*s.p[0].Y + c*s.p[1].Y})
		}
	case cubicTo:
		d := max(math.Hypot(from.X-2*s.p[0].X+s.p[1].X, from.Y-2*s.p[0].Y+s.p[1].Y),
			math.Hypot(s.p[0].X-2*s.p[1].X+s.p[2].X, s.p[0].Y-2*s.p[1].Y+s.p[2].Y))
		n := steps(d * 3 / 4 / tol)
		for i := 1; i <= n; i++ {
			t := float64(i) / float64(n)
			u := 1 - t
			a, b, c, e := u*u*u, 3*u*u*t, 3*u*t*t, t*t*t
			out = append(out, Point{a*from.X + b*s.p[0].X + c*s.p[1].X + e*s.p[2].X,
				a*from.Y + b*s.p[0].Y + c*s.p[1].Y + e*s.p[2].Y})
		}
	}
	return out
}

func steps(square float64) int { return min(max(int(math.Ceil(math.Sqrt(square))), 1), 256) }

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// rotation turns about the origin by an angle in degrees, clockwise as y points down.
func rotation(deg float64) func(Point) Point {
	if deg == 0 {
		return func(q Point) Point { return q }
	}
	sin, cos := math.Sincos(deg * math.Pi / 180)
	return func(q Point) Point { return Point{cos*q.X - sin*q.Y, sin*q.X + cos*q.Y} }
}
