package study

import (
	"errors"
	"math"
	"math/cmplx"

	"basswright/internal/airflow"
	"basswright/internal/enclosure"
	"basswright/internal/phys"
)

// LeastPort is the smallest port of the shape and number of one that is there
// whose air keeps its limit, with the tuning that is there.
type LeastPort struct {
	For      string  // "all that the amplifier gives"
	Asked    bool    // for the level that the brief asks
	Full     bool    // for all that the amplifier gives
	At       float64 // Hz, the frequency that decides its size
	Flow     float64 // m³/s there, peak
	Area     float64 // m², of all alike ports
	Port     enclosure.Port
	PipeMode float64 // Hz
	Taken    float64 // m³, of all alike ports
	Enough   bool    // the port that is there is as large
	Fits     bool    // it has room, as far as that is known
	Anywhere bool    // no space is given that it would have to fit
	Why      string  // why not, or why there is none
	Instead  []string
}

// feeding is a flow in a vent that its port has to bear, over a range of
// frequencies or at one.
type feeding struct {
	words  string
	asked  bool
	lo, hi float64                 // Hz
	first  float64                 // Hz, where the port that is there is nearest to its limit
	flow   func(f float64) float64 // m³/s, peak
}

// least finds the least ports of a vent, and what else can be done where one has
// no room.
func (m *meter) least(o *Outcome, a *PortAir, v *vent) {
	if !v.known || v.facts.Tuning == 0 { // a port that is tuned with no air keeps no tuning
		return
	}
	if b := m.st.Brief; b.Level > 0 && b.LevelAt > 0 {
		if _, ok := m.solve(b.LevelAt); ok {
			here := cmplx.Abs(m.sys.Pressure(m.sol)) * m.st.Listening.At.gain(b.LevelAt) // where the level is asked
			volts := math.Pow(10, (b.Level-level(here))/20)
			flow := math.Sqrt2 * volts * m.sys.OpeningFlow(m.sol, v.opening)
			a.Least = append(a.Least, m.leastFor(o, v, feeding{
				words: m.st.Asked(b.Level, phys.Level) + " at " + phys.Brief(b.LevelAt, phys.Frequency, m.st.Units), asked: true,
				lo: b.LevelAt, hi: b.LevelAt, first: b.LevelAt, flow: func(float64) float64 { return flow },
			}))
		}
	}
	if !a.Share.At.OK() {
		return
	}
	a.Least = append(a.Least, m.leastFor(o, v, feeding{
		words: a.fedWords(), lo: m.st.LimitsFrom(), hi: m.st.limitsTo(), first: float64(a.Share.At),
		flow: func(f float64) float64 {
			volts, ok := m.most(f)
			if !ok {
				return math.NaN()
			}
			return math.Sqrt2 * volts * m.sys.OpeningFlow(m.sol, v.opening)
		},
	}))
}

// tries is how often the frequency that decides may change.
const tries = 50

// leastFor finds the least port for a feeding. The frequency that decides is not
// known beforehand, because the limit depends on it and on the size: the port for
// one frequency is held against all, and made for the worst of them, until it
// holds. Each is larger than the one before.
func (m *meter) leastFor(o *Outcome, v *vent, f feeding) LeastPort {
	out := LeastPort{For: f.words, Asked: f.asked, Full: !f.asked && m.st.Amplifier != nil, Anywhere: m.st.Space == nil}
	p := v.facts.Port
	n := m.need(o, v)
	var fit airflow.Fit
	n.Frequency, n.Flow = f.first, f.flow(f.first)
	for k := 0; ; k++ {
		if !(n.Flow > 0) {
			out.Why = "no air moves in it"
			return out
		}
		var err error
		if fit, err = airflow.Least(n); err != nil {
			var why *airflow.PortError
			errors.As(err, &why)
			out.Why = why.Reason + ": " + why.Mend
			return out
		}
		worst := m.worstOf(f, n, fit)
		if !(worst.Value > 1+1e-9) {
			break
		}
		if k == tries {
			out.Why = "which frequency decides was not found: state limits.port_speed"
			return out
		}
		n.Frequency, n.Flow = float64(worst.At), f.flow(float64(worst.At))
	}
	out.At, out.Flow = n.Frequency, n.Flow
	out.Area, out.PipeMode, out.Taken = fit.Area, fit.PipeMode, fit.Taken
	out.Port = portOf(p, fit.Section, fit.Length)
	out.Enough = v.facts.Area >= fit.Area*(1-1e-9)
	if !out.Enough {
		m.room(o, v, n, fit, &out)
	}
	return out
}

// worstOf is the largest share of its limit that a feeding makes of the air in a
// port that was found.
func (m *meter) worstOf(f feeding, n airflow.Need, fit airflow.Fit) Peak {
	flow, err := airflow.New(fit.Section, n.Inner, n.Outer, n.Air)
	if err != nil || f.lo == f.hi {
		return Peak{phys.None(), phys.None()} // one frequency decides, or the size is at its bounds
	}
	return largest(f.lo, f.hi, func(hz float64) float64 {
		limit := n.Speed
		if limit == 0 {
			limit, _ = flow.Limit(hz)
		}
		return f.flow(hz) / fit.Area / limit
	})
}

// need is what a vent's port has to do but for the flow.
func (m *meter) need(o *Outcome, v *vent) airflow.Need {
	p := v.facts.Port
	inner, outer := p.Airends()
	n := airflow.Need{
		Count: max(p.Count, 1), Slot: p.Shape == enclosure.Slot, Inner: inner, Outer: outer, Air: m.st.Air,
		Mass: v.facts.Mass, Tuning: v.facts.Tuning, Speed: m.st.Brief.Limits.PortSpeed,
	}
	b := &o.Body
	n.Width = b.Height - 2*b.Panel // a slot along a wall, where the port is none
	if !b.Known {                  // of a network: as if its chamber were a cube
		n.Width = math.Cbrt(m.sys.Spec.PortChamber(v.facts).Volume)
	}
	if n.Slot {
		n.Width = p.Bore().Width
	}
	if s := m.st.Space; s != nil && b.Known {
		across := PortAcross(*v.facts)
		n.Depth = max(s.Depth-b.Panel-across, 1e-3) // to about its own width before the wall behind it: common practice, no source
		inside := func(w, h, d float64) float64 { return (w - 2*b.Panel) * (h - 2*b.Panel) * (d - 2*b.Panel) }
		n.Room = max(inside(s.Width, s.Height, s.Depth)-inside(b.Width, b.Height, b.Depth)+b.Spare+v.facts.Volume, 1e-9)
	}
	return n
}

// portOf is a port like another with another bore and length.
func portOf(p enclosure.Port, s airflow.Section, length float64) enclosure.Port {
	p.Diameter, p.Width, p.Height, p.Area = 0, 0, 0, 0
	switch {
	case s.Diameter == 0:
		p.Shape, p.Width, p.Height = enclosure.Slot, s.Width, s.Height
	case p.Shape == enclosure.AreaOnly:
		p.Area = math.Pi * s.Diameter * s.Diameter / 4
	default:
		p.Shape, p.Diameter = enclosure.Round, s.Diameter
	}
	p.Length = length
	return p
}

// fitted says whether the box with another port in a vent's place can be built
// and fits its space, and why not: by the network and the layout that a candidate
// has.
func (m *meter) fitted(v *vent, p enclosure.Port) (bool, string) {
	spec := resolved(m.sys.Spec)
	c := spec.PortChamber(v.facts)
	p.Length = 0 // by the tuning
	c.Port, c.Tuning = p, v.facts.Tuning
	sys, _, err := enclosure.Build(m.sys.Group, spec, m.sys.Setting)
	if err != nil {
		var e *enclosure.Error
		if errors.As(err, &e) {
			return false, e.Reason
		}
		return false, err.Error()
	}
	if b := layBody(m.st.Space, sys, m.st.Units); b.Known && !b.Fits {
		return false, "with it the box is " + b.Why
	}
	return true, ""
}
