package radiation

import "math"

// Rectangle is a rigid rectangular piston in a baffle. Its load is Rayleigh’s
// integral of e^(−jkR)/R over the face, which the distances in it turn into
//
//	z = 2jk/(πS)·∫∫ (w − x)·(h − y)·e^(−jkr)/r dx dy
//
// over the face, and along each ray from a corner in closed form (Levine, J. Sound
// Vib. 89 (1983), 447, has it as one integral too): for low frequencies as a series
// in k, otherwise by quadrature over the rays.
type Rectangle struct {
	w, h    float64
	moments [rectTerms]float64 // of r^(n−1), over the diagonal^(n+1)·S·n!
}

// The series is used up to this k times the diagonal, where its terms have grown to
// e^12, which costs five digits, and 56 of them are enough.
const (
	rectReach = 12.0
	rectTerms = 56
)

// NewRectangle prepares one with sides w and h, m, above 0.
func NewRectangle(w, h float64) *Rectangle {
	if !(w > 0 && h > 0) {
		panic("radiation: a rectangle without sides")
	}
	r := &Rectangle{w: w, h: h}
	d := math.Hypot(w, h)
	// The rays’ ends run along both far sides.
	for _, side := range [2][2]float64{{w, h}, {h, w}} {
		r.rays(side[0], side[1], 8, func(weight, cos, sin, end float64) {
			// ∫ (P − Q·r + T·r²)·r^n dr from 0 to end
			p, q, t := w*h, side[0]*cos+side[1]*sin, sin*cos
			power := weight * end / (d * w * h)
			factorial := 1.0
			for n := range rectTerms {
				m := float64(n)
				if n > 0 {
					factorial *= m
				}
				r.moments[n] += power / factorial * (p/(m+1) - q*end/(m+2) + t*end*end/(m+3))
				power *= end / d
			}
		})
	}
	return r
}

// rays goes over the directions of the rays from a corner that end on the far side
// at distance b, of length a, with the points of Gauss in each of some parts: each
// has a weight, dθ, the sine and the cosine of its angle against the side b, and its
// length. In x = b·sinh t along the side, dθ = dt/cosh t.
func (r *Rectangle) rays(a, b float64, parts int, visit func(weight, cos, sin, end float64)) {
	most := math.Asinh(a / b)
	parts = max(parts, int(math.Ceil(most/1.2)))
	step := most / float64(parts)
	for i := range parts {
		for g := range gauss {
			for _, sign := range [2]float64{-1, 1} {
				t := (float64(i) + 0.5 + sign*gauss[g][0]/2) * step
				e := math.Exp(t)
				ch := (e + 1/e) / 2
				sh := (e - 1/e) / 2
				visit(gauss[g][1]*step/2/ch, 1/ch, sh/ch, b*ch)
			}
		}
	}
}

// gauss are the points and weights of Gauss and Legendre of order 16 (DLMF 3.5).
var gauss = [8][2]float64{
	{0.0950125098376374402, 0.189450610455068496}, {0.281603550779258913, 0.182603415044923589},
	{0.458016777657227386, 0.169156519395002538}, {0.617876244402643748, 0.149595988816576732},
	{0.755404408355003034, 0.124628971255533872}, {0.865631202387831744, 0.0951585116824927848},
	{0.944575023073232576, 0.0622535239386478929}, {0.989400934991649932, 0.0271524594117540949},
}

// Load is that of the piston, over ρc/S, at the wave number k ≥ 0, 1/m.
func (r *Rectangle) Load(k float64) complex128 {
	d := math.Hypot(r.w, r.h)
	x := k * d
	if x <= rectReach {
		// 2jx/π·Σ (−jx)^n·moment, with even and odd powers apart
		n := x * x
		even, odd := r.moments[rectTerms-2], r.moments[rectTerms-1]
		for i := rectTerms - 4; i >= 0; i -= 2 {
			even, odd = r.moments[i]-n*even, r.moments[i+1]-n*odd
		}
		by := 2 * x / math.Pi
		return complex(by*x*odd, by*even)
	}
	return r.quadrature(k)
}

// quadrature is the load by the rays. Along one, with a = −jk, ∫ (P − Q·r + T·r²)·
// e^(ar) dr from 0 to its end, where the bracket is 0 because the ray ends on a side.
func (r *Rectangle) quadrature(k float64) complex128 {
	var sum complex128
	parts := int(math.Ceil(k * math.Hypot(r.w, r.h) / 8))
	i := complex(0, 1/k) // 1/a
	for _, side := range [2][2]float64{{r.w, r.h}, {r.h, r.w}} {
		r.rays(side[0], side[1], parts, func(weight, cos, sin, end float64) {
			p, q, t := r.w*r.h, side[0]*cos+side[1]*sin, sin*cos
			s, c := math.Sincos(-k * end)
			e := complex(c, s)
			slope := complex(2*t*end-q, 0)
			v := -complex(p, 0)*i - (slope*e+complex(q, 0))*i*i + 2*complex(t, 0)*(e-1)*i*i*i
			sum += complex(weight, 0) * v
		})
	}
	return complex(0, 2*k/(math.Pi*r.w*r.h)) * sum
}
