package heat

// Wire is what a voice coil is wound of.
type Wire uint8

const (
	Copper    Wire = iota
	Aluminium      // also copper-clad
)

// perKelvin is how the resistance of a wire grows, per kelvin from 20 °C: copper by
// IEC 60028, aluminium by IEC 60889 (both from memory).
var perKelvin = [...]float64{Copper: 0.00393, Aluminium: 0.00403}

// Resistance is the resistance of a wire at a temperature, °C, over that at 20 °C.
// It is a straight line, far beyond what a coil bears, and above 0 from −228 °C.
func (w Wire) Resistance(celsius float64) float64 { return 1 + perKelvin[w]*(celsius-20) }

// GivesWay is the temperature, °C, beyond which no coil is taken to live: enamelled
// wires are classed up to 240 °C by IEC 60317, and the glue of a winding bears no
// more (from memory).
const GivesWay = 250.0

// melts is the melting point of a wire, °C.
var melts = [...]float64{Copper: 1085, Aluminium: 660}

// Melts is the temperature at which a wire melts, °C.
func (w Wire) Melts() float64 { return melts[w] }

// String is the metal in a word.
func (w Wire) String() string { return [...]string{Copper: "copper", Aluminium: "aluminium"}[w] }
