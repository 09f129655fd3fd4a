package phys

import "math"

// PistonLoad is the radiation impedance, over ρc/S, of a rigid circular piston
// of radius a in an infinite baffle:
//
//	1 − J1(2ka)/ka + j·H1(2ka)/ka
//
// (Rayleigh, The Theory of Sound, 1896, section 302; J1 is Bessel's function,
// H1 Struve's.) ka ≥ 0; a negative ka gives the conjugate. The relative error is
// below 1e-14 up to 2ka = 100: the power series (DLMF 11.2.1) for small x = 2ka,
// the expansion in Bessel functions (Abramowitz & Stegun 1964, 12.1.20) up to
// 40, and beyond it Y1 plus the asymptotic series (DLMF 11.6.1), whose smallest
// term there is about e^−40.
func PistonLoad(ka float64) complex128 {
	x := 2 * math.Abs(ka)
	var r, h float64 // r = 1 − 2·J1(x)/x, h = 2·H1(x)/x
	switch {
	case x == 0:
		return 0
	case x < seriesEnd:
		r, h = pistonSeries(x), 2*struveSeries(x)/x
	case x < expansionEnd:
		j1, h1 := besselExpansion(x)
		r, h = 1-2*j1/x, 2*h1/x
	case math.IsInf(x, 0):
		return 1
	default:
		r, h = 1-2*math.J1(x)/x, 2*struveAsymptotic(x)/x
	}
	return complex(r, math.Copysign(h, ka))
}

// Where one form hands over to the next: below the first the power series
// lose no digit, above the second the asymptotic series is exact.
const (
	seriesEnd    = 2.0
	expansionEnd = 40.0
)

// struveSeries is the power series of H1.
func struveSeries(x float64) float64 {
	term := 2 / (3 * math.Pi) * x * x
	sum := 0.0
	for k := 0.0; k < 20; k++ {
		sum += term
		term *= -x * x / ((2*k + 3) * (2*k + 5))
	}
	return sum
}

// pistonSeries is 1 − 2·J1(x)/x, without the cancellation at small x.
func pistonSeries(x float64) float64 {
	q, term, sum := x*x/4, 1.0, 0.0
	for k := 1.0; k <= 20; k++ {
		term *= -q / (k * (k + 1))
		sum -= term
	}
	return sum
}

// besselExpansion is J1 and H1 for seriesEnd ≤ x < expansionEnd, from Bessel
// functions of all orders by Miller's backward recurrence (Abramowitz & Stegun
// 9.12, example 1):
//
//	H1 = 2/π·(1 − J0) + 4/π·Σ J2k/(4k² − 1),   J0 + 2·Σ J2k = 1
//
// Every term is below 1, so nothing cancels.
func besselExpansion(x float64) (j1, h1 float64) {
	// From an order so far above x that the function vanishes there.
	start := 2 * int((x+30)/2+x/8)
	above, here := 0.0, 1e-300
	norm, series := 0.0, 0.0
	for n := start; n > 0; n-- {
		if n%2 == 0 {
			norm += 2 * here
			series += here / float64(n*n-1)
		} else if n == 1 {
			j1 = here
		}
		above, here = here, float64(2*n)/x*here-above
	}
	norm += here // here is order 0 now
	return j1 / norm, 2/math.Pi*(1-here/norm) + 4/math.Pi*series/norm
}

// struveAsymptotic is H1 for x ≥ expansionEnd.
func struveAsymptotic(x float64) float64 {
	term, sum := 2/math.Pi, 0.0
	for k := range 16 {
		sum += term
		n := float64(k)
		// Γ(k + 1/2)/Γ(3/2 − k) steps by (k + 1/2)(1/2 − k)
		term *= 4 / (x * x) * (n + 0.5) * (0.5 - n)
	}
	return math.Y1(x) + sum
}
