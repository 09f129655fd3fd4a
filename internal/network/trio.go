package network

// A Trio are three solvers of one program, which find the answers at three frequencies in
// little more than half the time that one takes for one after the other: an operation is
// read once for the three, and the processor has something to do while it divides.
type Trio [3]*Solver

// Trio are the solver itself and two that are its own, which share what it remembers. The
// three are for one goroutine.
func (s *Solver) Trio() Trio {
	for i := range s.beside {
		if s.beside[i] == nil {
			s.beside[i] = s.Twin()
		}
	}
	return Trio{s, s.beside[0], s.beside[1]}
}

// Solve is [Solver.Solve] of each at its own w, in rad/s. The error is the first one's
// that has failed; then none of the three stands anywhere that can be read.
func (t Trio) Solve(w [3]float64) error {
	if t[0].known != nil { // where most is asked for again, which is a look
		for i, s := range t {
			if err := s.Solve(w[i]); err != nil {
				return err
			}
		}
		return nil
	}
	for i, s := range t {
		s.set(w[i])
	}
	run3(t[0].p.plan.ops, t[0].slots, t[1].slots, t[2].slots)
	for _, s := range t {
		if err := s.checked(); err != nil {
			return err
		}
	}
	return nil
}

// run3 is run for three at once.
func run3(ops []op, s, t, v []complex128) {
	t, v = t[:len(s)], v[:len(s)]
	for i := range ops {
		o := &ops[i]
		a, c, k := o.a, o.c, o.k
		bs, bt, bv := s[o.b], t[o.b], v[o.b]
		switch o.kind {
		case opFms:
			s[a] -= bs * s[c]
			t[a] -= bt * t[c]
			v[a] -= bv * v[c]
		case opFmsR:
			s[a], t[a], v[a] = less(s[a], k, bs), less(t[a], k, bt), less(v[a], k, bv)
		case opMul:
			s[a], t[a], v[a] = bs*s[c], bt*t[c], bv*v[c]
		case opMulR:
			s[a], t[a], v[a] = times(k, bs), times(k, bt), times(k, bv)
		case opNegR:
			s[a], t[a], v[a] = times(-k, bs), times(-k, bt), times(-k, bv)
		case opRecip:
			s[a], t[a], v[a] = recip(bs), recip(bt), recip(bv)
		case opRecipFms:
			x, y, z := recip(bs), recip(bt), recip(bv)
			s[a], t[a], v[a] = x, y, z
			s[c], t[c], v[c] = less(s[c], k, x), less(t[c], k, y), less(v[c], k, z)
		case opMulNegR:
			s[a], t[a], v[a] = times(-k, bs)*s[c], times(-k, bt)*t[c], times(-k, bv)*v[c]
		case opFmsNeg:
			s[a], t[a], v[a] = -bs*s[c], -bt*t[c], -bv*v[c]
		case opCopy:
			s[a], t[a], v[a] = bs, bt, bv
		}
	}
}
