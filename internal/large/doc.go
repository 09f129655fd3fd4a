// Package large is the large-signal model of a candidate: what its network does
// when the force factor, the stiffness and the inductance of its drivers change
// with displacement and its air is an adiabatic spring.
//
// # The model
//
// The network at rest stays what it is. Every part that is not linear is that
// network's own part beside a remainder, and each remainder is put into the
// network as one more source:
//
//	e(t)  = d/dt Φ,   Φ = ∫₀ˣ(Bl(ξ) − Bl₀) dξ + (Le(x) − Le₀)·i     (1) in the coils of a motor
//	F(t)  = (Bl(x) − Bl₀)·i + ½·i²·dLe/dx − (K(x) − K₀)·x            (2) on its cone
//	U(t)  = −d/dt (Q(p) − C·p),  Q = V·(1 − (1 + p/P₀)^(−1/γ))       (3) into a chamber
//
// Equations (1) and (2) are the loudspeaker's as given by Klippel (2006, Tutorial:
// Loudspeaker nonlinearities, J. Audio Eng. Soc. 54, 907-939), their remainders the
// gradient of one function of x and i, so that they neither make nor lose energy;
// (3) is the adiabatic law p ∝ V^(−γ) with P₀ = ρc²/γ. A driver that turns its rear
// to the listener runs through its own curves backwards. Where the inductance L2
// beside R2 changes too, its flux Φ₂ = L2(x)·i₂ has a law of its own: eddy.go.
//
// # The two methods
//
// Tone finds the steady state under a sine by harmonic balance (Nakhla & Vlach
// 1976): the network answers each harmonic exactly, with every law that it has;
// the remainders are evaluated in time, on more points than their products need;
// Newton's method brings the two together. March computes the course in time.
package large
