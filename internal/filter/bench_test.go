package filter

import "testing"

// chainOf is a usual chain before a subwoofer's amplifier: a high-pass, a
// low-pass, two bands of correction, gain and delay: eight sections.
func chainOf(t testing.TB) Chain {
	return must(t)(Join(must(t)(HighPass(Butterworth, 4, 20)), must(t)(LowPass(LinkwitzRiley, 8, 90)),
		must(t)(Peak(45, 4, -6)), must(t)(LowShelf(35, 0.7, 3)), must(t)(Gain(-3)), must(t)(Delay(0.002))))
}

func TestNothingIsAllocated(t *testing.T) {
	c := chainOf(t)
	d := digital(t, c, 48000)
	p := d.Processor()
	block := noise(256)
	for name, f := range map[string]func(){
		"Chain.At": func() { c.At(200) }, "Digital.At": func() { d.At(200) },
		"Process": func() { p.Process(block) }, "Reset": func() { p.Reset() },
	} {
		if n := testing.AllocsPerRun(100, f); n != 0 {
			t.Errorf("%s allocates %g times", name, n)
		}
	}
}

func BenchmarkAt(b *testing.B) {
	c := chainOf(b)
	b.ReportAllocs()
	for b.Loop() {
		c.At(200)
	}
}

func BenchmarkSectionAt(b *testing.B) {
	c := must(b)(HighPassQ(25, 0.7))
	b.ReportAllocs()
	for b.Loop() {
		c.Sections[0].At(200)
	}
}

func BenchmarkDigitalAt(b *testing.B) {
	d := digital(b, chainOf(b), 48000)
	b.ReportAllocs()
	for b.Loop() {
		d.At(200)
	}
}

// A block of 256 samples through one biquad.
func BenchmarkProcess(b *testing.B) {
	d := digital(b, must(b)(HighPassQ(25, 0.7)), 48000)
	p := d.Processor()
	signal, block := noise(256), make([]float64, 256)
	b.ReportAllocs()
	for b.Loop() {
		copy(block, signal)
		p.Process(block)
	}
}

func BenchmarkMake(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := LowPass(Bessel, 8, 80); err != nil {
			b.Fatal(err)
		}
	}
}
