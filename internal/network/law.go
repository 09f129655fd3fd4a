package network

import (
	"math"
	"math/cmplx"

	"basswright/internal/phys"
)

// ParallelRL is the impedance of an inductance beside a resistance, the eddy
// current branch L2 ∥ R2 of a voice coil.
type ParallelRL struct {
	L float64 // H
	R float64 // Ω
}

// At returns jωL·R/(R + jωL).
func (p ParallelRL) At(w float64) complex128 {
	x := w * p.L
	d := p.R / (p.R*p.R + x*x)
	return complex(d*x*x, d*p.R*x)
}

// PowerLaw is the impedance K·(jω)^N of a coil over a conducting pole. For
// N = 1/2 it is the law of Vanderkooy 1989; the general exponent is that of
// Leach 2002.
type PowerLaw struct {
	K float64 // Ω at ω = 1 rad/s
	N float64 // 0 to 1
}

// At returns K·(jω)^N.
func (p PowerLaw) At(w float64) complex128 {
	m := p.K * math.Pow(w, p.N)
	s, c := math.Sincos(p.N * math.Pi / 2)
	return complex(m*c, m*s)
}

// Creep is the mechanical admittance 1/(jωC) of a suspension whose compliance
// grows towards low frequencies: C = Cms·(1 − λ·log10(jf/fs)), Knudsen &
// Jensen 1993 in its causal, complex form. With Real set the logarithm is of
// f/fs alone and C is kept above a tenth of Cms.
type Creep struct {
	Cms    float64 // m/N
	Lambda float64
	Ws     float64 // 2π fs, rad/s
	Real   bool
}

// At returns 1/(jωC(ω)).
func (c Creep) At(w float64) complex128 {
	lg := math.Log10(w / c.Ws)
	if c.Real {
		return complex(0, -1/(w*c.Cms*max(1-c.Lambda*lg, 0.1)))
	}
	k := complex(c.Cms*(1-c.Lambda*lg), -c.Cms*c.Lambda*math.Pi/(2*math.Ln10))
	return 1 / (complex(0, w) * k)
}

// SeriesRC is the admittance of a compliance in series with a resistance: a
// chamber with absorption.
type SeriesRC struct {
	R float64
	C float64
}

// At returns jωC/(1 + jωRC).
func (s SeriesRC) At(w float64) complex128 {
	x := w * s.R * s.C
	d := w * s.C / (1 + x*x)
	return complex(d*x, d)
}

// Scaled is a law times a factor.
type Scaled struct {
	Law Law
	By  float64
}

// At returns By·Law.
func (s Scaled) At(w float64) complex128 { return complex(s.By, 0) * s.Law.At(w) }

func finite(z complex128) bool { return !cmplx.IsNaN(z) && !cmplx.IsInf(z) }

// PistonLoad is the radiation impedance of a rigid circular piston in an
// infinite baffle: normal to a half space, exact for all ka (Rayleigh 1896).
// As an acoustic impedance it is ρc/S·load(ka); Less is a mass in kg/m⁴ that
// is already counted elsewhere and is taken off.
type PistonLoad struct {
	Radius float64 // m
	C, Rho float64 // m/s, kg/m³
	Less   float64 // kg/m⁴
	By     float64 // factor, for faces in parallel or in mechanical terms
	Images float64 // factor of the resistance: 2π over the solid angle, the images of a small opening in other walls
}

// At returns By·(ρc/S·load(ωa/c) − jω·Less), its resistance times Images.
func (p PistonLoad) At(w float64) complex128 {
	z := phys.PistonLoad(w * p.Radius / p.C)
	k := p.Rho * p.C / (math.Pi * p.Radius * p.Radius)
	return complex(p.By*p.Images*k*real(z), p.By*(k*imag(z)-w*p.Less))
}
