package large

import (
	"fmt"
	"math"

	"basswright/internal/network"
)

// Course follows a model in time under any voltage. It is not for concurrent
// use.
type Course struct {
	m        *Model
	s        *network.Stepper
	seen     []float64 // what the ports see
	free     []float64 // what they would see without new gifts
	given    []float64
	slopes   []float64 // [q·ports + r]: how gift q changes with what r sees
	gain     []float64 // [r·ports + q]: how what r sees changes with gift q within a step
	j        []float64 // of the search within a step
	d        []float64
	last     [2][]float64 // what the ports saw, for a first guess
	eddies   *eddies      // nil where no motor has any
	Steps    int          // taken
	Searches int          // rounds of the search, over all steps
}

// NewCourse prepares for steps of h seconds. The error is a
// *network.InfiniteError where a law of the network has no finite circuit.
func (m *Model) NewCourse(h float64) (*Course, error) { return m.newCourse(h, leakAt) }

// newCourse is NewCourse with leaks that resonate elsewhere, Hz.
func (m *Model) newCourse(h, leak float64) (*Course, error) {
	if m.Sys.Spread() { // what arrives is no sum of what moves at one time
		return nil, &network.InfiniteError{Law: m.Sys.Spec.Baffle}
	}
	p := len(m.ports)
	at, read := make([]network.TimedInjection, p), make([]network.Reading, p)
	for k, q := range m.ports {
		at[k] = network.TimedInjection{Injection: network.Injection{Node: q.node, Motor: q.motor}, Rate: q.kind != position}
		read[k] = network.Reading{Node: q.node, Motor: q.motor, Integral: q.kind == position}
	}
	s, err := m.Sys.Program.NewStepper(h, at, read, m.leaks(leak)...)
	if err != nil {
		return nil, err
	}
	c := &Course{m: m, s: s}
	for _, v := range []*[]float64{&c.seen, &c.free, &c.given, &c.d, &c.last[0], &c.last[1]} {
		*v = make([]float64, p)
	}
	c.slopes, c.j, c.gain = make([]float64, p*p), make([]float64, p*p), make([]float64, p*p)
	for r := range p {
		for q := range p {
			c.gain[r*p+q] = s.Gain(r, q)
		}
	}
	c.eddies = m.newEddies(h, c.gain)
	return c, nil
}

// Adopt goes on where another course stands, of a model that differs in
// resistances alone: with its coils warmer.
func (c *Course) Adopt(from *Course) {
	c.s.Adopt(from.s)
	c.eddies.adopt(from.eddies)
	copy(c.seen, from.seen)
	for k := range c.last {
		copy(c.last[k], from.last[k])
	}
	c.Steps, c.Searches = from.Steps, from.Searches
}

// The search within a step is Newton's: where a round changes what a port sees
// by less than stepClose, as a share of it, its square is left, which is below
// the rounding.
const (
	stepClose  = 1e-7
	stepRounds = 30
)

// Step goes one step on with volts at the source. The error says that the step
// has no answer: the steps are too long, or the model is far beyond its curves.
func (c *Course) Step(volts float64) error {
	c.Steps++
	p := len(c.seen)
	c.s.Predict(volts, c.free)
	c.eddies.predict(c.free)
	for k := range c.seen { // on as the parabola through the last three steps
		a, b, d := c.seen[k], c.last[0][k], c.last[1][k]
		c.seen[k], c.last[0][k], c.last[1][k] = 3*(a-b)+d, a, b
	}
	for range stepRounds {
		c.Searches++
		c.evaluate()
		// f(y) = y − free − D·given(y); f′ = I − D·slopes
		for r := range p {
			c.d[r] = c.seen[r] - c.free[r]
			for q := range p {
				c.d[r] -= c.gain[r*p+q] * c.given[q]
			}
			for k := range p {
				v := 0.0
				if r == k {
					v = 1
				}
				for q := range p {
					v -= c.gain[r*p+q] * c.slopes[q*p+k]
				}
				c.j[r*p+k] = v
			}
		}
		if !solveSmall(c.j, c.d, p) {
			break
		}
		far := false
		for k := range p {
			c.seen[k] -= c.d[k]
			far = far || !(math.Abs(c.d[k]) <= stepClose*(math.Abs(c.seen[k])+math.Abs(c.free[k]))+tiny[c.m.ports[k].kind])
		}
		if !far {
			for q := range p {
				for k := range p {
					c.given[q] -= c.slopes[q*p+k] * c.d[k]
				}
			}
			c.s.Commit(c.eddies.commit(c.given, c.seen))
			return nil
		}
	}
	return fmt.Errorf("after %d steps the course has no next step: the steps are too long, or the cone is far beyond its curves", c.Steps)
}

// tiny is what does not show, in the units of what a port sees: m, A, Pa.
var tiny = [...]float64{position: 1e-15, coil: 1e-12, air: 1e-9, eddy: 1e-12}

// evaluate fills given and slopes from seen.
func (c *Course) evaluate() {
	p := len(c.seen)
	clear(c.given)
	clear(c.slopes)
	for i := range c.m.motors {
		m := &c.m.motors[i]
		r := m.at(c.seen[m.x], c.seen[m.i])
		c.given[m.i] += r.flux
		c.given[m.x] += r.force
		c.slopes[m.i*p+m.i] += r.fluxI
		c.slopes[m.i*p+m.x] += r.fluxX
		c.slopes[m.x*p+m.i] += r.forceI
		c.slopes[m.x*p+m.x] += r.forceX
		if m.w >= 0 {
			r := m.eddyAt(c.seen[m.x], c.seen[m.w])
			c.given[m.w] += r.flux
			c.given[m.x] += r.force
			c.slopes[m.w*p+m.w] += r.fluxI
			c.slopes[m.w*p+m.x] += r.fluxX
			c.slopes[m.x*p+m.w] += r.forceI
			c.slopes[m.x*p+m.x] += r.forceX
		}
	}
	for i := range c.m.airs {
		a := &c.m.airs[i]
		c.given[a.port], c.slopes[a.port*p+a.port] = a.law.at(c.seen[a.port])
	}
}

// solveSmall solves j·x = d in place by elimination with pivoting; x is left in
// d. It says whether there is an answer.
func solveSmall(j, d []float64, n int) bool {
	for k := range n {
		best := k
		for r := k + 1; r < n; r++ {
			if math.Abs(j[r*n+k]) > math.Abs(j[best*n+k]) {
				best = r
			}
		}
		if best != k {
			for c := k; c < n; c++ {
				j[k*n+c], j[best*n+c] = j[best*n+c], j[k*n+c]
			}
			d[k], d[best] = d[best], d[k]
		}
		if !(math.Abs(j[k*n+k]) > 0) {
			return false
		}
		for r := k + 1; r < n; r++ {
			f := j[r*n+k] / j[k*n+k]
			if f == 0 {
				continue
			}
			for c := k + 1; c < n; c++ {
				j[r*n+c] -= f * j[k*n+c]
			}
			d[r] -= f * d[k]
		}
	}
	for k := n - 1; k >= 0; k-- {
		for c := k + 1; c < n; c++ {
			d[k] -= j[k*n+c] * d[c]
		}
		d[k] /= j[k*n+k]
	}
	return true
}

// Cone is the displacement of cone k after the last step, m towards the
// listener; the radiators follow the drivers.
func (c *Course) Cone(k int) float64 {
	sys := c.m.Sys
	if k >= len(sys.Cones) {
		r := &sys.Radiators[k-len(sys.Cones)]
		return r.Ratio * c.s.Integral(r.Node)
	}
	return sys.Cones[k].Ratio * c.s.Integral(sys.Cones[k].Node)
}

// VolumeVelocity is all that moves air outside after the last step, m³/s.
func (c *Course) VolumeVelocity() float64 {
	var u float64
	for _, r := range c.m.Sys.Radiating() {
		u += r.Factor * c.s.Flow(r.Element)
	}
	return u
}

// Coil is the current in coil k after the last step, A.
func (c *Course) Coil(k int) float64 {
	coil := &c.m.Sys.Coils[k]
	return coil.Share * c.s.Flow(coil.Element)
}

// Opening is the volume velocity through opening k after the last step, m³/s.
func (c *Course) Opening(k int) float64 { return c.s.Flow(c.m.Sys.Openings[k].Element) }
