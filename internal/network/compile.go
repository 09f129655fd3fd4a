package network

import (
	"fmt"
	"math"
	"math/cmplx"
	"sort"
)

// probes are the frequencies, rad/s, at which pivots are judged while the
// elimination is planned.
var probes = [...]float64{2 * math.Pi * 3, 2 * math.Pi * 17, 2 * math.Pi * 61, 2 * math.Pi * 233, 2 * math.Pi * 1511}

// pivotFloor is the smallest pivot accepted by the plan, as a share of the
// largest entry in its column after equilibration. Small keeps the freedom to
// choose for few operations; the residual is watched in any case.
const pivotFloor = 1e-3

// Program is a network compiled for repeated solving. It is immutable and may
// be shared; each goroutine needs a Solver of its own.
type Program struct {
	sys    *system
	net    *Network
	plan   plan
	check  []stamp // coefficients of the check equation, one an unknown and the last the right-hand side
	checkT []checkTerm
	lawAt  []int32 // first slot of each law's values
}

// A stamp writes G + jωC + L/(jω) to a slot.
type stamp struct {
	slot    int32
	g, c, l float64
}

// A lawStamp adds a law's value to a slot.
type lawStamp struct {
	slot, value int32
	by          float64
}

// checkTerm is a law's share of the check equation.
type checkTerm struct {
	col   int32
	value int32
	by    float64
}

// Compile assembles the equations, chooses the order of elimination and writes
// it down as operations. It fails if the network is incomplete or if no value
// of frequency can make the equations solvable; the error then names the part.
func (n *Network) Compile() (*Program, error) {
	sys, err := n.assemble()
	if err != nil {
		return nil, err
	}
	p := &Program{sys: sys, net: n}
	pl := newPlanner(sys)
	if err := pl.eliminate(); err != nil {
		return nil, err
	}
	p.plan = pl.finish()
	p.lawAt = p.plan.lawAt
	p.makeCheck(pl.rowScale)
	return p, nil
}

// Unknowns is the number of unknowns of the compiled equations.
func (p *Program) Unknowns() int { return p.sys.n }

// Operations is the length of the compiled elimination.
func (p *Program) Operations() int { return len(p.plan.ops) }

// planner chooses pivots on the structure, guarded by values at the probes,
// and emits the operations as it goes.
type planner struct {
	sys      *system
	n        int
	vals     [len(probes)][][]complex128 // equilibrated values, [row][col], right-hand side last
	slot     [][]int32                   // slot of an entry, or -1
	konst    [][]bool                    // entry is real and independent of frequency
	real     [][]float64                 // its value then
	rowDone  []bool
	colDone  []bool
	order    [][2]int // pivots as (row, col)
	pivSlot  []int32
	ops      []op
	slots    int32
	rowScale []float64
}

func newPlanner(s *system) *planner {
	p := &planner{sys: s, n: s.n}
	p.rowDone, p.colDone = make([]bool, s.n), make([]bool, s.n)
	p.slot, p.konst, p.real = make([][]int32, s.n), make([][]bool, s.n), make([][]float64, s.n)
	for r := range s.n {
		p.slot[r], p.konst[r], p.real[r] = make([]int32, s.n+1), make([]bool, s.n+1), make([]float64, s.n+1)
		for c := range s.n + 1 {
			p.slot[r][c] = -1
		}
		for _, c := range s.columns(r) {
			e := s.rows[r][c]
			p.slot[r][c] = p.newSlot()
			if len(e.terms) == 0 && e.t.C == 0 && e.t.L == 0 {
				p.konst[r][c], p.real[r][c] = true, e.t.G
			}
		}
	}
	p.probe()
	return p
}

// columns lists the columns of a row's entries in order.
func (s *system) columns(r int) []int {
	cols := make([]int, 0, len(s.rows[r]))
	for c := range s.rows[r] {
		cols = append(cols, c)
	}
	sort.Ints(cols)
	return cols
}

func (p *planner) newSlot() int32 { p.slots++; return p.slots - 1 }

// probe evaluates the equations at the probes and equilibrates them: rows and
// columns are scaled so that their largest entries are near one (Ruiz 2001,
// simultaneous scaling, a few rounds).
func (p *planner) probe() {
	n := p.n
	p.rowScale = make([]float64, n)
	for k, w := range probes {
		a := p.sys.matrix(w)
		r, _ := equilibrate(a, n)
		for i := range n {
			p.rowScale[i] += math.Log(r[i]) / float64(len(probes))
		}
		p.vals[k] = a
	}
	for i := range n {
		p.rowScale[i] = math.Exp(p.rowScale[i])
	}
}

// matrix evaluates all coefficients at w.
func (s *system) matrix(w float64) [][]complex128 {
	values := make([][]complex128, len(s.laws))
	for i, l := range s.laws {
		switch l := l.(type) {
		case Law:
			values[i] = []complex128{l.At(w)}
		case TwoPortLaw:
			y11, y12, y22 := l.At(w)
			values[i] = []complex128{y11, y12, y22}
		}
	}
	a := make([][]complex128, s.n)
	for r := range a {
		a[r] = make([]complex128, s.n+1)
		for c, e := range s.rows[r] {
			z := e.t.at(w)
			for _, t := range e.terms {
				z += complex(t.by, 0) * values[t.law][t.part]
			}
			a[r][c] = z
		}
	}
	return a
}

// equilibrate scales the rows and first n columns of a in place and returns
// the factors.
func equilibrate(a [][]complex128, n int) (rows, cols []float64) {
	rows, cols = make([]float64, n), make([]float64, n)
	for i := range n {
		rows[i], cols[i] = 1, 1
	}
	for range 8 {
		rm, cm := make([]float64, n), make([]float64, n)
		for i := range n {
			for j := range n {
				m := cmplx.Abs(a[i][j])
				rm[i], cm[j] = max(rm[i], m), max(cm[j], m)
			}
		}
		for i := range n {
			rm[i], cm[i] = invSqrt(rm[i]), invSqrt(cm[i])
			rows[i] *= rm[i]
			cols[i] *= cm[i]
		}
		for i := range n {
			for j := range n {
				a[i][j] *= complex(rm[i]*cm[j], 0)
			}
			a[i][n] *= complex(rm[i], 0)
		}
	}
	return rows, cols
}

func invSqrt(x float64) float64 {
	if x == 0 || math.IsInf(x, 0) || math.IsNaN(x) {
		return 1
	}
	return 1 / math.Sqrt(x)
}

// eliminate picks pivots until none is left.
func (p *planner) eliminate() error {
	p.pivSlot = make([]int32, p.n)
	for k := range p.n {
		r, c, ok := p.pivot()
		if !ok {
			return p.singular()
		}
		p.order = append(p.order, [2]int{r, c})
		p.rowDone[r], p.colDone[c] = true, true
		p.step(k, r, c)
	}
	return nil
}

// pivot finds the entry whose elimination costs least among those that are
// large enough at every probe (Markowitz 1957).
func (p *planner) pivot() (row, col int, ok bool) {
	colMax := p.columnMaxima()
	rowLen, colLen := p.counts()
	best, bestSize := math.MaxInt, 0.0
	for r := range p.n {
		if p.rowDone[r] {
			continue
		}
		for c := range p.n {
			if p.colDone[c] || p.slot[r][c] < 0 {
				continue
			}
			size := p.relative(r, c, colMax)
			if size < pivotFloor {
				continue
			}
			cost := (rowLen[r] - 1) * (colLen[c] - 1)
			if cost < best || cost == best && size > bestSize*1.0001 {
				row, col, ok, best, bestSize = r, c, true, cost, size
			}
		}
	}
	return row, col, ok
}

// columnMaxima is the largest open entry of each column at each probe.
func (p *planner) columnMaxima() [len(probes)][]float64 {
	var m [len(probes)][]float64
	for k := range probes {
		m[k] = make([]float64, p.n)
		for r := range p.n {
			if p.rowDone[r] {
				continue
			}
			for c := range p.n {
				if p.slot[r][c] >= 0 {
					m[k][c] = max(m[k][c], cmplx.Abs(p.vals[k][r][c]))
				}
			}
		}
	}
	return m
}

// relative is the size of an entry against its column, the worst over the
// probes; zero where the whole column is no more than rounding.
func (p *planner) relative(r, c int, colMax [len(probes)][]float64) float64 {
	size := math.Inf(1)
	for k := range probes {
		if colMax[k][c] < 1e-13 {
			return 0
		}
		size = min(size, cmplx.Abs(p.vals[k][r][c])/colMax[k][c])
	}
	if math.IsNaN(size) {
		return 0
	}
	return size
}

func (p *planner) counts() (rows, cols []int) {
	rows, cols = make([]int, p.n), make([]int, p.n)
	for r := range p.n {
		if p.rowDone[r] {
			continue
		}
		for c := range p.n + 1 {
			if p.slot[r][c] < 0 || c < p.n && p.colDone[c] {
				continue
			}
			rows[r]++
			if c < p.n {
				cols[c]++
			}
		}
	}
	return rows, cols
}

// singular says which part makes the equations unsolvable.
func (p *planner) singular() error {
	for c := range p.n {
		if !p.colDone[c] {
			return &SingularError{Part: p.sys.names[c], AllFrequencies: true}
		}
	}
	return &SingularError{AllFrequencies: true}
}

// SingularError reports equations without a single solution.
type SingularError struct {
	Part           string  // the part in which the solution is not determined
	Frequency      float64 // Hz, unless AllFrequencies
	AllFrequencies bool
}

// Error names the part and what is wrong with it.
func (e *SingularError) Error() string {
	where := "at any frequency"
	if !e.AllFrequencies {
		where = fmt.Sprintf("at %.4g Hz", e.Frequency)
	}
	return fmt.Sprintf("the network has no single answer %s: nothing determines what happens in %s", where, e.Part)
}
