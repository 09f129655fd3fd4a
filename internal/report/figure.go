package report

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"basswright/internal/draw"
	"basswright/internal/phys"
	"basswright/internal/study"
)

// FigureOptions are the settings of one picture.
type FigureOptions struct {
	Only  []string // only these candidates, in this order; nil: all
	Size  string   // "page": 160 mm wide; "slide": 1600 × 900 px
	Theme string   // "page", "slide", "overlay"

	// Against is the candidate from which differences are drawn instead of
	// values; "": none.
	Against string
}

// Figure is one picture, ready to be written.
type Figure struct {
	scene *draw.Scene
	mm    float64 // printed width; 0: px
}

// Sizes in scene units: points on a page, pixels on a slide.
const (
	pageMM      = 160.0
	pageWidth   = pageMM / 25.4 * 72
	pageText    = 8.0
	slideWidth  = 1600.0
	slideHeight = 900.0
	slideText   = 40.0 // a fortieth of the width, as 24 points are on a slide: a page’s share is too little from the back of a room
	pngScale    = 3.0  // pixels per point of a page: 216 dots per inch
)

// subject is what a figure can show.
type subject struct {
	name   string
	title  string
	short  string                                                // its name where there is little room; "": the title
	curves func(r *study.Result, o *study.Outcome) []draw.Series // nil for sections
	axis   func(r *study.Result, ys [][]float64, limits []float64) draw.YAxis
	limit  func(r *study.Result) (wall, bool)
	spans  func(o *study.Outcome) []draw.Span // words along its curve; nil: none
	unlike func(r *study.Result) string       // what is told of limits that differ, in place of a wall; nil: never
	level  bool                               // a level figure: 50 dB as tall as a decade is wide, goal and F3 marks
	time   bool                               // against time
	own    string                             // what its note says in place of the drive
	drive  bool                               // it depends on the drive, which is named in the figure
	heard  bool                               // a candidate that gives no sound has none
	plain  bool                               // it is told for the plain space, whatever surrounds the listener
	wall   string                             // what its hatching means, where its axis does not say
}

// wall is a limit with the words for it where the axis does not reach it.
type wall struct {
	draw.Limit
	words string
}

// sections and schematics are the figures that are no curves.
const (
	sections   = "section"
	schematics = "schematic"
)

// FigureNames lists what NewFigure can draw; the first is the default.
func FigureNames() []string {
	var out []string
	for _, s := range subjects {
		out = append(out, s.name)
	}
	return append(out, sections, schematics)
}

// picture is a plot with what is told beside it: what the axes do not reach,
// and who has no curve.
type picture struct {
	draw.Plot
	walls []wall
	told  []string
}

// plot puts a subject's curves onto axes; nothing to draw gives false.
func (s subject) plot(r *study.Result, some []*study.Outcome, w, h, size float64) (picture, bool) {
	p := picture{Plot: draw.Plot{W: w, H: h, Size: size, Labels: true}}
	ys := s.fill(r, some, &p)
	if len(p.Series) == 0 && (s.time || !s.heard) {
		return p, false
	}
	f := some[0].Curves.Frequency // where nothing is heard the axes stand alone, with the words for it
	p.X = draw.FrequencyAxis(f[0], f[len(f)-1])
	if s.time {
		p.X = draw.XAxis{From: 0, To: shownFor(p.Series), Linear: true, Name: "Time in ms"}
	}
	if s.limit != nil {
		if l, ok := s.limit(r); ok {
			p.walls = append(p.walls, l)
		}
	}
	if slices.ContainsFunc(some, (*study.Outcome).WrongPolarity) {
		p.told = append(p.told, "WRONG: wired with a wrong polarity")
	}
	if s.unlike != nil {
		if t := s.unlike(r); t != "" {
			p.told = append(p.told, t)
		}
	}
	if s.level {
		s.levelAxis(r, some, &p)
		return p, true
	}
	var limits []float64
	for _, l := range p.walls {
		p.Limits = append(p.Limits, l.Limit)
		limits = append(limits, l.At)
	}
	p.Y = s.axis(r, ys, limits)
	return p, true
}

// fill gathers the curves that have a value.
func (s subject) fill(r *study.Result, some []*study.Outcome, p *picture) [][]float64 {
	var ys [][]float64
	for _, o := range some {
		shown := false
		for _, c := range s.curves(r, o) {
			if _, _, ok := draw.Bounds(c.Y); ok {
				c.Name = curveName(o)
				p.Series = append(p.Series, c)
				if s.spans != nil {
					for _, w := range s.spans(o) {
						w.Series = len(p.Series) - 1
						p.Spans = append(p.Spans, w)
					}
				}
				ys = append(ys, c.Y)
				shown = true
			}
		}
		if s.heard && !shown {
			p.told = append(p.told, s.lacks(o))
		}
	}
	return ys
}

// lacks says why a candidate has no curve in a figure of what is heard.
func (s subject) lacks(o *study.Outcome) string {
	if o.Figures.Reference.OK() {
		return "no limit is known of " + o.Candidate.Name
	}
	return "no sound from " + o.Candidate.Name
}

// curveName is what stands at the end of a candidate's curve.
func curveName(o *study.Outcome) string {
	if o.WrongPolarity() {
		return o.Candidate.Name + ", WRONG"
	}
	return o.Candidate.Name
}

// unseen is what the axes do not reach, to be asked when they are final.
func (p *picture) unseen() []string {
	told := p.told
	for _, l := range p.walls {
		switch {
		case l.Beside(p.X):
			told = append(told, l.words+", beside the picture")
		case l.At > p.Y.Hi:
			told = append(told, l.words+", above the picture")
		case l.At < p.Y.Lo:
			told = append(told, l.words+", below the picture")
		}
	}
	for _, g := range p.Goals {
		if g.At < p.X.From || g.At > p.X.To {
			told = append(told, g.Label+", beside the picture")
		}
	}
	return told
}

// NewFigure draws one picture of a result. The error names what cannot be drawn.
func NewFigure(r *study.Result, name string, o FigureOptions) (*Figure, error) {
	some := chosen(r, o.Only)
	c, err := canvasOf(o)
	if err != nil {
		return nil, err
	}
	if drawn := name == sections || name == schematics; drawn && o.Against != "" {
		return nil, fmt.Errorf("%ss have no difference: choose a figure of curves", name)
	} else if drawn {
		return sectionPlate(r, some, c.Theme, o.Size, name == schematics), nil
	}
	s, ok := subjectNamed(name)
	if !ok {
		return nil, fmt.Errorf("no figure is called %q; there are %s", name, strings.Join(FigureNames(), ", "))
	}
	if o.Against != "" {
		if s, err = s.against(r, o.Against); err != nil {
			return nil, err
		}
	}
	p, ok := s.plot(r, some, c.W, c.H, c.Text)
	if !ok {
		if s.heard {
			return nil, fmt.Errorf("there is nothing to draw: no candidate gives any sound")
		}
		return nil, fmt.Errorf("there is nothing to draw: no candidate has a %s", strings.ToLower(s.title))
	}
	if s.level {
		if err := drawable(p.X, r.Study.Units); err != nil {
			return nil, err
		}
		if c.mm == 0 {
			p.Plot = p.FitLevels(p.Y.Name, perDecade)
		} else {
			p.Plot = p.Proportioned(perDecade, flattest*c.W, tallest*c.W)
		}
	}
	p.Note = s.note(r, &p)
	scene := draw.NewScene(p.W, p.H, c.Theme)
	scene.Title, scene.Desc = describe(r, s, some)
	p.Draw(scene, 0, 0)
	return &Figure{scene, c.mm}, nil
}

// note is the line of words in a figure.
func (s subject) note(r *study.Result, p *picture) string {
	var words []string
	switch {
	case s.drive:
		words = append(words, s.levelNote(r))
	case s.own != "":
		words = append(words, s.own+", "+s.placeNote(r))
	}
	if len(p.Marks) > 0 {
		words = append(words, "bar: −3 dB")
	}
	return strings.Join(append(words, p.unseen()...), "; ")
}

// describe says what a figure shows, for who cannot see it.
func describe(r *study.Result, s subject, some []*study.Outcome) (title, desc string) {
	title = fmt.Sprintf("%s of %s: %s", s.title, plural(len(some), "candidate"), r.Study.Name)
	var parts []string
	for _, o := range some {
		if f := o.Figures.F3; s.level && s.reaches(r) && f.OK() {
			parts = append(parts, fmt.Sprintf("%s %s", o.Candidate.Name, phys.Show(float64(f), phys.Frequency, r.Study.Units)))
		}
	}
	desc = s.levelNote(r) + "."
	if s.own != "" {
		desc = s.own + ", " + s.placeNote(r) + "."
	}
	for _, o := range some {
		if o.WrongPolarity() {
			desc += " " + o.Candidate.Name + " is wired with a wrong polarity."
		}
	}
	if len(parts) > 0 {
		desc += " Extension F3: " + strings.Join(parts, ", ") + ". Bars across the lines mark it."
	}
	return title, desc
}

func plural(n int, what string) string {
	if n == 1 {
		return "one " + what
	}
	return study.Count(n) + " " + what + "s"
}

// Write writes the figure as "svg", "png" or "pdf".
func (f *Figure) Write(w io.Writer, format string) error {
	switch format {
	case "svg":
		return f.scene.SVG(w, draw.SVGOptions{WidthMM: f.mm, Prefix: "f"})
	case "png":
		if f.mm > 0 {
			return f.scene.PNG(w, pngScale)
		}
		return f.scene.PNG(w, 1)
	case "pdf":
		return f.scene.PDF(w, draw.PDFOptions{WidthMM: f.mm})
	}
	return fmt.Errorf("no format is called %q; there are svg, png and pdf", format)
}
