package report

import (
	"fmt"
	"math"
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
)

// sectionPlate draws the sections of several candidates beside each other, at
// one scale.
func sectionPlate(r *study.Result, some []*study.Outcome, theme draw.Theme, size string) *Figure {
	p := plate{r: r, some: some, theme: theme, w: pageWidth, text: pageText, cols: min(len(some), mostCols)}
	h, mm := 0.0, pageMM
	if size == "slide" {
		p.w, p.text, h, mm = slideWidth, slideText, slideHeight, 0
		p = p.fitted(h)
	} else {
		p = p.filled()
		h = p.height()
	}
	scene := draw.NewScene(p.w, h, theme)
	scene.Title = capital(plural(len(some), "candidate")) + " in section: " + r.Study.Name
	scene.Desc = "Seen from above, cut through the axes of the cones, at one scale."
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
		widest = math.Max(widest, p.section(o, 1, true).W)
	}
	return p.at(p.column() / widest)
}

// at is the plate at a scale.
func (p plate) at(scale float64) plate {
	p.scale, p.cells = scale, nil
	for _, o := range p.some {
		p.cells = append(p.cells, plateCell{p.section(o, scale, false), p.section(o, scale, true).H, breakText(o.Plain, p.column(), p.text)})
	}
	return p
}

func (p *plate) section(o *study.Outcome, scale float64, mute bool) *draw.Scene {
	return section.Draw(o, section.Options{Scale: scale, Theme: p.theme, Space: p.r.Study.Space, Units: p.r.Study.Units, Dims: true, Size: p.text, Mute: mute, Room: p.column()})
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
			if q.height() <= h && q.scale > best.scale {
				best = q
			}
		}
		if best.scale > 0 {
			return best
		}
	}
}

// rows are the sections by rows: how high each row's drawings are, and what is
// below them.
func (p *plate) rows() (drawings, words []float64) {
	for i, c := range p.cells {
		if i%p.cols == 0 {
			drawings, words = append(drawings, 0), append(words, 0)
		}
		n := len(words) - 1
		drawings[n] = math.Max(drawings[n], c.body)
		words[n] = math.Max(words[n], c.scene.H-c.body+(1.3+plateLine*float64(len(c.lines)))*p.text)
	}
	return drawings, words
}

func (p *plate) height() float64 {
	h := p.gap() + plateFoot*p.text
	drawings, words := p.rows()
	for i := range drawings {
		h += drawings[i] + words[i] + 1.5*p.gap()
	}
	return h
}

// draw puts the plate onto a scene, its rows some way down.
func (p *plate) draw(s *draw.Scene, down float64) {
	y := down + p.gap()
	drawings, words := p.rows()
	for i, c := range p.cells {
		row, k := i/p.cols, i%p.cols
		if k == 0 && row > 0 {
			y += drawings[row-1] + words[row-1] + 1.5*p.gap()
		}
		x, top := p.gap()+float64(k)*(p.column()+p.gap()), y+drawings[row]-c.body // the fronts of a row are level
		if p.cols == 1 {
			x += math.Max(0, p.column()-c.scene.W) / 2
		}
		s.Place(c.scene, x, top)
		p.caption(s, x, top+c.scene.H+1.3*p.text, p.some[i], c.lines)
	}
	p.foot(s)
}

// caption is a candidate's name, a piece of its line, and its words.
func (p *plate) caption(s *draw.Scene, x, y float64, o *study.Outcome, lines []string) {
	u := p.text
	s.Text(x, y, o.Candidate.Name, draw.TextStyle{Role: draw.Text(o.Index), Size: u, Weight: draw.Strong})
	lx := x + draw.MeasureText(o.Candidate.Name, u, draw.Strong)*1.25 + 0.7*u
	s.Line(lx, y-0.35*u, lx+3*u, y-0.35*u, draw.Style{Stroke: draw.Line(o.Index), Width: u / 6, Dash: draw.DashAt(o.Index, u/6), Round: draw.Dotted(o.Index)})
	for n, l := range lines {
		s.Text(x, y+plateLine*u*float64(n+1), l, draw.TextStyle{Role: draw.Soft, Size: u})
	}
}

// foot is the scale bar, with the unit of the widths.
func (p *plate) foot(s *draw.Scene) {
	u, y := p.text, s.H-p.gap()
	unit := phys.Length.Unit(p.r.Study.Units)
	per := p.scale * unit.Factor * 1e3 // scene units per unit of length
	ticks := draw.NiceTicks(0, 8*u/per, 3)
	long := ticks[len(ticks)-1]
	st := draw.Style{Stroke: draw.Ink, Width: u / 12}
	x, end := p.gap(), p.gap()+long*per
	s.Line(x, y, end, y, st)
	for _, at := range []float64{x, (x + end) / 2, end} {
		s.Line(at, y-0.5*u, at, y, st)
	}
	words := fmt.Sprintf("%s\u2009%s. Widths are in the same unit; seen from above, cut through the axes of the cones.", draw.Number(long), unit.Name)
	size := math.Min(u, u*(p.w-p.gap()-end-0.8*u)/(widerFaces*draw.MeasureText(words, u, draw.Regular)))
	s.Text(end+0.8*u, y, words, draw.TextStyle{Role: draw.Soft, Size: size})
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
