package filter

import (
	"math"
	"math/cmplx"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/check"
)

// What one of them does, one with the opposite gain undoes, phase and all.
func TestEqualisersUndoThemselves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := math.Pow(10, rapid.Float64Range(-2, 5).Draw(t, "lg f"))
		q := math.Pow(10, rapid.Float64Range(-1.3, 2).Draw(t, "lg q"))
		gain := rapid.Float64Range(-40, 40).Draw(t, "gain")
		w := hz(f) * math.Pow(10, rapid.Float64Range(-4, 4).Draw(t, "lg ratio"))
		for name, of := range map[string]func(f, q, gain float64) (Chain, error){"peak": Peak, "low": LowShelf, "high": HighShelf} {
			up, err := of(f, q, gain)
			down, err2 := of(f, q, -gain)
			if err != nil || err2 != nil {
				t.Fatal(err, err2)
			}
			// rounding, times the sharpness of the resonance, 2Q√A
			if h := up.At(w) * down.At(w); cmplx.Abs(h-1) > 1e-12 {
				t.Fatalf("%s: %v", name, h)
			}
		}
	})
}

// The gains that the names promise: of a peak at its frequency and nothing far
// from it, of a shelf on its side, half in dB at its frequency.
func TestEqualiserLevels(t *testing.T) {
	for _, gain := range []float64{-40, -6, 0, 3, 12, 40} {
		for _, q := range []float64{0.05, 0.5, math.Sqrt2 / 2, 4, 100} {
			peak, low, high := must(t)(Peak(50, q, gain)), must(t)(LowShelf(50, q, gain)), must(t)(HighShelf(50, q, gain))
			for _, c := range []struct {
				name              string
				chain             Chain
				below, at, beyond float64
			}{{"peak", peak, 0, gain, 0}, {"low shelf", low, gain, gain / 2, 0}, {"high shelf", high, 0, gain / 2, gain}} {
				for i, want := range []float64{c.below, c.at, c.beyond} {
					got := db(c.chain.At([]float64{0, hz(50), 1e300}[i]))
					check.Near(t, c.name, got, want, 1e-12, "rounding")
				}
			}
		}
	}
}

// Between the frequencies of half the gain lies the bandwidth, whatever the gain.
func TestBandwidth(t *testing.T) {
	for _, octaves := range []float64{0.1, 1.0 / 3, 1, 2.5, 8} {
		for _, gain := range []float64{-12, 2, 20} {
			q, err := BandwidthQ(octaves)
			if err != nil {
				t.Fatal(err)
			}
			c := must(t)(Peak(50, q, gain))
			level := func(f float64) float64 { return db(c.At(hz(f))) }
			from := wherever(level, gain/2, 1e-3, 50)
			to := wherever(level, gain/2, 50, 1e6)
			check.Near(t, "bandwidth, octaves", math.Log2(to/from), octaves, 1e-11, "rounding of a level, over its slope")
		}
	}
}

// S of 1 is the steepest shelf without overshoot; a little more overshoots.
func TestShelfSlope(t *testing.T) {
	top := func(s float64) float64 {
		q, err := ShelfQ(12, s)
		if err != nil {
			t.Fatal(err)
		}
		c := must(t)(LowShelf(50, q, 12))
		most := 0.0
		for f := 0.1; f < 1e4; f *= 1.02 {
			most = max(most, db(c.At(hz(f))))
		}
		return most
	}
	if got := top(1); got > 12+1e-12 {
		t.Errorf("S = 1 overshoots to %.6f dB", got)
	}
	if got := top(1.2); got < 12.01 {
		t.Errorf("S = 1.2 does not overshoot: %.6f dB", got)
	}
	_, err := ShelfQ(40, 2)
	refused(t, err, "slope", "no shelf")
}

func TestAllPasses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := math.Pow(10, rapid.Float64Range(-2, 5).Draw(t, "lg f"))
		q := math.Pow(10, rapid.Float64Range(-1.3, 2).Draw(t, "lg q"))
		w := hz(f) * math.Pow(10, rapid.Float64Range(-4, 4).Draw(t, "lg ratio"))
		one, err := AllPass(f)
		two, err2 := AllPassQ(f, q)
		if err != nil || err2 != nil {
			t.Fatal(err, err2)
		}
		for _, c := range []Chain{one, two} {
			if h := cmplx.Abs(c.At(w)); math.Abs(h-1) > 1e-14 { // rounding
				t.Fatalf("%v", h)
			}
		}
		if h := one.At(hz(f)); cmplx.Abs(h+1i) > 1e-14 {
			t.Fatalf("first order at f: %v", h)
		}
		if h := two.At(hz(f)); cmplx.Abs(h+1) > 1e-14*(1+q) { // rounding of 2πf, times 4Q
			t.Fatalf("second order at f: %v", h)
		}
		// two of the first order are one of the second with Q 1/2
		same, err := AllPassQ(f, 0.5)
		if h := one.At(w) * one.At(w); err != nil || cmplx.Abs(h-same.At(w)) > 1e-14 {
			t.Fatalf("%v and %v, %v", h, same.At(w), err)
		}
	})
}

// The box and its transform together are the box that was wanted, and the boost
// is the largest that a fine sweep finds.
func TestPoleZero(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f0 := rapid.Float64Range(20, 120).Draw(t, "f0")
		fp := rapid.Float64Range(10, 120).Draw(t, "fp")
		q0 := rapid.Float64Range(0.3, 2).Draw(t, "q0")
		qp := rapid.Float64Range(0.3, 2).Draw(t, "qp")
		c, boost, err := PoleZero(f0, q0, fp, qp)
		box, err2 := HighPassQ(f0, q0)
		want, err3 := HighPassQ(fp, qp)
		if err != nil || err2 != nil || err3 != nil {
			t.Fatal(err, err2, err3)
		}
		got, err := Join(box, c)
		if err != nil {
			t.Fatal(err)
		}
		most, at := 0.0, 0.0
		for f := 0.01; f < 1e5; f *= 1.003 {
			a, b := got.At(hz(f)), want.At(hz(f))
			if cmplx.Abs(a-b) > 1e-14*cmplx.Abs(b)*(1+boost.Most) { // rounding
				t.Fatalf("%v at %g Hz, want %v", a, f, b)
			}
			if l := db(c.At(hz(f))); l > most {
				most, at = l, f
			}
		}
		// the sweep passes the summit by at most 0.15 %; there the level has fallen by 1e-4 dB at Q ≤ 2
		if boost.Most < most-1e-9 || boost.Most > most+1e-3 || boost.At != 0 && most > 0.01 && math.Abs(db(c.At(hz(boost.At)))-boost.Most) > 1e-9 {
			t.Fatalf("%+v, the sweep finds %g dB at %g Hz", boost, most, at)
		}
		if math.Abs(boost.DC-40*math.Log10(f0/fp)) > 1e-12 || math.Abs(boost.DC-db(c.At(0))) > 1e-12 || cmplx.Abs(c.At(1e300)-1) > 1e-15 {
			t.Fatalf("%+v; %v at dc, %v far above", boost, c.At(0), c.At(1e300))
		}
	})
}

func TestPoleZeroThatIsNothing(t *testing.T) {
	c, boost, err := PoleZero(40, 0.7, 40, 0.7)
	if err != nil || boost != (Boost{}) {
		t.Errorf("%+v, %v", boost, err)
	}
	if h := c.At(hz(30)); cmplx.Abs(h-1) > 1e-15 {
		t.Error(h)
	}
	// a summit above the dc gain, as in the table's row 154
	_, boost, err = PoleZero(48, 0.62, 31.5, 0.8)
	if err != nil || !(boost.Most > boost.DC+0.5) || boost.At < 15 || boost.At > 25 {
		t.Errorf("%+v, %v", boost, err)
	}
	_, _, err = PoleZero(100, 0.7, 1, 0.7)
	refused(t, err, "boost", "80")
	_, _, err = PoleZero(1, 0.7, 100, 0.7)
	refused(t, err, "boost", "fp nearer")
	_, _, err = PoleZero(30, 2, 30, 0.04)
	refused(t, err, "q", "0.05")
}
