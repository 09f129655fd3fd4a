package network

import "math"

// An Injection is a place where something beside the source drives a network:
// a flow into a node (a force, a volume velocity), or an electromotive force in
// a motor's coils, which every string meets as often as it runs through it.
type Injection struct {
	Node  Node  // where a flow of 1 enters; Earth: the motor is meant
	Motor Motor // the motor in whose coils 1 V pushes, one coil
}

// A Shunt is a conductance from a node to its domain's reference that is added
// for one solve.
type Shunt struct {
	Node Node
	G    float64
}

// Injector solves a Program for its source and for a list of injections, one
// after another, at the same frequency. What Solver reads holds for the one
// that was chosen last. It is not for concurrent use.
type Injector struct {
	Solver
	at  []Injection
	lu  dense
	row []float64 // equilibration of rows and columns
	col []float64
	rhs []complex128 // of the source, equilibrated
	b   []complex128
}

// NewInjector returns an injector for the given places.
func (p *Program) NewInjector(at []Injection) *Injector {
	in := &Injector{Solver: *p.NewSolver(), at: at}
	n := p.sys.n
	in.b, in.rhs = make([]complex128, n), make([]complex128, n)
	in.lu = dense{perm: make([]int, n), x: make([]complex128, n)}
	in.x = make([]complex128, n)
	return in
}

// Factor prepares for solving at w, in rad/s, with the shunts added. The error
// is a *SingularError.
func (in *Injector) Factor(w float64, shunts ...Shunt) error {
	in.w = w
	sys := in.p.sys
	a := sys.matrix(w)
	for _, s := range shunts {
		if v := sys.vars[s.Node]; v >= 0 {
			a[v][v] += complex(s.G, 0)
		}
	}
	in.row, in.col = equilibrate(a, sys.n)
	for i := range sys.n {
		in.lu.perm[i] = i
		in.rhs[i] = a[i][sys.n]
		a[i] = a[i][:sys.n]
	}
	in.lu.lu = a
	if c, ok := in.lu.factor(); !ok {
		return &SingularError{Part: sys.names[in.lu.culprit(c)], Frequency: w / (2 * math.Pi)}
	}
	return nil
}

// Source chooses the network's source, at 1 V.
func (in *Injector) Source() {
	in.source = 1
	in.finish(in.rhs)
}

// Inject chooses injection k, at 1; the source is silent.
func (in *Injector) Inject(k int) {
	in.source = 0
	clear(in.b)
	sys, j := in.p.sys, in.at[k]
	if j.Node != Earth {
		if v := sys.vars[j.Node]; v >= 0 {
			in.b[v] = complex(in.row[v], 0)
		}
	} else {
		for i := range in.p.net.elements {
			for _, t := range in.p.net.elements[i].Turns {
				if f := sys.flows[i]; t.Motor == j.Motor {
					in.b[f] += complex(float64(t.N)*in.row[f], 0)
				}
			}
		}
	}
	in.finish(in.b)
}

func (in *Injector) finish(b []complex128) {
	in.lu.solve(b, in.x)
	for i := range in.x {
		in.x[i] *= complex(in.col[i], 0)
	}
}

// Linkage is the current that a motor's force factor sees for the choice: the
// sum over the strings of their current times their coils on it, A.
func (s *Solver) Linkage(m Motor) complex128 {
	var sum complex128
	for i := range s.p.net.elements {
		for _, t := range s.p.net.elements[i].Turns {
			if t.Motor == m {
				sum += complex(float64(t.N), 0) * s.unknown(s.p.sys.flows[i])
			}
		}
	}
	return sum
}
