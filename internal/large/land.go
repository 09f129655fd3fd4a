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
// the sine, it is the one that was followed, and does not last. The error is as
// To's.
func (r *Rise) State(volts float64) (*Tone, Standing, error) {
	if volts < r.volts {
		r.jumped = false
	}
	t, err := r.To(volts)
	var none *StateError
	if err != nil && !errors.As(err, &none) {
		return nil, Standing{}, err
	}
	how := Standing{Lasting: Unstable, Jumped: r.jumped}
	if err == nil {
		if how.Lasting = t.Lasting(); how.Lasting != Unstable {
			return t, how, nil
		}
	}
	other := r.m.Rise(r.f)
	if to, landed := other.land(volts); landed {
		other.volts, other.jumped = volts, true
		*r = *other
		return to, Standing{Jumped: true}, nil
	}
	if err == nil {
		return t, how, nil
	}
	if t = r.parted(volts); t != nil {
		return t, how, nil
	}
	return nil, how, err
}

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
		if t.newton(volts) && (t.tail() < shows || t.grid.h >= mosts) {
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
	landCalm  = 1e-4 // change of a period, of the largest, from which Newton's method takes over
	landMost  = 250  // periods
	landPush  = 1e-3 // dc beside the sine while it is turned up, of its peak: what is symmetrical would stay so
	landLeak  = 12   // s at least where the static pressure leaks away
)

// land takes the state that the course in time comes to, and says whether there is
// one that lasts.
func (r *Rise) land(volts float64) (*Tone, bool) {
	waves := r.m.comesTo(r.f, volts)
	if waves == nil {
		return nil, false
	}
	for k := 0; ; k++ {
		t, err := r.tone(k)
		if err != nil {
			return nil, false
		}
		for p, y := range waves {
			copy(t.y[p*len(t.grid.waves):(p+1)*len(t.grid.waves)], y)
		}
		t.factored = false
		if !t.arrives(volts, expected) {
			t.volts = 0
		} else if t.tail() < shows || t.grid.h >= mosts {
			r.now = k
			return t, t.Lasting() == Lasts
		}
		if t.grid.h >= mosts {
			return nil, false
		}
	}
}

// comesTo follows the model under a sine that is turned up until it repeats itself,
// and returns what the ports see, as waves; nil where it does not, or has no course.
func (m *Model) comesTo(f, volts float64) [][]float64 {
	c, err := m.NewCourse(1 / f / landSteps)
	if err != nil {
		return nil
	}
	most := landMost
	if len(m.closed()) > 0 {
		most = max(most, int(landLeak*f))
	}
	ports := len(m.ports)
	last := make([]float64, ports*landSteps)
	var size [kinds]float64
	calm := 0
	for period := range most {
		var change [kinds]float64
		clear(size[:])
		for k := range landSteps {
			at := float64(period) + float64(k+1)/landSteps
			drive := math.Min(1, at/landRamp) * math.Sin(2*math.Pi*float64(k+1)/landSteps)
			if period < landRamp {
				drive += landPush
			}
			if c.Step(math.Sqrt2*volts*drive) != nil {
				return nil
			}
			for p, v := range c.seen {
				kind, l := m.ports[p].kind, &last[p*landSteps+k]
				change[kind], size[kind] = math.Max(change[kind], math.Abs(v-*l)), math.Max(size[kind], math.Abs(v))
				*l = v
			}
		}
		calm++
		for k := range change {
			if change[k] > landCalm*size[k] {
				calm = 0
			}
		}
		if period > landRamp && calm > 3 {
			return m.waves(last)
		}
	}
	return nil
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
