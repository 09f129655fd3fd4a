// Package curve holds how a parameter of a driver changes with the cone's
// displacement: a polynomial, or a table joined by a smooth curve that never
// swings beyond its points.
package curve

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/interp"
)

// A Curve is a value over displacement, with its first two derivatives and its
// integral. The zero value is not a curve: use Polynomial or Table. A Curve
// does not change after it was made, and may be shared.
type Curve struct {
	poly     []float64 // coefficients of powers of x; nil: a table
	x        []float64 // knots, m, rising
	v, slope []float64 // value and slope at each knot
	area     []float64 // integral from the first knot to each
	zero     float64   // integral from the first knot to x = 0
	reach    float64   // m, over which the curve settles beyond its ends; 0: it goes on straight
	recip    bool      // the curve is 1 over what the above describe
}

// most is how many coefficients or points a curve may have.
const most = 200

// Polynomial is Σ c[k]·x^k with x in metres.
func Polynomial(c []float64) (*Curve, error) {
	switch {
	case len(c) == 0:
		return nil, fmt.Errorf("a polynomial needs at least one coefficient")
	case len(c) > 20:
		return nil, fmt.Errorf("%d coefficients are more than the 20 that a polynomial may have", len(c))
	}
	if i := slices.IndexFunc(c, unfit); i >= 0 {
		return nil, fmt.Errorf("coefficient %d is not a finite number", i+1)
	}
	if !(c[0] > 0) {
		return nil, fmt.Errorf("the value at rest, the first coefficient, has to be positive")
	}
	return &Curve{poly: slices.Clone(c)}, nil
}

// Tail says how a table goes on beyond its ends.
type Tail uint8

// The tails.
const (
	Settle Tail = iota // it bends towards a constant, and stays positive: a force factor, an inductance
	Onward             // it goes on straight where it rises outwards, else it settles: a stiffness
)

// Table is a curve through points: at x, in m and rising, it has the values v,
// all positive. Between the points it is a cubic whose slopes keep every rise a
// rise and every fall a fall (Fritsch & Butland 1984). The points have to lie on
// both sides of x = 0, or at it.
func Table(x, v []float64, tail Tail) (*Curve, error) {
	switch {
	case len(x) != len(v):
		return nil, fmt.Errorf("%d displacements and %d values do not pair", len(x), len(v))
	case len(x) < 3:
		return nil, fmt.Errorf("a table needs at least three points")
	case len(x) > most:
		return nil, fmt.Errorf("%d points are more than the %d that a table may have", len(x), most)
	}
	for i := range x {
		switch {
		case unfit(x[i]) || unfit(v[i]):
			return nil, fmt.Errorf("point %d is not a pair of finite numbers", i+1)
		case !(v[i] > 0):
			return nil, fmt.Errorf("the value of point %d has to be positive", i+1)
		case i > 0 && !(x[i] > x[i-1]):
			return nil, fmt.Errorf("point %d is not beyond the one before it", i+1)
		}
	}
	if x[0] > 0 || x[len(x)-1] < 0 {
		return nil, fmt.Errorf("the points do not reach the rest position, x = 0")
	}
	var fb interp.FritschButland
	if err := fb.Fit(x, v); err != nil {
		return nil, fmt.Errorf("the points do not make a curve: %w", err)
	}
	c := &Curve{x: slices.Clone(x), v: slices.Clone(v)}
	for i := range x {
		c.slope = append(c.slope, fb.PredictDerivative(x[i]))
	}
	if tail == Settle || c.slope[0] > 0 || c.slope[len(x)-1] < 0 {
		c.reach = (x[len(x)-1] - x[0]) / 4
	}
	c.area = make([]float64, len(x))
	for i := 1; i < len(x); i++ {
		_, _, _, a := c.piece(i-1, x[i])
		c.area[i] = c.area[i-1] + a
	}
	c.zero = c.raw(0)
	return c, nil
}

// Reciprocal is 1/c: a stiffness from a compliance.
func (c *Curve) Reciprocal() *Curve {
	r := *c
	r.recip = !c.recip
	return &r
}

func unfit(v float64) bool { return math.IsNaN(v) || math.IsInf(v, 0) }

// Range is where the curve was given, m; a polynomial has no bounds.
func (c *Curve) Range() (from, to float64, bounded bool) {
	if c.poly != nil {
		return 0, 0, false
	}
	return c.x[0], c.x[len(c.x)-1], true
}

// Degree is a polynomial's; a table and a reciprocal, which have none, count as
// one of the eighth.
func (c *Curve) Degree() int {
	if c.poly == nil || c.recip {
		return 8
	}
	return len(c.poly) - 1
}

// At is the value at x, in m, and its first and second derivatives.
func (c *Curve) At(x float64) (v, d1, d2 float64) {
	if c.poly != nil {
		for i := len(c.poly) - 1; i >= 0; i-- {
			d2 = d2*x + 2*d1
			d1 = d1*x + v
			v = v*x + c.poly[i]
		}
	} else {
		v, d1, d2 = c.table(x)
	}
	if !c.recip {
		return v, d1, d2
	}
	r := 1 / v
	return r, -d1 * r * r, (2*d1*d1*r - d2) * r * r
}

// Integral is the integral from 0 to x. It panics for a reciprocal, which
// nothing integrates.
func (c *Curve) Integral(x float64) float64 {
	if c.recip {
		panic("curve: the integral of a reciprocal was asked for")
	}
	if c.poly == nil {
		return c.raw(x) - c.zero
	}
	var a float64
	for i := len(c.poly) - 1; i >= 0; i-- {
		a = a*x + c.poly[i]/float64(i+1)
	}
	return a * x
}

// table is a table's value and derivatives.
func (c *Curve) table(x float64) (v, d1, d2 float64) {
	n := len(c.x)
	switch {
	case x < c.x[0]:
		v, d1, d2, _ = c.beyond(0, x)
	case x > c.x[n-1]:
		v, d1, d2, _ = c.beyond(n-1, x)
	default:
		v, d1, d2, _ = c.piece(c.find(x), x)
	}
	return v, d1, d2
}

// raw is a table's integral from its first knot to x.
func (c *Curve) raw(x float64) float64 {
	n := len(c.x)
	switch {
	case x < c.x[0]:
		_, _, _, a := c.beyond(0, x)
		return a
	case x > c.x[n-1]:
		_, _, _, a := c.beyond(n-1, x)
		return c.area[n-1] + a
	}
	i := c.find(x)
	_, _, _, a := c.piece(i, x)
	return c.area[i] + a
}

// find is the piece in which x lies.
func (c *Curve) find(x float64) int {
	i, exact := slices.BinarySearch(c.x, x)
	if !exact {
		i--
	}
	return min(max(i, 0), len(c.x)-2)
}

// piece is the cubic between knots i and i+1 at x, and its integral from knot i.
func (c *Curve) piece(i int, x float64) (v, d1, d2, area float64) {
	t := x - c.x[i]
	b, k := c.cubic(i)
	v = c.v[i] + t*(c.slope[i]+t*(b+t*k))
	d1 = c.slope[i] + t*(2*b+t*3*k)
	d2 = 2*b + 6*k*t
	area = t * (c.v[i] + t*(c.slope[i]/2+t*(b/3+t*k/4)))
	return v, d1, d2, area
}

// cubic is the square's and the cube's coefficient of piece i in x − x[i].
func (c *Curve) cubic(i int) (b, k float64) {
	h := c.x[i+1] - c.x[i]
	s := (c.v[i+1] - c.v[i]) / h
	return (3*s - 2*c.slope[i] - c.slope[i+1]) / h, (c.slope[i] + c.slope[i+1] - 2*s) / (h * h)
}

// beyond is the curve past end knot i at x, and its integral from that knot:
// straight on, or v + s·d·(1 − e^(−t/d)) with its distance d so short that the
// value stays positive.
func (c *Curve) beyond(i int, x float64) (v, d1, d2, area float64) {
	t, s, v0 := x-c.x[i], c.slope[i], c.v[i]
	if c.reach == 0 {
		return v0 + s*t, s, 0, t * (v0 + s*t/2)
	}
	d := c.settling(i, t)
	e := math.Exp(-t / d)
	return v0 + s*d*(1-e), s * e, -s * e / d, t*(v0+s*d) - s*d*d*(1-e)
}

// settling is the distance d over which the curve settles beyond end knot i, with
// the sign of the side.
func (c *Curve) settling(i int, side float64) float64 {
	d, outward := c.reach, math.Copysign(1, side)*c.slope[i]
	if outward < 0 {
		d = min(d, 0.9*c.v[i]/-outward)
	}
	return math.Copysign(d, side)
}
