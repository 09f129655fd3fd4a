package web

import (
	"bytes"
	"sync"

	"basswright/internal/draw"
	"basswright/internal/note"
	"basswright/internal/report"
	"basswright/internal/section"
	"basswright/internal/study"
)

// Sizes of the drawings on the page, px.
const (
	sectionScale = 0.30 // px a mm: a bench of 700 mm is as wide as a column
	driverScale  = 0.44
	spaceScale   = 0.72
	spaceWidth   = 576.0
	smallText    = 12.0
)

// svg is a scene as the page takes it: the page's style sheet owns its colours.
func svg(s *draw.Scene, prefix string) string {
	var b bytes.Buffer
	if err := s.SVG(&b, draw.SVGOptions{Inline: true, Prefix: prefix}); err != nil {
		return "" // a buffer takes everything
	}
	return b.String()
}

// drawWiring adds how a candidate's drivers are wired, unless the page has it.
func (c *Candidate) drawWiring(r *study.Result, o *study.Outcome, have map[string]bool) {
	c.WiringKey = key("wiring", o.Candidate.Wired, o.Index)
	if o.Candidate.Wired == "" || !have[c.WiringKey] {
		c.Wiring = svg(section.Wiring(o.System.Group, section.Options{Theme: draw.Screen(), Size: smallText, Units: r.Study.Units, Width: 440}), "wiring-"+c.WiringKey)
	}
}

// draw adds a candidate's drawings, which the page may have already: then only
// their width is told, which is remembered.
func (c *Candidate) draw(r *study.Result, o *study.Outcome, have map[string]bool, known *widths) {
	c.DrawKey = key("drawings", o.Candidate.Built, o.Index)
	held := o.Candidate.Built != "" && have[c.DrawKey]
	if held {
		var ok bool
		if c.Across, ok = known.find(c.DrawKey); ok {
			return
		}
	}
	opt := section.Options{Scale: sectionScale, Theme: draw.Screen(), Size: smallText, Dims: true, Mute: true, Built: true, Units: r.Study.Units, Space: r.Study.Space}
	s, said := section.Told(o, opt)
	c.Across = s.W
	known.keep(c.DrawKey, s.W)
	if held {
		return
	}
	c.Section = svg(s, "section-"+c.DrawKey)
	c.Told = remarks(said)
	if c.Course = course(section.CourseOf(o, opt)); c.Course != nil && o.Body.Fold != nil && len(o.Body.Fold.Legs) > 1 { // points stand in the straight duct, over its fold
		opt.Built = false
		s, said := section.Told(o, opt)
		c.Course.Drawing, c.Course.Told = svg(s, "course-"+c.DrawKey), remarks(said)
	}
}

func remarks(said []section.Remark) []Remark {
	out := make([]Remark, 0, len(said))
	for _, m := range said {
		out = append(out, Remark{Text: m.Text, Weight: weights[m.Role]})
	}
	return out
}

// weights are how gravely a remark of a drawing is meant.
var weights = map[draw.Role]string{draw.Soft: "", draw.Heed: "heed", draw.Stop: "stop"}

// widths remembers how wide drawings are, by their keys: a page that has them
// asks for the widths again with every step of a drag.
type widths struct {
	mu    sync.Mutex
	known map[string]float64
}

const mostWidths = 1000

func (w *widths) find(key string) (float64, bool) {
	w.mu.Lock()
	defer w.mu.Unlock()
	v, ok := w.known[key]
	return v, ok
}

func (w *widths) keep(key string, v float64) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.known == nil || len(w.known) >= mostWidths { // what is in use comes back at once
		w.known = map[string]float64{}
	}
	w.known[key] = v
}

// space draws the space of the brief as large as its place on the page allows, as soon as
// there is a space or a woofer that one is for.
func space(st *study.Study, ask Ask) string {
	if ask.Quick || st.Space == nil && len(st.Drivers) == 0 {
		return ""
	}
	scale := spaceScale
	if sp := st.Space; sp != nil && sp.Width > 0 {
		scale = min(1.2, max(0.05, (spaceWidth-100)/(1e3*sp.Width)))
	}
	return svg(section.Space(st, section.Options{Scale: scale, Theme: draw.Screen(), Size: smallText, Units: st.Units}), "space")
}

// drivers is the shortlist, each woofer with what follows from its sheet.
func drivers(st *study.Study, drawn bool) []Driver {
	out := make([]Driver, 0, len(st.Drivers))
	for i := range st.Drivers {
		d := &st.Drivers[i]
		one := Driver{Name: d.Driver.Name, Steps: steps(report.Lines(d.Steps, st.Units)), Findings: findings(d.Findings)}
		if drawn {
			s := section.Driver(d.Driver, section.Options{Scale: driverScale, Theme: draw.Screen(), Size: smallText, Units: st.Units})
			one.Drawing, one.Across = svg(s, "driver-"+d.Driver.Name), s.W
		}
		out = append(out, one)
	}
	return out
}

// demands are what the brief asks of the air.
func demands(st *study.Study) []Demand {
	list := st.Demands()
	out := make([]Demand, 0, len(list))
	for _, d := range list {
		out = append(out, Demand{Step: steps(report.Lines([]note.Step{d.Step}, st.Units))[0], Short: d.Short()})
	}
	return out
}
