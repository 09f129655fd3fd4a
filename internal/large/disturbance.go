package large

// disturbance follows what is small beside a course: with z what a step needs to know
// of the ones before, g what the ports are given and y what they see,
//
//	y = C·z + D·g,   z₊ = A·z + B·g
//
// the matrices of which are what a course without a source does with one number after
// the other.
type disturbance struct {
	states, ports int
	a, b, c, d    []float64
}

// disturbance reads the matrices off a course, which is used up by it.
func (c *Course) disturbance() *disturbance {
	p, n := len(c.seen), c.states()
	l := &disturbance{states: n, ports: p, a: make([]float64, n*n), b: make([]float64, n*p), c: make([]float64, p*n), d: c.gain}
	z, none := make([]float64, n), make([]float64, p)
	for k := range n {
		z[k] = 1
		c.setState(z)
		z[k] = 0
		c.s.Predict(0, c.free)
		c.eddies.predict(c.free)
		for r := range p {
			l.c[r*n+k] = c.free[r]
		}
		c.s.Commit(c.eddies.commit(none, c.free))
		c.into(l.a, n, k)
	}
	for q := range p {
		c.setState(z)
		c.s.Predict(0, c.free)
		c.eddies.predict(c.free)
		for r := range p {
			c.seen[r] = c.gain[r*p+q]
		}
		none[q] = 1
		c.s.Commit(c.eddies.commit(none, c.seen))
		none[q] = 0
		c.into(l.b, p, q)
	}
	return l
}

// into writes the state as column k of a matrix.
func (c *Course) into(m []float64, columns, k int) {
	z := make([]float64, c.states())
	c.s.State(z)
	c.eddies.state(z[c.s.States():])
	for r, v := range z {
		m[r*columns+k] = v
	}
}

func (c *Course) states() int { return c.s.States() + c.eddies.states() }

func (c *Course) setState(z []float64) {
	c.s.SetState(z)
	c.eddies.setState(z[c.s.States():])
}

// The state of eddies: of each, what of w and of h·φ at the end of the next step is
// known before it.
func (e *eddies) states() int {
	if e == nil {
		return 0
	}
	return 2 * len(e.list)
}

func (e *eddies) state(out []float64) {
	for k := range e.states() / 2 {
		s := &e.list[k]
		out[2*k], out[2*k+1] = s.a*s.w+s.b*s.u, s.a*s.flux+s.b*s.given
	}
}

func (e *eddies) setState(in []float64) {
	for k := range e.states() / 2 {
		s := &e.list[k]
		s.w, s.u, s.flux, s.given = 0, in[2*k]/s.b, 0, in[2*k+1]/s.b
	}
}
