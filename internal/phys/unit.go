package phys

import "strings"

// System is a system of units for showing results.
type System uint8

// The systems.
const (
	Metric System = iota
	Imperial
)

// Unit is a unit that results are shown in: shown = (SI − Offset)/Factor.
type Unit struct {
	Name   string
	Factor float64
	Offset float64
}

// Of is an SI value in this unit.
func (u Unit) Of(si float64) float64 { return (si - u.Offset) / u.Factor }

// spelling is a unit as it may be typed, with its size in the kind's SI unit.
type spelling struct {
	text   string
	factor float64
	offset float64
}

// kindInfo is all that is known of a kind.
type kindInfo struct {
	name    string
	show    [2]Unit // by System
	example string
	units   []spelling // the first few are named in errors
	named   int        // how many
}

// Exact sizes: the international yard and pound agreement of 1959 and the SI
// brochure; conventional values after NIST SP 811 (2008).
const (
	inch   = 0.0254
	foot   = 12 * inch
	pound  = 0.45359237
	ounce  = pound / 16
	grain  = pound / 7000
	gForce = 9.80665
)

func same(u Unit) [2]Unit { return [2]Unit{u, u} }

// Units that two kinds share.
var (
	lengths = []spelling{
		{"mm", 1e-3, 0}, {"cm", 1e-2, 0}, {"m", 1, 0}, {"in", inch, 0}, {"inch", inch, 0}, {"inches", inch, 0}, {`"`, inch, 0}, {"ft", foot, 0}, {"feet", foot, 0}, {"'", foot, 0}, {"yd", 3 * foot, 0}, {"um", 1e-6, 0}, {"mil", inch / 1000, 0}, {"thou", inch / 1000, 0}, {"dm", 0.1, 0}}
	masses = []spelling{
		{"g", 1e-3, 0}, {"kg", 1, 0}, {"oz", ounce, 0}, {"lb", pound, 0}, {"lbs", pound, 0}, {"mg", 1e-6, 0}, {"grain", grain, 0}, {"grains", grain, 0}, {"gr", grain, 0}}
)

// kinds lists the units of each kind. A spelling is written in its normal
// form: see normal.
var kinds = [...]kindInfo{
	Number:    {name: "pure number", show: same(Unit{"", 1, 0}), example: "0.49", units: []spelling{{"", 1, 0}}, named: 0},
	Frequency: {name: "frequency", show: same(Unit{"Hz", 1, 0}), example: "29 Hz", named: 2, units: []spelling{{"Hz", 1, 0}, {"kHz", 1e3, 0}, {"mHz", 1e-3, 0}, {"1/s", 1, 0}}},
	Length:    {name: "length", show: [2]Unit{{"mm", 1e-3, 0}, {"in", inch, 0}}, example: "120 mm", named: 4, units: lengths},
	Area: {name: "area", show: [2]Unit{{"cm²", 1e-4, 0}, {"in²", inch * inch, 0}}, example: "345 cm2", named: 3, units: []spelling{
		{"cm2", 1e-4, 0}, {"in2", inch * inch, 0}, {"m2", 1, 0}, {"mm2", 1e-6, 0}, {"dm2", 1e-2, 0}, {"ft2", foot * foot, 0}, {"sqcm", 1e-4, 0}, {"sqin", inch * inch, 0}, {"sqft", foot * foot, 0}, {"sqm", 1, 0}}},
	Volume: {name: "volume", show: [2]Unit{{"L", 1e-3, 0}, {"ft³", foot * foot * foot, 0}}, example: "28 L", named: 3, units: []spelling{
		{"L", 1e-3, 0}, {"dm3", 1e-3, 0}, {"ft3", foot * foot * foot, 0}, {"in3", inch * inch * inch, 0}, {"m3", 1, 0}, {"cm3", 1e-6, 0}, {"mm3", 1e-9, 0}, {"l", 1e-3, 0}, {"mL", 1e-6, 0}, {"ml", 1e-6, 0}, {"cL", 1e-5, 0}, {"cl", 1e-5, 0}, {"dL", 1e-4, 0}, {"litre", 1e-3, 0}, {"litres", 1e-3, 0}, {"liter", 1e-3, 0}, {"liters", 1e-3, 0}, {"cc", 1e-6, 0}, {"cuft", foot * foot * foot, 0}, {"cuin", inch * inch * inch, 0}, {"gal", 231 * inch * inch * inch, 0}}},
	Mass:           {name: "mass", show: [2]Unit{{"g", 1e-3, 0}, {"oz", ounce, 0}}, example: "104 g", named: 3, units: masses},
	Time:           {name: "time", show: same(Unit{"ms", 1e-3, 0}), example: "25 ms", named: 2, units: []spelling{{"ms", 1e-3, 0}, {"s", 1, 0}, {"us", 1e-6, 0}, {"min", 60, 0}, {"h", 3600, 0}}},
	Speed:          {name: "speed", show: [2]Unit{{"m/s", 1, 0}, {"ft/s", foot, 0}}, example: "17 m/s", named: 2, units: []spelling{{"m/s", 1, 0}, {"ft/s", foot, 0}, {"cm/s", 1e-2, 0}, {"mm/s", 1e-3, 0}, {"km/h", 1 / 3.6, 0}, {"in/s", inch, 0}, {"mph", 5280 * foot / 3600, 0}}},
	VolumeVelocity: {name: "volume velocity", show: same(Unit{"L/s", 1e-3, 0}), example: "2 L/s", named: 2, units: []spelling{{"L/s", 1e-3, 0}, {"l/s", 1e-3, 0}, {"m3/s", 1, 0}, {"cm3/s", 1e-6, 0}}},
	Resistance:     {name: "electrical resistance", show: same(Unit{"Ω", 1, 0}), example: "3.3 ohm", named: 2, units: []spelling{{"ohm", 1, 0}, {"mohm", 1e-3, 0}, {"kohm", 1e3, 0}, {"ohms", 1, 0}, {"Ohm", 1, 0}, {"Ohms", 1, 0}, {"V/A", 1, 0}}},
	Inductance:     {name: "inductance", show: same(Unit{"mH", 1e-3, 0}), example: "1.1 mH", named: 2, units: []spelling{{"mH", 1e-3, 0}, {"uH", 1e-6, 0}, {"H", 1, 0}, {"nH", 1e-9, 0}}},
	ForceFactor:    {name: "force factor", show: same(Unit{"T\u00a0m", 1, 0}), example: "11.6 T m", named: 2, units: []spelling{{"T.m", 1, 0}, {"N/A", 1, 0}, {"Wb/m", 1, 0}, {"Tm", 1, 0}, {"V.s/m", 1, 0}, {"mT.m", 1e-3, 0}, {"Vs/m", 1, 0}}},
	MotorStrength:  {name: "motor strength", show: same(Unit{"N²/W", 1, 0}), example: "40 N2/W", named: 1, units: []spelling{{"N2/W", 1, 0}, {"T2.m2/ohm", 1, 0}}},
	Compliance: {name: "compliance", show: same(Unit{"mm/N", 1e-3, 0}), example: "0.26 mm/N", named: 3, units: []spelling{
		{"mm/N", 1e-3, 0}, {"um/N", 1e-6, 0}, {"m/N", 1, 0}, {"cm/N", 1e-2, 0}, {"cm/dyn", 1e3, 0}, {"cm/dyne", 1e3, 0}, {"in/lbf", inch / (pound * gForce), 0}}},
	Stiffness: {name: "stiffness", show: same(Unit{"N/mm", 1e3, 0}), example: "3.8 N/mm", named: 2, units: []spelling{{"N/mm", 1e3, 0}, {"N/m", 1, 0}, {"kN/m", 1e3, 0}, {"dyn/cm", 1e-3, 0}, {"dyne/cm", 1e-3, 0}, {"lbf/in", pound * gForce / inch, 0}}},
	MechanicalResistance: {name: "mechanical resistance", show: same(Unit{"kg/s", 1, 0}), example: "2.4 kg/s", named: 3, units: []spelling{
		{"kg/s", 1, 0}, {"N.s/m", 1, 0}, {"g/s", 1e-3, 0}, {"Ns/m", 1, 0}, {"mechanicalohm", 1, 0}, {"mechanicalohms", 1, 0}, {"mech.ohm", 1, 0}, {"dyn.s/cm", 1e-3, 0}, {"dyne.s/cm", 1e-3, 0}, {"N/(m/s)", 1, 0}}},
	Voltage:     {name: "voltage", show: same(Unit{"V", 1, 0}), example: "2.83 V", named: 1, units: []spelling{{"V", 1, 0}, {"mV", 1e-3, 0}, {"kV", 1e3, 0}, {"Vrms", 1, 0}}},
	Current:     {name: "current", show: same(Unit{"A", 1, 0}), example: "12 A", named: 1, units: []spelling{{"A", 1, 0}, {"mA", 1e-3, 0}}},
	Power:       {name: "power", show: same(Unit{"W", 1, 0}), example: "150 W", named: 2, units: []spelling{{"W", 1, 0}, {"kW", 1e3, 0}, {"mW", 1e-3, 0}}},
	Pressure:    {name: "pressure", show: same(Unit{"Pa", 1, 0}), example: "101.325 kPa", named: 3, units: []spelling{{"Pa", 1, 0}, {"kPa", 1e3, 0}, {"hPa", 100, 0}, {"mbar", 100, 0}, {"bar", 1e5, 0}, {"atm", 101325, 0}, {"mmHg", 133.322387415, 0}, {"inHg", 25.4 * 133.322387415, 0}, {"psi", pound * gForce / (inch * inch), 0}}},
	Level:       {name: "level", show: same(Unit{"dB", 1, 0}), example: "105 dB", named: 1, units: []spelling{{"dB", 1, 0}, {"dBSPL", 1, 0}}},
	Temperature: {name: "temperature", show: [2]Unit{{"°C", 1, 0}, {"°F", 5. / 9, -160. / 9}}, example: "20 C", named: 3, units: []spelling{{"C", 1, 0}, {"F", 5. / 9, -160. / 9}, {"K", 1, -273.15}, {"°C", 1, 0}, {"°F", 5. / 9, -160. / 9}}},
	Ratio:       {name: "share", show: same(Unit{"%", 1e-2, 0}), example: "50 %", named: 1, units: []spelling{{"%", 1e-2, 0}}},
	Density:     {name: "density", show: [2]Unit{{"kg/m³", 1, 0}, {"lb/ft³", pound / (foot * foot * foot), 0}}, example: "1.2041 kg/m3", named: 2, units: []spelling{{"kg/m3", 1, 0}, {"g/cm3", 1e3, 0}, {"lb/ft3", pound / (foot * foot * foot), 0}, {"g/L", 1, 0}, {"g/l", 1, 0}}},
	FlowResistivity: {name: "flow resistivity", show: same(Unit{"Pa\u00a0s/m²", 1, 0}), example: "2000 Pa s/m2", named: 2, units: []spelling{
		{"Pa.s/m2", 1, 0}, {"N.s/m4", 1, 0}, {"kPa.s/m2", 1e3, 0}, {"rayl/m", 1, 0}, {"rayls/m", 1, 0}, {"Pas/m2", 1, 0}, {"Ns/m4", 1, 0}}},
	Price:    {name: "price", show: same(Unit{"", 1, 0}), example: "64 EUR", named: 3, units: []spelling{{"EUR", 1, 0}, {"GBP", 1, 0}, {"USD", 1, 0}, {"€", 1, 0}, {"£", 1, 0}, {"$", 1, 0}}},
	Angle:    {name: "angle", show: same(Unit{"°", 1, 0}), example: "45 deg", named: 1, units: []spelling{{"deg", 1, 0}, {"°", 1, 0}}},
	Distance: {name: "distance", show: [2]Unit{{"m", 1, 0}, {"ft", foot, 0}}, example: "1 m", named: 4, units: lengths},
	Weight:   {name: "weight", show: [2]Unit{{"kg", 1, 0}, {"lb", pound, 0}}, example: "25 kg", named: 3, units: masses},
}

// String names the kind in words for messages: "electrical resistance".
func (k Kind) String() string {
	if int(k) >= len(kinds) {
		return "quantity"
	}
	return kinds[k].name
}

// Units lists fitting units to name in a message, the commonest first.
func (k Kind) Units() []string {
	var out []string
	for _, u := range kinds[k].units[:kinds[k].named] {
		out = append(out, strings.ReplaceAll(u.text, ".", " "))
	}
	return out
}

// Example is a value of this kind as it may be typed.
func (k Kind) Example() string { return kinds[k].example }

// Unit is the unit that results of this kind are shown in.
func (k Kind) Unit(s System) Unit { return kinds[k].show[s] }
