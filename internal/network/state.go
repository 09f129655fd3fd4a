package network

// What a step needs to know of the ones before: for each unknown whose integral is
// read or enters a row, q + h/2·x, and for each row with a derivative w. All else of
// a Stepper follows from them and from what is given in the step.

// remembered lists those unknowns and rows.
func (s *Stepper) remembered() (integrals, rows []int) {
	kept := make([]bool, s.n)
	for r := range s.gamma {
		for _, c := range s.gamma[r].col {
			kept[c] = true
		}
	}
	for i := range s.reads {
		if s.reads[i].integral {
			for _, c := range s.reads[i].cols {
				kept[c] = true
			}
		}
	}
	for k := range s.n {
		if kept[k] {
			integrals = append(integrals, k)
		}
		if s.dynamic[k] {
			rows = append(rows, k)
		}
	}
	return integrals, rows
}

// States is the count of numbers that a step needs to know of the ones before.
func (s *Stepper) States() int {
	integrals, rows := s.remembered()
	return len(integrals) + len(rows)
}

// State writes those numbers, States() of them.
func (s *Stepper) State(out []float64) {
	integrals, rows := s.remembered()
	for k, c := range integrals {
		out[k] = s.q[c] + s.h/2*s.x[c]
	}
	for k, r := range rows {
		out[len(integrals)+k] = s.w[r]
	}
}

// SetState goes on from such numbers, whatever was before.
func (s *Stepper) SetState(in []float64) {
	clear(s.x)
	clear(s.q)
	clear(s.w)
	integrals, rows := s.remembered()
	for k, c := range integrals {
		s.q[c] = in[k]
	}
	for k, r := range rows {
		s.w[r] = in[len(integrals)+k]
	}
}
