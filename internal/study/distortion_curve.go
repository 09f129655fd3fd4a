package study

import (
	"context"
	"math"
	"math/cmplx"

	"basswright/internal/large"
	"basswright/internal/note"
)

// The range over which distortion is shown unless another is asked for, Hz, and
// at how many frequencies: a printed curve is smooth with 24 to the octave, and a
// notch is seen.
const (
	DistortionFrom, DistortionTo = 10.0, 200.0
	DistortionPlaces             = 105
)

// silentLine is how far below the fundamental a line still has a value, dB: what
// lies lower is rounding.
const silentLine = -160.0

// unheard is a fundamental that is nothing but rounding, Pa: that of drivers that
// cancel each other.
const unheard = 1e-10

// DistortionCurve is a candidate's distortion against frequency at one drive: the
// harmonics of the sound pressure against the fundamental, and all of them together.
type DistortionCurve struct {
	Candidate *Candidate
	Index     int       // the candidate's place in the study
	Volts     float64   // V rms before the filters; 0: the study's drive
	Frequency []float64 // Hz
	Lines     [DistortionLines - 1][]float64
	THD       []float64 // dB, as each of Lines; NaN: none, or no steady state
	Lost      []float64 // Hz at which no steady state was found
	Falling   []float64 // Hz at which the one that was found does not last
	Loudest   float64   // dB THD, where it is largest; NaN: none
	At        float64   // Hz there
	Findings  []note.Finding
}

// DistortionOfEach is DistortionOver of several candidates.
func (st *Study) DistortionOfEach(ctx context.Context, some []int, at []float64, volts float64) ([]*DistortionCurve, error) {
	var out []*DistortionCurve
	for _, i := range some {
		d, err := st.DistortionOver(ctx, i, at, volts)
		if err != nil {
			return nil, err
		}
		out = append(out, d)
	}
	return out, nil
}

// DistortionOver finds candidate i's distortion at the given frequencies, Hz, and
// one drive, V rms before the filters, 0 for the study's. A frequency at which
// there is no steady state is a gap. The error is a *CandidateError or the context's.
func (st *Study) DistortionOver(ctx context.Context, i int, at []float64, volts float64) (*DistortionCurve, error) {
	m, err := st.LargeModel(i)
	if err != nil {
		return nil, err
	}
	c := &st.Candidates[i]
	var drives []float64
	if volts > 0 {
		drives = []float64{volts}
	}
	d, errs, err := st.states(ctx, c, m, at, drives)
	if err != nil {
		return nil, err
	}
	out := &DistortionCurve{Candidate: c, Index: i, Volts: volts, Frequency: at, THD: make([]float64, len(at)), Loudest: math.NaN(), Findings: d.Findings}
	for n := range out.Lines {
		out.Lines[n] = make([]float64, len(at))
	}
	for k := range at {
		if errs[k] != nil {
			return nil, &CandidateError{c, errs[k]}
		}
		p := &d.Points[k]
		switch {
		case p.Lost != "":
			out.Lost = append(out.Lost, at[k])
		case p.Standing.Lasting == large.Unstable:
			out.Falling = append(out.Falling, at[k])
		}
		out.set(k, p.Pressure, cmplx.Abs(p.Pressure.Of[0]) > unheard)
	}
	return out, nil
}

// set writes one steady state.
func (d *DistortionCurve) set(k int, p large.Lines, found bool) {
	below := func(ratio float64) float64 {
		if db := 20 * math.Log10(ratio); found && db > silentLine && !math.IsInf(db, 0) {
			return db
		}
		return math.NaN()
	}
	d.THD[k] = math.NaN()
	for n := range d.Lines {
		d.Lines[n][k] = math.NaN()
		if found {
			d.Lines[n][k] = below(cmplx.Abs(p.Of[n+1]) / cmplx.Abs(p.Of[0]))
		}
	}
	if !found {
		return
	}
	d.THD[k] = below(float64(THD(p)))
	if v := d.THD[k]; v > d.Loudest || math.IsNaN(d.Loudest) && !math.IsNaN(v) {
		d.Loudest, d.At = v, d.Frequency[k]
	}
}

// Curved reports whether any driver of a candidate has curves of its own: without
// them only the air of its chambers distorts.
func (c *Candidate) Curved() bool {
	for _, p := range c.Group.Positions {
		for _, m := range p {
			if m.Driver.Curves != nil {
				return true
			}
		}
	}
	return false
}
