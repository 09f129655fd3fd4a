package report

import (
	"fmt"
	"io"
	"math"
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

// sections is the figure that is no curve.
const sections = "section"

// FigureNames lists what NewFigure can draw; the first is the default.
func FigureNames() []string {
	var out []string
	for _, s := range subjects {
		out = append(out, s.name)
	}
	return append(out, sections)
}

func one(get func(c *study.Curves) []float64, scale float64) func(*study.Result, *study.Outcome) []draw.Series {
	return func(_ *study.Result, o *study.Outcome) []draw.Series {
		return []draw.Series{{Index: o.Index, X: o.Curves.Frequency, Y: scaled(get(o.Curves), scale)}}
	}
}

// excursionScale turns metres into the unit of the excursion's axis.
func excursionScale(r *study.Result) float64 { return 1 / phys.Length.Unit(r.Study.Units).Factor }

// scaled is a curve in another unit; the same where the unit is.
func scaled(y []float64, by float64) []float64 {
	if by == 1 {
		return y
	}
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
	{name: "level", title: "Level", level: true, drive: true, heard: true,
		curves: one(func(c *study.Curves) []float64 { return c.SPL }, 1)},
	{name: "greatest", title: "Greatest level", short: "Greatest", level: true, heard: true, own: "greatest level under a sine, and what ends it",
		curves: func(_ *study.Result, o *study.Outcome) []draw.Series {
			if o.Greatest == nil {
				return nil
			}
			return []draw.Series{{Index: o.Index, X: o.Greatest.Frequency, Y: o.Greatest.Level}}
		},
		spans: boundSpans},
	{name: "plain-level", title: "Level in the plain space", short: "Plain level", level: true, drive: true, heard: true, plain: true,
		curves: one(plainLevel, 1)},
	{name: "excursion", title: "Excursion", drive: true,
		curves: func(r *study.Result, o *study.Outcome) []draw.Series {
			return one(func(c *study.Curves) []float64 { return c.ExcursionMax }, excursionScale(r))(r, o)
		},
		axis: func(r *study.Result, ys [][]float64, limits []float64) draw.YAxis {
			return draw.RiseAxis("Excursion in "+unitWord(phys.Length, r.Study.Units)+", peak", limits, ys...)
		},
		limit: excursionLimit, unlike: excursionLimits},
	{name: "impedance", title: "Impedance", wall: "hatched: below what the amplifier takes",
		curves: one(func(c *study.Curves) []float64 { return c.Impedance }, 1),
		axis: func(_ *study.Result, ys [][]float64, limits []float64) draw.YAxis {
			return draw.LogAxis("Impedance in Ω", limits, ys...)
		},
		limit: func(r *study.Result) (wall, bool) {
			w, ok := checkLimit(study.CheckLoad)(r)
			w.Side = draw.Below
			return w, ok
		}},
	{name: "phase", title: "Impedance phase", short: "Phase",
		curves: one(func(c *study.Curves) []float64 { return c.ImpedancePhase }, 1),
		axis: func(*study.Result, [][]float64, []float64) draw.YAxis {
			return draw.YAxis{Lo: -90, Hi: 90, Ticks: []float64{-90, -45, 0, 45, 90}, Name: "Phase of the impedance in °"}
		}},
	{name: "group-delay", title: "Group delay", heard: true,
		curves: one(func(c *study.Curves) []float64 { return c.GroupDelay }, 1e3),
		axis:   rise("Group delay in ms"),
		limit:  checkLimit(study.CheckGroupDelay)},
	{name: "port-speed", title: "Port air speed", short: "Port air", drive: true,
		curves: func(r *study.Result, o *study.Outcome) []draw.Series {
			if !o.Figures.PortSpeed.Value.OK() {
				return nil
			}
			u := phys.Speed.Unit(r.Study.Units)
			return one(func(c *study.Curves) []float64 { return c.SpeedMax }, math.Sqrt2/u.Factor)(r, o)
		},
		axis: func(r *study.Result, ys [][]float64, limits []float64) draw.YAxis {
			return draw.RiseAxis("Air speed in "+unitWord(phys.Speed, r.Study.Units)+", peak", limits, ys...)
		},
		limit: checkLimit(study.CheckPortSpeed)},
	{name: "power", title: "Power in the hottest coil", short: "Heat", drive: true,
		curves: func(_ *study.Result, o *study.Outcome) []draw.Series {
			y := make([]float64, len(o.Curves.Frequency))
			for _, t := range o.Curves.Power {
				for k, v := range t.Y {
					y[k] = max(y[k], v)
				}
			}
			return []draw.Series{{Index: o.Index, X: o.Curves.Frequency, Y: y}}
		},
		axis: rise("Power in one coil in W")},
	{name: "step", title: "Step response", short: "Step", time: true, heard: true,
		curves: transient(func(c *study.Curves) *study.TimeCurve { return c.Step }),
		axis: func(_ *study.Result, ys [][]float64, _ []float64) draw.YAxis {
			return draw.LinearAxis("Pressure over its peak", []float64{0}, ys...)
		}},
	{name: "impulse", title: "Impulse response", time: true, heard: true,
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
		return []draw.Series{{Index: o.Index, X: scaled(t.T, 1e3), Y: scaled(t.Y, 1/peak)}}
	}
}

// xmaxes are the excursion limits that hold in a study: the brief's own, or
// the xmax of each driver in use, in the order of the file.
func xmaxes(r *study.Result) (names []string, limits []float64) {
	if l := r.Study.Brief.Limits; l.Excursion > 0 && !l.ExcursionXmax {
		return []string{""}, []float64{l.Excursion}
	}
	used := map[string]bool{}
	for _, o := range r.Candidates {
		for _, stack := range o.System.Group.Positions {
			for _, m := range stack {
				used[m.Driver.Name] = true
			}
		}
	}
	for i := range r.Study.Drivers {
		if d := r.Study.Drivers[i].Driver; used[d.Name] {
			names, limits = append(names, d.Name), append(limits, d.Data.Xmax)
		}
	}
	return names, limits
}

// excursionLimit is the wall of the excursion figure: where one limit holds
// for all drivers.
func excursionLimit(r *study.Result) (wall, bool) {
	_, limits := xmaxes(r)
	for _, x := range limits {
		if x != limits[0] {
			return wall{}, false
		}
	}
	if len(limits) == 0 || limits[0] == 0 {
		return wall{}, false
	}
	return wallAt(r, limits[0], phys.Length), true
}

// excursionLimits tells the limits of drivers that have different ones: a
// curve shows the driver that moves furthest, which is not always the one that
// is nearest to its limit.
func excursionLimits(r *study.Result) string {
	if _, ok := excursionLimit(r); ok {
		return ""
	}
	var told []string
	names, limits := xmaxes(r)
	for i, x := range limits {
		if x > 0 {
			told = append(told, names[i]+" "+r.Study.Asked(x, phys.Length))
		}
	}
	if len(told) == 0 {
		return ""
	}
	return "limits: " + strings.Join(told, ", ")
}

// wallAt is a limit in the unit of its kind.
func wallAt(r *study.Result, at float64, k phys.Kind) wall {
	return wall{draw.Limit{At: k.Unit(r.Study.Units).Of(at), From: limitsFrom(r)}, "limit " + r.Study.Asked(at, k)}
}

func checkLimit(id study.CheckID) func(r *study.Result) (wall, bool) {
	return func(r *study.Result) (wall, bool) {
		c, ok := firstCheck(r, id)
		return wallAt(r, c.Limit, c.Kind), ok && !c.Varies // no straight line
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

// levelAxis sets up a level figure: the axis, the bars at F3 and what the
// brief asks for. The level asked at a frequency is a short wall there, a third
// of an octave wide: the curve has to pass above it.
func (s subject) levelAxis(r *study.Result, some []*study.Outcome, p *picture) {
	for _, o := range some {
		if !s.reaches(r) {
			break
		}
		if f := o.Figures.F3; f.OK() && float64(f) >= p.X.From && float64(f) <= p.X.To {
			p.Marks = append(p.Marks, draw.Mark{Index: o.Index, At: float64(f)})
		}
	}
	b, u := r.Study.Brief, r.Study.Units
	for _, e := range []struct {
		name string
		at   float64
	}{{"F3", b.Extension.F3}, {"F6", b.Extension.F6}, {"F10", b.Extension.F10}} {
		if e.at > 0 && s.reaches(r) {
			p.Goals = append(p.Goals, draw.Goal{At: e.at, Label: AskedExtension(e.name, e.at, u)})
		}
	}
	if b.Level > 0 && b.LevelAt > 0 && !(s.plain && r.Study.InPlace()) { // it is asked for the listener’s place
		words := AskedLevel(b.Level, b.LevelAt, u)
		sixth := math.Pow(2, 1./6)
		l := draw.Limit{At: b.Level, Side: draw.Below, From: b.LevelAt / sixth, To: b.LevelAt * sixth, Label: words}
		p.walls, p.Limits = append(p.walls, wall{l, words}), append(p.Limits, l)
	}
	p.Y = draw.YAxis{Name: "Sound pressure level in dB re 20 µPa", Lo: 0, Hi: levelSpan}
}

// reaches reports whether extension is to be seen in a figure: it belongs to the
// response at one drive in the plain space.
func (s subject) reaches(r *study.Result) bool { return s.own == "" && (s.plain || !r.Study.InPlace()) }

// How a level figure is proportioned: 50 dB as tall as one decade is wide
// (IEC 60263), whatever the range. The axis spans 50 dB unless that makes the
// figure flatter or taller than these shares of its width; then it spans what
// such a figure holds.
const (
	perDecade = 50.0
	levelSpan = 50.0
	flattest  = 0.3
	tallest   = 0.75
)

// narrowest is the least ratio of the ends of a level figure: over less than
// an octave, fewer than ten decibels would find room.
const narrowest = 2.0

func (s subject) levelNote(r *study.Result) string {
	return r.Study.DriveWords() + ", " + s.placeNote(r)
}

// placeNote says where the level is told for.
func (s subject) placeNote(r *study.Result) string {
	if s.plain {
		return r.Study.PlainWords()
	}
	return r.Study.PlaceWords()
}

// plainLevel is the level in the plain space.
func plainLevel(c *study.Curves) []float64 {
	if c.Plain != nil {
		return c.Plain
	}
	return c.SPL
}

// boundSpans name what ends the greatest level along its curve.
func boundSpans(o *study.Outcome) []draw.Span {
	g := o.Greatest
	if g == nil {
		return nil
	}
	var out []draw.Span
	for k := 0; k < len(g.By); {
		end := k
		for end+1 < len(g.By) && g.By[end+1] == g.By[k] {
			end++
		}
		if g.By[k] != "" && end > k {
			out = append(out, draw.Span{From: g.Frequency[k], To: g.Frequency[end], Word: g.By[k].Words()})
		}
		k = end + 1
	}
	return out
}

// NewFigure draws one picture of a result. The error names what cannot be drawn.
func NewFigure(r *study.Result, name string, o FigureOptions) (*Figure, error) {
	some := chosen(r, o.Only)
	c, err := canvasOf(o)
	if err != nil {
		return nil, err
	}
	if name == sections && o.Against != "" {
		return nil, fmt.Errorf("sections have no difference: choose a figure of curves")
	}
	if name == sections {
		return sectionPlate(r, some, c.Theme, o.Size), nil
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

// drawable reports whether a level figure can keep its proportion.
func drawable(x draw.XAxis, u phys.System) error {
	if x.To >= narrowest*x.From*(1-1e-9) {
		return nil
	}
	show := func(f float64) string { return phys.Brief(f, phys.Frequency, u) }
	middle, half := math.Sqrt(x.From*x.To), math.Sqrt(narrowest)
	from := math.Min(math.Max(math.Floor(middle/half), study.LowestFrequency), study.HighestFrequency/narrowest)
	to := math.Min(math.Max(math.Ceil(middle*half), narrowest*from), study.HighestFrequency)
	return fmt.Errorf("a level figure from %s to %s would be too tall: 50 dB are as tall as one decade is wide (IEC 60263), and that takes an octave or more; draw for example --from %sHz --to %sHz",
		show(x.From), show(x.To), phys.Fixed(from, 0), phys.Fixed(to, 0))
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
