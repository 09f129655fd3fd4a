package large

import "math"

// Lasting says whether a steady state lasts: whether what disturbs it dies away.
type Lasting uint8

// Of a state that has no course in time it is not known.
const (
	Lasts Lasting = iota
	Unstable
	Unknown
)

// How a disturbance is followed: the network with the slopes of the remainders at
// the state, which repeat themselves with the sine, so that what grows does so by
// the largest Floquet multiplier (Nayfeh & Balachandran 1995, section 3.2).
const (
	diesAt    = 1e-5 // of its largest: low enough for what grows from a hundredth to have shown
	growsTo   = 1e4  // times what the first two periods had
	mostBeats = 400  // periods, after which it counts what the last half did
)

// probe follows what disturbs the states of a tone. Closed chambers keep their pressure in
// it: what a slow leak does is in the sign of the determinant.
type probe struct {
	*floquet
	share []float64 // of what each port sees in the state, 1 over the largest of its kind
	push  []float64 // what is given to each port for a moment
}

// newProbe returns nil for a network that has no course in time.
func (t *Tone) newProbe() *probe {
	c, err := t.m.Tight().NewCourse(1 / t.f / float64(t.grid.n))
	if err != nil {
		return nil
	}
	n := len(t.m.ports)
	return &probe{floquet: c.disturbance().floquet(t.grid.n), share: make([]float64, n), push: make([]float64, n)}
}

// Lasting finds out whether the last state lasts.
func (t *Tone) Lasting() Lasting {
	if len(t.m.ports) == 0 {
		return Lasts
	}
	t.evaluate()
	if !t.sameSide() {
		return Unstable
	}
	if !t.probed {
		t.probe, t.probed = t.newProbe(), true
	}
	p := t.probe
	if p == nil {
		return Unknown
	}
	if !p.around(t) {
		return Unstable
	}
	first, top, before, late := 0.0, 0.0, 0.0, 0.0
	for period := range mostBeats {
		a := p.period(t, period == 0)
		switch top = math.Max(top, a); {
		case math.IsNaN(a) || period > 3 && a > growsTo*first:
			return Unstable
		case period > 1 && a < diesAt*top:
			return Lasts
		case period < 2:
			first = math.Max(first, a)
		case period >= mostBeats*3/4:
			late = math.Max(late, a)
		case period >= mostBeats/2:
			before = math.Max(before, a)
		}
	}
	if late < before {
		return Lasts
	}
	return Unstable
}

// around takes the slopes of the last state, finds the size of each kind of port in it,
// and what to push every port by: about as much, each by another share so that no
// symmetry stays untouched. It says whether a disturbance has an answer at every point.
func (p *probe) around(t *Tone) bool {
	t.slopesNow()
	clear(p.slopes)
	clear(p.z)
	n := p.ports
	for i := range t.slopes {
		for k, v := range t.slopes[i].wave {
			p.slopes[(k*n+t.slopes[i].q)*n+t.slopes[i].r] += v
		}
	}
	for k := range t.grid.n {
		if !p.prepare(k) {
			return false
		}
	}
	var size [kinds]float64
	for q, port := range t.m.ports {
		for _, v := range t.seen[q] {
			size[port.kind] = max(size[port.kind], math.Abs(v))
		}
	}
	for q, port := range t.m.ports {
		p.push[q], p.share[q] = 0, 0
		if s := size[port.kind]; s > 0 {
			p.share[q] = 1 / s
		}
		if g := math.Abs(p.d[q*n+q]); g > 0 {
			p.push[q] = size[port.kind] / g * (1 + 0.3*float64(q%3)) * float64(1-2*(q/2%2))
		}
	}
	return true
}

// period goes through one period and says how large the disturbance is at most, as
// a share of the state. In the first one the ports are pushed over an eighth of
// it, softly, because the trapezoidal rule lets what is sudden ring on.
func (p *probe) period(t *Tone, push bool) (most float64) {
	steps := t.grid.n
	for k := 1; k <= steps; k++ {
		if push && k < steps/8 {
			by := math.Sin(8 * math.Pi * float64(k) / float64(steps))
			if !p.pushed(k%steps, by*by, p.push) {
				return math.NaN()
			}
		} else {
			p.to(k % steps)
		}
		for q, v := range p.y {
			most = max(most, math.Abs(v)*p.share[q])
		}
	}
	return most
}
