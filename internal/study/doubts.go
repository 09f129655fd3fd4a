package study

import (
	"fmt"
	"math"
	"strings"

	"basswright/internal/curve"
	"basswright/internal/driver"
	"basswright/internal/large"
	"basswright/internal/note"
	"basswright/internal/phys"
)

// wired says that a candidate's cones work against each other, as its check does.
func wired(c *Candidate) []note.Finding {
	return c.Group.Fights("candidates." + c.Name + ".group")
}

// doubts say which of the states of candidate c cannot be relied on.
func (st *Study) doubts(c *Candidate, m *large.Model, d *Distortion) []note.Finding {
	where := "candidates." + c.Name
	var falling, jumped, lost []string
	unlooked := false
	for k := range d.Points {
		p := &d.Points[k]
		at := phys.Brief(p.Frequency, phys.Frequency, st.Units) + " and " + phys.Brief(p.Volts, phys.Voltage, st.Units)
		switch {
		case p.Lost != "":
			lost = append(lost, at)
			continue
		case p.Standing.Lasting == large.Unstable:
			falling = append(falling, at)
		case p.Standing.Jumped:
			jumped = append(jumped, at)
		}
		unlooked = unlooked || p.Standing.Lasting == large.Unknown
	}
	var out []note.Finding
	if len(lost) > 0 {
		out = append(out, note.Finding{
			ID: "no-state", Severity: note.Warning, Where: where, At: c.At,
			Text: "no steady state was found at " + some(lost) + ": cone or air is far beyond what is known of it there",
			Mend: "ask for less voltage",
		})
	}
	if len(falling) > 0 {
		out = append(out, note.Finding{
			ID: "state-does-not-last", Severity: note.Warning, Where: where, At: c.At,
			Text: "the steady state does not last at " + some(falling) + ": what disturbs it grows, and no other was found that repeats itself with the sine",
			Mend: "ask for less voltage, or play a sine through it with signal",
		})
	}
	if len(jumped) > 0 {
		out = append(out, note.Finding{
			ID: "state-jumps", Severity: note.Warning, Where: where, At: c.At,
			Text: "the system has jumped at " + some(jumped) + ": the states that a rising drive leads to end below, and what is told is the one that it comes to in time",
			Mend: "ask for less voltage",
		})
	}
	if unlooked {
		out = append(out, note.Finding{
			ID: "stability-unknown", Severity: note.Default, Where: where, At: c.At,
			Text: "whether the states last was only looked at for slow drifts: creep, a power_law voice coil and full radiation have no course in time",
			Mend: "leave them out, or use voice_coil: {model: lr2, …}, to have it looked at",
		})
	}
	return append(out, st.travelled(c, m, d)...)
}

// some lists a few of many.
func some(list []string) string {
	const few = 3
	if n := len(list) - few; n > 1 {
		return strings.Join(list[:few], ", ") + fmt.Sprintf(" and %d more", n)
	}
	return strings.Join(list, ", ")
}

// travel is how far a driver goes both ways, in its own direction.
type travel struct {
	of          *driver.Driver
	most, least float64 // m
	at          string  // of the farther
}

// take widens a travel by that of a cone, m towards the listener.
func (t *travel) take(most, least float64, facing int, at string) {
	if facing < 0 {
		most, least = -least, -most
	}
	if max(most, -least) > max(t.most, -t.least) {
		t.at = at
	}
	t.most, t.least = max(t.most, most), min(t.least, least)
}

// travels are those of a system's drivers, each once.
type travels []*travel

func (l *travels) of(d *driver.Driver) *travel {
	for _, t := range *l {
		if t.of == d {
			return t
		}
	}
	*l = append(*l, &travel{of: d})
	return (*l)[len(*l)-1]
}

// travelled says of steady states where a driver is beyond what is known of it.
func (st *Study) travelled(c *Candidate, m *large.Model, d *Distortion) []note.Finding {
	var list travels
	for k := range d.Points {
		p := &d.Points[k]
		at := " at " + phys.Brief(p.Frequency, phys.Frequency, st.Units) + " and " + phys.Brief(p.Volts, phys.Voltage, st.Units)
		for i, cone := range m.Sys.Cones {
			who := m.Sys.Group.Positions[cone.Position][cone.Depth]
			list.of(who.Driver).take(p.Cones[i].Max, p.Cones[i].Min, int(who.Facing), at)
		}
	}
	return st.beyond(c, list, true)
}

// beyond says where travels leave what is known: through the mechanical stop, past
// the end of a curve, or where a curve has changed its sign.
func (st *Study) beyond(c *Candidate, list travels, stops bool) []note.Finding {
	var out []note.Finding
	say := func(id string, t *travel, text string) {
		out = append(out, note.Finding{ID: id, Severity: note.Warning, Where: "candidates." + c.Name, At: c.At,
			Text: fmt.Sprintf("%s goes %s%s, %s", t.of.Name, phys.Brief(math.Max(t.most, -t.least), phys.Length, st.Units), t.at, text), Mend: "ask for less voltage"})
	}
	length := func(x float64) string { return phys.Brief(math.Abs(x), phys.Length, st.Units) }
	for _, t := range list {
		if stop := t.of.Data.Xmech; stops && stop > 0 && max(t.most, -t.least) > stop {
			say("beyond-the-stop", t, "and would hit its mechanical stop at "+length(stop)+", which is not in the model")
		}
		if t.of.Curves == nil {
			continue
		}
		ended := math.Inf(1)
		for _, q := range []struct {
			name string
			of   *curve.Curve
		}{{"force factor", t.of.Curves.Bl}, {"stiffness", t.of.Curves.Kms}, {"inductance", t.of.Curves.Le}, {"inductance L2", t.of.Curves.L2}} {
			if q.of == nil {
				continue
			}
			if from, to, bounded := q.of.Range(); bounded && (t.most > to || t.least < from) {
				ended = min(ended, to, -from)
			}
			for _, x := range []float64{t.most, t.least} {
				if zero, found := q.of.Zero(x); found {
					say("curve-turns-negative", t, "and its curve of the "+q.name+" is negative beyond "+length(zero)+": no driver is like that")
					break
				}
			}
		}
		if !math.IsInf(ended, 1) {
			say("beyond-the-curves", t, "and its curves are given up to "+length(ended)+"; what lies beyond is carried on from there")
		}
	}
	return out
}
