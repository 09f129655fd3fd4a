package network

import (
	"context"
	"math"
	"sync"
)

// residualLimit is the share of the check equation's terms that its sum may
// reach before the pivoted solve takes over. It lies far above the rounding of
// a sound elimination (1e-15 a term) and far below anything that shows.
const residualLimit = 1e-10

// amplificationLimit is how much larger than the source's the terms of the
// check equation may be before the equations are looked at as singular. Sharp
// resonances of real networks stay below a million.
const amplificationLimit = 1e12

// Solver solves a Program at one frequency after another. It is not for
// concurrent use.
type Solver struct {
	p       *Program
	slots   []complex128
	w       float64
	stamped float64      // the w that the slots of laws hold; 0: none yet
	x       []complex128 // the pivoted solve's answer; nil while the slots hold one
	source  complex128   // potential of the source, V
	Pivoted int          // how often the pivoted solve took over

	known  *answers   // nil: each is found anew
	beside [2]*Solver // of its trio; nil: not asked for yet
}

// NewSolver returns a solver with a workspace of its own.
func (p *Program) NewSolver() *Solver {
	s := &Solver{p: p, slots: make([]complex128, p.plan.slots), source: 1}
	for _, c := range p.plan.consts {
		s.slots[c.slot] = complex(c.g, 0)
	}
	return s
}

// Solve finds all unknowns at w, in rad/s, for a source of 1 V. It does not
// allocate unless the pivoted solve takes over. The error is a *SingularError.
func (s *Solver) Solve(w float64) error {
	if s.known != nil {
		return s.recall(w)
	}
	return s.solve(w)
}

func (s *Solver) solve(w float64) error {
	s.set(w)
	run(s.p.plan.ops, s.slots)
	return s.checked()
}

// set puts the equations to w.
func (s *Solver) set(w float64) {
	s.w, s.stamped, s.x = w, w, nil
	s.stamp(w)
}

// checked sees to it that the answer in the slots is one.
func (s *Solver) checked() error {
	if s.sound() {
		return nil
	}
	return s.pivoted()
}

// stamp evaluates the coefficients that change with frequency.
func (s *Solver) stamp(w float64) {
	slots, iw := s.slots, 1/w
	for i := range s.p.plan.stamps {
		e := &s.p.plan.stamps[i]
		slots[e.slot] = complex(e.g, w*e.c-iw*e.l)
	}
	if len(s.p.sys.laws) == 0 {
		return
	}
	for i, l := range s.p.sys.laws {
		at := s.p.plan.lawAt[i]
		switch l := l.(type) {
		case Law:
			slots[at] = l.At(w)
		case TwoPortLaw:
			slots[at], slots[at+1], slots[at+2] = l.At(w)
		}
	}
	for i := range s.p.plan.lawStamp {
		e := &s.p.plan.lawStamp[i]
		v := slots[e.value]
		slots[e.slot] += complex(e.by*real(v), e.by*imag(v))
	}
}

// run replays the elimination.
func run(ops []op, s []complex128) {
	for i := range ops {
		o := &ops[i]
		switch b := s[o.b]; o.kind {
		case opFms:
			s[o.a] -= b * s[o.c]
		case opFmsR:
			s[o.a] = less(s[o.a], o.k, b)
		case opMul:
			s[o.a] = b * s[o.c]
		case opMulR:
			s[o.a] = times(o.k, b)
		case opNegR:
			s[o.a] = times(-o.k, b)
		case opRecip:
			s[o.a] = recip(b)
		case opRecipFms:
			x := recip(b)
			s[o.a] = x
			s[o.c] = less(s[o.c], o.k, x)
		case opMulNegR:
			s[o.a] = times(-o.k, b) * s[o.c]
		case opFmsNeg:
			s[o.a] = -b * s[o.c]
		case opCopy:
			s[o.a] = b
		}
	}
}

func times(k float64, b complex128) complex128 { return complex(k*real(b), k*imag(b)) }

// less is a − k·b.
func less(a complex128, k float64, b complex128) complex128 {
	return complex(real(a)-k*real(b), imag(a)-k*imag(b))
}

// recip is 1/z, of numbers whose squares are far from the ends of the range.
func recip(z complex128) complex128 {
	d := 1 / (real(z)*real(z) + imag(z)*imag(z))
	return complex(real(z)*d, -imag(z)*d)
}

// makeCheck builds the check equation: the sum of all equations, each scaled
// and with a weight of its own, so that no residual can hide. Its coefficients
// have the same form as any other, so checking an answer costs one term an
// unknown.
func (p *Program) makeCheck(rowScale []float64) {
	sys := p.sys
	sums := make([]entry, sys.n+1)
	for r := range sys.n {
		weight := rowScale[r] * (0.5 + math.Mod(float64(r+1)*math.Phi, 1)) // spread evenly over 0.5 to 1.5
		for _, c := range sys.columns(r) {
			e := sys.rows[r][c]
			sums[c].add(e.t, weight)
			for _, t := range e.terms {
				sums[c].terms = append(sums[c].terms, term{t.law, t.part, t.by * weight})
			}
		}
	}
	for c := range sums {
		p.check = append(p.check, stamp{g: sums[c].t.G, c: sums[c].t.C, l: sums[c].t.L})
		for _, t := range sums[c].terms {
			p.checkT = append(p.checkT, checkTerm{int32(c), p.plan.lawAt[t.law] + int32(t.part), t.by})
		}
	}
}

// sound says whether the answer in the slots fulfils the check equation, and
// is not one of equations that are as good as singular.
func (s *Solver) sound() bool {
	w, iw := s.w, 1/s.w
	n := s.p.sys.n
	b := &s.p.check[n]
	re, im := -b.g, iw*b.l-w*b.c
	drive := math.Abs(re) + math.Abs(im)
	size := drive
	for i, xs := range s.p.plan.x {
		k, x := &s.p.check[i], s.slots[xs]
		kr, ki := k.g, w*k.c-iw*k.l
		xr, xi := real(x), imag(x)
		re += kr*xr - ki*xi
		im += kr*xi + ki*xr
		size += (math.Abs(kr) + math.Abs(ki)) * (math.Abs(xr) + math.Abs(xi))
	}
	for i := range s.p.checkT {
		t := &s.p.checkT[i]
		x := complex(-1, 0)
		if int(t.col) < n {
			x = s.slots[s.p.plan.x[t.col]]
		}
		v := x * s.slots[t.value]
		re += t.by * real(v)
		im += t.by * imag(v)
		size += math.Abs(t.by) * (math.Abs(real(v)) + math.Abs(imag(v)))
	}
	return math.Abs(re)+math.Abs(im) < residualLimit*size && size < amplificationLimit*drive // false for NaN
}

// Omega is the angular frequency of the last Solve, rad/s.
func (s *Solver) Omega() float64 { return s.w }

// unknown is the value of unknown i.
func (s *Solver) unknown(i int) complex128 {
	if s.x != nil {
		return s.x[i]
	}
	return s.slots[s.p.plan.x[i]]
}

// Potential is the potential of a node for a source of 1 V, or for what an
// Injector has chosen.
func (s *Solver) Potential(a Node) complex128 {
	switch v := s.p.sys.vars[a]; v {
	case isReference:
		return 0
	case isSource:
		return s.source
	default:
		return s.unknown(v)
	}
}

// Flow is the flow through an element from A to B for a source of 1 V: for a
// piston its volume velocity from B to A (out of its front, at A).
func (s *Solver) Flow(id ElementID) complex128 {
	e := &s.p.net.elements[id]
	switch e.Kind {
	case KindAdmittance:
		y := e.Value.at(s.w)
		if e.Law != nil {
			y += e.Law.At(s.w)
		}
		return y * (s.Potential(e.A) - s.Potential(e.B))
	case KindPiston:
		return complex(e.Area, 0) * s.Potential(e.Mech)
	case KindTwoPort:
		y11, y12, _ := s.twoPort(id)
		return y11*s.Potential(e.A) + y12*s.Potential(e.B)
	case KindCoupling:
		return 0
	default:
		return s.unknown(s.p.sys.flows[id])
	}
}

// FlowOut is the flow that leaves a two-port at B; for other elements it is
// their flow.
func (s *Solver) FlowOut(id ElementID) complex128 {
	e := &s.p.net.elements[id]
	if e.Kind != KindTwoPort {
		return s.Flow(id)
	}
	_, y12, y22 := s.twoPort(id)
	return -(y12*s.Potential(e.A) + y22*s.Potential(e.B))
}

// twoPort is a two-port’s admittances at the last frequency: what the equations were
// made from, because a duct takes longer to ask than all of them to solve.
func (s *Solver) twoPort(id ElementID) (y11, y12, y22 complex128) {
	if s.stamped != s.w { // an Injector keeps its equations elsewhere, and an answer may be from memory
		return s.p.net.elements[id].Ports.At(s.w)
	}
	at := s.p.plan.lawAt[s.p.sys.ports[id]]
	return s.slots[at], s.slots[at+1], s.slots[at+2]
}

// Sweep solves at every angular frequency of ws on the given number of
// goroutines and calls visit with the index and a solver that holds the
// answer. Calls come from several goroutines, each index once; what visit
// writes under its index is the same for any number of workers. A first error
// ends the sweep.
func (p *Program) Sweep(ctx context.Context, ws []float64, workers int, visit func(k int, s *Solver) error) error {
	return p.Share(ctx, len(ws), workers, func(k int, s *Solver) error {
		if err := s.Solve(ws[k]); err != nil {
			return err
		}
		return visit(k, s)
	})
}

// Share is Sweep for who solves by himself, as with a trio: visit is called for 0 to n−1
// with a solver of the goroutine's own, wherever that stands.
func (p *Program) Share(ctx context.Context, n, workers int, visit func(k int, s *Solver) error) error {
	const block = 64 // points a worker takes at a time
	blocks := (n + block - 1) / block
	workers = max(1, min(workers, blocks))
	errs := make([]error, workers)
	var wg sync.WaitGroup
	for id := range workers {
		run := func() {
			s := p.NewSolver()
			for b := id; b < blocks; b += workers {
				if errs[id] = ctx.Err(); errs[id] != nil {
					return
				}
				for k := b * block; k < min(n, (b+1)*block); k++ {
					if errs[id] = visit(k, s); errs[id] != nil {
						return
					}
				}
			}
		}
		if workers == 1 {
			run()
			break
		}
		wg.Add(1)
		go func() { defer wg.Done(); run() }()
	}
	wg.Wait()
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
