package filter

import (
	"math"
	"testing"
)

// Every value out of range is told by its key, with what would do.
func TestValuesOutOfRange(t *testing.T) {
	of := func(_ Chain, err error) error { return err }
	q := func(_ float64, err error) error { return err }
	boxed := func(_ Chain, _ Boost, err error) error { return err }
	for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), -1000, 1e7} {
		for key, errs := range map[string][]error{
			"corner":    {of(LowPass(Butterworth, 2, bad)), of(HighPass(Bessel, 2, bad))},
			"frequency": {of(LowPassQ(bad, 1)), of(HighPassQ(bad, 1)), of(Peak(bad, 1, 1)), of(LowShelf(bad, 1, 1)), of(HighShelf(bad, 1, 1)), of(AllPass(bad)), of(AllPassQ(bad, 1)), boxed(PoleZero(bad, 1, 20, 1)), boxed(PoleZero(20, 1, bad, 1))},
			"q":         {of(LowPassQ(20, bad)), of(HighPassQ(20, bad)), of(Peak(20, bad, 1)), of(LowShelf(20, bad, 1)), of(HighShelf(20, bad, 1)), of(AllPassQ(20, bad)), boxed(PoleZero(20, bad, 20, 1)), boxed(PoleZero(20, 1, 20, bad))},
			"gain":      {of(Peak(20, 1, bad)), of(LowShelf(20, 1, bad)), of(HighShelf(20, 1, bad)), of(Gain(bad)), of(Join(Chain{Gain: bad})), q(ShelfQ(bad, 1))},
			"delay":     {of(Delay(bad)), of(Join(Chain{Delay: bad}))},
			"slope":     {q(ShelfQ(6, bad))},
			"bandwidth": {q(BandwidthQ(bad))},
		} {
			for _, err := range errs {
				refused(t, err, key, "give one from")
			}
		}
	}
	for _, order := range []int{-1, 0, 9} {
		_, err := LowPass(Butterworth, order, 80)
		refused(t, err, "order", "from 1 to 8")
	}
	_, err := LowPass(Family(9), 2, 80)
	refused(t, err, "family", "no family 9")
	for _, hand := range []Chain{{Gain: math.NaN()}, {Delay: -1}} {
		if _, err := hand.Digital(48000); err == nil {
			t.Errorf("%+v is made digital", hand)
		}
	}
}

func TestErrorIsOneLine(t *testing.T) {
	_, err := Peak(40, 0.01, 3)
	if got, want := err.Error(), "q: 0.01 is out of range; give one from 0.05 to 100"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	_, err = HighPass(Butterworth, 4, 0)
	if got, want := err.Error(), "corner: 0\u2009Hz is out of range; give one from 0.01\u2009Hz to 100000\u2009Hz"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// Chains that are joined are the product of their responses, and have bounds.
func TestJoin(t *testing.T) {
	a, b := must(t)(HighPass(Butterworth, 3, 25)), must(t)(Delay(0.5))
	a.Gain, a.Reversed, b.Reversed = -6, true, true
	both := must(t)(Join(a, b))
	if both.Reversed || both.Gain != -6 || both.Delay != 0.5 || len(both.Sections) != 2 {
		t.Errorf("%+v", both)
	}
	both.Sections[0].F = 1 // its own copy
	if a.Sections[0].F != 25 {
		t.Error("Join shares its sections")
	}
	many := make([]Chain, 65)
	for i := range many {
		many[i] = must(t)(Peak(40, 1, 40))
	}
	if all := must(t)(Join(many[:64]...)); math.Abs(db(all.At(hz(40)))-64*40) > 1e-9 {
		t.Errorf("%g dB", db(all.At(hz(40))))
	}
	_, err := Join(many...)
	refused(t, err, "sections", "65")
	_, err = Join(b, b, b)
	refused(t, err, "delay", "1000")
	_, err = Join(Chain{Gain: 40}, Chain{Gain: 40})
	refused(t, err, "gain", "80")
}

func TestFamilyNames(t *testing.T) {
	for f, want := range map[Family]string{Butterworth: "Butterworth", Bessel: "Bessel", BesselDelay: "Bessel by delay", LinkwitzRiley: "Linkwitz-Riley", 9: "no family"} {
		if f.String() != want {
			t.Errorf("%d is %q", f, f)
		}
	}
}
