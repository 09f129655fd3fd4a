package draw

import "math"

// frame is where a plot's data lives on the scene, and the maps from data to places.
type frame struct {
	l, t, w, h float64 // left, top, width, height
	x          XAxis
	y          YAxis
}

func (f frame) right() float64  { return f.l + f.w }
func (f frame) bottom() float64 { return f.t + f.h }

// px is the place of a value of the x axis; infinite for what a logarithm cannot take.
func (f frame) px(v float64) float64 {
	if f.x.Linear {
		return f.l + f.w*(v-f.x.From)/(f.x.To-f.x.From)
	}
	return f.l + f.w*math.Log(v/f.x.From)/math.Log(f.x.To/f.x.From)
}

// atX is the value of the x axis at a place: what px maps there.
func (f frame) atX(px float64) float64 {
	part := (px - f.l) / f.w
	if f.x.Linear {
		return f.x.From + part*(f.x.To-f.x.From)
	}
	return f.x.From * math.Pow(f.x.To/f.x.From, part)
}

// py is the place of a value of the y axis. On a logarithmic axis zero and less lie far below.
func (f frame) py(v float64) float64 {
	if !f.y.Log {
		return f.t + f.h*(1-(v-f.y.Lo)/(f.y.Hi-f.y.Lo))
	}
	if v <= 0 {
		return f.bottom() + 10*f.h
	}
	return f.t + f.h*(1-math.Log(v/f.y.Lo)/math.Log(f.y.Hi/f.y.Lo))
}

func (f frame) holdsX(v float64) bool {
	tol := 1e-9 * (f.x.To - f.x.From)
	return v >= f.x.From-tol && v <= f.x.To+tol
}

func (f frame) holdsY(v float64) bool {
	tol := 1e-9 * (f.y.Hi - f.y.Lo)
	return v >= f.y.Lo-tol && v <= f.y.Hi+tol
}

// frame is the place of the axes inside the plot: the margins, measured if they are not given.
func (p Plot) frame() frame {
	m := p.margin()
	f := frame{l: m.Left, t: m.Top, w: p.W - m.Left - m.Right, h: p.H - m.Top - m.Bottom, x: p.X, y: p.Y}
	// Too small a plot keeps a sliver of frame rather than turning inside out.
	f.w, f.h = max(f.w, 1), max(f.h, 1)
	return f
}

// widerFaces is the allowance for system faces that run wider than the fonts that were measured: an eighth, which
// holds DejaVu Sans, the widest in common use.
const widerFaces = 1.125

func (p *Plot) margin() Margin {
	if p.Margin != nil {
		return *p.Margin
	}
	s := p.size()
	m := Margin{Left: 0.7 * s, Right: 0.7 * s, Top: 0.75 * s, Bottom: 0.75 * s}
	if !p.Y.Bare {
		wide := MeasureText("100", s, Regular)
		if ticks := p.yNumbers(); len(ticks) > 0 {
			wide = 0
			for _, t := range ticks {
				wide = max(wide, MeasureText(Number(t.value), s, t.weight()))
			}
		}
		m.Left += widerFaces*wide + 0.2*s
	}
	if p.Y.Name != "" {
		m.Left += 2.3 * s
	}
	if !p.X.Bare {
		m.Bottom = 2.1 * s
		if p.X.Name != "" {
			m.Bottom = 3.7 * s
		}
		m.Right = max(m.Right, widerFaces*MeasureText(p.X.written(p.X.To), s, Regular)/2)
	}
	if p.Labels {
		wide := 0.0
		for _, e := range p.Series {
			name := e.Name
			if name != "" && p.leaves(e) {
				name += " ↓"
			}
			wide = max(wide, MeasureText(name, s, Medium))
		}
		if wide > 0 {
			m.Right = max(m.Right, labelIndent*s+widerFaces*wide+0.3*s)
		}
		m.Right = min(m.Right, 0.38*p.W)
	}
	return m
}

// leaves reports whether a curve is beyond the y axis at its end, so that its name has an arrow.
func (p *Plot) leaves(e Series) bool {
	for k := len(e.Y) - 1; k >= 0; k-- {
		if finite(e.Y[k]) {
			return e.Y[k] < p.Y.Lo || e.Y[k] > p.Y.Hi
		}
	}
	return false
}

// HeightFor is the height at which the plot's frame shows that many units of the y axis as tall as one decade is wide.
// IEC 60263 fixes 50 dB (or 25 dB) for level against frequency, so that slopes look alike in every figure.
func (p Plot) HeightFor(perDecade float64) float64 {
	m := p.margin()
	decade := (p.W - m.Left - m.Right) / math.Log10(p.X.To/p.X.From)
	return m.Top + m.Bottom + decade*(p.Y.Hi-p.Y.Lo)/perDecade
}

// SpanFor is how many units of the y axis fit the plot's height when that many are as tall as one decade is wide.
func (p Plot) SpanFor(perDecade float64) float64 {
	f := p.frame()
	return perDecade * f.h / (f.w / math.Log10(p.X.To/p.X.From))
}

// FitLevels chooses a decibel axis for the curves and limits that are there, so that perDecade dB are as tall as one
// decade is wide in the plot's size.
func (p Plot) FitLevels(name string, perDecade float64) Plot {
	ys := p.values()
	p.Y = YAxis{Name: name, Lo: 0, Hi: 1}
	// The numbers of the axis move the frame, and the frame's size the axis.
	for range 3 {
		p.Y = DecibelAxis(name, p.SpanFor(perDecade), ys...)
	}
	// Two axes may go on calling for each other, of numbers with more and with fewer digits: the frame of the last one stays.
	m := p.margin()
	p.Margin = &m
	p.Y = DecibelAxis(name, p.SpanFor(perDecade), ys...)
	return p
}

// Proportioned gives a plot of levels the height at which perDecade dB are as tall as one decade is wide. Where that is
// below lo or above hi, it is lo or hi high and its axis spans as many decibels as that takes: the proportion stays.
func (p Plot) Proportioned(perDecade, lo, hi float64) Plot {
	p.Y = DecibelAxis(p.Y.Name, p.Y.Hi-p.Y.Lo, p.values()...)
	p.H = p.HeightFor(perDecade)
	if p.H >= lo && p.H <= hi {
		return p
	}
	p.H = min(max(p.H, lo), hi)
	return p.FitLevels(p.Y.Name, perDecade)
}

// values are those of the curves, and those of the limits that lie near enough to be kept in sight.
func (p *Plot) values() [][]float64 {
	var ys [][]float64
	for _, s := range p.Series {
		ys = append(ys, s.Y)
	}
	_, top, ok := Bounds(ys...)
	for _, l := range p.Limits {
		if !ok || l.At-top <= nearLimit {
			ys = append(ys, []float64{l.At})
		}
	}
	return ys
}
