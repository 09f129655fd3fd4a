package network

import "fmt"

// A term is a law's share of a matrix entry.
type term struct {
	law  int     // index into system.laws
	part int     // which of the law's values
	by   float64 // factor
}

// An entry is one coefficient of the equations: a triple and terms of laws.
type entry struct {
	t     Triple
	terms []term
}

func (e *entry) add(t Triple, by float64) {
	e.t.G += by * t.G
	e.t.C += by * t.C
	e.t.L += by * t.L
}

// system is the network as linear equations: rows of coefficients, one column
// an unknown, and the column n of the right-hand side.
//
// The unknowns are the potentials of the free nodes and the flows of the
// impedances and strings. The equation of a node is its balance of flows, that
// of an impedance or string its own law.
type system struct {
	n     int
	rows  []map[int]*entry
	names []string // of the unknowns, for messages
	laws  []any    // Law or TwoPortLaw
	vars  []int    // by node: its unknown; -1: reference, -2: source
	flows []int    // by element: its unknown, or -1
	ports []int    // by element: the law of its two-port, or -1
}

const (
	isReference = -1
	isSource    = -2
)

// assemble writes down the equations of the network.
func (n *Network) assemble() (*system, error) {
	if n.err != nil {
		return nil, n.err
	}
	if n.source == 0 {
		return nil, fmt.Errorf("the network has no source")
	}
	s := &system{vars: make([]int, len(n.nodes)), flows: make([]int, len(n.elements)), ports: make([]int, len(n.elements))}
	for i := range n.nodes {
		switch {
		case Node(i) < firstFree:
			s.vars[i] = isReference
		case Node(i) == n.source:
			s.vars[i] = isSource
		default:
			s.vars[i] = s.unknown(n.nodes[i].name)
		}
	}
	for i, e := range n.elements {
		s.flows[i], s.ports[i] = -1, -1
		if e.Kind == KindImpedance || e.Kind == KindString {
			s.flows[i] = s.unknown(e.Name)
		}
	}
	s.rows = make([]map[int]*entry, s.n)
	for i := range s.rows {
		s.rows[i] = map[int]*entry{}
	}
	for i := range n.elements {
		s.element(n, i)
	}
	return s, nil
}

func (s *system) unknown(name string) int {
	s.names = append(s.names, name)
	s.n++
	return s.n - 1
}

// at returns the entry of row r and column c, or nil where it has no place in
// the equations: the row or column of a reference node, or the row of the
// source. The column of the source is the right-hand side, with its sign
// turned by the caller through sign.
func (s *system) at(r, c int) (e *entry, sign float64) {
	if r < 0 || c == isReference {
		return nil, 0
	}
	sign = 1
	if c == isSource {
		c, sign = s.n, -1
	}
	e = s.rows[r][c]
	if e == nil {
		e = &entry{}
		s.rows[r][c] = e
	}
	return e, sign
}

func (s *system) triple(r, c int, t Triple, by float64) {
	if t.zero() || by == 0 {
		return
	}
	if e, sign := s.at(r, c); e != nil {
		e.add(t, sign*by)
	}
}

func (s *system) term(r, c, law, part int, by float64) {
	if e, sign := s.at(r, c); e != nil {
		e.terms = append(e.terms, term{law, part, sign * by})
	}
}

func (s *system) law(l any) int {
	s.laws = append(s.laws, l)
	return len(s.laws) - 1
}

var one = Triple{G: 1}

// element adds one element to the equations.
func (s *system) element(n *Network, i int) {
	e := &n.elements[i]
	a, b, f := s.vars[e.A], s.vars[e.B], s.flows[i]
	switch e.Kind {
	case KindAdmittance:
		law := -1
		if e.Law != nil {
			law = s.law(e.Law)
		}
		for _, p := range [4]struct {
			r, c int
			by   float64
		}{{a, a, 1}, {b, b, 1}, {a, b, -1}, {b, a, -1}} {
			s.triple(p.r, p.c, e.Value, p.by)
			if law >= 0 {
				s.term(p.r, p.c, law, 0, p.by)
			}
		}
	case KindImpedance:
		s.branch(a, b, f)
		s.triple(f, f, e.Value, -1)
		if e.Law != nil {
			s.term(f, f, s.law(e.Law), 0, -1)
		}
	case KindString:
		s.branch(a, b, f)
		s.triple(f, f, e.Value, -1)
		s.turns(n, i)
	case KindPiston:
		v := s.vars[e.Mech]
		area := Triple{G: e.Area}
		s.triple(a, v, area, -1)
		s.triple(b, v, area, 1)
		s.triple(v, a, area, 1)
		s.triple(v, b, area, -1)
	case KindTwoPort:
		law := s.law(e.Ports)
		s.ports[i] = law
		s.term(a, a, law, 0, 1)
		s.term(a, b, law, 1, 1)
		s.term(b, a, law, 1, 1)
		s.term(b, b, law, 2, 1)
	case KindCoupling:
		one, two := s.flows[e.Pair[0]], s.flows[e.Pair[1]]
		law := s.law(e.Law)
		s.term(one, two, law, 0, -1)
		s.term(two, one, law, 0, -1)
	}
}

// branch adds a flow f from a to b and the potentials to f's own equation.
func (s *system) branch(a, b, f int) {
	s.triple(a, f, one, 1)
	s.triple(b, f, one, -1)
	s.triple(f, a, one, 1)
	s.triple(f, b, one, -1)
}

// turns couples string i to its motors and, by their common flux, to the other
// strings through the same motors.
func (s *system) turns(n *Network, i int) {
	f := s.flows[i]
	for _, t := range n.elements[i].Turns {
		m := &n.motors[t.Motor]
		v := s.vars[m.Mech]
		bl := Triple{G: m.Bl}
		s.triple(f, v, bl, -float64(t.N))
		s.triple(v, f, bl, -float64(t.N))
		if m.Value.zero() && m.Law == nil {
			continue
		}
		law := -1
		for k := range n.elements {
			for _, u := range n.elements[k].Turns {
				if u.Motor != t.Motor {
					continue
				}
				by := -float64(t.N * u.N)
				s.triple(f, s.flows[k], m.Value, by)
				if m.Law != nil {
					if law < 0 {
						law = s.law(m.Law)
					}
					s.term(f, s.flows[k], law, 0, by)
				}
			}
		}
	}
}
