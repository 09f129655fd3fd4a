package network

import (
	"fmt"

	"gonum.org/v1/gonum/mat"
)

// Stepper follows a network in time, in steps of one length, by the trapezoidal
// rule. Its source is a voltage; its injections are as an Injector's. Each step
// is in two halves, so that what is injected may depend on what is read:
// Predict says what the readings would be without the new injections, Gain how
// each of them changes with each injection, and Commit settles them.
//
// With C, G and Γ the matrices of the equations (C·d/dt + G + Γ·∫)·x = b, a row
// with a derivative holds
//
//	(2C/h)·x₊ + (G·x + Γ·q)₊ − b₊ = w,   w₊ = (4C/h)·x₊ − w
//
// and a row without one holds by itself at every step. q is the integral of x.
type Stepper struct {
	p     *Program
	h     float64
	at    []TimedInjection
	leaks []Leak
	n     int // unknowns, those of relaxing laws and then of leaks last

	inv     []float64 // of the matrix of a step, n × n
	g       []sparse  // G, by row
	c       []sparse  // 2C/h, by row
	gamma   []sparse
	dynamic []bool
	source  []float64 // the right-hand side of 1 V
	into    [][]float64
	rate    [][]float64 // 2/h times the rows into which the rate of an injection goes

	x, q, w, rhs []float64
	volts        float64
	reads        []reading
	gains        []float64
}

type sparse struct {
	col []int
	v   []float64
}

// TimedInjection is an Injection of which either the amount or its rate of
// change enters the network.
type TimedInjection struct {
	Injection
	Rate bool
}

// A Reading is what a Stepper reads: a node's potential, its integral, or the
// linkage of a motor.
type Reading struct {
	Node     Node
	Integral bool
	Motor    Motor // where Node is Earth
}

// reading is a weighted sum of unknowns or of their integrals.
type reading struct {
	cols     []int
	by       []float64
	integral bool
}

// A Leak is a mass M and a resistance R in series, from a node to its domain's
// reference: what is steady gets out, and what is fast does not.
type Leak struct {
	Node Node
	M, R float64
}

// NewStepper prepares a network for steps of h seconds, with leaks beside what is
// in it. The error is an
// *InfiniteError or a *SingularError.
func (p *Program) NewStepper(h float64, at []TimedInjection, read []Reading, leaks ...Leak) (*Stepper, error) {
	s := &Stepper{p: p, h: h, at: at, leaks: leaks}
	g, c, l, src, err := s.matrices()
	if err != nil {
		return nil, err
	}
	n := s.n
	s.x, s.q, s.w, s.rhs = make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	s.dynamic = make([]bool, n)
	for r := range n {
		for k := range n {
			s.dynamic[r] = s.dynamic[r] || c.At(r, k) != 0
		}
	}
	s.inject()
	a := mat.NewDense(n, n, nil)
	s.source = make([]float64, n)
	for r := range n {
		s.source[r] = src[r]
		for k := range n {
			a.Set(r, k, g.At(r, k)+2/h*c.At(r, k)+h/2*l.At(r, k))
		}
	}
	if s.inv, err = s.invert(a); err != nil {
		return nil, err
	}
	s.g, s.c, s.gamma = gather(g, 1), gather(c, 2/h), gather(l, 1)
	for _, r := range read {
		s.reads = append(s.reads, s.reading(r))
	}
	s.gains = make([]float64, len(read)*len(at))
	for k := range at {
		for r := range s.reads {
			s.gains[r*len(at)+k] = s.reads[r].change(s.answer(k), h)
		}
	}
	return s, nil
}

// Adopt goes on where another stepper stands, of a network that differs in
// resistances alone and with steps of the same length: what moves goes on to move,
// and what a resistance takes changes at once.
func (s *Stepper) Adopt(from *Stepper) {
	if s.n != from.n || s.h != from.h || len(s.at) != len(from.at) {
		panic("network: a stepper adopts the state of another network")
	}
	copy(s.x, from.x)
	copy(s.q, from.q)
	s.volts = from.volts
	for r := range s.n { // w = (2/h)·(C·x − rates) − (G·x + Γ·q − b)
		s.w[r] = from.w[r]
		if s.dynamic[r] {
			s.w[r] += from.g[r].dot(s.x) - s.g[r].dot(s.x)
		}
	}
}

// matrices writes the equations out, with the laws as finite circuits.
func (s *Stepper) matrices() (g, c, l *mat.Dense, src []float64, err error) {
	sys := s.p.sys
	for _, e := range s.p.net.elements {
		if e.Kind == KindCoupling { // its law acts on two unknowns apart; see relaxing
			return nil, nil, nil, nil, &InfiniteError{e.Law}
		}
	}
	s.n = sys.n
	first := make([]int, len(sys.laws)) // the unknown of a law's first part
	laws := make([]Relaxation, len(sys.laws))
	for i, law := range sys.laws {
		if laws[i], err = relax(law); err != nil {
			return nil, nil, nil, nil, err
		}
		first[i] = s.n
		s.n += len(laws[i].Parts)
	}
	z := s.n
	s.n += len(s.leaks)
	n := s.n
	g, c, l, src = mat.NewDense(n, n, nil), mat.NewDense(n, n, nil), mat.NewDense(n, n, nil), make([]float64, n)
	add := func(m *mat.Dense, r, k int, v float64) { m.Set(r, k, m.At(r, k)+v) }
	triple := func(r, k int, t Triple, by float64) {
		if k == sys.n { // the source: an element at it with memory has its flow as an unknown
			if by != 0 && (t.C != 0 || t.L != 0) {
				err = fmt.Errorf("a part between the source and %s has memory and no flow of its own", sys.names[r])
			}
			src[r] += by * t.G
			return
		}
		add(g, r, k, by*t.G)
		add(c, r, k, by*t.C)
		add(l, r, k, by*t.L)
	}
	for r := range sys.n {
		for _, k := range sys.columns(r) {
			e := sys.rows[r][k]
			triple(r, k, e.t, 1)
			for _, t := range e.terms {
				triple(r, k, laws[t.law].Value, t.by)
			}
		}
	}
	for i := range laws {
		s.relaxing(i, laws[i], first[i], g, c)
	}
	for k, leak := range s.leaks { // its flow u: M·du/dt + R·u is the potential
		u := z + k
		g.Set(u, u, leak.R)
		c.Set(u, u, leak.M)
		if v := sys.vars[leak.Node]; v >= 0 {
			g.Set(u, v, -1)
			g.Set(v, u, 1)
		}
	}
	return g, c, l, src, err
}

// relaxing adds the parts of a law: one unknown each, z, with (1 + sτ)·z equal
// to what the law acts on. A law's entries are a column of factors times a row
// of factors: by(r, c) = u(r)·v(c).
func (s *Stepper) relaxing(law int, rel Relaxation, first int, g, c *mat.Dense) {
	sys := s.p.sys
	u, v, lead := map[int]float64{}, map[int]float64{}, -1
	for r := range sys.n {
		for _, k := range sys.columns(r) {
			for _, t := range sys.rows[r][k].terms {
				switch {
				case t.law != law:
				case lead < 0 || lead == r:
					lead, u[r] = r, 1
					v[k] += t.by
				case v[k] != 0:
					u[r] = t.by / v[k]
				}
			}
		}
	}
	for j, p := range rel.Parts {
		z := first + j
		g.Set(z, z, 1)
		c.Set(z, z, p.Tau)
		for k, by := range v {
			g.Set(z, k, -by)
		}
		for r, by := range u {
			g.Set(r, z, g.At(r, z)+by*p.R)
		}
	}
}

// inject writes which rows each injection enters.
func (s *Stepper) inject() {
	sys := s.p.sys
	for _, j := range s.at {
		into, rate := make([]float64, s.n), make([]float64, s.n)
		to := into
		if j.Rate {
			to = rate
		}
		if j.Node != Earth {
			if v := sys.vars[j.Node]; v >= 0 {
				to[v] = 1
			}
		} else {
			for i := range s.p.net.elements {
				for _, t := range s.p.net.elements[i].Turns {
					if t.Motor == j.Motor {
						to[sys.flows[i]] += float64(t.N)
					}
				}
			}
		}
		for r := range rate {
			if rate[r] != 0 {
				s.dynamic[r] = true
				rate[r] *= 2 / s.h
			}
		}
		s.into, s.rate = append(s.into, into), append(s.rate, rate)
	}
}

// invert inverts the matrix of a step after scaling its rows and columns.
func (s *Stepper) invert(a *mat.Dense) ([]float64, error) {
	n := s.n
	z := make([][]complex128, n)
	for r := range z {
		z[r] = make([]complex128, n+1)
		for k := range n {
			z[r][k] = complex(a.At(r, k), 0)
		}
	}
	rows, cols := equilibrate(z, n)
	for r := range n {
		for k := range n {
			a.Set(r, k, a.At(r, k)*rows[r]*cols[k])
		}
	}
	var inv mat.Dense
	if err := inv.Inverse(a); err != nil {
		if c, ok := err.(mat.Condition); !ok || float64(c) > 1/singularLimit {
			return nil, &SingularError{Part: "the whole, in time", Frequency: 1 / s.h}
		}
	}
	out := make([]float64, n*n)
	for r := range n {
		for k := range n {
			out[r*n+k] = inv.At(r, k) * cols[r] * rows[k]
		}
	}
	return out, nil
}

func gather(m *mat.Dense, by float64) []sparse {
	n, _ := m.Dims()
	out := make([]sparse, n)
	for r := range n {
		for k := range n {
			if v := m.At(r, k); v != 0 {
				out[r].col, out[r].v = append(out[r].col, k), append(out[r].v, by*v)
			}
		}
	}
	return out
}

func (r *sparse) dot(x []float64) float64 {
	var sum float64
	for i, c := range r.col {
		sum += r.v[i] * x[c]
	}
	return sum
}

// reading finds the unknowns of a Reading.
func (s *Stepper) reading(r Reading) reading {
	sys := s.p.sys
	if r.Node != Earth {
		if v := sys.vars[r.Node]; v >= 0 {
			return reading{[]int{v}, []float64{1}, r.Integral}
		}
		return reading{integral: r.Integral}
	}
	out := reading{integral: r.Integral}
	for i := range s.p.net.elements {
		for _, t := range s.p.net.elements[i].Turns {
			if t.Motor == r.Motor {
				out.cols, out.by = append(out.cols, sys.flows[i]), append(out.by, float64(t.N))
			}
		}
	}
	return out
}

// change is how a reading changes where the unknowns of a new step change by dx.
func (r *reading) change(dx []float64, h float64) float64 {
	var sum float64
	for i, c := range r.cols {
		sum += r.by[i] * dx[c]
	}
	if r.integral {
		return h / 2 * sum
	}
	return sum
}

// answer is what the unknowns change by for 1 of injection k in a new step.
func (s *Stepper) answer(k int) []float64 {
	dx := make([]float64, s.n)
	for r := range s.n {
		for c := range s.n {
			dx[r] += s.inv[r*s.n+c] * (s.into[k][c] + s.rate[k][c])
		}
	}
	return dx
}

// Gain is how reading r changes with injection k within a step.
func (s *Stepper) Gain(r, k int) float64 { return s.gains[r*len(s.at)+k] }

// Predict goes one step on with the source at volts and no new injections, and
// writes the readings.
func (s *Stepper) Predict(volts float64, out []float64) {
	s.volts = volts
	for r := range s.n {
		v := s.w[r] + s.source[r]*volts
		for i, c := range s.gamma[r].col {
			v -= s.gamma[r].v[i] * (s.q[c] + s.h/2*s.x[c])
		}
		s.rhs[r] = v
	}
	for i := range s.reads {
		r := &s.reads[i]
		var sum float64
		for k, c := range r.cols {
			x := dot(s.inv[c*s.n:(c+1)*s.n], s.rhs)
			if r.integral {
				x = s.q[c] + s.h/2*(s.x[c]+x)
			}
			sum += r.by[k] * x
		}
		out[i] = sum
	}
}

// Commit settles the step that Predict began with the injections give.
func (s *Stepper) Commit(give []float64) {
	n := s.n
	for k, v := range give {
		if v == 0 {
			continue
		}
		for r, by := range s.into[k] {
			s.rhs[r] += by*v + s.rate[k][r]*v
		}
	}
	for c := range n {
		s.q[c] += s.h / 2 * s.x[c]
	}
	for r := range n {
		s.x[r] = dot(s.inv[r*n:(r+1)*n], s.rhs)
	}
	for c := range n {
		s.q[c] += s.h / 2 * s.x[c]
	}
	for r := range n {
		if s.dynamic[r] {
			s.w[r] = 2*s.c[r].dot(s.x) - s.w[r]
		}
	}
	for k, v := range give {
		for r, by := range s.rate[k] {
			if by != 0 {
				s.w[r] -= 2 * by * v
			}
		}
	}
}

func dot(a, b []float64) float64 {
	var sum float64
	b = b[:len(a)]
	for i, v := range a {
		sum += v * b[i]
	}
	return sum
}

// Potential is the potential of a node after the last Commit.
func (s *Stepper) Potential(a Node) float64 {
	switch v := s.p.sys.vars[a]; v {
	case isReference:
		return 0
	case isSource:
		return s.volts
	default:
		return s.x[v]
	}
}

// Integral is the integral of a node's potential since the start.
func (s *Stepper) Integral(a Node) float64 {
	if v := s.p.sys.vars[a]; v >= 0 {
		return s.q[v]
	}
	return 0
}

// Flow is the flow through an element after the last Commit, as Solver.Flow has
// it. It panics for an element whose flow is no unknown and has a derivative or
// a law: only resistances, springs, faces, impedances and strings are read.
func (s *Stepper) Flow(id ElementID) float64 {
	e := &s.p.net.elements[id]
	switch {
	case e.Kind == KindPiston:
		return e.Area * s.Potential(e.Mech)
	case e.Kind == KindAdmittance && e.Value.C == 0 && e.Law == nil:
		return e.Value.G*(s.Potential(e.A)-s.Potential(e.B)) + e.Value.L*(s.Integral(e.A)-s.Integral(e.B))
	case e.Kind == KindImpedance || e.Kind == KindString:
		return s.x[s.p.sys.flows[id]]
	}
	panic("network: the flow of " + e.Name + " is not read in time")
}
