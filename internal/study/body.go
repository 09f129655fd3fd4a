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
	defaultPanel = 18e-3 // where the study does not say
	Ring         = 12e-3 // the spacer between the cones of a clamshell
	clearance    = 8e-3  // beside a flange, on either side
	breath       = 20e-3 // behind a magnet
)

// layBody lays out the outside of a candidate's box around what stands in it:
// net air, driver bodies, ports, and coupling air where the stack is inside.
// In a space the box takes its full height and depth and as much width as it
// needs; where that is less than the drivers need side by side, it is that
// wide and less deep. Without a space the proportions are the tool's own.
func layBody(space *Space, sys *enclosure.System) Body {
	b := Body{Group: sys.Group, Spec: sys.Spec, Ports: sys.Facts.Ports, Panel: defaultPanel, Fits: true}
	if space != nil && space.Panel > 0 {
		b.Panel = space.Panel
	}
	if sys.Spec.Kind == enclosure.InfiniteBaffle {
		return b
	}
	b.Known = true
	l := needs(sys, b.Panel)
	b.InFront = l.inFront
	wall := 2 * b.Panel
	least := [3]float64{l.width, l.height, l.depth} // inside
	var size [3]float64                             // inside: width, height, depth
	if space == nil {
		b.Guessed = true
		side := math.Cbrt(l.volume)
		size = [3]float64{0, side, 0.9 * side}
	} else {
		size = [3]float64{0, space.Height - wall, space.Depth - wall - l.inFront}
	}
	for k := 1; k < 3; k++ {
		size[k] = math.Max(size[k], least[k])
	}
	size[0] = l.volume / (size[1] * size[2])
	if size[0] < least[0] { // as wide as the flanges, and less deep, then less high
		size[0] = least[0]
		size[2] = math.Max(least[2], l.volume/(size[0]*size[1]))
		size[1] = math.Max(least[1], l.volume/(size[0]*size[2]))
	}
	b.Spare = size[0]*size[1]*size[2] - l.volume
	b.Width, b.Height, b.Depth = size[0]+wall, size[1]+wall, size[2]+wall
	if space != nil {
		b.fit(space)
	}
	return b
}

// fit says by how much a box is too large for a space.
func (b *Body) fit(s *Space) {
	var over []string
	for _, x := range []struct {
		word       string
		have, room float64
	}{{"wide", b.Width, s.Width}, {"deep", b.Depth + b.InFront, s.Depth}, {"high", b.Height, s.Height}} {
		if d := x.have - x.room; d > 0.5e-3 { // less than half a millimetre is no fault of the box
			over = append(over, fmt.Sprintf("%s too %s", phys.Show(math.Ceil(1e3*d)/1e3, phys.Length, phys.Metric), x.word))
		}
	}
	b.Fits = len(over) == 0
	b.Why = strings.Join(over, ", ")
}

// needed is what a group and its box need of room, inside, m and m³.
type needed struct {
	volume               float64
	width, height, depth float64
	inFront              float64 // what stands out in front of the box
}

// needs adds up what stands in a box and the least inside measures. A flange
// may lie on the edges of the side boards; the hole behind it may not.
func needs(sys *enclosure.System, panel float64) needed {
	n := needed{volume: sys.Facts.NetVolume}
	for p := range sys.Facts.Ports {
		n.volume += sys.Facts.Ports[p].Volume
	}
	outside := false // the outer driver of a clamshell stands outside
	for _, stack := range sys.Group.Positions {
		widest, hole := 0.0, 0.0
		deep := -panel // the first driver stands in the thickness of the baffle, its flange flush
		for k, m := range stack {
			f := FrameOf(m.Driver)
			widest, hole = math.Max(widest, f.Flange), math.Max(hole, f.Cutout)
			if StandsOutside(stack, k) && sys.Spec.Kind < enclosure.Bandpass {
				outside = true
				n.inFront = math.Max(n.inFront, Ring+f.Depth)
				continue
			}
			v, _ := bodyVolume(m.Driver)
			n.volume += v
			deep += f.Depth + f.FlangeThickness
		}
		n.width += widest + clearance
		n.height = math.Max(n.height, math.Max(hole+clearance, widest-2*panel))
		n.depth = math.Max(n.depth, deep+breath)
	}
	if !outside {
		n.volume += sys.Facts.CouplingVolume
	}
	if r := sys.Spec.Radiator; sys.Spec.Kind == enclosure.PassiveRadiator {
		n.width += 2.5 * math.Sqrt(r.Sd/math.Pi) // one in the front; others stand in the sides
	}
	for _, p := range sys.Facts.Ports {
		n.width += portWidth(p)
	}
	if sys.Spec.Kind >= enclosure.Bandpass { // before the dividing board
		n.depth += 2*breath + Ring
	}
	return n
}

// StandsOutside says whether driver k of a stack stands in front of the box:
// the outer one of a clamshell, which looks in.
func StandsOutside(stack []driver.Member, k int) bool {
	return k == 0 && len(stack) > 1 && stack[0].Facing == driver.Rear
}

// portWidth is the width that the alike ports of an opening take in the front.
func portWidth(p enclosure.PortFacts) float64 {
	n := float64(max(p.Port.Count, 1))
	one := 0.0
	switch p.Port.Shape {
	case enclosure.Round:
		one = p.Port.Diameter
	case enclosure.Slot:
		one = math.Min(p.Port.Width, p.Port.Height)
	case enclosure.AreaOnly:
		one = 2 * math.Sqrt(p.Port.Area/math.Pi)
	}
	return n * (one + clearance)
}

// densities of boards, kg/m³: Hopkins, "Sound Insulation" (2007), table A2.
var densities = []struct {
	word string
	rho  float64
}{{"mdf", 760}, {"chipboard", 760}, {"particle", 760}, {"plywood", 710}, {"birch", 710}}

// boardMass is the weight of a box's boards, kg; it is known if the material is.
func boardMass(b Body, material string) (kg float64, known bool) {
	w, h, d, t := b.Width, b.Height, b.Depth, b.Panel
	boards := w*h*d - (w-2*t)*(h-2*t)*(d-2*t)
	for _, m := range densities {
		if strings.Contains(strings.ToLower(material), m.word) {
			return boards * m.rho, true
		}
	}
	return 0, false
}
