package large

import (
	"fmt"
)

// A system of this kind can have several steady states under one sine. The one
// that is meant is the one that it comes to when the sine is turned up from
// nothing. Newton's method from the small-signal answer finds that one where the
// answer is gentle, and else whichever it meets first; so that any other is only
// believed once it has been reached in steps that hold no surprise.

// How states are followed.
const (
	surprise  = 0.02      // distance from where a step was expected to end, as a share of the state
	refined   = 0.1       // distance that more harmonics at the same level may make
	easy      = 0.004     // distance below which the next step is longer
	firstStep = 1. / 4    // of the level
	longStep  = 1. / 2    // of the level at most
	leastStep = 1. / 4096 // of the level, where states end
	near      = 0.05      // change below which the determinant keeps its sign
	gentlest  = 60        // halvings of a level, after which it has no small-signal answer
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
// It does not allocate. The error is a *StateError; the unknown is then the last state
// that was reached.
func (t *Tone) Solve(volts float64) error {
	if len(t.m.ports) == 0 {
		t.volts = volts
		return nil
	}
	from := t.volts
	if from > 0 && volts >= from {
		copy(t.last, t.y)
		if t.expect(volts, from) && t.arrives(volts) {
			return nil
		}
		copy(t.y, t.last)
		if t.factored = false; volts > from {
			return t.follow(from, volts)
		}
		if t.grid.h >= mosts { // from nothing it would take minutes
			return &StateError{t.f, volts, from}
		}
	}
	if t.stroke(volts) {
		return nil
	}
	for at, n := volts/2, 0; n < gentlest; at, n = at/2, n+1 {
		if t.stroke(at) {
			return t.follow(at, volts)
		}
	}
	t.volts = 0
	return &StateError{t.f, volts, 0}
}

// stroke searches from the small-signal answer, and says whether a gentle state
// was found. What lies below it is a parabola through rest.
func (t *Tone) stroke(volts float64) bool {
	t.linear(volts)
	if !t.newton(volts) || !t.sameSide() || !t.gentle(volts) {
		return false
	}
	clear(t.before)
	t.back = volts
	return true
}

// expect puts the unknown where the state at a drive of volts is expected: on the
// parabola through the last two states with the slope of the last, which had fewer
// volts, from. Without one before it, on its tangent.
func (t *Tone) expect(volts, from float64) bool {
	if volts == from {
		copy(t.ahead, t.y)
		return true
	}
	if !t.rate(from) {
		return false
	}
	on := (volts - from) / from
	b := t.back / from
	for i, y := range t.last {
		d := t.tangent[i] * on
		if b > 0 {
			d += (t.before[i] - y + t.tangent[i]*b) * (on / b) * (on / b)
		}
		t.y[i] = y + d
	}
	copy(t.ahead, t.y)
	t.factored = false
	return true
}

// arrives searches from where the state was expected, and says whether it is near
// there or gentle, and not behind a place where states end or part. It goes on
// from the last one then.
func (t *Tone) arrives(volts float64) bool {
	from := t.volts // before the search
	if !t.newton(volts) || !t.sameSide() {
		return false
	}
	t.surprise = t.apart(t.ahead)
	most := surprise
	if volts == from {
		most = refined
	}
	if t.surprise > most && !t.gentle(volts) {
		return false
	}
	if volts > from {
		copy(t.before, t.last)
		t.back = volts - from
	}
	return true
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

// follow goes from the state in the unknown, at a drive of at, up to volts. A step
// whose end is a surprise, or lies on the other side of a place where states end or
// part, is halved; where no step is short enough, the states end there.
func (t *Tone) follow(at, volts float64) error {
	step := at * firstStep
	for at < volts {
		next := at + min(step, at*longStep)
		if next > volts-at*leastStep/2 {
			next = volts
		}
		copy(t.last, t.y)
		t.volts = at
		if !t.expect(next, at) || !t.arrives(next) {
			copy(t.y, t.last)
			t.factored = false
			if step = (next - at) / 2; step < at*leastStep {
				t.volts, t.back = at, 0
				return &StateError{t.f, volts, at}
			}
			continue
		}
		if step = next - at; t.surprise < easy {
			step *= 2
		}
		at = next
	}
	return nil
}
