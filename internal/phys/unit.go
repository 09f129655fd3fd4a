package phys

import "slices"

// A unit is one spelling by which a quantity may be written. A middle dot in
// the name stands between factors: people write a dot, a star, a space or
// nothing there. SI value = written × factor + offset.
type unit struct {
	name           string
	factor, offset float64
}

// Exact by definition: the international yard and pound agreement of 1959
// (1 yd = 0.9144 m, 1 lb = 0.45359237 kg) and the standard gravity of the
// 3rd CGPM (1901); the factors that follow from them are in NIST SP 811,
// appendix B. Products are constant expressions, so they are rounded once.
const (
	inch       = 0.0254
	foot       = 12 * inch
	mile       = 5280 * foot
	pound      = 0.45359237
	ounce      = pound / 16
	grain      = pound / 7000
	gravity    = 9.80665
	poundForce = pound * gravity // N
	dyne       = 1e-5
	mmMercury  = 13.5951 * gravity // conventional millimetre of mercury, Pa
	degree     = 180 / 3.14159265358979323846264338327950288
)

// kindInfo is what is known of a kind.
type kindInfo struct {
	name    string
	example string
	fitting []string // named in errors, the usual one first
	units   []unit
}

// Units that two kinds share.
var (
	lengths = []unit{
		{name: "mm", factor: 1e-3}, {name: "cm", factor: 1e-2}, {name: "dm", factor: 0.1}, {name: "m", factor: 1},
		{name: "µm", factor: 1e-6},
		{name: "in", factor: inch}, {name: `"`, factor: inch}, {name: "\u2033", factor: inch}, {name: "\u201d", factor: inch},
		{name: "inch", factor: inch}, {name: "inches", factor: inch},
		{name: "ft", factor: foot}, {name: "foot", factor: foot}, {name: "feet", factor: foot},
		{name: "'", factor: foot}, {name: "\u2032", factor: foot}, {name: "\u2019", factor: foot},
		{name: "yd", factor: 3 * foot}, {name: "thou", factor: inch / 1000},
		{name: "millimetres", factor: 1e-3}, {name: "millimeters", factor: 1e-3}, {name: "centimetres", factor: 1e-2}, {name: "centimeters", factor: 1e-2},
	}
	masses = []unit{
		{name: "g", factor: 1e-3}, {name: "kg", factor: 1}, {name: "mg", factor: 1e-6}, {name: "t", factor: 1e3},
		{name: "oz", factor: ounce}, {name: "lb", factor: pound}, {name: "lbs", factor: pound},
		{name: "grain", factor: grain}, {name: "grains", factor: grain},
		{name: "gram", factor: 1e-3}, {name: "grams", factor: 1e-3}, {name: "kilograms", factor: 1}, {name: "kgs", factor: 1},
		{name: "ounces", factor: ounce}, {name: "pounds", factor: pound},
	}
)

// kindTable holds, for every kind, its name and every unit it may be written
// in. Spellings with µ are found for "u" too, and "2" stands for "²" (see
// canonical). The first units of a list win when a text can be mended in more
// ways than one.
var kindTable = [...]kindInfo{
	Number: {name: "pure number", example: "0.49"},
	Frequency: {"frequency", "30.5 Hz", []string{"Hz", "kHz"}, []unit{
		{name: "Hz", factor: 1}, {name: "kHz", factor: 1e3}, {name: "MHz", factor: 1e6}, {name: "mHz", factor: 1e-3}, {name: "1/s", factor: 1},
		{name: "hertz", factor: 1},
	}},
	Length: {"length", "345 mm", []string{"mm", "cm", "m", "in"}, lengths},
	Area: {"area", "345 cm2", []string{"cm2", "m2", "in2"}, []unit{
		{name: "cm2", factor: 1e-4}, {name: "mm2", factor: 1e-6}, {name: "dm2", factor: 1e-2}, {name: "m2", factor: 1},
		{name: "sq·cm", factor: 1e-4}, {name: "sq·m", factor: 1},
		{name: "in2", factor: inch * inch}, {name: "sq·in", factor: inch * inch},
		{name: "ft2", factor: foot * foot}, {name: "sq·ft", factor: foot * foot},
	}},
	Volume: {"volume", "28 L", []string{"L", "dm3", "ft3"}, []unit{
		{name: "L", factor: 1e-3}, {name: "l", factor: 1e-3}, {name: "litre", factor: 1e-3}, {name: "litres", factor: 1e-3},
		{name: "liter", factor: 1e-3}, {name: "liters", factor: 1e-3}, {name: "dm3", factor: 1e-3}, {name: "ltr", factor: 1e-3},
		{name: "mL", factor: 1e-6}, {name: "ml", factor: 1e-6}, {name: "cL", factor: 1e-5}, {name: "cl", factor: 1e-5},
		{name: "cm3", factor: 1e-6}, {name: "cc", factor: 1e-6},
		{name: "mm3", factor: 1e-9}, {name: "m3", factor: 1},
		{name: "ft3", factor: foot * foot * foot}, {name: "cu·ft", factor: foot * foot * foot},
		{name: "in3", factor: inch * inch * inch}, {name: "cu·in", factor: inch * inch * inch},
	}},
	Mass: {"mass", "104 g", []string{"g", "kg", "oz"}, masses},
	Time: {"time", "25 ms", []string{"ms", "s"}, []unit{
		{name: "ms", factor: 1e-3}, {name: "s", factor: 1}, {name: "µs", factor: 1e-6},
		{name: "min", factor: 60}, {name: "h", factor: 3600},
	}},
	Speed: {"speed", "17 m/s", []string{"m/s", "ft/s"}, []unit{
		{name: "m/s", factor: 1}, {name: "cm/s", factor: 1e-2}, {name: "mm/s", factor: 1e-3}, {name: "km/h", factor: 1 / 3.6},
		{name: "ft/s", factor: foot}, {name: "in/s", factor: inch}, {name: "mph", factor: mile / 3600},
	}},
	VolumeVelocity: {"volume velocity", "12 L/s", []string{"L/s", "m3/s"}, []unit{
		{name: "L/s", factor: 1e-3}, {name: "l/s", factor: 1e-3}, {name: "dm3/s", factor: 1e-3},
		{name: "m3/s", factor: 1}, {name: "cm3/s", factor: 1e-6},
		{name: "ft3/s", factor: foot * foot * foot}, {name: "ft3/min", factor: foot * foot * foot / 60},
		{name: "in3/s", factor: inch * inch * inch},
	}},
	Resistance: {"electrical resistance", "3.3 ohm", []string{"ohm", "mohm"}, []unit{
		{name: "ohm", factor: 1}, {name: "ohms", factor: 1}, {name: "Ohm", factor: 1}, {name: "Ohms", factor: 1},
		{name: "\u03a9", factor: 1}, {name: "R", factor: 1}, {name: "V/A", factor: 1},
		{name: "mohm", factor: 1e-3}, {name: "m\u03a9", factor: 1e-3}, {name: "kohm", factor: 1e3}, {name: "k\u03a9", factor: 1e3},
	}},
	Inductance: {"inductance", "1.1 mH", []string{"mH", "uH"}, []unit{
		{name: "mH", factor: 1e-3}, {name: "µH", factor: 1e-6}, {name: "H", factor: 1}, {name: "nH", factor: 1e-9},
		{name: "millihenry", factor: 1e-3}, {name: "henry", factor: 1},
	}},
	ForceFactor: {"force factor", "11.6 T m", []string{"T m", "N/A"}, []unit{
		{name: "T·m", factor: 1}, {name: "N/A", factor: 1}, {name: "Wb/m", factor: 1}, {name: "V·s/m", factor: 1}, {name: "mT·m", factor: 1e-3},
	}},
	MotorStrength: {"motor strength", "41 N2/W", []string{"N2/W", "T2 m2/ohm"}, []unit{
		{name: "N2/W", factor: 1}, {name: "T2·m2/ohm", factor: 1}, {name: "T2·m2/\u03a9", factor: 1},
	}},
	Compliance: {"compliance", "0.26 mm/N", []string{"mm/N", "um/N"}, []unit{
		{name: "mm/N", factor: 1e-3}, {name: "µm/N", factor: 1e-6}, {name: "m/N", factor: 1}, {name: "cm/N", factor: 1e-2},
		{name: "cm/dyn", factor: 1e-2 / dyne}, {name: "cm/dyne", factor: 1e-2 / dyne},
		{name: "in/lbf", factor: inch / poundForce},
	}},
	Stiffness: {"stiffness", "3.8 N/mm", []string{"N/mm", "N/m"}, []unit{
		{name: "N/mm", factor: 1e3}, {name: "N/m", factor: 1}, {name: "kN/m", factor: 1e3}, {name: "N/cm", factor: 1e2},
		{name: "dyn/cm", factor: dyne / 1e-2}, {name: "dyne/cm", factor: dyne / 1e-2},
		{name: "lbf/in", factor: poundForce / inch},
	}},
	// "Mechanical ohm" without more is taken as the SI one, 1 N s/m: sheets
	// that print it for Rms print figures of a few units, which are kg/s
	// (common practice, no source). The CGS one of older American standards,
	// 1 dyn s/cm, is a thousandth of that and has to be named.
	MechanicalResistance: {"mechanical resistance", "4.1 kg/s", []string{"kg/s", "N s/m"}, []unit{
		{name: "kg/s", factor: 1}, {name: "N·s/m", factor: 1}, {name: "g/s", factor: 1e-3}, {name: "kg/sec", factor: 1},
		{name: "mechanical·ohm", factor: 1}, {name: "mechanical·ohms", factor: 1}, {name: "mechanical·\u03a9", factor: 1},
		{name: "mech·ohm", factor: 1}, {name: "mech·ohms", factor: 1}, {name: "mech·\u03a9", factor: 1},
		{name: "mks·mechanical·ohm", factor: 1}, {name: "cgs·mechanical·ohm", factor: dyne / 1e-2},
		{name: "dyn·s/cm", factor: dyne / 1e-2}, {name: "dyne·s/cm", factor: dyne / 1e-2},
	}},
	Voltage: {"voltage", "2.83 V", []string{"V", "mV"}, []unit{
		{name: "V", factor: 1}, {name: "mV", factor: 1e-3}, {name: "kV", factor: 1e3}, {name: "Vrms", factor: 1},
	}},
	Current: {"current", "5 A", []string{"A", "mA"}, []unit{
		{name: "A", factor: 1}, {name: "mA", factor: 1e-3},
	}},
	Power: {"power", "350 W", []string{"W", "kW"}, []unit{
		{name: "W", factor: 1}, {name: "kW", factor: 1e3}, {name: "mW", factor: 1e-3},
		{name: "watt", factor: 1}, {name: "watts", factor: 1}, {name: "Wrms", factor: 1},
	}},
	Pressure: {"pressure", "101.325 kPa", []string{"Pa", "kPa"}, []unit{
		{name: "Pa", factor: 1}, {name: "kPa", factor: 1e3}, {name: "hPa", factor: 1e2}, {name: "mPa", factor: 1e-3}, {name: "µPa", factor: 1e-6},
		{name: "mbar", factor: 1e2}, {name: "bar", factor: 1e5}, {name: "atm", factor: 101325},
		{name: "mmHg", factor: mmMercury}, {name: "inHg", factor: 25.4 * mmMercury},
		{name: "psi", factor: poundForce / (inch * inch)},
	}},
	Level: {"level", "105 dB", []string{"dB"}, []unit{{name: "dB", factor: 1}, {name: "dB·SPL", factor: 1}}},
	Temperature: {"temperature", "20 C", []string{"C", "F"}, []unit{
		{name: "C", factor: 1}, {name: "°C", factor: 1}, {name: "deg·C", factor: 1}, {name: "\u2103", factor: 1},
		{name: "K", factor: 1, offset: -273.15},
		{name: "F", factor: 5.0 / 9, offset: -160.0 / 9}, {name: "°F", factor: 5.0 / 9, offset: -160.0 / 9},
		{name: "deg·F", factor: 5.0 / 9, offset: -160.0 / 9}, {name: "\u2109", factor: 5.0 / 9, offset: -160.0 / 9},
	}},
	Ratio: {"share", "50 %", []string{"%"}, []unit{
		{name: "%", factor: 1e-2}, {name: "percent", factor: 1e-2}, {name: "\u2030", factor: 1e-3},
	}},
	Density: {"density", "1.2 kg/m3", []string{"kg/m3", "g/cm3", "lb/ft3"}, []unit{
		{name: "kg/m3", factor: 1}, {name: "g/cm3", factor: 1e3}, {name: "g/L", factor: 1}, {name: "g/l", factor: 1},
		{name: "kg/L", factor: 1e3}, {name: "kg/l", factor: 1e3}, {name: "kg/dm3", factor: 1e3},
		{name: "lb/ft3", factor: pound / (foot * foot * foot)},
	}},
	FlowResistivity: {"flow resistivity", "2000 Pa s/m2", []string{"Pa s/m2", "rayl/m"}, []unit{
		{name: "Pa·s/m2", factor: 1}, {name: "kPa·s/m2", factor: 1e3}, {name: "N·s/m4", factor: 1},
		{name: "rayl/m", factor: 1}, {name: "rayls/m", factor: 1},
	}},
	// Any three capital letters are a currency; these are named in errors.
	Price: {"price", "400 EUR", []string{"EUR", "USD", "GBP"}, []unit{
		{name: "EUR", factor: 1}, {name: "USD", factor: 1}, {name: "GBP", factor: 1},
	}},
	Angle: {"angle", "45 deg", []string{"deg", "rad"}, []unit{
		{name: "deg", factor: 1}, {name: "°", factor: 1}, {name: "degree", factor: 1}, {name: "degrees", factor: 1},
		{name: "rad", factor: degree},
	}},
	Distance: {"distance", "1 m", []string{"m", "mm", "ft"}, lengths},
	Weight:   {"weight", "25 kg", []string{"kg", "g", "lb"}, masses},
	ThermalResistance: {"thermal resistance", "0.6 K/W", []string{"K/W"}, []unit{
		{name: "K/W", factor: 1}, {name: "°C/W", factor: 1}, {name: "C/W", factor: 1}, {name: "mK/W", factor: 1e-3},
	}},
	HeatCapacity: {"heat capacity", "40 J/K", []string{"J/K", "kJ/K"}, []unit{
		{name: "J/K", factor: 1}, {name: "kJ/K", factor: 1e3}, {name: "J/°C", factor: 1}, {name: "J/C", factor: 1}, {name: "W·s/K", factor: 1},
	}},
	Capacitance: {"capacitance", "100 uF", []string{"uF", "nF"}, []unit{
		{name: "µF", factor: 1e-6}, {name: "nF", factor: 1e-9}, {name: "mF", factor: 1e-3}, {name: "pF", factor: 1e-12}, {name: "F", factor: 1},
		{name: "microfarad", factor: 1e-6}, {name: "farad", factor: 1},
	}},
	AcousticResistance: {"acoustic resistance", "12000 Pa s/m3", []string{"Pa s/m3", "kPa s/m3"}, []unit{
		{name: "Pa·s/m3", factor: 1}, {name: "kPa·s/m3", factor: 1e3}, {name: "N·s/m5", factor: 1}, {name: "acoustic·ohm", factor: 1}, {name: "acoustic·ohms", factor: 1},
	}},
}

// String is the kind's name as it stands in an error text: "electrical resistance".
func (k Kind) String() string {
	if int(k) >= len(kindTable) {
		return "quantity"
	}
	return kindTable[k].name
}

// Units are the units that an error text offers, the usual one first.
// A Number has none.
func (k Kind) Units() []string {
	if int(k) >= len(kindTable) {
		return nil
	}
	return slices.Clone(kindTable[k].fitting)
}

// Example is a well-written quantity of the kind: "28 L".
func (k Kind) Example() string {
	if int(k) >= len(kindTable) {
		return ""
	}
	return kindTable[k].example
}

// SI is the unit in which values of this kind are held.
func (k Kind) SI() string {
	if int(k) >= len(siUnits) {
		return ""
	}
	return siUnits[k]
}

var siUnits = [...]string{
	Number: "1", Frequency: "Hz", Length: "m", Area: "m²", Volume: "m³", Mass: "kg", Time: "s", Speed: "m/s", VolumeVelocity: "m³/s",
	Resistance: "\u03a9", Inductance: "H", ForceFactor: "T m", MotorStrength: "N²/W", Compliance: "m/N", Stiffness: "N/m", MechanicalResistance: "kg/s",
	Voltage: "V", Current: "A", Power: "W", Pressure: "Pa", Level: "dB", Temperature: "°C", Ratio: "1", Density: "kg/m³",
	FlowResistivity: "Pa s/m²", Price: "1", Angle: "°", Distance: "m", Weight: "kg", ThermalResistance: "K/W", HeatCapacity: "J/K",
	Capacitance: "F", AcousticResistance: "Pa s/m³",
}
