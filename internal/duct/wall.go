package duct

import "math"

// The wall’s loss in a round duct of radius a is that of Zwikker & Kosten (Sound
// Absorbing Materials, 1949), who simplify Kirchhoff’s exact solution for ducts
// that are wide against the boundary layer and narrow against the wavelength:
//
//	ρ = ρ0/(1 − F(sv)),   K = γP0/(1 + (γ − 1)·F(st))
//
// with sv = a·√(ωρ0/μ), st = sv·√Pr and F(s) = 2·J1(z)/(z·J0(z)), z = s·√−j. The
// walls stay at the temperature of the room.

// boundary is F(s) for s ≥ 0, written as 2·I1(y)/(y·I0(y)) with y = s·√j: by the
// power series of both for a narrow duct, by the asymptotic series of their ratio
// for a wide one. The relative error is below 1e-13.
func boundary(s float64) complex128 {
	if s < wideFrom {
		return narrow(s)
	}
	n := len(wide)
	if s > 3*wideFrom {
		n = 8 // the next term is below 1e-14 here
	}
	u := 1 / s
	re, im := wide[n-1][0], wide[n-1][1]
	for i := n - 2; i >= 0; i-- {
		re, im = re*u+wide[i][0], im*u+wide[i][1]
	}
	return complex(re*u, im*u)
}

// wideFrom is where the asymptotic series takes over: what it leaves out there,
// the other solution, is e^(−√2·s) = 2e-15 of the whole.
const wideFrom = 24.0

// narrow is the ratio of the power series of I1 and I0 (DLMF 10.25.2): with
// q = s²/4, Σ (jq)^k/(k!(k+1)!) over Σ (jq)^k/k!².
func narrow(s float64) complex128 {
	q := s * s / 4
	var num, den [2]float64 // real and imaginary parts
	term := 1.0             // q^k/k!²
	for k := 0; k < 80; k++ {
		sign := 1.0
		if k&2 != 0 {
			sign = -1
		}
		den[k&1] += sign * term
		num[k&1] += sign * term / float64(k+1)
		term *= q / float64((k+1)*(k+1))
		if term < 1e-18 {
			break
		}
	}
	return complex(num[0], num[1]) / complex(den[0], den[1])
}

// wide has the real and imaginary parts of the coefficients of 1/s, 1/s²… of the
// asymptotic series of F.
var wide = wideSeries()

// wideSeries works them out. The ratio r = I1/I0 obeys r′ = 1 − r/y − r²; with
// r = Σ a_m/y^m that is 2·a_m = (m − 2)·a_(m−1) − Σ a_i·a_(m−i), a_0 = 1. The
// power y^−(m+1) has the phase −(m + 1)·π/4.
func wideSeries() [16][2]float64 {
	var a [16]float64
	var out [16][2]float64
	a[0] = 1
	for m := range a {
		if m > 0 {
			sum := float64(m-2) * a[m-1]
			for i := 1; i < m; i++ {
				sum -= a[i] * a[m-i]
			}
			a[m] = sum / 2
		}
		sin, cos := math.Sincos(-float64(m+1) * math.Pi / 4)
		out[m] = [2]float64{2 * a[m] * cos, 2 * a[m] * sin}
	}
	return out
}

// wall is the density and the bulk modulus of air in a duct, each of its two
// radii being the one at which its loss is right on the mean of a segment.
type wall struct {
	viscous, thermal float64 // of F for ω = 1: a·√(ρ0/μ), a·√(ρ0·Pr/μ)
}

// at needs the root of ω.
func (l wall) at(g *Gas, modulus, rootW float64) (rho, k complex128) {
	fv, ft := boundary(l.viscous*rootW), boundary(l.thermal*rootW)
	return over(g.Rho, 1-fv), over(modulus, complex(1+(g.Gamma-1)*real(ft), (g.Gamma-1)*imag(ft)))
}

// over is r/z for a z that is neither huge nor tiny.
func over(r float64, z complex128) complex128 {
	x, y := real(z), imag(z)
	d := r / (x*x + y*y)
	return complex(x*d, -y*d)
}
