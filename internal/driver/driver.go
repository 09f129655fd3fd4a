// Package driver holds one woofer (from datasheet to parameters) and groups of
// them (mounting, wiring, polarity), with the account of how a group's figures
// come about. It knows nothing of boxes, networks or frequency response.
package driver

import (
	"basswright/internal/curve"
	"basswright/internal/heat"
	"basswright/internal/phys"
)

// Symbol names a datasheet parameter as the study file writes it.
type Symbol string

// The parameters of Thiele and Small (IEC 60268-5 symbols, lower case).
const (
	Fs                Symbol = "fs"
	Qms               Symbol = "qms"
	Qes               Symbol = "qes"
	Qts               Symbol = "qts"
	Vas               Symbol = "vas"
	Re                Symbol = "re"
	Bl                Symbol = "bl"
	Mms               Symbol = "mms"
	Cms               Symbol = "cms"
	Rms               Symbol = "rms"
	Sd                Symbol = "sd"
	EffectiveDiameter Symbol = "effective_diameter"
	Sensitivity1W     Symbol = "sensitivity_1w"   // dB at 1 W into Re, 1 m, half space
	Sensitivity283V   Symbol = "sensitivity_2v83" // dB at 2.83 V, 1 m, half space
)

// A Sheet is a datasheet as printed: any sufficient set of parameters.
type Sheet struct {
	Name   string
	Values map[Symbol]phys.Quantity // SI, with the step of the last printed digit
	Trust  []Symbol                 // parameters that lead before the usual order
	Air    phys.Air                 // the air that vas was measured in; standard unless stated
	Coils  Coils
	Coil   VoiceCoil // inductance as quoted (see Coils.Quoted)
	Creep  Creep
	Data   Data
	Units  phys.System // how the account of the completion words its numbers
}

// Coils describes the voice coils of one driver and what the sheet's re, le,
// bl and qes refer to.
type Coils struct {
	Count  int     // 1 or more
	Quoted Quoted  // what the sheet's electrical figures refer to
	Driven int     // how many coils are driven; 0 means all
	Other  Other   // what the undriven coils are closed with
	Load   float64 // Ω, for OtherLoaded
}

// Quoted says how the coils were connected when the sheet was measured.
type Quoted uint8

// The ways in which a sheet quotes several coils.
const (
	QuotedEach Quoted = iota
	QuotedSeries
	QuotedParallel
)

// Other says what the undriven coils of a driver are closed with.
type Other uint8

// The ways in which undriven coils are left.
const (
	OtherOpen Other = iota
	OtherShorted
	OtherLoaded
)

// CoilModel names a model of the voice coil's blocked impedance beside Re.
type CoilModel uint8

// The voice-coil models.
const (
	CoilPlain    CoilModel = iota // jωLe
	CoilLR2                       // jωLe + (jωL2 ∥ R2)
	CoilPowerLaw                  // K (jω)^N
)

// VoiceCoil is the blocked impedance of one coil, without Re.
type VoiceCoil struct {
	Model  CoilModel
	Le     float64 // H
	L2, R2 float64 // H, Ω
	K, N   float64 // Ω at ω = 1 rad/s, exponent (0, 1]
}

// Creep is the suspension's logarithmic creep (Knudsen & Jensen 1993).
type Creep struct {
	Lambda float64 // 0: none
	Real   bool    // the magnitude law alone, Rms untouched
}

// Data is what a sheet says beside its small-signal parameters. Zero means
// not given, in SI units.
type Data struct {
	RatedImpedance, RatedPower    float64 // Ω, W
	Xmax, Xmech                   float64 // m, one way
	MountingDepth, Cutout, Flange float64 // m: depth behind the flange, hole, flange (overall) diameter
	FlangeThickness               float64 // m
	MagnetDiameter, CoilDiameter  float64 // m
	WindingHeight, GapHeight      float64 // m
	Displacement                  float64 // m³ that the body takes from a box
	Weight                        float64 // kg
	Price                         float64
	Currency                      string
	Thermal                       heat.Circuit // zero: not given
	Wire                          heat.Wire    // of the voice coil
}

// A Driver is a woofer whose parameters are complete and positive. The
// electrical values are of ONE coil; a driver with several coils has Coils.Count
// of them on one former, fully coupled.
type Driver struct {
	Name  string
	Re    float64   // Ω, one coil
	Bl    float64   // T m, one coil
	Coil  VoiceCoil // one coil
	Mms   float64   // kg, with the free-air load of both faces
	Cms   float64   // m/N
	Rms   float64   // kg/s
	Sd    float64   // m²
	Creep Creep
	Coils Coils
	Data  Data

	// Curves is how the parameters change with displacement; nil where a study
	// does not say.
	Curves *Curves
}

// Curves is how a driver's parameters change with the displacement of its
// cone, in m, positive towards its front. What counts is the shape: the value
// at rest is the driver's own. A nil curve is a constant.
type Curves struct {
	Bl  *curve.Curve // force factor
	Kms *curve.Curve // stiffness of the suspension, force over displacement
	Le  *curve.Curve // the inductance Le of one coil
	L2  *curve.Curve // the inductance L2 of one coil of the model lr2
}
