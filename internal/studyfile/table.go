package studyfile

import "basswright/internal/phys"

// The table of keys. Everything that can stand in a study is here and nowhere
// else: the walker, the JSON Schema and the manual's list read it.

var studyForm = inside(&object{
	noun: "a study",
	keys: []key{
		{name: "study", form: words(100), required: true, doc: "the study’s name", example: "Camper bench"},
		{name: "note", form: words(4000), doc: "free text", example: "the bench is open to the cabin"},
		{name: "units", form: choice("metric", "imperial"), fallback: "metric", doc: "how results are shown", example: "metric"},
		{name: "air", form: inside(airObject), fallback: "20 °C, 0 %, 101.325 kPa", doc: "the air of the place", example: "{temperature: 23 C, humidity: 45 %, pressure: 98.5 kPa}"},
		{name: "listening", form: inside(listeningObject), fallback: "1 m, half space", doc: "where the level is told for", example: "{distance: 1 m, space: half}"},
		{name: "drive", form: inside(driveObject), fallback: "2.83 V", doc: "what every candidate is fed", example: "{voltage: 2.83 V}"},
		{name: "source", form: inside(sourceObject), fallback: "0 ohm", doc: "what lies between the drive and the groups", example: "{resistance: 0.1 ohm}"},
		{name: "filters", form: register("filter", varies(filterVariant)), doc: "line-level filters before the amplifier, in their order: a name for each", example: "{subsonic: {kind: highpass, at: 24 Hz, order: 4, family: butterworth}}"},
		{name: "amplifier", form: inside(amplifierObject), doc: "the amplifier that the candidates are held against", example: "{rated: {2 ohm: 450 W, 4 ohm: 260 W}}"},
		{name: "parts", form: register("part", varies(partVariant)), doc: "passive parts between the cable and each group, in their order from the amplifier on: a name for each", example: "{choke: {kind: inductor, in: series, inductance: 2 mH, resistance: 0.3 ohm}}"},
		{name: "space", form: inside(spaceObject), doc: "the room that a box must fit into, outside measures of the box", example: "{width: 700 mm, height: 280 mm, depth: 330 mm}"},
		{name: "reference", form: inside(bandObject), fallback: "the octave with the largest mean level", doc: "the band whose mean is the reference level", example: "{from: 60 Hz, to: 120 Hz}"},
		{name: "model", form: inside(modelObject), doc: "choices of the physical model", example: "{radiation: full}"},
		{name: "brief", form: inside(briefObject), doc: "what the customer asks for", example: "{extension: {f3: 32 Hz}}"},
		{name: "drivers", form: register("driver", inside(driverObject)), required: true, doc: "the shortlist: a name for each, with its datasheet", example: "{merlin-10: {fs: 30.5 Hz, qms: 4.9, qes: 0.49, vas: 44 L, sd: 345 cm2, re: 3.3 ohm}}"},
		{name: "candidates", form: register("candidate", inside(candidateObject)), required: true, doc: "the answers to compare; the first is the yardstick", example: "{one: {group: {driver: merlin-10}, enclosure: {kind: sealed, volume: 28 L}}}"},
	},
})

var airObject = &object{
	noun: "air",
	keys: []key{
		{name: "temperature", form: quantity(phys.Temperature, -20, 50), fallback: "20 C", doc: "its temperature", example: "23 C"},
		{name: "humidity", form: quantity(phys.Ratio, 0, 1), fallback: "0 %", doc: "its relative humidity", example: "45 %"},
		{name: "pressure", form: quantity(phys.Pressure, 60e3, 110e3), fallback: "101.325 kPa", doc: "its static pressure", example: "98.5 kPa"},
		{name: "speed_of_sound", form: quantity(phys.Speed, 200, 1500), doc: "stated outright, with density, in place of the other three", example: "343.2 m/s"},
		{name: "density", form: quantity(phys.Density, 0.1, 10), doc: "stated outright, with speed_of_sound", example: "1.2041 kg/m3"},
	},
	rules: []rule{
		{together, []string{"speed_of_sound", "density"}, "give both, or temperature, humidity and pressure"},
		{firstBarred, []string{"speed_of_sound", "temperature", "humidity", "pressure"}, "keep speed_of_sound and density alone, or leave them out"},
	},
}

var driveObject = &object{
	noun: "drive",
	keys: []key{
		{name: "voltage", form: positive(phys.Voltage, 1000), doc: "the same voltage for every candidate", example: "2.83 V"},
		{name: "power", form: positive(phys.Power, 1e5), doc: "the same power into the Re of each group", example: "150 W"},
		{name: "power_per_driver", form: positive(phys.Power, 1e5), doc: "the same power into the Re of each driver", example: "1 W"},
		{name: "amplifier", form: choice("full"), doc: "all that the amplifier gives into the load, frequency by frequency", example: "full"},
		signalKey,
	},
	rules: []rule{{exactlyOne, []string{"voltage", "power", "power_per_driver", "amplifier"}, "keep one of them, such as voltage: 2.83 V"}},
}

// The forms of a rating's two sides.
var (
	ratedLoad  = quantity(phys.Resistance, 0.1, 1000)
	ratedPower = positive(phys.Power, 1e5)
)

var spaceObject = &object{
	noun: "space",
	keys: []key{
		{name: "width", form: quantity(phys.Length, 0.01, 20), required: true, doc: "the largest width", example: "700 mm"},
		{name: "height", form: quantity(phys.Length, 0.01, 20), required: true, doc: "the height", example: "280 mm"},
		{name: "depth", form: quantity(phys.Length, 0.01, 20), required: true, doc: "the depth", example: "330 mm"},
		{name: "panel", form: quantity(phys.Length, 0.001, 0.2), fallback: "18 mm", doc: "the thickness of the boards", example: "18 mm"},
		{name: "material", form: words(100), doc: "what the boards are of", example: "birch plywood"},
	},
}

// Frequencies that bands and tunings may have: the range that is computed.
var (
	frequency = quantity(phys.Frequency, 1, 20000)
	tuning    = quantity(phys.Frequency, 2, 1000)
)

var bandObject = &object{
	noun: "a band",
	keys: []key{
		{name: "from", form: frequency, required: true, doc: "its lower edge", example: "60 Hz"},
		{name: "to", form: frequency, required: true, doc: "its upper edge", example: "120 Hz"},
	},
}

var modelObject = &object{
	noun: "model",
	keys: []key{
		{name: "radiation", form: choice("classical", "full"), fallback: "classical", doc: "classical: cones and ports radiate without loading the motion, as in Small’s papers; full: every face that looks outside carries the exact load of a piston", example: "full"},
		{name: "wall_loss", form: truth(), fallback: "true", doc: "whether the air in ducts loses energy at their walls", example: "false"},
		{name: "chamber_air", form: choice("adiabatic", "linear"), fallback: "adiabatic", doc: "in large-signal work: adiabatic: the air of chambers is a spring that hardens as it is pressed, p ∝ V^−γ; linear: it does not", example: "linear"},
		{name: "static_air", form: choice("leaky", "adiabatic"), fallback: "leaky", doc: "in large-signal work: leaky: the static pressure of closed chambers equalises; adiabatic: their air stays a spring down to dc", example: "adiabatic"},
		{name: "mismatch", form: inside(mismatchObject), fallback: "{bl: 5 %, kms: 10 %}", doc: "in large-signal work: what two samples of a driver differ by, for what they take back of a mirrored stack", example: "{bl: 3 %, kms: 8 %, offset: 0.3 mm}"},
	},
}

// mismatchObject is worded as the usual spread is: the inner driver with less motor
// on a stiffer suspension.
var mismatchObject = &object{
	noun: "a mismatch",
	keys: []key{
		{name: "bl", form: quantity(phys.Ratio, -0.5, 0.5), fallback: "0 %", doc: "by how much the inner driver’s force factor is less; below zero: more", example: "3 %"},
		{name: "kms", form: quantity(phys.Ratio, -0.5, 1), fallback: "0 %", doc: "by how much its suspension is stiffer; below zero: softer", example: "8 %"},
		{name: "offset", form: quantity(phys.Length, -0.02, 0.02), fallback: "0 mm", doc: "by how much its coil rests further towards its own front; below zero: its rear", example: "0.3 mm"},
	},
	rules: []rule{{atLeastOne, []string{"bl", "kms", "offset"}, "give one, such as bl: 3 %"}},
}

var briefObject = &object{
	noun: "a brief",
	keys: []key{
		{name: "extension", form: inside(extensionObject), doc: "how far down the response must reach", example: "{f3: 32 Hz}"},
		{name: "level", form: inside(levelObject), doc: "how loud it must be at one frequency, on the study’s drive", example: "{at: 32 Hz, spl: 105 dB}"},
		{name: "limits", form: inside(limitsObject), doc: "what must not be exceeded", example: "{from: 20 Hz, excursion: xmax}"},
	},
}

var extensionObject = &object{
	noun: "extension",
	keys: []key{
		{name: "f3", form: frequency, doc: "where the response has fallen to half power", example: "32 Hz"},
		{name: "f6", form: frequency, doc: "where it has fallen by 6 dB", example: "28 Hz"},
		{name: "f10", form: frequency, doc: "where it has fallen by 10 dB", example: "24 Hz"},
	},
	rules: []rule{{atLeastOne, []string{"f3", "f6", "f10"}, "give one, such as f3: 32 Hz"}},
}

var levelObject = &object{
	noun: "a level",
	keys: []key{
		{name: "at", form: frequency, required: true, doc: "the frequency", example: "32 Hz"},
		{name: "spl", form: quantity(phys.Level, 0, 200), required: true, doc: "the sound pressure level at the listening distance, re 20 µPa", example: "105 dB"},
	},
}

var limitsObject = &object{
	noun: "limits",
	keys: []key{
		{name: "from", form: quantity(phys.Frequency, 1, 1000), fallback: "20 Hz", doc: "the frequency from which up the limits are held", example: "20 Hz"},
		{name: "excursion", form: either(choice("xmax"), positive(phys.Length, 0.2)), fallback: "each driver’s own xmax", doc: "one way, peak: each driver’s own xmax, or a length", example: "xmax"},
		{name: "port_speed", form: positive(phys.Speed, 343), fallback: "a cautious limit by size, flare and frequency", doc: "peak air speed in ports", example: "17 m/s"},
		{name: "chamber_pressure", form: positive(phys.Pressure, 1e5), doc: "peak sound pressure in any chamber, which walls and cones have to bear", example: "3 kPa"},
		{name: "group_delay", form: positive(phys.Time, 10), doc: "the largest group delay", example: "25 ms"},
		{name: "mass", form: positive(phys.Weight, 10000), doc: "of box and drivers", example: "25 kg"},
		{name: "price", form: positive(phys.Price, 1e9), doc: "of the drivers", example: "400 EUR"},
	},
}
