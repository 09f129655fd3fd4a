package filter

import "math"

// Processor runs a digital chain over a signal, block by block. It holds the
// state of one signal: one Processor for each channel, and no two goroutines on
// the same one.
type Processor struct {
	stages []stage
	line   []float64 // the last samples, as many as the delay
	next   int       // where the oldest of them is
}

// A stage is a biquad in transposed direct form II, which has two states.
type stage struct {
	Biquad
	s1, s2 float64
}

// Processor is a new processor at rest.
func (d *Digital) Processor() *Processor {
	p := &Processor{stages: make([]stage, len(d.Biquads)), line: make([]float64, d.Delay)}
	for i, b := range d.Biquads {
		p.stages[i].Biquad = b
	}
	return p
}

// Process filters the next samples of the signal in place; how a signal is cut
// into blocks changes nothing above 1e-200. It allocates nothing. A sample that is not
// finite, or so large that the result is not, is a caller's mistake.
func (p *Processor) Process(block []float64) {
	for i := range p.stages {
		p.stages[i].run(block)
	}
	if len(p.line) > 0 {
		for n, x := range block {
			block[n] = p.line[p.next]
			p.line[p.next] = x
			if p.next++; p.next == len(p.line) {
				p.next = 0
			}
		}
	}
}

// Reset puts the processor at rest again.
func (p *Processor) Reset() {
	for i := range p.stages {
		p.stages[i].s1, p.stages[i].s2 = 0, 0
	}
	clear(p.line) // where it starts does not matter, as long as it is silent
}

// quiet is far below any sound, and far above where a float64 loses digits and
// processors their speed.
const quiet = 1e-200

func (s *stage) run(block []float64) {
	b, s1, s2 := s.Biquad, s.s1, s.s2
	for n, x := range block {
		y := b.B0*x + s1
		s1 = b.B1*x - b.A1*y + s2
		s2 = b.B2*x - b.A2*y
		block[n] = y
	}
	// A sample that was not finite has left its mark in the state, 0·Inf included.
	if !(math.Abs(s1) <= math.MaxFloat64 && math.Abs(s2) <= math.MaxFloat64) {
		panic("filter: a sample is not finite")
	}
	if math.Abs(s1) < quiet && math.Abs(s2) < quiet {
		s1, s2 = 0, 0
	}
	s.s1, s.s2 = s1, s2
}
