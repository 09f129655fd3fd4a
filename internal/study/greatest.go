package study

import (
	"math"

	"basswright/internal/enclosure"
	"basswright/internal/phys"
)

// BoundID names what may set the greatest output.
type BoundID string

// The bounds, in the order in which they are told.
const (
	BoundExcursion BoundID = "excursion" // each driver's xmax, or the brief's
	BoundStop      BoundID = "stop"      // each driver's mechanical stop
	BoundRadiator  BoundID = "radiator"  // the radiators' xmax
	BoundHeat      BoundID = "heat"      // each driver's rated power
	BoundPortAir   BoundID = "port-air"  // the peak air speed that the brief allows, or a cautious limit
	BoundPressure  BoundID = "pressure"  // the chamber pressure that the brief allows
	BoundVoltage   BoundID = "voltage"   // the amplifier's
	BoundCurrent   BoundID = "current"   // the amplifier's
	BoundLoad      BoundID = "load"      // the lowest load that the amplifier takes: at any level
)

// Words is a bound as a word in a table or along a curve.
func (b BoundID) Words() string {
	switch b {
	case BoundPortAir:
		return "port air"
	case BoundVoltage, BoundCurrent:
		return "amplifier"
	case BoundPressure:
		return "chamber air"
	}
	return string(b)
}

// Ends is a bound as what ends the level: "the cone’s excursion".
func (b BoundID) Ends() string {
	switch b {
	case BoundExcursion:
		return "the cone’s excursion"
	case BoundStop:
		return "the cone’s mechanical stop"
	case BoundRadiator:
		return "the radiator’s excursion"
	case BoundHeat:
		return "the coil’s heat"
	case BoundPortAir:
		return "the air in the port"
	case BoundPressure:
		return "the pressure in the chamber"
	case BoundVoltage:
		return "the amplifier’s voltage"
	}
	return "the amplifier’s current"
}

// Bound is one limit alone, along a curve.
type Bound struct {
	ID    BoundID
	Volts []float64 // V rms at the source at which it is reached; NaN: never
	Watts []float64 // W in all coils there
	Level []float64 // dB there
}

// Greatest is what a candidate gives at most under a sine, frequency by
// frequency: the envelope of all bounds, and each alone where that was asked for.
type Greatest struct {
	Frequency []float64 // Hz
	Bounds    []Bound   // those that are known, in order; nil unless asked for
	By        []BoundID // the one that gives first; "": none
	Volts     []float64 // V rms at the source there
	Watts     []float64 // W in all coils there
	Level     []float64 // dB at the listener's place there
}

// GreatestAt is the envelope at one frequency.
type GreatestAt struct {
	Frequency    float64 // Hz
	Level        float64 // dB
	By           BoundID
	Volts, Watts float64
}

// First is what gives first as the level is turned up at the same voltage for
// all frequencies, but for what the filters make of it. A load that is too low gives at any level: its volts and watts
// are 0.
type First struct {
	By    BoundID
	At    float64 // Hz
	Volts float64 // V rms at the source
	Watts float64 // W that this voltage puts into the group's Re
}

// GreatestOf is a system's greatest output at the given frequencies, Hz, with
// each bound alone; nil where no bound is known.
func (st *Study) GreatestOf(sys *enclosure.System, f []float64) *Greatest {
	return newMeter(st, sys).greatest(f, true)
}

// greatest is the greatest output at the given frequencies, nil where no bound
// is known. A solution that fails leaves no value.
func (m *meter) greatest(f []float64, each bool) *Greatest {
	e := m.envelope(f, each)
	for k := range f {
		e.read(k)
	}
	return e.greatest()
}

// envelope reads the greatest output, frequency by frequency. Where no bound is known it
// is nil, and reads nothing.
type envelope struct {
	m      *meter
	bounds []bound
	out    *Greatest
}

func (m *meter) envelope(f []float64, each bool) *envelope {
	bounds := m.bounds()
	if len(bounds) == 0 {
		return nil
	}
	n := len(f)
	kept := 0
	if each {
		kept = len(bounds)
	}
	pool := make([]float64, n*(3+3*kept))
	next := func() []float64 {
		v := pool[:n:n]
		pool = pool[n:]
		return v
	}
	g := &Greatest{Frequency: f, By: make([]BoundID, n), Volts: next(), Watts: next(), Level: next()}
	for _, b := range bounds[:kept] {
		g.Bounds = append(g.Bounds, Bound{b.id, next(), next(), next()})
	}
	return &envelope{m, bounds, g}
}

func (e *envelope) greatest() *Greatest {
	if e == nil {
		return nil
	}
	return e.out
}

// read finds what there is at frequency k.
func (e *envelope) read(k int) {
	if e == nil {
		return
	}
	m, g := e.m, e.out
	g.By[k], g.Volts[k], g.Watts[k] = "", math.NaN(), math.NaN()
	_, ok := m.solve(g.Frequency[k])
	perVolt, watts := 0.0, 0.0
	if ok {
		perVolt = phys.Abs(m.sys.Pressure(m.sol)) * m.feed.place.gain(g.Frequency[k])
		for i := range m.sys.Coils {
			watts += m.sys.CoilPower(m.sol, &m.sys.Coils[i])
		}
	}
	for i := range e.bounds {
		volts := math.NaN()
		if s := e.bounds[i].share(); ok && s > 0 && perVolt > 0 {
			volts = 1 / s
		}
		if i < len(g.Bounds) {
			b := &g.Bounds[i]
			b.Volts[k], b.Watts[k], b.Level[k] = volts, watts*volts*volts, level(perVolt*volts)
		}
		if g.By[k] == "" && !math.IsNaN(volts) || volts < g.Volts[k] {
			g.By[k], g.Volts[k], g.Watts[k] = e.bounds[i].id, volts, watts*volts*volts
		}
	}
	g.Level[k] = level(perVolt * g.Volts[k]) // once, as a logarithm takes as long as several bounds
}

// greatestFigures are the envelope at the bass frequencies, beside that along the curves;
// neither where no bound is known or nothing is heard.
func (m *meter) greatestFigures(o *Outcome) {
	if o.silent() {
		o.Greatest = nil
	}
	if o.Greatest == nil {
		return
	}
	g := m.greatest(LevelFrequencies(), false)
	for k, f := range g.Frequency {
		if g.By[k] != "" {
			o.Figures.Greatest = append(o.Figures.Greatest, GreatestAt{f, g.Level[k], g.By[k], g.Volts[k], g.Watts[k]})
		}
	}
	o.Noise = m.greatestNoise()
}

// A firstLimit looks for what gives first, over the range in which limits are held.
type firstLimit struct {
	m      *meter
	bounds []bound
	most   []Peak // of each one's share, for 1 V
}

// firstLimit looks for nothing where no bound is known or nothing is heard.
func (m *meter) firstLimit(o *Outcome, f *Figures) firstLimit {
	if o.Greatest == nil || !f.Reference.OK() {
		return firstLimit{}
	}
	bounds := m.bounds()
	return firstLimit{m, bounds, make([]Peak, len(bounds))}
}

func (l firstLimit) readings() []reading {
	list := make([]reading, len(l.bounds))
	for i := range list {
		list[i] = reading{of: func(f float64) float64 {
			if _, ok := l.m.solve(f); !ok {
				return 0
			}
			return l.bounds[i].share() * phys.Abs(l.m.feed.gain(2*math.Pi*f))
		}, to: &l.most[i]}
	}
	return list
}

// found is what gives first once they are read, where z is the lowest impedance.
func (l firstLimit) found(z Peak) *First {
	if len(l.bounds) == 0 {
		return nil
	}
	st := l.m.st
	if a := st.Amplifier; a != nil && float64(z.Value) < a.LeastImpedance()*(1-1e-9) {
		return &First{By: BoundLoad, At: float64(z.At)}
	}
	var out *First
	for i, p := range l.most {
		if s := float64(p.Value); s > 0 && (out == nil || 1/s < out.Volts) {
			v := 1 / s
			out = &First{By: l.bounds[i].id, At: float64(p.At), Volts: v, Watts: st.nominal(v, l.m.sys)}
		}
	}
	return out
}

// GreatestNear is the envelope at one of the bass frequencies.
func (f *Figures) GreatestNear(hz float64) (GreatestAt, bool) {
	for _, g := range f.Greatest {
		if g.Frequency == hz {
			return g, true
		}
	}
	return GreatestAt{}, false
}
