package study

import (
	"math"

	"basswright/internal/enclosure"
)

// LaneKind says what a lane holds.
type LaneKind uint8

// The kinds of lane.
const (
	LaneStack    LaneKind = iota // a position's drivers
	LaneRadiator                 // a passive radiator in the front
	LaneSide                     // what passive radiators in a side wall take
	LanePorts                    // the alike ports of one opening; in a sixth-order box of both
)

// A Lane is a strip of a box from back to front that one thing has to itself.
type Lane struct {
	Kind    LaneKind
	Index   int     // of the position
	Width   float64 // m
	Centre  float64 // m, from the box's left outer face
	Columns int     // ports side by side; those that are left stand above each other, as the radiators of a side do

	step float64 // m, from port to port
}

// How ports stand, m (common practice, no source).
const (
	PipeWall = 4e-3
	around   = 20e-3 // beside an opening's ports, in all
	unsized  = 50e-3 // the width at which an ideal port without a size is drawn
)

// PortAcross is how wide one port of an opening is, seen from above, m.
func PortAcross(p enclosure.PortFacts) float64 {
	switch p.Port.Shape {
	case enclosure.Round:
		return p.Port.Diameter
	case enclosure.Slot:
		return math.Min(p.Port.Width, p.Port.Height)
	case enclosure.AreaOnly:
		return 2 * math.Sqrt(p.Port.Area/math.Pi)
	}
	return unsized
}

// portTall is how high it is.
func portTall(p enclosure.PortFacts) float64 {
	if p.Port.Shape == enclosure.Slot {
		return math.Max(p.Port.Width, p.Port.Height)
	}
	return PortAcross(p)
}

// portWall is the thickness of what is around a port: the board that makes a
// slot beside a side wall, the two walls of a pipe.
func portWall(p enclosure.PortFacts) float64 {
	if p.Port.Shape == enclosure.Slot {
		return Ledge
	}
	return 2 * PipeWall
}

// portWood is the boards of the slots of an opening, m³.
func portWood(p enclosure.PortFacts, panel float64) float64 {
	if p.Port.Shape != enclosure.Slot {
		return 0 // the wall of a pipe is thin
	}
	return float64(max(p.Port.Count, 1)) * Ledge * portTall(p) * math.Max(p.Port.Length-panel, 0)
}

// radiatorWalls says how many passive radiators stand in the front and in
// either side: pairs face each other, so that their forces cancel.
func radiatorWalls(r enclosure.Radiator) (front, sides int) {
	n := max(r.Count, 1)
	return n % 2, n / 2
}

// RadiatorFrame is the size of a passive radiator, by the proportions of the
// drivers' frames (common practice, no source).
func RadiatorFrame(r enclosure.Radiator) Frame {
	a := math.Sqrt(r.Sd / math.Pi)
	f := Frame{Flange: 2.5 * a, Cutout: 2.22 * a, FlangeThickness: 7e-3, Depth: 0.35 * a, Cone: 0.92 * a, Surround: 1.09 * a}
	if r.Depth > 0 {
		f.Depth = r.Depth
	}
	return f
}

// lanes lists what stands side by side in a box of an inside height, from left to right.
func (b *Body) lanes(height float64) []Lane {
	var out []Lane
	for i, stack := range b.Group.Positions {
		w := 0.0
		for _, m := range stack {
			w = math.Max(w, FrameOf(m.Driver).Flange)
		}
		out = append(out, Lane{Kind: LaneStack, Index: i, Width: math.Max(w, b.Rows[i].Outside()) + clearance})
	}
	if b.Spec.Kind == enclosure.PassiveRadiator {
		f := RadiatorFrame(b.Spec.Radiator)
		front, sides := radiatorWalls(b.Spec.Radiator)
		if front > 0 {
			out = append(out, Lane{Kind: LaneRadiator, Width: f.Flange + clearance})
		}
		if side := (Lane{Kind: LaneSide, Columns: sides, Width: f.Depth + breath}); sides > 0 {
			out = append(append([]Lane{side}, out...), side)
		}
	}
	ports := Lane{Kind: LanePorts}
	for _, p := range b.Ports { // the openings of a sixth-order box share a lane
		n := max(p.Port.Count, 1)
		rows := max(int((height+clearance)/(portTall(p)+clearance)), 1)
		columns := (n + rows - 1) / rows
		one := PortAcross(p) + portWall(p) + clearance
		if w := float64(columns)*one + around - clearance; w > ports.Width {
			ports.Width, ports.Columns, ports.step = w, columns, one
		}
	}
	if ports.Width > 0 {
		out = append(out, ports)
	}
	return out
}

// widenPorts sets as many alike ports side by side as there is room for.
func (b *Body) widenPorts(room float64) {
	for _, l := range b.Lanes {
		room -= l.Width
	}
	for i := range b.Lanes {
		l := &b.Lanes[i]
		if l.Kind != LanePorts {
			continue
		}
		most := 1
		for _, p := range b.Ports {
			most = max(most, p.Port.Count)
		}
		for l.Columns < most && room > l.step {
			l.Columns++
			l.Width += l.step
			room -= l.step
		}
	}
}

// place spreads the lanes over a box of an outside width and returns the least
// outside width.
func (b *Body) place(width float64) float64 {
	least := 2 * b.Panel
	for _, l := range b.Lanes {
		least += l.Width
	}
	between := math.Max(width-least, 0) / float64(len(b.Lanes)+1)
	x := b.Panel
	for i := range b.Lanes {
		l := &b.Lanes[i]
		x += between
		l.Centre = x + l.Width/2
		x += l.Width
	}
	return least
}
