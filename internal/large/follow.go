package large

import (
	"fmt"
	"math"
)

// A system of this kind can have several steady states under one sine. The one
// that is meant is the one that it comes to when the sine is turned up from
// nothing. Newton's method from the small-signal answer finds that one where the
// answer is not far away, and else whichever it meets first; so that a state that
// lies far from where it was expected is only believed once it has been reached
// in steps that hold no surprise.

// How states are followed.
const (
	expected  = 0.3    // change against what was expected that one step may bring, as a share of the state
	firstStep = 1. / 4 // of the way
	leastStep = 1. / 4096
	easy      = 0.06 // change below which the next step is longer
	near      = 0.05 // change below which the determinant keeps its sign
)

// StateError says that no steady state was found.
type StateError struct {
	Frequency, Volts float64 // Hz, V rms
	Reached          float64 // V rms up to which states were followed
}

// Error says it in words.
func (e *StateError) Error() string {
	followed := ""
	if e.Reached > 0 {
		followed = fmt.Sprintf(" (states were followed up to %.4g V)", e.Reached)
	}
	return fmt.Sprintf("no steady state was found at %.4g Hz and %.4g V: cone or air is far beyond what is known of it there%s; ask for less voltage", e.Frequency, e.Volts, followed)
}

// Solve finds the steady state at a drive of volts, in V rms at the source, that
// is reached from below: from the state of the last call if that had fewer volts.
// It does not allocate. The error is a *StateError.
func (t *Tone) Solve(volts float64) error {
	if len(t.m.ports) == 0 {
		t.volts = volts
		return nil
	}
	if from := t.volts; from > 0 && volts >= from {
		copy(t.before, t.y)
		t.grow(volts / from)
		if t.arrives(volts, expected) && t.sameSide() {
			return nil
		}
		copy(t.y, t.before)
		return t.follow(from, volts)
	}
	t.linear(volts)
	if t.arrives(volts, expected) && t.sameSide() {
		return nil
	}
	return t.follow(0, volts)
}

// grow scales the state to where it is expected at a larger drive: what is even in
// the level goes with its square.
func (t *Tone) grow(by float64) {
	w := len(t.grid.waves)
	for i := range t.y {
		if n := (i%w + 1) / 2; n%2 == 0 {
			t.y[i] *= by * by
		} else {
			t.y[i] *= by
		}
	}
	t.factored = t.factored && by == 1
}

// arrives searches from where the unknown is, and says whether a state was found
// that lies no further away than a share of it.
func (t *Tone) arrives(volts, share float64) bool {
	copy(t.ahead, t.y)
	return t.newton(volts) && t.apart(t.ahead) <= share
}

// sameSide says whether the state can be one that was reached from below: on the
// way there the determinant of the derivative, which is 1 at rest, passes 0 where
// states end or part. Near the last factorization it has the sign that it had there.
func (t *Tone) sameSide() bool {
	if !t.factored || t.apart(t.anchor) > near {
		t.slopesNow()
		if !t.factor() {
			return false
		}
	}
	return t.sign() > 0
}

// sign is that of the determinant of the factored derivative.
func (t *Tone) sign() int {
	s := 1
	for i, p := range t.pivots {
		if p != i {
			s = -s
		}
		if t.jac.Data[i*t.jac.Stride+i] < 0 {
			s = -s
		}
	}
	return s
}

// idle is the share of the way that its current would push a cone by which counts
// as movement, so that a cone that is held by another has a size to compare with.
const idle = 0.1

// apart is how far the state is from another: the larger of displacements and
// currents, as a share of them. Pressures follow from the displacements, and where
// cones cancel each other in them there is nothing to compare with: they count
// where there is nothing else.
func (t *Tone) apart(other []float64) float64 {
	var off, size [kinds]float64
	w := len(t.grid.waves)
	for p := range t.m.ports {
		k := t.m.ports[p].kind
		for i := p * w; i < (p+1)*w; i++ {
			d := t.y[i] - other[i]
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

// follow goes from the state in the unknown, at a drive of at (0: at rest), up to
// volts. Each state is expected on the line through the last two, and a step
// whose end lies elsewhere, or on the other side of a place where states end or
// part, is halved; where no step is short enough, the states end there.
func (t *Tone) follow(at, volts float64) error {
	span, back := volts-at, 0.0 // back: how far below the one before lies; 0: there is none
	step := span * firstStep
	last := t.last
	copy(last, t.y)
	for at < volts {
		next := at + step
		if next > volts-span*leastStep/2 {
			next = volts
		}
		switch {
		case at == 0:
			t.linear(next)
		case back == 0:
			copy(t.y, last)
			t.grow(next / at)
		default:
			for i := range t.y {
				t.y[i] = last[i] + (last[i]-t.before[i])*(next-at)/back
			}
			t.factored = false
		}
		if !t.arrives(next, expected) || !t.sameSide() {
			if step = (next - at) / 2; step < span*leastStep {
				t.volts = 0
				return &StateError{t.f, volts, at}
			}
			continue
		}
		if t.apart(t.ahead) < easy {
			step *= 2
		}
		copy(t.before, last)
		copy(last, t.y)
		if back = next - at; at == 0 {
			back = 0
		}
		at = next
	}
	return nil
}
