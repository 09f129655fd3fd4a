package large

import (
	"math"
	"sync"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
)

// grid is a period cut into points, with the waves of its harmonics. A wave is
// held as 2H+1 numbers: its mean, then the real and imaginary part of each
// harmonic's phasor, x(θ) = y₀ + Σ Re[Yₙ·e^(jnθ)].
type grid struct {
	h, n  int
	waves [][]float64 // [2h+1][n]: 1, cos θ, −sin θ, cos 2θ, …
	cos   [][]float64 // [2h+1][n]: cos kθ, for spectra
	sin   [][]float64
	all   blas64.General // the waves, one behind another
}

// grids are those of a model, by harmonics. A grid is cut by phase and not by time, so that
// it is the same at every frequency, and how finely it is cut is the model's alone.
type grids struct {
	degree int // the highest power in the model's remainders
	sync.Mutex
	by map[int]*grid
}

// of is safe for concurrent use.
func (g *grids) of(h int) *grid {
	g.Lock()
	defer g.Unlock()
	if g.by == nil {
		g.by = map[int]*grid{}
	}
	if g.by[h] == nil {
		g.by[h] = newGrid(h, g.degree)
	}
	return g.by[h]
}

// newGrid returns the grid for h harmonics of which products of the given
// degree stay clear of each other.
func newGrid(h, degree int) *grid {
	n := (min(max(degree, 3), 7) + 1) * h
	n += n%2 + 2
	g := &grid{h: h, n: n}
	round := make([][2]float64, n)
	for t := range round {
		round[t][0], round[t][1] = math.Sincos(2 * math.Pi * float64(t) / float64(n))
	}
	for k := range 2*h + 1 {
		c, s := make([]float64, n), make([]float64, n)
		for t := range n {
			s[t], c[t] = round[k*t%n][0], round[k*t%n][1]
		}
		g.cos, g.sin = append(g.cos, c), append(g.sin, s)
	}
	g.all = blas64.General{Rows: 2*h + 1, Cols: n, Stride: n, Data: make([]float64, (2*h+1)*n)}
	for k := range 2*h + 1 {
		g.waves = append(g.waves, g.all.Data[k*n:(k+1)*n])
	}
	copy(g.waves[0], g.cos[0])
	for k := 1; k <= h; k++ {
		copy(g.waves[2*k-1], g.cos[k])
		for t := range n {
			g.waves[2*k][t] = -g.sin[k][t]
		}
	}
	return g
}

// inTime writes the wave of y at the points of the period.
func (g *grid) inTime(y, out []float64) {
	blas64.Gemv(blas.Trans, 1, g.all, vector(y[:g.all.Rows]), 0, vector(out[:g.n]))
}

// phasors writes the mean and the harmonics of a wave.
func (g *grid) phasors(wave, y []float64) {
	blas64.Gemv(blas.NoTrans, 2/float64(g.n), g.all, vector(wave[:g.n]), 0, vector(y[:g.all.Rows]))
	y[0] /= 2
}

func vector(v []float64) blas64.Vector { return blas64.Vector{N: len(v), Inc: 1, Data: v} }

// spectrum writes the complex Fourier coefficients c₀ … c₂ₕ of a wave.
func (g *grid) spectrum(wave []float64, c []complex128) {
	wave = wave[:g.n]
	for k := range g.cos {
		cs, sn := g.cos[k][:g.n], g.sin[k][:g.n]
		var re, im float64
		for t, v := range wave {
			re += v * cs[t]
			im -= v * sn[t]
		}
		c[k] = complex(re/float64(g.n), im/float64(g.n))
	}
}
