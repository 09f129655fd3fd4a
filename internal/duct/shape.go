package duct

import (
	"math"

	"basswright/internal/phys"
)

// Shape is the area of a duct along its axis, from its start: stretches one behind
// another. Where two of them do not meet in one area, the area jumps.
type Shape struct {
	stretches []stretch
}

// A stretch is a part of a shape whose r = √S follows one law: r″ = κ²·r, or any
// curve.
type stretch struct {
	length float64
	r, d   float64 // √S at its start, m, and the slope there
	kk     float64 // κ², 1/m²
	curve  func(x float64) float64
	start  float64 // where on the curve the stretch begins
}

// at is √S at x from the stretch’s start.
func (s stretch) at(x float64) float64 {
	if s.curve != nil {
		return s.curve(s.start + x)
	}
	c, l := family(s.kk, x)
	return s.r*c + s.d*l
}

// slope is that of √S, of a stretch that is no curve.
func (s stretch) slope(x float64) float64 {
	c, l := family(s.kk, x)
	return s.d*c + s.r*s.kk*l
}

// family is cosh κx and sinh(κx)/κ, for a κ² of either sign.
func family(kk, x float64) (c, s float64) {
	z := kk * x * x
	switch {
	case math.Abs(z) < 1e-3:
		return 1 + z/2*(1+z/12*(1+z/30)), x * (1 + z/6*(1+z/20*(1+z/42)))
	case z > 0:
		k := math.Sqrt(kk)
		return math.Cosh(k * x), math.Sinh(k*x) / k
	}
	k := math.Sqrt(-kk)
	sin, cos := math.Sincos(k * x)
	return cos, sin / k
}

// Length of the shape, m.
func (s Shape) Length() float64 {
	var sum float64
	for _, t := range s.stretches {
		sum += t.length
	}
	return sum
}

// Area of the cross-section at x, m from the start, in m²; at a jump, the area
// behind it. x is kept within the shape.
func (s Shape) Area(x float64) float64 {
	i, x := s.find(x)
	r := s.stretches[i].at(x)
	return r * r
}

// find is the stretch at x and the place in it.
func (s Shape) find(x float64) (int, float64) {
	for i, t := range s.stretches {
		if x < t.length || i == len(s.stretches)-1 {
			return i, min(max(x, 0), t.length)
		}
		x -= t.length
	}
	panic("duct: a shape without length")
}

// Volume of the shape, m³, by Simpson’s rule; exact but for rounding for a cone
// and a cylinder.
func (s Shape) Volume() float64 {
	const n = 64
	var sum float64
	for _, t := range s.stretches {
		for i := range n {
			a, b := t.length*float64(i)/n, t.length*float64(i+1)/n
			u, v, w := t.at(a), t.at((a+b)/2), t.at(b)
			sum += (b - a) / 6 * (u*u + 4*v*v + w*w)
		}
	}
	return sum
}

// Then is the shape with another one behind it.
func (s Shape) Then(next Shape) Shape {
	all := append([]stretch(nil), s.stretches...)
	return Shape{append(all, next.stretches...)}
}

// Between is the part from one place to another, m from the start. It panics if
// there is nothing between them.
func (s Shape) Between(from, to float64) Shape {
	length := s.Length()
	from, to = max(from, 0), min(to, length)
	if !(to > from) {
		panic("duct: a cut without length")
	}
	var out Shape
	at := 0.0
	for _, t := range s.stretches {
		a, b := max(from-at, 0), min(to-at, t.length)
		at += t.length
		// What a rounding leaves of a stretch is no part of the cut.
		if b-a > 1e-12*length {
			out.stretches = append(out.stretches, t.between(a, b))
		}
	}
	return out
}

func (s stretch) between(a, b float64) stretch {
	if s.curve != nil {
		return stretch{length: b - a, curve: s.curve, start: s.start + a}
	}
	return stretch{length: b - a, r: s.at(a), d: s.slope(a), kk: s.kk}
}

// Reversed is the shape seen from its end.
func (s Shape) Reversed() Shape {
	var out Shape
	for i := range s.stretches {
		t := s.stretches[len(s.stretches)-1-i]
		if t.curve != nil {
			out.stretches = append(out.stretches, stretch{length: t.length, curve: func(x float64) float64 { return t.at(t.length - x) }})
			continue
		}
		out.stretches = append(out.stretches, stretch{length: t.length, r: t.at(t.length), d: -t.slope(t.length), kk: t.kk})
	}
	return out
}

// The bounds of what a shape is made of: wide for anything built, and narrow
// enough that no product leaves what a float64 holds.
const (
	minLength, maxLength = 1e-5, 1e3 // m
	minArea, maxArea     = 1e-8, 1e4 // m²
)

// sizes checks a length and areas.
func sizes(length float64, areas ...float64) error {
	if !(length >= minLength && length <= maxLength) {
		return fault("length", "give a length from 0.01 mm to 1000 m", "a duct of %s m", phys.Digits(length, 3))
	}
	for _, s := range areas {
		if !(s >= minArea && s <= maxArea) {
			return fault("area", "give an area from 0.01 mm² to 10 000 m²", "a duct with an area of %s m²", phys.Digits(s, 3))
		}
	}
	return nil
}
