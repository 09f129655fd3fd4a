package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"basswright/internal/draw"
	"basswright/internal/note"
	"basswright/internal/phys"
	"basswright/internal/study"
)

// The axis of time of a figure of heat begins where a coil has just begun to warm
// up, and takes at least a decade.
const (
	heatBegins  = 1.0  // s
	heatLeast   = 10.0 // s
	heatShare   = 0.66 // of the figure’s height, for the temperatures
	alikeShare  = 0.01 // of the axis within which courses count as one
	lossAtLeast = 0.5  // dB that the axis of compression shows
)

// heatTrace is a course that one or several drivers share.
type heatTrace struct {
	of           string // "outer", "wren-6"; empty for all
	many         bool
	coil, magnet []float64 // in the study’s unit
}

// heatTraces are the courses of a candidate’s drivers, each once.
func heatTraces(st *study.Study, c *study.Candidate, h *study.HeatCourse) []heatTrace {
	unit := phys.Temperature.Unit(st.Units)
	all := make([]heatTrace, len(h.Drivers))
	most := h.Air
	for k := range all {
		for i := range h.Points {
			all[k].coil = append(all[k].coil, unit.Of(h.Points[i].Coil[k]))
			all[k].magnet = append(all[k].magnet, unit.Of(h.Points[i].Magnet[k]))
		}
		most = math.Max(most, h.Hottest[k])
	}
	near := alikeShare * math.Abs(unit.Of(most)-unit.Of(h.Air))
	same := func(a, b []float64) bool {
		for i := range a {
			if math.Abs(a[i]-b[i]) > near {
				return false
			}
		}
		return true
	}
	var out []heatTrace
	var who [][]int
	for k, t := range all {
		at := slices.IndexFunc(out, func(o heatTrace) bool { return same(o.coil, t.coil) && same(o.magnet, t.magnet) })
		if at < 0 {
			at, out, who = len(out), append(out, t), append(who, nil)
		}
		who[at] = append(who[at], k)
	}
	for at := range out {
		out[at].many = len(who[at]) > 1
		if len(out) > 1 {
			out[at].of = heatNames(c, h, who, at)
		}
	}
	return out
}

// heatNames says which drivers follow one course: by their place in the stack, by
// what they are, or by their place in the study, whichever tells them apart.
func heatNames(c *study.Candidate, h *study.HeatCourse, who [][]int, at int) string {
	depth := c.Group.Depth()
	place := func(k int) string { return study.Place(k%depth, depth) }
	model := func(k int) string { return c.Group.Positions[k/depth][k%depth].Driver.Name }
	for _, name := range []func(int) string{place, model} {
		if apart(who, name) {
			var parts []string
			for _, k := range who[at] {
				if n := name(k); !slices.Contains(parts, n) {
					parts = append(parts, n)
				}
			}
			return strings.Join(parts, " and ")
		}
	}
	return strings.TrimPrefix(h.Drivers[who[at][0]], "driver.")
}

// apart reports whether no name occurs in two of the groups.
func apart(who [][]int, name func(int) string) bool {
	owner := map[string]int{}
	for g, list := range who {
		for _, k := range list {
			if o, ok := owner[name(k)]; ok && o != g {
				return false
			}
			owner[name(k)] = g
		}
	}
	return true
}

// label is the name at the end of a curve: "coil", "outer coil", "magnets".
func (t heatTrace) label(what string) string {
	if t.many && t.of == "" {
		what += "s"
	}
	return strings.TrimSpace(t.of + " " + what)
}

// heatPlots are the temperatures and, below, what they cost of the level.
func heatPlots(st *study.Study, c *study.Candidate, h *study.HeatCourse) (temperature, loss draw.Plot) {
	times, lost := make([]float64, len(h.Points)), make([]float64, len(h.Points))
	for i, q := range h.Points {
		times[i], lost[i] = q.At, q.Loss
		if q.Resting { // nothing plays that could be less loud
			lost[i] = math.NaN()
		}
	}
	unit := phys.Temperature.Unit(st.Units)
	x := draw.TimeAxis(heatBegins, times[len(times)-1])
	temperature, loss = draw.Plot{X: x, Labels: true}, draw.Plot{X: x, Labels: true}
	ys := [][]float64{{unit.Of(h.Air)}}
	own := c.LookAt(max(0, slices.IndexFunc(st.Candidates, func(o study.Candidate) bool { return o.Name == c.Name })))
	for k, t := range heatTraces(st, c, h) {
		temperature.Series = append(temperature.Series,
			draw.Series{Index: own, Dash: k + 1, Name: t.label("coil"), X: times, Y: t.coil},
			draw.Series{Index: own, Dash: k + 1, Name: t.label("magnet"), X: times, Y: t.magnet, Thin: true})
		ys = append(ys, t.coil, t.magnet)
	}
	temperature.Y = draw.LinearAxis("Temperature in "+unit.Name, nil, ys...)
	loss.Series = []draw.Series{{Index: -1, Name: "compression", X: times, Y: lost}}
	loss.Y = draw.LinearAxis("Loss in dB", []float64{0, lossAtLeast}, lost)
	loss.Y.Ticks = draw.NiceTicks(loss.Y.Lo, loss.Y.Hi, 3)
	return temperature, loss
}

// heatDrive names what plays.
func heatDrive(st *study.Study, h *study.HeatCourse, o study.HeatOptions) string {
	text := fmt.Sprintf("noise, 20\u2009Hz to 200\u2009Hz, %s rms%s", phys.Brief(h.Volts, phys.Voltage, st.Units), st.Fed())
	if o.Off > 0 {
		text += fmt.Sprintf(", %s of it and %s of rest in turn", study.Lasting(o.On), study.Lasting(o.Off))
	}
	return text + fmt.Sprintf(", air of %s", phys.Brief(h.Air, phys.Temperature, st.Units))
}

// wholeDegrees is a temperature as exact as its circuit is known.
func wholeDegrees(st *study.Study, v float64) string {
	u := phys.Temperature.Unit(st.Units)
	return phys.Fixed(u.Of(v), 0) + "\u2009" + u.Name
}

// heatDoubts are the doubtful results in as few words as a figure has room for.
var heatDoubts = map[string]string{
	"coil-gives-way":   "no coil bears so much heat",
	"beyond-amplifier": "more than the amplifier gives",
}

// heatRests is what the figure rests on and where it leads.
func heatRests(st *study.Study, h *study.HeatCourse) []string {
	var out []string
	if s := h.Steady; s != nil {
		out = append(out, fmt.Sprintf("in the end %s and %s less", wholeDegrees(st, slices.Max(s.Coil)), inDecibels(s.Loss)))
	}
	for _, f := range h.Findings {
		if short, ok := heatDoubts[f.ID]; ok {
			out = append(out, "doubtful: "+short)
		}
	}
	if slices.ContainsFunc(h.Findings, func(f note.Finding) bool { return f.Severity == note.Default }) {
		out = append(out, "thermal data from the rated power")
	}
	return out
}

// HeatFigure draws how a candidate’s coils and magnets warm up, and below what
// that costs of the level.
func HeatFigure(st *study.Study, c *study.Candidate, h *study.HeatCourse, ho study.HeatOptions, o FigureOptions) (*Figure, error) {
	canvas, err := canvasOf(o)
	if err != nil {
		return nil, err
	}
	if canvas.mm > 0 {
		canvas.H *= 1.25 // room for the second strip
	}
	scene, _, err := HeatScene(st, c, h, ho, canvas)
	if err != nil {
		return nil, err
	}
	return &Figure{scene, canvas.mm}, nil
}

// HeatScene draws it on a canvas, and says in words what it shows.
func HeatScene(st *study.Study, c *study.Candidate, h *study.HeatCourse, ho study.HeatOptions, on Canvas) (*draw.Scene, string, error) {
	if last := h.Points[len(h.Points)-1].At; last < heatLeast*(1-1e-9) {
		return nil, "", fmt.Errorf("the axis of time begins at 1 s, and %s leave no picture; ask for --for 10s or more", study.Lasting(last))
	}
	a, b := heatPlots(st, c, h)
	a.W, a.H, a.Size = on.W, heatShare*on.H, on.Text
	b.W, b.H, b.Size = on.W, on.H-a.H, on.Text
	told := heatRests(st, h)
	if !on.Bare {
		a.Note = c.Name + ", " + heatDrive(st, h, ho)
		if on.mm > 0 { // on a slide there is room for less
			a.Note = strings.Join(append([]string{a.Note}, told...), "; ")
		}
	}
	scene := draw.NewScene(on.W, on.H, on.Theme)
	scene.Title, scene.Desc = fmt.Sprintf("Heat of %s: %s", c.Name, st.Name), heatDesc(st, h, ho, told)
	draw.Stacked(scene, 0, 0, a, b)
	return scene, scene.Desc, nil
}

// HeatLines are the curves of the figure: temperatures in the study’s unit, and the
// loss in dB.
func HeatLines(st *study.Study, c *study.Candidate, h *study.HeatCourse) []draw.Series {
	a, b := heatPlots(st, c, h)
	for i := range a.Series {
		a.Series[i].Name += ", " + phys.Temperature.Unit(st.Units).Name
	}
	b.Series[0].Name += ", dB"
	return append(a.Series, b.Series...)
}

// heatDesc says what the figure shows, for who cannot see it.
func heatDesc(st *study.Study, h *study.HeatCourse, o study.HeatOptions, told []string) string {
	text := capital(heatDrive(st, h, o)) + "."
	next := 0
	for i := range h.Points {
		q := &h.Points[i]
		if last := i == len(h.Points)-1; !last && (next >= len(heatRows) || q.At < heatRows[next]*0.999) {
			continue
		}
		for next < len(heatRows) && heatRows[next] <= q.At*1.001 {
			next++
		}
		if q.At > 0 {
			text += fmt.Sprintf(" After %s the hottest coil has %s, its level %s less.", study.Lasting(q.At), wholeDegrees(st, slices.Max(q.Coil)), inDecibels(q.Loss))
		}
	}
	if len(told) > 0 {
		text += " " + capital(strings.Join(told, "; ")) + "."
	}
	return text
}
