package study

import (
	"fmt"
	"math"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/phys"
)

// bodyVolume is what a driver's body takes from a box, m³: its displacement as
// given, or a cone frustum from the cutout to the magnet and the magnet's
// cylinder.
func bodyVolume(d *driver.Driver) (volume float64, estimated bool) {
	if d.Data.Displacement > 0 {
		return d.Data.Displacement, false
	}
	a := math.Sqrt(d.Sd / math.Pi)
	depth := d.Data.MountingDepth
	if depth == 0 {
		depth = a
	}
	r := 0.6 * a
	return math.Pi*depth/2*(a*a+a*r+r*r)/3*0.6 + math.Pi*r*r*depth/2, true
}

// layBody lays out the outside of a candidate's box.
func layBody(space *Space, sys *enclosure.System) Body {
	b := Body{Group: sys.Group, Spec: sys.Spec, Ports: sys.Facts.Ports, Panel: 0.018}
	if sys.Spec.Kind == enclosure.InfiniteBaffle {
		return b
	}
	b.Known = true
	v := sys.Facts.NetVolume
	for _, stack := range sys.Group.Positions {
		for _, m := range stack {
			x, _ := bodyVolume(m.Driver)
			v += x
		}
	}
	for _, p := range sys.Facts.Ports {
		v += p.Volume
	}
	side := math.Cbrt(v)
	b.Height, b.Depth = side, side
	if space != nil {
		b.Height, b.Depth = space.Height, space.Depth
		if space.Panel > 0 {
			b.Panel = space.Panel
		}
	} else {
		b.Guessed = true
		b.Height += 2 * b.Panel
		b.Depth += 2 * b.Panel
	}
	b.Width = v/((b.Height-2*b.Panel)*(b.Depth-2*b.Panel)) + 2*b.Panel
	b.Fits = space == nil || b.Width <= space.Width
	if !b.Fits {
		b.Why = fmt.Sprintf("%s too wide", phys.Show(b.Width-space.Width, phys.Length, phys.Metric))
	}
	return b
}

// boardMass is the weight of a box's boards, kg.
func boardMass(b Body, material string) (kg float64, known bool) {
	w, h, d, t := b.Width, b.Height, b.Depth, b.Panel
	v := w*h*d - (w-2*t)*(h-2*t)*(d-2*t)
	return v * 680, material != ""
}
