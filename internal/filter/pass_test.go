package filter

import (
	"math"
	"math/cmplx"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/check"
)

const half = 3.010299956639812 // dB, 10·lg 2

// Where a sweep passes through the level of the corner, found without knowing
// the corner.
func TestCornerAsMeasured(t *testing.T) {
	for order := 1; order <= maxOrder; order++ {
		for family, level := range map[Family]float64{Butterworth: -half, Bessel: -half, LinkwitzRiley: -2 * half} {
			if family == LinkwitzRiley && order%2 != 0 {
				continue
			}
			low, high := must(t)(LowPass(family, order, 63)), must(t)(HighPass(family, order, 63))
			for name, c := range map[string]Chain{"low-pass": low, "high-pass": high} {
				f := wherever(func(f float64) float64 { return db(c.At(hz(f))) }, level, 1, 4000)
				check.Near(t, family.String()+" "+name+" corner", f, 63, 63*2e-15*float64(order+3), "rounding of the level, over a slope of 1/2 to 4 per relative step")
			}
		}
	}
}

// The poles from the coefficients of the sections are the zeros of the
// polynomial that they multiply to, found another way.
func TestPolesBySimultaneousIteration(t *testing.T) {
	for order := 1; order <= maxOrder; order++ {
		for _, family := range []Family{Butterworth, Bessel, BesselDelay} {
			for name, c := range map[string]Chain{"low": must(t)(LowPass(family, order, 80)), "high": must(t)(HighPass(family, order, 80))} {
				z := roots(polynomial(c))
				check.Near(t, family.String()+" "+name+": distance of a pole", farthest(z, poles(c)), 0, 1e-9, "the zeros of a polynomial of order 8 lose up to 7 digits of 16")
				for _, p := range z {
					if !(real(p) < 0) {
						t.Errorf("%s of order %d: the pole %v", family, order, p)
					}
				}
			}
		}
	}
}

// |H|² of Butterworth's filter, −3.0103 dB at the corner whatever the order.
func TestButterworthIsButterworths(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		order := rapid.IntRange(1, 8).Draw(t, "order")
		corner := math.Pow(10, rapid.Float64Range(-2, 5).Draw(t, "lg corner"))
		ratio := math.Pow(10, rapid.Float64Range(-3, 3).Draw(t, "lg ratio"))
		low, err := LowPass(Butterworth, order, corner)
		high, err2 := HighPass(Butterworth, order, corner)
		if err != nil || err2 != nil {
			t.Fatal(err, err2)
		}
		want := -10 * math.Log10(1+math.Pow(ratio, float64(2*order)))
		for _, got := range []float64{db(low.At(hz(corner * ratio))), db(high.At(hz(corner / ratio)))} {
			if math.Abs(got-want) > 1e-12+1e-14*math.Abs(want) { // rounding of 8 sections
				t.Fatalf("%.15g dB, want %.15g", got, want)
			}
		}
		if got := db(low.At(hz(corner))); math.Abs(got+half) > 1e-13 {
			t.Fatalf("%.15g dB at the corner", got)
		}
	})
}

// Low plus high is an all-pass, b(−s)/b(s) of Butterworth's polynomial of half
// the order, with the polarity that the order needs, and none with the other:
// at the corner the halves then cancel.
func TestLinkwitzRileySum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		order := 2 * rapid.IntRange(1, 4).Draw(t, "half the order")
		corner := math.Pow(10, rapid.Float64Range(-2, 5).Draw(t, "lg corner"))
		w := hz(corner) * math.Pow(10, rapid.Float64Range(-4, 4).Draw(t, "lg ratio"))
		low, err := LowPass(LinkwitzRiley, order, corner)
		high, err2 := HighPass(LinkwitzRiley, order, corner)
		single, err3 := LowPass(Butterworth, order/2, corner)
		if err != nil || err2 != nil || err3 != nil {
			t.Fatal(err, err2, err3)
		}
		high.Reversed = reversed(order)
		half := single.At(w) // 1/b, so b(−s)/b(s) is half/conj(half)
		want := half / cmplx.Conj(half)
		if got := low.At(w) + high.At(w); cmplx.Abs(got-want) > 1e-13 { // rounding
			t.Fatalf("%v, want %v", got, want)
		}
		high.Reversed = !high.Reversed
		if got := cmplx.Abs(low.At(hz(corner)) + high.At(hz(corner))); got > 1e-13 {
			t.Fatalf("the wrong polarity leaves %g at the corner", got)
		}
	})
}

// What passes, and what is left far from it: n·6.02 dB an octave.
func TestPassLimits(t *testing.T) {
	for order := 1; order <= maxOrder; order++ {
		for _, family := range []Family{Butterworth, Bessel, BesselDelay, LinkwitzRiley} {
			if family == LinkwitzRiley && order%2 != 0 {
				continue
			}
			low, high := must(t)(LowPass(family, order, 40)), must(t)(HighPass(family, order, 40))
			if low.At(0) != 1 || high.At(0) != 0 {
				t.Errorf("%s %d at dc: %v and %v", family, order, low.At(0), high.At(0))
			}
			// order 8 at 1e300 times the corner is below the smallest float64: 0, no NaN
			if l, h := low.At(1e300), high.At(1e300); !(cmplx.Abs(l) <= 1e-290 && cmplx.Abs(h-1) <= 1e-15) {
				t.Errorf("%s %d far above: %v and %v", family, order, l, h)
			}
			slope := db(low.At(hz(4e5))) - db(low.At(hz(8e5)))
			check.Near(t, "slope, dB an octave", slope, 6.020599913279624*float64(order), 1e-6*float64(order), "four decades above the corner the rest is (corner/f)², up to 50 of it for the delay-normalised")
			rise := db(high.At(hz(0.004))) - db(high.At(hz(0.002)))
			check.Near(t, "slope, dB an octave", rise, 6.020599913279624*float64(order), 1e-6*float64(order), "as above")
		}
	}
}

// Negative frequencies are the conjugate, and the two branches of a section
// meet at its F.
func TestSectionsAreReal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, name := drawn(t, 0.01, 100e3)
		w := math.Pow(10, rapid.Float64Range(-12, 20).Draw(t, "lg ω"))
		if a, b := c.At(w), c.At(-w); a != cmplx.Conj(b) || cmplx.IsNaN(a) || cmplx.IsInf(a) {
			t.Fatalf("%s: %v and %v", name, a, b)
		}
		for _, s := range c.Sections {
			w := hz(s.F)
			below, above := s.At(w*(1-1e-9)), s.At(w*(1+1e-9))
			if cmplx.Abs(above-below) > 1e-5*(1e-3+cmplx.Abs(below)) { // at most 2Q·|ΔF/F|·2 of itself, and Q ≤ 100, and a deep cut
				t.Fatalf("%s: %v below and %v above %g Hz", name, below, above, s.F)
			}
		}
	})
}

func TestOddLinkwitzRileySaysWhy(t *testing.T) {
	for _, order := range []int{1, 3, 5, 7} {
		_, err := HighPass(LinkwitzRiley, order, 80)
		refused(t, err, "order", "half its order twice over")
		_, err = LowPass(LinkwitzRiley, order, 80)
		refused(t, err, "order", "2, 4, 6 or 8")
	}
}

func TestPole(t *testing.T) {
	c := must(t)(HighPassQ(25, 1.9))
	if f, q := c.Sections[0].Pole(); math.Abs(f-25) > 1e-14 || math.Abs(q-1.9) > 1e-15 {
		t.Errorf("%g Hz, %g", f, q)
	}
	check.Near(t, "level at the poles", db(c.At(hz(25))), 20*math.Log10(1.9), 1e-13, "rounding")
	c = must(t)(HighPass(Bessel, 3, 25)) // the mirror of the low-pass's poles
	low := must(t)(LowPass(Bessel, 3, 25))
	for i := range c.Sections {
		f, q := c.Sections[i].Pole()
		g, p := low.Sections[i].Pole()
		if math.Abs(f*g-625) > 1e-12 || math.Abs(q-p) > 1e-15 {
			t.Errorf("section %d: %g and %g Hz, Q %g and %g", i, f, g, q, p)
		}
	}
}
