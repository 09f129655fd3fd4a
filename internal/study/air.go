package study

import (
	"math"

	"basswright/internal/airflow"
	"basswright/internal/enclosure"
	"basswright/internal/phys"
)

// PortAir is what the air in one opening does at the most that it is fed: all
// that the amplifier gives, or the study's drive where no amplifier is given.
// Speeds are peaks of a sine, before the port's own loss takes from them.
type PortAir struct {
	Name     string      // of the opening
	Full     bool        // fed all that the amplifier gives
	Fastest  Peak        // m/s, over the range in which limits are held
	Share    Peak        // of its limit, the largest
	Speed    phys.Maybe  // m/s, where the share is largest
	Limit    phys.Maybe  // m/s there
	Stated   bool        // the limit is the brief's; else the cautious one of airflow, with its source
	Source   string      // of the limit
	Onset    phys.Maybe  // m/s, from which up vortices leave its edges there
	Trusted  bool        // the speed is one for which losses are known
	Jet      bool        // the air goes further out than the bore is half wide
	Loss     Peak        // dB that the port's own loss costs of the level, the most up to an octave above its tuning
	PipeMode float64     // Hz, its own first resonance
	Least    []LeastPort // for what is asked and for the amplifier; none where mends are not looked for
}

// vent is an opening of known size.
type vent struct {
	opening *enclosure.Opening
	facts   *enclosure.PortFacts
	flow    airflow.Port
	known   bool // airflow knows ports of this size
}

// vents lists a system's openings of known size.
func (m *meter) vents() []vent {
	if m.vented == nil {
		m.vented = []vent{}
		for i := range m.sys.Openings {
			o := &m.sys.Openings[i]
			for k := range m.sys.Facts.Ports {
				if p := &m.sys.Facts.Ports[k]; p.Name == o.Name && p.Sized {
					flow, err := p.Port.Airflow(m.st.Air)
					m.vented = append(m.vented, vent{o, p, flow, err == nil})
				}
			}
		}
	}
	return m.vented
}

// allowed is the peak air speed that a vent may have at f, m/s: what the brief
// says, else the cautious limit; NaN where that is not known.
func (m *meter) allowed(v *vent, f float64) float64 {
	if l := m.st.Brief.Limits.PortSpeed; l > 0 {
		return l
	}
	if !v.known {
		return math.NaN()
	}
	speed, _ := v.flow.Limit(f)
	return speed
}

// airPerVolt is the peak air speed in a vent for 1 V at the source, m/s, where
// the solver stands.
func (m *meter) airPerVolt(v *vent) float64 {
	return math.Sqrt2 * m.sys.OpeningFlow(m.sol, v.opening) / v.opening.Area
}

// airUse is the share of its limit that a vent's air uses at f, for 1 V; 0 where
// the limit is not known.
func (m *meter) airUse(v *vent, f float64) float64 {
	if s := m.airPerVolt(v) / m.allowed(v, f); s > 0 {
		return s
	}
	return 0
}

// airShare is the largest of all vents'.
func (m *meter) airShare(f float64) float64 {
	most := 0.0
	list := m.vents()
	for i := range list {
		most = max(most, m.airUse(&list[i], f))
	}
	return most
}

// airLimited says whether any vent's air has a limit.
func (m *meter) airLimited() bool {
	for _, v := range m.vents() {
		if v.known || m.st.Brief.Limits.PortSpeed > 0 {
			return true
		}
	}
	return false
}

// full is all that the amplifier gives at f, V rms at the source, of what the
// filters pass.
func (m *meter) full(f float64) (volts float64, ok bool) {
	if _, ok = m.solve(f); !ok {
		return math.NaN(), false
	}
	return m.st.Amplifier.most(m.sys, m.sol) * m.feed.full(2*math.Pi*f), true
}

// most is the most that is fed: all that the amplifier gives, or the drive.
func (m *meter) most(f float64) (volts float64, ok bool) {
	if m.st.Amplifier != nil {
		return m.full(f)
	}
	return m.solve(f)
}

// air reads what the air in every opening of known size does.
func (m *meter) air(o *Outcome, whole bool) []PortAir {
	list := m.vents()
	if len(list) == 0 || o.silent() {
		return nil
	}
	out := make([]PortAir, len(list))
	readings := make([]reading, 0, 2*len(list))
	at := func(f float64, of func() float64) float64 {
		volts, ok := m.most(f)
		if !ok {
			return math.NaN()
		}
		return volts * of()
	}
	for i := range list {
		v := &list[i]
		out[i] = PortAir{Name: v.opening.Name, Full: m.st.Amplifier != nil, PipeMode: v.facts.PipeMode, Stated: m.st.Brief.Limits.PortSpeed > 0,
			Speed: phys.None(), Limit: phys.None(), Onset: phys.None(), Loss: Peak{phys.None(), phys.None()}}
		readings = append(readings,
			reading{of: func(f float64) float64 { return at(f, func() float64 { return m.airPerVolt(v) }) }, to: &out[i].Fastest},
			reading{of: func(f float64) float64 { return at(f, func() float64 { return m.airPerVolt(v) / m.allowed(v, f) }) }, to: &out[i].Share})
	}
	largestEach(m.gridwise(), m.st.LimitsFrom(), m.st.limitsTo(), readings)
	for i := range out {
		m.told(&out[i], &list[i])
	}
	if whole {
		m.losses(out)
		for i := range out {
			m.least(o, &out[i], &list[i])
		}
	}
	return out
}

// told fills in what is known of a vent's air where its share is largest.
func (m *meter) told(a *PortAir, v *vent) {
	if !a.Share.Value.OK() {
		return
	}
	f := float64(a.Share.At)
	limit := m.allowed(v, f)
	speed := float64(a.Share.Value) * limit
	a.Speed, a.Limit, a.Source = phys.Maybe(speed), phys.Maybe(limit), "asked for as limits.port_speed"
	if !v.known {
		return
	}
	if !a.Stated {
		_, by := v.flow.Limit(f)
		a.Source = v.flow.Source(by)
		if v.facts.Port.Flare > 0 && (by == airflow.Stroke || by == airflow.Core) {
			a.Source += "; more for its flares, by a rule of our own"
		}
	}
	r := v.flow.Regime(f, speed)
	a.Onset, a.Trusted, a.Jet = phys.Maybe(v.flow.Onset(f)), r.Trusted, r.Inner == airflow.Jet || r.Outer == airflow.Jet
}
