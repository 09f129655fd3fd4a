package enclosure

import (
	"math"
	"math/cmplx"

	"basswright/internal/duct"
)

// LineFacts is what is known of the duct of a distributed enclosure.
type LineFacts struct {
	Length        float64 // m, along the axis
	Start, Mouth  float64 // m², areas
	Mean          float64 // m²
	Volume        float64 // m³
	Segments      int     // that the duct was cut into
	Estimate      float64 // of the error of that, as a share of its two-port
	EndCorrection float64 // m, what the mouth’s load adds to the length where the duct is a quarter of a wave long
	// Quarter is the frequency, Hz, at which the flow out of the mouth lags that into
	// the closed end by a quarter of a period, and ThreeQuarters by three of them: the
	// resonances of the closed duct with its mouth’s load and its fill. 0: none was found.
	Quarter, ThreeQuarters float64
	Cutoff                 float64 // Hz, of a shape that has one, as if it were endless; else 0
	MouthKa                float64 // of the mouth at Cutoff

	outer  duct.Shape // without what stands in it
	shape  duct.Shape
	making duct.Making
}

// The range in which the resonances are looked for, over c/4L, and its steps. A cone
// from a point has its first at twice that, a duct that narrows much far below.
const (
	resonanceSteps = 40.0
	resonanceMost  = 12.0
)

// lineFacts reads them from the duct and the load that are in the network.
func (b *builder) lineFacts(outer, s duct.Shape, m duct.Making, whole *duct.Duct) *LineFacts {
	length := s.Length()
	volume := s.Volume()
	f := &LineFacts{
		Length: length, Start: outer.Area(0), Mouth: outer.Area(length), Mean: volume / length, Volume: volume,
		Cutoff: outer.Cutoff(b.Setting.Air.C), outer: outer, shape: s, making: m,
	}
	for _, d := range b.line.parts {
		f.Segments += d.Segments()
		f.Estimate += d.Estimate()
	}
	f.MouthKa = 2 * math.Pi * f.Cutoff / b.Setting.Air.C * math.Sqrt(f.Mouth/math.Pi)
	lag := b.lag(whole)
	unit := b.Setting.Air.C / (4 * length)
	f.Quarter = b.quarterOf(whole, length)
	if f.Quarter > 0 {
		w := 2 * math.Pi * f.Quarter
		f.EndCorrection = imag(b.line.load.At(w)) / w * f.Mouth / b.Setting.Air.Rho
		f.ThreeQuarters = firstCrossing(lag, f.Quarter*1.01, unit*resonanceMost, unit/resonanceSteps)
	}
	return f
}

// firstCrossing is the lowest place between two at which f changes its sign; 0 for none.
func firstCrossing(f func(float64) float64, from, to, step float64) float64 {
	last := f(from)
	for x := from; x < to; {
		next := x + step
		v := f(next)
		if (v > 0) != (last > 0) {
			lo, hi := x, next
			for range 50 {
				mid := (lo + hi) / 2
				if (f(mid) > 0) == (last > 0) {
					lo = mid
				} else {
					hi = mid
				}
			}
			return (lo + hi) / 2
		}
		x, last = next, v
	}
	return 0
}

// wave is the pressure of the closed end’s own wave at a place x over that at the closed
// end, D of the duct up to there; NaN beyond the duct.
func (f *LineFacts) wave(x, w float64) complex128 {
	if x >= f.Length*(1-1e-6) {
		return cmplx.NaN()
	}
	parts, err := duct.NewParts(f.shape, f.making, []float64{x})
	if err != nil {
		return cmplx.NaN()
	}
	return parts[0].Chain(w).D
}

// Excites is how much a cone at a place excites the resonance at a frequency, over one at
// the closed end: 0 of a quiet place without losses, and with fill more.
func (f *LineFacts) Excites(at, hz float64) float64 {
	return cmplx.Abs(f.wave(at, 2*math.Pi*hz))
}

// Quiet is the place, m from the closed end, at which a cone excites the resonance at a
// frequency through losses alone: by reciprocity that is where the pressure of the closed
// end’s own wave crosses zero, the real part of D of the duct up to there. 0: none was
// found.
func (f *LineFacts) Quiet(hz float64) float64 {
	if !(hz > 0) {
		return 0
	}
	w := 2 * math.Pi * hz
	pressure := func(x float64) float64 { return real(f.wave(x, w)) }
	const parts = 24
	lo, hi := f.Length/1e4, 0.0
	for i := 1; i < parts; i++ {
		x := f.Length * float64(i) / parts
		switch p := pressure(x); {
		case math.IsNaN(p):
			return 0
		case p > 0:
			lo = x
			continue
		}
		hi = x
		i = parts
	}
	if hi == 0 {
		return 0
	}
	for range 30 {
		mid := (lo + hi) / 2
		if pressure(mid) > 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}

// Area is that of the duct at a place, m from its start, in m², without what stands
// in it.
func (f *LineFacts) Area(x float64) float64 { return f.outer.Area(x) }
