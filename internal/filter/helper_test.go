package filter

import (
	"errors"
	"math"
	"math/cmplx"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func must(t testing.TB) func(Chain, error) Chain {
	return func(c Chain, err error) Chain {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
}

func digital(t testing.TB, c Chain, rate float64) Digital {
	t.Helper()
	d, err := c.Digital(rate)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func db(h complex128) float64 { return 20 * math.Log10(cmplx.Abs(h)) }

func hz(f float64) float64 { return 2 * math.Pi * f }

// polynomial multiplies the sections' denominators, with x = jω/ωc, ascending.
func polynomial(c Chain) []float64 {
	out := []float64{1}
	for _, s := range c.Sections {
		factor := []float64{s.A0, s.A1, s.A2}
		if s.A2 == 0 {
			factor = factor[:2]
		}
		next := make([]float64, len(out)+len(factor)-1)
		for i, a := range out {
			for k, b := range factor {
				next[i+k] += a * b
			}
		}
		out = next
	}
	return out
}

// roots are the zeros of a polynomial with ascending coefficients, by the
// simultaneous iteration of Durand 1960 and Kerner 1966: a way to the poles that
// shares nothing with the package.
func roots(c []float64) []complex128 {
	n := len(c) - 1
	z := make([]complex128, n)
	scale := math.Pow(math.Abs(c[0]/c[n]), 1/float64(n))
	for i := range z {
		z[i] = cmplx.Pow(complex(0.4, 0.9), complex(float64(i), 0)) * complex(scale, 0)
	}
	for range 500 {
		for i := range z {
			value, below := complex(0, 0), complex(c[n], 0)
			for k := n; k >= 0; k-- {
				value = value*z[i] + complex(c[k], 0)
			}
			for k := range z {
				if k != i {
					below *= z[i] - z[k]
				}
			}
			z[i] -= value / below
		}
	}
	return z
}

// farthest is how far the farthest of some wanted values is from any of the
// values, relative to itself.
func farthest(got, want []complex128) float64 {
	worst := 0.0
	for _, w := range want {
		near := math.Inf(1)
		for _, g := range got {
			near = math.Min(near, cmplx.Abs(g-w)/cmplx.Abs(w))
		}
		worst = math.Max(worst, near)
	}
	return worst
}

// poles are those of a chain, in units of the sections' F.
func poles(c Chain) []complex128 {
	var out []complex128
	for i := range c.Sections {
		s := &c.Sections[i]
		if s.A2 == 0 {
			out = append(out, complex(-s.A0/s.A1, 0))
			continue
		}
		root := cmplx.Sqrt(complex(s.A1*s.A1-4*s.A2*s.A0, 0))
		out = append(out, (complex(-s.A1, 0)+root)/complex(2*s.A2, 0), (complex(-s.A1, 0)-root)/complex(2*s.A2, 0))
	}
	return out
}

// wherever finds the frequency in (from, to) at which a falling or rising level
// passes through a value.
func wherever(level func(f float64) float64, value, from, to float64) float64 {
	rising := level(to) > level(from)
	for range 200 {
		middle := (from + to) / 2
		if (level(middle) > value) == rising {
			to = middle
		} else {
			from = middle
		}
	}
	return (from + to) / 2
}

// drawn is a chain of one kind of filter with any parameters, and its name.
func drawn(t *rapid.T, lowest, highest float64) (Chain, string) {
	logarithmic := func(what string, from, to float64) float64 {
		v := math.Exp(rapid.Float64Range(math.Log(from), math.Log(to)).Draw(t, what))
		return min(max(v, from), to) // the exponential rounds
	}
	f := logarithmic("f", lowest, highest)
	q := logarithmic("q", 0.05, 100)
	gain := rapid.Float64Range(-40, 40).Draw(t, "gain")
	order := rapid.IntRange(1, 8).Draw(t, "order")
	family := Family(rapid.IntRange(0, 3).Draw(t, "family"))
	if family == LinkwitzRiley {
		order += order % 2
	}
	kinds := []struct {
		name string
		of   func() (Chain, error)
	}{
		{"low-pass", func() (Chain, error) { return LowPass(family, order, f) }},
		{"high-pass", func() (Chain, error) { return HighPass(family, order, f) }},
		{"low-pass by Q", func() (Chain, error) { return LowPassQ(f, q) }},
		{"high-pass by Q", func() (Chain, error) { return HighPassQ(f, q) }},
		{"peak", func() (Chain, error) { return Peak(f, q, gain) }},
		{"low shelf", func() (Chain, error) { return LowShelf(f, q, gain) }},
		{"high shelf", func() (Chain, error) { return HighShelf(f, q, gain) }},
		{"all-pass", func() (Chain, error) { return AllPass(f) }},
		{"all-pass by Q", func() (Chain, error) { return AllPassQ(f, q) }},
		{"pole-zero", func() (Chain, error) {
			fp := min(max(f*logarithmic("ratio", 0.2, 5), lowest), highest)
			c, _, err := PoleZero(f, q, fp, min(q, 20))
			return c, err
		}},
	}
	k := rapid.SampledFrom(kinds).Draw(t, "kind")
	c, err := k.of()
	if err != nil {
		t.Fatalf("%s: %v", k.name, err)
	}
	return c, k.name
}

// refused fails unless an error is an *Error for a key that tells its mend.
func refused(t testing.TB, err error, key, words string) {
	t.Helper()
	var e *Error
	if !errors.As(err, &e) {
		t.Fatalf("%v, want an *Error for %s", err, key)
	}
	if e.Key != key || e.Mend == "" || !strings.Contains(e.Error(), words) {
		t.Errorf("%q for %q, want one for %q with %q", e, e.Key, key, words)
	}
}

// reversed says whether one of the halves of a Linkwitz-Riley crossover of an order
// must be reversed for their sum to be an all-pass: orders 2 and 6 (Lipshitz &
// Vanderkooy 1986), whose halves differ by 180°.
func reversed(order int) bool { return order%4 == 2 }
