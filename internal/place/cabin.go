package place

import (
	"fmt"
	"math"

	"basswright/internal/note"
	"basswright/internal/phys"
)

// A Cabin is a closed space that holds the box and the listener: a car, a van, a
// small room.
type Cabin struct {
	Volume     float64 // m³, 0.1 to 10 000
	Length     float64 // m, the longest dimension inside, up to 100; 0: estimated from the volume
	Distance   float64 // m, 0.001 to 10 000, of the half-space pressure that the transfer is relative to; 0: 1 m
	Leak       Leak
	Q          float64 // of the loss of the walls, 0.1 to 1000, at the corner of the leak, or without one at the first mode; 0: none
	Absorption float64 // m², up to 10 000: the loss of the walls as an equivalent absorption area, in place of Q; 0: none
}

// A Leak is an opening of a cabin to the outside: a gap, a window. It is known
// by its area, or by the frequency at which its air and the cabin resonate. The
// zero Leak is none.
type Leak struct {
	Area   float64 // m², up to 10
	Length float64 // m, 0 to 10, the way through it, without end corrections
	Corner float64 // Hz, 0.1 to 200, in place of Area and Length
	Q      float64 // of the opening alone at the corner, 0.1 to 1000; 0: without loss
}

// A Zone is a cabin as a pressure zone. NewZone makes one.
type Zone struct {
	reach     float64 // 2πr/ρ, m⁴/kg
	c         float64 // compliance of the air, m³/Pa
	mass      float64 // of the air in the leak, kg/m⁴; 0: there is none
	r         float64 // resistance of the leak, Pa s/m³
	g         float64 // conductance of the walls, m³/(Pa s)
	mode      float64 // Hz
	corner    float64 // Hz, 0: no leak
	estimated bool    // the mode is
}

// longestOfVolume is the longest dimension over the cube root of the volume. The
// small European car of Crolla (Automotive Engineering, section 21.1: modes at
// about 70 Hz, a width of 1.4 m and a height of 1.2 m) has 1.53, a room of
// 5 m × 4 m × 2.5 m has 1.36 and one of 6 m × 4.5 m × 2.7 m 1.44.
const longestOfVolume = 1.5

// fadeOctaves is how far above the first mode the transfer is back at 0 dB.
const fadeOctaves = 1.0

// leakEnds is the sum of both end corrections of a leak in radii of a circle of
// its area, 2·8/(3π) rounded (check value room-cabin-036).
const leakEnds = 1.7

// NewZone works out the pressure zone of a cabin filled with the given air. The
// error is an *Error for a value out of its range, for a value given twice
// (area and corner of a leak; Q and absorption of the walls), for a longest
// dimension whose cube is less than the volume, for a leak whose corner lies
// above the first mode, and for a leak where nothing at all takes energy away:
// its pressure at the corner would have no bound.
//
// The air of the leak is a mass ρ(l + 1.7a)/S, a the radius of a circle of its
// area S: with the air of the cabin it resonates at (c/2π)·√(S/(V(l + 1.7a)))
// (Helmholtz; Rayleigh, The Theory of Sound, 1896, section 304). Its Q is that
// of enclosure's ports, a resistance ω0·M/Q in series with the mass. The walls
// are a conductance beside the air: ω0·C/Q, or A/(8ρc) of an absorption area A
// measured with sound from all sides. (A wall of small real admittance β/ρc
// absorbs 8β of that, and in a pressure zone passes p²Sβ/ρc: Kuttruff, Room
// Acoustics, section 2.5, from memory. Absorption near 20 Hz is hardly ever
// known.)
func NewZone(cabin Cabin, air phys.Air) (*Zone, error) {
	if !(air.C > 0 && air.Rho > 0) {
		panic("place: the air has no speed of sound or no density")
	}
	if err := cabin.check(); err != nil {
		return nil, err
	}
	z := &Zone{c: cabin.Volume / (air.Rho * air.C * air.C)}
	z.reach = 2 * math.Pi * cabin.distance() / air.Rho
	length := cabin.Length
	if z.estimated = length == 0; z.estimated {
		length = longestOfVolume * math.Cbrt(cabin.Volume)
	}
	z.mode = air.C / (2 * length)
	z.open(cabin, air)
	if z.corner > z.mode {
		return nil, &Error{
			About:  "leak",
			Reason: fmt.Sprintf("it resonates with the cabin at %s, above the cabin’s first mode of %s: that is no closed cabin", hertz(z.corner), hertz(z.mode)),
			Mend:   "make the leak smaller, or leave the cabin out",
		}
	}
	at := z.mode
	if z.corner > 0 {
		at = z.corner
	}
	switch {
	case cabin.Q > 0:
		z.g = 2 * math.Pi * at * z.c / cabin.Q
	case cabin.Absorption > 0:
		z.g = cabin.Absorption / (8 * air.Rho * air.C)
	}
	if z.mass > 0 && z.r == 0 && z.g == 0 {
		return nil, &Error{
			About:  "leak",
			Reason: fmt.Sprintf("nothing damps its resonance with the cabin at %s, so that the pressure there has no bound", hertz(z.corner)),
			Mend:   "give the leak or the damping a q",
		}
	}
	return z, nil
}

// open works out the mass, the resistance and the corner of the leak.
func (z *Zone) open(cabin Cabin, air phys.Air) {
	leak := cabin.Leak
	switch {
	case leak.Corner > 0:
		w := 2 * math.Pi * leak.Corner
		z.corner, z.mass = leak.Corner, 1/(w*w*z.c)
	case leak.Area > 0:
		way := leak.Length + leakEnds*math.Sqrt(leak.Area/math.Pi)
		z.mass = air.Rho * way / leak.Area
		z.corner = air.C / (2 * math.Pi) * math.Sqrt(leak.Area/(cabin.Volume*way))
	default:
		return
	}
	if leak.Q > 0 {
		z.r = 2 * math.Pi * z.corner * z.mass / leak.Q
	}
}

func (c Cabin) distance() float64 {
	if c.Distance == 0 {
		return 1
	}
	return c.Distance
}

// check judges what can be judged without the air.
func (c Cabin) check() error {
	const optional, needed = true, false
	for _, r := range []struct {
		about, what   string
		v, low, high  float64
		unit          string
		canBeLeftZero bool
	}{
		{"volume", "a volume", c.Volume, 0.1, 1e4, "m³", needed},
		{"length", "a longest dimension", c.Length, 0.3, 100, "m", optional},
		{"distance", "a distance", c.Distance, 1e-3, 1e4, "m", optional},
		{"leak", "an area", c.Leak.Area, 1e-6, 10, "m²", optional},
		{"leak", "a length", c.Leak.Length, 0, 10, "m", optional},
		{"leak", "a corner", c.Leak.Corner, 0.1, 200, "Hz", optional},
		{"leak", "a Q", c.Leak.Q, 0.1, 1000, "", optional},
		{"damping", "a Q", c.Q, 0.1, 1000, "", optional},
		{"damping", "an absorption area", c.Absorption, 1e-4, 1e4, "m²", optional},
	} {
		if r.canBeLeftZero && r.v == 0 {
			continue
		}
		if err := inRange(r.about, r.what, r.v, r.low, r.high, r.unit); err != nil {
			return err
		}
	}
	switch {
	case c.Length > 0 && c.Length*c.Length*c.Length < c.Volume*(1-1e-9): // a cube's own rounding
		return &Error{
			About:  "length",
			Reason: fmt.Sprintf("a space of %s m³ is longer than %s m in some direction", phys.Digits(c.Volume, 3), phys.Digits(c.Length, 3)),
			Mend:   fmt.Sprintf("give its longest dimension, at least %s m", phys.Digits(math.Cbrt(c.Volume), 3)),
		}
	case c.Length > 0 && c.Length > slenderLength(c.Volume)*(1+1e-9):
		return c.slender()
	case c.Leak.Corner > 0 && (c.Leak.Area > 0 || c.Leak.Length > 0):
		return &Error{About: "leak", Reason: "its corner is given and its size too", Mend: "keep one of them"}
	case c.Leak.Area == 0 && c.Leak.Corner == 0 && (c.Leak.Length > 0 || c.Leak.Q > 0):
		return &Error{About: "leak", Reason: "it has neither an area nor a corner", Mend: "give one of them, or leave the leak out"}
	case c.Q > 0 && c.Absorption > 0:
		return &Error{About: "damping", Reason: "it is given as a Q and as an absorption area too", Mend: "keep one of them"}
	}
	return nil
}

// inRange is an *Error unless low ≤ v ≤ high.
func inRange(about, what string, v, low, high float64, unit string) error {
	if v >= low && v <= high {
		return nil
	}
	if unit != "" {
		unit = "\u2009" + unit
	}
	between := fmt.Sprintf("%s%s to %s%s", brief(low), unit, brief(high), unit)
	return &Error{About: about, Reason: fmt.Sprintf("%s of %s%s lies outside %s", what, brief(v), unit, between), Mend: "give one from " + between}
}

// brief writes a number as people do.
func brief(v float64) string { return phys.Brief(v, phys.Number, phys.Metric) }

// hertz writes a frequency.
func hertz(f float64) string { return phys.Show(f, phys.Frequency, phys.Metric) }

// FirstMode is the frequency, Hz, of the cabin's first mode, c/(2L) along its
// longest dimension L (Rayleigh, The Theory of Sound, 1896, section 267). The
// dimension of a Cabin without a Length is estimated as 1.5·∛V, which lies
// within 11 % of the three spaces that it was held against.
func (z *Zone) FirstMode() float64 { return z.mode }

// LeakCorner is the frequency, Hz, at which the air of the leak resonates with
// that of the cabin; 0 without a leak.
func (z *Zone) LeakCorner() float64 { return z.corner }

// Lumped is the pressure in the zone over that of the half space at the distance
// of the Cabin, at f in Hz:
//
//	H = (2πr/ρ)/(jω·Y),  Y = jωC + G + 1/(R + jωM),  C = V/(ρc²)
//
// A rigid closed zone has −2πr·c²/(ω²V): it rises by 12 dB an octave towards low
// frequencies, and its pressure goes with the displacement of the cones where
// that of the far field goes with their acceleration. A loss, of the leak or
// of the walls, takes 6 dB an octave off; a leak without one 12.
//
// It holds well below the first mode. Against a rigid duct that a piston drives
// at its end, the zone is 0.9 dB low at the far end and 2.1 dB high at the
// piston at a quarter of the first mode; at half of it, 3.9 dB low at the far
// end while the piston’s own face has a node.
func (z *Zone) Lumped(f float64) complex128 {
	w := 2 * math.Pi * within(f)
	y := complex(z.g, w*z.c)
	if z.mass > 0 {
		y += 1 / complex(z.r, w*z.mass)
	}
	return complex(z.reach, 0) / (complex(0, w) * y)
}

// Transfer is Lumped up to the first mode. Above it the modes take over, which
// depend on the shape, the seats and where in them box and listener are: the
// zone says nothing there, and the transfer returns to that of the half space,
// 0 dB and no phase, over one octave. Its level and phase fade by a curve
// without a step up to its second slope (a polynomial of the fifth order in
// log f). That is a way to end a curve, no model of a cabin; Findings says so.
func (z *Zone) Transfer(f float64) complex128 {
	h := z.Lumped(f)
	x := min(math.Log2(within(f)/z.mode)/fadeOctaves, 1)
	if x <= 0 {
		return h
	}
	keep := 1 - x*x*x*(10+x*(6*x-15))
	// A passive zone turns the phase by 0 to −180°: no branch to choose.
	turn := -math.Abs(math.Atan2(imag(h), real(h)))
	size := math.Pow(math.Hypot(real(h), imag(h)), keep)
	sin, cos := math.Sincos(keep * turn)
	return complex(size*cos, size*sin)
}

// Findings says what the zone takes for granted: where its model ends, and a
// first mode that was estimated.
func (z *Zone) Findings(where string) []note.Finding {
	var out []note.Finding
	if z.estimated {
		out = append(out, note.Finding{
			ID: "default-cabin-length", Severity: note.Default, Where: where,
			Text: fmt.Sprintf("the cabin’s first mode, %s, is estimated from its volume (longest dimension 1.5·∛V)", hertz(z.mode)),
			Mend: "give its longest dimension",
		})
	}
	return append(out, note.Finding{
		ID: "cabin-ends", Severity: note.Default, Where: where,
		Text: fmt.Sprintf("the cabin counts as one pressure up to its first mode at %s (right to about 2\u2009dB up to %s); from there to %s the curve is led back to 0\u2009dB, because modes depend on shape and seats",
			hertz(z.mode), hertz(z.mode/4), hertz(z.mode*math.Exp2(fadeOctaves))),
		Mend: "measure in the cabin, and give the measured transfer function, to know more",
	})
}
