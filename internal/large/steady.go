package large

// The harmonics that are followed: as many as it takes until the last two are
// below what shows.
const (
	fewest, mosts = 9, 33
	shows         = 1e-6 // of the largest line of what a port sees
)

// Rise is what a model comes to under a sine of one frequency whose level rises
// from nothing. It is not for concurrent use.
type Rise struct {
	m     *Model
	f     float64
	tones []*Tone // each with more harmonics than the one before
	now   int     // which of them
	volts float64 // of the last state
	trunk mark    // the highest rung that was climbed
}

// Rise prepares for a sine of f, in Hz.
func (m *Model) Rise(f float64) *Rise { return &Rise{m: m, f: f} }

// To finds the steady state at a drive of volts, in V rms at the source, with as
// many harmonics as it takes. It goes on from the last state where that had fewer
// volts, and the state holds until the next call. The error is a *StateError or a
// *network.SingularError.
func (r *Rise) To(volts float64) (*Tone, error) { return r.reach(volts, shows) }

// reach is To with as many harmonics as it takes until the last two are below tail.
func (r *Rise) reach(volts, tail float64) (*Tone, error) {
	if volts < r.volts {
		r.now = 0
	}
	for r.volts = volts; ; r.now++ {
		t, err := r.tone(r.now)
		if err != nil {
			return nil, err
		}
		if r.now > 0 {
			t.extend(r.tones[r.now-1])
		}
		err = t.Solve(volts)
		if t.resolved(tail) {
			return t, err
		}
	}
}

// resolved says whether more harmonics would show nothing, or are not followed: on
// the way up half as many, which cost an eighth.
func (t *Tone) resolved(tail float64) bool {
	return t.tail() < tail || t.grid.h >= mosts || tail >= coarse && t.grid.h > mosts/2
}

// tone is the k-th of the tones.
func (r *Rise) tone(k int) (*Tone, error) {
	if k == len(r.tones) {
		h := fewest
		for range k {
			h = 2*h - 1
		}
		t, err := r.m.NewTone(r.f, h)
		if err != nil {
			return nil, err
		}
		r.tones = append(r.tones, t)
	}
	return r.tones[k], nil
}

// extend takes over the state of a tone with fewer harmonics where it has more
// volts than its own.
func (t *Tone) extend(from *Tone) {
	if from.volts == 0 || from.volts < t.volts {
		return
	}
	a, b := len(from.grid.waves), len(t.grid.waves)
	clear(t.y)
	for p := range t.m.ports {
		copy(t.y[p*b:], from.y[p*a:(p+1)*a])
	}
	t.volts, t.back, t.factored = from.volts, 0, false
}

// Steady finds the steady state under a sine of f, in Hz, that rises to volts rms
// at the source. The error is a *StateError or a *network.SingularError.
func (m *Model) Steady(f, volts float64) (*Tone, error) { return m.Rise(f).To(volts) }
