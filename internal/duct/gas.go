package duct

import "basswright/internal/phys"

// Gas is what a duct holds.
type Gas struct {
	Rho       float64 // density, kg/m³
	C         float64 // speed of sound, m/s, adiabatic
	Viscosity float64 // dynamic, Pa·s
	Prandtl   float64
	Gamma     float64 // ratio of the specific heats
}

// GasOf is the air of a study.
func GasOf(a phys.Air) Gas {
	return Gas{Rho: a.Rho, C: a.C, Viscosity: a.Viscosity(), Prandtl: phys.Prandtl, Gamma: phys.Gamma}
}

// modulus is the adiabatic bulk modulus γ·P0, Pa.
func (g Gas) modulus() float64 { return g.Rho * g.C * g.C }
