package phys

import (
	"math"
	"strconv"
	"strings"
)

// System says in which units results are shown.
type System uint8

// The two systems of a study's `units`.
const (
	Metric System = iota
	Imperial
)

// Unit is the unit that results are shown in: shown = (SI − Offset)/Factor.
type Unit struct {
	Name           string
	Factor, Offset float64
}

// Of is the number to show for an SI value.
func (u Unit) Of(si float64) float64 { return (si - u.Offset) / u.Factor }

// shownUnits are the display units by system. A kind with an empty imperial
// name is shown in the metric unit in both: drivers' electrical and mechanical
// figures are printed in SI everywhere in the trade.
var shownUnits = [...][2]Unit{
	Number:               {{"", 1, 0}},
	Frequency:            {{"Hz", 1, 0}},
	Length:               {{"mm", 1e-3, 0}, {"in", inch, 0}},
	Area:                 {{"cm²", 1e-4, 0}, {"in²", inch * inch, 0}},
	Volume:               {{"L", 1e-3, 0}, {"ft³", foot * foot * foot, 0}},
	Mass:                 {{"g", 1e-3, 0}, {"oz", ounce, 0}},
	Time:                 {{"ms", 1e-3, 0}},
	Speed:                {{"m/s", 1, 0}, {"ft/s", foot, 0}},
	VolumeVelocity:       {{"L/s", 1e-3, 0}, {"ft³/s", foot * foot * foot, 0}},
	Resistance:           {{"\u03a9", 1, 0}},
	Inductance:           {{"mH", 1e-3, 0}},
	ForceFactor:          {{"T\u00a0m", 1, 0}},
	MotorStrength:        {{"N²/W", 1, 0}},
	Compliance:           {{"mm/N", 1e-3, 0}},
	Stiffness:            {{"N/mm", 1e3, 0}},
	MechanicalResistance: {{"kg/s", 1, 0}},
	Voltage:              {{"V", 1, 0}},
	Current:              {{"A", 1, 0}},
	Power:                {{"W", 1, 0}},
	Pressure:             {{"Pa", 1, 0}},
	Level:                {{"dB", 1, 0}},
	Temperature:          {{"°C", 1, 0}, {"°F", 5.0 / 9, -160.0 / 9}},
	Ratio:                {{"%", 1e-2, 0}},
	Density:              {{"kg/m³", 1, 0}, {"lb/ft³", pound / (foot * foot * foot), 0}},
	FlowResistivity:      {{"Pa\u00a0s/m²", 1, 0}},
	Price:                {{"", 1, 0}},
	Angle:                {{"°", 1, 0}},
	Distance:             {{"m", 1, 0}, {"ft", foot, 0}},
	Weight:               {{"kg", 1, 0}, {"lb", pound, 0}},
	ThermalResistance:    {{"K/W", 1, 0}},
	HeatCapacity:         {{"J/K", 1, 0}},
	Capacitance:          {{"µF", 1e-6, 0}},
	AcousticResistance:   {{"Pa\u00a0s/m³", 1, 0}},
}

// Unit is the unit in which a quantity of the kind is shown. A Price has no
// name there: the study knows its currency.
func (k Kind) Unit(s System) Unit {
	if int(k) >= len(shownUnits) {
		return Unit{Factor: 1}
	}
	if u := shownUnits[k][1]; s == Imperial && u.Factor != 0 {
		return u
	}
	return shownUnits[k][0]
}

const (
	minus     = "\u2212"
	missing   = "\u2013" // en dash: there is no such value
	thinSpace = "\u2009"
)

// Digits writes v with sig significant digits and a true minus. Trailing zeros
// that are significant stay ("28.0"); whole digits are never rounded away
// ("1234", not "1230"); there are at most four decimals. Below a thousandth
// and from a million up the form is "1.23 × 10⁻⁵". NaN and Inf are an en dash.
func Digits(v float64, sig int) string {
	switch {
	case math.IsNaN(v) || math.IsInf(v, 0):
		return missing
	case v == 0:
		return Fixed(0, min(max(sig, 1)-1, 4))
	}
	sig = min(max(sig, 1), 15)
	text := strconv.FormatFloat(v, 'e', sig-1, 64)
	mantissa, power, _ := strings.Cut(text, "e")
	exponent, err := strconv.Atoi(power)
	if err != nil { // cannot be: FormatFloat made it
		return missing
	}
	if math.Abs(v) >= 1e6 || exponent < -3 {
		return trueMinus(mantissa) + " × 10" + superscript(exponent)
	}
	return Fixed(v, min(max(sig-1-exponent, 0), 4))
}

// Fixed writes v with the given number of decimals and a true minus, never a
// negative zero. NaN and Inf are an en dash.
func Fixed(v float64, decimals int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return missing
	}
	text := strconv.FormatFloat(v, 'f', min(max(decimals, 0), 15), 64)
	if strings.Trim(text, "-0.") == "" {
		text = strings.TrimPrefix(text, "-")
	}
	return trueMinus(text)
}

// Show writes an SI value for people in the unit of the system: three digits
// (a mass four, a level one decimal), a thin space and the unit. What does not
// exist is an en dash without a unit.
func Show(si float64, k Kind, s System) string {
	u := k.Unit(s)
	v := u.Of(si)
	switch k {
	case Level:
		return withUnit(Fixed(v, 1), u)
	case Mass:
		return withUnit(Digits(v, 4), u)
	}
	return withUnit(Digits(v, 3), u)
}

// Brief writes an SI value as a person would write it who was asked for it:
// four significant digits at most, no zeros behind the point.
func Brief(si float64, k Kind, s System) string {
	u := k.Unit(s)
	text := Digits(u.Of(si), 4)
	if strings.Contains(text, ".") && !strings.Contains(text, "×") {
		text = strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
	}
	return withUnit(text, u)
}

// withUnit sets the unit behind a number, if there are both.
func withUnit(text string, u Unit) string {
	switch {
	case text == missing || u.Name == "":
		return text
	case u.Name == "°":
		return text + u.Name
	}
	return text + thinSpace + u.Name
}

func trueMinus(text string) string {
	if rest, ok := strings.CutPrefix(text, "-"); ok {
		return minus + rest
	}
	return text
}

// superscript writes an integer in raised digits: −5 is "⁻⁵".
func superscript(n int) string {
	var b strings.Builder
	for _, r := range strconv.Itoa(n) {
		if r == '-' {
			b.WriteRune('\u207b')
		} else {
			b.WriteRune([]rune(superDigits)[r-'0'])
		}
	}
	return b.String()
}

const superDigits = "\u2070\u00b9\u00b2\u00b3\u2074\u2075\u2076\u2077\u2078\u2079"
