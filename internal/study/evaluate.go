package study

import (
	"context"
	"errors"
	"fmt"
	"math"
	"runtime"
	"slices"
	"sync"

	"basswright/internal/enclosure"
	"basswright/internal/note"
)

// The defaults of an evaluation.
const (
	defaultFrom   = 10.0  // Hz
	defaultTo     = 400.0 // Hz
	defaultPoints = 400
	limitsFrom    = 20.0 // Hz, where the brief does not say
)

// The widest range of frequencies that can be asked for, Hz.
const (
	LowestFrequency  = 1.0
	HighestFrequency = 20000.0
)

// MostPoints is the largest number of points of a curve.
const MostPoints = 20000

func (o Options) withDefaults() Options {
	if o.From == 0 {
		o.From = defaultFrom
	}
	if o.To == 0 {
		o.To = defaultTo
	}
	if o.Points == 0 {
		o.Points = defaultPoints
	}
	if o.Workers == 0 {
		o.Workers = runtime.GOMAXPROCS(0)
	}
	return o
}

// Sound says what is wrong with the range or the number of points, nil if
// nothing is. Zero values stand for the defaults.
func (o Options) Sound() error {
	o = o.withDefaults()
	switch {
	case !(o.From >= LowestFrequency && o.To <= HighestFrequency):
		return fmt.Errorf("curves can be computed from %g\u2009Hz to %g\u2009Hz", LowestFrequency, HighestFrequency)
	case !(o.From < o.To):
		return fmt.Errorf("the lower end of the curves, %g\u2009Hz, must be below the upper one, %g\u2009Hz", o.From, o.To)
	case o.Points < 2 || o.Points > MostPoints:
		return fmt.Errorf("a curve takes 2 to %d points", MostPoints)
	}
	return nil
}

// CandidateError is a candidate that cannot be computed.
type CandidateError struct {
	Candidate *Candidate
	Err       error
}

// Error names the candidate and the reason.
func (e *CandidateError) Error() string {
	return fmt.Sprintf("candidates.%s: %v", e.Candidate.Name, e.Err)
}

// Unwrap is the reason alone.
func (e *CandidateError) Unwrap() error { return e.Err }

// ErrNoCandidate says that a study or a choice holds no candidate.
var ErrNoCandidate = errors.New("the study has no candidates to compare")

// Evaluate computes every candidate of a study on the study's drive and tells
// them against the yardstick. Its result does not depend on the number of
// workers. The error is a *CandidateError, ErrNoCandidate or the context's.
func Evaluate(ctx context.Context, st *Study, opt Options) (*Result, error) {
	return evaluateWith(ctx, st, opt, nil)
}

func evaluateWith(ctx context.Context, st *Study, opt Options, mem *Memory) (*Result, error) {
	if len(st.Candidates) == 0 {
		return nil, ErrNoCandidate
	}
	opt = opt.withDefaults()
	along := mem.frequencies(opt)
	res := &Result{Study: st, Options: opt, Candidates: make([]*Outcome, len(st.Candidates))}
	if opt.Yardstick != "" {
		i, err := st.Find(opt.Yardstick)
		if err != nil {
			return nil, err
		}
		res.Yardstick = i
	}
	errs := make([]error, len(st.Candidates))
	panics := make([]any, len(st.Candidates))
	left := make(chan int, len(st.Candidates))
	for i := range st.Candidates {
		if res.Candidates[i] = st.known(i, opt, mem); res.Candidates[i] == nil {
			left <- i
		}
	}
	close(left)
	workers := min(opt.Workers, len(left))
	work := func() {
		for i := range left {
			func() {
				// A panic is the caller's to catch, which it cannot in another goroutine.
				defer func() { panics[i] = recover() }()
				res.Candidates[i], errs[i] = st.outcome(ctx, i, opt, along, mem)
			}()
		}
	}
	var wg sync.WaitGroup
	for range workers - 1 {
		wg.Go(work)
	}
	work() // here too: where all but one are known, no other has to wake up for it
	wg.Wait()
	for _, p := range panics {
		if p != nil {
			panic(p)
		}
	}
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	res.compare()
	res.judge()
	return res, nil
}

// Find is the index of the candidate called name.
func (st *Study) Find(name string) (int, error) {
	var names []string
	for i := range st.Candidates {
		if st.Candidates[i].Name == name {
			return i, nil
		}
		names = append(names, st.Candidates[i].Name)
	}
	return 0, fmt.Errorf("no candidate is called %q; the study has %s", name, list(names, "and"))
}

// Chosen are the candidates named, each once and in this order; without names all.
func (st *Study) Chosen(names []string) ([]int, error) {
	var out []int
	for i := range st.Candidates {
		if len(names) == 0 {
			out = append(out, i)
		}
	}
	for _, n := range names {
		i, err := st.Find(n)
		if err != nil {
			return nil, err
		}
		if !slices.Contains(out, i) {
			out = append(out, i)
		}
	}
	return out, nil
}

// Setting is what surrounds every candidate.
func (st *Study) Setting() enclosure.Setting {
	panel := 0.0
	if st.Space != nil {
		panel = st.Space.Panel
	}
	return enclosure.Setting{
		Air: st.Air, Panel: panel, Source: st.SourceResistance(), Parts: st.parts(), Distance: st.Listening.Distance, Toward: st.Listening.Toward,
		Space: st.Listening.Space.SolidAngle(), FullRadiation: st.Model.FullRadiation,
		RigidWalls: st.Model.RigidWalls,
	}
}

// SolidAngle is the space's, sr.
func (s Surroundings) SolidAngle() float64 {
	return [...]float64{2 * math.Pi, 4 * math.Pi, math.Pi, math.Pi / 2}[s]
}

// LimitsFrom is the frequency from which limits are held.
func (st *Study) LimitsFrom() float64 {
	if st.Brief.Limits.From > 0 {
		return st.Brief.Limits.From
	}
	return limitsFrom
}

// limitsTo is the frequency up to which they are held: 1 kHz, or an octave
// above where they begin.
func (st *Study) limitsTo() float64 { return max(bandHigh, 2*st.LimitsFrom()) }

// Build makes the system of candidate i.
func (st *Study) Build(i int) (*enclosure.System, []note.Finding, error) {
	c := &st.Candidates[i]
	sys, found, err := enclosure.Build(c.Group, c.Enclosure, st.Setting())
	if err != nil {
		return nil, nil, &CandidateError{c, err}
	}
	for k := range found {
		found[k].Where = "candidates." + c.Name + "." + found[k].Where
		if found[k].At.Line == 0 {
			found[k].At = c.At
		}
	}
	return sys, found, nil
}

// known is the outcome of candidate i that the memory holds, nil if there is none.
func (st *Study) known(i int, opt Options, mem *Memory) *Outcome {
	c := &st.Candidates[i]
	o := mem.find(memoryKey(c, i, opt), opt)
	if o != nil {
		o.Candidate = c
	}
	return o
}

// outcome computes that of candidate i, with curves along the frequencies of the options,
// for the memory too.
func (st *Study) outcome(ctx context.Context, i int, opt Options, along []float64, mem *Memory) (*Outcome, error) {
	o, err := st.evaluate(ctx, i, opt, along, mem)
	if err == nil {
		mem.keep(memoryKey(&st.Candidates[i], i, opt), opt, o)
	}
	return o, err
}

// system is what candidate i is built to: from the memory, or made.
func (st *Study) system(i int, mem *Memory) (*system, error) {
	key := st.Candidates[i].Built
	if s := mem.take(key); s != nil {
		return s, nil
	}
	sys, found, err := st.Build(i)
	if err != nil {
		return nil, err
	}
	return &system{key: key, sys: sys, found: found, sol: sys.Program.NewSolver()}, nil
}

func (st *Study) evaluate(ctx context.Context, i int, opt Options, along []float64, mem *Memory) (*Outcome, error) {
	c := &st.Candidates[i]
	s, err := st.system(i, mem)
	if err != nil {
		return nil, err
	}
	s.uses++
	m := meterOn(st, s.sys, s.sol)
	volts, key := m.perVolt(), m.bareKey(c, i, opt)
	bare := s.bare
	if key == "" || s.bareKey != key {
		if bare, err = m.bare(ctx, s, i, opt, along); err != nil {
			return nil, &CandidateError{c, err}
		}
		s.keep(bare, key)
	}
	m.feedVolts(m.feed.fixed * volts)
	o := bare.fed(volts)
	o.Candidate = c
	o.Air = m.air(o, !opt.WithoutMends) // a jet is in no proportion to what drives it
	o.Findings = append(o.Findings, st.airFindings(o)...)
	if m.err != nil {
		return nil, &CandidateError{c, m.err}
	}
	if !opt.WithoutMends {
		o.Protection = m.protection(o)
	}
	o.loudest = st.loudest(o)
	o.Plain = plainWords(o, st.Units)
	if !opt.WithoutMends {
		o.Ledger, o.BoxLedger = groupLedger(o, st), boxLedger(o, st)
	}
	st.check(o, m, !opt.WithoutMends)
	mem.give(s)
	return o, nil
}
