// Package airflow knows what fast air does in a port: where it leaves the edges
// and becomes turbulent, what that costs, how fast it may be before it is heard,
// and how wide, and then how long, a port has to be.
//
// Speeds and volume velocities are peaks of a sine, in the bore and averaged
// over it, m/s and m³/s: √2 times the network's rms. Little of this was measured
// on ports; what was remembered and not looked up says so, and what is ours and
// not published says that.
package airflow

import (
	"fmt"
	"math"

	"basswright/internal/phys"
)

// Section is the bore of a port: a round one has a diameter, a slot has sides.
type Section struct {
	Diameter      float64 // m, 5 mm to 2 m; 0: a slot
	Width, Height float64 // m, 2 mm to 5 m each
}

// End is one end of a port. The zero value is a sharp edge in free air.
//
// A trumpet, round in its length, is a rounded edge of that radius. A cone that
// the air can follow widens the bore first, and the edge comes after it; a slot
// widens in its height alone.
type End struct {
	Flanged bool    // it opens in a wall
	Edge    float64 // m, the radius of the edge’s rounding, 0 to 1 m; 0: sharp
	Mouth   float64 // the diameter, or height, of the cone’s wide end over the bore’s, 1 to 5; 0: no cone
	Slope   float64 // rad, the cone’s wall against the axis, up to MaxSlope
}

// MaxSlope is how steep, in rad, a cone may be for air to follow it outwards: 7°,
// 14° from wall to wall (straight diffusers, from memory). Roozen et al. 1998
// have about 6° in their port.
const MaxSlope = 7 * math.Pi / 180

// A Port is one port with air in it. It is made by New, does not change, and may
// be shared.
type Port struct {
	section      Section
	air          phys.Air
	area         float64 // m²
	half         float64 // m, half of the narrower side: a round port’s radius
	viscosity    float64 // kinematic, m²/s
	inner, outer stream
}

// A stream is what an end does to the air that goes through it. Losses are
// coefficients K of ρ·K·û²/2, û in the bore.
type stream struct {
	widens            float64 // area of the mouth over the bore’s
	edge              float64 // m, the radius of the edge
	coneOut, coneIn   float64 // what the cone costs whatever the edge does
	edgeOut, edgeIn   float64 // what the edge costs once the air has left it
	gain              float64 // how much faster than past a sharp edge the air may be
	axial, mass, room float64 // m along the axis; m of bore with the same mass of air, that outside included; m³
}

// PortError is a port, or a need for one, that makes no sense.
type PortError struct {
	Key    string // what is to blame: "section", "inner", "outer", "need"
	Reason string
	Mend   string
}

// Error is the reason and the mend.
func (e *PortError) Error() string { return fmt.Sprintf("%s: %s; %s", e.Key, e.Reason, e.Mend) }

// New is a port with a bore and two ends in air that phys made. Its error is a
// *PortError.
func New(s Section, inner, outer End, air phys.Air) (Port, error) {
	if err := s.check(); err != nil {
		return Port{}, err
	}
	for _, e := range []struct {
		key string
		end End
	}{{"inner", inner}, {"outer", outer}} {
		if err := e.end.check(e.key); err != nil {
			return Port{}, err
		}
	}
	if !(air.C > 0 && air.Rho > 0) {
		return Port{}, &PortError{"need", "the air has no speed of sound or no density", "take phys.StandardAir"}
	}
	return build(s, inner, outer, air), nil
}

// build is New for what was checked.
func build(s Section, inner, outer End, air phys.Air) Port {
	return Port{
		section: s, air: air, area: s.area(), half: s.half(), viscosity: viscosity(air),
		inner: inner.stream(s), outer: outer.stream(s),
	}
}

func (s Section) check() error {
	in := func(x, low, high float64) bool { return x >= low && x <= high }
	switch {
	case s.Diameter == 0 && s.Width == 0 && s.Height == 0:
		return &PortError{"section", "the port has no size", "give its diameter, or its width and height"}
	case s.Diameter != 0 && (s.Width != 0 || s.Height != 0):
		return &PortError{"section", "a port has a diameter or sides, not both", "leave one of them out"}
	case s.Diameter != 0 && !in(s.Diameter, smallest, largest):
		return &PortError{"section", "the diameter does not lie between 5 mm and 2 m", "give one that does"}
	case s.Diameter == 0 && !(in(s.Width, smallestSide, largestSide) && in(s.Height, smallestSide, largestSide)):
		return &PortError{"section", "the sides do not lie between 2 mm and 5 m", "give both, within that"}
	}
	return nil
}

// The sizes that a bore may have, m.
const (
	smallest, largest         = 5e-3, 2.0
	smallestSide, largestSide = 2e-3, 5.0
	largestEdge               = 1.0
	widestMouth               = 5.0
)

func (e End) check(key string) error {
	cone := e.Mouth != 0 || e.Slope != 0
	switch {
	case !(e.Edge >= 0 && e.Edge <= largestEdge):
		return &PortError{key, "the radius of the edge does not lie between 0 and 1 m", "write 0 for a sharp edge"}
	case cone && !(e.Mouth >= 1 && e.Mouth <= widestMouth):
		return &PortError{key, "the mouth of the cone is not 1 to 5 times as wide as the bore", "write 0 for its mouth and slope if there is no cone"}
	case cone && !(e.Slope > 0 && e.Slope <= MaxSlope*(1+1e-12)): // 7° may come out of degrees a little above itself
		return &PortError{key, "the slope of the cone is not above 0 and up to 7°, so that air could follow it", "describe a steeper flare by the radius of its edge"}
	}
	return nil
}

func (s Section) area() float64 {
	if s.Diameter > 0 {
		return math.Pi * s.Diameter * s.Diameter / 4
	}
	return s.Width * s.Height
}

func (s Section) half() float64 {
	if s.Diameter > 0 {
		return s.Diameter / 2
	}
	return min(s.Width, s.Height) / 2
}

// hydraulic is four times the area over the circumference, m.
func (s Section) hydraulic() float64 {
	if s.Diameter > 0 {
		return s.Diameter
	}
	return 2 * s.Width * s.Height / (s.Width + s.Height)
}

// widened is the section with a larger diameter, or height, m.
func (s Section) widened(by float64) Section {
	if s.Diameter > 0 {
		return Section{Diameter: s.Diameter + by}
	}
	return Section{Width: s.Width, Height: s.Height + by}
}

// Area is the area of the bore, m².
func (p Port) Area() float64 { return p.area }

// viscosity is the kinematic viscosity of air, m²/s.
func viscosity(air phys.Air) float64 { return air.Viscosity() / air.Rho }
