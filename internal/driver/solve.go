package driver

import "math"

// solverTolerance tells a dependent row from an independent one. The entries
// are small multiples of one half, so that a true remainder is far above it.
const solverTolerance = 1e-9

// express writes target as a linear combination of rows: Σ coef[i]·rows[i].
// ok is false where target is independent of them. The rows are independent.
func express(rows [][unknowns]float64, target [unknowns]float64) (coef []float64, ok bool) {
	n := len(rows)
	// Column i of m is rows[i], the last column the target.
	var m [unknowns][unknowns + 1]float64
	for j := range m {
		for i := range rows {
			m[j][i] = rows[i][j]
		}
		m[j][n] = target[j]
	}
	for i := range n {
		p := i
		for j := i + 1; j < len(m); j++ {
			if math.Abs(m[j][i]) > math.Abs(m[p][i]) {
				p = j
			}
		}
		m[i], m[p] = m[p], m[i]
		for j := range m {
			if j == i {
				continue
			}
			f := m[j][i] / m[i][i]
			for l := i; l <= n; l++ {
				m[j][l] -= f * m[i][l]
			}
		}
	}
	for j := n; j < len(m); j++ {
		if math.Abs(m[j][n]) > solverTolerance {
			return nil, false
		}
	}
	coef = make([]float64, n)
	for i := range coef {
		coef[i] = m[i][n] / m[i][i]
	}
	return coef, true
}

// qtsUse says what a printed Qts was used with.
type qtsUse uint8

const (
	qtsNone  qtsUse = iota
	qtsQms          // Qms is known, Qes follows
	qtsQes          // Qes is known, Qms follows
	qtsRatio        // Qms/Qes = Bl²/(Re Rms) is known, both follow
)

// planRow is one of the printed values that a driver is made from.
type planRow struct {
	q    quant // what it fixes: for a Qts, the Q that follows from it
	from quant // what was printed
	row
	use   qtsUse
	known []float64 // of a Qts: the known Q or ratio as a combination of the rows before
	shift float64   // and its constant
}

// A plan is an independent set of printed values, in the order in which they
// were taken, and how everything else follows from it.
type plan struct {
	rows      []planRow
	table     [symbols]row
	coef      [symbols][]float64
	refused   bool // a printed Qts was not below the Q that it was to be used with
	undecided bool // a printed Qts found nothing to be used with
}

func (p *plan) vectors() [][unknowns]float64 {
	v := make([][unknowns]float64, len(p.rows))
	for i, r := range p.rows {
		v[i] = r.a
	}
	return v
}

func (p *plan) complete() bool { return len(p.rows) == int(unknowns) }

// values are the logarithms of what the sheet prints (Qts among them).
type values [symbols]float64

// choose takes printed quantities in order, each if it says something that
// those before it do not.
func choose(order []quant, table [symbols]row, v values) *plan {
	p := &plan{table: table}
	pending := false
	for _, q := range order {
		if q == qQts {
			pending = true
		} else if !p.complete() {
			if _, dependent := express(p.vectors(), table[q].a); !dependent {
				p.rows = append(p.rows, planRow{q: q, from: q, row: table[q]})
			}
		}
		if pending && !p.complete() {
			pending = !p.takeQts(v)
		}
	}
	p.undecided = pending
	if p.complete() {
		for q := quant(0); q < symbols; q++ {
			if q != qQts {
				p.coef[q], _ = express(p.vectors(), table[q].a)
			}
		}
	}
	return p
}

// takeQts adds the row that Qts is good for, once one of the other two Qs or
// their ratio is known. It reports whether Qts is done with.
func (p *plan) takeQts(v values) bool {
	rows := p.vectors()
	m, e := p.table[qQms], p.table[qQes]
	cm, okm := express(rows, m.a)
	ce, oke := express(rows, e.a)
	r := planRow{from: qQts}
	switch {
	case okm && oke:
		return true // redundant: it is checked afterwards
	case okm:
		r.q, r.use, r.known, r.shift = qQes, qtsQms, cm, m.k
	case oke:
		r.q, r.use, r.known, r.shift = qQms, qtsQes, ce, e.k
	default:
		ratio := m.a
		for i := range ratio {
			ratio[i] -= e.a[i]
		}
		cr, ok := express(rows, ratio)
		if !ok {
			return false
		}
		r.q, r.use, r.known, r.shift = qQms, qtsRatio, cr, m.k-e.k
	}
	r.row = p.table[r.q]
	p.rows = append(p.rows, r)
	if _, ok := p.evaluate(v); !ok {
		p.rows = p.rows[:len(p.rows)-1]
		p.refused = true
	}
	return true
}

// evaluate gives the right-hand sides of the plan's rows. ok is false where
// Qts is not below the Q that it is used with.
func (p *plan) evaluate(v values) (b []float64, ok bool) {
	b = make([]float64, len(p.rows))
	for i, r := range p.rows {
		if r.use == qtsNone {
			b[i] = v[r.q] - r.k
			continue
		}
		known := r.shift
		for j, c := range r.known {
			known += c * b[j]
		}
		l, ok := fromQts(r.use, math.Exp(v[qQts]), math.Exp(known))
		if !ok {
			return nil, false
		}
		b[i] = l - r.k
	}
	return b, true
}

// fromQts gives the logarithm of the Q that follows from Qts and a known Q,
// Qms = Qts·Qes/(Qes − Qts) and alike, or of Qms from the ratio Qms/Qes,
// Qms = Qts·(1 + Qms/Qes). Small 1972.
func fromQts(use qtsUse, qts, known float64) (float64, bool) {
	if use == qtsRatio {
		return math.Log(qts * (1 + known)), true
	}
	if known <= qts {
		return 0, false
	}
	return math.Log(qts * known / (known - qts)), true
}

// predict gives the logarithm of a quantity from the right-hand sides.
func (p *plan) predict(q quant, b []float64) float64 {
	if q == qQts {
		m, e := math.Exp(p.predict(qQms, b)), math.Exp(p.predict(qQes, b))
		return math.Log(m * e / (m + e))
	}
	s := p.table[q].k
	for i, c := range p.coef[q] {
		s += c * b[i]
	}
	return s
}
