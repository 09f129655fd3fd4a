package duct

import (
	"math"
	"math/cmplx"
)

// Fibre is a model of air among fibres.
type Fibre uint8

// The models.
const (
	// AllardChampoux is that of Allard & Champoux, J. Acoust. Soc. Am. 91 (1992),
	// 3346: from the theory of rigid fibres across the sound, passive at all
	// frequencies, isothermal and resistive at the lowest.
	AllardChampoux Fibre = iota
	// Miki is the fit of Miki, J. Acoust. Soc. Jpn. (E) 11 (1990), 19, for f/σ
	// from 0.01 to 1. Far below, its density turns negative: see Negative.
	Miki
)

// String names the model.
func (m Fibre) String() string { return [...]string{"Allard & Champoux 1992", "Miki 1990"}[m] }

// Fill is fibrous fill.
type Fill struct {
	Resistivity float64 // σ, Pa·s/m²
	Model       Fibre
	// Density of the fill, kg/m³, where its fibres are moved by the air, as loose
	// wool is; 0: they stand still. The frame is then limp (Panneton, J. Acoust.
	// Soc. Am. 122 (2007), EL217).
	Density float64
}

// LeastResistivity and MostResistivity bound what the models are asked for, Pa·s/m².
// A fill of 100 Pa·s/m² is hardly there, one of 200 000 Pa·s/m² is a board.
const LeastResistivity, MostResistivity = 1, 1e6

// The range of f/σ, m²/(Pa·s)·Hz, that Miki’s fit was made for.
const mikiFrom, mikiTo = 0.01, 1.0

// mikiNegative is the f/σ below which the real part of Miki’s density is negative.
const mikiNegative = 0.0065

// Fitted is the range of frequencies, Hz, that the model was made for.
func (f Fill) Fitted() (from, to float64) {
	if f.Model == Miki {
		return mikiFrom * f.Resistivity, mikiTo * f.Resistivity
	}
	return 0, math.Inf(1)
}

// Negative is the frequency, Hz, below which the model’s air has a negative
// density; 0 for a model that is physical at all of them.
func (f Fill) Negative() float64 {
	if f.Model == Miki {
		return mikiNegative * f.Resistivity
	}
	return 0
}

// At is the density, kg/m³, and the bulk modulus, Pa, of the air in the fill at w,
// in rad/s. The share of the volume that the fibres take, some per cent, is left
// out.
func (f Fill) At(g Gas, w float64) (rho, k complex128) {
	if f.Model == Miki {
		rho, k = f.miki(g, w)
	} else {
		rho, k = f.allard(g, w)
	}
	if f.Density > 0 {
		all := complex(f.Density+g.Rho, 0)
		air := complex(g.Rho, 0)
		rho = (all*rho - air*air) / (all + rho - 2*air)
	}
	return rho, k
}

// allard is, with X = ρ0·f/σ,
//
//	ρ = ρ0·(1 + √(1 + jπX)/(j2πX))
//	K = γP0·(1 + q)/(1 + γq),   q = √(1 + j4πPr·X)/(j8πPr·X)
func (f Fill) allard(g Gas, w float64) (rho, k complex128) {
	x := g.Rho * w / (2 * math.Pi * f.Resistivity)
	p := g.Prandtl
	r := rootOf(math.Pi * x)
	q := rootOf(4 * math.Pi * p * x)
	d, e := 1/(2*math.Pi*x), 1/(8*math.Pi*p*x)
	rho = complex(g.Rho*(1+d*imag(r)), -g.Rho*d*real(r))
	q = complex(e*imag(q), -e*real(q))
	k = complex(g.modulus(), 0) * (1 + q) * over(1, complex(1+g.Gamma*real(q), g.Gamma*imag(q)))
	return rho, k
}

// rootOf is √(1 + jy).
func rootOf(y float64) complex128 {
	m := math.Sqrt(1 + y*y)
	re := math.Sqrt((m + 1) / 2)
	return complex(re, y/(2*re))
}

// miki is the fit for the characteristic impedance ρ·c and the wave number k, from
// which ρ = Zc·k/ω and K = Zc·ω/k.
func (f Fill) miki(g Gas, w float64) (rho, k complex128) {
	zc, kk := mikiFit(w / (2 * math.Pi * f.Resistivity))
	return complex(g.Rho, 0) * zc * kk, complex(g.modulus(), 0) * zc / kk
}

// mikiFit is Zc/(ρ0·c) and k·c/ω at x = f/σ.
func mikiFit(x float64) (zc, k complex128) {
	ln := math.Log(x)
	z, q := math.Exp(-0.632*ln), math.Exp(-0.618*ln)
	return complex(1+0.070*z, -0.107*z), complex(1+0.109*q, -0.160*q)
}

// Gain is by how much the fill makes a volume of air softer than it is alone, the
// apparent volume over the true one, at w, in rad/s: from 1, adiabatic, to γ,
// isothermal.
func (f Fill) Gain(g Gas, w float64) float64 {
	_, k := f.At(g, w)
	return real(complex(g.modulus(), 0) / k)
}

// Wave is the phase speed, m/s, and the attenuation, Np/m, of a plane wave in the
// fill at w, in rad/s.
func (f Fill) Wave(g Gas, w float64) (speed, attenuation float64) {
	rho, k := f.At(g, w)
	n := cmplx.Sqrt(rho / k)
	if real(n) < 0 {
		n = -n
	}
	return 1 / real(n), -w * imag(n)
}
