package draw

import "fmt"

// Plot is a set of axes with curves. Fill in what is there and [Plot.Draw] it; nothing is kept between calls.
//
// Lengths are in scene units. Size rules everything that is not data: text, ticks and gaps scale with it.
type Plot struct {
	W, H   float64
	Margin *Margin // room around the frame; nil measures it from the texts
	Size   float64 // of text; 0 is 12
	Stroke float64 // width of curves; 0 is a sixth of Size

	X XAxis
	Y YAxis

	Series []Series
	Limits []Limit
	Goals  []Goal
	Marks  []Mark
	Spans  []Span // by series, and from left to right
	Note   string // a line of text inside the frame, in a corner that the curves leave free; top left if they do
	Labels bool   // names at the ends of the curves
}

// Margin is the room between the edge of the plot and its frame.
type Margin struct{ Left, Right, Top, Bottom float64 }

// XAxis runs to the right. It is logarithmic, in Hz, with the preferred frequencies of ISO 266, unless it is Linear.
type XAxis struct {
	From, To float64 // From < To; From > 0 unless Linear
	Linear   bool
	Ticks    []float64 // nil chooses them
	Name     string
	Write    func(v float64) string // how a tick is written; nil is [Number]
	first    []float64              // ticks that have numbers before others
	Bare     bool                   // ticks without numbers or name: a strip above another that has them
}

// FrequencyAxis is a logarithmic axis of frequency in Hz.
func FrequencyAxis(from, to float64) XAxis {
	return XAxis{From: from, To: to, Name: "Frequency in Hz"}
}

// YAxis runs upwards.
type YAxis struct {
	Lo, Hi float64 // Lo < Hi; Lo > 0 if Log
	Log    bool
	Ticks  []float64 // with numbers and lines; numbers that would touch are left out
	Fine   []float64 // thinner lines, no numbers
	Name   string    // read upwards beside the numbers
	Bare   bool      // no numbers
}

// Series is one curve.
type Series struct {
	Index int       // the candidate's place in the study, from 0: colour and dash; negative is a measured curve in ink
	Name  string    // the label at its end
	X, Y  []float64 // as long as each other, X rising; a Y that is not a finite number is a gap
	Ghost []float64 // the curve as it was before, over the same X; nil is none
	Thin  bool      // half as wide: one of many
	Dash  int       // one of several curves of a candidate: the pattern, from 1, in place of the candidate's own
}

// Side says where one may not go.
type Side uint8

// Sides of a limit.
const (
	Above Side = iota
	Below
)

// Limit is a wall: a line, hatched on the side where one may not go. A limit beyond the axis is not drawn.
type Limit struct {
	At    float64
	Side  Side
	From  float64 // on the x axis, where it begins to hold; 0 is everywhere
	To    float64 // where it ceases to hold; 0 is never
	Label string  // words beside the wall, on the side where one may go
}

// Beside reports whether a limit holds nowhere on an x axis.
func (l Limit) Beside(x XAxis) bool { return l.From > x.To || l.To != 0 && l.To < x.From }

// Goal is a flag that stands on the x axis.
type Goal struct {
	At    float64
	Label string // "asked: 32 Hz"
}

// Mark is a bar across a curve.
type Mark struct {
	Index int     // of the series
	At    float64 // on the x axis
}

// check stops what the caller got wrong, before it becomes a drawing that lies.
func (p *Plot) check() {
	switch {
	case !finite(p.W) || !finite(p.H) || p.W <= 0 || p.H <= 0:
		panic("draw: a plot needs a width and a height above zero")
	case !finite(p.X.From) || !finite(p.X.To) || p.X.From >= p.X.To || !p.X.Linear && p.X.From <= 0:
		panic(fmt.Sprintf("draw: x axis from %g to %g", p.X.From, p.X.To))
	case !finite(p.Y.Lo) || !finite(p.Y.Hi) || p.Y.Lo >= p.Y.Hi || p.Y.Log && p.Y.Lo <= 0:
		panic(fmt.Sprintf("draw: y axis from %g to %g", p.Y.Lo, p.Y.Hi))
	}
	for _, s := range p.Series {
		if len(s.X) != len(s.Y) || s.Ghost != nil && len(s.Ghost) != len(s.X) {
			panic(fmt.Sprintf("draw: curve %q has %d places, %d values, %d former values", s.Name, len(s.X), len(s.Y), len(s.Ghost)))
		}
	}
}

// size is the size of text.
func (p *Plot) size() float64 {
	if p.Size > 0 {
		return p.Size
	}
	return 12
}

// stroke is the width of curves.
func (p *Plot) stroke() float64 {
	if p.Stroke > 0 {
		return p.Stroke
	}
	return p.size() / 6
}

// Draw draws the plot with its top left corner at a place of the scene.
//
// It panics where the axes are not intervals or a curve's X and Y differ in length: those are mistakes of the caller,
// not of a user.
func (p Plot) Draw(s *Scene, x, y float64) {
	p.check()
	d := newDrawing(&p, s, x, y)
	d.grid()
	d.walls()
	d.curves()
	d.marks()
	d.axisX()
	d.axisY()
	d.flags()
	d.note()
	d.wallLabels()
	d.spans()
	if p.Labels {
		d.labels()
	}
}
