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

// distortionSpan is how many decibels the figure of distortion spans: from what
// everybody hears to less than a thousandth.
const distortionSpan = 70.0

// headroom is what the axis leaves above the highest curve for words, dB.
const headroom = 6.0

// distortionAxis is the distance from the fundamental, dB, which ends at a
// multiple of 10 dB.
func distortionAxis(name string, ys ...[]float64) draw.YAxis {
	_, top, ok := draw.Bounds(ys...)
	if !ok {
		top = 0
	}
	hi := 10 * math.Ceil((top+headroom)/10-1e-9)
	a := draw.YAxis{Lo: hi - distortionSpan, Hi: hi, Name: name + " in dB against the fundamental"}
	for v := a.Lo; v <= a.Hi; v += 10 {
		a.Ticks = append(a.Ticks, v)
	}
	return a
}

// percents says what the decibels of the axis are: they are read both ways.
const percents = "−20\u2009dB is 10\u2009%, −40\u2009dB 1\u2009%"

// harmonicNames are those of the lines of one candidate.
var harmonicNames = [study.DistortionLines - 1]string{"2nd", "3rd", "4th", "5th"}

// HarmonicName is that of line n of a curve of distortion.
func HarmonicName(n int) string { return harmonicNames[n] }

// distortionPlot puts the distortion of one candidate onto axes, line by line, or
// that of several, each with all its harmonics together.
func distortionPlot(st *study.Study, list []*study.DistortionCurve) (picture, bool) {
	p := picture{Plot: draw.Plot{Labels: true}}
	var ys [][]float64
	add := func(index, dash int, name string, x, y []float64) {
		if _, _, ok := draw.Bounds(y); ok {
			p.Series = append(p.Series, draw.Series{Index: index, Dash: dash, Name: name, X: x, Y: y})
			ys = append(ys, y)
		}
	}
	for _, d := range list {
		if len(list) > 1 {
			add(d.Candidate.LookAt(d.Index), 0, d.Candidate.Name, d.Frequency, d.THD)
			continue
		}
		for n, y := range d.Lines {
			add(d.Candidate.LookAt(d.Index), n+1, harmonicNames[n], d.Frequency, y)
		}
		add(-1, 0, "THD", d.Frequency, d.THD) // in ink, on top of the line that makes most of it
	}
	if len(p.Series) == 0 {
		return p, false
	}
	x := list[0].Frequency
	what := "THD"
	if len(list) == 1 {
		what = "Harmonics"
	}
	p.X, p.Y = draw.FrequencyAxis(x[0], x[len(x)-1]), distortionAxis(what, ys...)
	p.told = distortionRests(st, list)
	return p, true
}

// distortionRests is what the figure rests on, and what has no value in it.
func distortionRests(st *study.Study, list []*study.DistortionCurve) []string {
	var out, bare []string
	for _, d := range list {
		if !d.Candidate.Curved() {
			bare = append(bare, d.Candidate.Name)
		}
	}
	switch {
	case len(bare) == len(list):
		out = append(out, "no driver has curves: the air of the chambers alone")
	case len(bare) > 0:
		out = append(out, "without curves, of the air of the chambers alone: "+strings.Join(bare, ", "))
	}
	if st.Model.LinearAir {
		out = append(out, "the air of chambers as a linear spring")
	}
	for _, d := range list {
		if len(d.Lost) > 0 {
			out = append(out, fmt.Sprintf("%s has no steady state at %d of %d frequencies from %s to %s: cone or air is far beyond what is known of it", d.Candidate.Name, len(d.Lost), len(d.Frequency),
				phys.Brief(d.Lost[0], phys.Frequency, st.Units), phys.Brief(d.Lost[len(d.Lost)-1], phys.Frequency, st.Units)))
		}
		if n := len(d.Falling); n > 0 {
			out = append(out, fmt.Sprintf("the steady state of %s does not last at %d of %d frequencies from %s to %s", d.Candidate.Name, n, len(d.Frequency),
				phys.Brief(d.Falling[0], phys.Frequency, st.Units), phys.Brief(d.Falling[n-1], phys.Frequency, st.Units)))
		}
		if !d.Candidate.Group.MovesTogether() {
			out = append(out, "WRONG: "+d.Candidate.Name+" is wired with a wrong polarity")
		}
	}
	return out
}

// distortionDrive names the drive and the place of the figure.
func distortionDrive(st *study.Study, list []*study.DistortionCurve) string {
	drive := st.Drive.Words(st.Units) + st.Through()
	if v := list[0].Volts; v > 0 {
		drive = phys.Brief(v, phys.Voltage, st.Units) + st.Fed()
	}
	return "sines of " + drive + ", " + st.PlaceWords()
}

// distortionTitle is that of a figure.
func distortionTitle(st *study.Study, list []*study.DistortionCurve) string {
	if len(list) == 1 {
		return fmt.Sprintf("Distortion of %s: %s", list[0].Candidate.Name, st.Name)
	}
	return fmt.Sprintf("Distortion of %s: %s", plural(len(list), "candidate"), st.Name)
}

// distortionDesc says what the figure shows, for who cannot see it.
func distortionDesc(st *study.Study, list []*study.DistortionCurve, told []string) string {
	text := capital(distortionDrive(st, list)) + "."
	for _, d := range list {
		if !math.IsNaN(d.Loudest) {
			text += fmt.Sprintf(" %s: THD at most %s, %s\u2009%%, at %s.", d.Candidate.Name, inDecibels(d.Loudest), phys.Digits(100*math.Pow(10, d.Loudest/20), 2), phys.Brief(d.At, phys.Frequency, st.Units))
		}
		if len(list) > 1 {
			continue
		}
		for n, y := range d.Lines {
			if k := loudest(y); k >= 0 {
				text += fmt.Sprintf(" %s at most %s at %s.", harmonicNames[n], inDecibels(y[k]), phys.Brief(d.Frequency[k], phys.Frequency, st.Units))
			}
		}
	}
	if len(told) > 0 {
		text += " " + capital(strings.Join(told, "; ")) + "."
	}
	return text
}

func inDecibels(v float64) string { return phys.Fixed(v, 1) + "\u2009dB" }

// loudest is where a curve is highest, −1 where it has no value.
func loudest(y []float64) int {
	best := -1
	for k, v := range y {
		if !math.IsNaN(v) && (best < 0 || v > y[best]) {
			best = k
		}
	}
	return best
}

// DistortionFigure draws the distortion of one candidate harmonic by harmonic, or
// of several each as a whole.
func DistortionFigure(st *study.Study, list []*study.DistortionCurve, o FigureOptions) (*Figure, error) {
	c, err := canvasOf(o)
	if err != nil {
		return nil, err
	}
	scene, _, err := DistortionScene(st, list, c)
	if err != nil {
		return nil, err
	}
	return &Figure{scene, c.mm}, nil
}

// DistortionScene draws it on a canvas, and says in words what it shows.
func DistortionScene(st *study.Study, list []*study.DistortionCurve, c Canvas) (*draw.Scene, string, error) {
	p, ok := distortionPlot(st, list)
	if !ok {
		return nil, "", nothingDistorts(list)
	}
	p.W, p.H, p.Size = c.W, c.H, c.Text
	lead := []string{distortionDrive(st, list)}
	if len(list) == 1 {
		lead[0] = list[0].Candidate.Name + ", " + lead[0]
	} else {
		lead[0] = "THD, " + lead[0]
	}
	if !c.Bare {
		p.Note = strings.Join(slices.Concat(lead, []string{percents}, p.unseen()), "; ")
	}
	scene := draw.NewScene(p.W, p.H, c.Theme)
	scene.Title, scene.Desc = distortionTitle(st, list), distortionDesc(st, list, p.told)
	p.Draw(scene, 0, 0)
	return scene, scene.Desc, nil
}

// nothingDistorts says why there is no figure.
func nothingDistorts(list []*study.DistortionCurve) error {
	for _, d := range list {
		for _, f := range d.Findings {
			if f.Severity == note.Warning {
				return fmt.Errorf("there is nothing to draw: nothing of %s distorts; %s", d.Candidate.Name, f.Mend)
			}
		}
	}
	return fmt.Errorf("there is nothing to draw: no candidate has a steady state that distorts")
}

// Canvas is what a figure is drawn on.
type Canvas struct {
	W, H, Text float64 // in scene units
	Theme      draw.Theme
	Bare       bool // without the line of words, which stands beside it
	mm         float64
}

// canvasOf is what the options of a figure ask for.
func canvasOf(o FigureOptions) (Canvas, error) {
	if o.Theme == "" {
		o.Theme = "page"
	}
	theme, err := draw.ThemeNamed(o.Theme)
	if err != nil {
		return Canvas{}, err
	}
	if o.Size == "slide" {
		return Canvas{W: slideWidth, H: slideHeight, Text: slideText, Theme: theme}, nil
	}
	return Canvas{W: pageWidth, H: 0.46 * pageWidth, Text: pageText, Theme: theme, mm: pageMM}, nil
}
