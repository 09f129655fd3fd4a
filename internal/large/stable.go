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

// probe follows what disturbs a state.
type probe struct {
	c     *Course
	scale [kinds]float64
	push  []float64 // what is given to each port for a moment
}

// Lasting finds out whether the last state lasts. Closed chambers keep their
// pressure in it: what a slow leak does is in the sign of the determinant.
func (t *Tone) Lasting() Lasting {
	if len(t.m.ports) == 0 {
		return Lasts
	}
	t.evaluate()
	t.slopesNow()
	if !t.factor() || t.sign() < 0 {
		return Unstable
	}
	c, err := t.m.Tight().NewCourse(1 / t.f / float64(t.grid.n))
	if err != nil {
		return Unknown
	}
	p := probe{c: c, push: make([]float64, len(t.m.ports))}
	p.weigh(t)
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

// weigh finds the size of each kind of port in the state, and pushes every port by
// about as much, each by another share so that no symmetry stays untouched.
func (p *probe) weigh(t *Tone) {
	for q, port := range t.m.ports {
		for _, v := range t.seen[q] {
			p.scale[port.kind] = math.Max(p.scale[port.kind], math.Abs(v))
		}
	}
	n := len(t.m.ports)
	for q, port := range t.m.ports {
		if g := math.Abs(p.c.gain[q*n+q]); g > 0 {
			p.push[q] = p.scale[port.kind] / g * (1 + 0.3*float64(q%3)) * float64(1-2*(q/2%2))
		}
	}
}

// period goes through one period and says how large the disturbance is at most, as
// a share of the state. In the first one the ports are pushed over an eighth of
// it, softly, because the trapezoidal rule lets what is sudden ring on.
func (p *probe) period(t *Tone, push bool) (most float64) {
	c, n, steps := p.c, len(p.push), t.grid.n
	for k := 1; k <= steps; k++ {
		c.s.Predict(0, c.free)
		c.eddies.predict(c.free)
		clear(c.slopes)
		for i := range t.slopes {
			s := &t.slopes[i]
			c.slopes[s.q*n+s.r] += s.wave[k%steps]
		}
		by := 0.0
		if push && k < steps/8 {
			by = math.Sin(8 * math.Pi * float64(k) / float64(steps))
			by *= by
		}
		for r := range n {
			c.seen[r] = c.free[r]
			for q := range n {
				c.seen[r] += c.gain[r*n+q] * by * p.push[q]
				v := 0.0
				if r == q {
					v = 1
				}
				for m := range n {
					v -= c.gain[r*n+m] * c.slopes[m*n+q]
				}
				c.j[r*n+q] = v
			}
		}
		if !solveSmall(c.j, c.seen, n) {
			return math.NaN()
		}
		for q := range n {
			c.given[q] = by * p.push[q]
			for r := range n {
				c.given[q] += c.slopes[q*n+r] * c.seen[r]
			}
			if s := p.scale[t.m.ports[q].kind]; s > 0 {
				most = math.Max(most, math.Abs(c.seen[q])/s)
			}
		}
		c.s.Commit(c.eddies.commit(c.given, c.seen))
	}
	return most
}
