package large

import (
	"math"

	"basswright/internal/curve"
	"basswright/internal/driver"
	"basswright/internal/phys"
)

// motorLaw is the remainder of a driver's motor and suspension, equations (1)
// and (2), in the driver's own directions.
type motorLaw struct {
	bl, k, le, l2             *curve.Curve
	bl0, k0, le0, l20         float64 // the driver's values at rest
	perBl, perK, perLe, perL2 float64 // the driver's value at rest over the curve's
	degree                    int     // highest power of x and i together in the force
}

func newMotorLaw(d *driver.Driver) motorLaw {
	l := motorLaw{bl0: d.Bl, k0: 1 / d.Cms, le0: d.Coil.Le, degree: 2}
	rest := func(c *curve.Curve, own float64) float64 {
		v, _, _ := c.At(0)
		l.degree = max(l.degree, c.Degree()+2)
		return own / v
	}
	if l.bl = d.Curves.Bl; l.bl != nil {
		l.perBl = rest(l.bl, l.bl0)
	}
	if l.k = d.Curves.Kms; l.k != nil {
		l.perK = rest(l.k, l.k0)
	}
	if l.le = d.Curves.Le; l.le != nil && l.le0 > 0 {
		l.perLe = rest(l.le, l.le0)
	} else {
		l.le = nil
	}
	if l.l2 = d.Curves.L2; l.l2 != nil && d.Coil.Model == driver.CoilLR2 {
		l.l20 = d.Coil.L2
		l.perL2 = rest(l.l2, l.l20)
		l.degree = max(l.degree, quotient)
	} else {
		l.l2 = nil
	}
	return l
}

// remainder is what a law adds at one moment, with its derivatives.
type remainder struct {
	flux, force                  float64 // Wb, N
	fluxI, fluxX, forceI, forceX float64
}

// at is the remainder at displacement x, m towards the driver's front, and
// current i, A.
func (l *motorLaw) at(x, i float64) (r remainder) {
	if l.bl != nil {
		v, d, _ := l.bl.At(x)
		b := l.perBl*v - l.bl0
		r.flux = l.perBl*l.bl.Integral(x) - l.bl0*x
		r.fluxX = b
		r.force = b * i
		r.forceI = b
		r.forceX = l.perBl * d * i
	}
	if l.le != nil {
		v, d, dd := l.le.At(x)
		e, de, dde := l.perLe*v-l.le0, l.perLe*d, l.perLe*dd
		r.flux += e * i
		r.fluxI = e
		r.fluxX += de * i
		r.force += i * i * de / 2
		r.forceI += i * de
		r.forceX += i * i * dde / 2
	}
	if l.k != nil {
		v, d, _ := l.k.At(x)
		k := l.perK*v - l.k0
		r.force -= k * x
		r.forceX -= k + l.perK*d*x
	}
	return r
}

// airLaw is the remainder of a chamber's spring, equation (3).
type airLaw struct {
	volume, compliance float64 // m³, m³/Pa
	static             float64 // Pa, P₀ = ρc²/γ
}

// thinnest is the share of the static pressure below which the law goes on
// straight: no air is that thin, and the search for a steady state may pass
// through there.
const thinnest = 0.02

// airSeries are the coefficients of Q/(C·P₀) in powers of p/P₀, from the second.
// Where the powers suffice, they keep the digits that the difference to C·p
// would lose.
var airSeries = [...]float64{a2, a3, a4, a5, a6, a7, a8, a9}

const (
	inverse = 1 / phys.Gamma
	a2      = -(inverse + 1) / 2
	a3      = -a2 * (inverse + 2) / 3
	a4      = -a3 * (inverse + 3) / 4
	a5      = -a4 * (inverse + 4) / 5
	a6      = -a5 * (inverse + 5) / 6
	a7      = -a6 * (inverse + 6) / 7
	a8      = -a7 * (inverse + 7) / 8
	a9      = -a8 * (inverse + 8) / 9
)

// seriesTo is how far the series holds: its next term is below 1e-14 of the sum.
const seriesTo = 0.02

// at is the volume that is put in at pressure p, and its derivative.
func (a airLaw) at(p float64) (v, d float64) {
	e := p / a.static
	if math.Abs(e) < seriesTo {
		for k := len(airSeries) - 1; k >= 0; k-- {
			v = v*e + airSeries[k]
			d = d*e + float64(k+2)*airSeries[k]
		}
		return -a.compliance * p * e * v, -a.compliance * e * d
	}
	u := 1 + e
	beyond := 0.0
	if u < thinnest {
		beyond, u = (u-thinnest)*a.static, thinnest
	}
	t := math.Pow(u, -1/phys.Gamma)
	slope := a.compliance * t / u
	q := a.volume*(1-t) + beyond*slope
	return a.compliance*p - q, a.compliance - slope
}

// at is the remainder of a motor in the network's directions and scale, at
// displacement x of its node and linkage i.
func (m *motorPart) at(x, i float64) (r remainder) {
	f := float64(m.Facing)
	g := f * m.Ratio
	return m.scaled(m.law.at(g*x, f*m.Current*i))
}

// scaled brings a driver's remainder into the network's directions and scale.
func (m *motorPart) scaled(u remainder) remainder {
	f := float64(m.Facing)
	both := m.Times * m.Ratio * m.Current // = Voltage·Ratio
	return remainder{
		flux:   m.Voltage * f * u.flux,
		force:  m.Times * f * m.Ratio * u.force,
		fluxI:  m.Voltage * m.Current * u.fluxI,
		fluxX:  m.Voltage * m.Ratio * u.fluxX,
		forceI: both * u.forceI,
		forceX: m.Times * m.Ratio * m.Ratio * u.forceX,
	}
}
