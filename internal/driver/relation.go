package driver

import (
	"math"
	"sync"

	"basswright/internal/phys"
)

// The parameters of a driver hang together by relations that are products of
// powers, all but Qts = Qms·Qes/(Qms + Qes). Each relation is written down
// once, as exponents; from them come the equations that are solved, the
// formulas that are shown and the checks for contradictions, so that the three
// cannot part.

// A quant is a quantity that occurs in a relation: the six unknowns first,
// then what follows from them, then constants.
type quant int

const (
	qRe quant = iota
	qBl
	qMms
	qCms
	qRms
	qSd
	unknowns // the number of unknowns

	qFs quant = iota - 1
	qQms
	qQes
	qVas
	qDiameter
	qEta   // reference efficiency, from a sensitivity at 1 W
	qPower // acoustic power at 2.83 V
	qQts   // in no product
	symbols

	qTwoPi quant = iota - 2
	qQuarterPi
	qRho
	qC
	qVolt // 2.83 V
	quants
)

// referencePressure is the 20 µPa that levels count from.
const referencePressure = 20e-6

// referenceVoltage is the voltage of the second sensitivity, V rms.
const referenceVoltage = 2.83

// quantInfo is how a quantity is named and shown.
type quantInfo struct {
	key  Symbol // in the study file
	text string // in a formula
	name string
	kind phys.Kind
	span Range
}

func infoOf(q quant) quantInfo {
	return [quants]quantInfo{
		qRe:        {Re, "Re", "Coil resistance", phys.Resistance, Range{0.01, 1000}},
		qBl:        {Bl, "Bl", "Force factor", phys.ForceFactor, Range{0.01, 500}},
		qMms:       {Mms, "Mms", "Moving mass", phys.Mass, Range{1e-5, 20}},
		qCms:       {Cms, "Cms", "Compliance", phys.Compliance, Range{1e-7, 1}},
		qRms:       {Rms, "Rms", "Resistance", phys.MechanicalResistance, Range{1e-4, 1000}},
		qSd:        {Sd, "Sd", "Cone area", phys.Area, Range{1e-5, 3}},
		qFs:        {Fs, "fs", "Resonance", phys.Frequency, Range{1, 2000}},
		qQms:       {Qms, "Qms", "Mechanical Q", phys.Number, Range{0, 1000}},
		qQes:       {Qes, "Qes", "Electrical Q", phys.Number, Range{0, 1000}},
		qVas:       {Vas, "Vas", "Volume", phys.Volume, Range{1e-5, 50}},
		qDiameter:  {EffectiveDiameter, "d", "Effective diameter", phys.Length, Range{0.003, 2}},
		qEta:       {Sensitivity1W, "η0", "Sensitivity at 1 W", phys.Level, Range{30, 150}},
		qPower:     {Sensitivity283V, "P", "Sensitivity at 2.83 V", phys.Level, Range{30, 150}},
		qQts:       {Qts, "Qts", "Total Q", phys.Number, Range{0, 1000}},
		qTwoPi:     {text: "2π"},
		qQuarterPi: {text: "(π/4)"},
		qRho:       {text: "ρ", kind: phys.Density},
		qC:         {text: "c", kind: phys.Speed},
		qVolt:      {text: "E", kind: phys.Voltage},
	}[q]
}

func quantOf(s Symbol) (quant, bool) {
	for q := quant(0); q < symbols; q++ {
		if infoOf(q).key == s {
			return q, true
		}
	}
	return 0, false
}

// power is one factor of a product.
type power struct {
	q quant
	e float64
}

// A relation is a product of powers that equals one. The first factor is what
// it is commonly solved for.
type relation struct {
	factors []power
	source  string
}

const (
	small1972 = "Small 1972, direct-radiator system analysis; IEC 60268-5"
	geometry  = "geometry of a circle"
)

// canonical relations define what is not itself an unknown in terms of the
// unknowns and constants alone, one each.
var canonical = sync.OnceValue(func() []relation {
	return []relation{
		{[]power{{qFs, -2}, {qTwoPi, -2}, {qMms, -1}, {qCms, -1}}, small1972},
		{[]power{{qQms, -2}, {qMms, 1}, {qCms, -1}, {qRms, -2}}, small1972},
		{[]power{{qQes, -2}, {qMms, 1}, {qCms, -1}, {qRe, 2}, {qBl, -4}}, small1972},
		{[]power{{qVas, -1}, {qRho, 1}, {qC, 2}, {qSd, 2}, {qCms, 1}}, small1972},
		{[]power{{qDiameter, -2}, {qSd, 1}, {qQuarterPi, -1}}, geometry},
		{[]power{{qEta, -1}, {qRho, 1}, {qBl, 2}, {qSd, 2}, {qTwoPi, -1}, {qC, -1}, {qRe, -1}, {qMms, -2}}, small1972},
		{[]power{{qPower, -1}, {qVolt, 2}, {qRho, 1}, {qBl, 2}, {qSd, 2}, {qTwoPi, -1}, {qC, -1}, {qRe, -2}, {qMms, -2}}, small1972},
	}
})

// explaining relations are what a person would use, simplest first. Each
// follows from the canonical ones.
var explaining = sync.OnceValue(func() []relation {
	c := canonical()
	fs, vas, diameter := c[0], c[3], c[4]
	return []relation{
		diameter, fs, vas,
		{[]power{{qQms, -1}, {qTwoPi, 1}, {qFs, 1}, {qMms, 1}, {qRms, -1}}, small1972},
		{[]power{{qQes, -1}, {qTwoPi, 1}, {qFs, 1}, {qMms, 1}, {qRe, 1}, {qBl, -2}}, small1972},
		{[]power{{qQms, 1}, {qTwoPi, 1}, {qFs, 1}, {qCms, 1}, {qRms, 1}}, small1972},
		{[]power{{qQes, 1}, {qTwoPi, 1}, {qFs, 1}, {qCms, 1}, {qBl, 2}, {qRe, -1}}, small1972},
		{[]power{{qQms, -1}, {qQes, 1}, {qBl, 2}, {qRe, -1}, {qRms, -1}}, small1972},
		c[1], c[2],
		{[]power{{qEta, -1}, {qTwoPi, 2}, {qFs, 3}, {qVas, 1}, {qC, -3}, {qQes, -1}}, small1972},
		c[5],
		{[]power{{qPower, -1}, {qVolt, 2}, {qEta, 1}, {qRe, -1}}, small1972},
		c[6],
	}
})

// constants are the logarithms of the factors that no sheet prints.
type constants [quants]float64

func constantsOf(air phys.Air) constants {
	var k constants
	k[qTwoPi] = math.Log(2 * math.Pi)
	k[qQuarterPi] = math.Log(math.Pi / 4)
	k[qRho] = math.Log(air.Rho)
	k[qC] = math.Log(air.C)
	k[qVolt] = math.Log(referenceVoltage)
	return k
}

// A row is a quantity as a linear form of the logarithms of the unknowns:
// ln q = a·x + k.
type row struct {
	a [unknowns]float64
	k float64
}

// rowsOf gives the rows of every symbol but Qts.
func rowsOf(k constants) [symbols]row {
	var rows [symbols]row
	for q := quant(0); q < unknowns; q++ {
		rows[q].a[q] = 1
	}
	for _, r := range canonical() {
		head := r.factors[0]
		for _, f := range r.factors[1:] {
			e := -f.e / head.e
			if f.q < unknowns {
				rows[head.q].a[f.q] += e
			} else {
				rows[head.q].k += e * k[f.q]
			}
		}
	}
	return rows
}

// logOf takes a printed value to the logarithm that the rows speak of: of the
// efficiency for a level at 1 W, of the acoustic power for one at 2.83 V.
func logOf(q quant, v float64, air phys.Air) float64 {
	if q == qEta || q == qPower {
		return (v - levelOfOneWatt(air)) * math.Ln10 / 10
	}
	if v <= 0 {
		return math.Inf(-1)
	}
	return math.Log(v)
}

// valueOf is the inverse of logOf.
func valueOf(q quant, l float64, air phys.Air) float64 {
	if q == qEta || q == qPower {
		return levelOfOneWatt(air) + l*10/math.Ln10
	}
	return math.Exp(l)
}

// levelOfOneWatt is the level in dB that one acoustic watt makes at 1 m in a
// half space: 10·log10(ρc/(2π p0²)).
func levelOfOneWatt(air phys.Air) float64 {
	return 10 * math.Log10(air.Rho*air.C/(2*math.Pi*referencePressure*referencePressure))
}
