package section

import (
	"math"
	"strconv"
	"strings"

	"basswright/internal/draw"
	"basswright/internal/driver"
	"basswright/internal/study"
)

// Measures of a wiring sketch in sizes of its text.
const (
	railAt  = 6.2  // from the edge to where the strings branch off
	inset   = 2.0  // from there to the first coil; a wire that goes back runs between
	bump    = 0.42 // radius of a turn of a winding
	reach   = 2.9  // from the middle of a winding to its terminals
	widest  = 22.0 // of a name
	upright = 4.3  // from the top of a row to its wire
)

// loose is how much wider than measured a text may be set: a page takes its
// reader's own face.
const loose = 1.19

// sketch is a wiring sketch being drawn.
type sketch struct {
	*drawing
	t          float64 // size of text
	left       float64 // the rail of the + terminal
	right      float64
	cell       float64 // width of a coil with its words
	columns    int
	row, again float64 // height of a row, and of the gap to the next of the same string
}

// Wiring draws the wiring of a group over all its coils: the amplifier's
// terminals, strings in parallel beneath each other, the coils of a string in
// a row, each with its marked terminal and the lead that goes there. Coils are
// drawn as windings (general drawing practice, IEC 60617); wires that branch
// form a T, so that dots mark terminals alone.
func Wiring(g *driver.Group, opt Options) *draw.Scene {
	if opt.Size <= 0 {
		opt.Size = defaultSize
	}
	ct := circuitOf(g, opt.Units)
	k := newSketch(ct, opt)
	k.s.Title = "Wiring of " + study.Drivers(g)
	k.s.Desc = ct.told()
	y := 0.5 * k.t
	rest := ct.branches
	for n := range g.ChannelCount() {
		of := 0
		for of < len(rest) && rest[of].channel == n {
			of++
		}
		name := "amplifier"
		if g.ChannelCount() > 1 {
			name = "channel " + strconv.Itoa(n+1)
		}
		y = k.channel(name, rest[:of], y)
		rest = rest[of:]
	}
	y = k.idle(ct.idle, y)
	k.remark = ct.said
	k.s.H = k.remarks(y) + 0.4*k.t
	return k.s
}

// channel draws the strings of an output of the amplifier between its terminals.
func (k *sketch) channel(name string, branches []branch, y float64) float64 {
	first, last := y+upright*k.t, 0.0
	for _, b := range branches {
		last = y + upright*k.t
		if b.more != "" {
			last = y + 1.6*k.t
			y = k.more(b, y)
		} else {
			y = k.str(b.leads, y)
		}
	}
	k.terminals(name, first)
	if last > first {
		k.wire(k.left, first, k.left, last)
	}
	if end := k.end(branches, last); end > first {
		k.wire(k.right, first, k.right, end)
	}
	return math.Max(y, first+2.4*k.t) // the word below the terminals
}

// defaultSize of text.
const defaultSize = 12.0

func newSketch(ct *circuit, opt Options) *sketch {
	t := opt.Size
	k := &sketch{drawing: &drawing{o: opt, k: 1, thick: 0.11 * t, thin: 0.06 * t}, t: t, row: 5.6 * t, again: 0.9 * t}
	words, most := 0.0, 1
	measure := func(all []branch) {
		for _, b := range all {
			most = max(most, len(b.leads))
			for _, l := range b.leads {
				words = math.Max(words, math.Min(draw.MeasureText(l.name, t, draw.Medium), widest*t))
				words = math.Max(words, math.Max(draw.MeasureText(l.place, t, draw.Regular), draw.MeasureText(l.note, t, draw.Regular)))
				if l.note != "" {
					k.row = 6.9 * t
				}
			}
		}
	}
	measure(ct.branches)
	measure(ct.idle)
	k.cell = math.Max(loose*words+1.2*t, (2*reach+2)*t)
	limit := opt.Width
	if limit <= 0 {
		limit = 2*margin + 2*(railAt+inset)*t + 3*k.cell
	}
	k.columns = max(1, min(most, int((limit-2*margin-2*(railAt+inset)*t)/k.cell+1e-6)))
	w := 2*margin + 2*(railAt+inset)*t + float64(k.columns)*k.cell
	k.left, k.right = margin+railAt*t, w-margin-railAt*t
	k.s = draw.NewScene(w, 1, opt.Theme)
	return k
}

// end is where the rail of the − terminal ends: the last row of the last string.
func (k *sketch) end(branches []branch, last float64) float64 {
	if n := len(branches[len(branches)-1].leads); n > k.columns {
		last += float64((n-1)/k.columns) * (k.row + k.again)
	}
	return last
}

func (k *sketch) wire(x1, y1, x2, y2 float64) {
	k.s.Line(x1, y1, x2, y2, draw.Style{Stroke: draw.Ink, Width: k.thick, Round: true})
}

// terminals draws those of an output, level with its first string.
func (k *sketch) terminals(name string, y float64) {
	r := 0.28 * k.t
	for _, q := range []struct {
		x, rail float64
		sign    string
	}{{margin + 2.8*k.t, k.left, "+"}, {k.s.W - margin - 2.8*k.t, k.right, "−"}} {
		k.s.Circle(q.x, y, r, draw.Style{Stroke: draw.Ink, Width: k.thick})
		k.wire(q.x+math.Copysign(r, q.rail-q.x), y, q.rail, y)
		k.s.Text(q.x, y-0.8*k.t, q.sign, draw.TextStyle{Size: 1.25 * k.t, Weight: draw.Strong, Anchor: draw.Middle})
		k.s.Text(q.x, y+1.7*k.t, name, draw.TextStyle{Role: draw.Soft, Size: k.t, Anchor: draw.Middle})
	}
}

// str draws a string from rail to rail; what does not fit into a row goes on
// in the next, as lines of writing do.
func (k *sketch) str(leads []lead, y float64) float64 {
	from := k.left
	for i := 0; i < len(leads); i += k.columns {
		at := y + upright*k.t
		if i > 0 {
			back := y - 0.5*k.again
			turn, in := k.right-0.5*inset*k.t, k.left+0.5*inset*k.t
			prev := at - k.row - k.again
			k.s.Path(new(draw.Path).M(from, prev).L(turn, prev).L(turn, back).L(in, back).L(in, at).L(k.left+inset*k.t, at), draw.Style{Stroke: draw.Ink, Width: k.thick})
			from = k.left + inset*k.t
		}
		for n, l := range leads[i:min(i+k.columns, len(leads))] {
			middle := k.left + inset*k.t + (float64(n)+0.5)*k.cell
			if l.fold {
				k.words(l, middle, y)
				k.s.Line(from, at, middle+0.5*k.cell, at, draw.Style{Stroke: draw.Ink, Width: k.thick, Dash: []float64{5 * k.thick, 4 * k.thick}})
			} else {
				k.wire(from, at, middle-reach*k.t-k.hole(l.reversed), at)
				k.coil(l, middle, at, true)
				k.words(l, middle, y)
				k.wire(middle+reach*k.t+k.hole(!l.reversed), at, middle+0.5*k.cell, at)
			}
			from = middle + 0.5*k.cell
		}
		y += k.row
		if i+k.columns < len(leads) {
			y += k.again
		} else {
			k.wire(from, at, k.right, at)
		}
	}
	return y
}

// hole is how far a wire stays from the middle of an open terminal.
func (k *sketch) hole(open bool) float64 {
	if open {
		return 0.22 * k.t
	}
	return 0
}

// coil draws a winding with its terminals, the marked one filled.
func (k *sketch) coil(l lead, x, y float64, driven bool) {
	r := bump * k.t
	st := draw.Style{Stroke: draw.Ink, Width: k.thick, Round: true}
	p := new(draw.Path).M(x-reach*k.t+k.hole(l.reversed), y).L(x-4*r, y)
	for i := range 4 {
		a := x + float64(2*i-4)*r
		c := r * 0.5523 // makes a quarter of a circle
		p.C(a, y-c, a+r-c, y-r, a+r, y-r).C(a+r+c, y-r, a+2*r, y-c, a+2*r, y)
	}
	k.s.Path(p.L(x+reach*k.t-k.hole(!l.reversed), y), st)
	for _, q := range []float64{-1, 1} {
		at := x + q*reach*k.t
		if (q < 0) != l.reversed {
			k.s.Circle(at, y, 0.3*k.t, draw.Style{Fill: draw.Ink})
		} else {
			k.s.Circle(at, y, 0.22*k.t, draw.Style{Stroke: draw.Ink, Width: k.thick})
		}
		if driven {
			sign := "+"
			if q > 0 {
				sign = "−"
			}
			k.s.Text(at, y-0.55*k.t, sign, draw.TextStyle{Size: k.t, Weight: draw.Medium, Anchor: draw.Middle})
		}
	}
	if l.wrong {
		e := 0.8 * k.t
		k.s.Path(new(draw.Path).M(x-e, y-0.5*r-e).L(x+e, y-0.5*r+e).M(x-e, y-0.5*r+e).L(x+e, y-0.5*r-e), draw.Style{Stroke: draw.Stop, Width: 1.6 * k.thick})
	}
}

// words writes a coil's name and place above it and its note below, from the
// top of its row.
func (k *sketch) words(l lead, x, y float64) {
	style := draw.TextStyle{Size: k.t, Anchor: draw.Middle, Weight: draw.Medium}
	if l.fold {
		style.Weight, style.Role = draw.Regular, draw.Soft
	}
	top := y + 1.0*k.t
	if l.place == "" {
		top += 1.25 * k.t
	}
	k.s.Text(x, top, cut(l.name, widest*k.t, k.t), style)
	style.Weight, style.Role = draw.Regular, draw.Soft
	k.s.Text(x, y+2.25*k.t, l.place, style)
	if l.wrong {
		style.Role = draw.Stop
	}
	k.s.Text(x, y+(upright+1.7)*k.t, l.note, style)
}

// cut shortens a name to a width; the whole of it is in the description.
func cut(name string, width, size float64) string {
	if draw.MeasureText(name, size, draw.Medium) <= width {
		return name
	}
	r := []rune(name)
	for len(r) > 1 && draw.MeasureText(string(r)+"…", size, draw.Medium) > width {
		r = r[:len(r)-1]
	}
	return strings.TrimSpace(string(r)) + "…"
}

// more draws the line that stands for strings like the one above it, with
// where they are.
func (k *sketch) more(b branch, y float64) float64 {
	at := y + 1.6*k.t
	k.s.Line(k.left, at, k.right, at, draw.Style{Stroke: draw.Ink, Width: k.thick, Dash: []float64{5 * k.thick, 4 * k.thick}})
	return k.listed(b, k.left+0.7*inset*k.t, y+1.0*k.t) + 0.7*k.t
}

// listed writes how many more there are, leaves room for a line, and writes
// where they are between the rails.
func (k *sketch) listed(b branch, x, y float64) float64 {
	k.s.Text(x, y, b.more, draw.TextStyle{Size: k.t})
	y += 0.7 * k.t
	for _, line := range broken(b.list, (k.right-x-0.7*inset*k.t)/loose, k.t) {
		y += 1.25 * k.t
		k.s.Text(x, y-0.15*k.t, line, draw.TextStyle{Role: draw.Soft, Size: k.t})
	}
	return y
}

// idle draws the coils that are not driven, apart from the strings.
func (k *sketch) idle(all []branch, y float64) float64 {
	if len(all) == 0 {
		return y
	}
	y += 0.5 * k.t
	n := 0
	for _, b := range all {
		if b.more != "" {
			if n > 0 {
				y, n = y+k.row+1.2*k.t, 0
			}
			y = k.listed(b, k.left+0.7*inset*k.t, y+1.0*k.t) + 0.7*k.t
			continue
		}
		l := b.leads[0]
		x, at := k.left+inset*k.t+(float64(n)+0.5)*k.cell, y+upright*k.t
		k.coil(l, x, at, false)
		k.closed(l, x, at)
		l2 := l
		l2.note = ""
		k.words(l2, x, y)
		k.s.Text(x, y+(upright+2.8)*k.t, l.note, draw.TextStyle{Role: draw.Soft, Size: k.t, Anchor: draw.Middle})
		if n++; n == k.columns {
			y, n = y+k.row+1.2*k.t, 0
		}
	}
	if n > 0 {
		y += k.row + 1.2*k.t
	}
	return y
}

// closed draws what joins the ends of a coil that is not driven: a wire, a
// resistor or nothing.
func (k *sketch) closed(l lead, x, y float64) {
	c := l.coils
	if c.Other == driver.OtherOpen {
		return
	}
	low, end, half := y+1.2*k.t, reach*k.t, 1.1*k.t
	st := draw.Style{Stroke: draw.Ink, Width: k.thick}
	top := func(open bool) float64 { return y + k.hole(open) }
	if c.Other == driver.OtherShorted || c.Load == 0 {
		half = 0
	}
	k.s.Path(new(draw.Path).M(x-end, top(l.reversed)).L(x-end, low).L(x-half, low), st)
	k.s.Path(new(draw.Path).M(x+end, top(!l.reversed)).L(x+end, low).L(x+half, low), st)
	if half > 0 {
		k.s.Rect(x-half, low-0.4*k.t, 2*half, 0.8*k.t, st)
	}
}
