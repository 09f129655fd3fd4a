package study

import (
	"math"
	"math/cmplx"

	"basswright/internal/enclosure"
	"basswright/internal/noise"
	"basswright/internal/phys"
)

// Noise is a test noise as a study asks for it.
type Noise struct {
	Name     string  // "programme", "pink", "pink_filtered"
	From, To float64 // Hz, of a pink one
	Crest    float64 // peak over rms
}

// Spectrum is how its power is spread. The error is a *noise.BandError.
func (n *Noise) Spectrum() (noise.Spectrum, error) {
	switch n.Name {
	case "pink":
		return noise.Pink(n.From, n.To)
	case "pink_filtered":
		return noise.PinkFiltered(n.From, n.To)
	}
	return noise.Programme(), nil
}

// Words names the noise.
func (n *Noise) Words(u phys.System) string {
	crest := ", crest factor " + phys.Brief(n.Crest, phys.Number, u)
	band := phys.Brief(n.From, phys.Frequency, u) + " to " + phys.Brief(n.To, phys.Frequency, u)
	switch n.Name {
	case "pink":
		return "pink noise, " + band + crest
	case "pink_filtered":
		return "pink noise filtered at 12 dB an octave, " + band + crest
	}
	return "noise of IEC 60268-1" + crest
}

// Source is where its spectrum is from.
func (n *Noise) Source() string {
	switch n.Name {
	case "pink":
		return "equal power in every octave"
	case "pink_filtered":
		return "AES 2-1984 (r2003) and AES 2-2012, from memory"
	}
	return "IEC 60268-1:1985 table II, from memory; used for power handling by IEC 60268-5"
}

// GreatestNoise is what a candidate gives at most under a steady noise: one
// voltage for all of the noise, because what its parts do adds up.
type GreatestNoise struct {
	By     BoundID
	Volts  float64      // V rms at the source, of the whole noise behind the filters
	Watts  float64      // W in all coils, the mean
	Level  float64      // dB at the listener's place, of what lies between NoiseFrom and NoiseTo
	Bands  []NoiseBand  // third-octaves of that level
	Bounds []NoiseBound // each bound that is known, alone, in order
}

// NoiseBound is one limit alone.
type NoiseBound struct {
	ID    BoundID
	Volts float64 // V rms at the source at which it is reached
	Level float64 // dB there
}

// NoiseBand is the level in a third-octave at the greatest voltage.
type NoiseBand struct {
	Nominal float64 // Hz
	Level   float64 // dB
}

// The frequencies at which a noise is followed: so many in each tenth of a
// decade, in its middle and evenly on a log scale, so that bands end halfway
// between two. What is left of the noise beyond goes to the outermost ones. The
// level is summed up to NoiseTo, above which no woofer is the lumped thing that
// the network takes it for.
const (
	perBand             = 16
	firstNoise          = 7  // the band of 5 Hz
	lastNoise           = 42 // that of 16 kHz
	lastHeard           = 30 // that of 1 kHz
	firstTold, lastTold = 13, 23
)

// NoiseFrom and NoiseTo are the ends of what a noise's level is summed over, Hz.
func NoiseFrom() float64 { return noise.ThirdOctave(firstNoise).Low }

// NoiseTo is the upper one.
func NoiseTo() float64 { return noise.ThirdOctave(lastHeard).High }

// GreatestNoiseOf is a system's greatest output under the study's noise; nil
// without one, and where no bound is known or nothing is heard.
func (st *Study) GreatestNoiseOf(sys *enclosure.System) *GreatestNoise {
	return newMeter(st, sys).greatestNoise()
}

func (m *meter) greatestNoise() *GreatestNoise {
	n := m.st.Noise
	if n == nil {
		return nil
	}
	spectrum, err := n.Spectrum()
	list := m.bounds()
	if err != nil || len(list) == 0 {
		return nil
	}
	f := noiseFrequencies()
	power := make([]float64, len(f))
	below, above := spectrum.Shares(power, f)
	power[0] += below
	power[len(f)-1] += above
	fed := 0.0
	for k := range f {
		h := cmplx.Abs(m.feed.gain(2 * math.Pi * f[k]))
		power[k] *= h * h
		fed += power[k]
	}
	if !(fed > 0) {
		return nil
	}
	var watts, heard float64
	bands := make([]float64, lastNoise+1)
	sums := make([][]float64, len(list)) // by bound and place: mean squares of shares
	for i := range list {
		sums[i] = make([]float64, list[i].places)
	}
	for k, hz := range f {
		if power[k] == 0 {
			continue
		}
		if _, ok := m.solve(hz); !ok {
			return nil
		}
		w := power[k] / fed // of 1 V rms at the source
		for i := range list {
			for p := range sums[i] {
				s := list[i].at(p)
				sums[i][p] += w * s * s
			}
		}
		for i := range m.sys.Coils {
			watts += w * m.sys.CoilPower(m.sol, &m.sys.Coils[i])
		}
		p := cmplx.Abs(m.sys.Pressure(m.sol)) * m.feed.place.gain(hz)
		band := firstNoise + k/perBand
		bands[band] += w * p * p
		if band <= lastHeard {
			heard += w * p * p
		}
	}
	if !(heard > 0) {
		return nil
	}
	out := &GreatestNoise{}
	for i := range list {
		most := 0.0
		for _, s := range sums[i] {
			most = max(most, s)
		}
		share := math.Sqrt(most)
		if list[i].id != BoundHeat { // which is of the mean
			share *= n.Crest / math.Sqrt2 // shares are of a sine's peak: its rms, and then the noise's peak
		}
		if !(share > 0) {
			continue
		}
		b := NoiseBound{list[i].id, 1 / share, level(math.Sqrt(heard) / share)}
		out.Bounds = append(out.Bounds, b)
		if out.By == "" || b.Volts < out.Volts {
			out.By, out.Volts, out.Level = b.ID, b.Volts, b.Level
		}
	}
	if out.By == "" {
		return nil
	}
	out.Watts = watts * out.Volts * out.Volts
	for k := firstTold; k <= lastTold; k++ {
		if bands[k] > 0 {
			out.Bands = append(out.Bands, NoiseBand{noise.ThirdOctave(k).Nominal, level(math.Sqrt(bands[k]) * out.Volts)})
		}
	}
	return out
}

func noiseFrequencies() []float64 {
	var out []float64
	for k := firstNoise; k <= lastNoise; k++ {
		low := math.Log10(noise.ThirdOctave(k).Low)
		for i := range perBand {
			out = append(out, math.Pow(10, low+(float64(i)+0.5)/(10*perBand)))
		}
	}
	return out
}

// Band is the level in the third-octave of a nominal frequency, dB; NaN where it
// is none that is told.
func (g *GreatestNoise) Band(nominal float64) float64 {
	for _, b := range g.Bands {
		if b.Nominal == nominal {
			return b.Level
		}
	}
	return math.NaN()
}
