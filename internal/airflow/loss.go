package airflow

import "math"

// Separation is the Strouhal number ωr/û of an edge below which the air leaves
// it within a cycle: its displacement û/ω is then more than the radius r of the
// edge. Vanderkooy 1998 and Salvatti, Devantier & Button 2002 have it of order
// one (from memory, no more than that).
const Separation = 1.0

// quiet is the slowest speed, m/s, that a Strouhal number is reckoned for, so
// that it stays finite.
const quiet = 1e-9

// Strouhal is ωa/û of the bore, at a frequency, Hz, and a peak speed, m/s: half
// of the narrower side over the air’s displacement. Below about 1 the air that
// leaves the port is a jet (Vanderkooy 1998, from memory). Speeds below 1e-9 m/s
// count as that.
func (p Port) Strouhal(f, speed float64) float64 { return omega(f) * p.half / max(speed, quiet) }

// EdgeStrouhal is ωr/û of the end whose edge lets go first, û that at the edge:
// below Separation it does. It is 0 for a sharp edge.
func (p Port) EdgeStrouhal(f, speed float64) float64 {
	return omega(f) * min(p.inner.reach(), p.outer.reach()) / max(speed, quiet)
}

// Onset is the peak speed in the bore, m/s, at which vortices begin to separate
// at one of the ends at a frequency, Hz: ωr/Separation. A sharp edge sheds them
// at any speed: 0.
func (p Port) Onset(f float64) float64 {
	return omega(f) * min(p.inner.reach(), p.outer.reach()) / Separation
}

// reach is the radius of an edge as the air in the bore feels it, m: that goes
// faster than what passes the edge.
func (s stream) reach() float64 { return s.edge * s.widens }

// separated is the part of its whole loss that an edge takes at a displacement
// û/ω, m, of a sine.
//
// This is ours. In each half of a cycle the edge takes nothing until the air has
// come two radii far (at Separation = 1, where that is the whole stroke), and
// then what it takes in steady flow. The component of K·sin²θ in phase with the
// speed, from θs to π with 1 − cos θs = 2·St/Separation, is 8/(3π) times s²(3 −
// 2s), s = 1 − St/Separation. The component in quadrature, at most a quarter of
// 8/(3π), takes from the mass and is left out.
func (s stream) separated(displacement float64) float64 {
	x := displacement * Separation
	if x <= s.reach() {
		return 0
	}
	share := 1 - s.reach()/x
	return share * share * (3 - 2*share)
}

// Coefficients are the steady-flow losses K of an end, in ρ·K·û²/2 with the
// speed in the bore: of air that leaves the port by it, and of air that enters.
type Coefficients struct{ Out, In float64 }

// Coefficients of the inner and the outer end, once the air has left both edges.
// Sharp: 1 out, 0.5 in in a wall and 1 in free air; well rounded: 1 and 0.03.
// They are those of steady flow, the limit of low Strouhal numbers (Ingard &
// Ising 1967; Peters et al. 1993, from memory).
func (p Port) Coefficients() (inner, outer Coefficients) {
	of := func(s stream) Coefficients { return Coefficients{s.coneOut + s.edgeOut, s.coneIn + s.edgeIn} }
	return of(p.inner), of(p.outer)
}

// Quadratic is the factor Rq of the pressure Rq·|U|·U that the port takes, Pa·s²/m⁶,
// once the air has left both edges: ρK/(2S²), where K is the mean of both
// directions, each the sum of one end out and the other in. Ends that are not
// alike also make a steady pressure, which is not reckoned here.
func (p Port) Quadratic() float64 { return p.quadratic(math.Inf(1)) }

func (p Port) quadratic(displacement float64) float64 {
	k := 0.0
	for _, s := range [2]*stream{&p.inner, &p.outer} {
		k += s.coneOut + s.coneIn + (s.edgeOut+s.edgeIn)*s.separated(displacement)
	}
	return p.air.Rho * k / 2 / (2 * p.area * p.area)
}

// Resistance is the acoustic resistance, Pa·s/m³, that stands for the port’s
// quadratic loss at a frequency, Hz (above 0), and a peak volume velocity Û,
// m³/s (0 or more): the describing function of a sine,
//
//	8/(3π)·ρK·Û/(2S²)
//
// with the part of K that has separated at that amplitude: all of it for sharp
// edges, none below Onset for rounded ones. It is in series with the port’s mass
// and its linear loss, and Resistance·Û never falls as Û rises. Up to MaxMach.
// It does not allocate.
func (p Port) Resistance(f, flow float64) float64 {
	w := omega(f)
	if !(flow >= 0) || math.IsInf(flow, 1) {
		panic("airflow: a volume velocity that is negative or not a number")
	}
	return 8 / (3 * math.Pi) * p.quadratic(flow/p.area/w) * flow
}

func omega(f float64) float64 {
	if !(f > 0) || math.IsInf(f, 1) {
		panic("airflow: a frequency that is not above zero")
	}
	return 2 * math.Pi * f
}
