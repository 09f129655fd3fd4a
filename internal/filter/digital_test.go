package filter

import (
	"math"
	"math/cmplx"
	"testing"

	"gonum.org/v1/gonum/dsp/fourier"
	"pgregory.net/rapid"

	"basswright/internal/check"
)

var commonRates = []float64{44100, 48000, 96000}

// The transform put in by hand, for a section at an angle: the response of the
// prototype at the frequency to which the axis is bent.
func bent(c Chain, f, rate float64) complex128 {
	h := complex(1, 0)
	for i := range c.Sections {
		s := &c.Sections[i]
		k := math.Pi * s.F / math.Tan(math.Pi*s.F/rate)
		if s.Plain {
			k = rate
		}
		h *= s.At(2 * k * math.Tan(math.Pi*f/rate))
	}
	return h
}

// rounded is how much the response of a digital chain may differ by the rounding
// of its coefficients, relative to itself: 3e-16 (1.1e-16 of a1, half of it of
// a2, the rest of what they are worked out from) over |1 + a1·z⁻¹ + a2·z⁻²|
// there, and as much for the zeros.
func rounded(d Digital, f float64) float64 {
	sum := 0.0
	sin, cos := math.Sincos(math.Pi * f / d.Rate)
	for _, b := range d.Biquads {
		den := cmplx.Abs(around(1, b.A1, b.A2, sin, cos))
		num := cmplx.Abs(around(b.B0, b.B1, b.B2, sin, cos))
		size := math.Max(math.Abs(b.B0), math.Max(math.Abs(b.B1), math.Abs(b.B2)))
		sum += 3e-16/den + 3e-16*size/num
	}
	return sum
}

// At every frequency the digital response is that of the prototype on the bent
// axis, at the corner that of the prototype itself.
func TestDigitalIsTheBentPrototype(t *testing.T) {
	worst := 0.0
	rapid.Check(t, func(t *rapid.T) {
		rate := rapid.SampledFrom(commonRates).Draw(t, "rate")
		c, name := drawn(t, 1, 0.45*rate)
		d, err := c.Digital(rate)
		if err != nil {
			t.Fatal(name, err)
		}
		f := math.Min(rate*0.499, math.Exp(rapid.Float64Range(math.Log(0.5), math.Log(rate/2)).Draw(t, "lg f")))
		got, want := d.At(hz(f)), bent(c, f, rate)
		may := rounded(d, f)
		if e := cmplx.Abs(got-want) / cmplx.Abs(want); !(e <= may+1e-13) {
			t.Fatalf("%s: %v at %g Hz, want %v; %g of it, %g is rounding", name, got, f, want, e, may)
		} else if may < 1e-3 {
			worst = max(worst, e/(may+1e-13))
		}
		for i := range c.Sections {
			s := &c.Sections[i]
			one := Digital{Rate: rate, Biquads: d.Biquads[i : i+1]}
			at := s.F
			if s.Plain {
				at = 0
			}
			a, b := one.At(hz(at)), s.At(hz(at))
			if e := cmplx.Abs(a - b); !(e <= (rounded(one, math.Max(at, 1e-3))+1e-13)*(cmplx.Abs(b)+1e-300)) && e > 1e-13 {
				t.Fatalf("%s, section %d: %v at its corner, want %v", name, i, a, b)
			}
		}
	})
	t.Logf("the largest error is %.2g of what rounding allows", worst)
}

// The level at the corner is exact at all rates, also where the corner is high.
func TestDigitalCorner(t *testing.T) {
	for _, rate := range commonRates {
		for order := 1; order <= maxOrder; order++ {
			for _, corner := range []float64{15, 80, 1000, 0.3 * rate} {
				for _, of := range []func(Family, int, float64) (Chain, error){LowPass, HighPass} {
					d := digital(t, must(t)(of(Butterworth, order, corner)), rate)
					check.Near(t, "level at the corner", db(d.At(hz(corner))), -half, 8.686*rounded(d, corner)+1e-12, "rounding of the coefficients, which at 15 Hz and 96 kHz is 1e-9 dB")
				}
			}
		}
	}
	// measured without knowing it, at 48 kHz
	d := digital(t, must(t)(LowPass(Butterworth, 4, 80)), 48000)
	f := wherever(func(f float64) float64 { return db(d.At(hz(f))) }, -half, 10, 1000)
	check.Near(t, "corner as measured", f, 80, 80*1e-9, "rounding of the coefficients, over (2π·80/48000)² = 1.1e-4")
}

// Next to half the rate, where a low-pass has its zeros, and to 0 Hz, where a
// high-pass has them, what is left is right as well: sums do not cancel.
func TestDigitalNextToItsZeros(t *testing.T) {
	low, high := must(t)(LowPass(LinkwitzRiley, 4, 5000)), must(t)(HighPass(LinkwitzRiley, 4, 5000))
	for name, c := range map[string]struct {
		chain Chain
		f     float64
	}{"low-pass": {low, 23999.99}, "high-pass": {high, 0.01}} {
		d := digital(t, c.chain, 48000)
		got, want := d.At(hz(c.f)), bent(c.chain, c.f, 48000)
		if e := cmplx.Abs(got-want) / cmplx.Abs(want); !(e < 1e-8) { // rounding of the angle, 1e-16, over what is left of π, 1.3e-6, to the fourth
			t.Errorf("%s: %v, want %v", name, got, want)
		}
	}
}

// All poles lie inside the unit circle; they are found from the coefficients.
func TestDigitalIsStable(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rate := math.Exp(rapid.Float64Range(math.Log(100), math.Log(768e3)).Draw(t, "lg rate"))
		rate = min(max(rate, 100), 768e3)
		// at the edges of what is accepted as well
		c, name := drawn(t, max(0.01, rate*1.1e-5), min(100e3, rate*(0.5-2e-6)))
		d, err := c.Digital(rate)
		if err != nil {
			t.Fatal(name, err)
		}
		for _, b := range d.Biquads {
			// 1 − |z| may be as small as 1e-7: compared by what it must be, not by a root of a square
			if !(b.A2 < 1 && closing(1, b.A1, b.A2) > 0 && closing(1, -b.A1, b.A2) > 0) {
				t.Fatalf("%s: %+v", name, b)
			}
			root := cmplx.Sqrt(complex(b.A1*b.A1-4*b.A2, 0))
			for _, z := range []complex128{(complex(-b.A1, 0) + root) / 2, (complex(-b.A1, 0) - root) / 2} {
				if cmplx.Abs(z) > 1+1e-7 { // a double root loses half of the 16 digits
					t.Fatalf("%s: %+v has the pole %v", name, b, z)
				}
			}
		}
		for _, f := range []float64{0, rate / 2, rate * 1e3} {
			if h := d.At(hz(f)); cmplx.IsNaN(h) || cmplx.IsInf(h) {
				t.Fatalf("%s: %v at %g Hz", name, h, f)
			}
		}
	})
}

// With a rate twice as high the digital filter is four times as near to the
// analogue one, as the bending of the axis is of the second order.
func TestDigitalBecomesAnalogue(t *testing.T) {
	for name, c := range map[string]Chain{
		"Butterworth": must(t)(HighPass(Butterworth, 4, 1000)),
		"Bessel":      must(t)(LowPass(Bessel, 5, 1000)),
		"peak":        must(t)(Peak(1000, 3, 9)),
		"shelf":       must(t)(HighShelf(1000, 0.7, -6)),
		"all-pass":    must(t)(AllPassQ(1000, 1)),
	} {
		last := math.NaN()
		for _, rate := range []float64{24e3, 48e3, 96e3, 192e3, 384e3} {
			d := digital(t, c, rate)
			away := 0.0
			for f := 100.0; f < 4000; f *= 1.05 {
				away = max(away, cmplx.Abs(d.At(hz(f))-c.At(hz(f))))
			}
			if !math.IsNaN(last) {
				check.Near(t, name+": error over that at half the rate", away/last, 0.25, 0.06, "terms of the fourth order, (π·4/24)² = 0.27 of which a fifth stays at the lowest rate")
			}
			last = away
		}
		if last > 1e-3 {
			t.Errorf("%s: still %g away at 384 kHz", name, last)
		}
	}
}

// The response to one sample, transformed, is the response; the processor and
// At share no code.
func TestImpulseResponseTransformed(t *testing.T) {
	const n = 1 << 15 // more than 300 ms: what is left after it is below 1e-12 for these
	peak, notch := must(t)(Peak(1200, 4, 12)), must(t)(Peak(300, 3, -20))
	all := must(t)(Join(must(t)(HighPass(LinkwitzRiley, 4, 200)), must(t)(LowPass(Bessel, 7, 3000)), peak, notch,
		must(t)(LowShelf(400, 0.7, 6)), must(t)(HighShelf(5000, 0.5, -9)), must(t)(AllPass(700)), must(t)(AllPassQ(900, 2)),
		must(t)(Gain(-3)), Reverse(), must(t)(Delay(0.001234))))
	boxed, _, err := PoleZero(500, 1.2, 250, 0.7)
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]Chain{
		"nothing": {}, "first order": must(t)(HighPass(Butterworth, 1, 300)), "all": all, "pole-zero": boxed,
		"Butterworth 8": must(t)(LowPass(Butterworth, 8, 4000)),
	} {
		for _, rate := range commonRates {
			d := digital(t, c, rate)
			block := make([]float64, n)
			block[0] = 1
			d.Processor().Process(block)
			for k, got := range fourier.NewFFT(n).Coefficients(nil, block) {
				want := d.At(hz(float64(k) / n * rate))
				if cmplx.Abs(got-want) > 1e-11 { // rounding of 32768 terms, of coefficients with 1 + a1 + a2 = 7e-4
					t.Fatalf("%s at %g Hz, bin %d: %v, want %v", name, rate, k, got, want)
				}
			}
		}
	}
}

// The response is that of the coefficients by the definition; where nothing
// cancels the two agree to the last digits.
func TestDigitalAtByDefinition(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, name := drawn(t, 2000, 20000)
		d, err := c.Digital(48000)
		if err != nil {
			t.Fatal(err)
		}
		f := rapid.Float64Range(-60000, 60000).Draw(t, "f")
		want := complex(1, 0)
		back := cmplx.Exp(complex(0, -hz(f)/48000))
		size := 1.0
		for _, b := range d.Biquads {
			num := complex(b.B0, 0) + back*(complex(b.B1, 0)+back*complex(b.B2, 0))
			den := 1 + back*(complex(b.A1, 0)+back*complex(b.A2, 0))
			want *= num / den
			size *= (math.Abs(b.B0)+math.Abs(b.B1)+math.Abs(b.B2))/cmplx.Abs(den)*(1+4/cmplx.Abs(den)) + 1e-9
		}
		if got := d.At(hz(f)); cmplx.Abs(got-want) > 1e-14*(size+1) { // rounding of the sums of the definition
			t.Fatalf("%s: %v at %g Hz, want %v", name, got, f, want)
		}
		if a, b := d.At(hz(f)), d.At(hz(f+48000)); cmplx.Abs(a-b) > 1e-14*(size+1)*10 { // rounding of an angle up to 14 rad
			t.Fatalf("%s: %v, one rate on %v", name, a, b)
		}
	})
}

// Gain, polarity and delay, with what whole samples leave of the delay.
func TestDigitalGainAndDelay(t *testing.T) {
	c := must(t)(Join(must(t)(Gain(6)), Reverse(), must(t)(Delay(0.00101))))
	d := digital(t, c, 48000)
	want := math.Pow(10, 0.3)
	if len(d.Biquads) != 1 || math.Abs(d.Biquads[0].B0+want) > 1e-15 || d.Biquads[0] != (Biquad{B0: d.Biquads[0].B0}) || d.Delay != 48 {
		t.Errorf("%+v", d)
	}
	check.Near(t, "late", d.Late, 48.0/48000-0.00101, 1e-18, "rounding")
	exactly := must(t)(Join(c, Chain{Delay: d.Late})) // an early filter has a negative rest
	if exactly.Delay != 0.001 {
		t.Errorf("delay %g", exactly.Delay)
	}
	for _, f := range []float64{0, 20, 1234, 20000} {
		if a, b := d.At(hz(f)), exactly.At(hz(f)); cmplx.Abs(a-b) > 1e-13 { // rounding of an angle of 126 rad
			t.Errorf("%g Hz: %v and %v", f, a, b)
		}
	}
	if d := digital(t, Chain{}, 48000); len(d.Biquads) != 0 || d.At(hz(1000)) != 1 {
		t.Errorf("nothing is %+v", d)
	}
}

func TestRatesThatDoNotFit(t *testing.T) {
	c := must(t)(LowPass(Butterworth, 2, 24000))
	for _, rate := range []float64{8000, 47999, 48000, 48000.01} {
		_, err := c.Digital(rate)
		refused(t, err, "rate", "not above twice the corner of 24000")
	}
	if d := digital(t, c, 48001); math.Abs(cmplx.Abs(d.At(hz(20)))-1) > 1e-14 {
		t.Errorf("%v", d.At(hz(20)))
	}
	slow := must(t)(HighPass(Butterworth, 2, 0.01))
	_, err := slow.Digital(48000)
	refused(t, err, "rate", "64 bits")
	digital(t, slow, 1000)
	// the poles of this one lie at 1/7 to 1/5.7 of the corner
	delayed := must(t)(HighPass(BesselDelay, 8, 0.1))
	_, err = delayed.Digital(48000)
	refused(t, err, "rate", "poles at 0.0")
	boxed, _, err := PoleZero(700, 1, 100, 0.7)
	if err != nil {
		t.Fatal(err)
	}
	_, err = boxed.Digital(1000) // its zeros are above half of it
	refused(t, err, "rate", "twice the corner of 700")
	for _, rate := range []float64{0, -1, 99, 1e6, math.NaN(), math.Inf(1)} {
		_, err := c.Digital(rate)
		refused(t, err, "rate", "768000")
	}
}
