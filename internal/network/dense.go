package network

import (
	"math"
	"math/cmplx"
)

// singularLimit is the smallest pivot of the equilibrated equations that is
// taken for more than rounding.
const singularLimit = 1e-14

// dense is the workspace of the pivoted solve.
type dense struct {
	lu   [][]complex128
	perm []int
	x    []complex128
}

// pivoted solves with full equilibration and partial pivoting. It is slower
// than the compiled elimination by an order of magnitude and allocates.
func (s *Solver) pivoted() error {
	s.Pivoted++
	n := s.p.sys.n
	a := s.p.sys.matrix(s.w)
	_, cols := equilibrate(a, n)
	d := &dense{lu: make([][]complex128, n), perm: make([]int, n), x: make([]complex128, n)}
	b := make([]complex128, n)
	for i := range n {
		d.lu[i] = append([]complex128(nil), a[i][:n]...)
		d.perm[i] = i
		b[i] = a[i][n]
	}
	if c, ok := d.factor(); !ok {
		return &SingularError{Part: s.p.sys.names[d.culprit(c)], Frequency: s.w / (2 * math.Pi)}
	}
	d.solve(b, d.x)
	d.refine(a, b)
	for i := range d.x {
		d.x[i] *= complex(cols[i], 0)
		if !finite(d.x[i]) {
			return &SingularError{Part: s.p.sys.names[i], Frequency: s.w / (2 * math.Pi)}
		}
	}
	s.x = d.x
	return nil
}

// factor decomposes in place. Where no pivot is left it returns the column.
func (d *dense) factor() (col int, ok bool) {
	n := len(d.lu)
	for k := range n {
		best := k
		for i := k + 1; i < n; i++ {
			if cmplx.Abs(d.lu[i][k]) > cmplx.Abs(d.lu[best][k]) {
				best = i
			}
		}
		d.lu[k], d.lu[best] = d.lu[best], d.lu[k]
		d.perm[k], d.perm[best] = d.perm[best], d.perm[k]
		piv := d.lu[k][k]
		if !(cmplx.Abs(piv) > singularLimit) {
			return k, false
		}
		for i := k + 1; i < n; i++ {
			f := d.lu[i][k] / piv
			d.lu[i][k] = f
			if f == 0 {
				continue
			}
			for j := k + 1; j < n; j++ {
				d.lu[i][j] -= f * d.lu[k][j]
			}
		}
	}
	return 0, true
}

// culprit is the unknown that is largest in the direction that the equations
// leave free: with column k without a pivot, U[0:k, 0:k]·z = −U[0:k, k], z[k] = 1.
func (d *dense) culprit(k int) int {
	z := make([]complex128, k+1)
	z[k] = 1
	for i := k - 1; i >= 0; i-- {
		sum := -d.lu[i][k]
		for j := i + 1; j < k; j++ {
			sum -= d.lu[i][j] * z[j]
		}
		z[i] = sum / d.lu[i][i]
	}
	best := k
	for i, v := range z {
		if cmplx.Abs(v) > cmplx.Abs(z[best]) {
			best = i
		}
	}
	return best
}

func (d *dense) solve(b, x []complex128) {
	n := len(b)
	for i := range n {
		x[i] = b[d.perm[i]]
		for j := range i {
			x[i] -= d.lu[i][j] * x[j]
		}
	}
	for i := n - 1; i >= 0; i-- {
		for j := i + 1; j < n; j++ {
			x[i] -= d.lu[i][j] * x[j]
		}
		x[i] /= d.lu[i][i]
	}
}

// refine improves the answer by one step of iterative refinement.
func (d *dense) refine(a [][]complex128, b []complex128) {
	n := len(b)
	r, dx := make([]complex128, n), make([]complex128, n)
	for i := range n {
		r[i] = b[i]
		for j := range n {
			r[i] -= a[i][j] * d.x[j]
		}
	}
	d.solve(r, dx)
	for i := range n {
		d.x[i] += dx[i]
	}
}
