package study

import (
	"context"
	"errors"
	"math"
	"math/cmplx"
	"runtime"
	"slices"
	"sync"

	"basswright/internal/enclosure"
	"basswright/internal/large"
	"basswright/internal/note"
	"basswright/internal/phys"
)

// DistortionLines is how many harmonics are told.
const DistortionLines = 5

// Distortion is a candidate's steady states under sines: one point for each
// frequency and drive, by frequency and then by drive.
type Distortion struct {
	Points   []DistortionPoint
	Coupled  bool           // the cones of a stack move by themselves
	Inner    int            // into Cones: the innermost of the first position
	Findings []note.Finding // what the figures rest on
}

// DistortionPoint is one steady state, or why there is none.
type DistortionPoint struct {
	Frequency, Volts float64 // Hz, V rms at the source: what the filters leave of the drive
	Harmonics        int     // how many were followed
	Standing         large.Standing
	Cones            []ConeSwing
	Pressure         large.Lines // Pa peak at the listening distance, without the flight
	Current          large.Lines // A peak, into the group
	Compression      phys.Maybe  // dB by which the fundamental lies below what small signals promise; none without a fundamental
	Lost             string      // why no steady state was found, "" if one was: nothing else but Frequency and Volts tells anything then
}

// ConeSwing is the displacement of a cone or radiator.
type ConeSwing struct {
	Name     string
	Lines    large.Lines // m peak, towards the listener
	Max, Min float64     // m
}

// THD is the root of the summed squares of all lines from the second up, over
// the fundamental: IEC 60268-5 relates it to the whole, which differs where
// distortion is gross. There is none where there is no fundamental.
func THD(l large.Lines) phys.Maybe {
	if l.Of[0] == 0 {
		return phys.None()
	}
	var sum float64
	for _, v := range l.Of[1:] {
		sum += real(v)*real(v) + imag(v)*imag(v)
	}
	return phys.Maybe(math.Sqrt(sum) / cmplx.Abs(l.Of[0]))
}

// LineLevel is the level of line n (from 1) of a pressure, dB re 20 µPa rms;
// there is none where the line is silent.
func LineLevel(l large.Lines, n int) phys.Maybe {
	a := cmplx.Abs(l.Of[n-1])
	if !(a > 0) {
		return phys.None()
	}
	return phys.Maybe(20 * math.Log10(a/math.Sqrt2/20e-6))
}

// LargeModel is candidate i ready for large signals. The error is a
// *CandidateError.
func (st *Study) LargeModel(i int) (*large.Model, error) {
	c := &st.Candidates[i]
	set := st.Setting()
	set.BareAir = true
	sys, _, err := enclosure.Build(c.Group, c.Enclosure, set)
	if err != nil {
		return nil, &CandidateError{c, err}
	}
	return large.New(sys, large.Options{Adiabatic: st.Model.AdiabaticAir, LinearAir: st.Model.LinearAir}), nil
}

// Distort finds candidate i's steady states at the given frequencies, Hz, and
// drives, V rms before the filters; without them on the study's drive. The result
// does not depend on the number of processors. The error is a *CandidateError or
// the context's.
func (st *Study) Distort(ctx context.Context, i int, at, volts []float64) (*Distortion, error) {
	m, err := st.LargeModel(i)
	if err != nil {
		return nil, err
	}
	return st.distort(ctx, &st.Candidates[i], m, at, volts)
}

// distort finds the steady states of a model of candidate c.
func (st *Study) distort(ctx context.Context, c *Candidate, m *large.Model, at, volts []float64) (*Distortion, error) {
	d, errs, err := st.states(ctx, c, m, at, volts)
	if err != nil {
		return nil, err
	}
	for _, err := range errs {
		if err != nil {
			return nil, &CandidateError{c, err}
		}
	}
	d.Findings = append(st.doubts(c, m, d), d.Findings...)
	return d, nil
}

// states finds the steady states of a model, and for each frequency what kept
// them from being looked for. The other error is the context's or that of the drive.
func (st *Study) states(ctx context.Context, c *Candidate, m *large.Model, at, volts []float64) (*Distortion, []error, error) {
	levels := make([][]float64, len(at))
	for k, f := range at {
		for _, v := range volts {
			levels[k] = append(levels[k], st.LeftOf(v, f))
		}
		if len(volts) > 0 {
			continue
		}
		v, err := st.driveAt(m.Sys, f)
		if err != nil {
			return nil, nil, &CandidateError{c, err}
		}
		levels[k] = []float64{v}
	}
	each := max(1, len(volts))
	d := &Distortion{
		Points:  make([]DistortionPoint, len(at)*each),
		Coupled: len(m.Sys.Group.Coupling) > 0, Inner: m.Sys.Group.Depth() - 1, Findings: st.distortionFindings(c),
	}
	errs := make([]error, len(at))
	var wg sync.WaitGroup
	work := make(chan int)
	for range min(runtime.GOMAXPROCS(0), len(at)) {
		wg.Add(1)
		go func() {
			defer wg.Done()
			for k := range work {
				if errs[k] = ctx.Err(); errs[k] == nil {
					errs[k] = st.distortAt(m, at[k], levels[k], d.Points[k*each:])
				}
			}
		}()
	}
	for k := range at {
		work <- k
	}
	close(work)
	wg.Wait()
	if slices.ContainsFunc(errs, func(err error) bool { return err != nil }) && ctx.Err() != nil {
		return nil, nil, ctx.Err()
	}
	return d, errs, nil
}

// driveAt is the study's drive at the source at one frequency, V rms.
func (st *Study) driveAt(sys *enclosure.System, f float64) (float64, error) {
	sol := sys.Program.NewSolver()
	if err := sol.Solve(2 * math.Pi * f); err != nil {
		return 0, err
	}
	return st.feed(sys).voltage(sys, sol), nil
}

// unfiltered is the study's drive before the filters at one frequency, V rms; of an
// amplifier at full, what makes it give there what it gives behind them.
func (st *Study) unfiltered(sys *enclosure.System, f float64) (float64, error) {
	d := st.feed(sys)
	if d.amplifier == nil {
		return d.fixed, nil
	}
	v, err := st.driveAt(sys, f)
	if g := cmplx.Abs(d.gain(2 * math.Pi * f)); g > 0 {
		v /= g
	}
	return v, err
}

func (st *Study) distortAt(m *large.Model, f float64, volts []float64, out []DistortionPoint) error {
	rise := m.Rise(f)
	for k, v := range volts {
		t, standing, err := rise.State(v)
		var none *large.StateError
		if errors.As(err, &none) {
			out[k] = lostPoint(m, f, v, none)
			continue
		}
		if err != nil {
			return err
		}
		p := DistortionPoint{Frequency: f, Volts: v, Harmonics: t.Harmonics(), Standing: standing, Pressure: t.Pressure(), Current: t.Current()}
		for k, c := range m.Sys.Moving() {
			l := t.Cone(k)
			s := ConeSwing{Name: c.Name, Lines: l}
			s.Max, s.Min = l.Extremes()
			p.Cones = append(p.Cones, s)
		}
		if first := cmplx.Abs(p.Pressure.Of[0]); first > unheard*min(1, v) {
			p.Compression = phys.Maybe(20 * math.Log10(v*t.PressurePerVolt()/first))
		} else {
			p.Compression, p.Pressure.Of[0] = phys.None(), 0
		}
		for n := range p.Pressure.Of {
			p.Pressure.Of[n] *= st.Listening.At.Transfer(f * float64(n+1))
		}
		out[k] = p
	}
	return nil
}

// lostPoint stands where there is no steady state.
func lostPoint(m *large.Model, f, volts float64, why *large.StateError) DistortionPoint {
	nothing := func() large.Lines { return large.Lines{Of: make([]complex128, DistortionLines)} }
	p := DistortionPoint{Frequency: f, Volts: volts, Pressure: nothing(), Current: nothing(), Compression: phys.None(), Lost: why.Error()}
	for _, c := range m.Sys.Moving() {
		p.Cones = append(p.Cones, ConeSwing{Name: c.Name, Lines: nothing()})
	}
	return p
}

// distortionFindings say what the figures rest on.
func (st *Study) distortionFindings(c *Candidate) []note.Finding {
	where := "candidates." + c.Name
	out := wired(c)
	if !c.Curved() {
		out = append(out, note.Finding{
			ID: "no-curves", Severity: note.Warning, Where: where, At: c.At,
			Text: "its drivers have no curves, so that what is told comes from the air of the chambers alone",
			Mend: "give the driver curves, such as curves: {kms: {poly_si: [3800, 0, 2e6]}}",
		})
	}
	air, rest := "the air of chambers is an adiabatic spring", "write model: {chamber_air: linear} for a linear one"
	if st.Model.LinearAir {
		air, rest = "the air of chambers is a linear spring", "write model: {chamber_air: adiabatic} for the law of the gas"
	}
	out = append(out, note.Finding{ID: "chamber-air", Severity: note.Default, Where: "model.chamber_air", Text: air, Mend: rest})
	static, rest := "the static pressure of closed chambers leaks away", "write model: {static_air: adiabatic} to keep it"
	if st.Model.AdiabaticAir {
		static, rest = "closed chambers keep their static pressure", "write model: {static_air: leaky} to let it leak away"
	}
	out = append(out, note.Finding{ID: "static-air", Severity: note.Default, Where: "model.static_air", Text: static, Mend: rest})
	if mirrorable(c.Group) {
		from, mend := "as the study says", "leave mismatch out of model for the usual one"
		if st.Model.Mismatch == nil {
			from, mend = "common practice, no source", "write model: {mismatch: {bl: 3 %, kms: 8 %, offset: 0.3 mm}} to replace it"
		}
		out = append(out, note.Finding{ID: "mismatch", Severity: note.Default, Where: "model.mismatch",
			Text: "unlike samples of a stack differ by: " + st.mismatch().Words(st.Units) + " (" + from + ")", Mend: mend})
	}
	return out
}

// LevelFrequencies are the bass frequencies at which figures are told, Hz: of the
// third octaves of ISO 266 those from 20 Hz to 80 Hz.
func LevelFrequencies() []float64 { return []float64{20, 25, 31.5, 40, 50, 63, 80} }

// toneRatio is how much larger the low of two tones is: 4 to 1, as IEC 60268-3 has
// it for amplifiers.
const toneRatio = 4.0

// Modulation is what two tones make of each other at one drive of the low one.
type Modulation struct {
	LowVolts  float64 // V rms at the source, of the low tone
	HighVolts float64 // V rms at the source, of the high one: of a quarter of the drive
	*large.TwoTone
	Lost string // why there is none at this drive: only Low and High are of use then
}

// Modulate finds candidate i's side tones for a low and a high tone, Hz, at each
// drive of the low one, V rms before the filters; without them at the study's drive.
// A drive at which nothing repeats itself says so and takes nothing from the others.
// Progress, where it is not nil, is told how far it has come. The error is a
// *CandidateError or the context's.
func (st *Study) Modulate(ctx context.Context, i int, low, high float64, volts []float64, progress func(part float64)) ([]Modulation, error) {
	m, err := st.LargeModel(i)
	if err != nil {
		return nil, err
	}
	c := &st.Candidates[i]
	if len(volts) == 0 {
		v, err := st.unfiltered(m.Sys, low)
		if err != nil {
			return nil, &CandidateError{c, err}
		}
		volts = []float64{v}
	}
	var out []Modulation
	for k, v := range volts {
		a, b := st.LeftOf(v, low), st.LeftOf(v, high)/toneRatio
		t, err := m.Two(ctx, low, high, a, b, func(part float64) {
			if progress != nil {
				progress((float64(k) + part) / float64(len(volts)))
			}
		})
		var state *large.StateError
		var restless *large.RestlessError
		switch {
		case err == nil:
			st.Listening.At.colour(t)
			out = append(out, Modulation{LowVolts: a, HighVolts: b, TwoTone: t})
		case ctx.Err() != nil:
			return nil, ctx.Err()
		case errors.As(err, &state) || errors.As(err, &restless):
			out = append(out, Modulation{LowVolts: a, HighVolts: b, TwoTone: &large.TwoTone{Low: low, High: high}, Lost: err.Error()})
		default:
			return nil, &CandidateError{c, timed(err)}
		}
	}
	return out, nil
}

// FitTones says whether two tones, Hz, can be played together, and if not, which
// can; the error is a *large.TonesError.
func FitTones(low, high float64) error { return large.FitTones(low, high) }
