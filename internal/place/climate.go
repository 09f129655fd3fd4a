package place

import (
	"fmt"

	"basswright/internal/phys"
)

// A Climate is what the temperature of a place changes in air and driver.
type Climate struct {
	Air       phys.Air
	Copper    float64 // resistance of copper over that at 20 °C, before any drive warms it
	Stiffness float64 // of the suspension over that of the datasheet, as the caller gave it
}

// seaLevel is the pressure, Pa, of NewClimate's air.
const seaLevel = 101325.0

// NewClimate is a place at a temperature in °C (−20 to 50, the range of
// phys.NewAir), with dry air at 101.325 kPa; a study that states its air has a
// better one. stiffness is that of the suspension at this temperature over
// that of the datasheet, 0.1 to 10, and 1 where it is not known. No law of it is
// built in, because no published one was at hand: materials of surrounds and
// spiders differ too much for a guess. The error is an *Error.
func NewClimate(temperature, stiffness float64) (Climate, error) {
	air, err := phys.NewAir(temperature, 0, seaLevel)
	if err != nil {
		return Climate{}, &Error{About: "temperature", Reason: err.Error(), Mend: "give one from −20\u2009°C to 50\u2009°C"}
	}
	if err := inRange("stiffness", "a factor", stiffness, 0.1, 10, ""); err != nil {
		return Climate{}, err
	}
	copper, err := CopperResistance(temperature)
	return Climate{Air: air, Copper: copper, Stiffness: stiffness}, err
}

// Compliance is that of a suspension, m/N, at the temperature of the climate,
// from that of the datasheet.
func (c Climate) Compliance(cms float64) float64 { return cms / c.Stiffness }

// copperPerKelvin is how much of its resistance at 20 °C annealed copper gains
// (IEC 60028; check values driver-models-080 and -085).
const copperPerKelvin = 0.00393 // 1/K

// The temperatures, °C, of CopperResistance. Copper keeps to the straight line
// far beyond the wires that voice coils are wound of.
const coldest, hottest = -60.0, 400.0

// CopperResistance is the resistance of copper at a temperature in °C (−60 to
// 400) over that at 20 °C: 1 + 0.00393 (T − 20) (IEC 60028). The error is an
// *Error.
func CopperResistance(temperature float64) (float64, error) {
	if !(temperature >= coldest && temperature <= hottest) {
		return 0, &Error{
			About:  "temperature",
			Reason: fmt.Sprintf("copper of %s\u2009°C lies outside −60\u2009°C to 400\u2009°C", phys.Digits(temperature, 3)),
			Mend:   "give one from that range",
		}
	}
	return 1 + copperPerKelvin*(temperature-20), nil
}
