package studyfile

import (
	"basswright/internal/driver"
	"basswright/internal/heat"
	"basswright/internal/phys"
)

// sheetKeys are the parameters from which a driver is made, with the symbol
// that the completion knows each by.
var sheetKeys = []struct {
	key
	symbol driver.Symbol
}{
	{parameter(driver.Fs, phys.Frequency, "resonance in free air", "30.5 Hz"), driver.Fs},
	{parameter(driver.Qms, phys.Number, "mechanical Q", "4.9"), driver.Qms},
	{parameter(driver.Qes, phys.Number, "electrical Q", "0.49"), driver.Qes},
	{parameter(driver.Qts, phys.Number, "total Q", "0.45"), driver.Qts},
	{parameter(driver.Vas, phys.Volume, "the volume of air as compliant as the suspension", "44 L"), driver.Vas},
	{parameter(driver.Re, phys.Resistance, "resistance of the voice coil", "3.3 ohm"), driver.Re},
	{parameter(driver.Bl, phys.ForceFactor, "force factor", "11.6 T m"), driver.Bl},
	{parameter(driver.Mms, phys.Mass, "moving mass with the air load of both faces", "104 g"), driver.Mms},
	{parameter(driver.Cms, phys.Compliance, "compliance of the suspension", "0.26 mm/N"), driver.Cms},
	{parameter(driver.Rms, phys.MechanicalResistance, "mechanical resistance of the suspension", "4.1 kg/s"), driver.Rms},
	{parameter(driver.Sd, phys.Area, "effective area of the cone", "345 cm2"), driver.Sd},
	{parameter(driver.EffectiveDiameter, phys.Length, "effective diameter of the cone, in place of sd", "210 mm"), driver.EffectiveDiameter},
}

// parameter is the key of a symbol, with the range that holds for it wherever
// it comes from.
func parameter(s driver.Symbol, k phys.Kind, doc, example string) key {
	r := driver.RangeOf(s)
	return key{name: string(s), form: &form{what: aQuantity, kind: k, min: r.Min, max: r.Max, above: r.Min == 0}, doc: doc, example: example}
}

// trusted are the words that trust may list.
func trusted() []string {
	var out []string
	for _, k := range sheetKeys {
		out = append(out, k.name)
	}
	return out
}

var length = positive(phys.Length, 3)

var driverObject = newDriverObject()

func newDriverObject() *object {
	o := &object{
		noun: "a driver",
		rules: []rule{
			{atMostOne, []string{"sd", "effective_diameter"}, "keep the one that the sheet measures"},
			{atMostOne, []string{"le", "voice_coil"}, "keep le for a plain coil, or put it inside voice_coil"},
			{atMostOne, []string{"xmax", "xmax_peak_to_peak"}, "keep the one that the sheet prints"},
		},
	}
	for _, k := range sheetKeys {
		o.keys = append(o.keys, k.key)
	}
	o.keys = append(o.keys, []key{
		{name: "sensitivity", form: inside(sensitivityObject), doc: "a last resort for what the sheet leaves out", example: "{level: 89 dB, at: 1 W}"},
		{name: "trust", form: list(choice(trusted()...), 1, len(sheetKeys)), fallback: "fs, qms, qes, vas, sd, re", doc: "parameters that lead where the sheet says more than it needs", example: "[bl, mms]"},
		{name: "air", form: inside(airObject), fallback: "20 °C, 0 %, 101.325 kPa", doc: "the air in which vas was measured", example: "{temperature: 25 C}"},
		{name: "le", form: quantity(phys.Inductance, 0, 1), doc: "inductance of the voice coil, of the plain model", example: "1.1 mH"},
		{name: "voice_coil", form: varies(voiceCoilVariant), doc: "a model of the coil’s impedance beside re", example: "{model: lr2, le: 0.6 mH, l2: 0.9 mH, r2: 4 ohm}"},
		{name: "coils", form: inside(coilsObject), doc: "of a driver with several voice coils", example: "{count: 2, quoted: each}"},
		{name: "suspension", form: inside(suspensionObject), doc: "beyond a plain spring", example: "{creep: 0.1}"},
		{name: "curves", form: inside(curvesObject), doc: "how the driver changes with the displacement of its cone, for large signals", example: "{kms: {poly_si: [3800, 0, 2e6]}}"},
		{name: "rated_impedance", form: quantity(phys.Resistance, 0.1, 1000), doc: "as printed", example: "4 ohm"},
		{name: "rated_power", form: positive(phys.Power, 1e5), doc: "what its coils bear in all", example: "350 W"},
		{name: "xmax", form: positive(phys.Length, 0.2), doc: "linear excursion, one way", example: "12 mm"},
		{name: "xmax_peak_to_peak", form: positive(phys.Length, 0.4), doc: "linear excursion on a sheet that prints both ways together", example: "24 mm"},
		{name: "xmech", form: positive(phys.Length, 0.2), doc: "excursion to the mechanical stop, one way", example: "22 mm"},
		{name: "mounting_depth", form: length, doc: "depth behind the flange", example: "132 mm"},
		{name: "cutout", form: length, doc: "diameter of the hole", example: "232 mm"},
		{name: "flange", form: length, doc: "overall diameter of the flange", example: "262 mm"},
		{name: "flange_thickness", form: positive(phys.Length, 0.3), doc: "thickness of the flange", example: "6 mm"},
		{name: "magnet_diameter", form: length, doc: "diameter of the magnet", example: "150 mm"},
		{name: "coil_diameter", form: length, doc: "diameter of the voice coil", example: "50 mm"},
		{name: "winding_height", form: positive(phys.Length, 0.5), doc: "height of the winding", example: "32 mm"},
		{name: "gap_height", form: positive(phys.Length, 0.5), doc: "height of the gap", example: "8 mm"},
		{name: "coil_wire", form: choice("copper", "aluminium"), fallback: "copper", doc: "what the voice coil is wound of; copper-clad wire counts as aluminium", example: "aluminium"},
		{name: "thermal", form: inside(thermalObject), fallback: "from rated_power and coil_diameter", doc: "how its coil warms up, for heat over time", example: "{coil_resistance: 0.6 K/W, coil_capacity: 40 J/K, magnet_resistance: 0.3 K/W, magnet_capacity: 4 kJ/K}"},
		{name: "displacement", form: positive(phys.Volume, 1), fallback: "estimated from cone and magnet", doc: "what its body takes from a box", example: "2.6 L"},
		{name: "mass", form: positive(phys.Weight, 1000), doc: "weight of the driver", example: "5.2 kg"},
		{name: "price", form: quantity(phys.Price, 0, 1e7), doc: "price of one", example: "129 EUR"},
	}...)
	return o
}

var thermalObject = &object{
	noun: "thermal",
	keys: []key{
		{name: "coil_resistance", form: quantity(phys.ThermalResistance, heat.MinResistance, heat.MaxResistance), required: true, doc: "thermal resistance from the coil to the magnet", example: "0.6 K/W"},
		{name: "coil_capacity", form: quantity(phys.HeatCapacity, heat.MinCapacity, heat.MaxCapacity), required: true, doc: "heat capacity of the coil", example: "40 J/K"},
		{name: "magnet_resistance", form: quantity(phys.ThermalResistance, heat.MinResistance, heat.MaxResistance), required: true, doc: "thermal resistance from the magnet to the air around", example: "0.3 K/W"},
		{name: "magnet_capacity", form: quantity(phys.HeatCapacity, heat.MinCapacity, heat.MaxCapacity), required: true, doc: "heat capacity of the magnet and its iron", example: "4 kJ/K"},
	},
}

// mostPoints is how many points a curve may have, mostPowers how many
// coefficients.
const (
	mostPoints = 200
	mostPowers = 20
)

// curveOf is a parameter's curve: points, or a polynomial.
func curveOf(noun string, value *form, example string) *form {
	return inside(&object{
		noun: noun,
		keys: []key{
			{name: "x", form: list(quantity(phys.Length, -0.2, 0.2), 3, mostPoints), doc: "at these displacements of the cone, rising, positive towards its front", example: "[-10 mm, 0 mm, 10 mm]"},
			{name: "value", form: list(value, 3, mostPoints), doc: "its value at each displacement", example: example},
			{name: "poly_si", form: list(quantity(phys.Number, -1e30, 1e30), 1, mostPowers), doc: "or coefficients of the powers of the displacement in metres, from the zeroth up, in SI units", example: "[10.2, 122, -22440]"},
		},
		rules: []rule{
			{together, []string{"x", "value"}, "give both, point by point"},
			{exactlyOne, []string{"x", "poly_si"}, "give points as x and value, or a polynomial as poly_si"},
		},
	})
}

var curvesObject = &object{
	noun: "curves",
	keys: []key{
		{name: "bl", form: curveOf("a curve of bl", positive(phys.ForceFactor, 1000), "[9.1 T m, 10.2 T m, 9.4 T m]"), doc: "force factor", example: "{x: [-10 mm, 0 mm, 10 mm], value: [9.1 T m, 10.2 T m, 9.4 T m]}"},
		{name: "kms", form: curveOf("a curve of kms", positive(phys.Stiffness, 1e7), "[1.9 N/mm, 1.3 N/mm, 1.7 N/mm]"), doc: "stiffness of the suspension: force over displacement", example: "{x: [-10 mm, 0 mm, 10 mm], value: [1.9 N/mm, 1.3 N/mm, 1.7 N/mm]}"},
		{name: "cms", form: curveOf("a curve of cms", positive(phys.Compliance, 1), "[0.5 mm/N, 0.8 mm/N, 0.6 mm/N]"), doc: "compliance of the suspension, in place of kms", example: "{x: [-10 mm, 0 mm, 10 mm], value: [0.5 mm/N, 0.8 mm/N, 0.6 mm/N]}"},
		{name: "le", form: curveOf("a curve of le", positive(phys.Inductance, 1), "[1.2 mH, 0.9 mH, 0.7 mH]"), doc: "inductance of the voice coil", example: "{x: [-10 mm, 0 mm, 10 mm], value: [1.2 mH, 0.9 mH, 0.7 mH]}"},
		{name: "l2", form: curveOf("a curve of l2", positive(phys.Inductance, 1), "[1.1 mH, 0.9 mH, 0.8 mH]"), doc: "the inductance l2 of the model lr2, whose r2 stays", example: "{x: [-10 mm, 0 mm, 10 mm], value: [1.1 mH, 0.9 mH, 0.8 mH]}"},
	},
	rules: []rule{
		{atMostOne, []string{"kms", "cms"}, "keep the one that was measured"},
		{atLeastOne, []string{"bl", "kms", "cms", "le", "l2"}, "give one, such as kms: {poly_si: [3800, 0, 2e6]}"},
	},
}

var sensitivityObject = &object{
	noun: "sensitivity",
	keys: []key{
		{name: "level", form: quantity(phys.Level, 30, 150), required: true, doc: "sound pressure level at 1 m in a half space", example: "89 dB"},
		{name: "at", form: choice("1 W", "2.83 V"), required: true, doc: "into re, or at the terminals", example: "1 W"},
	},
}

var coilsObject = &object{
	noun: "coils",
	keys: []key{
		{name: "count", form: count(1, 8), fallback: "1", doc: "how many coils sit on the former", example: "2"},
		{name: "quoted", form: choice("each", "series", "parallel"), fallback: "each", doc: "what re, le, bl and qes of the sheet refer to", example: "series"},
		{name: "driven", form: count(1, 8), fallback: "all", doc: "how many coils the amplifier drives", example: "1"},
		{name: "other", form: either(choice("open", "shorted"), quantity(phys.Resistance, 0, 1e5)), fallback: "open", doc: "what the coils that are not driven are closed with", example: "open"},
	},
}

var suspensionObject = &object{
	noun: "suspension",
	keys: []key{
		{name: "creep", form: &form{what: aQuantity, kind: phys.Number, min: 0, max: 0.9}, fallback: "0", doc: "λ of the logarithmic creep of Knudsen and Jensen 1993", example: "0.1"},
		{name: "form", form: choice("causal", "real"), fallback: "causal", doc: "causal: complex compliance, with rms lowered so that qms at fs stays; real: its magnitude alone, for the frequency domain only", example: "causal"},
	},
	rules: []rule{{firstNeeds, []string{"form", "creep"}, "give creep, such as 0.1, or leave form out"}},
}

var inductance = positive(phys.Inductance, 1)

var voiceCoilVariant = &variant{
	tag: "model", doc: "the model of the coil’s impedance",
	cases: []variantCase{
		{"plain", "an inductance", &object{noun: "a plain voice coil", keys: []key{
			{name: "le", form: quantity(phys.Inductance, 0, 1), required: true, doc: "inductance", example: "1.1 mH"},
		}}},
		{"lr2", "the inductance le in series with l2 and r2 side by side", &object{noun: "a voice coil of the model lr2", keys: []key{
			{name: "le", form: quantity(phys.Inductance, 0, 1), required: true, doc: "inductance in series", example: "0.6 mH"},
			{name: "l2", form: inductance, required: true, doc: "inductance beside r2", example: "0.9 mH"},
			{name: "r2", form: positive(phys.Resistance, 1e4), required: true, doc: "resistance beside l2", example: "4 ohm"},
		}}},
		{"power_law", "the law Z = K·(jω)ⁿ, of a coil between an inductance and eddy currents", &object{noun: "a voice coil of the model power_law", keys: []key{
			{name: "k", form: positive(phys.Resistance, 1000), required: true, doc: "|Z| at ω = 1 rad/s", example: "0.05 ohm"},
			{name: "n", form: positive(phys.Number, 1), required: true, doc: "the exponent: 1 is an inductance, 0.5 eddy currents alone", example: "0.7"},
		}}},
	},
}
