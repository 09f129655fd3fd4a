package filter

import (
	"math"
	"math/cmplx"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/check"
)

// noise is a signal without a clock or a seed of the machine.
func noise(n int) []float64 {
	out, x := make([]float64, n), uint32(1)
	for i := range out {
		x = x*1664525 + 1013904223
		out[i] = float64(x)/(1<<31) - 1
	}
	return out
}

// The blocks may be cut as one likes, and a processor that is put at rest
// starts as a new one.
func TestBlocksDoNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, name := drawn(t, 10, 20000)
		c.Delay = rapid.Float64Range(0, 0.002).Draw(t, "delay")
		d, err := c.Digital(48000)
		if err != nil {
			t.Fatal(err)
		}
		whole, parts := noise(500), noise(500)
		p := d.Processor()
		p.Process(whole)
		p.Reset()
		for rest := parts; len(rest) > 0; {
			n := min(rapid.IntRange(0, 200).Draw(t, "block"), len(rest))
			p.Process(rest[:n])
			rest = rest[n:]
		}
		for i := range whole {
			if whole[i] != parts[i] {
				t.Fatalf("%s: sample %d is %g and %g", name, i, whole[i], parts[i])
			}
		}
	})
}

// The difference equation written out in direct form I, another structure.
func TestProcessorIsTheDifferenceEquation(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, name := drawn(t, 500, 20000)
		d, err := c.Digital(48000)
		if err != nil {
			t.Fatal(err)
		}
		want, got := noise(300), noise(300)
		loudest := 1.0
		for _, b := range d.Biquads {
			var x1, x2, y1, y2 float64
			for n, x := range want {
				y := b.B0*x + b.B1*x1 + b.B2*x2 - b.A1*y1 - b.A2*y2
				x1, x2, y1, y2 = x, x1, y, y1
				want[n] = y
				loudest = max(loudest, math.Abs(y))
			}
		}
		d.Processor().Process(got)
		for n := range got {
			// each of 300 samples rounds, and 1/(1 + a1 + a2), 234 at 500 Hz and up to
			// 1000 times that for low Q, adds such errors up
			if math.Abs(got[n]-want[n]) > 1e-11*loudest {
				t.Fatalf("%s: sample %d is %.15g, want %.15g", name, n, got[n], want[n])
			}
		}
	})
}

// A sine that has settled comes out with the level and phase of the response.
func TestSineComesOut(t *testing.T) {
	boxed, _, err := PoleZero(55, 1.2, 25, math.Sqrt2/2)
	if err != nil {
		t.Fatal(err)
	}
	c := must(t)(Join(must(t)(HighPass(Butterworth, 4, 20)), boxed, must(t)(Delay(0.003)), Reverse()))
	d := digital(t, c, 48000)
	p := d.Processor()
	const f, second = 40.0, 48000
	block := make([]float64, second)
	for k := range 3 { // after two seconds what is left of the start is e^(−2·2π·20·0.38)
		for n := range block {
			block[n] = math.Sin(hz(f) * float64(k*second+n) / second)
		}
		p.Process(block)
	}
	got := complex(0, 0) // of a whole number of periods
	for n, y := range block {
		got += complex(2*y/second, 0) * cmplx.Exp(complex(0, math.Pi/2-hz(f)*float64(n)/second))
	}
	if want := d.At(hz(f)); cmplx.Abs(got-want) > 1e-9*cmplx.Abs(want) { // rounding, over 1 + a1 + a2 = 7e-6
		t.Errorf("%v, want %v", got, want)
	}
	// and the digital filter is the analogue one to what whole samples leave
	if a := c.At(hz(f)); cmplx.Abs(a-got) > 1e-4*cmplx.Abs(a) {
		t.Errorf("%v, the prototype has %v", got, a)
	}
}

// After a sound the processor comes to rest, and not to numbers that are slow.
func TestProcessorComesToRest(t *testing.T) {
	d := digital(t, must(t)(HighPassQ(200, 2)), 48000)
	p := d.Processor()
	block := noise(480)
	p.Process(block)
	for range 2000 {
		clear(block)
		p.Process(block)
		for _, y := range block {
			if y != 0 && math.Abs(y) < 1e-250 {
				t.Fatalf("%g comes out", y)
			}
		}
	}
	if block[0] != 0 || p.stages[0].s1 != 0 || p.stages[0].s2 != 0 {
		t.Errorf("after 20 s of silence: %g", block[0])
	}
}

func TestSamplesThatAreNotFinite(t *testing.T) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64} {
		for _, c := range []Chain{must(t)(Gain(3)), must(t)(LowPass(Butterworth, 1, 80)), must(t)(Peak(80, 1, 20))} {
			d := digital(t, c, 48000)
			block := make([]float64, 64)
			block[17] = x
			if x == math.MaxFloat64 {
				for i := range block {
					block[i] = x * float64(1-2*(i%2))
				}
				if len(c.Sections) == 1 && c.Sections[0].A2 == 0 {
					continue // the low-pass makes it small
				}
			}
			check.Panics(t, "not finite", func() { d.Processor().Process(block) })
		}
	}
	d, c := digital(t, Chain{}, 48000), Chain{}
	for _, w := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		check.Panics(t, "not finite", func() { d.At(w) })
		check.Panics(t, "not finite", func() { c.At(w) })
	}
}
