package large

import "math"

// grid is a period cut into points, with the waves of its harmonics. A wave is
// held as 2H+1 numbers: its mean, then the real and imaginary part of each
// harmonic's phasor, x(θ) = y₀ + Σ Re[Yₙ·e^(jnθ)].
type grid struct {
	h, n  int
	waves [][]float64 // [2h+1][n]: 1, cos θ, −sin θ, cos 2θ, …
	cos   [][]float64 // [2h+1][n]: cos kθ, for spectra
	sin   [][]float64
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
	g.waves = append(g.waves, g.cos[0])
	for k := 1; k <= h; k++ {
		minus := make([]float64, n)
		for t := range n {
			minus[t] = -g.sin[k][t]
		}
		g.waves = append(g.waves, g.cos[k], minus)
	}
	return g
}

// inTime writes the wave of y at the points of the period.
func (g *grid) inTime(y, out []float64) {
	out = out[:g.n]
	for t := range out {
		out[t] = y[0]
	}
	for k := 1; k < len(g.waves); k++ {
		v, w := y[k], g.waves[k][:g.n]
		if v == 0 {
			continue
		}
		for t := range out {
			out[t] += v * w[t]
		}
	}
}

// phasors writes the mean and the harmonics of a wave.
func (g *grid) phasors(wave, y []float64) {
	wave = wave[:g.n]
	for k := range g.waves {
		w := g.waves[k][:g.n]
		var sum float64
		for t, v := range wave {
			sum += v * w[t]
		}
		y[k] = sum * 2 / float64(g.n)
	}
	y[0] /= 2
}

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
