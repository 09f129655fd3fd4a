package large

import (
	"errors"
	"math"
)

// Standing says how a state came about and whether it lasts.
type Standing struct {
	Lasting Lasting
	Jumped  bool // it is not reached by raising the level gently: the system jumped to it
}

// State finds the steady state that a model is in at a drive of volts that has
// risen from nothing. Where the one that was followed ends or does not last, it is
// the one that the course in time comes to; where that does not repeat itself with
// the sine, it is the one that was followed, and does not last. It does not depend on
// what was asked before. The error is as To's.
func (r *Rise) State(volts float64) (*Tone, Standing, error) {
	if t := r.stroke(volts, shows); t != nil {
		if l := t.Lasting(); l != Unstable {
			return t, Standing{Lasting: l}, nil
		}
	}
	if err := r.climb(volts); err != nil {
		return nil, Standing{}, err
	}
	r.back(r.trunk)
	how := Standing{Lasting: Unstable, Jumped: r.trunk.jumped}
	t, err := r.To(volts)
	var none *StateError
	if err != nil && !errors.As(err, &none) {
		return nil, Standing{}, err
	}
	followed := mark{}
	if err == nil {
		if l := t.Lasting(); l != Unstable && !r.trunk.lost {
			how.Lasting = l
			return t, how, nil
		}
		followed = r.mark(t)
	}
	if to, landed := r.land(r.trunk.volts, volts, shows); landed {
		same := err == nil && len(to.y) == len(followed.y) && to.apart(followed.y) < sameState
		return to, Standing{Jumped: how.Jumped || !same}, nil
	}
	if err == nil {
		return r.back(followed), how, nil
	}
	if t = r.parted(volts); t != nil {
		return t, how, nil
	}
	return nil, how, err
}

// sameState is the distance up to which states are the same, as a share of them: the
// course ends where Newton's method takes over.
const sameState = 1e-6

// parted is the state that is found at one stroke where the ones from below end:
// at a place where states part, as those of what is symmetrical do, one of them
// goes straight on and no longer lasts. It is nil where there is none.
func (r *Rise) parted(volts float64) *Tone {
	for k := 0; ; k++ {
		t, err := r.tone(k)
		if err != nil {
			return nil
		}
		t.linear(volts)
		if t.newton(volts) && t.resolved(shows) {
			r.now = k
			return t
		}
		if t.volts = 0; t.grid.h >= mosts {
			return nil
		}
	}
}

// How the state is found that the course comes to.
const (
	landSteps = 256  // a period: a line is off by (2πn/256)²/12, which is for Newton's method to mend
	landRamp  = 10   // periods in which the sine is turned up
	landCalm  = 3e-4 // change of a period, of the largest, from which Newton's method takes over
	restless  = 0.01 // change of a period beyond which no leak is the cause
	landAgain = 50   // periods to the next try, where that finds no state: past the end of states the course lingers
	landMost  = 300  // periods
	leakRamp  = 400  // and where static pressure leaks away: what one cavity lets go slowly
	leakMost  = 1500 // moves the mean of the cones for long
	landedBy  = 0.05 // distance of the state from what the course came to, as a share of it
	landPush  = 1e-4 // dc beside the sine while it is turned up, of its peak: what is symmetrical would stay so
)

// land takes the state that the course in time comes to, once it has stood at a
// drive of from, and says whether there is one that lasts.
func (r *Rise) land(from, volts, tail float64) (*Tone, bool) {
	c := r.m.turnedUp(r.f, from, volts)
	for c.rests() {
		if t := r.near(r.m.waves(c.last), volts, tail); t != nil && t.Lasting() == Lasts {
			return t, true
		}
		c.calm = -landAgain
	}
	return nil, false
}

// near is the state near what the ports see; nil where there is none.
func (r *Rise) near(waves [][]float64, volts, tail float64) *Tone {
	for k := 0; ; k++ {
		t, err := r.tone(k)
		if err != nil {
			return nil
		}
		for p, y := range waves {
			copy(t.y[p*len(t.grid.waves):(p+1)*len(t.grid.waves)], y)
		}
		t.factored, t.back = false, 0
		copy(t.ahead, t.y)
		if !t.newton(volts) || t.apart(t.ahead) > landedBy {
			t.volts = 0
		} else if t.resolved(tail) {
			r.now, r.volts = k, volts
			return t
		}
		if t.grid.h >= mosts {
			return nil
		}
	}
}

// turning is a course under a sine whose level is turned up.
type turning struct {
	c     *Course
	last  []float64 // what the ports saw in the last period
	volts float64
	ramp  float64 // periods
	push  float64 // V, beside the sine while it is turned
	most  int     // periods to wait at a level
	left  int     // periods that are still waited for
	calm  int     // periods that repeated themselves
	lost  bool    // it cannot go on
}

// turnedUp is the course under a sine that is turned up to from, left there until it
// repeats itself, and turned up to volts.
func (m *Model) turnedUp(f, from, volts float64) *turning {
	t := &turning{last: make([]float64, len(m.ports)*landSteps), ramp: landRamp, most: landMost, push: landPush * volts}
	var err error
	if t.c, err = m.newCourse(1/f/landSteps, max(leakAt, f*leakShare)); err != nil {
		t.lost = true
		return t
	}
	if len(m.closed()) > 0 {
		t.ramp, t.most = leakRamp, leakMost
	}
	if from > 0 && from < volts {
		t.turn(from)
		t.rests()
	}
	t.turn(volts)
	return t
}

// turn turns the level up.
func (t *turning) turn(volts float64) {
	for n := range int(t.ramp) {
		t.period(func(part float64) float64 { return t.volts + (volts-t.volts)*(float64(n)+part)/t.ramp }, t.push)
	}
	t.volts, t.left, t.calm = volts, t.most, 0
}

// rests waits until the course repeats itself, and says whether it does.
func (t *turning) rests() bool {
	for ; t.left > 0 && !t.lost; t.left-- {
		if t.calm > 3 {
			return true
		}
		change := t.period(func(float64) float64 { return t.volts }, 0)
		if t.calm++; change > landCalm {
			t.calm = min(t.calm, 1) - 1
		}
		if change > restless && t.most > landMost {
			t.left -= t.most/landMost - 1
		}
	}
	return false
}

// period goes through one period, and says by how much it changed against the one
// before, as a share of it.
func (t *turning) period(volts func(part float64) float64, push float64) (worst float64) {
	var change, size [kinds]float64
	for k := range landSteps {
		part := float64(k+1) / landSteps
		if t.lost = t.lost || t.c.Step(math.Sqrt2*(volts(part)*math.Sin(2*math.Pi*part)+push)) != nil; t.lost {
			return 1
		}
		for p, v := range t.c.seen {
			kind, l := t.c.m.ports[p].kind, &t.last[p*landSteps+k]
			change[kind], size[kind] = math.Max(change[kind], math.Abs(v-*l)), math.Max(size[kind], math.Abs(v))
			*l = v
		}
	}
	for k := range change {
		if change[k] > 0 {
			worst = math.Max(worst, change[k]/size[k])
		}
	}
	return worst
}

// waves turns a period of each port, of which the first moment is one step after
// its start, into waves.
func (m *Model) waves(of []float64) [][]float64 {
	out := make([][]float64, len(m.ports))
	for p := range out {
		out[p] = make([]float64, 2*mosts+1)
		for k, v := range of[p*landSteps : (p+1)*landSteps] {
			out[p][0] += v / landSteps
			for n := 1; n <= mosts; n++ {
				sin, cos := math.Sincos(2 * math.Pi * float64(n*(k+1)) / landSteps)
				out[p][2*n-1] += 2 / float64(landSteps) * v * cos
				out[p][2*n] -= 2 / float64(landSteps) * v * sin
			}
		}
	}
	return out
}
