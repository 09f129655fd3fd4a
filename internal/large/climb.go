package large

import (
	"errors"
	"math"
)

// What is told of a level must not depend on which others are asked for. So there is
// one way up at each frequency, over rungs that are the same for every question:
// each is reached from the one below, and has to last, or what the course in time
// comes to from there takes its place. What is asked for branches off from the
// highest rung below it.

// How the way up is cut.
const (
	rungs    = 4    // to a doubling of the level
	lowering = 2    // rungs at once, down to where the way up may begin
	deepest  = 120  // rungs down, after which there is no beginning
	coarse   = 1e-3 // tail of harmonics that does not tell states apart
)

func rung(k int) float64 { return math.Exp2(float64(k) / rungs) }

// mark is a state to go on from.
type mark struct {
	volts  float64 // V rms; 0: at rest
	now    int     // which tone
	y      []float64
	rung   int
	jumped bool // on the way
	lost   bool // above it nothing lasts that could be followed
}

// mark remembers the state of a tone, which is the one in use.
func (r *Rise) mark(t *Tone) mark {
	return mark{volts: t.volts, now: r.now, y: append([]float64(nil), t.y...)}
}

// back goes back to a mark.
func (r *Rise) back(to mark) *Tone {
	for _, t := range r.tones {
		t.volts, t.factored, t.back = 0, false, 0
	}
	r.now, r.volts = to.now, to.volts
	if to.volts == 0 {
		return nil
	}
	t := r.tones[to.now]
	copy(t.y, to.y)
	t.volts = to.volts
	t.evaluate() // what is read off it follows from the sources
	return t
}

// stroke is the gentle state at a drive of volts, which is found from the
// small-signal answer; nil where it is not gentle.
func (r *Rise) stroke(volts, tail float64) *Tone {
	r.back(mark{})
	for r.volts = volts; ; r.now++ {
		t, err := r.tone(r.now)
		if err != nil {
			return nil
		}
		if len(t.m.ports) == 0 {
			t.volts = volts
			return t
		}
		if !t.stroke(volts) {
			return nil
		}
		if t.resolved(tail) {
			return t
		}
	}
}

// climb goes up to the highest rung that is not above volts. Without any that is
// gentle it stays at rest. The error is a *network.SingularError.
func (r *Rise) climb(volts float64) error {
	top := int(math.Floor(rungs*math.Log2(volts) + 1e-9))
	if r.trunk.volts > 0 && top < r.trunk.rung {
		r.trunk = mark{}
	}
	for k := top; r.trunk.volts == 0; k -= lowering {
		if k < top-deepest {
			return nil
		}
		if t := r.stroke(rung(k), coarse); t != nil && t.Lasting() != Unstable {
			r.trunk = r.mark(t)
			r.trunk.rung = k
		}
	}
	for !r.trunk.lost && r.trunk.rung < top {
		if err := r.up(); err != nil {
			return err
		}
	}
	return nil
}

// up goes up by one rung, or finds that nothing above lasts.
func (r *Rise) up() error {
	k, jumped := r.trunk.rung+1, r.trunk.jumped
	r.back(r.trunk)
	t, err := r.reach(rung(k), coarse)
	var none *StateError
	if err != nil && !errors.As(err, &none) {
		return err
	}
	if err != nil || t.Lasting() == Unstable {
		var landed bool
		if t, landed = r.land(r.trunk.volts, rung(k), coarse); !landed {
			r.trunk.lost = true
			return nil
		}
		jumped = true
	}
	r.trunk = r.mark(t)
	r.trunk.rung, r.trunk.jumped = k, jumped
	return nil
}
