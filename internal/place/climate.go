package place

import "basswright/internal/phys"

// A Climate is what the temperature of a place changes in air and driver.
type Climate struct {
	Air         phys.Air
	Temperature float64 // °C, also of the coils before any drive warms them
	Stiffness   float64 // of the suspension over that of the datasheet, as the caller gave it
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
	return Climate{Air: air, Temperature: temperature, Stiffness: stiffness}, nil
}

// Compliance is that of a suspension, m/N, at the temperature of the climate,
// from that of the datasheet.
func (c Climate) Compliance(cms float64) float64 { return cms / c.Stiffness }
