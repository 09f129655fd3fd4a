// Package phys holds quantities (text to SI and back), the state of the air,
// and the acoustics of openings. It knows nothing of loudspeakers' files,
// networks or drawings.
package phys

// Kind says what is measured. Every quantity is held in the SI unit of its
// kind; other units exist only at the edges, in Parse and Show.
type Kind uint8

// The kinds. Their SI units stand behind them.
const (
	Number               Kind = iota // no dimension: a bare number
	Frequency                        // Hz
	Length                           // m
	Area                             // m²
	Volume                           // m³
	Mass                             // kg
	Time                             // s
	Speed                            // m/s
	VolumeVelocity                   // m³/s
	Resistance                       // Ω
	Inductance                       // H
	ForceFactor                      // T m
	MotorStrength                    // N²/W, that is Bl²/Re
	Compliance                       // m/N
	Stiffness                        // N/m
	MechanicalResistance             // kg/s
	Voltage                          // V
	Current                          // A
	Power                            // W
	Pressure                         // Pa
	Level                            // dB
	Temperature                      // °C (the one kind that is not held in its SI unit: kelvin)
	Ratio                            // 1, written in percent
	Density                          // kg/m³
	FlowResistivity                  // Pa s/m²
	Price                            // units of the study's currency
	Angle                            // degree
	Distance                         // m, shown in metres and feet
	Weight                           // kg, shown in kilograms and pounds
	ThermalResistance                // K/W
	HeatCapacity                     // J/K
	Capacitance                      // F
	AcousticResistance               // Pa s/m³
)
