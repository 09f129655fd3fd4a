package report

import (
	"fmt"
	"io"
	"math"
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
	slideText   = 27.0
	pngScale    = 3.0 // pixels per point of a page: 216 dots per inch
)

// subject is what a figure can show.
type subject struct {
	name   string
	title  string
	curves func(r *study.Result, o *study.Outcome) []draw.Series // nil for sections
	axis   func(r *study.Result, ys [][]float64, limits []float64) draw.YAxis
	limit  func(r *study.Result) (draw.Limit, bool)
	level  bool // a level figure: 50 dB as tall as a decade is wide, goal and F3 marks
	time   bool // against time
	drive  bool // it depends on the drive, which is named in the figure
}

// FigureNames lists what NewFigure can draw; the first is the default.
func FigureNames() []string {
	var out []string
	for _, s := range subjects {
		out = append(out, s.name)
	}
	return append(out, "section")
}

func one(get func(c *study.Curves) []float64, scale float64) func(*study.Result, *study.Outcome) []draw.Series {
	return func(_ *study.Result, o *study.Outcome) []draw.Series {
		return []draw.Series{{Index: o.Index, Name: o.Candidate.Name, X: o.Curves.Frequency, Y: scaled(get(o.Curves), scale)}}
	}
}

func scaled(y []float64, by float64) []float64 {
	out := make([]float64, len(y))
	for i, v := range y {
		out[i] = v * by
	}
	return out
}

func rise(name string) func(*study.Result, [][]float64, []float64) draw.YAxis {
	return func(_ *study.Result, ys [][]float64, limits []float64) draw.YAxis {
		return draw.RiseAxis(name, limits, ys...)
	}
}

var subjects = []subject{
	{name: "level", title: "Level", level: true, drive: true,
		curves: one(func(c *study.Curves) []float64 { return c.SPL }, 1)},
	{name: "excursion", title: "Excursion", drive: true,
		curves: func(r *study.Result, o *study.Outcome) []draw.Series {
			u := phys.Length.Unit(r.Study.Units)
			return one(func(c *study.Curves) []float64 { return c.ExcursionMax }, 1/u.Factor)(r, o)
		},
		axis: func(r *study.Result, ys [][]float64, limits []float64) draw.YAxis {
			return draw.RiseAxis("Excursion in "+phys.Length.Unit(r.Study.Units).Name+", peak", limits, ys...)
		},
		limit: excursionLimit},
	{name: "impedance", title: "Impedance",
		curves: one(func(c *study.Curves) []float64 { return c.Impedance }, 1),
		axis: func(_ *study.Result, ys [][]float64, limits []float64) draw.YAxis {
			return draw.LogAxis("Impedance in Ω", limits, ys...)
		},
		limit: func(r *study.Result) (draw.Limit, bool) {
			c, ok := firstCheck(r, study.CheckLoad)
			return draw.Limit{At: c.Limit, Side: draw.Below, From: limitsFrom(r)}, ok
		}},
	{name: "phase", title: "Impedance phase",
		curves: one(func(c *study.Curves) []float64 { return c.ImpedancePhase }, 1),
		axis: func(*study.Result, [][]float64, []float64) draw.YAxis {
			return draw.YAxis{Lo: -90, Hi: 90, Ticks: []float64{-90, -45, 0, 45, 90}, Name: "Phase of the impedance in °"}
		}},
	{name: "group-delay", title: "Group delay",
		curves: one(func(c *study.Curves) []float64 { return c.GroupDelay }, 1e3),
		axis:   rise("Group delay in ms"),
		limit:  checkLimit(study.CheckGroupDelay, 1e3)},
	{name: "port-speed", title: "Port air speed", drive: true,
		curves: func(r *study.Result, o *study.Outcome) []draw.Series {
			if !o.Figures.PortSpeed.Value.OK() {
				return nil
			}
			u := phys.Speed.Unit(r.Study.Units)
			return one(func(c *study.Curves) []float64 { return c.SpeedMax }, math.Sqrt2/u.Factor)(r, o)
		},
		axis: func(r *study.Result, ys [][]float64, limits []float64) draw.YAxis {
			return draw.RiseAxis("Air speed in "+phys.Speed.Unit(r.Study.Units).Name+", peak", limits, ys...)
		},
		limit: func(r *study.Result) (draw.Limit, bool) {
			return checkLimit(study.CheckPortSpeed, 1/phys.Speed.Unit(r.Study.Units).Factor)(r)
		}},
	{name: "power", title: "Power in the hottest coil", drive: true,
		curves: func(_ *study.Result, o *study.Outcome) []draw.Series {
			y := make([]float64, len(o.Curves.Frequency))
			for _, t := range o.Curves.Power {
				for k, v := range t.Y {
					y[k] = max(y[k], v)
				}
			}
			return []draw.Series{{Index: o.Index, Name: o.Candidate.Name, X: o.Curves.Frequency, Y: y}}
		},
		axis: rise("Power in one coil in W")},
	{name: "step", title: "Step response", time: true,
		curves: transient(func(c *study.Curves) *study.TimeCurve { return c.Step }),
		axis: func(_ *study.Result, ys [][]float64, _ []float64) draw.YAxis {
			return draw.LinearAxis("Pressure over its peak", []float64{0}, ys...)
		}},
	{name: "impulse", title: "Impulse response", time: true,
		curves: transient(func(c *study.Curves) *study.TimeCurve { return c.Impulse }),
		axis: func(_ *study.Result, ys [][]float64, _ []float64) draw.YAxis {
			return draw.LinearAxis("Pressure over its peak", []float64{0}, ys...)
		}},
}

// transient shows a time response over its own peak: the shape is what counts.
func transient(get func(c *study.Curves) *study.TimeCurve) func(*study.Result, *study.Outcome) []draw.Series {
	return func(_ *study.Result, o *study.Outcome) []draw.Series {
		t := get(o.Curves)
		if t == nil {
			return nil
		}
		peak := 0.0
		for _, v := range t.Y {
			peak = max(peak, math.Abs(v))
		}
		if peak == 0 {
			return nil
		}
		return []draw.Series{{Index: o.Index, Name: o.Candidate.Name, X: scaled(t.T, 1e3), Y: scaled(t.Y, 1/peak)}}
	}
}

// excursionLimit is the wall of the excursion figure: where all candidates
// have one limit.
func excursionLimit(r *study.Result) (draw.Limit, bool) {
	at := 0.0
	for _, o := range r.Candidates {
		c, ok := checkOf(o, study.CheckExcursion)
		if !ok || at != 0 && math.Abs(c.Limit-at) > 1e-9 {
			return draw.Limit{}, false
		}
		at = c.Limit
	}
	return draw.Limit{At: at / phys.Length.Unit(r.Study.Units).Factor, From: limitsFrom(r)}, at > 0
}

func checkLimit(id study.CheckID, scale float64) func(r *study.Result) (draw.Limit, bool) {
	return func(r *study.Result) (draw.Limit, bool) {
		c, ok := firstCheck(r, id)
		return draw.Limit{At: c.Limit * scale, From: limitsFrom(r)}, ok
	}
}

func firstCheck(r *study.Result, id study.CheckID) (study.Check, bool) {
	for _, o := range r.Candidates {
		if c, ok := checkOf(o, id); ok {
			return c, true
		}
	}
	return study.Check{}, false
}

func limitsFrom(r *study.Result) float64 { return r.Study.LimitsFrom() }

// subjectNamed finds a subject.
func subjectNamed(name string) (subject, bool) {
	for _, s := range subjects {
		if s.name == name {
			return s, true
		}
	}
	return subject{}, false
}

// shownTime is how much of a time response a figure shows, ms.
const shownTime = 100.0

// plot puts a subject's curves onto axes; nothing to draw gives false.
func (s subject) plot(r *study.Result, some []*study.Outcome, w, h, size float64) (draw.Plot, bool) {
	p := draw.Plot{W: w, H: h, Size: size, Labels: true}
	var ys [][]float64
	for _, o := range some {
		for _, c := range s.curves(r, o) {
			p.Series = append(p.Series, c)
			ys = append(ys, c.Y)
		}
	}
	if len(p.Series) == 0 {
		return p, false
	}
	f := p.Series[0].X
	p.X = draw.FrequencyAxis(f[0], f[len(f)-1])
	if s.time {
		p.X = draw.XAxis{From: 0, To: shownTime, Linear: true, Name: "Time in ms"}
	}
	var walls []float64
	if s.limit != nil {
		if l, ok := s.limit(r); ok {
			p.Limits = append(p.Limits, l)
			walls = append(walls, l.At)
		}
	}
	if s.level {
		s.levelAxis(r, some, &p, ys)
		return p, true
	}
	p.Y = s.axis(r, ys, walls)
	return p, true
}

// levelAxis sets up a level figure.
func (s subject) levelAxis(r *study.Result, some []*study.Outcome, p *draw.Plot, ys [][]float64) {
	p.Y = draw.DecibelAxis("Sound pressure level in dB re 20 µPa", 0, ys...)
	for _, o := range some {
		if f := o.Figures.F3; f.OK() && float64(f) >= p.X.From && float64(f) <= p.X.To {
			p.Marks = append(p.Marks, draw.Mark{Index: o.Index, At: float64(f)})
		}
	}
	if f := r.Study.Brief.Extension.F3; f > 0 {
		p.Goals = append(p.Goals, draw.Goal{At: f, Label: "asked: " + phys.Brief(f, phys.Frequency, r.Study.Units)})
	}
	p.Note = levelNote(r)
	if len(p.Marks) > 0 {
		p.Note += "; bar: −3 dB"
	}
}

func levelNote(r *study.Result) string {
	return fmt.Sprintf("%s, %s, %s space", r.Study.Drive.Words(r.Study.Units), phys.Brief(r.Study.Listening.Distance, phys.Distance, r.Study.Units), r.Study.Listening.Space)
}

// NewFigure draws one picture of a result. The error names what cannot be drawn.
func NewFigure(r *study.Result, name string, o FigureOptions) (*Figure, error) {
	some := chosen(r, o.Only)
	if o.Theme == "" {
		o.Theme = "page"
	}
	theme, err := draw.ThemeNamed(o.Theme)
	if err != nil {
		return nil, err
	}
	if name == "section" {
		return sectionPlate(r, some, theme, o.Size)
	}
	s, ok := subjectNamed(name)
	if !ok {
		return nil, fmt.Errorf("no figure is called %q; there are %s", name, strings.Join(FigureNames(), ", "))
	}
	w, size, mm := pageWidth, pageText, pageMM
	if o.Size == "slide" {
		w, size, mm = slideWidth, slideText, 0
	}
	h := w * 0.46
	if mm == 0 {
		h = slideHeight
	}
	p, ok := s.plot(r, some, w, h, size)
	if !ok {
		return nil, fmt.Errorf("there is nothing to draw: no candidate has a %s", strings.ToLower(s.title))
	}
	if p.Note == "" && s.drive {
		p.Note = levelNote(r)
	}
	if s.level {
		if mm == 0 {
			p = p.FitLevels(p.Y.Name, 50)
		} else {
			p.H = p.HeightFor(50)
		}
	}
	scene := draw.NewScene(p.W, p.H, theme)
	scene.Title, scene.Desc = describe(r, s, some)
	p.Draw(scene, 0, 0)
	return &Figure{scene, mm}, nil
}

// describe says what a figure shows, for who cannot see it.
func describe(r *study.Result, s subject, some []*study.Outcome) (title, desc string) {
	title = fmt.Sprintf("%s of %s: %s", s.title, plural(len(some), "candidate"), r.Study.Name)
	var parts []string
	for _, o := range some {
		if f := o.Figures.F3; s.level && f.OK() {
			parts = append(parts, fmt.Sprintf("%s %s", o.Candidate.Name, phys.Show(float64(f), phys.Frequency, r.Study.Units)))
		}
	}
	desc = levelNote(r) + "."
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
