package report

import (
	"math"
	"strings"

	"basswright/internal/draw"
	"basswright/internal/section"
	"basswright/internal/study"
)

// sectionPlate draws the sections of several candidates beside each other, at
// one scale, each with its name and its line.
func sectionPlate(r *study.Result, some []*study.Outcome, theme draw.Theme, size string) (*Figure, error) {
	w, text, mm := pageWidth, pageText, pageMM
	if size == "slide" {
		w, text, mm = slideWidth, slideText, 0
	}
	cols := min(len(some), 4)
	gap := text
	column := (w - gap*float64(cols+1)) / float64(cols)
	widest := 0.0
	for _, o := range some {
		widest = math.Max(widest, section.Draw(o, section.Options{Scale: 1, Theme: theme, Space: r.Study.Space, Units: r.Study.Units, Size: text}).W)
	}
	opt := section.Options{Scale: column / widest, Theme: theme, Space: r.Study.Space, Units: r.Study.Units, Dims: true, Size: text}
	type placed struct {
		scene *draw.Scene
		lines []string
	}
	var rowsOf [][]placed
	for i, o := range some {
		if i%cols == 0 {
			rowsOf = append(rowsOf, nil)
		}
		last := len(rowsOf) - 1
		rowsOf[last] = append(rowsOf[last], placed{section.Draw(o, opt), breakText(o.Plain, column, text)})
	}
	scene := draw.NewScene(w, 10*w, theme)
	scene.Title = capital(plural(len(some), "candidate")) + " in section: " + r.Study.Name
	scene.Desc = "Seen from above, cut through the axes of the cones, at one scale."
	y := gap
	for i, row := range rowsOf {
		tallest, lines := 0.0, 0
		for _, p := range row {
			tallest, lines = math.Max(tallest, p.scene.H), max(lines, len(p.lines))
		}
		for k, p := range row {
			x := gap + float64(k)*(column+gap)
			o := some[i*cols+k]
			scene.Place(p.scene, x, y+tallest-p.scene.H)
			ty := y + tallest + 1.3*text
			scene.Text(x, ty, o.Candidate.Name, draw.TextStyle{Role: draw.Text(o.Index), Size: text, Weight: draw.Strong})
			lx := x + draw.MeasureText(o.Candidate.Name, text, draw.Strong)*1.12 + 0.7*text
			scene.Line(lx, ty-0.35*text, lx+3*text, ty-0.35*text, draw.Style{Stroke: draw.Line(o.Index), Width: text / 6, Dash: draw.DashAt(o.Index, text/6), Round: draw.Dotted(o.Index)})
			for n, l := range p.lines {
				scene.Text(x, ty+1.35*text*float64(n+1), l, draw.TextStyle{Role: draw.Soft, Size: text})
			}
		}
		y += tallest + 1.3*text + 1.35*text*float64(lines) + 2*gap
	}
	scene.H = y
	return &Figure{scene, mm}, nil
}

// breakText breaks a text into lines of a width.
func breakText(s string, room, size float64) []string {
	var lines []string
	line := ""
	for _, word := range strings.Split(s, " ") {
		try := word
		if line != "" {
			try = line + " " + word
		}
		if line != "" && draw.MeasureText(try, size, draw.Regular) > room {
			lines = append(lines, line)
			try = word
		}
		line = try
	}
	return append(lines, line)
}
