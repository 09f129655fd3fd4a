package phys

import (
	"math"
	"testing"
)

// exactUnits are the conversions as printed: NIST SP 811 (2008), appendix B,
// for the customary units (bold there: exact) and the SI brochure for the rest.
// Where SP 811 rounds (mmHg, inHg, psi, lbf), the value comes from the exact
// definition: 9.80665 m/s², 13.5951 g/cm³, 0.45359237 kg, 0.0254 m.
var exactUnits = []struct {
	kind   Kind
	text   string // with the number 1
	factor float64
}{
	{Frequency, "1 Hz", 1}, {Frequency, "1 kHz", 1000}, {Frequency, "1 MHz", 1e6}, {Frequency, "1 mHz", 1e-3}, {Frequency, "1 hertz", 1}, {Frequency, "1 1/s", 1},
	{Length, "1 mm", 0.001}, {Length, "1 cm", 0.01}, {Length, "1 dm", 0.1}, {Length, "1 m", 1}, {Length, "1 µm", 1e-6}, {Length, "1 um", 1e-6},
	{Length, "1 in", 0.0254}, {Length, `1"`, 0.0254}, {Length, "1″", 0.0254}, {Length, "1”", 0.0254}, {Length, "1 inch", 0.0254}, {Length, "1 inches", 0.0254},
	{Length, "1 ft", 0.3048}, {Length, "1 foot", 0.3048}, {Length, "1 feet", 0.3048}, {Length, "1'", 0.3048}, {Length, "1′", 0.3048}, {Length, "1’", 0.3048},
	{Length, "1 yd", 0.9144}, {Length, "1 thou", 2.54e-5},
	{Length, "1 millimetres", 0.001}, {Length, "1 millimeters", 0.001}, {Length, "1 centimetres", 0.01}, {Length, "1 centimeters", 0.01},
	{ThermalResistance, "1 K/W", 1}, {ThermalResistance, "1 °C/W", 1}, {ThermalResistance, "1 C/W", 1}, {ThermalResistance, "1 mK/W", 1e-3},
	{HeatCapacity, "1 J/K", 1}, {HeatCapacity, "1 kJ/K", 1e3}, {HeatCapacity, "1 J/°C", 1}, {HeatCapacity, "1 J/C", 1}, {HeatCapacity, "1 W s/K", 1},
	{Capacitance, "1 uF", 1e-6}, {Capacitance, "1 nF", 1e-9}, {Capacitance, "1 mF", 1e-3}, {Capacitance, "1 pF", 1e-12}, {Capacitance, "1 F", 1},
	{Capacitance, "1 microfarad", 1e-6}, {Capacitance, "1 farad", 1},
	{AcousticResistance, "1 Pa s/m3", 1}, {AcousticResistance, "1 kPa s/m³", 1e3}, {AcousticResistance, "1 N s/m5", 1},
	{AcousticResistance, "1 acoustic ohm", 1}, {AcousticResistance, "2 acoustic ohms", 2},
	{Frequency, "1 hertz", 1}, {Power, "1 watt", 1}, {Power, "3 watts", 3}, {Mass, "1 gram", 1e-3}, {Mass, "3 grams", 3e-3}, {Weight, "1 gram", 1e-3}, {Weight, "3 grams", 3e-3},
	{Area, "1 cm2", 1e-4}, {Area, "1 mm2", 1e-6}, {Area, "1 dm2", 1e-2}, {Area, "1 m2", 1}, {Area, "1 sq cm", 1e-4}, {Area, "1 sq m", 1},
	{Area, "1 in2", 6.4516e-4}, {Area, "1 sq in", 6.4516e-4}, {Area, "1 ft2", 9.290304e-2}, {Area, "1 sq ft", 9.290304e-2},
	{Volume, "1 L", 1e-3}, {Volume, "1 l", 1e-3}, {Volume, "1 litre", 1e-3}, {Volume, "1 litres", 1e-3}, {Volume, "1 liter", 1e-3}, {Volume, "1 liters", 1e-3},
	{Volume, "1 ltr", 1e-3}, {Volume, "1 dm3", 1e-3}, {Volume, "1 mL", 1e-6}, {Volume, "1 ml", 1e-6}, {Volume, "1 cL", 1e-5}, {Volume, "1 cl", 1e-5},
	{Volume, "1 cm3", 1e-6}, {Volume, "1 cc", 1e-6}, {Volume, "1 mm3", 1e-9}, {Volume, "1 m3", 1},
	{Volume, "1 ft3", 2.8316846592e-2}, {Volume, "1 cu ft", 2.8316846592e-2}, {Volume, "1 in3", 1.6387064e-5}, {Volume, "1 cu in", 1.6387064e-5},
	{Mass, "1 g", 1e-3}, {Mass, "1 kg", 1}, {Mass, "1 mg", 1e-6}, {Mass, "1 t", 1e3},
	{Mass, "1 oz", 2.8349523125e-2}, {Mass, "1 lb", 0.45359237}, {Mass, "1 lbs", 0.45359237}, {Mass, "1 grain", 6.479891e-5}, {Mass, "1 grains", 6.479891e-5},
	{Mass, "1 gram", 1e-3}, {Mass, "1 grams", 1e-3}, {Mass, "1 kilograms", 1}, {Mass, "1 kgs", 1}, {Mass, "1 ounces", 2.8349523125e-2}, {Mass, "1 pounds", 0.45359237},
	{Time, "1 ms", 1e-3}, {Time, "1 s", 1}, {Time, "1 µs", 1e-6}, {Time, "1 min", 60}, {Time, "1 h", 3600},
	{Speed, "1 m/s", 1}, {Speed, "1 cm/s", 1e-2}, {Speed, "1 mm/s", 1e-3}, {Speed, "1 km/h", 0.2777777777777778}, {Speed, "1 ft/s", 0.3048}, {Speed, "1 in/s", 0.0254}, {Speed, "1 mph", 0.44704},
	{VolumeVelocity, "1 L/s", 1e-3}, {VolumeVelocity, "1 l/s", 1e-3}, {VolumeVelocity, "1 dm3/s", 1e-3}, {VolumeVelocity, "1 m3/s", 1}, {VolumeVelocity, "1 cm3/s", 1e-6},
	{VolumeVelocity, "1 ft3/s", 2.8316846592e-2}, {VolumeVelocity, "1 ft3/min", 4.719474432e-4}, {VolumeVelocity, "1 in3/s", 1.6387064e-5},
	{Resistance, "1 ohm", 1}, {Resistance, "1 ohms", 1}, {Resistance, "1 Ohm", 1}, {Resistance, "1 Ohms", 1}, {Resistance, "1 \u2126", 1}, {Resistance, "1 \u03a9", 1}, {Resistance, "1 R", 1}, {Resistance, "1 V/A", 1},
	{Resistance, "1 mohm", 1e-3}, {Resistance, "1 m\u03a9", 1e-3}, {Resistance, "1 kohm", 1e3}, {Resistance, "1 k\u2126", 1e3},
	{Inductance, "1 mH", 1e-3}, {Inductance, "1 \u00b5H", 1e-6}, {Inductance, "1 \u03bcH", 1e-6}, {Inductance, "1 uH", 1e-6}, {Inductance, "1 H", 1}, {Inductance, "1 nH", 1e-9}, {Inductance, "1 millihenry", 1e-3}, {Inductance, "1 henry", 1},
	{ForceFactor, "1 T·m", 1}, {ForceFactor, "1 Tm", 1}, {ForceFactor, "1 T m", 1}, {ForceFactor, "1 N/A", 1}, {ForceFactor, "1 Wb/m", 1}, {ForceFactor, "1 V·s/m", 1}, {ForceFactor, "1 mT·m", 1e-3},
	{MotorStrength, "1 N²/W", 1}, {MotorStrength, "1 T2 m2/ohm", 1}, {MotorStrength, "1 T²·m²/Ω", 1},
	{Compliance, "1 mm/N", 1e-3}, {Compliance, "1 µm/N", 1e-6}, {Compliance, "1 um/N", 1e-6}, {Compliance, "1 m/N", 1}, {Compliance, "1 cm/N", 1e-2},
	{Compliance, "1 cm/dyn", 1e3}, {Compliance, "1 cm/dyne", 1e3}, {Compliance, "1 in/lbf", 0.0254 / 4.4482216152605},
	{Compliance, "1 10⁻⁶ m/N", 1e-6}, {Compliance, "1 1e-6 m/N", 1e-6}, {Compliance, "1 ×10^-6 m/N", 1e-6},
	{Stiffness, "1 N/mm", 1e3}, {Stiffness, "1 N/m", 1}, {Stiffness, "1 kN/m", 1e3}, {Stiffness, "1 N/cm", 1e2}, {Stiffness, "1 dyn/cm", 1e-3}, {Stiffness, "1 dyne/cm", 1e-3}, {Stiffness, "1 lbf/in", 4.4482216152605 / 0.0254},
	{MechanicalResistance, "1 kg/s", 1}, {MechanicalResistance, "1 N·s/m", 1}, {MechanicalResistance, "1 Ns/m", 1}, {MechanicalResistance, "1 g/s", 1e-3}, {MechanicalResistance, "1 kg/sec", 1},
	{MechanicalResistance, "1 mechanical ohm", 1}, {MechanicalResistance, "1 mechanical ohms", 1}, {MechanicalResistance, "1 mechanical Ω", 1},
	{MechanicalResistance, "1 mech. ohm", 1}, {MechanicalResistance, "1 mech ohms", 1}, {MechanicalResistance, "1 mech. \u2126", 1},
	{MechanicalResistance, "1 mks mechanical ohm", 1}, {MechanicalResistance, "1 cgs mechanical ohm", 1e-3}, {MechanicalResistance, "1 dyn·s/cm", 1e-3}, {MechanicalResistance, "1 dyne s/cm", 1e-3},
	{Voltage, "1 V", 1}, {Voltage, "1 mV", 1e-3}, {Voltage, "1 kV", 1e3}, {Voltage, "1 Vrms", 1},
	{Current, "1 A", 1}, {Current, "1 mA", 1e-3},
	{Power, "1 W", 1}, {Power, "1 kW", 1e3}, {Power, "1 mW", 1e-3}, {Power, "1 watt", 1}, {Power, "1 watts", 1}, {Power, "1 Wrms", 1},
	{Pressure, "1 Pa", 1}, {Pressure, "1 kPa", 1e3}, {Pressure, "1 hPa", 1e2}, {Pressure, "1 mPa", 1e-3}, {Pressure, "1 µPa", 1e-6},
	{Pressure, "1 mbar", 1e2}, {Pressure, "1 bar", 1e5}, {Pressure, "1 atm", 101325}, {Pressure, "1 mmHg", 133.322387415}, {Pressure, "1 inHg", 3386.388640341}, {Pressure, "1 psi", 6894.757293168361},
	{Level, "1 dB", 1}, {Level, "1 dB SPL", 1},
	{Temperature, "1 C", 1}, {Temperature, "1 °C", 1}, {Temperature, "1 degC", 1}, {Temperature, "1 deg C", 1}, {Temperature, "1 ℃", 1}, {Temperature, "1 ºC", 1},
	{Temperature, "1 K", -272.15}, {Temperature, "1 F", -155.0 / 9}, {Temperature, "1 °F", -155.0 / 9}, {Temperature, "1 degF", -155.0 / 9}, {Temperature, "1 ℉", -155.0 / 9},
	{Ratio, "1 %", 0.01}, {Ratio, "1 percent", 0.01}, {Ratio, "1 ‰", 0.001},
	{Density, "1 kg/m3", 1}, {Density, "1 g/cm3", 1e3}, {Density, "1 g/L", 1}, {Density, "1 g/l", 1}, {Density, "1 kg/L", 1e3}, {Density, "1 kg/l", 1e3}, {Density, "1 kg/dm3", 1e3}, {Density, "1 lb/ft3", 16.018463373960142},
	{FlowResistivity, "1 Pa s/m2", 1}, {FlowResistivity, "1 Pa·s/m²", 1}, {FlowResistivity, "1 kPa s/m2", 1e3}, {FlowResistivity, "1 N s/m4", 1}, {FlowResistivity, "1 N·s·m⁻⁴", 1}, {FlowResistivity, "1 rayl/m", 1}, {FlowResistivity, "1 rayls/m", 1},
	{Price, "1 EUR", 1}, {Price, "1 USD", 1}, {Price, "1 GBP", 1}, {Price, "1 SEK", 1}, {Price, "1 €", 1}, {Price, "€1", 1}, {Price, "$ 1", 1}, {Price, "1£", 1}, {Price, "EUR 1", 1},
	{Angle, "1 deg", 1}, {Angle, "1°", 1}, {Angle, "1 degree", 1}, {Angle, "1 degrees", 1}, {Angle, "1 rad", 57.29577951308232},
	{Number, "1", 1},
}

// twins are kinds that differ only in the unit they are shown in.
var twins = map[Kind]Kind{Length: Distance, Mass: Weight}

// The tolerance is the rounding of a product or quotient of two float64.
func TestEveryUnitHasItsExactFactor(t *testing.T) {
	for _, c := range exactUnits {
		q, err := Parse(c.text, c.kind)
		if err != nil {
			t.Errorf("%s %q: %v", c.kind, c.text, err)
			continue
		}
		if twin, ok := twins[c.kind]; ok {
			if again, err := Parse(c.text, twin); err != nil || again != q {
				t.Errorf("%q is %+v as a %s, %+v as a %s", c.text, q, c.kind, again, twin)
			}
		}
		if math.Abs(q.SI-c.factor) > 4e-16*math.Abs(c.factor) {
			t.Errorf("%s %q = %.17g, want %.17g", c.kind, c.text, q.SI, c.factor)
		}
	}
}

// No unit of the tables goes untested.
func TestUnitTableIsCovered(t *testing.T) {
	seen := map[Kind]map[string]bool{}
	for _, c := range exactUnits {
		if seen[c.kind] == nil {
			seen[c.kind] = map[string]bool{}
		}
		_, u, err := read(c.text, c.kind)
		if err != nil {
			t.Fatalf("%q: %v", c.text, err)
		}
		seen[c.kind][u.name] = true
	}
	for kind, twin := range twins {
		seen[twin] = seen[kind]
	}
	for k := range Kind(len(kindTable)) {
		for _, u := range kindTable[k].units {
			if !seen[k][u.name] {
				t.Errorf("no exact factor is tested for %s in %q", k, u.name)
			}
		}
	}
}

func TestKindsAreComplete(t *testing.T) {
	names := map[string]bool{}
	for k := range Kind(len(kindTable)) {
		if k.String() == "" || names[k.String()] {
			t.Errorf("kind %d has no name of its own: %q", k, k)
		}
		names[k.String()] = true
		if _, err := Parse(k.Example(), k); err != nil {
			t.Errorf("%s: its example does not parse: %v", k, err)
		}
		for _, name := range k.Units() {
			if _, err := Parse("1 "+name, k); err != nil {
				t.Errorf("%s: a unit that errors name does not parse: %v", k, err)
			}
		}
		switch si := k.SI(); {
		case si == "1": // a Number, a Ratio, a Price
		case unitOf(k, si).factor != 1 || unitOf(k, si).offset != 0:
			t.Errorf("%s: one %s is not one SI unit", k, si)
		}
		if len(k.Units()) == 0 && k != Number {
			t.Errorf("%s names no unit in errors", k)
		}
	}
	if got := Kind(200); got.String() != "quantity" || got.Units() != nil || got.Example() != "" || got.SI() != "" || got.Unit(Metric).Of(3) != 3 {
		t.Errorf("a kind that does not exist is called %q", got)
	}
}

func unitOf(k Kind, typed string) unit {
	u, _ := k.find(canonical(typed))
	return u
}
