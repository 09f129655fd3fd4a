package duct

import (
	"math"

	"basswright/internal/phys"
)

// Cylinder is a straight duct of a length, m, and an area, m².
func Cylinder(length, area float64) (Shape, error) { return Cone(length, area, area) }

// Cone is a duct whose width changes in proportion to the distance, from one area
// to another, m²: round or of any section that keeps its form.
func Cone(length, from, to float64) (Shape, error) {
	if err := sizes(length, from, to); err != nil {
		return Shape{}, err
	}
	a, b := math.Sqrt(from), math.Sqrt(to)
	return Shape{[]stretch{{length: length, r: a, d: (b - a) / length}}}, nil
}

// Exponential is S = S1·e^(mx).
func Exponential(length, from, to float64) (Shape, error) {
	if err := sizes(length, from, to); err != nil {
		return Shape{}, err
	}
	r, k := math.Sqrt(from), math.Log(to/from)/(2*length)
	return Shape{[]stretch{{length: length, r: r, d: k * r, kk: k * k}}}, nil
}

// Hyperbolic is √S = √S1·(cosh κx + T·sinh κx): 0 is catenoidal, 1 exponential, and
// towards infinity a cone (Salmon 1946). κ follows from the areas.
func Hyperbolic(length, from, to, t float64) (Shape, error) {
	if err := sizes(length, from, to); err != nil {
		return Shape{}, err
	}
	switch {
	case !(t >= 0 && t <= 1e3):
		return Shape{}, fault("flare", "give a T from 0 to 1000", "a hyperbolic horn with T = %s", phys.Digits(t, 3))
	case !(to > from):
		return Shape{}, fault("flare", "make the end wider than the start, or use another flare", "a hyperbolic horn that does not widen")
	}
	a, q := math.Sqrt(from), math.Sqrt(to/from)
	// cosh z + T·sinh z = q: with e^z as the unknown, (1 + T)·e^2z − 2q·e^z + 1 − T = 0
	z := math.Log((q + math.Sqrt(q*q-1+t*t)) / (1 + t))
	k := z / length
	return Shape{[]stretch{{length: length, r: a, d: t * k * a, kk: k * k}}}, nil
}

// Cutoff is the frequency, Hz, below which an endless horn of this shape carries
// nothing: κc/2π where κ² is positive and one all along, 0 otherwise.
func (s Shape) Cutoff(c float64) float64 {
	if len(s.stretches) != 1 || s.stretches[0].curve != nil || s.stretches[0].kk <= 0 {
		return 0
	}
	return math.Sqrt(s.stretches[0].kk) * c / (2 * math.Pi)
}

// Parabolic is a duct whose area changes in proportion to the distance: straight
// walls, of which two are parallel.
func Parabolic(length, from, to float64) (Shape, error) {
	if err := sizes(length, from, to); err != nil {
		return Shape{}, err
	}
	return Shape{[]stretch{{length: length, curve: func(x float64) float64 { return math.Sqrt(from + (to-from)*x/length) }}}}, nil
}

// Tractrix is the contour along which a rod of the mouth’s radius a is drawn,
// x = a·ln((a + √(a² − r²))/r) − √(a² − r²) from the mouth; its length follows from
// the areas of throat and mouth. Its walls stand upright at the mouth, where plane
// areas are least like wave fronts.
func Tractrix(throat, mouth float64) (Shape, error) {
	if !(mouth > throat) {
		return Shape{}, fault("flare", "make the mouth wider than the throat", "a tractrix that does not widen")
	}
	a, r := math.Sqrt(mouth/math.Pi), math.Sqrt(throat/math.Pi)
	length := tractrix(a, r)
	if err := sizes(length, throat, mouth); err != nil {
		return Shape{}, err
	}
	return Shape{[]stretch{{length: length, curve: func(x float64) float64 {
		return math.Sqrt(math.Pi) * tractrixRadius(a, length-x)
	}}}}, nil
}

// tractrix is the distance from the mouth, of radius a, at which the radius is r.
func tractrix(a, r float64) float64 {
	h := math.Sqrt((a - r) * (a + r))
	return a*math.Log((a+h)/r) - h
}

// tractrixRadius is the inverse, by the parameter t with r = a/cosh t and
// x = a·(t − tanh t), which Newton’s method finds from outside: x + a > a·t > x.
func tractrixRadius(a, x float64) float64 {
	u := max(x/a, 0)
	t := u + min(1, math.Cbrt(3*u))
	for range 60 {
		th := math.Tanh(t)
		if th == 0 {
			break
		}
		step := (t - th - u) / (th * th)
		t -= step
		if math.Abs(step) <= 1e-15*t {
			break
		}
	}
	return a / math.Cosh(t)
}

// A Point is an area, m², at a place, m from the start.
type Point struct{ X, Area float64 }

// Points is a profile through points, with straight walls between them: the width
// changes in proportion to the distance. Two points at one place are a jump.
func Points(points []Point) (Shape, error) { return Profile(points, Cone) }

// Profile is one through points with any flare between them, given its length and
// the areas at its ends.
func Profile(points []Point, between func(length, from, to float64) (Shape, error)) (Shape, error) {
	var out Shape
	if len(points) < 2 {
		return out, fault("points", "give two points or more, the first at the start", "a profile of %d points", len(points))
	}
	if points[0].X != 0 {
		return out, fault("points", "put the first point at 0", "the profile begins at %s m", phys.Digits(points[0].X, 4))
	}
	for i, p := range points[1:] {
		length := p.X - points[i].X
		if length == 0 && i+2 < len(points) && i > 0 && points[i+2].X != p.X && points[i-1].X != p.X {
			continue
		}
		if !(length > 0) {
			return out, fault("points", "put the points in the order of their distance from the start; two at one place, inside the duct, are a jump", "a point at %s m follows one at %s m", phys.Digits(p.X, 4), phys.Digits(points[i].X, 4))
		}
		if length < minLength {
			return out, fault("points", "put them at one place for a jump, or 0.01 mm apart or more", "two points lie %s mm apart, at %s m", phys.Digits(1e3*length, 3), phys.Digits(p.X, 4))
		}
		s, err := between(length, points[i].Area, p.Area)
		if err != nil {
			return Shape{}, err
		}
		out.stretches = append(out.stretches, s.stretches...)
	}
	return out, nil
}
