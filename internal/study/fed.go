package study

import (
	"context"
	"fmt"
	"math"
	"slices"

	"basswright/internal/phys"
)

// What a network does is in proportion to what it is fed. So a candidate is read at
// 1 V, and what was read is scaled to the study's drive: whoever turns the drive
// pays for the scaling alone. Where the drive is all that the amplifier gives, which
// depends on the load, there is nothing to scale.

// perVolt feeds the meter 1 V from here on, and says by how much the study's drive
// is more.
func (m *meter) perVolt() float64 {
	if m.feed.amplifier != nil {
		return 1
	}
	volts := m.feed.fixed
	m.feedVolts(1)
	return volts
}

func (m *meter) feedVolts(volts float64) {
	m.feed.fixed = volts
	m.at = math.NaN() // what it was fed there is past
	m.sound = nothingRead
}

// bareKey names what a candidate does at 1 V; "" if it cannot be kept.
func (m *meter) bareKey(c *Candidate, i int, opt Options) string {
	if c.Undriven == "" {
		return ""
	}
	return fmt.Sprint(c.Undriven, m.feed.amplifier != nil, i, opt.From, opt.To, opt.Points, opt.Time, opt.WithoutMends)
}

// bare is what a candidate is and does on what the meter is fed.
func (m *meter) bare(ctx context.Context, s *system, i int, opt Options, along []float64) (*Outcome, error) {
	st, c := m.st, &m.st.Candidates[i]
	o := &Outcome{Index: i, Candidate: c, System: s.sys, Findings: slices.Clone(s.found)}
	var err error
	if o.Curves, o.Greatest, err = m.curves(ctx, along); err != nil {
		return nil, err
	}
	o.Body = layBody(st.Space, s.sys, st.Units)
	o.Findings = append(o.Findings, st.guesses(o)...)
	o.Findings = append(o.Findings, st.sags(c)...)
	o.Findings = append(o.Findings, st.lineFindings(o)...)
	o.Figures = m.figures(o)
	o.Findings = append(append(o.Findings, m.belowFindings(o)...), st.aboveFindings(o)...)
	o.Findings = append(o.Findings, st.baffleFindings(o)...)
	m.greatestFigures(o)
	if o.Coupling, err = m.stack(opt); err != nil {
		return nil, err
	}
	o.Chain = m.chain()
	if opt.Time {
		if err := m.times(ctx, o.Curves); err != nil {
			return nil, err
		}
	}
	return o, m.err
}

// fed is the outcome on so many volts where the receiver is that on 1 V.
func (o *Outcome) fed(volts float64) *Outcome {
	out := *o
	if volts == 1 {
		return &out
	}
	k := scale{volts, 20 * math.Log10(volts)}
	out.Findings = slices.Clip(o.Findings)
	out.Curves = k.curves(o.Curves)
	out.Figures = k.figures(o.Figures)
	out.Coupling = slices.Clone(o.Coupling)
	for i := range out.Coupling {
		out.Coupling[i].Excursions = k.peaks(out.Coupling[i].Excursions, k.by)
	}
	out.Chain = k.chain(o.Chain)
	return &out
}

// scale is by how much more is fed, and how many dB that is.
type scale struct{ by, dB float64 }

func (k scale) watts() float64 { return k.by * k.by }

func (k scale) peak(p Peak, by float64) Peak {
	p.Value *= phys.Maybe(by)
	return p
}

func (k scale) peaks(list []Peak, by float64) []Peak {
	out := slices.Clone(list)
	for i := range out {
		out[i].Value *= phys.Maybe(by)
	}
	return out
}

func (k scale) figures(f Figures) Figures {
	f.Reference += phys.Maybe(k.dB)
	f.LevelAsked += phys.Maybe(k.dB)
	for _, p := range []*Peak{&f.Excursion, &f.ExcursionShare, &f.RadiatorExcursion, &f.PortSpeed} {
		*p = k.peak(*p, k.by)
	}
	for _, p := range []*Peak{&f.Power, &f.HottestCoil} {
		*p = k.peak(*p, k.watts())
	}
	f.PowerShare *= phys.Maybe(k.watts())
	f.TotalPower *= k.watts()
	f.CoilPowers = slices.Clone(f.CoilPowers)
	for i := range f.CoilPowers {
		f.CoilPowers[i] *= k.watts()
	}
	return f
}

func (k scale) chain(c *ChainFigures) *ChainFigures {
	if c == nil {
		return nil
	}
	out := *c
	out.Channels = slices.Clone(c.Channels)
	for i := range out.Channels {
		ch := &out.Channels[i]
		ch.Volts *= phys.Maybe(k.by)
		ch.Amps, ch.Watts = k.peak(ch.Amps, k.by), k.peak(ch.Watts, k.watts())
	}
	out.Parts = k.peaks(c.Parts, k.watts())
	return &out
}

func (k scale) curves(c *Curves) *Curves {
	out := *c
	times := func(y []float64, by float64) []float64 {
		if y == nil {
			return nil
		}
		z := make([]float64, len(y))
		for i, v := range y {
			z[i] = v * by
		}
		return z
	}
	traces := func(list []Trace, by float64) []Trace {
		z := slices.Clone(list)
		for i := range z {
			z[i].Y = times(z[i].Y, by)
		}
		return z
	}
	louder := func(y []float64) []float64 {
		z := slices.Clone(y)
		for i := range z {
			z[i] += k.dB
		}
		return z
	}
	out.Voltage, out.SPL, out.Plain = times(c.Voltage, k.by), louder(c.SPL), louder(c.Plain)
	out.Excursion, out.ExcursionMax = traces(c.Excursion, k.by), times(c.ExcursionMax, k.by)
	out.Speed, out.SpeedMax, out.VolumeVelocity = traces(c.Speed, k.by), times(c.SpeedMax, k.by), traces(c.VolumeVelocity, k.by)
	out.Pressure, out.Power = traces(c.Pressure, k.by), traces(c.Power, k.watts())
	return &out
}
