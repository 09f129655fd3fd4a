package study

import (
	"context"
	"math"

	"basswright/internal/enclosure"
	"basswright/internal/phys"
)

// stack says how far the trade's rule of the rigid link is off for a stack:
// the candidate's level against that of the same candidate with its cones
// rigidly coupled.
func (m *meter) stack(opt Options) ([]StackFacts, error) {
	g := m.sys.Group
	if g.Depth() < 2 {
		return nil, nil
	}
	f := StackFacts{Band: Band{opt.From, opt.To}, Modes: m.sys.Facts.CouplingModes, Error: Peak{phys.None(), phys.None()}, AirMass: phys.None()}
	from := m.st.LimitsFrom()
	for k := range g.Depth() {
		one := m.sys.Cones[k : k+1]
		f.Excursions = append(f.Excursions, largest(from, m.st.limitsTo(), func(x float64) float64 { return m.excursion(x, one) }))
	}
	if len(g.Coupling) == 0 {
		f.Rigid = true
		return []StackFacts{f}, nil
	}
	if !g.MovesTogether() {
		return []StackFacts{f}, nil // against a rigid stack that stands still there is nothing to say
	}
	mass := 0.0
	for _, kg := range m.sys.Facts.CouplingMass {
		mass += kg // NaN where a length is missing
	}
	f.AirMass = phys.Maybe(mass)
	rigid := *g
	rigid.Coupling = nil
	spec := m.sys.Spec
	sys, _, err := enclosure.Build(&rigid, resolved(spec), m.sys.Setting)
	if err != nil {
		return nil, err
	}
	r := newMeter(m.st, sys)
	r.feed = m.feed
	at := largest(opt.From, opt.To, func(x float64) float64 { return math.Abs(m.level(x) - r.level(x)) }).At
	f.Error = Peak{phys.Maybe(m.level(float64(at)) - r.level(float64(at))), at}
	return []StackFacts{f}, r.err
}

// resolved is a spec that has been sized, ready to be built again as it is.
func resolved(s enclosure.Spec) enclosure.Spec {
	s = s.Apart()
	s.Alignment = enclosure.Alignment{}
	s.Rear.SystemQ = 0
	s.Radiator.Mms += s.Radiator.AddedMass
	if s.Radiator.AddedMass > 0 {
		s.Radiator.AddedMass, s.Radiator.Fs = 0, 0
		s.Rear.Tuning = 0
	}
	return s
}

// times computes the step and impulse responses into c.
func (m *meter) times(ctx context.Context, c *Curves) error {
	step, impulse, err := Transients(ctx, m.sys, &m.st.Chain, shownRate, shownBand, shownLead, shownTime)
	c.Step, c.Impulse = step, impulse
	return err
}
