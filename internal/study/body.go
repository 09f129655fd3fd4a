package study

import (
	"fmt"
	"math"
	"strings"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/phys"
)

// What a box is laid out with, m (common practice, no source).
const (
	defaultPanel = driver.Panel     // where the study does not say
	clearance    = driver.Clearance // beside a flange or a port, in all
	breath       = driver.Breath    // behind a magnet
)

// layBody lays out a candidate's box around what stands in it: net air, driver
// bodies, ports, the boards of tubes and of a dividing wall, and coupling air
// where the stack is inside. In a space the box takes its full height and depth
// and as much width as it needs; where that is less than the drivers need side
// by side, it is that wide and less deep. Without a space the proportions are
// the tool's own.
func layBody(space *Space, sys *enclosure.System, u phys.System) Body {
	b := Body{Group: sys.Group, Spec: sys.Spec, Ports: sys.Facts.Ports, Panel: defaultPanel, Fits: true}
	if space != nil && space.Panel > 0 {
		b.Panel = space.Panel
	}
	if sys.Spec.Kind == enclosure.InfiniteBaffle {
		b.layRows(math.Inf(1))
		b.Lanes = b.lanes(0)
		b.Width = 1.25 * b.place(0)
		b.place(b.Width)
		return b
	}
	if sys.Spec.Kind.Distributed() {
		b.layLine(sys)
		b.Fold = folded(space, &b, sys, u)
		b.widen()
		return b
	}
	if sys.Spec.Net != nil { // it is drawn as a schematic: where its parts stand is not said
		b.layRows(math.Inf(1))
		return b
	}
	b.Known = true
	b.size(space, sys)
	if space != nil {
		b.fit(space, u)
	}
	return b
}

// size finds the outside measures.
func (b *Body) size(space *Space, sys *enclosure.System) {
	wall := 2 * b.Panel
	height, least := math.Cbrt(b.air(sys)), b.leastHeight()
	if space != nil {
		height = space.Height - wall
	}
	height = math.Max(height, least)
	b.layRows(height)
	c := b.chambers(sys)
	b.Guessed = space == nil
	depth := c.depthAt(height*height/0.9, b.Panel) // common practice, no source
	if space != nil {
		depth = math.Max(space.Depth-wall-b.InFront, c.depthAt(math.Inf(1), b.Panel))
	}
	b.Lanes = b.lanes(height)
	needed := b.place(0) - wall
	width := c.area(depth, b.Panel) / height
	if width < needed { // as wide as the flanges, and less deep, then less high
		width = needed
		depth = c.depthAt(width*height, b.Panel)
		for _, r := range b.Rows {
			least = math.Max(least, r.Least)
		}
		height = math.Max(least, c.area(depth, b.Panel)/width)
	}
	divider := float64(len(c)-1) * b.Panel * width * height
	b.Boards += divider
	b.Spare = width*height*depth - divider - c.total()
	b.Width, b.Height, b.Depth = width+wall, height+wall, depth+wall
	if len(c) > 1 {
		b.Divider = b.Panel + math.Max(c[1].volume/(width*height), c[1].depth)
	}
	b.widenPorts(b.Width - wall)
	b.place(b.Width)
}

// fit says by how much a box is too large for a space.
func (b *Body) fit(s *Space, u phys.System) {
	var over []string
	for _, x := range []struct {
		word       string
		have, room float64
	}{{"wide", b.Width, s.Width}, {"deep", b.Depth + b.InFront, s.Depth}, {"high", b.Height, s.Height}} {
		if d := x.have - x.room; d > slack {
			over = append(over, fmt.Sprintf("%s too %s", phys.Show(math.Ceil(1e3*d)/1e3, phys.Length, u), x.word))
		}
	}
	b.Fits = len(over) == 0
	b.Why = strings.Join(over, ", ")
}

// slack is what a box may stand over its space, m: less is no fault of the box.
const slack = 0.5e-3

// layRows seats the drivers of all positions in a box of an inside height.
func (b *Body) layRows(height float64) {
	for _, stack := range b.Group.Positions {
		r := driver.LayRow(stack, b.Group.Coupling, b.Panel, height)
		b.Rows = append(b.Rows, r)
		b.Boards += r.Wood
		if !b.Spec.Kind.TwoChambers() {
			b.InFront = math.Max(b.InFront, r.Ahead)
		}
	}
}

// leastHeight is the least inside height. A flange may lie on the edges of the
// boards beside it; the hole behind it may not.
func (b *Body) leastHeight() float64 {
	h := 0.0
	take := func(f Frame) { h = math.Max(h, math.Max(f.Cutout+clearance, f.Flange-2*b.Panel)) }
	for _, stack := range b.Group.Positions {
		for _, m := range stack {
			take(FrameOf(m.Driver))
		}
	}
	if b.Spec.Kind == enclosure.PassiveRadiator {
		f := RadiatorFrame(b.Spec.Radiator)
		take(f)
		if _, sides := radiatorWalls(b.Spec.Radiator); sides > 1 {
			h = math.Max(h, float64(sides)*(f.Flange+clearance))
		}
	}
	return h
}

// air is what stands in the box but for boards, m³.
func (b *Body) air(sys *enclosure.System) float64 {
	v := sys.Facts.NetVolume + sys.Facts.CouplingVolume
	for _, p := range sys.Facts.Ports {
		v += p.Volume
	}
	for _, stack := range b.Group.Positions {
		for _, m := range stack {
			body, _ := driver.BodyVolume(m.Driver)
			v += body
		}
	}
	return v
}

// a chamber's need of room inside: m³ and m of depth.
type need struct{ volume, depth float64 }

// needs are the chambers from the back to the front.
type needs []need

func (n needs) total() float64 {
	v := 0.0
	for _, c := range n {
		v += c.volume
	}
	return v
}

// depthAt is the depth inside, dividing wall included, for a cross-section.
func (n needs) depthAt(area, panel float64) float64 {
	d := float64(len(n)-1) * panel
	for _, c := range n {
		d += math.Max(c.volume/area, c.depth)
	}
	return d
}

// area is the least cross-section for a depth: chambers whose drivers ask for
// more depth than their volume take that depth and leave less to the others.
func (n needs) area(depth, panel float64) float64 {
	depth -= float64(len(n)-1) * panel
	held := make([]bool, len(n))
	for {
		volume, left, again, all := 0.0, depth, false, 0.0
		for i, c := range n {
			if held[i] {
				left -= c.depth
				all = math.Max(all, c.volume/c.depth)
			} else {
				volume += c.volume
			}
		}
		if volume == 0 {
			return all
		}
		a := math.Max(all, volume/math.Max(left, 1e-6))
		for i, c := range n {
			if !held[i] && c.volume/a < c.depth*(1-1e-12) {
				held[i], again = true, true
			}
		}
		if !again {
			return a
		}
	}
}

// chambers adds up what stands in each chamber, the boards of slots too.
func (b *Body) chambers(sys *enclosure.System) needs {
	split := b.Spec.Kind.TwoChambers()
	c := needs{{}}
	if split {
		c = needs{{volume: b.Spec.Rear.Volume}, {volume: b.Spec.Front.Volume, depth: 2 * breath}}
	} else {
		c[0].volume = sys.Facts.NetVolume
	}
	for _, p := range sys.Facts.Ports {
		i := 0
		if split && p.Chamber == "front" {
			i = 1
		}
		wood := portWood(p, b.Panel)
		b.Boards += wood
		c[i].volume += p.Volume + wood
		if split {
			c[i].depth = math.Max(c[i].depth, PortAcross(p)+breath)
		}
	}
	coupling := sys.Facts.CouplingVolume
	for i, r := range b.Rows {
		c[0].volume += r.Wood
		c[0].depth = math.Max(c[0].depth, r.Reach-b.Panel+breath)
		if split && r.Ahead > 0 {
			c[1].depth = math.Max(c[1].depth, r.Ahead+breath)
		}
		for k, m := range b.Group.Positions[i] {
			v, _ := driver.BodyVolume(m.Driver)
			switch ahead := k == 0 && r.Ahead > 0; {
			case !ahead:
				c[0].volume += v
			case split:
				c[1].volume += v
			}
		}
	}
	switch {
	case b.Rows[0].Ahead == 0:
		c[0].volume += coupling
	case split:
		c[1].volume += coupling
	}
	if b.Spec.Kind == enclosure.PassiveRadiator {
		f := RadiatorFrame(b.Spec.Radiator)
		c[0].depth = math.Max(c[0].depth, f.Depth+breath)
		if _, sides := radiatorWalls(b.Spec.Radiator); sides > 0 {
			c[0].depth = math.Max(c[0].depth, f.Flange+clearance)
		}
	}
	return c
}

// densities of boards, kg/m³: Hopkins, "Sound Insulation" (2007), table A2.
var densities = []struct {
	word string
	rho  float64
}{{"mdf", 760}, {"chipboard", 760}, {"particle", 760}, {"plywood", 710}, {"birch", 710}}

// boardMass is the weight of the boards of a box or a fold, kg; it is known if the
// material is.
func boardMass(b Body, material string) (kg float64, known bool) {
	w, h, d, t := b.Width, b.Height, b.Depth, b.Panel
	boards := w*h*d - (w-2*t)*(h-2*t)*(d-2*t) + b.Boards
	if b.Fold != nil {
		boards = b.Fold.Wood
	}
	for _, m := range densities {
		if strings.Contains(strings.ToLower(material), m.word) {
			return boards * m.rho, true
		}
	}
	return 0, false
}
