package network

// Relaxation is a law as a finite circuit has it: a Triple and a sum of terms
// R/(1 + sτ). What is solved in time needs it.
type Relaxation struct {
	Value Triple
	Parts []RelaxationPart
}

// RelaxationPart is R/(1 + s·Tau).
type RelaxationPart struct {
	R, Tau float64 // ohm or its like; s
}

// A Finite law is one that a finite circuit has.
type Finite interface {
	Law
	Relaxation() Relaxation
}

// Relaxation of sL·R/(R + sL) is R − R/(1 + sL/R).
func (p ParallelRL) Relaxation() Relaxation {
	return Relaxation{Triple{G: p.R}, []RelaxationPart{{-p.R, p.L / p.R}}}
}

// Relaxation of sC/(1 + sRC) is 1/R − (1/R)/(1 + sRC).
func (s SeriesRC) Relaxation() Relaxation {
	return Relaxation{Triple{G: 1 / s.R}, []RelaxationPart{{-1 / s.R, s.R * s.C}}}
}

// InfiniteError says that a law has no finite circuit, so that the network
// cannot be followed in time.
type InfiniteError struct{ Law any }

// Error says so; which law it is, is for whoever knows what it stands for.
func (e *InfiniteError) Error() string {
	return "a law of the network is no finite circuit and cannot be followed in time"
}

// relax gives a law as a finite circuit.
func relax(l any) (Relaxation, error) {
	switch l := l.(type) {
	case Finite:
		return l.Relaxation(), nil
	case Scaled:
		r, err := relax(l.Law)
		if err != nil {
			return Relaxation{}, err
		}
		r.Value = Triple{G: l.By * r.Value.G, C: l.By * r.Value.C, L: l.By * r.Value.L}
		parts := make([]RelaxationPart, len(r.Parts))
		for i, p := range r.Parts {
			parts[i] = RelaxationPart{l.By * p.R, p.Tau}
		}
		r.Parts = parts
		return r, nil
	}
	return Relaxation{}, &InfiniteError{l}
}
