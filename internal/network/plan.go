package network

// The elimination is a list of operations on slots of complex numbers. Row
// operations of Gauss's method on the entries that exist, and nothing else:
// which entries exist is known once the order is, so the list is written once
// and replayed at every frequency.

type opKind uint8

const (
	opRecip    opKind = iota // a = 1/b
	opMul                    // a = b·c
	opMulR                   // a = k·b
	opFms                    // a −= b·c
	opFmsR                   // a −= k·b
	opFmsNeg                 // a = −b·c (first write to a filled slot)
	opNegR                   // a = −k·b (first write to a filled slot)
	opCopy                   // a = b
	opRecipFms               // a = 1/b, then c −= k·a
	opMulNegR                // a = −k·b·c
	opKinds                  // how many there are
)

type op struct {
	kind    opKind
	a, b, c uint16
	k       float64
}

// plan is what the solver replays.
type plan struct {
	ops      []op
	stamps   []stamp    // written anew at each frequency
	consts   []stamp    // written once: entries that no operation changes
	lawStamp []lawStamp // added after the stamps
	lawAt    []int32
	slots    int
	x        []int32 // slot of each unknown's value
}

// step eliminates column c from the open rows with the pivot in row r.
func (p *planner) step(k, r, c int) {
	inv := p.newSlot()
	p.pivSlot[k] = inv
	p.emit(op{kind: opRecip, a: u(inv), b: u(p.slot[r][c])})
	for i := range p.n {
		if p.rowDone[i] || p.slot[i][c] < 0 {
			continue
		}
		p.values(i, r, c)
		p.row(i, r, c, inv)
	}
}

// values carries the numbers at the probes along, for the choice of the next pivots.
func (p *planner) values(i, r, c int) {
	for k := range probes {
		v := p.vals[k]
		f := v[i][c] / v[r][c]
		for j := range p.n + 1 {
			if p.slot[r][j] >= 0 && (j == p.n || !p.colDone[j]) {
				v[i][j] -= f * v[r][j]
			}
		}
		v[i][c] = 0
	}
}

// row subtracts the pivot row r, times entry (i, c) over the pivot, from row i.
func (p *planner) row(i, r, c int, inv int32) {
	factor := int32(-1) // slot of (i,c)/pivot, made when a product needs it
	for j := range p.n + 1 {
		if p.slot[r][j] < 0 || j < p.n && p.colDone[j] {
			continue
		}
		target, fresh := p.slot[i][j], false
		if target < 0 {
			target, fresh = p.newSlot(), true
			p.slot[i][j] = target
		}
		if p.konst[i][c] && p.konst[r][j] { // both real and constant: one scaling of the reciprocal
			kind := opFmsR
			if fresh {
				kind = opNegR
			}
			p.emit(op{kind: kind, a: u(target), b: u(inv), k: p.real[i][c] * p.real[r][j]})
		} else {
			if factor < 0 {
				factor = p.factor(i, c, inv)
			}
			p.product(target, factor, r, j, fresh)
		}
		p.konst[i][j] = false
	}
}

// factor emits (i, c) times the reciprocal pivot.
func (p *planner) factor(i, c int, inv int32) int32 {
	if p.konst[i][c] && p.real[i][c] == 1 {
		return inv
	}
	f := p.newSlot()
	if p.konst[i][c] {
		p.emit(op{kind: opMulR, a: u(f), b: u(inv), k: p.real[i][c]})
	} else {
		p.emit(op{kind: opMul, a: u(f), b: u(p.slot[i][c]), c: u(inv)})
	}
	return f
}

// product emits target −= factor·(r, j).
func (p *planner) product(target, factor int32, r, j int, fresh bool) {
	switch {
	case p.konst[r][j] && fresh:
		p.emit(op{kind: opNegR, a: u(target), b: u(factor), k: p.real[r][j]})
	case p.konst[r][j]:
		p.emit(op{kind: opFmsR, a: u(target), b: u(factor), k: p.real[r][j]})
	case fresh:
		p.emit(op{kind: opFmsNeg, a: u(target), b: u(factor), c: u(p.slot[r][j])})
	default:
		p.emit(op{kind: opFms, a: u(target), b: u(factor), c: u(p.slot[r][j])})
	}
}

func (p *planner) emit(o op) { p.ops = append(p.ops, o) }

func u(s int32) uint16 {
	if s > 0xFFFF {
		panic("network: more than 65536 slots")
	}
	return uint16(s)
}

// finish emits the back-substitution and gathers what must be stamped.
func (p *planner) finish() plan {
	x := p.backSubstitute()
	written := make([]bool, p.slots)
	for _, o := range p.ops {
		written[o.a] = true
	}
	out := plan{ops: fuse(p.ops), slots: int(p.slots), x: x}
	base := p.slots
	for _, l := range p.sys.laws {
		out.lawAt = append(out.lawAt, base)
		base++
		if _, ok := l.(TwoPortLaw); ok {
			base += 2
		}
	}
	out.slots = int(base)
	for r := range p.n {
		for _, c := range p.sys.columns(r) {
			e, slot := p.sys.rows[r][c], p.slot[r][c]
			st := stamp{slot, e.t.G, e.t.C, e.t.L}
			if len(e.terms) == 0 && e.t.C == 0 && e.t.L == 0 && !written[slot] {
				out.consts = append(out.consts, st)
			} else {
				out.stamps = append(out.stamps, st)
			}
			for _, t := range e.terms {
				out.lawStamp = append(out.lawStamp, lawStamp{slot, out.lawAt[t.law] + int32(t.part), t.by})
			}
		}
	}
	return out
}

// backSubstitute emits x = (b − Σ a·x)/pivot from the last pivot to the first.
// It writes to slots of its own, so that the right-hand side may stay constant.
func (p *planner) backSubstitute() []int32 {
	x := make([]int32, p.n)
	done := make([]bool, p.n)
	for k := p.n - 1; k >= 0; k-- {
		r, c := p.order[k][0], p.order[k][1]
		sum := p.newSlot()
		begun := false
		if s := p.slot[r][p.n]; s >= 0 {
			p.emit(op{kind: opCopy, a: u(sum), b: u(s)})
			begun = true
		}
		for j := range p.n {
			if !done[j] || p.slot[r][j] < 0 {
				continue
			}
			switch {
			case p.konst[r][j] && begun:
				p.emit(op{kind: opFmsR, a: u(sum), b: u(x[j]), k: p.real[r][j]})
			case p.konst[r][j]:
				p.emit(op{kind: opNegR, a: u(sum), b: u(x[j]), k: p.real[r][j]})
			case begun:
				p.emit(op{kind: opFms, a: u(sum), b: u(p.slot[r][j]), c: u(x[j])})
			default:
				p.emit(op{kind: opFmsNeg, a: u(sum), b: u(p.slot[r][j]), c: u(x[j])})
			}
			begun = true
		}
		x[c] = p.newSlot()
		if begun {
			p.emit(op{kind: opMul, a: u(x[c]), b: u(sum), c: u(p.pivSlot[k])})
		}
		done[c] = true
	}
	return x
}

// fuse joins pairs of operations of which the second takes the result of the
// first, so that it need not go through memory: most of the time of a replay
// is waiting for such results.
func fuse(ops []op) []op {
	reads := map[uint16]int{}
	for _, o := range ops {
		reads[o.b]++
		switch o.kind {
		case opMul, opFmsNeg:
			reads[o.c]++
		case opFms:
			reads[o.c]++
			reads[o.a]++
		case opFmsR:
			reads[o.a]++
		}
	}
	var out []op
	for i := 0; i < len(ops); i++ {
		a := ops[i]
		if i+1 == len(ops) {
			out = append(out, a)
			break
		}
		b := ops[i+1]
		next := b.b == a.a && b.a != a.a
		alone := next && reads[a.a] == 1 // nothing else reads the first result
		switch {
		case a.kind == opRecip && b.kind == opFmsR && next:
			out = append(out, op{kind: opRecipFms, a: a.a, b: a.b, c: b.a, k: b.k})
			i++
		case a.kind == opNegR && b.kind == opMul && alone:
			out = append(out, op{kind: opMulNegR, a: b.a, b: a.b, c: b.c, k: a.k})
			i++
		case a.kind == opCopy && b.kind == opMul && alone:
			out = append(out, op{kind: opMul, a: b.a, b: a.b, c: b.c})
			i++
		default:
			out = append(out, a)
		}
	}
	return out
}
