package study

import (
	"context"
	"fmt"
	"math"
	"math/cmplx"
	"slices"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/heat"
	"basswright/internal/note"
	"basswright/internal/phys"
)

// HeatOptions say what a candidate plays while its coils warm up: noise with
// equal power in every part of an octave.
type HeatOptions struct {
	Volts   float64 // V rms before the filters; 0: the study's drive
	On, Off float64 // s: it plays so long and then rests so long; 0: without a rest
	For     float64 // s
	Reach   float64 // °C whose time is asked for; 0: none

	// Fine makes a course that is smooth on a logarithmic axis of time: small steps at
	// its beginning, and the moments at which it begins and ceases to play.
	Fine bool
}

// The noise with which coils are heated: the range of a bass system. Its power is
// read at so many places.
const (
	heatFrom, heatTo = 20.0, 200.0 // Hz
	heatPlaces       = 24
)

// heatSteps is how many steps a course makes in the time of its quickest coil, the
// watts of each step being the mean of those at its ends: twice as many change a
// rise of 280 K by less than 0.1 K.
const heatSteps = 20

// HeatPoint is one moment of a course of heat.
type HeatPoint struct {
	At      float64   // s
	Coil    []float64 // °C, by driver
	Magnet  []float64 // °C, by driver
	Watts   float64   // in all coils; while it rests: what they took if it played
	Loss    float64   // dB by which the mean level falls short of that of cold coils
	Resting bool
}

// HeatCourse is how a candidate warms up.
type HeatCourse struct {
	Volts    float64 // V rms before the filters
	Air      float64 // °C
	Drivers  []string
	Wires    []heat.Wire // of the coils, each once
	Points   []HeatPoint
	Hottest  []float64  // °C, by driver: its coil’s highest on the way
	Reached  float64    // s until the first coil has the temperature asked for; −1: not on the way
	Steady   *HeatPoint // without rests; nil with them
	Findings []note.Finding

	broken float64 // s until the first coil gives way; −1: not on the way
}

// hot is a candidate whose coils have temperatures.
type hot struct {
	st       *Study
	c        *Candidate
	box      enclosure.Spec // as it was built: warm coils choose no other
	volts    float64
	all      bool        // the drive is all that the amplifier gives
	air      float64     // °C
	wires    []heat.Wire // by driver
	circuits []heat.Circuit
	state    []heat.State
	class    []int     // by driver: the one that stands for it
	watts    []float64 // by class, of one driver that plays
	from     []heat.State
	mid      []float64 // W by class, over a step
	steps    int       // in the time of the quickest coil
	total    float64   // W, of all
	mean     float64   // dB, the mean level, re 1 Pa
	cold     float64   // the same with cold coils
}

// Heat follows the coils of candidate i. The error is a *CandidateError, the
// context's, or says what is not known of a driver.
func (st *Study) Heat(ctx context.Context, i int, o HeatOptions) (*HeatCourse, error) {
	return st.heatIn(ctx, i, o, heatSteps)
}

// ambient is the temperature around a coil, °C: 20 where the air is stated by its
// speed of sound and density, which leave it open.
func (st *Study) ambient() float64 {
	if st.Air.Stated {
		return 20
	}
	return st.Air.Temperature
}

// heatIn makes so many steps in the time of the quickest coil.
func (st *Study) heatIn(ctx context.Context, i int, o HeatOptions, steps int) (*HeatCourse, error) {
	h := &hot{st: st, c: &st.Candidates[i], volts: o.Volts, air: st.ambient(), steps: steps}
	course := &HeatCourse{Findings: wired(h.c)}
	sys, _, err := st.Build(i)
	if err != nil {
		return nil, err
	}
	if h.volts == 0 {
		if f := st.feed(sys); f.amplifier != nil {
			h.volts, h.all = f.amplifier.MaxVoltage(), true
		} else {
			h.volts = f.fixed
		}
	}
	course.Volts = h.volts
	if err := h.setUp(sys, course); err != nil {
		return nil, err
	}
	course.Air = h.air
	if err := h.run(ctx, course, o); err != nil {
		return nil, err
	}
	if o.Off == 0 {
		if err := h.settle(); err != nil {
			return nil, &CandidateError{h.c, err}
		}
		p := h.point(math.Inf(1), false)
		p.At = -1
		course.Steady = &p
	}
	doubts, err := h.doubts(sys, course)
	if err != nil {
		return nil, &CandidateError{h.c, err}
	}
	course.Findings = append(doubts, course.Findings...)
	return course, nil
}

// run follows the course in steps.
func (h *hot) run(ctx context.Context, course *HeatCourse, o HeatOptions) error {
	at, next := 0.0, 1.0
	course.Hottest = h.point(0, false).Coil
	course.Points = append(course.Points, h.point(0, false))
	course.Reached, course.broken = -1, -1
	for at < o.For-1e-9 {
		if err := ctx.Err(); err != nil {
			return err
		}
		step, resting := h.stretch(at, o)
		if o.Fine && o.Off > 0 && resting != course.Points[len(course.Points)-1].Resting {
			course.Points = append(course.Points, h.turn(course, at)...)
		}
		before := slices.Max(h.point(at, resting).Coil)
		if err := h.advance(step, resting); err != nil {
			return &CandidateError{h.c, err}
		}
		at += step
		p := h.point(at, resting)
		for k, v := range p.Coil {
			course.Hottest[k] = math.Max(course.Hottest[k], v)
		}
		after := slices.Max(p.Coil)
		if course.Reached < 0 && o.Reach > 0 {
			course.Reached = crossed(at-step, step, before, after, o.Reach)
		}
		if course.broken < 0 {
			course.broken = crossed(at-step, step, before, after, heat.GivesWay)
		}
		if at >= next-1e-9 || at >= o.For-1e-9 {
			course.Points = append(course.Points, p)
			next = at + h.apart(at, o)
		}
	}
	return nil
}

// apart is how long a course may go on from a moment before the next point is kept, s.
func (h *hot) apart(at float64, o HeatOptions) float64 {
	gap := 0.08 * at
	if cycle := o.On + o.Off; o.Fine && o.Off > 0 && cycle > at/60 { // later a turn is narrower than its line
		gap = math.Min(gap, math.Min(o.On, o.Off)/8)
	}
	return gap
}

// turn are the two points at a moment at which it begins or ceases to play: as it
// was and as it is from then on.
func (h *hot) turn(course *HeatCourse, at float64) []HeatPoint {
	was := course.Points[len(course.Points)-1]
	next := h.point(at, !was.Resting)
	if was.At >= at-1e-9 {
		return []HeatPoint{next}
	}
	return []HeatPoint{h.point(at, was.Resting), next}
}

// stretch is how far the next step from a moment goes, s, and whether it is part
// of a rest.
func (h *hot) stretch(at float64, o HeatOptions) (step float64, resting bool) {
	step = math.Min(h.quick()/float64(h.steps), o.For-at)
	if o.Fine {
		step = math.Min(step, math.Max(0.1, 0.08*at))
	}
	if o.Off > 0 {
		phase := math.Mod(at, o.On+o.Off)
		if resting = phase >= o.On-1e-9; resting {
			step = math.Min(step, o.On+o.Off-phase)
		} else {
			step = math.Min(step, o.On-phase)
		}
	}
	return math.Max(step, 1e-3), resting
}

// setUp finds the circuits and which drivers stay alike.
func (h *hot) setUp(sys *enclosure.System, course *HeatCourse) error {
	h.box = resolved(sys.Spec)
	g := h.c.Group
	_, alike := g.Symmetry()
	alike = alike && sys.Spec.Net.LookAlike()
	depth := g.Depth()
	for k, cone := range sys.Cones {
		d := g.Positions[cone.Position][cone.Depth].Driver
		course.Drivers = append(course.Drivers, cone.Name)
		h.wires = append(h.wires, d.Data.Wire)
		if !slices.Contains(course.Wires, d.Data.Wire) {
			course.Wires = append(course.Wires, d.Data.Wire)
		}
		if alike && cone.Position > 0 {
			h.class = append(h.class, k%depth)
			continue
		}
		circuit := d.Data.Thermal
		if circuit == (heat.Circuit{}) {
			var err error
			if circuit, err = heat.Default(d.RatedPower(), d.Data.CoilDiameter); err != nil {
				return &CandidateError{h.c, fmt.Errorf("nothing is known of how %s warms up: give its thermal, or its rated_power", d.Name)}
			}
			f := note.Finding{
				ID: "default-thermal", Severity: note.Default, Where: "drivers." + d.Name + ".thermal",
				Text: fmt.Sprintf("%s is taken to be 180\u2009K above the air at half its rated power, and to warm up with time constants of %s (coil) and %s (magnet), from memory",
					d.Name, Lasting(circuit.Rtv*circuit.Ctv), Lasting(circuit.Rtm*circuit.Ctm)),
				Mend: "give thermal to replace it",
			}
			if !slices.ContainsFunc(course.Findings, func(g note.Finding) bool { return g.Where == f.Where }) {
				course.Findings = append(course.Findings, f)
			}
		}
		h.class = append(h.class, len(h.circuits))
		h.circuits = append(h.circuits, circuit)
	}
	h.state = make([]heat.State, len(h.circuits))
	h.from = make([]heat.State, len(h.circuits))
	h.watts, h.mid = make([]float64, len(h.circuits)), make([]float64, len(h.circuits))
	if err := h.measure(); err != nil {
		return &CandidateError{h.c, err}
	}
	h.cold = h.mean
	return nil
}

// quick is the shortest time in which a coil changes, s.
func (h *hot) quick() float64 {
	least := math.Inf(1)
	for _, c := range h.circuits {
		least = math.Min(least, c.Rtv*c.Ctv)
	}
	return least
}

// advance lets time pass. While it plays, the watts fall as the coils warm up:
// the step is made with those at its start, and again with the mean of both ends.
func (h *hot) advance(seconds float64, resting bool) error {
	clear(h.mid)
	if !resting {
		copy(h.mid, h.watts)
	}
	copy(h.from, h.state)
	h.step(seconds)
	if err := h.measure(); err != nil || resting {
		return err
	}
	for i := range h.mid {
		h.mid[i] = (h.mid[i] + h.watts[i]) / 2
	}
	h.step(seconds)
	return h.measure()
}

// step goes on from the state kept, with the watts kept.
func (h *hot) step(seconds float64) {
	for i, c := range h.circuits {
		h.state[i] = c.After(h.from[i], h.mid[i], seconds)
	}
}

// measure reads the watts of each driver and the mean level from the network with
// the coils as hot as they are.
func (h *hot) measure() error {
	sys, err := h.build()
	if err != nil {
		return err
	}
	sol := sys.Program.NewSolver()
	clear(h.watts)
	h.total = 0
	power := 0.0
	drivers := make([]int, len(h.circuits)) // how many each class counts
	for _, c := range h.class {
		drivers[c]++
	}
	for k := range heatPlaces {
		f := heatPlace(k)
		if err := sol.Solve(2 * math.Pi * f); err != nil {
			return err
		}
		v := h.volts * cmplx.Abs(h.st.Chain.At(2*math.Pi*f))
		for i := range sys.Coils {
			w := sys.CoilPower(sol, &sys.Coils[i]) * v * v / heatPlaces
			h.watts[h.class[sys.Coils[i].Driver]] += w
			h.total += w
		}
		p := cmplx.Abs(sys.Pressure(sol)) * v
		power += p * p / heatPlaces
	}
	for i := range h.watts {
		h.watts[i] /= float64(drivers[i])
	}
	h.mean = 10 * math.Log10(power)
	return nil
}

// build makes the network with warm coils.
func (h *hot) build() (*enclosure.System, error) { return h.buildWith(nil) }

// buildWith makes it in a setting that is changed before.
func (h *hot) buildWith(change func(s *enclosure.Setting)) (*enclosure.System, error) {
	g := *h.c.Group
	g.Positions = make([][]driver.Member, len(h.c.Group.Positions))
	warm := make([]*driver.Driver, len(h.circuits))
	depth := h.c.Group.Depth() // of the copy nothing is left to read it from
	for p, stack := range h.c.Group.Positions {
		for k, m := range stack {
			c := h.class[p*depth+k]
			if warm[c] == nil {
				d := *m.Driver
				d.Re *= d.Data.Wire.Resistance(h.state[c].Coil+h.air) / h.st.Listening.At.warmth(d.Data.Wire)
				warm[c] = &d
			}
			m.Driver = warm[c]
			g.Positions[p] = append(g.Positions[p], m)
		}
	}
	set := h.st.Setting()
	if change != nil {
		change(&set)
	}
	sys, _, err := enclosure.Build(&g, h.box, set)
	return sys, err
}

// settle finds where it leads without rests. Far from resonance hotter coils take
// less; near it they may take more, but by less than their cooling gains, so that
// half steps close in on the one state in which both are equal. Should they not,
// the error says so.
func (h *hot) settle() error {
	for range 200 {
		far := 0.0
		for i, c := range h.circuits {
			end := c.Steady(h.watts[i])
			far = math.Max(far, math.Abs(end.Coil-h.state[i].Coil))
			h.state[i].Coil += (end.Coil - h.state[i].Coil) / 2
			h.state[i].Magnet += (end.Magnet - h.state[i].Magnet) / 2
		}
		if err := h.measure(); err != nil {
			return err
		}
		if far < 1e-6 {
			return nil
		}
	}
	return fmt.Errorf("the coils do not settle at %.4g\u2009V", h.volts)
}

func (h *hot) point(at float64, resting bool) HeatPoint {
	p := HeatPoint{At: at, Watts: h.total, Loss: h.cold - h.mean, Resting: resting}
	for _, c := range h.class {
		p.Coil = append(p.Coil, h.air+h.state[c].Coil)
		p.Magnet = append(p.Magnet, h.air+h.state[c].Magnet)
	}
	return p
}

// Lasting is a time that things take in words: "3 ms", "20 s", "5 min", "1.5 h".
func Lasting(s float64) string {
	switch {
	case s > 0 && s < 0.01: // which is not nothing
		return phys.Digits(1e3*s, 2) + "\u2009ms"
	case s < 10:
		return phys.Brief(math.Round(100*s)/100, phys.Number, phys.Metric) + "\u2009s"
	case s < 60:
		return phys.Brief(math.Round(10*s)/10, phys.Number, phys.Metric) + "\u2009s"
	case s < 3600:
		return phys.Digits(s/60, 2) + "\u2009min"
	}
	return phys.Digits(s/3600, 2) + "\u2009h"
}
