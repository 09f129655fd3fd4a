package report

import (
	"fmt"
	"math"

	"basswright/internal/draw"
	"basswright/internal/phys"
	"basswright/internal/study"
)

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

// levelAxis sets up a level figure: the axis, the bars at F3 and what the
// brief asks for. The level asked at a frequency is a short wall there, a third
// of an octave wide: the curve has to pass above it.
func (s subject) levelAxis(r *study.Result, some []*study.Outcome, p *picture) {
	for _, o := range some {
		if !s.reaches(r) {
			break
		}
		if f := o.Figures.F3; f.OK() && float64(f) >= p.X.From && float64(f) <= p.X.To {
			p.Marks = append(p.Marks, draw.Mark{Index: o.Look(), At: float64(f)})
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
