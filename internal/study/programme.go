package study

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"basswright/internal/enclosure"
	"basswright/internal/heat"
	"basswright/internal/large"
	"basswright/internal/network"
	"basswright/internal/note"
	"basswright/internal/phys"
	"basswright/internal/place"
)

// ProgrammeOptions say how a piece of sound is played through a candidate.
type ProgrammeOptions struct {
	Volts    float64            // V rms of a sine at full scale, before the filters; 0: the amplifier's greatest, else the study's drive
	Cold     bool               // coils stay as warm as the air
	Progress func(part float64) // called now and then, 0 to 1; nil: not
}

// Programme is what a piece of sound does to a candidate.
type Programme struct {
	Rate     int
	Volts    float64   // V rms of a sine at full scale, before the filters
	Pressure []float64 // Pa at the listener's place, without the flight
	Movement []float64 // m, of the cone or radiator that goes furthest beside its own limit
	Moving   string    // its name
	Cones    []Journey // the drivers in member order, then the radiators
	Ports    []Journey // air speed, m/s
	Level    float64   // dB, of the mean power
	Peak     float64   // dB, of the largest pressure as if it were a sine's peak
	Chambers []Journey // pressure, Pa, where it is limited
	Clipped  float64   // s in which the amplifier's volts are not enough
	Lacking  float64   // s in which its amperes are not: it is played as if it gave them
	Warmest  float64   // °C, of the coils; the air's where they stay cold
	Findings []note.Finding
}

// Journey is how far something goes over a piece.
type Journey struct {
	Name        string
	Most, Least float64
	Limit       float64 // 0: none is known
	LimitAt     float64 // Hz, of a limit that depends on it: where it was used up most; else 0
	Over        float64 // s beyond the limit
	Stop        float64 // m, the mechanical stop; 0: not known
	OverStop    float64 // s beyond it
	Heat        Heating // of a driver
}

// warmEvery is how often the coils' resistance follows their heat, s: a fortieth
// of what a usual coil takes to warm up.
const warmEvery = 0.5

// player is one run of Play.
type player struct {
	st      *Study
	o       ProgrammeOptions
	p       *Programme
	h       *hot      // nil: cold
	hottest heat.Wire // of the coil that was the warmest
	model   *large.Model
	course  *large.Course
	most    float64 // V peak that the amplifier gives; +Inf: no amplifier
	joules  []float64
	since   float64
	air     []*portWatch // by port; nil where the limit does not depend on the frequency
	watts   heatWatch
	flow    []float64 // volume velocity, of which the pressure is the slope
	trace   [][]float32
}

// Play runs a mono sound, full scale 1, through candidate i: the line-level
// filters, the amplifier's volts, the large-signal model and the coils' heat. The
// error is a *CandidateError or the context's.
func (st *Study) Play(ctx context.Context, i int, sound []float64, rate int, o ProgrammeOptions) (*Programme, error) {
	c := &st.Candidates[i]
	pl := &player{st: st, o: o, p: &Programme{Rate: rate}, most: math.Inf(1)}
	if err := pl.setUp(i); err != nil {
		return nil, &CandidateError{c, err}
	}
	line, err := pl.line(sound, rate)
	if err != nil {
		return nil, &CandidateError{c, err}
	}
	h := 1 / float64(rate)
	for k, v := range line {
		if k%rate == 0 {
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			if o.Progress != nil {
				o.Progress(float64(k) / float64(len(line)))
			}
		}
		if math.Abs(v) > pl.most {
			v = math.Copysign(pl.most, v)
			pl.p.Clipped += h
		}
		if err := pl.course.Step(v); err != nil {
			return nil, &CandidateError{c, fmt.Errorf("at %s: %w", Lasting(float64(k)*h), err)}
		}
		pl.note(h)
		if pl.since += h; pl.h != nil && pl.since >= warmEvery {
			if err := pl.warm(h); err != nil {
				return nil, &CandidateError{c, err}
			}
		}
	}
	pl.finish(h)
	if pl.h != nil {
		pl.p.Findings = append(pl.p.Findings, st.coilDoubt(c, pl.p.Warmest, pl.hottest, "")...)
	}
	pl.p.Findings = append(pl.travelled(c), pl.p.Findings...)
	pl.p.Findings = append(pl.p.Findings, pl.p.hearing()...)
	return pl.p, nil
}

// setUp makes the model and the journeys.
func (pl *player) setUp(i int) error {
	st, p := pl.st, pl.p
	m, err := st.LargeModel(i)
	if err != nil {
		return errors.Unwrap(err)
	}
	pl.model = m
	if p.Volts = pl.o.Volts; p.Volts == 0 {
		p.Volts = st.feed(m.Sys).fixed
		if st.Amplifier != nil {
			p.Volts = st.Amplifier.MaxVoltage()
		}
	}
	if a := st.Amplifier; a != nil {
		pl.most = math.Sqrt2 * a.MaxVoltage()
	}
	p.Findings = st.distortionFindings(&st.Candidates[i])
	p.Findings = append(p.Findings, st.Listening.At.placeFindings(st.Units)...)
	p.Warmest = st.ambient()
	if !pl.o.Cold {
		pl.h = &hot{st: st, c: &st.Candidates[i], volts: p.Volts, air: st.ambient()}
		course := &HeatCourse{}
		if err := pl.h.setUp(m.Sys, course); err != nil {
			return errors.Unwrap(err)
		}
		p.Findings = append(p.Findings, course.Findings...)
		pl.joules = make([]float64, len(pl.h.circuits))
	}
	limit := newMeter(st, m.Sys).excursionLimit()
	for k, c := range m.Sys.Moving() {
		j := Journey{Name: c.Name, Limit: c.Xmax}
		if k < len(m.Sys.Cones) {
			if limit > 0 {
				j.Limit = limit
			}
			j.Stop = m.Sys.Group.Positions[c.Position][c.Depth].Driver.Data.Xmech
		}
		p.Cones = append(p.Cones, j)
	}
	pl.watch(m.Sys)
	pl.trace = make([][]float32, len(p.Cones))
	return nil
}

// line is the sound behind the filters, V, and prepares the course.
func (pl *player) line(sound []float64, rate int) ([]float64, error) {
	out := make([]float64, len(sound))
	for k, v := range sound {
		out[k] = math.Sqrt2 * pl.p.Volts * v
	}
	if !pl.st.Chain.Idle() {
		d, err := pl.st.Chain.Digital(float64(rate))
		if err != nil {
			return nil, err
		}
		d.Processor().Process(out)
	}
	var err error
	pl.course, err = pl.model.NewCourse(1 / float64(rate))
	return out, timed(err)
}

// timed words what cannot be followed in time.
func timed(err error) error {
	var infinite *network.InfiniteError
	if errors.As(err, &infinite) {
		return fmt.Errorf("ducts, fill, creep, a power_law voice coil, full radiation and places on a baffle are no finite circuits and cannot be followed in time, as a piece of sound and two tones are; single tones can be asked for (distortion --at), and voice_coil: {model: lr2, …} is finite")
	}
	return err
}

// note reads what a step did.
func (pl *player) note(h float64) {
	p := pl.p
	pl.flow = append(pl.flow, pl.course.VolumeVelocity())
	for c := range p.Cones {
		x := pl.course.Cone(c)
		pl.trace[c] = append(pl.trace[c], float32(x))
		p.Cones[c].take(x, h)
	}
	at := 0
	for o, opening := range pl.model.Sys.Openings {
		if opening.Area > 0 {
			v := pl.course.Opening(o) / opening.Area
			p.Ports[at].take(v, h)
			if w := pl.air[at]; w != nil {
				w.take(v, h)
			}
			at++
		}
	}
	for c, coil := range pl.model.Sys.Coils {
		i := pl.course.Coil(c)
		joules := i * i * coil.Re * h
		pl.watts.add(coil.Driver, joules)
		if pl.h != nil {
			pl.joules[pl.h.class[coil.Driver]] += joules
		}
	}
	pl.watts.step(p.Cones, h)
	for k := range p.Chambers {
		p.Chambers[k].take(pl.course.Pressure(k), h)
	}
	if pl.lacks() {
		p.Lacking += h
	}
}

// travelled says where a driver was beyond what is known of it; that it would
// have hit its stop, its journey says.
func (pl *player) travelled(c *Candidate) []note.Finding {
	var list travels
	for k, cone := range pl.model.Sys.Cones {
		who := c.Group.Positions[cone.Position][cone.Depth]
		list.of(who.Driver).take(pl.p.Cones[k].Most, pl.p.Cones[k].Least, int(who.Facing), "")
	}
	return pl.st.beyond(c, list, false)
}

// take counts one moment.
func (j *Journey) take(v, h float64) {
	j.Most, j.Least = math.Max(j.Most, v), math.Min(j.Least, v)
	a := math.Abs(v)
	if j.Limit > 0 && j.LimitAt == 0 && a > j.Limit {
		j.Over += h
	}
	if j.Stop > 0 && a > j.Stop {
		j.OverStop += h
	}
}

// warm lets the heat of the last stretch into the coils and goes on with coils
// that are so much warmer.
func (pl *player) warm(h float64) error {
	count := make([]float64, len(pl.h.circuits))
	for _, c := range pl.h.class {
		count[c]++
	}
	for i, c := range pl.h.circuits {
		pl.h.state[i] = c.After(pl.h.state[i], pl.joules[i]/count[i]/pl.since, pl.since)
		if t := pl.h.air + pl.h.state[i].Coil; t > pl.p.Warmest {
			pl.p.Warmest, pl.hottest = t, pl.h.wires[slices.Index(pl.h.class, i)]
		}
		pl.joules[i] = 0
	}
	pl.since = 0
	sys, err := pl.h.buildWith(func(s *enclosure.Setting) { s.BareAir = true })
	if err != nil {
		return err
	}
	pl.model = large.New(sys, large.Options{Adiabatic: pl.st.Model.AdiabaticAir, LinearAir: pl.st.Model.LinearAir})
	next, err := pl.model.NewCourse(h)
	if err != nil {
		return err
	}
	next.Adopt(pl.course)
	pl.course = next
	return nil
}

// finish makes the pressure and chooses the movement that is told.
func (pl *player) finish(h float64) {
	p := pl.p
	for _, w := range pl.air {
		if w != nil {
			w.settle(h)
		}
	}
	pl.watts.end(p.Cones)
	set := pl.model.Sys.Setting
	scale := set.PressurePerFlow(1) // jω is the slope
	n := len(pl.flow)
	p.Pressure = make([]float64, n)
	for k := range n {
		a, b := max(k-1, 0), min(k+1, n-1)
		if b > a {
			p.Pressure[k] = scale * (pl.flow[b] - pl.flow[a]) / (float64(b-a) * h)
		}
	}
	if pl.st.InPlace() {
		p.Pressure = pl.st.Listening.At.there(p.Pressure, p.Rate)
	}
	power, most := 0.0, 0.0
	for k := range n {
		power += p.Pressure[k] * p.Pressure[k] / float64(n)
		most = math.Max(most, math.Abs(p.Pressure[k]))
	}
	p.Level, p.Peak = 10*math.Log10(power/(referencePressure*referencePressure)), level(most/math.Sqrt2)
	best, share := 0, -1.0
	for c, j := range p.Cones {
		s := math.Max(j.Most, -j.Least)
		if j.Limit > 0 {
			s /= j.Limit
		}
		if s > share {
			best, share = c, s
		}
	}
	p.Moving = p.Cones[best].Name
	p.Movement = make([]float64, n)
	for k, x := range pl.trace[best] {
		p.Movement[k] = float64(x)
	}
}

// hearing is what the piece does to hearing, by the rules of all other output.
func (p *Programme) hearing() []note.Finding {
	what := fmt.Sprintf("the piece, at %s\u2009dB in the mean,", phys.Fixed(p.Level, 0))
	out := place.Dose(what, place.AWeighted(p.Pressure, float64(p.Rate)), "")
	out = append(out, place.Peak("the piece", p.Peak+level(math.Sqrt2)-level(1), "")...)
	if len(out) == 0 && p.Level >= loud {
		out = append(out, note.Finding{ID: "hearing", Severity: note.Caution,
			Text: what + " is too deep to count in dBA, and music on top of it can use up a day’s noise dose in minutes",
			Mend: "keep to the dose limits of your place"})
	}
	return out
}

// Words say what a journey did: "driver: 7.31 mm out, 6.90 mm in, 0.42 s beyond its 8 mm".
func (j *Journey) Words(k phys.Kind, u phys.System) string {
	text := fmt.Sprintf("%s: %s one way, %s the other", j.Name, phys.Show(j.Most, k, u), phys.Show(-j.Least, k, u))
	switch {
	case j.Limit > 0 && j.Over > 0:
		text += fmt.Sprintf("; %s beyond its %s", Lasting(j.Over), j.limitWords(k, u))
	case j.Limit > 0:
		text += "; never beyond its " + j.limitWords(k, u)
	}
	if j.OverStop > 0 {
		text += fmt.Sprintf("; %s beyond the mechanical stop of %s, where it would hit", Lasting(j.OverStop), phys.Brief(j.Stop, k, u))
	}
	return text + j.Heat.heatWords(u)
}
