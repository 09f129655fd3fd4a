package large

import (
	"math"
)

// How near a state lies to the small-signal answer for there to be no other on the
// way to it.
const (
	gentleOff = 0.2  // from the small-signal answer, as a share of the state
	gentleLaw = 0.03 // from the powers of the level that a first departure goes with
)

// rate writes how the state changes with the level, for a relative change of it:
// volts·dy/dvolts, by the derivative that is factored, or by the one of here.
func (t *Tone) rate(volts float64) bool {
	if !t.factored {
		t.residual(volts)
		t.slopesNow()
		if !t.factor() {
			return false
		}
	}
	t.answer(t.tangent, volts)
	t.solve(t.tangent)
	return true
}

// gentle says whether a state can be no other than the one that a rising drive
// leads to, whichever way it was found: it lies near the small-signal answer, and
// still goes on from it as a first departure does: even lines with the square of
// the level, a line n with its power n, and what the fundamental lacks with the
// cube. On a branch that states come back to behind a fold they do not: there is
// none at rest to have come from.
func (t *Tone) gentle(volts float64) bool {
	l := t.ahead
	t.answer(l, volts)
	if !(t.apart(l) <= gentleOff) || !t.rate(volts) {
		return false
	}
	w := len(t.grid.waves)
	for i, y := range t.y {
		switch n := (i%w + 1) / 2; n {
		case 0:
			t.r[i] = y - t.tangent[i]/2
		case 1:
			t.r[i] = y - l[i] - (t.tangent[i]-l[i])/3
		default:
			t.r[i] = y - t.tangent[i]/float64(n)
		}
	}
	return t.share(t.r) <= gentleLaw
}

// share is how large a difference is: the larger of displacements and currents, as
// a share of them. Pressures follow from the displacements, and where cones cancel
// each other in them there is nothing to compare with: they count where there is
// nothing else.
func (t *Tone) share(difference []float64) float64 {
	var off, size [kinds]float64
	w := len(t.grid.waves)
	for p := range t.m.ports {
		k := t.m.ports[p].kind
		for i := p * w; i < (p+1)*w; i++ {
			d := difference[i]
			off[k] += d * d
			size[k] += t.y[i] * t.y[i]
		}
	}
	for i := range t.m.motors {
		m := &t.m.motors[i]
		per := idle * m.law.bl0 * m.Current / (m.law.k0 * m.Ratio)
		for _, y := range t.y[m.i*w : (m.i+1)*w] {
			size[position] += per * per * y * y
		}
	}
	if len(t.m.motors) > 0 {
		off[air], off[eddy] = 0, 0
	}
	worst := 0.0
	for k := range off {
		if off[k] > 0 {
			worst = math.Max(worst, math.Sqrt(off[k]/(size[k]+off[k])))
		}
	}
	return worst
}

// idle is the share of the way that its current would push a cone by which counts
// as movement, so that a cone that is held by another has a size to compare with.
const idle = 0.1

// apart is how far the state is from another, as share has it.
func (t *Tone) apart(other []float64) float64 {
	for i := range t.y {
		t.off[i] = t.y[i] - other[i]
	}
	return t.share(t.off)
}
