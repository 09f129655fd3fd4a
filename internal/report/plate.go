package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"basswright/internal/draw"
	"basswright/internal/phys"
	"basswright/internal/section"
	"basswright/internal/study"
)

// plate is a sheet of sections: rows of columns, each section with its name,
// its line and its plain words below, all at one scale.
type plate struct {
	r     *study.Result
	some  []*study.Outcome
	theme draw.Theme
	w     float64
	text  float64 // its size
	cols  int
	scale float64 // scene units per mm
	parts bool    // schematics in place of sections
	terse bool    // what holds for all drawings of ducts stands at the foot
	cells []plateCell
}

type plateCell struct {
	scene *draw.Scene
	body  float64 // height without the words below it
	lines []string
}

// Distances on a plate, in sizes of text.
const (
	plateGap  = 1.0
	plateLine = 1.35 // from line to line
	plateFoot = 2.4  // for the scale bar
	mostCols  = 4    // of a page
	ductCols  = 2    // of one with ducts, which are long: their drivers are small in a narrower column
	plateText = 27.0 // of a slide: its drawings need the room that larger words would take
)

// sectionPlate draws the sections of several candidates beside each other, at
// one scale.
func sectionPlate(r *study.Result, some []*study.Outcome, theme draw.Theme, size string, parts bool) *Figure {
	parts = parts || !slices.ContainsFunc(some, func(o *study.Outcome) bool { return o.System.Spec.Net == nil }) // networks have no sections
	p := plate{r: r, parts: parts, some: some, theme: theme, w: pageWidth, text: pageText, cols: min(len(some), mostCols)}
	if p.ducts() {
		p.cols = min(p.cols, ductCols)
	}
	h, mm := 0.0, pageMM
	if size == "slide" {
		p.w, p.text, h, mm = slideWidth, plateText, slideHeight, 0
		p.terse = p.ducts()
		p = p.fitted(h)
	} else {
		p = p.filled()
		h = p.height()
	}
	scene := draw.NewScene(p.w, h, theme)
	scene.Title = capital(plural(len(some), "candidate")) + " in section: " + r.Study.Name
	scene.Desc = capital(p.view()) + ", cut through the axes of the cones, at one scale."
	if parts {
		scene.Title = capital(plural(len(some), "candidate")) + " as networks: " + r.Study.Name
		scene.Desc = "Places as rails, the outside on the right; parts between them. Nothing is to scale."
	}
	p.draw(scene, (h-p.height())/2)
	return &Figure{scene, mm}
}

func (p *plate) gap() float64 { return plateGap * p.text }

func (p *plate) column() float64 {
	return (p.w - p.gap()*float64(p.cols+1)) / float64(p.cols)
}

// filled is the plate at the scale at which the widest section fills its column.
func (p plate) filled() plate {
	widest := 0.0
	for _, o := range p.some {
		if p.parts {
			widest = math.Max(widest, section.SchematicWidth(o, p.schematic(p.words(1))))
		} else {
			widest = math.Max(widest, p.section(o, 1, true).W)
		}
	}
	return p.at(p.column() / widest)
}

// at is the plate at a scale.
func (p plate) at(scale float64) plate {
	p.scale, p.cells = scale, nil
	words := 0.0
	if p.parts {
		words = p.words(scale)
	}
	for _, o := range p.some {
		c := plateCell{lines: breakText(o.Plain, p.column(), p.text)}
		if p.parts {
			c.scene = section.Schematic(o, p.schematic(words))
			c.body = c.scene.H
		} else {
			c.scene, c.body = p.section(o, scale, false), p.section(o, scale, true).H
		}
		p.cells = append(p.cells, c)
	}
	return p
}

// words is the size of a schematic's words at a scale, alike in all: the widest of
// them has to stay within its column.
func (p *plate) words(scale float64) float64 {
	size, widest := p.text*min(scale, 1), 0.0
	for _, o := range p.some {
		widest = math.Max(widest, section.SchematicWidth(o, p.schematic(size)))
	}
	return size * min(1, p.column()/widest)
}

func (p *plate) schematic(size float64) section.Options {
	return section.Options{Theme: p.theme, Units: p.r.Study.Units, Size: size, Mute: true}
}

func (p *plate) section(o *study.Outcome, scale float64, mute bool) *draw.Scene {
	return section.Draw(o, section.Options{Scale: scale, Theme: p.theme, Space: p.r.Study.Space, Units: p.r.Study.Units, Dims: true, Size: p.text, Mute: mute, Terse: p.terse, Room: p.column()})
}

// fitted is the plate at the largest scale that any number of columns allows
// in a height, with smaller text where there are too many candidates for it.
func (p plate) fitted(h float64) plate {
	for ; ; p.text *= 0.85 {
		best := plate{}
		for p.cols = 1; p.cols <= len(p.some); p.cols++ {
			q := p.filled()
			lo, hi := 0.1*q.scale, q.scale
			if q.height() > h {
				for range 12 {
					if q = p.at((lo + hi) / 2); q.height() > h {
						hi = q.scale
					} else {
						lo = q.scale
					}
				}
				q = p.at(lo)
			}
			if q.height() <= h && q.scale > best.scale && q.captions() {
				best = q
			}
		}
		if best.scale > 0 {
			return best
		}
	}
}

// captions reports whether every caption stays within its column.
func (p *plate) captions() bool {
	for i, c := range p.cells {
		if p.lineAt(p.some[i])+lineLong*p.text > p.column() {
			return false
		}
		for _, l := range c.lines {
			if draw.MeasureText(l, p.text, draw.Regular) > p.column()+p.gap()/2 {
				return false
			}
		}
	}
	return true
}

// lineLong is how long the piece of a candidate's line is, in sizes of text.
const lineLong = 3.0

// lineAt is how far after the beginning of the name it stands.
func (p *plate) lineAt(o *study.Outcome) float64 {
	return draw.MeasureText(o.Candidate.Name, p.text, draw.Strong)*1.25 + 0.7*p.text
}

// plateRow is how high the tallest parts of a row are: its drawings, the remarks
// below them, and the captions below those.
type plateRow struct{ drawing, remarks, caption float64 }

func (p *plate) rows() []plateRow {
	var rows []plateRow
	for i, c := range p.cells {
		if i%p.cols == 0 {
			rows = append(rows, plateRow{})
		}
		r := &rows[len(rows)-1]
		r.drawing = math.Max(r.drawing, c.body)
		r.remarks = math.Max(r.remarks, c.scene.H-c.body)
		r.caption = math.Max(r.caption, (1.3+plateLine*float64(len(c.lines)))*p.text)
	}
	return rows
}

// step is from the top of a row to that of the next.
func (p *plate) step(r plateRow) float64 { return r.drawing + r.remarks + r.caption + 1.5*p.gap() }

func (p *plate) height() float64 {
	h := p.gap() + (plateFoot+plateLine*float64(len(p.footWords())-1))*p.text
	for _, r := range p.rows() {
		h += p.step(r)
	}
	return h
}

// draw puts the plate onto a scene, its rows some way down.
func (p *plate) draw(s *draw.Scene, down float64) {
	y := down + p.gap()
	rows := p.rows()
	for i, c := range p.cells {
		row, k := i/p.cols, i%p.cols
		if k == 0 && row > 0 {
			y += p.step(rows[row-1])
		}
		x, top := p.gap()+float64(k)*(p.column()+p.gap()), y+rows[row].drawing-c.body // the fronts of a row are level, and so are its names
		if p.cols == 1 {
			x += math.Max(0, p.column()-c.scene.W) / 2
		}
		s.Place(c.scene, x, top)
		p.caption(s, x, y+rows[row].drawing+rows[row].remarks+1.3*p.text, p.some[i], c.lines)
	}
	p.foot(s)
}

// caption is a candidate's name, a piece of its line, and its words.
func (p *plate) caption(s *draw.Scene, x, y float64, o *study.Outcome, lines []string) {
	u := p.text
	s.Text(x, y, o.Candidate.Name, draw.TextStyle{Role: draw.Text(o.Look()), Size: u, Weight: draw.Strong})
	lx := x + p.lineAt(o)
	s.Line(lx, y-0.35*u, lx+lineLong*u, y-0.35*u, draw.Style{Stroke: draw.Line(o.Look()), Width: u / 6, Dash: draw.DashAt(o.Look(), u/6), Round: draw.Dotted(o.Look())})
	for n, l := range lines {
		s.Text(x, y+plateLine*u*float64(n+1), l, draw.TextStyle{Role: draw.Soft, Size: u})
	}
}

// ducts reports whether a duct is drawn, straight and folded.
func (p *plate) ducts() bool {
	return !p.parts && slices.ContainsFunc(p.some, func(o *study.Outcome) bool { return o.Body.Line != nil })
}

// bar is how long the scale bar is, in the unit of the widths, and on the scene.
func (p *plate) bar() (long, drawn float64) {
	per := p.scale * phys.Length.Unit(p.r.Study.Units).Factor * 1e3 // scene units per unit of length
	ticks := draw.NiceTicks(0, 8*p.text/per, 3)
	long = ticks[len(ticks)-1]
	return long, long * per
}

// footWords are what stands beside the scale bar, and the lines below it.
func (p *plate) footWords() []string {
	if p.parts {
		return []string{"Places as rails, the outside on the right; nothing is to scale."}
	}
	long, drawn := p.bar()
	bar := fmt.Sprintf("%s\u2009%s. Widths are in the same unit", draw.Number(long), phys.Length.Unit(p.r.Study.Units).Name)
	view := p.view() + ", cut through the axes of the cones."
	room := p.w - 2*p.gap()
	if one := bar + "; " + view; !p.terse && widerFaces*draw.MeasureText(one, p.text, draw.Regular) <= room-drawn-0.8*p.text {
		return []string{one}
	}
	rest := capital(view)
	if p.terse {
		rest += " Ducts are drawn straight and, below, as they fold, boards and dead space hatched" + p.fill() + "."
	}
	return append([]string{bar + "."}, breakText(rest, room, p.text)...)
}

// fill tells the fill of ducts from what else is hatched.
func (p *plate) fill() string {
	if slices.ContainsFunc(p.some, func(o *study.Outcome) bool { return o.Body.Line != nil && len(o.System.Spec.Line.Fills) > 0 }) {
		return ", and lightly their fill"
	}
	return ""
}

// foot is the scale bar, with the unit of the widths, and from where all is seen.
func (p *plate) foot(s *draw.Scene) {
	u := p.text
	words := p.footWords()
	y := s.H - p.gap() - plateLine*u*float64(len(words)-1)
	x, end := p.gap(), p.gap()
	if !p.parts {
		_, drawn := p.bar()
		st := draw.Style{Stroke: draw.Ink, Width: u / 12}
		end += drawn
		s.Line(x, y, end, y, st)
		for _, at := range []float64{x, (x + end) / 2, end} {
			s.Line(at, y-0.5*u, at, y, st)
		}
		end += 0.8 * u
	}
	for i, w := range words {
		s.Text(end, y+plateLine*u*float64(i), w, draw.TextStyle{Role: draw.Soft, Size: u})
		end = x
	}
}

// view is from where the drawings are seen.
func (p plate) view() string {
	if slices.ContainsFunc(p.some, func(o *study.Outcome) bool { return o.Body.Fold != nil && o.Body.Fold.Upright() }) {
		return "seen from above, and folds that stand upright from the front"
	}
	return "seen from above"
}

// widerFaces is the allowance for a page or a slide that is set in a wider
// face than the one that texts are measured in.
const widerFaces = 1.125

// breakText breaks a text into lines of a width.
func breakText(s string, room, size float64) []string {
	var lines []string
	line := ""
	s = strings.ReplaceAll(s, " × ", "\u00a0×\u00a0") // "2 × merlin-10" stays together
	for _, word := range strings.Split(s, " ") {
		try := word
		if line != "" {
			try = line + " " + word
		}
		if line != "" && widerFaces*draw.MeasureText(try, size, draw.Regular) > room {
			lines = append(lines, line)
			try = word
		}
		line = try
	}
	return append(lines, line)
}
