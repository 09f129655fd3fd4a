package phys

import (
	"math"
	"sync"

	"gonum.org/v1/gonum/integrate/quad"
)

// The end corrections of a long round pipe, in radii.
const (
	EndFlanged = 0.8217 // in an infinite flange (Nomura, Yamamura & Inawashiro 1960)
	EndFree    = 0.6133 // without a flange (Levine & Schwinger 1948)
)

// PistonLoad is the radiation impedance of a rigid circular piston of radius a
// in an infinite baffle over ρc/S, at ka ≥ 0:
//
//	1 − J1(2ka)/ka + j·H1(2ka)/ka
//
// (Rayleigh 1896, section 302; J1 of Bessel, H1 of Struve.)
func PistonLoad(ka float64) complex128 {
	x := 2 * ka
	if x < 1e-4 { // first terms of both series: the rest is below 1e-9 of them
		return complex(x*x/8, 4*x/(3*math.Pi))
	}
	re := 1 - 2*math.J1(x)/x
	if x < 0.3 { // 1 − 2·J1/x cancels: its own series, Σ (−1)^k (x/2)^2k/(k!(k+1)!), from k = 1
		q, term, sum := x*x/4, 1.0, 0.0
		for k := 1.0; k <= 12; k++ {
			term *= -q / (k * (k + 1))
			sum -= term
		}
		re = sum
	}
	return complex(re, 2*StruveH1(x)/x)
}

// StruveH1 is the Struve function of order one for x ≥ 0, to about 1e-13 of
// its size: the power series (DLMF 11.2.1) below 1, an integral (DLMF 11.5.1)
// below 20, and above it the Bessel function of the second kind plus the
// asymptotic series (DLMF 11.6.1).
func StruveH1(x float64) float64 {
	switch {
	case x < 1:
		return struveSeries(x)
	case x < 20:
		return struveIntegral(x)
	}
	q, term, sum := 4/(x*x), 2/math.Pi, 0.0
	for k := range 40 {
		sum += term
		n := float64(k)
		next := -term * q * (n + 0.5) * (n - 0.5) // Γ(k+1/2)/Γ(3/2−k) steps by (k+1/2)(1/2−k)
		if math.Abs(next) >= math.Abs(term) || math.Abs(next) < 1e-18 {
			break
		}
		term = next
	}
	return math.Y1(x) + sum
}

// struveSeries is the power series of H1.
func struveSeries(x float64) float64 {
	term, sum := 2/(3*math.Pi)*x*x, 0.0
	for k := 0.0; k < 20; k++ {
		sum += term
		term *= -x * x / ((2*k + 3) * (2*k + 5))
	}
	return sum
}

// struveIntegral is H1(x) = (2x/π)·∫ cos²φ·sin(x·sin φ) dφ from 0 to π/2
// (DLMF 11.5.1), where the power series would cancel. The integrand is entire,
// so Gauss's rule converges faster than any power of the number of points.
func struveIntegral(x float64) float64 {
	rule := gauss()
	sum := 0.0
	for i, phi := range rule.x {
		c := math.Cos(phi)
		sum += rule.w[i] * c * c * math.Sin(x*math.Sin(phi))
	}
	return 2 * x / math.Pi * sum
}

// gauss is Gauss-Legendre's rule on 0 to π/2.
var gauss = sync.OnceValue(func() (rule struct{ x, w [32]float64 }) {
	quad.Legendre{}.FixedLocations(rule.x[:], rule.w[:], 0, math.Pi/2)
	return rule
})

// RectangularEndFlanged is the end correction, m, of a rectangular opening of
// sides w and h in an infinite flange: the static air mass of a rigid
// rectangular piston (Ingard 1953; the integral of 1/R over the face is
// Rayleigh's), which is an upper bound for a pipe. For a circle the same ratio
// of pipe to piston is 0.8217/0.8488 = 0.968; it is not applied.
func RectangularEndFlanged(w, h float64) float64 {
	d := math.Hypot(w, h)
	i := w*w*h*math.Asinh(h/w) + w*h*h*math.Asinh(w/h) + (w*w*w+h*h*h-d*d*d)/3
	return i / (math.Pi * w * h)
}

// RectangularEndFree is the end correction, m, of a rectangular pipe without a
// flange. No published value for all aspect ratios was at hand: it is the
// flanged one times that of a round pipe, 0.6133/0.8217.
func RectangularEndFree(w, h float64) float64 {
	return RectangularEndFlanged(w, h) * EndFree / EndFlanged
}
