package radiation

import "math"

// Mutual is the pressure that one round piston in a baffle makes on another, on the
// mean, for its volume velocity: the acoustic impedance z12 between both. It is the
// series of Pritchard, J. Acoust. Soc. Am. 32 (1960), 730 (from memory), for two
// radii a and b and their centres’ distance d ≥ a + b:
//
//	z12 = 2ρc/(πab)·ΣΣ Γ(m + n + ½)/(√π·m!·n!)·(a/d)^m·(b/d)^n·J_m+1(ka)·J_n+1(kb)·h_m+n(kd)
//
// with the spherical Hankel function of the second kind, for m and n from 0. Its
// first term is the pressure of a point source with the directivity of both.
type Mutual struct {
	a, b, d float64 // m
	c, rho  float64
	orders  int       // m + n goes from 0 to it
	factors []float64 // by m + n, then m: what does not change with frequency
}

// What the series may leave out, as a share of its first term, and how far it goes
// for that. Pistons that touch need the most, and keep an error of 1e-5 of it.
const (
	mutualError  = 1e-7
	mutualOrders = 90
)

// NewMutual prepares it for radii a and b, m, and centres d apart, in air of a speed
// of sound c and density rho. It panics if the pistons overlap; what they would do is
// not told by the series.
func NewMutual(a, b, d, c, rho float64) *Mutual {
	if !(a > 0 && b > 0 && d >= (a+b)*(1-1e-9)) {
		panic("radiation: pistons that overlap")
	}
	m := &Mutual{a: a, b: b, d: d, c: c, rho: rho}
	// (2N − 1)!!²/(4^(N+1)·m!·n!·(m + 1)!·(n + 1)!)·(a/d)^2m·(b/d)^2n, as J and h stand
	// below: over their leading terms.
	u, v := a*a/(d*d), b*b/(d*d)
	first := 0.25
	for n := 0; n <= mutualOrders; n++ {
		if n > 0 {
			odd := float64(2*n - 1)
			first *= odd * odd / 4 * v / float64(n*(n+1))
		}
		f, sum := first, 0.0
		for i := 0; i <= n; i++ {
			m.factors = append(m.factors, f)
			sum += f
			j := float64(n - i) // of the other index
			f *= u / v * j * (j + 1) / float64((i+1)*(i+2))
		}
		m.orders = n
		if sum < mutualError*0.25 {
			break
		}
	}
	return m
}

// At is z12, Pa·s/m³, at w > 0, in rad/s.
func (m *Mutual) At(w float64) complex128 {
	k := w / m.c
	var p, q [mutualOrders + 2]float64
	scaledBessel(k*m.a, p[:m.orders+2])
	scaledBessel(k*m.b, q[:m.orders+2])
	// h_N·y^(N+1)/(2N − 1)!! begins with j·e^(−jy) and goes on with
	// h − y²/((2N + 1)(2N − 1))·(the one before).
	y := k * m.d
	sin, cos := math.Sincos(y)
	hr, hi := sin, cos
	br, bi := -cos/y, sin/y // so that the first step gives h_0 − y·e^(−jy)
	var re, im float64
	f := m.factors
	for n := 0; n <= m.orders; n++ {
		sum := 0.0
		for i := 0; i <= n; i++ {
			sum += f[i] * p[i+1] * q[n-i+1]
		}
		f = f[n+1:]
		re += sum * hr
		im += sum * hi
		by := y * y / float64((2*n+1)*(2*n-1))
		hr, br = hr-by*br, hr
		hi, bi = hi-by*bi, hi
	}
	by := 2 * m.rho * w / (math.Pi * m.d)
	return complex(by*re, by*im)
}

// scaledBessel fills in J_m(x)·m!·(2/x)^m, which is 1 for small x, by the recurrence
// from high orders down (Miller; DLMF 3.6.v), scaled to the larger of J0 and J1.
func scaledBessel(x float64, out []float64) {
	q := x * x / 4
	above, here := 1.0, 1.0
	for m := len(out) + 20 + int(2*x); m >= 1; m-- {
		if m < len(out) {
			out[m] = here
		}
		above, here = here, here-q/float64(m*(m+1))*above
	}
	out[0] = here
	by := 0.0
	if j0, j1 := math.J0(x), math.J1(x); math.Abs(j0) > math.Abs(j1) {
		by = j0 / out[0]
	} else {
		by = 2 * j1 / (x * out[1])
	}
	for m := range out {
		out[m] *= by
	}
}
