package large

import (
	"math"
	"math/cmplx"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
)

// Tone finds the steady state of a model under a sine of one frequency, at one
// level after another. It is not for concurrent use.
type Tone struct {
	m    *Model
	f    float64 // Hz
	grid *grid
	net  answers

	// The unknown: what each port sees, as waves of width() numbers.
	y, r, step   []float64
	source       []float64 // what each port is given, as waves
	seen, given  [][]float64
	slopes       []slope
	jac          blas64.General
	pivots       []int
	factored     bool
	before, last []float64 // the last two states that were followed
	back         float64   // V rms from the one before up to the state in y; 0: there is none
	ahead        []float64 // the state that was expected
	surprise     float64   // how far from there it was found
	tangent      []float64 // how it changes with the level
	anchor       []float64 // the state of the last factorization
	off          []float64
	volts        float64 // of the state in y; 0: none yet
	probe        *probe  // of whether states last; nil as long as it is not probed, and where it is not known
	probed       bool
}

// slope is how what port q is given changes with what port r sees.
type slope struct {
	q, r int
	wave []float64
	c    []complex128
}

// NewTone prepares for a sine of f, in Hz, followed up to the given harmonic.
// The error is a *network.SingularError.
func (m *Model) NewTone(f float64, harmonics int) (*Tone, error) {
	g := m.grids.of(harmonics)
	net, err := m.answer(f, harmonics)
	if err != nil {
		return nil, err
	}
	t := &Tone{m: m, f: f, grid: g, net: net}
	p, w := len(m.ports), len(g.waves)
	n := p * w
	for _, v := range []*[]float64{&t.y, &t.r, &t.step, &t.before, &t.last, &t.ahead, &t.tangent, &t.anchor, &t.off, &t.source} {
		*v = make([]float64, n)
	}
	for range p {
		t.seen, t.given = append(t.seen, make([]float64, g.n)), append(t.given, make([]float64, g.n))
	}
	for i := range m.motors {
		mt := &m.motors[i]
		t.slope(mt.i, mt.i)
		t.slope(mt.i, mt.x)
		t.slope(mt.x, mt.i)
		t.slope(mt.x, mt.x)
		if mt.w >= 0 {
			t.slope(mt.w, mt.w)
			t.slope(mt.w, mt.x)
			t.slope(mt.x, mt.w)
		}
	}
	for _, a := range m.airs {
		t.slope(a.port, a.port)
	}
	t.jac = blas64.General{Rows: n, Cols: n, Stride: n, Data: make([]float64, n*n)}
	t.pivots = make([]int, n)
	return t, nil
}

// slope returns the wave that says how port q's gift changes with what r sees.
func (t *Tone) slope(q, r int) []float64 {
	for i := range t.slopes {
		if t.slopes[i].q == q && t.slopes[i].r == r {
			return t.slopes[i].wave
		}
	}
	s := slope{q: q, r: r, wave: make([]float64, t.grid.n), c: make([]complex128, len(t.grid.cos))}
	t.slopes = append(t.slopes, s)
	return s.wave
}

// The search for a steady state.
const (
	closeEnough = 1e-12 // residual, as a share of what a port sees
	roughly     = 1e-8  // residual at which rounding may stop the search
	mostSteps   = 40
	slowly      = 0.2 // gain of a step with an old factorization below which a new one is made
)

// phasor of the source: volts·√2·sin(ωt).
func phasor(volts float64) complex128 { return complex(0, -math.Sqrt2*volts) }

// answer writes the small-signal answer.
func (t *Tone) answer(to []float64, volts float64) {
	clear(to)
	w, e := len(t.grid.waves), phasor(volts)
	for p := range t.m.ports {
		y := t.net.source[p] * e
		to[p*w+1], to[p*w+2] = real(y), imag(y)
	}
}

// linear puts the small-signal answer into the unknown.
func (t *Tone) linear(volts float64) {
	t.answer(t.y, volts)
	t.factored, t.back = false, 0
}

// newton searches from where the unknown is. It says whether it arrived.
func (t *Tone) newton(volts float64) bool {
	last := math.Inf(1)
	fresh := false
	for range mostSteps {
		size := t.residual(volts)
		switch {
		case math.IsNaN(size) || math.IsInf(size, 0):
			return false
		case size < closeEnough:
			t.volts = volts
			return true
		case size < roughly && size > last/2 && fresh:
			t.volts = volts
			return true
		}
		if fresh && size > last { // a step too far
			if !t.shorten(volts, last) {
				return false
			}
			size = t.residual(volts)
		}
		fresh = !t.factored || size > slowly*last
		if fresh {
			t.slopesNow()
			if !t.factor() {
				return false
			}
		}
		copy(t.step, t.r)
		t.solve(t.step)
		for i := range t.y {
			t.y[i] -= t.step[i]
		}
		last = size
	}
	return false
}

// shorten takes back a part of the last step until the residual is less than
// it was before it.
func (t *Tone) shorten(volts, before float64) bool {
	part := 1.0
	for range 8 {
		part /= 2
		for i := range t.y {
			t.y[i] += part * t.step[i]
		}
		if t.residual(volts) < before {
			t.factored = false
			return true
		}
	}
	return false
}

// evaluate brings the unknown into time, evaluates the remainders there and
// brings what they give back.
func (t *Tone) evaluate() {
	w := len(t.grid.waves)
	for p := range t.m.ports {
		t.grid.inTime(t.y[p*w:(p+1)*w], t.seen[p])
		clear(t.given[p])
	}
	for i := range t.m.motors {
		m := &t.m.motors[i]
		xs, is, fx, fi := t.seen[m.x], t.seen[m.i], t.given[m.x], t.given[m.i]
		for k := range xs {
			r := m.at(xs[k], is[k])
			fi[k] += r.flux
			fx[k] += r.force
		}
		if m.w >= 0 {
			ws, fw := t.seen[m.w], t.given[m.w]
			for k := range xs {
				r := m.eddyAt(xs[k], ws[k])
				fw[k] += r.flux
				fx[k] += r.force
			}
		}
	}
	for i := range t.m.airs {
		a := &t.m.airs[i]
		ps, q := t.seen[a.port], t.given[a.port]
		for k := range ps {
			q[k], _ = a.law.at(ps[k])
		}
	}
	for p := range t.m.ports {
		t.grid.phasors(t.given[p], t.source[p*w:(p+1)*w])
	}
}

// residual is how far the unknown is from what the network answers to what it
// is given: the largest over the ports, as a share of what the port sees.
func (t *Tone) residual(volts float64) float64 {
	t.evaluate()
	w, ports := len(t.grid.waves), len(t.m.ports)
	e := phasor(volts)
	worst := 0.0
	for p := range ports {
		y, r := t.y[p*w:(p+1)*w], t.r[p*w:(p+1)*w]
		z := t.net.z[0][p*ports : (p+1)*ports]
		r[0] = y[0]
		for q := range ports {
			r[0] -= real(z[q]) * t.source[q*w]
		}
		size, off := y[0]*y[0], r[0]*r[0]
		for n := 1; n <= t.grid.h; n++ {
			z := t.net.z[n][p*ports : (p+1)*ports]
			v := complex(y[2*n-1], y[2*n])
			if n == 1 {
				v -= t.net.source[p] * e
			}
			for q, zq := range z {
				v -= zq * complex(t.source[q*w+2*n-1], t.source[q*w+2*n])
			}
			r[2*n-1], r[2*n] = real(v), imag(v)
			size += y[2*n-1]*y[2*n-1] + y[2*n]*y[2*n]
			off += real(v)*real(v) + imag(v)*imag(v)
		}
		if off > 0 {
			worst = math.Max(worst, math.Sqrt(off/(size+off)))
		}
		if math.IsNaN(off) {
			return off
		}
	}
	return worst
}

// slopesNow evaluates the derivatives of the remainders at the waves in seen.
func (t *Tone) slopesNow() {
	for i := range t.slopes {
		clear(t.slopes[i].wave)
	}
	for i := range t.m.motors {
		m := &t.m.motors[i]
		xs, is := t.seen[m.x], t.seen[m.i]
		ii, ix, xi, xx := t.slope(m.i, m.i), t.slope(m.i, m.x), t.slope(m.x, m.i), t.slope(m.x, m.x)
		for k := range xs {
			r := m.at(xs[k], is[k])
			ii[k] += r.fluxI
			ix[k] += r.fluxX
			xi[k] += r.forceI
			xx[k] += r.forceX
		}
		if m.w >= 0 {
			ws := t.seen[m.w]
			ww, wx, xw := t.slope(m.w, m.w), t.slope(m.w, m.x), t.slope(m.x, m.w)
			for k := range xs {
				r := m.eddyAt(xs[k], ws[k])
				ww[k] += r.fluxI
				wx[k] += r.fluxX
				xw[k] += r.forceI
				xx[k] += r.forceX
			}
		}
	}
	for i := range t.m.airs {
		a := &t.m.airs[i]
		ps, s := t.seen[a.port], t.slope(a.port, a.port)
		for k := range ps {
			_, s[k] = a.law.at(ps[k])
		}
	}
}

// factor writes the derivative of the residual and factors it.
func (t *Tone) factor() bool {
	copy(t.anchor, t.y)
	h, ports, w := t.grid.h, len(t.m.ports), len(t.grid.waves)
	for i := range t.slopes {
		t.grid.spectrum(t.slopes[i].wave, t.slopes[i].c)
	}
	j := t.jac.Data
	clear(j)
	for i := range ports * w {
		j[i*t.jac.Stride+i] = 1
	}
	for i := range t.slopes {
		s := &t.slopes[i]
		for p := range ports {
			t.block(j, p, s, h, ports, w)
		}
	}
	t.factored = lapack64.Getrf(t.jac, t.pivots)
	return t.factored
}

// solve turns a residual into the step that removes it, by the factored derivative.
func (t *Tone) solve(x []float64) {
	for k, p := range t.pivots {
		x[k], x[p] = x[p], x[k]
	}
	v := blas64.Vector{N: len(x), Inc: 1, Data: x}
	half := blas64.Triangular{N: len(x), Stride: t.jac.Stride, Data: t.jac.Data, Uplo: blas.Lower, Diag: blas.Unit}
	blas64.Trsv(blas.NoTrans, half, v)
	half.Uplo, half.Diag = blas.Upper, blas.NonUnit
	blas64.Trsv(blas.NoTrans, half, v)
}

// block takes one slope's share off the rows of port p. Multiplying a wave by a
// slope of coefficients c turns its phasors Yₙ into Σ c₍ₘ₋ₙ₎·Yₙ + c₍ₘ₊ₙ₎·Yₙ*.
func (t *Tone) block(j []float64, p int, s *slope, h, ports, w int) {
	stride := t.jac.Stride
	row, col := p*w, s.r*w
	z0 := real(t.net.z[0][p*ports+s.q])
	j0 := j[row*stride+col:]
	j0[0] -= z0 * real(s.c[0])
	for n := 1; n <= h; n++ {
		j0[2*n-1] -= z0 * real(s.c[n])
		j0[2*n] -= z0 * imag(s.c[n])
	}
	for m := 1; m <= h; m++ {
		z := t.net.z[m][p*ports+s.q]
		re, im := j[(row+2*m-1)*stride+col:], j[(row+2*m)*stride+col:]
		c := z * s.c[m]
		re[0] -= 2 * real(c)
		im[0] -= 2 * imag(c)
		for n := 1; n <= h; n++ {
			d := s.c[max(m-n, n-m)]
			if n > m {
				d = cmplx.Conj(d)
			}
			a, b := z*d, z*s.c[m+n]
			re[2*n-1] -= real(a) + real(b)
			re[2*n] -= imag(b) - imag(a)
			im[2*n-1] -= imag(a) + imag(b)
			im[2*n] -= real(a) - real(b)
		}
	}
}

// tail is the size of the two highest harmonics as a share of the largest, the
// largest over the ports.
func (t *Tone) tail() float64 {
	w, worst := len(t.grid.waves), 0.0
	for p := range t.m.ports {
		y := t.y[p*w : (p+1)*w]
		most, last := 0.0, 0.0
		for n := 1; n <= t.grid.h; n++ {
			a := math.Hypot(y[2*n-1], y[2*n])
			if most = math.Max(most, a); n > t.grid.h-2 {
				last = math.Max(last, a)
			}
		}
		if most > 0 {
			worst = math.Max(worst, last/most)
		}
	}
	return worst
}
