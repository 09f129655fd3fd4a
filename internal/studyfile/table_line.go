package studyfile

import "basswright/internal/phys"

// The keys of enclosures whose work a duct does, and of fill.

var (
	along     = quantity(phys.Length, 0, 100)
	ductArea  = quantity(phys.Area, 1e-5, 100)
	ductShape = choice("cone", "parabolic", "exponential", "hyperbolic", "tractrix")
)

var pointObject = &object{
	noun: "a point of a profile",
	keys: []key{
		{name: "at", form: along, required: true, doc: "its distance from the start, along the axis", example: "0.6 m"},
		{name: "area", form: ductArea, required: true, doc: "the cross-section there; two points at one place are a jump", example: "180 cm2"},
	},
}

var takenObject = &object{
	noun: "what stands in a duct",
	keys: []key{
		{name: "from", form: along, required: true, doc: "where it begins, from the start of the duct", example: "0.5 m"},
		{name: "to", form: positive(phys.Length, 100), required: true, doc: "where it ends", example: "0.7 m"},
		{name: "volume", form: volumeForm, required: true, doc: "what it takes off", example: "1.2 L"},
	},
}

var ductObject = &object{
	noun: "a duct",
	keys: []key{
		{name: "length", form: quantity(phys.Length, 0.001, 100), doc: "along its axis, from the closed end or the throat to the mouth; of a tractrix and of a profile it follows", example: "1.8 m"},
		{name: "tuning", form: tuning, doc: "of a transmission_line and a tapped_waveguide, in place of the length: its quarter wave, from which the length follows with the end, the fill and what stands in it", example: "34 Hz"},
		{name: "area", form: ductArea, doc: "the cross-section of a straight one", example: "120 cm2"},
		{name: "start", form: ductArea, doc: "the cross-section at the closed end or the throat", example: "240 cm2"},
		{name: "end", form: ductArea, doc: "the cross-section at the mouth", example: "120 cm2"},
		{name: "flare", form: ductShape, fallback: "cone", doc: "from start to end: cone: the width in proportion to the distance; parabolic: the area; exponential; hyperbolic; tractrix", example: "exponential"},
		{name: "t", form: quantity(phys.Number, 0, 1000), doc: "Salmon’s T of a hyperbolic flare: 0 catenoidal, 1 exponential", example: "0.6"},
		{name: "profile", form: list(inside(pointObject), 2, 400), doc: "points of the cross-section along the axis, the first at 0, in place of length and areas", example: "[{at: 0 m, area: 240 cm2}, {at: 1.8 m, area: 120 cm2}]"},
		{name: "between", form: choice("cone", "parabolic", "exponential"), fallback: "cone", doc: "the flare between the points of a profile", example: "parabolic"},
		{name: "width", form: quantity(phys.Length, 0.005, 20), fallback: "round", doc: "of a rectangular duct between two parallel walls: the one side, the same all along", example: "240 mm"},
		{name: "aspect", form: quantity(phys.Number, 1, 100), fallback: "round", doc: "of a rectangular duct that keeps its form: the wider side over the narrower", example: "1.5"},
		{name: "taken", form: list(inside(takenObject), 1, 20), doc: "what else stands in it, each from a place to another: it takes its volume off the cross-section there", example: "[{from: 0.5 m, to: 0.7 m, volume: 1.2 L}]"},
		{name: "bodies", form: choice("counted", "left_out"), fallback: "counted", doc: "of a transmission_line and a tapped_waveguide: counted: what stands in the duct, drivers with what joins and carries them, takes its volume off the cross-section there", example: "left_out"},
		{name: "jumps", form: choice("corrected", "plain"), fallback: "corrected", doc: "where the area jumps: corrected: the air that flows together there has a mass; plain: it has none", example: "plain"},
	},
	rules: []rule{
		{exactlyOne, []string{"area", "start", "profile"}, "give area for a straight duct, start and end for one that changes, or a profile"},
		{together, []string{"start", "end"}, "give both"},
		{atMostOne, []string{"length", "tuning"}, "keep one of the two: a tuning tells the length"},
		{firstBarred, []string{"profile", "length", "tuning", "flare", "t"}, "keep the profile alone: its points tell the length, and between the flare"},
		{firstNeeds, []string{"between", "profile"}, "write flare, or give a profile"},
		{firstNeeds, []string{"flare", "start", "end"}, "give start and end, or leave flare out of a straight duct"},
		{firstNeeds, []string{"t", "flare"}, "add flare: hyperbolic"},
		{atMostOne, []string{"width", "aspect"}, "keep one of the two"},
	},
}

var mouthEnd = choice("flanged", "free")

var mouthObject = &object{
	noun: "a mouth",
	keys: []key{
		{name: "end", form: mouthEnd, required: true, doc: "flanged: it ends in a wide wall; free: as a pipe without one", example: "flanged"},
		{name: "load", form: choice("pipe", "piston"), fallback: "pipe for a transmission_line, piston for the others", doc: "how its air moves: pipe: faster at the rim; piston: all alike", example: "pipe"},
	},
}

// fillKeys tell what fill is.
var fillKeys = []key{
	{name: "resistivity", form: quantity(phys.FlowResistivity, 1, 1e6), doc: "its flow resistivity", example: "2000 Pa s/m2"},
	{name: "material", form: choice("glass", "polyester"), doc: "in place of the resistivity, with its packing: glass or mineral wool, or polyester", example: "polyester"},
	{name: "packing", form: quantity(phys.Density, 0.5, 300), doc: "its weight over the volume that it fills", example: "14 kg/m3"},
	{name: "fibre", form: quantity(phys.Length, 0.5e-6, 100e-6), doc: "the diameter of the fibres of glass wool", example: "9 µm"},
	{name: "frame", form: choice("rigid", "limp"), fallback: "rigid", doc: "rigid: its fibres stand still; limp: the air moves them, as in loose wool, and packing says how heavy they are", example: "limp"},
	{name: "model", form: choice("allard_champoux", "miki"), fallback: "allard_champoux", doc: "allard_champoux: of 1992, physical at all frequencies; miki: the fit of 1990, which holds above f/σ = 0.01 and warns below", example: "miki"},
}

var fillRules = []rule{
	{exactlyOne, []string{"resistivity", "material"}, "give one of them, such as resistivity: 2000 Pa s/m2"},
	{firstNeeds, []string{"material", "packing"}, "add packing, such as packing: 14 kg/m3"},
	{firstNeeds, []string{"fibre", "material"}, "leave fibre out, or give material: glass in place of the resistivity"},
}

var fillObject = &object{
	noun: "fill of a duct",
	keys: append(fillKeys[:len(fillKeys):len(fillKeys)],
		key{name: "from", form: along, fallback: "0 m", doc: "where it begins, from the start of the duct", example: "0 m"},
		key{name: "to", form: positive(phys.Length, 100), fallback: "the mouth", doc: "where it ends", example: "0.9 m"},
	),
	rules:     fillRules,
	elsewhere: map[string]string{"share": "write from and to: a duct is filled from one place to another"},
}

var stuffingObject = &object{
	noun: "fill of a chamber",
	keys: append(fillKeys[:len(fillKeys):len(fillKeys)],
		key{name: "share", form: quantity(phys.Ratio, 0.01, 1), fallback: "100 %", doc: "of the chamber’s volume that is filled", example: "60 %"},
	),
	rules:     fillRules,
	elsewhere: map[string]string{"from": "write share: a chamber is filled by a part of its volume", "to": "write share: a chamber is filled by a part of its volume"},
}

var stuffingKey = key{name: "fill", form: inside(stuffingObject), doc: "fibrous fill: it makes the air softer, as a larger volume would, by at most γ, and takes energy", example: "{resistivity: 4000 Pa s/m2}"}

var (
	ductKey     = key{name: "duct", form: inside(ductObject), required: true, doc: "the duct, from its closed end or throat to its mouth", example: "{length: 1.8 m, area: 120 cm2}"}
	mouthKey    = key{name: "mouth", form: either(mouthEnd, inside(mouthObject)), fallback: "flanged", doc: "how the duct ends", example: "flanged"}
	ductFillKey = key{name: "fill", form: either(inside(fillObject), list(inside(fillObject), 1, 20)), doc: "fibrous fill of the duct, whole or from a place to another; several in a list", example: "{resistivity: 2000 Pa s/m2, from: 0 m, to: 0.9 m}"}
)

var throatChamber = &object{
	noun: "a throat chamber",
	keys: []key{{name: "volume", form: volumeForm, required: true, doc: "of the air", example: "1.5 L"}, stuffingKey},
}

var hornRear = &object{
	noun: "the closed rear chamber of a horn", keys: []key{volumeKey, closedLossesKey, stuffingKey},
}

var throatKey = key{name: "throat_chamber", form: inside(throatChamber), fallback: "none: the cone looks into the throat", doc: "the air between cone and throat", example: "{volume: 1.5 L}"}

var lineCases = []variantCase{
	{"transmission_line", "the rear of the cone looks into a duct, at its closed end or along it, whose mouth radiates beside the cone", &object{
		noun: "a transmission_line",
		keys: []key{ductKey, {name: "driver_at", form: either(choice("quiet"), along), fallback: "0 m: at the closed end", doc: "where the cone looks into the duct, from the closed end; quiet: where it excites the three-quarter wave through losses alone", example: "0.6 m"}, mouthKey, ductFillKey, baffleOf("a transmission_line’s", "mouth")},
	}},
	{"tapped_waveguide", "front and rear of the cone look into one duct at two places; its mouth alone radiates", &object{
		noun: "a tapped_waveguide", elsewhere: map[string]string{"baffle": oneOpening},
		keys: []key{
			ductKey,
			{name: "front_at", form: along, required: true, doc: "where the front of the cone looks into the duct, from the closed end", example: "0.15 m"},
			{name: "rear_at", form: along, required: true, doc: "where its rear does", example: "1.65 m"},
			mouthKey, ductFillKey,
		},
	}},
	{"front_loaded_horn", "the front of the cone looks into a horn, its rear into a closed chamber", &object{
		noun: "a front_loaded_horn", elsewhere: map[string]string{"baffle": oneOpening},
		keys: []key{ductKey, {name: "rear", form: inside(hornRear), required: true, doc: "the closed chamber behind the cone", example: "{volume: 18 L}"}, throatKey, mouthKey, ductFillKey},
	}},
	{"back_loaded_horn", "the rear of the cone looks into a horn, its front outside", &object{
		noun: "a back_loaded_horn",
		keys: []key{ductKey, throatKey, mouthKey, ductFillKey, baffleOf("a back_loaded_horn’s", "mouth")},
	}},
}
