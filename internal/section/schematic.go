package section

import (
	"fmt"
	"math"

	"basswright/internal/draw"
	"basswright/internal/enclosure"
	"basswright/internal/study"
)

// Schematic draws a candidate as the network that it is: its places as rails, the
// outside on the right, and its parts as symbols between them. Of a named kind it is
// the network of that kind. Nothing in it is to scale.
func Schematic(o *study.Outcome, opt Options) *draw.Scene {
	s, _ := schematic(o, opt)
	return s
}

// SchematicWidth is how wide the schematic of a candidate is with words of a size.
func SchematicWidth(o *study.Outcome, opt Options) float64 {
	return schemaOf(o, opt.Units).across()*opt.Size + 2*margin
}

func schematic(o *study.Outcome, opt Options) (*draw.Scene, []Remark) {
	if opt.Size <= 0 {
		opt.Size = defaultSize
	}
	lay := schemaOf(o, opt.Units)
	d := &plan{drawing: newDrawing(opt), schema: lay, t: opt.Size}
	across := lay.across()
	if opt.Room > 0 && across*d.t+2*margin > opt.Room { // what it stands in is narrower
		d.t = math.Max((opt.Room-2*margin)/across, leastText)
	}
	d.thick, d.thin = 0.11*d.t, 0.065*d.t
	at := margin + lay.left*d.t
	for i := range lay.rails {
		d.rail = append(d.rail, at)
		if i < len(lay.gaps) {
			at += lay.gaps[i] * d.t
		}
	}
	bottom := 2*margin + (headHigh+rowHigh*float64(lay.rows))*d.t
	d.s = draw.NewScene(across*d.t+2*margin, bottom, opt.Theme)
	d.s.Title = o.Candidate.Name + " as a network"
	d.s.Desc = d.told(o)
	d.rails()
	for i := range lay.items {
		d.part(&lay.items[i])
	}
	d.polarity(o)
	d.say("a schematic: nothing is to scale", draw.Soft)
	d.o.Size = d.t
	d.s.H = d.remarks(bottom)
	return d.s, d.remark
}

// across is how wide it is, in sizes of text.
func (s *schema) across() float64 {
	w := s.left + s.right
	for _, g := range s.gaps {
		w += g
	}
	return w
}

// leastText is the smallest text of a schematic that has to be narrower.
const leastText = 5.0

// plan is a schematic being drawn.
type plan struct {
	*drawing
	*schema
	t    float64   // size of text
	rail []float64 // where each stands
}

// told is what a schematic shows, in words.
func (d *plan) told(o *study.Outcome) string {
	net := o.System.AsNet()
	text := fmt.Sprintf("The cone looks from %s into %s.", net.Front, net.Rear)
	for i := range net.Parts {
		p := &net.Parts[i]
		if p.Kind == enclosure.NetDrivers {
			text += fmt.Sprintf(" Position %d: %s.", p.Position, study.NetEnds(p))
			continue
		}
		text += " " + p.Name + ": " + study.NetEnds(p) + "."
	}
	return text
}

// wireAt is the height of a row’s wire.
func (d *plan) wireAt(row int) float64 {
	return 2*margin + (headHigh+rowHigh*(float64(row)+0.5))*d.t
}

// rails draws the places: a name, and a line down to the last part there.
func (d *plan) rails() {
	for i, name := range d.schema.rails {
		x, top := d.rail[i], 2*margin+1.5*d.t
		last := top + 0.6*d.t
		for k := range d.items {
			w := &d.items[k]
			if w.a == name || w.b == name {
				last = math.Max(last, d.wireAt(w.row))
			}
		}
		st := draw.Style{Stroke: draw.Soft, Width: d.thick}
		role := draw.Ink
		if name == enclosure.PlaceOutside || name == enclosure.PlaceBehind {
			st.Dash = []float64{0.45 * d.t, 0.3 * d.t}
			role = draw.Soft
		}
		d.s.Line(x, top, x, last, st)
		d.s.Text(x, top-0.5*d.t, cutShort(name, 1), draw.TextStyle{Role: role, Size: d.t, Anchor: draw.Middle})
	}
}

func (d *plan) wire() draw.Style { return draw.Style{Stroke: draw.Ink, Width: 1.4 * d.thin} }

// part draws one part with its wires and its words.
func (d *plan) part(w *wired) {
	y := d.wireAt(w.row)
	left, right := d.rail[w.gap], d.rail[w.gap+1]
	x := (left + right) / 2
	half := symbolWide / 2 * d.t
	a, b := d.rail[w.low], d.rail[w.high]
	turned := d.indexOf(w.a) != w.low // it begins on the right
	switch {
	case w.b != "":
		d.run(a, x-half, y, w)
		d.run(x+half, b, y, w)
		d.dot(a, y)
		d.dot(b, y)
	case turned:
		d.run(x+half, b, y, w)
		d.dot(b, y)
	default:
		d.run(a, x-half, y, w)
		d.dot(a, y)
	}
	d.symbol(w, x, y, half, turned)
	d.s.Text(x, y-1.5*d.t, cutShort(w.name, 1), draw.TextStyle{Role: draw.Ink, Size: d.t, Weight: draw.Medium, Anchor: draw.Middle})
	if w.value != "" {
		d.s.Text(x, y+2.05*d.t, cutShort(w.value, 1), draw.TextStyle{Role: draw.Soft, Size: d.t, Anchor: draw.Middle})
	}
}

func (d *plan) indexOf(place string) int {
	for i, p := range d.schema.rails {
		if p == place {
			return i
		}
	}
	return 0
}

// run draws a wire, which hops over the rails of places that it is not joined to.
func (d *plan) run(from, to, y float64, w *wired) {
	hop := 0.42 * d.t
	p := new(draw.Path).M(from, y)
	for i, x := range d.rail {
		if x > from+hop && x < to-hop && i != w.low && i != w.high {
			p.L(x-hop, y).C(x-hop, y-1.3*hop, x+hop, y-1.3*hop, x+hop, y)
		}
	}
	d.s.Path(p.L(to, y), d.wire())
}

func (d *plan) dot(x, y float64) {
	d.s.Circle(x, y, 0.2*d.t, draw.Style{Fill: draw.Ink})
}

// symbol draws what stands for a part about (x, y), as wide as half to either side;
// turned: its first place is on the right.
func (d *plan) symbol(w *wired, x, y, half float64, turned bool) {
	t := d.t
	ink := draw.Style{Stroke: draw.Ink, Width: d.thick}
	dir := 1.0
	if turned {
		dir = -1
	}
	px := func(k float64) float64 { return x + dir*k*half }
	switch w.sym {
	case symChamber:
		st := draw.Style{Fill: draw.Wash, Stroke: draw.Ink, Width: d.thick}
		if w.filled {
			st.Hatch = d.grain()
		}
		d.s.Rect(x-half, y-0.95*t, 2*half, 1.9*t, st)
	case symPort:
		d.s.Path(new(draw.Path).M(x-half, y).L(x+half, y), d.wire())
		d.s.Path(new(draw.Path).Box(x-0.8*half, y-0.5*t, 1.6*half, t), draw.Style{Fill: draw.Paper, NoHalo: true})
		for _, side := range []float64{-1, 1} {
			d.s.Line(x-0.8*half, y+side*0.5*t, x+0.8*half, y+side*0.5*t, ink)
		}
		d.s.Path(new(draw.Path).M(x-half, y).L(x-0.8*half, y).M(x+0.8*half, y).L(x+half, y), d.wire())
	case symDuct:
		d.duct(w, px, y)
	case symDiaphragm:
		d.s.Path(new(draw.Path).M(x-half, y).L(x-0.18*t, y).M(x+0.18*t, y).L(x+half, y), d.wire())
		d.s.Rect(x-0.18*t, y-0.62*t, 0.36*t, 1.24*t, draw.Style{Fill: draw.Wash, Stroke: draw.Ink, Width: d.thick})
		for _, side := range []float64{-1, 1} {
			d.s.Path(new(draw.Path).M(x, y+side*0.62*t).Q(x+0.5*t, y+side*0.8*t, x, y+side*0.98*t), ink)
		}
	case symOpening:
		d.s.Path(new(draw.Path).M(px(-1), y).L(px(-0.55), y), d.wire())
		for _, side := range []float64{-1, 1} {
			d.s.Path(new(draw.Path).M(px(-0.55), y+side*0.3*t).C(px(0.1), y+side*0.35*t, px(0.3), y+side*0.6*t, px(0.4), y+side*1.05*t), ink)
		}
		d.s.Path(new(draw.Path).M(px(0.4), y).L(px(1), y), draw.Style{Stroke: draw.Ink, Width: 1.4 * d.thin, Dash: []float64{0.25 * t, 0.25 * t}})
	case symLeak:
		p := new(draw.Path).M(x-half, y).L(x-0.7*half, y)
		for k := range 6 {
			p.L(x-0.7*half+(float64(k)+0.5)*1.4*half/6, y+[]float64{-1, 1}[k%2]*0.5*t)
		}
		d.s.Path(p.L(x+0.7*half, y).L(x+half, y), draw.Style{Stroke: draw.Ink, Width: d.thick})
	case symAbsorber:
		end := 0.55
		if w.behind {
			end = -0.1
		}
		d.s.Path(new(draw.Path).M(px(-1), y).L(px(-0.55), y), d.wire())
		lo, hi := math.Min(px(-0.55), px(end)), math.Max(px(-0.55), px(end))
		d.s.Rect(lo, y-0.8*t, hi-lo, 1.6*t, draw.Style{Fill: draw.Paper, Hatch: d.grain(), Stroke: draw.Ink, Width: d.thick})
		if w.behind {
			lo, hi = math.Min(px(end), px(0.8)), math.Max(px(end), px(0.8))
			d.s.Rect(lo, y-0.8*t, hi-lo, 1.6*t, draw.Style{Fill: draw.Wash, Stroke: draw.Ink, Width: d.thick})
		} else {
			d.s.Path(new(draw.Path).M(px(end), y).L(px(1), y), d.wire())
		}
	case symCone:
		d.cone(px, y)
	}
}

// grain is the hatch of what is porous.
func (d *plan) grain() draw.Hatch {
	return draw.Hatch{Role: draw.Rule, Pitch: 0.45 * d.t, Width: d.thin}
}

// duct draws a duct whose walls go from one width to another, in the proportion of its
// ends, with a wall at a closed one and its fill as far as that goes.
func (d *plan) duct(w *wired, px func(float64) float64, y float64) {
	t := d.t
	wide := math.Max(w.from, w.to)
	height := func(area float64) float64 { return t * math.Max(0.28, 0.95*math.Sqrt(area/wide)) }
	a, b := height(w.from), height(w.to)
	part := func(from, to float64) *draw.Path { // shares of its length
		x, z := px(-0.85+1.7*from), px(-0.85+1.7*to)
		c, e := a+(b-a)*from, a+(b-a)*to
		return new(draw.Path).M(x, y-c).L(z, y-e).L(z, y+e).L(x, y+c).Z()
	}
	d.s.Path(part(0, 1), draw.Style{Fill: draw.Wash, NoHalo: true})
	for _, f := range w.fills { // as far as they go
		d.s.Path(part(f[0], f[1]), draw.Style{Hatch: d.grain(), NoHalo: true})
	}
	ink := draw.Style{Stroke: draw.Ink, Width: d.thick}
	d.s.Line(px(-0.85), y-a, px(0.85), y-b, ink)
	d.s.Line(px(-0.85), y+a, px(0.85), y+b, ink)
	d.s.Path(new(draw.Path).M(px(-1), y).L(px(-0.85), y), d.wire())
	if w.alone == enclosure.PlaceClosed {
		d.s.Line(px(0.85), y-b, px(0.85), y+b, draw.Style{Stroke: draw.Ink, Width: 2.4 * d.thick})
		return
	}
	d.s.Path(new(draw.Path).M(px(0.85), y).L(px(1), y), d.wire())
}

// cone draws a driver, its front towards the second place.
func (d *plan) cone(px func(float64) float64, y float64) {
	t := d.t
	d.s.Path(new(draw.Path).M(px(-1), y).L(px(-0.5), y).M(px(0.42), y).L(px(1), y), d.wire())
	d.s.Path(new(draw.Path).M(px(-0.5), y-0.5*t).L(px(-0.12), y-0.5*t).L(px(-0.12), y+0.5*t).L(px(-0.5), y+0.5*t).Z(), draw.Style{Fill: draw.Ink})
	d.s.Path(new(draw.Path).M(px(-0.12), y-0.34*t).L(px(0.42), y-1.02*t).L(px(0.42), y+1.02*t).L(px(-0.12), y+0.34*t).Z(),
		draw.Style{Fill: draw.Paper, Stroke: draw.Ink, Width: d.thick})
}
