package study

import (
	"fmt"
	"math"

	"basswright/internal/enclosure"
	"basswright/internal/note"
	"basswright/internal/phys"
)

// A port's cautious limit belongs to a frequency, and a piece has none. So each
// half swing of its air, from one moment of rest to the next, is held as that of a
// sine which takes as long; slower than limits are held from, as one at that
// frequency. A steady sine is thus held as compare holds it.

// portWatch follows the air in one port against a limit that depends on the
// frequency.
type portWatch struct {
	m     *meter
	v     *vent
	j     *Journey
	swing []float64 // m/s, of the half swing under way
	share float64   // of its limit, the largest so far
}

// take counts one moment.
func (w *portWatch) take(speed, h float64) {
	if n := len(w.swing); n > 0 && speed*w.swing[n-1] < 0 {
		w.settle(h)
	}
	w.swing = append(w.swing, speed)
}

// settle holds the half swing that has ended.
func (w *portWatch) settle(h float64) {
	f := math.Max(1/(2*h*float64(len(w.swing))), w.m.st.LimitsFrom())
	limit := w.m.allowed(w.v, f)
	for _, s := range w.swing {
		s = math.Abs(s)
		if s > limit {
			w.j.Over += h
		}
		if s/limit > w.share {
			w.share, w.j.Limit, w.j.LimitAt = s/limit, limit, f
		}
	}
	w.swing = w.swing[:0]
}

// Heating is what a driver's coils turn into heat over a piece.
type Heating struct {
	Most  float64 // W, the most as a mean over half a second
	Rated float64 // W; 0: not known
	Over  float64 // s in which that mean is above it
}

// heatWatch holds the watts of each driver against what it is rated for: as a mean
// over half a second, for a rating is one of minutes and more, and a peak heats
// nothing.
type heatWatch struct {
	joules []float64 // of the stretch under way
	before []float64 // of the last one
	since  float64   // s, of the stretch under way
	whole  float64   // s, of the last one; 0: there is none
}

// add counts one moment of one coil.
func (w *heatWatch) add(driver int, joules float64) { w.joules[driver] += joules }

// step lets time pass.
func (w *heatWatch) step(to []Journey, h float64) {
	if w.since += h; w.since < warmEvery {
		return
	}
	for k, e := range w.joules {
		to[k].Heat.count(e/w.since, w.since)
	}
	copy(w.before, w.joules)
	clear(w.joules)
	w.whole, w.since = w.since, 0
}

// end counts what is left, as a mean with the stretch before it: alone it may be
// no longer than a peak.
func (w *heatWatch) end(to []Journey) {
	if w.since == 0 {
		return
	}
	for k, e := range w.joules {
		to[k].Heat.count((w.before[k]+e)/(w.whole+w.since), w.since)
	}
}

// count takes a stretch of so many seconds.
func (g *Heating) count(watts, seconds float64) {
	g.Most = math.Max(g.Most, watts)
	if g.Rated > 0 && watts > g.Rated {
		g.Over += seconds
	}
}

// watch prepares what is held against limits that are no plain bound of a moment.
func (pl *player) watch(sys *enclosure.System) {
	p, m := pl.p, newMeter(pl.st, sys)
	vents := m.vents()
	unsized := ""
	for i := range sys.Openings {
		o := &sys.Openings[i]
		if o.Area == 0 {
			unsized = o.Name
			continue
		}
		p.Ports = append(p.Ports, Journey{Name: o.Name, Limit: pl.st.Brief.Limits.PortSpeed})
		pl.air = append(pl.air, nil)
		for k := range vents {
			if vents[k].opening == o && vents[k].known && pl.st.Brief.Limits.PortSpeed == 0 {
				pl.air[len(pl.air)-1] = &portWatch{m: m, v: &vents[k]}
			}
		}
	}
	for i, w := range pl.air { // now that the list does not move any more
		if w != nil {
			w.j = &p.Ports[i]
		}
	}
	if unsized != "" {
		p.Findings = append(p.Findings, note.Finding{ID: "port-not-followed", Severity: note.Warning, Where: "candidates",
			Text: "the air in " + unsized + " is held against no limit: it has no size",
			Mend: "give " + unsized + " a diameter, a width and height, or an area"})
	}
	if l := pl.st.Brief.Limits.Pressure; l > 0 {
		for i := range sys.Chambers {
			p.Chambers = append(p.Chambers, Journey{Name: sys.Chambers[i].Name, Limit: l})
		}
	}
	for k := range sys.Cones {
		p.Cones[k].Heat.Rated = m.rated(k)
	}
	pl.watts = heatWatch{joules: make([]float64, len(sys.Cones)), before: make([]float64, len(sys.Cones))}
}

// lacks says whether any channel gives more than the amplifier's amperes.
func (pl *player) lacks() bool {
	a := pl.st.Amplifier
	if a == nil {
		return false
	}
	for k := range pl.model.Sys.Channels {
		if math.Abs(pl.course.ChannelCurrent(k)) > math.Sqrt2*a.MaxCurrent() {
			return true
		}
	}
	return false
}

// limitWords are the limit that a journey is held against.
func (j *Journey) limitWords(k phys.Kind, u phys.System) string {
	if j.LimitAt > 0 {
		return fmt.Sprintf("cautious limit (%s at %s)", phys.Show(j.Limit, k, u), phys.Show(j.LimitAt, phys.Frequency, u))
	}
	return phys.Brief(j.Limit, k, u)
}

// heatWords say what the coils took; nothing where they took nothing.
func (g *Heating) heatWords(u phys.System) string {
	if !(g.Most > 0) {
		return ""
	}
	text := "; coils up to " + phys.Show(g.Most, phys.Power, u) + " over half a second"
	switch {
	case g.Over > 0:
		text += fmt.Sprintf(", %s beyond the %s that it is rated for", Lasting(g.Over), phys.Brief(g.Rated, phys.Power, u))
	case g.Rated > 0:
		text += ", never beyond the " + phys.Brief(g.Rated, phys.Power, u) + " that it is rated for"
	}
	return text
}
