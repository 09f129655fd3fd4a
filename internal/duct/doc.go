// Package duct is sound in ducts and horns by one-dimensional wave theory: the
// two-port of a duct of any area profile, with the loss at its walls or with
// fibrous fill.
//
// # Conventions
//
// As in package network: phasors are rms with exp(+jωt), pressures in Pa, volume
// velocities in m³/s. Port 1 is the start of a duct and port 2 its end; distances
// are counted along the axis from the start. [Duct.At] gives the flows into both
// ports for the pressures at them; [Duct.Chain] the pressure at the start and the
// flow into it for the pressure at the end and the flow out of it.
//
// # The model
//
// Webster’s equation with the plane area S(x) of the cross-section, in the air or
// what stands in for it, with the density ρ and the bulk modulus K:
//
//	dp/dx = −jωρ/S·U,   dU/dx = −jωS/K·p
//
// For ψ = p·√S it reads ψ″ + (k² − κ²)ψ = 0 with k² = ω²ρ/K and κ² = (√S)″/√S.
// Where κ is constant (cylinder, cone, exponential, hyperbolic: Salmon, J. Acoust.
// Soc. Am. 17, 1946, 199 and 212) a stretch is one segment and the answer exact;
// any other profile is cut into such segments until an estimate of the error is
// small enough. A cone’s waves are spherical, but counted over its plane area and
// its axial length.
package duct
