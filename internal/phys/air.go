package phys

import (
	"fmt"
	"math"
)

// Air is the state of the air and what follows from it.
type Air struct {
	Temperature float64 // °C
	Humidity    float64 // relative, 0 to 1
	Pressure    float64 // Pa
	C           float64 // speed of sound, m/s
	Rho         float64 // density, kg/m³
	Stated      bool    // C and Rho were given outright; the rest is not known
}

// The state that datasheets refer to, and the constants of the model.
const (
	standardTemperature = 20.0     // °C
	standardPressure    = 101325.0 // Pa
	standardC           = 343.2    // m/s at 20 °C, dry (ISO 9613-1:1993)
	zeroCelsius         = 273.15   // K
	absoluteZero        = -zeroCelsius
	gasConstant         = 8.314462618
	molarDry            = 28.96546e-3  // kg/mol, with 400 ppm of carbon dioxide (CIPM-2007)
	molarWater          = 18.015268e-3 // kg/mol
	carbonDioxide       = 0.0004       // mole fraction
)

// Gamma is the ratio of the specific heats of air, which is that of a diatomic
// gas at room temperature.
const Gamma = 1.4

// Prandtl is the ratio of the diffusivities of momentum and of heat in air: 0.707
// to 0.711 from 0 to 40 °C (from memory; IEC 61094-2:2009 has 0.7088 at 20 °C).
const Prandtl = 0.709

// The range of states that NewAir takes.
const (
	minTemperature, maxTemperature = -20.0, 50.0 // °C
	minPressure, maxPressure       = 60e3, 110e3 // Pa
)

// StandardAir is 20 °C, 0 % and 101.325 kPa: 343.2 m/s and 1.2041 kg/m³.
func StandardAir() Air {
	a, err := NewAir(standardTemperature, 0, standardPressure)
	if err != nil {
		panic(err)
	}
	return a
}

// NewAir works out the speed of sound and the density of air at a temperature
// in °C (−20 to 50), a relative humidity (0 to 1) and a pressure in Pa (60 to
// 110 kPa).
//
// The speed of sound of dry air is that of ISO 9613-1:1993,
// 343.2 m/s·√(T/293.15 K); what humidity and pressure change is the ratio of
// Cramer's polynomial (1993, table III) to its own value for dry air at
// 101.325 kPa. Cramer alone has 343.36 m/s at 20 °C: the result is 0.03 to
// 0.05 % below it. His fit ends at 30 °C and 6 % of water vapour; in saturated
// air above 36 °C the extrapolation is good to 0.3 %, elsewhere to 0.03 %.
//
// The density is that of an ideal mixture of dry air and water vapour, with
// the saturation pressure of CIPM-2007 (Picard et al. 2008, eq. A1.1). Against
// the CIPM-2007 density, which counts compressibility, it is low by less than
// 0.06 %.
func NewAir(temperature, humidity, pressure float64) (Air, error) {
	switch {
	case !(temperature >= minTemperature && temperature <= maxTemperature):
		return Air{}, fmt.Errorf("air of %s °C lies outside −20 °C to 50 °C", Digits(temperature, 3))
	case !(humidity >= 0 && humidity <= 1):
		return Air{}, fmt.Errorf("a humidity of %s %% lies outside 0 %% to 100 %%", Digits(100*humidity, 3))
	case !(pressure >= minPressure && pressure <= maxPressure):
		return Air{}, fmt.Errorf("an air pressure of %s kPa lies outside 60 kPa to 110 kPa", Digits(pressure/1e3, 4))
	}
	k := temperature + zeroCelsius
	xw := humidity * saturation(k) / pressure
	c := standardC * math.Sqrt(k/(standardTemperature+zeroCelsius)) *
		cramer(temperature, pressure, xw) / cramer(temperature, standardPressure, 0)
	molar := molarDry*(1-xw) + molarWater*xw
	return Air{Temperature: temperature, Humidity: humidity, Pressure: pressure, C: c, Rho: pressure * molar / (gasConstant * k)}, nil
}

// AirOf is air whose speed of sound, m/s, and density, kg/m³, are given outright.
func AirOf(c, rho float64) (Air, error) {
	switch {
	case !(c >= 200 && c <= 1500):
		return Air{}, fmt.Errorf("a speed of sound of %s m/s lies outside 200 m/s to 1500 m/s", Digits(c, 4))
	case !(rho >= 0.1 && rho <= 10):
		return Air{}, fmt.Errorf("a density of %s kg/m³ lies outside 0.1 kg/m³ to 10 kg/m³", Digits(rho, 4))
	}
	return Air{C: c, Rho: rho, Stated: true}, nil
}

// Viscosity is the dynamic viscosity of air, Pa·s, by Sutherland’s law
// (1.716e-5 Pa·s at 0 °C, 110.4 K; constants from memory), within 0.3 % of IEC
// 61094-2:2009 in moist air. Air whose state is not known is taken to be at
// 20 °C.
func (a Air) Viscosity() float64 {
	t := a.Temperature
	if a.Stated {
		t = standardTemperature
	}
	const s = 110.4
	k := t + zeroCelsius
	return 1.716e-5 * math.Pow(k/zeroCelsius, 1.5) * (zeroCelsius + s) / (k + s)
}

// saturation is the saturation vapour pressure of water, Pa, at k in K
// (CIPM-2007: Picard et al. 2008, eq. A1.1).
func saturation(k float64) float64 {
	return math.Exp(1.2378847e-5*k*k - 1.9121316e-2*k + 33.93711047 - 6.3431645e3/k)
}

// cramer is the speed of sound, m/s, of Cramer 1993 (J. Acoust. Soc. Am. 93,
// 2510, table III) at t in °C, p in Pa and the mole fraction xw of water.
func cramer(t, p, xw float64) float64 {
	const xc = carbonDioxide
	return 331.5024 + 0.603055*t - 0.000528*t*t +
		(51.471935+0.1495874*t-0.000782*t*t)*xw +
		(-1.82e-7+3.73e-8*t-2.93e-10*t*t)*p +
		(-85.20931-0.228525*t+5.91e-5*t*t)*xc -
		2.835149*xw*xw - 2.15e-13*p*p + 29.179762*xc*xc + 0.000486*xw*p*xc
}
