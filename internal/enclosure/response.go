package enclosure

import (
	"math"
	"math/cmplx"

	"basswright/internal/network"
	"basswright/internal/phys"
)

// The functions below read one quantity from a solver that has solved the
// system's program. All are per volt at the source, rms unless said otherwise,
// and none allocates.

// rounding is the share of its parts below which a sum of them is what the
// arithmetic leaves of parts that cancel: far above its errors, and far below
// what a box leaves of its cones' flow anywhere from 1 Hz to 20 kHz.
const rounding = 1e-10

// VolumeVelocity is all that moves air outside, m³/s: exactly 0 where its parts
// cancel. What stands on a baffle counts with its way to the listener.
func (s *System) VolumeVelocity(sol *network.Solver) complex128 {
	var u complex128
	var parts float64
	for i := range s.radiating {
		q := s.radiating[i].Share(sol.Omega(), s.Setting.Air.C) * sol.Flow(s.radiating[i].Element)
		u += q
		parts += math.Abs(real(q)) + math.Abs(imag(q))
	}
	if math.Abs(real(u))+math.Abs(imag(u)) < rounding*parts || s.still(sol) {
		return 0
	}
	return u
}

// still says that the motors of each rigid stack push against each other with
// equal force, so that nothing moves and every speed is rounding.
func (s *System) still(sol *network.Solver) bool {
	if len(s.pushes) == 0 {
		return false
	}
	for i := 0; i < len(s.pushes); {
		var sum complex128
		var parts float64
		for node := s.pushes[i].node; i < len(s.pushes) && s.pushes[i].node == node; i++ {
			f := complex(s.pushes[i].factor, 0) * sol.Flow(s.pushes[i].element)
			sum += f
			parts += math.Abs(real(f)) + math.Abs(imag(f))
		}
		if math.Abs(real(sum))+math.Abs(imag(sum)) >= rounding*parts {
			return false
		}
	}
	return true
}

// Pressure is the far-field sound pressure at the listening distance without
// the flight, Pa: p = jωρ/(Ω r)·ΣU.
func (s *System) Pressure(sol *network.Solver) complex128 {
	return complex(0, s.Setting.PressurePerFlow(sol.Omega())) * s.VolumeVelocity(sol)
}

// PressurePerFlow is |p/U| at the listening distance, Pa s/m³, of a small
// source of volume velocity U that radiates into the space: ωρ/(Ω r).
func (s Setting) PressurePerFlow(omega float64) float64 {
	return omega * s.Air.Rho / (s.Space * s.Distance)
}

// Flight is the time that sound takes over the listening distance, s.
func (s *System) Flight() float64 { return s.Setting.Distance / s.Setting.Air.C }

// ChannelCurrent is the current that a channel gives, A.
func (s *System) ChannelCurrent(sol *network.Solver, k int) complex128 {
	var i complex128
	for _, id := range s.Channels[k].feeds {
		i += sol.Flow(id)
	}
	return i
}

// ChannelImpedance is what a channel drives, behind its source's resistance, Ω.
func (s *System) ChannelImpedance(sol *network.Solver, k int) complex128 {
	return sol.Potential(s.Channels[k].Terminal) / s.ChannelCurrent(sol, k)
}

// LargestCurrent is the largest of the channels' currents, A: all channels have
// the same limits, so that it is this one which reaches them first.
func (s *System) LargestCurrent(sol *network.Solver) float64 {
	most := 0.0
	for k := range s.Channels {
		most = max(most, phys.Abs(s.ChannelCurrent(sol, k)))
	}
	return most
}

// Current is the current of all channels together, A.
func (s *System) Current(sol *network.Solver) complex128 {
	var i complex128
	for k := range s.Channels {
		i += s.ChannelCurrent(sol, k)
	}
	return i
}

// HardestChannel is the channel with the lowest |Z|, the first of equal ones.
func (s *System) HardestChannel(sol *network.Solver) int {
	if len(s.Channels) == 1 {
		return 0
	}
	hardest, least := 0, math.Inf(1)
	for k := range s.Channels {
		if z := phys.Abs(s.ChannelImpedance(sol, k)); z < least*(1-rounding) {
			hardest, least = k, z
		}
	}
	return hardest
}

// Impedance is the load of the amplifier, Ω: that of the hardest channel.
func (s *System) Impedance(sol *network.Solver) complex128 {
	return s.ChannelImpedance(sol, s.HardestChannel(sol))
}

// Drawn is the power that all channels give behind their source's resistance, W.
func (s *System) Drawn(sol *network.Solver) float64 {
	var w float64
	for k := range s.Channels {
		w += s.ChannelDrawn(sol, k)
	}
	return w
}

// ChannelDrawn is what one of them gives, W.
func (s *System) ChannelDrawn(sol *network.Solver, k int) float64 {
	return real(sol.Potential(s.Channels[k].Terminal) * cmplx.Conj(s.ChannelCurrent(sol, k)))
}

// Excursion is a cone's, m peak.
func (s *System) Excursion(sol *network.Solver, c *Cone) float64 {
	if s.still(sol) {
		return 0
	}
	return math.Sqrt2 * math.Abs(c.Ratio) * phys.Abs(sol.Potential(c.Node)) / sol.Omega()
}

// OpeningFlow is the volume velocity through an opening, m³/s.
func (s *System) OpeningFlow(sol *network.Solver, o *Opening) float64 {
	return phys.Abs(sol.Flow(o.Element))
}

// ChamberPressure is the sound pressure in a chamber, Pa.
func (s *System) ChamberPressure(sol *network.Solver, p *Place) float64 {
	return phys.Abs(sol.Potential(p.Node))
}

// CoilPower is what a coil's resistance turns into heat, W per V².
func (s *System) CoilPower(sol *network.Solver, c *Coil) float64 {
	i := phys.Abs(sol.Flow(c.Element)) * c.Share
	return i * i * c.Re
}
