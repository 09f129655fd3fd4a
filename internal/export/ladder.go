package export

import (
	"fmt"
	"math"
	"math/cmplx"

	"gonum.org/v1/gonum/mat"
)

// Ladder is a chain of inductances, each but the first with a resistance
// beside it, that stands for a law which no finite circuit has exactly. Its
// error over Band is the largest there.
type Ladder struct {
	Part     string
	Sections []Section
	ErrorDB  float64 // of the magnitude
	ErrorDeg float64 // of the angle
}

// Section is L ∥ R; R = 0 is L alone.
type Section struct{ L, R float64 }

// The band in which a ladder is fitted, Hz, and how its poles lie.
const (
	ladderFrom     = 5.0
	ladderTo       = 2000.0
	polesPerDecade = 3
	polesBeyond    = 1.5 // decades on either side
)

// String states the ladder's error.
func (l Ladder) String() string {
	return fmt.Sprintf("%s is written as a ladder of %d sections, off by at most %.2g dB and %.2g deg from %.0f Hz to %.0f Hz", l.Part, len(l.Sections), l.ErrorDB, l.ErrorDeg, ladderFrom, ladderTo)
}

// fit finds the ladder for an impedance z(ω) that behaves like an inductance
// with relaxation: z/(jω) = L0 + Σ Lk/(1 + jω·τk) with all Lk ≥ 0, by least
// squares over relative errors on poles that are spaced evenly in log τ. A
// section Lk/(1 + jωτk) times jω is Lk beside the resistance Lk/τk.
func fit(part string, z func(w float64) complex128) Ladder {
	const points = 200
	var tau []float64
	lo, hi := math.Log10(ladderFrom)-polesBeyond, math.Log10(ladderTo)+polesBeyond
	count := int(math.Ceil((hi-lo)*polesPerDecade)) + 1
	for k := range count {
		f := math.Pow(10, lo+(hi-lo)*float64(k)/float64(count-1))
		tau = append(tau, 1/(2*math.Pi*f))
	}
	a := mat.NewDense(2*points, count+1, nil)
	b := mat.NewVecDense(2*points, nil)
	for i := range points {
		w := 2 * math.Pi * ladderFrom * math.Pow(ladderTo/ladderFrom, float64(i)/(points-1))
		t := z(w) / complex(0, w)
		size := complex(cmplx.Abs(t), 0)
		set := func(k int, v complex128) {
			a.Set(2*i, k, real(v/size))
			a.Set(2*i+1, k, imag(v/size))
		}
		set(0, 1)
		for k, x := range tau {
			set(k+1, 1/complex(1, w*x))
		}
		b.SetVec(2*i, real(t/size))
		b.SetVec(2*i+1, imag(t/size))
	}
	x := nonNegative(a, b)
	l := Ladder{Part: part}
	for k, v := range x {
		switch {
		case v <= 0:
		case k == 0:
			l.Sections = append(l.Sections, Section{L: v})
		default:
			l.Sections = append(l.Sections, Section{L: v, R: v / tau[k-1]})
		}
	}
	l.measure(z)
	return l
}

// At is the ladder's impedance.
func (l Ladder) At(w float64) complex128 {
	var z complex128
	for _, s := range l.Sections {
		jwl := complex(0, w*s.L)
		if s.R > 0 {
			z += jwl * complex(s.R, 0) / (complex(s.R, 0) + jwl)
		} else {
			z += jwl
		}
	}
	return z
}

// measure finds the largest error over the band, between the fitted points too.
func (l *Ladder) measure(z func(w float64) complex128) {
	for i := range 997 {
		w := 2 * math.Pi * ladderFrom * math.Pow(ladderTo/ladderFrom, float64(i)/996)
		r := l.At(w) / z(w)
		l.ErrorDB = math.Max(l.ErrorDB, math.Abs(20*math.Log10(cmplx.Abs(r))))
		l.ErrorDeg = math.Max(l.ErrorDeg, math.Abs(cmplx.Phase(r))*180/math.Pi)
	}
}

// nonNegative solves min |a·x − b| with x ≥ 0 by the active-set method of
// Lawson & Hanson (1974, chapter 23).
func nonNegative(a *mat.Dense, b *mat.VecDense) []float64 {
	rows, n := a.Dims()
	x := make([]float64, n)
	passive := make([]bool, n)
	r := mat.NewVecDense(rows, nil)
	for range 10 * n { // each round adds an unknown; the cap is a safeguard
		r.MulVec(a, mat.NewVecDense(n, x))
		r.SubVec(b, r)
		best, grad := -1, 1e-12
		for k := range n {
			if g := mat.Dot(a.ColView(k), r); !passive[k] && g > grad {
				best, grad = k, g
			}
		}
		if best < 0 {
			return x
		}
		passive[best] = true
		for {
			s, ok := leastSquares(a, b, passive)
			if !ok {
				passive[best] = false
				return x
			}
			step, block := 1.0, -1
			for k := range n {
				if passive[k] && s[k] <= 0 {
					if t := x[k] / (x[k] - s[k]); t < step {
						step, block = t, k
					}
				}
			}
			for k := range n {
				x[k] += step * (s[k] - x[k])
			}
			if block < 0 {
				break
			}
			for k := range n {
				if passive[k] && x[k] <= 0 {
					passive[k], x[k] = false, 0
				}
			}
			passive[block], x[block] = false, 0
		}
	}
	return x
}

// leastSquares solves for the passive unknowns; the others are zero.
func leastSquares(a *mat.Dense, b *mat.VecDense, passive []bool) ([]float64, bool) {
	rows, n := a.Dims()
	var cols []int
	for k, p := range passive {
		if p {
			cols = append(cols, k)
		}
	}
	sub := mat.NewDense(rows, len(cols), nil)
	for i, k := range cols {
		sub.SetCol(i, mat.Col(nil, k, a))
	}
	var qr mat.QR
	qr.Factorize(sub)
	if qr.Cond() > 1e13 {
		return nil, false
	}
	y := mat.NewVecDense(len(cols), nil)
	if err := qr.SolveVecTo(y, false, b); err != nil {
		return nil, false
	}
	out := make([]float64, n)
	for i, k := range cols {
		out[k] = y.AtVec(i)
	}
	return out, true
}
