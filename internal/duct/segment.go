package duct

import (
	"math"
	"math/cmplx"
)

// Chain is a two-port by what happens at its ends: p1 = A·p2 + B·U2 and
// U1 = C·p2 + D·U2, each times e^Log. AD − BC = e^(−2·Log).
type Chain struct {
	A, B, C, D complex128
	Log        float64 // so that no fill, however long, leaves the range of numbers
}

// times is the chain of this two-port and, behind it, that of another.
func (m *Chain) times(n *Chain) {
	m.A, m.B, m.C, m.D = m.A*n.A+m.B*n.C, m.A*n.B+m.B*n.D, m.C*n.A+m.D*n.C, m.C*n.B+m.D*n.D
	m.Log += n.Log
}

// A segment is a part of a duct in which (√S)″ = κ²·√S and the air is of one kind.
//
// Its four numbers are entire functions of δ = k²L², so that no resonance and no
// low frequency is special. With z = δ − κ²L², c = cos √z and s = sin √z/√z, and
// with c0 and s0 those of δ = 0,
//
//	A = (r2·c − L·d2·s)/r1            B = jωρ·L·s/(r1·r2)
//	D = (r1·c + L·d1·s)/r2            C = jω/K·L·(r1·r2·(z·Q + s0) + L²·d1·d2·Q + L·(r1·d2 − d1·r2)·P)
//
// where r is √S at the ends, d its slope, P = (c − c0)/δ and Q = (s − s0)/δ. In this
// form C does not cancel where it is small.
type segment struct {
	air     int32 // which of the duct’s kinds of air
	mass    bool  // an inertance: the air in it does not give
	length  float64
	z0      float64 // −κ²L²
	c0, s0  float64
	a1, a2  float64 // A = a1·c + a2·s
	d1, d2  float64 // D = d1·c + d2·s
	b       float64 // B = jωρ·b·s
	k0      float64 // C = jω/K·(k0 + (kz·z + kq)·Q + kp·P)
	kz      float64
	kq, kp  float64
	p, q    [terms]float64 // power series of P and Q in δ
	squared float64        // L²
	shiftZ  float64        // how the loss of the walls leans to one end: see lean
	shiftY  float64
	steep   bool // it widens too much in its length for its loss to lean
}

// terms are enough for a rounding error where |δ| ≤ seriesReach.
const (
	terms       = 12
	seriesReach = 4.0
)

// newSegment makes one from the ends of √S, its slopes there, and κ².
func newSegment(length, r1, r2, d1, d2, kk float64) segment {
	g := segment{length: length, squared: length * length, z0: -kk * length * length}
	g.c0, g.s0 = family(kk, length)
	g.s0 /= length
	g.a1, g.a2 = r2/r1, -length*d2/r1
	g.d1, g.d2 = r1/r2, length*d1/r2
	g.b = length / (r1 * r2)
	g.k0 = length * r1 * r2 * g.s0
	g.kz = length * r1 * r2
	g.kq = length * length * length * d1 * d2
	g.kp = length * length * (r1*d2 - d1*r2)
	g.p, g.q = series(g.z0)
	return g
}

// series are the Taylor series about z0 of (cos √z − cos √z0)/δ and of
// (sinc √z − sinc √z0)/δ, δ = z − z0, summed from those about 0; sinc √z is −2 times
// the derivative of cos √z. Nothing cancels for z0 ≤ 0, which most segments have.
func series(z0 float64) (p, q [terms]float64) {
	var c [terms + 2]float64
	for n := range c {
		// Σ over m ≥ n of binomial(m, n)·(−1)^m/(2m)!·z0^(m−n)
		term := 1.0
		for i := 1; i <= 2*n; i++ {
			term /= float64(i)
		}
		if n%2 == 1 {
			term = -term
		}
		for m := n; m < n+200; m++ {
			c[n] += term
			i := float64(m + 1)
			next := -term * z0 * i / ((i - float64(n)) * (2*i - 1) * 2 * i)
			if term = next; math.Abs(term) < 1e-18*math.Abs(c[n]) {
				break
			}
		}
	}
	for n := range terms {
		p[n] = c[n+1]
		q[n] = -2 * float64(n+2) * c[n+2]
	}
	return p, q
}

// chain writes the segment’s two-port at w for air of density rho and modulus k;
// free is that air without loss.
func (g *segment) chain(w float64, rho, k complex128, free *Gas, m *Chain) {
	jwr := complex(-w*imag(rho), w*real(rho))
	if g.mass {
		*m = Chain{A: 1, B: scale(jwr, g.b), D: 1}
		return
	}
	yk := over(1, k)
	square := rho * yk // k²/ω²
	f := w * w * g.squared
	x, y := f*real(square), f*imag(square)
	var c, s, p, q complex128
	log := 0.0
	if n := x*x + y*y; n <= seriesReach*seriesReach {
		p, q = g.sums(x, y, n)
		d := complex(x, y)
		c, s = complex(g.c0, 0)+d*p, complex(g.s0, 0)+d*q
	} else {
		c, s, log = waves(complex(x+g.z0, y))
		less := 1.0
		if log > 0 {
			less = math.Exp(-log)
		}
		i := over(1, complex(x, y))
		p, q = (c-complex(g.c0*less, 0))*i, (s-complex(g.s0*less, 0))*i
	}
	m.Log = log
	m.A = complex(g.a1*real(c)+g.a2*real(s), g.a1*imag(c)+g.a2*imag(s))
	m.D = complex(g.d1*real(c)+g.d2*real(s), g.d1*imag(c)+g.d2*imag(s))
	m.B = jwr * scale(s, g.b)
	k0 := g.k0
	if log > 0 {
		k0 *= math.Exp(-log)
	}
	t := complex(g.kz*(x+g.z0)+g.kq, g.kz*y)*q + complex(k0+g.kp*real(p), g.kp*imag(p))
	m.C = complex(-w*imag(yk), w*real(yk)) * t
	if g.shiftZ != 0 || g.shiftY != 0 {
		y := yk - complex(1/free.modulus(), 0)
		m.lean(complex(-w*imag(rho)*g.shiftZ, w*(real(rho)-free.Rho)*g.shiftZ), complex(-w*imag(y)*g.shiftY, w*real(y)*g.shiftY))
	}
}

// lean moves some of the loss of a segment from its end to its start: an impedance
// e in series and an admittance f across, added there and taken off at the end. The
// mean of the loss stays and its first moment becomes that of the walls, so that
// the error goes with the fourth power of the length instead of the second.
func (m *Chain) lean(e, f complex128) {
	m.C += f * m.A
	m.D += f * m.B
	m.A += e * m.C
	m.B += e * m.D
	m.A -= f * m.B
	m.C -= f * m.D
	m.B -= e * m.A
	m.D -= e * m.C
}

func scale(z complex128, by float64) complex128 { return complex(by*real(z), by*imag(z)) }

// sums adds up the two series at δ = x + jy, n = |δ|², with as many terms as the
// size of δ needs. A polynomial with real coefficients takes two products a term
// (Knuth, The Art of Computer Programming 2, 4.6.4).
func (g *segment) sums(x, y, n float64) (p, q complex128) {
	top := terms - 1
	switch {
	case n <= 1.0/256:
		top = 5
	case n <= 1:
		top = 8
	}
	u := 2 * x
	p1, p2, q1, q2 := g.p[top], 0.0, g.q[top], 0.0
	for i := top - 1; i >= 1; i-- {
		p1, p2 = g.p[i]+u*p1-n*p2, p1
		q1, q2 = g.q[i]+u*q1-n*q2, q1
	}
	return complex(g.p[0]+x*p1-n*p2, y*p1), complex(g.q[0]+x*q1-n*q2, y*q1)
}

// growth is the attenuation, in nepers, above which the waves are written without
// their growth.
const growth = 40.0

// waves is cos √z and sin √z/√z, each over e^log.
func waves(z complex128) (c, s complex128, log float64) {
	t := cmplx.Sqrt(z)
	u, v := real(t), imag(t)
	sin, cos := math.Sincos(u)
	var ch, sh float64
	if a := math.Abs(v); a > growth {
		log, ch, sh = a, 0.5, math.Copysign(0.5, v) // e^(−2·growth) is far below rounding
	} else if a > 0.5 {
		e := math.Exp(v)
		ch, sh = (e+1/e)/2, (e-1/e)/2
	} else {
		w := v * v
		sh = v * (1 + w/6*(1+w/20*(1+w/42*(1+w/72*(1+w/110*(1+w/156))))))
		ch = math.Sqrt(1 + sh*sh)
	}
	c = complex(cos*ch, -sin*sh)
	if m := real(z)*real(z) + imag(z)*imag(z); m < 1e-16 {
		return c, 1 - z/6, log
	}
	return c, complex(sin*ch, cos*sh) * over(1, t), log
}
