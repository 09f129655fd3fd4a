package report

import (
	"bytes"
	"fmt"
	"html/template"
	"math"
	"slices"
	"strings"

	"basswright/internal/draw"
	"basswright/internal/section"
	"basswright/internal/study"
)

// Sizes of the page's figures, px: across the page, half of it, and a
// telephone.
const (
	widePx   = 722.0
	halfPx   = 345.0
	halfHigh = 172.0
	phoneSVG = 350.0
)

// widestSchematic is how wide a network may be drawn, mm on paper: two stand beside each
// other.
const widestSchematic = 80.0

// leastColumn is the room for the words below a section, mm on paper.
const leastColumn = 40.0

// pxPerMM is the size of a millimetre on paper in CSS pixels.
const pxPerMM = 96 / 25.4

// scales are the usual ones for drawings (ISO 5455), as far as they fit.
var scales = []int{5, 10, 20, 50, 100}

// sectionScale is the largest usual scale at which every section takes no more
// than a third of the page's width.
func sectionScale(r *study.Result) int {
	const column = 61.5 // mm on paper: three, with their gaps, on a page as wide as a screen has it
	widest := 0.0
	for _, o := range r.Candidates {
		w := o.Body.Width
		if s := r.Study.Space; s != nil {
			w = max(w, s.Width)
		}
		widest = max(widest, w*1e3)
	}
	for _, s := range scales {
		if widest/float64(s) <= column {
			return s
		}
	}
	return scales[len(scales)-1]
}

func (d *pageData) candidates(r *study.Result) error {
	d.Scale = sectionScale(r)
	d.View = capital(plate{some: r.Candidates}.view())
	widest := 0.0
	for _, o := range r.Candidates {
		c := pageCandidate{
			Name: o.Candidate.Name, Plain: o.Plain, Colour: colour(o.Look()), Wrong: o.WrongPolarity(),
			Summary: small(strings.Join(o.Summary[:], ". ")) + ".", Verdict: strings.Join(o.Verdict, "; "),
		}
		var err error
		if c.Sample, err = lineSample(o.Look()); err != nil {
			return err
		}
		opt := section.Options{
			Scale: pxPerMM / float64(d.Scale), Theme: draw.Screen(), Space: r.Study.Space, Units: r.Study.Units, Dims: true, Size: 11,
		}
		if o.System.Spec.Net != nil {
			opt.Room = widestSchematic * pxPerMM
		}
		s := section.Draw(o, opt)
		widest = math.Max(widest, s.W/pxPerMM)
		if c.Section, err = inline(s, fmt.Sprintf("s%d", o.Index), s.W/pxPerMM); err != nil {
			return err
		}
		d.Candidates = append(d.Candidates, c)
	}
	d.Column = fmt.Sprintf("%.1fmm", math.Max(widest, leastColumn))
	return nil
}

// inline is a scene as SVG inside the page.
func inline(s *draw.Scene, prefix string, mm float64) (template.HTML, error) {
	var b bytes.Buffer
	if err := s.SVG(&b, draw.SVGOptions{Inline: true, Prefix: prefix, WidthMM: mm}); err != nil {
		return "", err
	}
	return template.HTML(b.String()), nil //nolint:gosec // written and escaped by draw
}

// lineSample is a piece of a candidate's line.
func lineSample(i int) (template.HTML, error) {
	s := draw.NewScene(36, 8, draw.Screen())
	s.Line(0, 4, 36, 4, draw.Style{Stroke: draw.Line(i), Width: 2, Dash: draw.Dash(i), Round: draw.Dotted(i)})
	var b bytes.Buffer
	if err := s.SVG(&b, draw.SVGOptions{Inline: true, Prefix: fmt.Sprintf("l%d", i), WidthMM: 36 / pxPerMM}); err != nil {
		return "", err
	}
	return template.HTML(b.String()), nil //nolint:gosec // written by draw
}

// gaugeSVG is a track that ends at a wall.
func gaugeSVG(fill float64, prefix string) (template.HTML, error) {
	const w, wall = 64.0, 52.0
	s := draw.NewScene(w, 12, draw.Screen())
	s.Line(0, 6.5, wall, 6.5, draw.Style{Stroke: draw.Hair, Width: 3})
	s.Path(new(draw.Path).Box(wall, 1, 8, 11), draw.Style{Hatch: draw.Hatch{Role: draw.Soft, Pitch: 3, Width: 1.1}})
	s.Line(wall, 1, wall, 12, draw.Style{Stroke: draw.Soft, Width: 1.4})
	role := draw.Ink
	if fill > 1+1e-9 {
		role = draw.Stop
	}
	s.Line(0, 6.5, math.Min(fill, 1.2)*wall, 6.5, draw.Style{Stroke: role, Width: 3})
	return inline(s, prefix, w/pxPerMM)
}

// captions says what each figure of the report shows.
var captions = map[string]string{
	"level":       "dB re 20 µPa at the listening distance, against Hz.",
	"greatest":    "dB re 20 µPa at the listening distance under a sine, against Hz, and what ends it.",
	"plain-level": "dB re 20 µPa at the same distance without what surrounds the listener, against Hz; extension and reference level are told for it.",
	"excursion":   "peak, the largest of each candidate’s drivers.",
	"impedance":   "at the group’s terminals.",
	"group-delay": "without the flight over the listening distance.",
	"port-speed":  "peak, the fastest of each candidate’s openings.",
	"step":        "the pressure after a step of voltage, over its peak, against ms, as it is below 2 kHz.",
}

func (d *pageData) figures(r *study.Result) error {
	names := []string{"level", "excursion", "impedance", "group-delay", "port-speed", "step"}
	if r.Study.InPlace() {
		names = slices.Insert(names, 1, "plain-level")
	}
	if limited(r) {
		names = slices.Insert(names, 1, "greatest")
	}
	for _, name := range names {
		s, _ := subjectNamed(name)
		f := pageFigure{Number: len(d.Figures) + 1, Title: s.title, Caption: captions[name], Wide: s.level}
		if name == "level" && r.Study.InPlace() {
			f.Caption = "dB re 20 µPa at the listener’s place (" + r.Study.PlaceWords() + "), against Hz."
		}
		if name == "greatest" && r.Study.InPlace() {
			f.Caption = "dB re 20 µPa at the listener’s place under a sine, against Hz, and what ends it."
		}
		w := halfPx
		if f.Wide {
			w = widePx
		}
		svg, told, err := s.onPage(r, w, "f-"+name)
		switch {
		case err != nil:
			return err
		case svg == "":
			continue
		}
		f.SVG = svg
		if len(told) > 0 {
			f.Caption += " " + capital(strings.Join(told, "; ")) + "."
		}
		if f.Wide {
			if f.Narrow, _, err = s.onPage(r, phoneSVG, "p-"+name); err != nil {
				return err
			}
		}
		d.Figures = append(d.Figures, f)
	}
	return nil
}

// limited says that a limit of the level is known of some candidate that is heard.
func limited(r *study.Result) bool {
	s, _ := subjectNamed("greatest")
	return slices.ContainsFunc(r.Candidates, func(o *study.Outcome) bool {
		for _, c := range s.curves(r, o) {
			if _, _, ok := draw.Bounds(c.Y); ok {
				return true
			}
		}
		return false
	})
}

// onPage is a figure of the page, with what is to be told of it below; nothing
// to draw is an empty one.
func (s subject) onPage(r *study.Result, w float64, prefix string) (template.HTML, []string, error) {
	p, ok := s.plot(r, r.Candidates, w, halfHigh, 11)
	if !ok {
		return "", nil, nil
	}
	p.Stroke = 1.6
	p.X.Name, p.Y.Name = "", strings.TrimSuffix(p.Y.Name, " re 20 µPa")
	if w == widePx {
		p.Size, p.Stroke = 12, 2
	}
	if s.level {
		if err := drawable(p.X, r.Study.Units); err != nil {
			return "", nil, err
		}
		p.Plot = p.Proportioned(perDecade, flattest*w, tallest*w)
	}
	var told []string
	if len(p.Marks) > 0 {
		told = append(told, "bars mark F3")
	}
	if s.wall != "" && len(p.Limits) > 0 {
		told = append(told, s.wall)
	}
	scene := draw.NewScene(p.W, p.H, draw.Screen())
	scene.Title, scene.Desc = describe(r, s, r.Candidates)
	p.Draw(scene, 0, 0)
	svg, err := inline(scene, prefix, 0)
	return svg, append(told, p.unseen()...), err
}
