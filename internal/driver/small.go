package driver

import (
	"math"

	"basswright/internal/phys"
)

// motor is a driver, or a group that acts as one, as seen at its terminals:
// the six numbers that Small's parameters follow from. rms counts every
// damping that is not the source's.
type motor struct{ re, bl, mms, cms, rms, sd float64 }

// log gives the logarithm of a quantity by the same rows that sheets are
// completed with, so that there is one set of relations.
func (m motor) log(q quant, air phys.Air) float64 {
	x := [unknowns]float64{m.re, m.bl, m.mms, m.cms, m.rms, m.sd}
	r := rowsOf(constantsOf(air))[q]
	for i, a := range r.a {
		if a != 0 {
			r.k += a * math.Log(x[i])
		}
	}
	return r.k
}

func (m motor) of(q quant, air phys.Air) float64 { return valueOf(q, m.log(q, air), air) }

func (m motor) fs() float64  { return m.of(qFs, phys.Air{C: 1, Rho: 1}) }
func (m motor) qms() float64 { return m.of(qQms, phys.Air{C: 1, Rho: 1}) }
func (m motor) qes() float64 { return m.of(qQes, phys.Air{C: 1, Rho: 1}) }

func (m motor) qts() float64 {
	a, b := m.qms(), m.qes()
	return a * b / (a + b)
}

func (m motor) efficiency(air phys.Air) float64 { return math.Exp(m.log(qEta, air)) }

// Driven is the number of coils that are driven, Undriven that of the others.
func (d *Driver) Driven() int { return d.Coils.driven() }

// Undriven is the number of coils that are not driven.
func (d *Driver) Undriven() int { return max(d.Coils.Count, 1) - d.Driven() }

// ClosedCoilDamping is the mechanical resistance in kg/s that the undriven
// coils add at low frequency, where their inductance does not count:
// Bl²/(Re + load) each; 0 where they are open.
func (d *Driver) ClosedCoilDamping() float64 {
	if d.Coils.Other == OtherOpen {
		return 0
	}
	r := d.Re
	if d.Coils.Other == OtherLoaded {
		r += d.Coils.Load
	}
	return float64(d.Undriven()) * d.Bl * d.Bl / r
}

// motor is the driver with its driven coils in parallel.
func (d *Driver) motor() motor {
	return motor{
		re: d.Re / float64(d.Driven()), bl: d.Bl, mms: d.Mms, cms: d.Cms,
		rms: d.Rms + d.ClosedCoilDamping(), sd: d.Sd,
	}
}

// Fs is the resonance in free air, Hz: 1/(2π √(Mms Cms)), Small 1972.
func (d *Driver) Fs() float64 { return d.motor().fs() }

// Qms is the mechanical Q at fs, 2π fs Mms/Rms, with the damping of undriven
// coils that are closed counted as mechanical. Small 1972.
func (d *Driver) Qms() float64 { return d.motor().qms() }

// Qes is the electrical Q at fs of all driven coils, 2π fs Mms Re/Bl²; it is
// the same for any wiring of them. Small 1972.
func (d *Driver) Qes() float64 { return d.motor().qes() }

// Qts is Qms·Qes/(Qms + Qes). Small 1972.
func (d *Driver) Qts() float64 { return d.motor().qts() }

// Vas is the volume of air, m³, that is as compliant as the suspension:
// ρc² Sd² Cms. Small 1972.
func (d *Driver) Vas(air phys.Air) float64 { return d.motor().of(qVas, air) }

// Efficiency is the reference efficiency η0 in a half space, 4π² fs³ Vas/(c³
// Qes), as a fraction. Small 1972.
func (d *Driver) Efficiency(air phys.Air) float64 { return d.motor().efficiency(air) }

// Sensitivity1W is the level in dB re 20 µPa at 1 m in a half space, 1 W into
// Re, far above the resonance. Small 1972.
func (d *Driver) Sensitivity1W(air phys.Air) float64 { return d.motor().of(qEta, air) }

// Sensitivity283V is the same at 2.83 V with the driven coils in parallel.
func (d *Driver) Sensitivity283V(air phys.Air) float64 { return d.motor().of(qPower, air) }

// EBP is the efficiency bandwidth product fs/Qes in Hz: common practice, no
// source.
func (d *Driver) EBP() float64 { return d.Fs() / d.Qes() }

// VolumeDisplacement is Sd·xmax in m³, one way; 0 where xmax is not known.
func (d *Driver) VolumeDisplacement() float64 { return d.Sd * d.Data.Xmax }

// Strength is Bl²/Re of all driven coils in N²/W; it is the same for any
// wiring of them.
func (d *Driver) Strength() float64 {
	m := d.motor()
	return m.bl * m.bl / m.re
}

// ratedImpedance is the rated impedance of one coil in Ω, 0 where not given:
// the sheet's is taken to refer to what its re refers to.
func (d *Driver) ratedImpedance() float64 { return d.Data.RatedImpedance / d.Coils.quoting().re }
