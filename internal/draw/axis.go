package draw

import (
	"math"
	"slices"
	"strconv"
	"strings"
)

// preferred are the R10 numbers of ISO 266 (and ISO 3): ten to the decade, so three to the octave.
var preferred = [10]float64{1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8}

// Third is a preferred frequency.
type Third struct {
	F      float64 // nominal, in Hz
	Octave bool    // one of the octave series …, 16, 31.5, 63, 125, …, 1000, …
}

// Thirds are the preferred third-octave frequencies of ISO 266 from one frequency to another, both included.
func Thirds(from, to float64) []Third {
	var out []Third
	if !(from > 0) || !(to >= from) || math.IsInf(to, 1) {
		return nil
	}
	for n := int(math.Floor(10*math.Log10(from))) - 1; ; n++ {
		f := nominal(n)
		if f > to*(1+1e-9) {
			return out
		}
		if f >= from*(1-1e-9) {
			out = append(out, Third{F: f, Octave: (n-30)%3 == 0}) // both series meet at 1000 Hz, n = 30
		}
	}
}

// nominal is the preferred number nearest 10^(n/10).
func nominal(n int) float64 {
	decade := int(math.Floor(float64(n) / 10))
	// Decimal text rather than multiplication: 31.5 must be 31.5, not 31.499999999999996.
	f, _ := strconv.ParseFloat(strconv.FormatFloat(preferred[n-10*decade], 'f', -1, 64)+"e"+strconv.Itoa(decade), 64)
	return f
}

// Number writes a value of an axis: as many digits as it has (at most ten), a true minus, thin spaces from 10 000 up.
func Number(v float64) string {
	if !finite(v) {
		return "–"
	}
	v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'g', 10, 64), 64)
	if v == 0 {
		return "0"
	}
	s := strconv.FormatFloat(math.Abs(v), 'f', -1, 64)
	whole, rest, _ := strings.Cut(s, ".")
	if len(whole) > 4 {
		for i := len(whole) - 3; i > 0; i -= 3 {
			whole = whole[:i] + "\u2009" + whole[i:]
		}
	}
	if rest != "" {
		whole += "." + rest
	}
	if v < 0 {
		return "\u2212" + whole
	}
	return whole
}

// written is a tick of the x axis as it is written.
func (a XAxis) written(v float64) string {
	if a.Write != nil {
		return a.Write(v)
	}
	return Number(v)
}

// tickX is a tick on the x axis.
type tickX struct {
	at      float64
	major   bool // long, with a grid line
	label   bool
	endOnly bool // the number of the axis's own end
}

// ticksX are the ticks of the x axis, with the numbers that have room: octaves first, then the axis's ends, then the
// thirds, all of them or none.
func (d *drawing) ticksX() []tickX {
	var out []tickX
	if d.p.X.Linear || d.p.X.Ticks != nil {
		ticks := d.p.X.Ticks
		if ticks == nil {
			ticks = NiceTicks(d.p.X.From, d.p.X.To, max(2, int(d.f.w/(5*d.size))))
		}
		for _, v := range ticks {
			if d.f.holdsX(v) {
				out = append(out, tickX{at: v, major: true})
			}
		}
		if d.p.X.first == nil {
			d.numberEvery(out)
			return out
		}
		for i := range out {
			out[i].major = slices.Contains(d.p.X.first, out[i].at)
		}
		d.numberEvery(out)
		d.numberRest(out)
		return out
	}
	thirds := Thirds(d.p.X.From, d.p.X.To)
	for _, t := range thirds {
		out = append(out, tickX{at: t.F, major: t.Octave})
	}
	d.numberEvery(out)
	out = d.numberEnds(out)
	d.numberThirds(out)
	return out
}

// numberEvery gives numbers to every major tick, or to every second, third, … until they have room.
func (d *drawing) numberEvery(ticks []tickX) {
	var major []int
	for i, t := range ticks {
		if t.major {
			major = append(major, i)
		}
	}
	for step := 1; step <= len(major); step++ {
		fits := true
		for k := step; k < len(major); k += step {
			fits = fits && d.apart(ticks[major[k-step]].at, ticks[major[k]].at)
		}
		if fits {
			for k := 0; k < len(major); k += step {
				ticks[major[k]].label = true
			}
			return
		}
	}
}

// numberRest gives numbers to all other ticks of an axis that has some to be numbered first, if all have room.
func (d *drawing) numberRest(ticks []tickX) {
	for k := 1; k < len(ticks); k++ {
		if !d.apart(ticks[k-1].at, ticks[k].at) {
			return
		}
	}
	for k := range ticks {
		ticks[k].label = true
	}
}

// apart reports whether the numbers of two ticks keep clear of each other.
func (d *drawing) apart(a, b float64) bool {
	room := (MeasureText(d.p.X.written(a), d.size, Regular) + MeasureText(d.p.X.written(b), d.size, Regular)) / 2 * widerFaces
	return math.Abs(d.f.px(b)-d.f.px(a)) >= room+0.8*d.size
}

// numberEnds adds the ends of the axis where they keep clear of the numbers that are there.
func (d *drawing) numberEnds(ticks []tickX) []tickX {
	for _, v := range []float64{d.p.X.From, d.p.X.To} {
		free := true
		at := -1
		for i, t := range ticks {
			if math.Abs(t.at-v) <= 1e-9*v {
				at = i
			}
			if t.label && !d.apart(t.at, v) {
				free = false
			}
		}
		switch {
		case !free:
		case at >= 0:
			ticks[at].label = true
		default:
			ticks = append(ticks, tickX{at: v, label: true, endOnly: true})
		}
	}
	slices.SortStableFunc(ticks, func(a, b tickX) int {
		switch {
		case a.at < b.at:
			return -1
		case a.at > b.at:
			return 1
		}
		return 0
	})
	return ticks
}

// numberThirds adds the numbers of all thirds where a third of an octave is at least 37/12 of the text's size wide,
// and wider than the longest number.
func (d *drawing) numberThirds(ticks []tickX) {
	third := d.f.w * math.Log(10) / 10 / math.Log(d.p.X.To/d.p.X.From)
	room := d.size * 37 / 12
	for _, t := range ticks {
		if !t.endOnly {
			room = max(room, MeasureText(Number(t.at), d.size, Regular)*widerFaces+0.4*d.size)
		}
	}
	if third < room {
		return
	}
	for i := range ticks {
		if ticks[i].endOnly { // the end is no preferred frequency: its neighbours would touch it
			continue
		}
		free := true
		for k := range ticks {
			if k != i && ticks[k].label && ticks[k].endOnly && !d.apart(ticks[k].at, ticks[i].at) {
				free = false
			}
		}
		ticks[i].label = ticks[i].label || free
	}
}

func (d *drawing) axisX() {
	x, b := d.f.l, d.f.bottom()
	line := Style{Stroke: Rule, Width: d.hair}
	for _, t := range d.tx {
		long := 0.28
		if t.major {
			long = 0.5
		}
		d.s.Line(d.f.px(t.at), b, d.f.px(t.at), b+long*d.size, line)
		if t.label && !d.p.X.Bare {
			role := Soft
			if t.major {
				role = Ink
			}
			d.s.Text(d.f.px(t.at), b+1.5*d.size, d.p.X.written(t.at), TextStyle{Role: role, Size: d.size, Anchor: Middle})
		}
	}
	d.s.Line(x, b, d.f.right(), b, line)
	if d.p.X.Name != "" && !d.p.X.Bare {
		d.s.Text(x+d.f.w/2, b+3.1*d.size, d.p.X.Name, TextStyle{Size: d.size, Anchor: Middle})
	}
}

// numberY is a number beside the y axis.
type numberY struct {
	value float64
	limit bool // the limit's own number, which stands out
}

func (n numberY) weight() Weight {
	if n.limit {
		return Strong
	}
	return Regular
}

// yNumbers are the ticks and limits that lie on the axis, the limits first.
func (p *Plot) yNumbers() []numberY {
	f := frame{y: p.Y, h: 1}
	var out []numberY
	add := func(v float64, limit bool) {
		if f.holdsY(v) && !slices.ContainsFunc(out, func(n numberY) bool { return n.value == v }) {
			out = append(out, numberY{v, limit})
		}
	}
	for _, l := range p.Limits {
		if l.Beside(p.X) {
			continue
		}
		add(l.At, true)
	}
	for _, v := range p.Y.Ticks {
		add(v, false)
	}
	return out
}

func (d *drawing) axisY() {
	d.s.Line(d.f.l, d.f.t, d.f.l, d.f.bottom(), Style{Stroke: Rule, Width: d.hair})
	if !d.p.Y.Bare {
		var taken []float64
		for _, n := range d.p.yNumbers() {
			y := d.f.py(n.value)
			if slices.ContainsFunc(taken, func(t float64) bool { return math.Abs(t-y) < 1.15*d.size }) {
				continue
			}
			taken = append(taken, y)
			role := Soft
			if n.limit {
				role = Ink
			}
			d.s.Text(d.f.l-0.7*d.size, y+middle*d.size, Number(n.value),
				TextStyle{Role: role, Size: d.size, Weight: n.weight(), Anchor: End})
		}
	}
	if d.p.Y.Name != "" {
		d.s.Text(d.x0+1.45*d.size, d.f.t+d.f.h/2, d.p.Y.Name, TextStyle{Size: d.nameSize(), Anchor: Middle, Rotation: -90})
	}
}

// nameSize shrinks the name of the y axis where the plot is lower than the name is long.
func (d *drawing) nameSize() float64 {
	// The name stands at the middle of the frame, which is not that of the plot.
	above := d.f.t + d.f.h/2 - d.y0
	room := max(2*min(above, d.p.H-above), d.p.H/10) // too small a plot has no middle
	return d.size * min(1, room/(widerFaces*MeasureText(d.p.Y.Name, d.size, Regular)))
}
