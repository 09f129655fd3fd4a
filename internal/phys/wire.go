package phys

import "math"

// CopperResistivity is that of annealed copper at 20 °C, Ω m: the standard of
// IEC 60028, 1/58 Ω mm²/m.
const CopperResistivity = 1.7241e-8

// The American Wire Gauge that has a name in whole numbers: the standard goes
// from 0000 to 40, and 00 to 0000 are given by their area.
const (
	ThickestGauge = 0
	ThinnestGauge = 40
)

// GaugeDiameter is the diameter of a wire by its American Wire Gauge, m: 0.127 mm
// for gauge 36 and 92 times for 39 steps fewer, in a geometric series (ASTM B258).
func GaugeDiameter(gauge int) float64 {
	return 0.127e-3 * math.Pow(92, float64(36-gauge)/39)
}

// GaugeArea is its cross-section, m².
func GaugeArea(gauge int) float64 {
	d := GaugeDiameter(gauge)
	return math.Pi / 4 * d * d
}

// CableResistance is that of both conductors of a copper cable at 20 °C, Ω.
func CableResistance(length, area float64) float64 {
	return CopperResistivity * 2 * length / area
}
