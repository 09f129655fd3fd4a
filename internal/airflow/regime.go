package airflow

import "math"

// The Reynolds numbers û·δ/ν of an oscillating boundary layer, δ = √(2ν/ω), at
// which bursts of turbulence begin (Merkli & Thomann 1975: 2û/√(νω) ≈ 400) and
// at which half of each cycle is turbulent (Hino, Sawamoto & Takasu 1976), both
// from memory. They hold for a bore much wider than δ, some 0.4 mm.
const (
	Transition = 400 / math.Sqrt2
	Turbulence = 550.0
)

// MaxMach is the Mach number up to which the losses hold: at 0.3 the air’s
// density has changed by 4.5 %, M²/2, the usual bound of incompressible flow
// (common practice, no source).
const MaxMach = 0.3

// Stream is how air leaves an end.
type Stream uint8

// The streams, from quiet to loud.
const (
	Attached Stream = iota + 1 // it follows the edge, out and in
	Vortices                   // it leaves the edge; vortices stay near and are drawn in again
	Jet                        // it has gone further than the bore is half wide: vortices leave for good
)

// Wall is the state of the air at the wall of the bore.
type Wall uint8

// The states.
const (
	Laminar Wall = iota + 1
	Bursts       // turbulent for a part of each cycle
	Turbulent
)

// Regime is what the air in a port does.
type Regime struct {
	Strouhal     float64 // of the bore: Port.Strouhal
	Reynolds     float64 // û·δ/ν of the layer at the wall
	Mach         float64 // û/c
	Inner, Outer Stream
	Wall         Wall
	Trusted      bool // Mach ≤ MaxMach
}

// Regime at a frequency, Hz (above 0), and a peak speed in the bore, m/s (0 or
// more).
func (p Port) Regime(f, speed float64) Regime {
	w := omega(f)
	if !(speed >= 0) || math.IsInf(speed, 1) {
		panic("airflow: a speed that is negative or not a number")
	}
	r := Regime{
		Strouhal: p.Strouhal(f, speed),
		Reynolds: speed * math.Sqrt(2/(p.viscosity*w)),
		Mach:     speed / p.air.C,
		Wall:     Laminar,
	}
	r.Trusted = r.Mach <= MaxMach
	r.Inner, r.Outer = p.inner.at(speed/w, p.half), p.outer.at(speed/w, p.half)
	switch {
	case r.Reynolds >= Turbulence:
		r.Wall = Turbulent
	case r.Reynolds >= Transition:
		r.Wall = Bursts
	}
	return r
}

func (s stream) at(displacement, half float64) Stream {
	switch {
	case displacement*Separation <= s.reach():
		return Attached
	case displacement <= half:
		return Vortices
	}
	return Jet
}

// Basis is what a speed limit rests on.
type Basis uint8

// The bases of a limit.
const (
	Stroke    Basis = iota + 1 // the air’s displacement is half of the bore’s narrower side: Vanderkooy 1998
	Core                       // about 10 m/s past sharp edges: Salvatti, Devantier & Button 2002
	Guide                      // about 5 % of the speed of sound: Small 1973
	Boundary                   // the layer at the wall is turbulent: Hino, Sawamoto & Takasu 1976
	ShortPort                  // not speed: a narrower port of no length at all would be tuned too high
	Stated                     // by whoever asks
)

// Source is where a basis comes from.
func (b Basis) Source() string {
	return [...]string{"",
		"Vanderkooy 1998 (from memory): loss and noise begin where the air’s displacement is as large as the port’s radius",
		"Salvatti, Devantier & Button 2002 (from memory): little compression up to about 10 m/s",
		"Small 1973 part II (from memory): up to about 5 % of the speed of sound",
		"Hino, Sawamoto & Takasu 1976 (from memory): turbulence at the wall from a Reynolds number of 550",
		"the tuning: a narrower opening, without any length, has too little mass",
		"as asked",
	}[b]
}

// Source is where a limit of this port comes from. A slot has no radius: what is
// taken for it is said.
func (p Port) Source(b Basis) string {
	if b == Stroke && p.section.Diameter == 0 {
		return "Vanderkooy 1998 (from memory): loss and noise begin where the air’s displacement is as large as a round port’s radius; of a slot, half of its narrower side is taken, by a rule of our own"
	}
	return b.Source()
}

// The figures of the limit.
const (
	CoreSpeed = 10.0 // m/s, past sharp edges
	GuideMach = 0.05
)

// MostGain is how much faster than past a sharp edge air may be past any flare:
// 10 dB, the lower end of 10 to 16 dB by which the best flare surpasses a straight
// port where noise begins to be heard (Bezzola, Devantier & McMullin 2019).
const MostGain = 3.1622776601683795

// Limit is a cautious limit of the peak speed in the bore against noise, m/s, at a
// frequency, Hz, and what it rests on: the least of
//
//	g·ωa, g·10 m/s, 0.05 c, 550·√(νω/2)
//
// with a half of the narrower side, and g = (1 + r/a)·Sm/S of the worse end, the
// edge’s radius over the mouth’s half side and the cone’s widening, at most 10 dB.
// g is ours: 1 for a sharp edge and the published gain at most. It rises with
// size, frequency and flare, and is at most 0.05 c.
func (p Port) Limit(f float64) (speed float64, by Basis) {
	w := omega(f)
	gain := min(p.inner.gain, p.outer.gain)
	speed, by = gain*w*p.half, Stroke
	for _, c := range [...]struct {
		speed float64
		by    Basis
	}{{gain * CoreSpeed, Core}, {GuideMach * p.air.C, Guide}, {Turbulence * math.Sqrt(p.viscosity*w/2), Boundary}} {
		if c.speed < speed {
			speed, by = c.speed, c.by
		}
	}
	return speed, by
}

// SmallArea is the least area of a port, m², by Small’s rule for a vented box
// tuned to fb, Hz, whose driver displaces vd at its peak, m³: 0.8·fb·vd, so that
// the air stays within 4 to 5 % of the speed of sound (Small 1973 part II, from
// memory). Both have to be above 0.
func SmallArea(fb, vd float64) float64 {
	if !(fb > 0 && vd > 0) || math.IsInf(fb*vd, 1) {
		panic("airflow: a tuning or a displacement that is not above zero")
	}
	return 0.8 * fb * vd
}
