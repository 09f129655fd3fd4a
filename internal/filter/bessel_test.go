package filter

import (
	"math"
	"math/big"
	"math/cmplx"
	"testing"

	"basswright/internal/check"
)

const bits = 300

func exact(v float64) *big.Float { return new(big.Float).SetPrec(bits).SetFloat64(v) }

// A point is a complex number of 300 bits.
type point struct{ re, im *big.Float }

func (a point) times(b point) point {
	mul := func(x, y *big.Float) *big.Float { return new(big.Float).SetPrec(bits).Mul(x, y) }
	return point{
		new(big.Float).SetPrec(bits).Sub(mul(a.re, b.re), mul(a.im, b.im)),
		new(big.Float).SetPrec(bits).Add(mul(a.re, b.im), mul(a.im, b.re)),
	}
}

func (a point) plus(b *big.Float) point {
	return point{new(big.Float).SetPrec(bits).Add(a.re, b), a.im}
}

func (a point) float() complex128 {
	re, _ := a.re.Float64()
	im, _ := a.im.Float64()
	return complex(re, im)
}

// reverseBessel are the coefficients of θn, ascending: whole numbers.
func reverseBessel(n int) []*big.Float {
	var out []*big.Float
	for k := range n + 1 {
		above := new(big.Int).MulRange(1, int64(2*n-k))
		below := new(big.Int).MulRange(1, int64(k))
		below.Mul(below, new(big.Int).MulRange(1, int64(n-k)))
		below.Lsh(below, uint(n-k))
		out = append(out, new(big.Float).SetPrec(bits).SetInt(above.Quo(above, below)))
	}
	return out
}

// at is a polynomial and its slope at a point.
func at(c []*big.Float, x point) (value, slope point) {
	value, slope = point{exact(0), exact(0)}, point{exact(0), exact(0)}
	for k := len(c) - 1; k >= 0; k-- {
		slope = slope.times(x)
		slope = point{new(big.Float).Add(slope.re, value.re), new(big.Float).Add(slope.im, value.im)}
		value = value.times(x).plus(c[k])
	}
	return value, slope
}

// The frequencies and Q of the table are the zeros of the polynomials: what is
// missing is the rounding of the table to 64 bits, 1.1e-16 of w and of Q; the
// latter turns the pole by 1/√(4Q² − 1) as much.
func TestBesselPolesAreZeros(t *testing.T) {
	for n := 1; n <= maxOrder; n++ {
		c := reverseBessel(n)
		zeros := 0
		for _, p := range besselPoles[n-1] {
			x := point{new(big.Float).Neg(exact(p.w)), exact(0)}
			zeros++
			if p.q != 0 {
				zeros++
				x.re = new(big.Float).Quo(x.re, new(big.Float).Mul(exact(2), exact(p.q)))
				square := new(big.Float).Sub(new(big.Float).Mul(exact(p.w), exact(p.w)), new(big.Float).Mul(x.re, x.re))
				x.im = new(big.Float).Sqrt(square)
			}
			value, slope := at(c, x)
			away := cmplx.Abs(value.float()/slope.float()) / p.w
			may := 1.2e-16
			if p.q != 0 {
				may += 1.2e-16 / math.Sqrt(4*p.q*p.q-1)
			}
			check.Near(t, "distance to the zero", away, 0, may, "rounding of w and Q")
		}
		if zeros != n {
			t.Errorf("order %d has %d poles", n, zeros)
		}
		// half the power: |θ(jw)|² = 2·θ(0)², whose logarithm has a slope of at most 2n
		value, _ := at(c, point{exact(0), exact(besselCorner[n-1])})
		power := value.times(point{value.re, new(big.Float).Neg(value.im)}).re
		ratio, _ := power.Quo(power, new(big.Float).Mul(c[0], c[0])).Float64()
		check.Near(t, "power at the corner", ratio, 2, 2*float64(2*n)*1.2e-16+2.3e-16, "rounding of the table's frequency")
	}
}

// groupDelay is −dφ/dω in s.
func groupDelay(c Chain, f float64) float64 {
	step := f * 1e-4
	turn := cmplx.Phase(c.At(hz(f+step)) / c.At(hz(f-step)))
	return -turn / hz(2*step)
}

// The low-pass has the delay that its name says, flat to the order 2n in
// frequency: with u = f/corner it is 1 − u²ⁿ·|H|²/θn(0)² (Storch 1954, from
// memory).
func TestBesselDelay(t *testing.T) {
	for order := 1; order <= maxOrder; order++ {
		c := must(t)(LowPass(BesselDelay, order, 50))
		theta0, _ := reverseBessel(order)[0].Float64()
		for u := 0.001; u < 8; u *= 1.5 {
			power := math.Pow(cmplx.Abs(c.At(hz(50*u)))/theta0*math.Pow(u, float64(order)), 2)
			check.Near(t, "delay over 1/(2π·corner)", groupDelay(c, 50*u)*hz(50), 1-power, 1e-6, "the difference quotient: its step is 1e-4 of f")
		}
		// the other normalisation is the same filter at another corner
		same := must(t)(LowPass(Bessel, order, 50*besselCorner[order-1]))
		for f := 0.1; f < 1e5; f *= 1.7 {
			a, b := c.At(hz(f)), same.At(hz(f))
			check.Near(t, "distance of the normalisations", cmplx.Abs(a-b)/cmplx.Abs(a), 0, 1e-14, "rounding")
		}
	}
	if math.Abs(groupDelay(must(t)(LowPass(Butterworth, 8, 50)), 50)*hz(50)-1) < 1 {
		t.Error("a Butterworth filter passes for a Bessel filter")
	}
}
