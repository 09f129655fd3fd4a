package duct

import "math"

// Material is a fibre that fill is made of.
type Material uint8

// The materials whose resistivity is published as a function of how densely they
// are packed.
const (
	Glass     Material = iota // glass or mineral wool
	Polyester                 // fibres of 18 to 48 µm
)

// A packing is a law σ = factor·density^power·diameter^−2, with the diameter where
// the source has one.
type packing struct {
	source        string
	factor, power float64
	from, to      float64 // densities, kg/m³, of the samples
	thickness     bool    // the fibre’s diameter counts
}

// Both laws are from memory: the glass wools of Bies & Hansen’s measurements, and
// polyester felts, whose samples’ fibres were alike.
func (m Material) packing() packing {
	if m == Polyester {
		return packing{"Garai & Pompoli, Applied Acoustics 66 (2005), 1383", 25.989, 1.404, 12, 60, false}
	}
	return packing{"Bies & Hansen, Applied Acoustics 13 (1980), 357", 3.18e-9, 1.53, 10, 100, true}
}

// Source names the publication of the law.
func (m Material) Source() string { return m.packing().source }

// Samples is the range of packing densities, kg/m³, that the law was made from.
func (m Material) Samples() (from, to float64) { p := m.packing(); return p.from, p.to }

// Resistivity is the flow resistivity, Pa·s/m², of a material packed to a density,
// kg/m³, of all its fibres over all the volume; diameter is that of the fibres, m,
// for glass wool.
func (m Material) Resistivity(density, diameter float64) (float64, error) {
	p := m.packing()
	switch {
	case !(density > 0) || math.IsInf(density, 0):
		return 0, fault("density", "give a packing density above 0, such as 10 kg/m³", "the fill weighs nothing")
	case p.thickness && !(diameter >= 0.5e-6 && diameter <= 100e-6):
		return 0, fault("diameter", "give the fibre’s diameter, from 0.5 µm to 100 µm", "the resistivity of glass wool needs the thickness of its fibres")
	}
	sigma := p.factor * math.Pow(density, p.power)
	if p.thickness {
		sigma /= diameter * diameter
	}
	return sigma, nil
}
