package studyfile

import "basswright/internal/phys"

var listeningObject = &object{
	noun: "listening",
	keys: []key{
		{name: "distance", form: quantity(phys.Distance, 0.01, 1000), fallback: "1 m", doc: "how far away", example: "2.4 m"},
		{name: "space", form: choice("free", "half", "quarter", "eighth"), fallback: "half", doc: "the part of space that the sound goes into", example: "half"},
		{name: "aside", form: quantity(phys.Angle, -90, 90), fallback: "0 deg", doc: "how far to the side of the baffle’s axis, to the right positive: for what stands on a baffle at several places", example: "20 deg"},
		{name: "above", form: quantity(phys.Angle, -90, 90), fallback: "0 deg", doc: "how far above that axis", example: "10 deg"},
		{name: "cabin", form: inside(cabinObject), doc: "a closed space that holds box and listener, as a car: one pressure below its first mode", example: "{volume: 3 m3, length: 2.6 m, leak: {at: 8 Hz, q: 2}, damping: {q: 3}}"},
		{name: "walls", form: list(quantity(phys.Distance, 0, 100), 1, 3), doc: "how far what radiates stands from walls at right angles to each other, beyond those that space counts already", example: "[0.4 m, 1.2 m]"},
		{name: "transfer", form: words(200), doc: "a table beside the study, from a measurement: in each line a frequency in Hz, the level at the listener over that of the plain space in dB and, if known, a phase in degrees", example: "van-seat.csv"},
	},
	rules: []rule{{atMostOne, []string{"cabin", "walls", "transfer"}, "keep one of them: a cabin has its walls, and a measurement has all"}},
}

var (
	inner      = quantity(phys.Distance, 0.3, 100)
	dampingQ   = quantity(phys.Number, 0.1, 1000)
	cabinRules = []rule{
		{exactlyOne, []string{"volume", "width"}, "give the volume of its air, or length, width and height"},
		{firstNeeds, []string{"width", "height", "length"}, "give length, width and height, or the volume"},
		{firstNeeds, []string{"height", "width"}, "give length, width and height, or the volume"},
		{firstNeeds, []string{"stiffness", "temperature"}, "give the temperature at which suspensions are that stiff, or leave stiffness out"},
	}
)

var cabinObject = &object{
	noun: "a cabin",
	keys: []key{
		{name: "volume", form: quantity(phys.Volume, 0.1, 10000), doc: "of its air, without seats and people", example: "3 m3"},
		{name: "length", form: inner, fallback: "with a volume, 1.5 times the edge of a cube of it", doc: "its longest dimension inside, which its first mode follows from", example: "2.6 m"},
		{name: "width", form: inner, doc: "inside, with length and height in place of the volume", example: "1.4 m"},
		{name: "height", form: inner, doc: "inside, with length and width in place of the volume", example: "1.1 m"},
		{name: "leak", form: inside(leakObject), fallback: "none", doc: "an opening to the outside, as a gap or a window", example: "{area: 40 cm2, length: 2 cm, q: 2}"},
		{name: "damping", form: inside(dampingObject), fallback: "none", doc: "what walls, seats and people take away", example: "{q: 3}"},
		{name: "temperature", form: quantity(phys.Temperature, -20, 50), doc: "of the car: of its air in place of air’s temperature, and of the voice coils before they play", example: "-5 C"},
		{name: "stiffness", form: quantity(phys.Ratio, 0.1, 10), fallback: "100 %", doc: "of suspensions at that temperature, of the sheet’s", example: "140 %"},
	},
	rules: cabinRules,
}

var leakObject = &object{
	noun: "a leak",
	keys: []key{
		{name: "area", form: quantity(phys.Area, 1e-6, 10), doc: "of the opening", example: "40 cm2"},
		{name: "length", form: quantity(phys.Length, 0, 10), fallback: "0 mm", doc: "the way through it, without end corrections", example: "2 cm"},
		{name: "at", form: quantity(phys.Frequency, 0.1, 200), doc: "in place of area and length, where its air resonates with the cabin’s", example: "8 Hz"},
		{name: "q", form: dampingQ, fallback: "without loss", doc: "of the opening alone at that resonance", example: "2"},
	},
	rules: []rule{
		{exactlyOne, []string{"area", "at"}, "give the area of the opening, or the frequency at which it resonates with the cabin"},
		{firstBarred, []string{"at", "length"}, "keep one of the two: a resonance says all of the opening"},
	},
}

var dampingObject = &object{
	noun: "damping",
	keys: []key{
		{name: "q", form: dampingQ, doc: "of the air between the walls, at the leak’s resonance, or without a leak at the first mode", example: "3"},
		{name: "absorption", form: quantity(phys.Area, 1e-4, 1e4), doc: "the equivalent absorption area for sound from all sides, in place of q", example: "1.5 m2"},
	},
	rules: []rule{{exactlyOne, []string{"q", "absorption"}, "keep one of them, such as q: 3"}},
}
