package export

import (
	"fmt"
	"math"
	"math/cmplx"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"basswright/internal/network"
)

// Any coil of the power law and any suspension with creep becomes a ladder of
// positive parts, off by less than 0.02 dB in the band, and says its error
// truly: at no frequency in the band is it further off.
func TestLaddersOfAnyLaw(t *testing.T) {
	laws := map[string]func(t *rapid.T) func(w float64) complex128{
		"power law": func(t *rapid.T) func(w float64) complex128 {
			return network.PowerLaw{K: math.Exp(rapid.Float64Range(-9, 0).Draw(t, "k")), N: rapid.Float64Range(0.3, 1).Draw(t, "n")}.At
		},
		"creep": func(t *rapid.T) func(w float64) complex128 {
			c := network.Creep{
				Cms:    math.Exp(rapid.Float64Range(-10, -6).Draw(t, "cms")),
				Lambda: rapid.Float64Range(0.01, 0.3).Draw(t, "lambda"),
				Ws:     2 * math.Pi * rapid.Float64Range(15, 80).Draw(t, "fs"),
			}
			return func(w float64) complex128 { return 1 / c.At(w) }
		},
	}
	for name, draw := range laws {
		t.Run(name, func(t *testing.T) {
			worst := 0.0
			rapid.Check(t, func(t *rapid.T) {
				z := draw(t)
				l := fit("part", z)
				if len(l.Sections) == 0 || !(l.ErrorDB < 0.02) || !(l.ErrorDeg < 0.2) {
					t.Fatalf("%d sections, off by %.3g dB and %.3g degrees", len(l.Sections), l.ErrorDB, l.ErrorDeg)
				}
				for _, s := range l.Sections {
					if !(s.L > 0) || !(s.R >= 0) {
						t.Fatalf("a section of %g H and %g ohm", s.L, s.R)
					}
				}
				// the error is measured at 997 frequencies: between them it may
				// be larger by the square of their spacing, far below a tenth
				f := rapid.Float64Range(math.Log(ladderFrom), math.Log(ladderTo)).Draw(t, "log f")
				w := 2 * math.Pi * math.Exp(f)
				r := l.At(w) / z(w)
				if db := math.Abs(20 * math.Log10(cmplx.Abs(r))); db > 1.1*l.ErrorDB+1e-12 {
					t.Fatalf("off by %.3g dB, says %.3g dB", db, l.ErrorDB)
				}
				if deg := math.Abs(cmplx.Phase(r)) * 180 / math.Pi; deg > 1.1*l.ErrorDeg+1e-12 {
					t.Fatalf("off by %.3g degrees, says %.3g", deg, l.ErrorDeg)
				}
				worst = math.Max(worst, l.ErrorDB)
			})
			t.Logf("the worst ladder is off by %.2g dB", worst)
		})
	}
}

// A pure inductance needs no loss: the ladder is it to the rounding of the fit.
func TestLadderOfAnInductance(t *testing.T) {
	l := fit("merlin-10 motor", network.PowerLaw{K: 1e-3, N: 1}.At)
	if r := l.At(100) / complex(0, 0.1); cmplx.Abs(r-1) > 1e-9 {
		t.Errorf("off by %.2g", cmplx.Abs(r-1))
	}
	want := fmt.Sprintf("merlin-10 motor is written as a ladder of %d sections", len(l.Sections))
	if !strings.HasPrefix(l.String(), want) {
		t.Errorf("%q", l.String())
	}
}

// The non-negative least squares: the answer made first. Where the best answer
// is positive it is found; where it is not, the conditions of Karush, Kuhn and
// Tucker hold: the gradient is 0 for what is positive and not downhill for the rest.
func TestNonNegativeLeastSquares(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(t, "unknowns")
		rows := n + rapid.IntRange(1, 6).Draw(t, "more rows")
		a, b := mat.NewDense(rows, n, nil), mat.NewVecDense(rows, nil)
		for i := range rows {
			for k := range n {
				a.Set(i, k, rapid.Float64Range(-1, 1).Draw(t, "a"))
			}
			a.Set(i, i%n, a.At(i, i%n)+4) // well away from singular
			b.SetVec(i, rapid.Float64Range(-1, 1).Draw(t, "b"))
		}
		x := nonNegative(a, b)
		r := mat.NewVecDense(rows, nil)
		r.MulVec(a, mat.NewVecDense(n, x))
		r.SubVec(b, r)
		for k := range n {
			g := mat.Dot(a.ColView(k), r)
			if x[k] < 0 || x[k] > 0 && math.Abs(g) > 1e-10 || x[k] == 0 && g > 1e-10 {
				t.Fatalf("unknown %d is %g with gradient %g", k, x[k], g)
			}
		}
	})
}
