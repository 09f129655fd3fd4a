package phys

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

// As printed, and not as the integral of Levine & Schwinger evaluates: that is
// 0.612701, 0.10 % lower (radiation-070).
func TestRoundEndsAreAsPrinted(t *testing.T) {
	rows := readTable(t, "radiation.csv")
	if EndFree != rows["radiation-067"].values[0] {
		t.Errorf("EndFree is %g", EndFree)
	}
	if exact := rows["radiation-070"].values[0]; math.Abs(EndFree/exact-1) > 1.1e-3 {
		t.Errorf("EndFree is %g, its integral %g", EndFree, exact)
	}
	if exact := rows["radiation-139"].values[0]; math.Abs(EndFlanged-exact) > 0.5e-4 {
		t.Errorf("EndFlanged is %g, its series %g", EndFlanged, exact)
	}
}

// The table gives ten digits of the rigid piston.
func TestRectangularEndAgainstTable(t *testing.T) {
	tested := 0
	for _, r := range readTable(t, "radiation.csv") {
		if !strings.HasPrefix(r.quantity, "rigid rectangular piston") {
			continue
		}
		tested++
		aspect := r.after(t, "aspect ratio ")
		const area = 0.0113
		w := math.Sqrt(area * aspect)
		if got := RectangularEndFlanged(w, area/w) / math.Sqrt(area); math.Abs(got-r.values[0]) > 1e-9 {
			t.Errorf("%g:1: %.10f, want %.10f", aspect, got, r.values[0])
		}
	}
	if tested != 12 {
		t.Errorf("%d rows were tested, not 12", tested)
	}
}

func TestRectangularEndProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := math.Pow(10, rapid.Float64Range(-3, 0).Draw(t, "log w"))
		h := w * math.Pow(10, rapid.Float64Range(-2, 0).Draw(t, "log aspect"))
		d := RectangularEndFlanged(w, h)
		if math.Abs(RectangularEndFlanged(h, w)-d) > 1e-9*d {
			t.Fatalf("%g by %g differs when turned", w, h)
		}
		if math.Abs(RectangularEndFlanged(3*w, 3*h)-3*d) > 1e-9*d {
			t.Fatalf("%g by %g does not scale", w, h)
		}
		// Of all faces of one area the disc carries the most air (Pólya &
		// Szegő 1951 for the like problem of the charged plate).
		disc := 8 / (3 * math.Pi) * math.Sqrt(w*h/math.Pi)
		if !(d > 0) || d >= disc {
			t.Fatalf("%g by %g: %g, the disc of its area %g", w, h, d, disc)
		}
		if free := RectangularEndFree(w, h); math.Abs(free/d-EndFree/EndFlanged) > 1e-12 {
			t.Fatalf("%g by %g: free %g, flanged %g", w, h, free, d)
		}
	})
	for _, side := range []float64{0, -1, math.NaN()} {
		if RectangularEndFlanged(side, 0.1) != 0 || RectangularEndFree(0.1, side) != 0 {
			t.Errorf("a side of %g gives a correction", side)
		}
	}
}

// How far the rigid piston is from a pipe, whose air may move unevenly in its
// mouth: the doc comment of RectangularEndFlanged states these figures. The
// pipe's modes are matched to the half space; 6 of them across the short side
// are within 0.2 % of the limit (with 4: 0.2 % more, with 8: 0.1 % less).
func TestRectangularEndIsAboveThatOfAPipe(t *testing.T) {
	for _, c := range []struct {
		aspect float64
		long   int
		above  float64 // percent
	}{{1, 6, 3.2}, {2, 8, 3.1}, {4, 12, 2.6}, {16, 16, 1.6}} {
		w, h := math.Sqrt(c.aspect), 1/math.Sqrt(c.aspect)
		above := 100 * (RectangularEndFlanged(w, h)/pipeEnd(w, h, c.long, 6) - 1)
		if math.Abs(above-c.above) > 0.1 {
			t.Errorf("%g:1: the piston is %.2f %% above the pipe, want %.1f %%", c.aspect, above, c.above)
		}
	}
}

// pipeEnd is the end correction of a rectangular pipe in an infinite flange at
// low frequency: m × n even modes in the mouth, coupled by the half space,
// each evanescent mode loaded by its own pipe side as well.
func pipeEnd(a, b float64, m, n int) float64 {
	space := spaceCoupling(a, b, m, n)
	size := m*n - 1
	loads, drive := mat.NewSymDense(size, nil), mat.NewVecDense(size, nil)
	for i := range size {
		drive.SetVec(i, -space.At(0, i+1))
		for j := i; j < size; j++ {
			loads.SetSym(i, j, space.At(i+1, j+1))
		}
		x, y := (i+1)/n, (i+1)%n
		decay := math.Hypot(2*math.Pi*float64(x)/a, 2*math.Pi*float64(y)/b)
		loads.SetSym(i, i, loads.At(i, i)+1/decay)
	}
	var factored mat.Cholesky
	if !factored.Factorize(loads) {
		return math.NaN()
	}
	var modes mat.VecDense
	if err := factored.SolveVecTo(&modes, drive); err != nil {
		return math.NaN()
	}
	end := space.At(0, 0)
	for i := range size {
		end += space.At(0, i+1) * modes.AtVec(i)
	}
	return end
}

// spaceCoupling is (1/2πS)·∬∬ φi·φj/R over the mouth, by the correlation of
// the modes and Duffy's map of either triangle, which removes the pole of 1/R.
func spaceCoupling(a, b float64, m, n int) *mat.SymDense {
	var at, weight [48]float64
	quad.Legendre{}.FixedLocations(at[:], weight[:], 0, 1)
	z := mat.NewSymDense(m*n, nil)
	along, across := make([]float64, m*m), make([]float64, n*n)
	add := func(u, v, w float64) {
		correlations(along, m, a, u)
		correlations(across, n, b, v)
		for i := range m * n {
			for j := i; j < m*n; j++ {
				z.SetSym(i, j, z.At(i, j)+w*along[i/n*m+j/n]*across[i%n*n+j%n])
			}
		}
	}
	for i, s := range at {
		for j, t := range at {
			w := weight[i] * weight[j] * 4 * s / (2 * math.Pi)
			add(a*s, b*s*t, w/math.Hypot(a*s, b*s*t))
			cube := t * t * t // the other triangle is steep at its long side
			add(a*s*cube, b*s, 3*t*t*w/math.Hypot(a*s*cube, b*s))
		}
	}
	return z
}

// correlations fills the table of all pairs of n modes of a side, shifted by u.
func correlations(table []float64, n int, side, u float64) {
	for k := range n {
		for p := k; p < n; p++ {
			c := correlation(k, p, side, u)
			table[k*n+p], table[p*n+k] = c, c
		}
	}
}

// correlation of two normalised even modes of a side, shifted by u.
func correlation(k, p int, side, u float64) float64 {
	part := func(alpha, beta float64) float64 {
		along := func(w, phase float64) float64 {
			if w == 0 {
				return (side - u) * math.Cos(phase)
			}
			return (math.Sin(w*(side-u)+phase) - math.Sin(phase)) / w
		}
		return (along(alpha-beta, -beta*u) + along(alpha+beta, beta*u)) / 2
	}
	alpha, beta := 2*math.Pi*float64(k)/side, 2*math.Pi*float64(p)/side
	norm := 0.5
	if k > 0 {
		norm *= math.Sqrt2
	}
	if p > 0 {
		norm *= math.Sqrt2
	}
	return norm * (part(alpha, beta) + part(beta, alpha))
}
