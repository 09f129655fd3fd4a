package study

import (
	"maps"
	"math"
	"slices"

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
		return "pink noise filtered at 12\u2009dB an octave, " + band + crest
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
	From   float64      // Hz, the noise's lower end
	Level  float64      // dB at the listener's place, of what lies between it and NoiseTo
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

// The level is summed up to the end of the band of 1 kHz, above which no woofer is
// the lumped thing that the network takes it for.
const (
	lastHeard           = 30
	firstTold, lastTold = 13, 23
)

// NoiseTo is the upper end of what a noise's level is summed over, Hz.
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
	sum := m.newNoiseSum(spectrum, list)
	if !sum.add() || !(sum.sums[sumFed] > 0) {
		return nil
	}
	heard := 0.0
	for _, k := range slices.Sorted(maps.Keys(sum.bands)) { // in one order: sums depend on it
		if k <= lastHeard {
			heard += sum.bands[k] / sum.sums[sumFed]
		}
	}
	if !(heard > 0) {
		return nil
	}
	out := &GreatestNoise{From: math.Pow(10, sum.from)}
	if !out.bounded(sum, n.Crest, heard) {
		return nil
	}
	out.Watts = sum.sums[sumWatts] / sum.sums[sumFed] * out.Volts * out.Volts
	for k := firstTold; k <= lastTold; k++ {
		if p := sum.bands[k] / sum.sums[sumFed]; p > 0 {
			out.Bands = append(out.Bands, NoiseBand{noise.ThirdOctave(k).Nominal, level(math.Sqrt(p) * out.Volts)})
		}
	}
	return out
}

// bounded finds the voltage of each bound and the least of all; false where there
// is none. heard is the mean square of the pressure for 1 V rms at the source.
func (g *GreatestNoise) bounded(sum *noiseSum, crest, heard float64) bool {
	q := sumBounds
	for _, b := range sum.list {
		most := 0.0
		for range b.places {
			most = max(most, sum.sums[q]/sum.sums[sumFed])
			q++
		}
		share := math.Sqrt(most)
		if b.id != BoundHeat { // which is of the mean
			share *= crest / math.Sqrt2 // shares are of a sine's peak: its rms, and then the noise's peak
		}
		if !(share > 0) {
			continue
		}
		n := NoiseBound{b.id, 1 / share, level(math.Sqrt(heard) / share)}
		g.Bounds = append(g.Bounds, n)
		if g.By == "" || n.Volts < g.Volts {
			g.By, g.Volts, g.Level = n.ID, n.Volts, n.Level
		}
	}
	return g.By != ""
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
