package enclosure

import (
	"fmt"
	"math"
)

// Alignments choose a vented box's volume and tuning so that the response has
// a named shape. With leakage as the only loss and no inductance, the response
// is s⁴/(s⁴ + a1 s³ + a2 s² + a3 s + 1), s in units of 2π√(fb·fs), with
// h = fb/fs and α = Vas/V (Small 1973, appendix 1):
//
//	a1 = (QL + h·QT)/(√h·QL·QT)
//	a2 = (h + (α + 1 + h²)·QL·QT)/(h·QL·QT)
//	a3 = (h·QL + QT)/(√h·QL·QT)
//
// They size the box and nothing else: the response is the network's.
type alignment struct {
	h, alpha float64
	ripple   float64 // dB
}

// b4Agreement is how near a group's Qts must come to the one Qts that has a
// fourth-order Butterworth alignment: sheets give Qts to about 1 %.
const b4Agreement = 0.02

// c4Rounding is what float64 leaves of a Qts, or a coefficient, where C4 ends at
// B4 (k = 1).
const c4Rounding = 1e-9

// align fills in volume and tuning.
func (b *builder) align() error {
	s := &b.Spec
	if s.Rear.Volume > 0 || s.Rear.Tuning > 0 || s.Rear.Port.Length > 0 {
		return fault("alignment", "leave out either the alignment or the volume, the tuning and the port’s length", "an alignment chooses volume and tuning itself")
	}
	c, err := b.equivalent("alignment", "give volume and tuning", "an alignment")
	if err != nil {
		return err
	}
	rg := b.SizingSource()
	qes := c.Qes() * (c.Re + rg) / c.Re
	qt := qes * c.Qms() / (qes + c.Qms())
	ql := math.Inf(1)
	if l := s.Rear.Losses.Leakage; l.State == LossGiven {
		ql = l.Q
	}
	a, err := alignFamily(s.Alignment, qt, ql)
	if err != nil {
		return err
	}
	s.Rear.Volume = c.Vas(b.Setting.Air) / a.alpha
	s.Rear.Tuning = c.Fs() * a.h
	return nil
}

func alignFamily(want Alignment, qt, ql float64) (alignment, error) {
	qb := b4Qt(ql)
	switch want.Family {
	case "b4":
		if math.Abs(qt/qb-1) > b4Agreement {
			other := "qb3"
			if qt > qb {
				other = "c4"
			}
			return alignment{}, fault("alignment", "choose family: "+other, "b4 needs a Qts of %.3f and this group has %.3f", qb, qt)
		}
		return alignment{h: 1, alpha: alphaOf(2+math.Sqrt2, 1, qt, ql)}.sane(want.Family)
	case "qb3":
		if qt > qb*(1+b4Agreement) {
			return alignment{}, fault("alignment", "choose family: c4", "qb3 needs a Qts below %.3f and this group has %.3f", qb, qt)
		}
		return qb3(qt, ql).sane(want.Family)
	case "c4":
		if qt < qb*(1-c4Rounding) { // below it the family ends: k would be above 1
			other := "qb3"
			if qt > qb*(1-b4Agreement) {
				other = "b4"
			}
			return alignment{}, fault("alignment", "choose family: "+other, "c4 needs a Qts of %.4f or more and this group has %.4f", qb, qt)
		}
		a, ok := c4(qt, ql)
		if !ok {
			return alignment{}, fault("alignment", "give volume and tuning", "a Qts of %.3f is too high for a c4 alignment with a leakage Q of %.3g", qt, ql)
		}
		if want.Ripple > 0 && a.ripple > want.Ripple {
			return alignment{}, fault("alignment.ripple", fmt.Sprintf("allow %.2f dB, or take a group with a lower Qts", a.ripple+0.005), "with a Qts of %.3f the ripple is %.2f dB, more than the %.2f dB allowed", qt, a.ripple, want.Ripple)
		}
		return a.sane(want.Family)
	}
	return alignment{}, fault("alignment.family", "choose b4, qb3 or c4", "no family of alignments is called %q", want.Family)
}

// b4Qt is the Qts of the Butterworth alignment: h = 1, 1/QT = √(4+2√2) − 1/QL.
func b4Qt(ql float64) float64 { return 1 / (math.Sqrt(4+2*math.Sqrt2) - 1/ql) }

func coefficients13(h, qt, ql float64) (a1, a3 float64) {
	r := math.Sqrt(h)
	return (1/qt + h/ql) / r, (h/qt + 1/ql) / r
}

// alphaOf solves a2 for α.
func alphaOf(a2, h, qt, ql float64) float64 { return h*a2 - h/(ql*qt) - 1 - h*h }

// qb3 solves a1² = 2·a2 and a2² + 2 = 2·a1·a3.
func qb3(qt, ql float64) alignment {
	f := func(h float64) float64 {
		a1, a3 := coefficients13(h, qt, ql)
		a2 := a1 * a1 / 2
		return a2*a2 + 2 - 2*a1*a3
	}
	// f falls with h: at small h the first term rules, at large h the last
	h := bisect(f, 0.3, 20)
	a1, _ := coefficients13(h, qt, ql)
	return alignment{h: h, alpha: alphaOf(a1*a1/2, h, qt, ql)}
}

// c4 finds the Chebyshev parameter k, 0 < k ≤ 1, whose polynomial has this QT.
func c4(qt, ql float64) (alignment, bool) {
	at := func(k float64) (h, a1, a2, a3 float64) {
		k2 := k * k
		d := (k2*k2 + 6*k2 + 1) / 8
		rd := math.Sqrt(d)
		a3 = k * math.Sqrt(4+2*math.Sqrt2) / math.Sqrt(rd)
		a2 = (1 + k2*(1+math.Sqrt2)) / rd
		a1 = a3 / rd * (1 - (1-k2)/(2*math.Sqrt2))
		r := a3 / a1 // = (h/QT + 1/QL)/(1/QT + h/QL)
		return (r/qt - 1/ql) / (1/qt - r/ql), a1, a2, a3
	}
	f := func(k float64) float64 {
		h, a1, _, _ := at(k)
		if h <= 0 {
			return math.Inf(1)
		}
		got, _ := coefficients13(h, qt, ql)
		return got - a1
	}
	const least = 0.15 // ripple above 30 dB: no alignment any more
	if f(least)*f(1) > 0 && math.Abs(f(1)) > c4Rounding {
		return alignment{}, false
	}
	k := bisect(f, least, 1)
	h, _, a2, _ := at(k)
	a := alignment{h: h, alpha: alphaOf(a2, h, qt, ql)}
	if k < 1 {
		e := 1 / math.Sinh(4*math.Atanh(k)) // k = tanh(asinh(1/ε)/4)
		a.ripple = 10 * math.Log10(1+e*e)
	}
	return a, a.h > 0 && a.alpha > 0
}

// bisect finds a sign change of f between lo and hi.
func bisect(f func(float64) float64, lo, hi float64) float64 {
	up := f(hi) > f(lo)
	for range 200 {
		mid := (lo + hi) / 2
		if (f(mid) > 0) == up {
			hi = mid
		} else {
			lo = mid
		}
	}
	return (lo + hi) / 2
}

func (a alignment) sane(family string) (alignment, error) {
	if !(a.h > 0.1 && a.h < 20 && a.alpha > 0) {
		return a, fault("alignment", "give volume and tuning", "no %s alignment fits this group’s Qts and the box’s leakage", family)
	}
	return a, nil
}
