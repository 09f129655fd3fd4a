package studyfile

import (
	"basswright/internal/phys"
	"basswright/internal/study"
)

var candidateObject = &object{
	noun: "a candidate",
	keys: []key{
		{name: "note", form: words(1000), doc: "free text", example: "the yardstick"},
		{name: "group", form: inside(groupObject), required: true, doc: "its drivers, their mounting and wiring", example: "{driver: merlin-10}"},
		{name: "enclosure", form: varies(enclosureVariant), required: true, doc: "the box", example: "{kind: sealed, volume: 28 L}"},
	},
}

var groupObject = &object{
	noun: "a group",
	keys: []key{
		{name: "driver", form: driverName(), doc: "one of the study’s drivers", example: "merlin-10"},
		{name: "members", form: list(list(driverName(), 1, 64), 1, 64), doc: "for unlike drivers, in place of driver, side_by_side and stack: one list for each position, from the listener inward", example: "[[merlin-10, heron-8]]"},
		{name: "side_by_side", form: count(1, 64), fallback: "1", doc: "how many radiating positions share the load", example: "2"},
		{name: "stack", form: count(1, 64), fallback: "1", doc: "how many drivers work one behind another at each position", example: "2"},
		{name: "arrangement", form: choice("tandem", "clamshell", "back_to_back"), fallback: "tandem", doc: "of a stack: the same way, cone to cone, or magnet to magnet; a stack deeper than two is tandem or says its facing", example: "clamshell"},
		{name: "facing", form: list(choice("front", "rear"), 1, 64), doc: "for each driver of one stack, from the listener inward, the side that it turns to the listener", example: "[front, rear, front]"},
		{name: "axis", form: choice(study.Axes()...), fallback: "level", doc: "where the axes of its cones point: upright, a cone hangs on its suspension", example: "down"},
		{name: "coupling", form: either(couplingVolume, inside(couplingObject), list(either(couplingVolume, inside(couplingObject)), 1, 63)), fallback: "rigid", doc: "the air between neighbouring cones of a stack: one for all gaps, or a list with one for each", example: "2.1 L"},
		{name: "wiring", form: either(choice("series", "parallel"), inside(wiringObject)), fallback: "parallel", doc: "of all driven coils of the group", example: "parallel"},
		{name: "split", form: choice("driver", "coil"), fallback: "one channel drives the whole group", doc: "over the channels of the amplifier: each drives as many drivers, in member order, or as many coils of every driver; wiring then counts over the coils of each", example: "coil"},
		{name: "polarity", form: list(choice("normal", "reversed"), 1, 64), fallback: "what the arrangement needs", doc: "for each driver, in member order, as wired at its terminals", example: "[normal, reversed]"},
	},
	rules: []rule{
		{exactlyOne, []string{"driver", "members"}, "name a driver, or list members for unlike ones"},
		{firstBarred, []string{"members", "side_by_side", "stack"}, "keep members alone, or driver with side_by_side and stack"},
		{atMostOne, []string{"arrangement", "facing"}, "keep one of the two"},
	},
}

var couplingVolume = quantity(phys.Volume, 0, 10)

var couplingObject = &object{
	noun: "coupling",
	keys: []key{
		{name: "volume", form: couplingVolume, required: true, doc: "of the air", example: "5 L"},
		{name: "length", form: quantity(phys.Length, 0, 1), fallback: "0 mm: a spring without mass", doc: "from cone to cone: with it the mass of the air counts", example: "22 cm"},
	},
	elsewhere: map[string]string{"fill": "leave fill out: this air moves with the cones and is hardly pressed, and fibres there would rub; fill the chamber behind them"},
}

var wiringObject = &object{
	noun: "wiring",
	keys: []key{{name: "in_series", form: count(1, 512), required: true, doc: "driven coils in each string; the strings are in parallel", example: "2"}},
}

var (
	volumeForm = quantity(phys.Volume, 1e-5, 100)
	volumeKey  = key{name: "volume", form: volumeForm, required: true, doc: "net air: all that stands in the chamber is already out of it", example: "28 L"}
	tuningKey  = key{name: "tuning", form: tuning, doc: "of the chamber’s own air on its port", example: "29 Hz"}
	portKey    = key{name: "port", form: inside(portObject), doc: "an opening with a length; without a length it takes it from the tuning", example: "{diameter: 100 mm}"}
	lossesKey  = key{name: "losses", form: inside(lossesObject), doc: "of the chamber’s air, walls and port; at the enclosure they hold for every chamber that has none of its own", example: "{leakage: 10, port: none}"}
	// closedLossesKey are the losses of a chamber without a port.
	closedLossesKey = key{name: "losses", form: inside(closedLossesObject), doc: "of the chamber’s air and walls", example: "{absorption: 60}"}
)

var tunedChamber = &object{
	noun:  "a tuned chamber",
	keys:  []key{volumeKey, tuningKey, portKey, lossesKey, stuffingKey},
	rules: []rule{tunedRule},
}

var closedChamber = &object{
	noun: "the closed rear chamber of a bandpass box", keys: []key{volumeKey, closedLossesKey, stuffingKey},
	elsewhere: map[string]string{"tuning": sixthOrder, "port": sixthOrder},
}

const (
	fillInside = "write it in rear or front: a chamber is filled by itself"
	oneOpening = "leave it out: one opening alone radiates"
)

const sixthOrder = "leave it out, or take the kind bandpass_parallel or bandpass_series, whose rear chamber has a port"

var tunedRule = rule{atLeastOne, []string{"tuning", "port"}, "give a tuning such as 29 Hz, or a port with its length"}

var loss = either(choice("none"), quantity(phys.Number, 0.1, 1e6))

var (
	leakageKey    = key{name: "leakage", form: loss, fallback: "7 for vented and passive_radiator, none for the others", doc: "QL: a leak from the chamber to the outside", example: "7"}
	absorptionKey = key{name: "absorption", form: loss, fallback: "none", doc: "QA: in series with the chamber’s compliance", example: "60"}
	portLossKey   = key{name: "port", form: loss, fallback: "20 for the tuned chambers of bandpass kinds, none for the others", doc: "QP: in series with the port’s mass", example: "20"}
	lossAtKey     = key{name: "at", form: tuning, fallback: "the chamber’s tuning; of a closed chamber, the resonance of the group on it", doc: "the frequency at which these Q hold", example: "30 Hz"}

	lossesObject       = &object{noun: "losses", keys: []key{leakageKey, absorptionKey, portLossKey, lossAtKey}}
	closedLossesObject = &object{noun: "losses of a chamber without a port", keys: []key{leakageKey, absorptionKey, lossAtKey}}
)

var openingSize = quantity(phys.Length, 0.001, 5)

var portObject = &object{
	noun: "a port",
	keys: []key{
		{name: "shape", form: choice("round", "slot"), fallback: "as its size says", doc: "of its cross-section", example: "slot"},
		{name: "diameter", form: openingSize, doc: "inner diameter of a round port", example: "100 mm"},
		{name: "width", form: openingSize, doc: "inner width of a slot", example: "244 mm"},
		{name: "height", form: openingSize, doc: "inner height of a slot", example: "32 mm"},
		{name: "area", form: quantity(phys.Area, 1e-6, 25), doc: "cross-section of one port of no stated shape", example: "80 cm2"},
		{name: "length", form: quantity(phys.Length, 0.0001, 20), fallback: "from the tuning", doc: "from end to end", example: "240 mm"},
		{name: "count", form: count(1, 64), fallback: "1", doc: "how many alike", example: "2"},
		{name: "inner_end", form: choice("free", "flanged"), fallback: "free", doc: "how it ends inside", example: "free"},
		{name: "outer_end", form: choice("free", "flanged"), fallback: "flanged", doc: "how it ends outside", example: "flanged"},
		{name: "flare", form: quantity(phys.Length, 0, 1), fallback: "0 mm", doc: "radius to which the edges of both ends are rounded; its length is inside the port’s", example: "20 mm"},
	},
	rules: []rule{
		{exactlyOne, []string{"diameter", "width", "area"}, "give diameter for a round port, width and height for a slot, or area alone"},
		{together, []string{"width", "height"}, "give both sides of the slot"},
		{firstBarred, []string{"area", "shape"}, "leave shape out, or give diameter, or width and height"},
	},
}

var alignmentObject = &object{
	noun: "an alignment",
	keys: []key{
		{name: "family", form: choice("b4", "qb3", "c4"), required: true, doc: "the named shape of the response (Small 1973)", example: "qb3"},
		{name: "ripple", form: positive(phys.Level, 12), fallback: "as it comes", doc: "the most ripple that a c4 alignment may have", example: "0.5 dB"},
	},
}

var radiatorObject = &object{
	noun: "a radiator",
	keys: []key{
		{name: "sd", form: quantity(phys.Area, 1e-5, 3), required: true, doc: "effective area of one", example: "515 cm2"},
		{name: "mms", form: quantity(phys.Mass, 1e-5, 50), required: true, doc: "bare moving mass of one", example: "110 g"},
		{name: "cms", form: quantity(phys.Compliance, 1e-7, 1), doc: "compliance of its suspension", example: "0.55 mm/N"},
		{name: "fs", form: quantity(phys.Frequency, 0.5, 1000), doc: "resonance of the bare radiator, in place of cms", example: "20 Hz"},
		{name: "vas", form: quantity(phys.Volume, 1e-5, 50), doc: "in place of cms", example: "200 L"},
		{name: "rms", form: quantity(phys.MechanicalResistance, 1e-4, 1000), doc: "mechanical resistance", example: "2 kg/s"},
		{name: "qms", form: positive(phys.Number, 1000), doc: "Q of the bare radiator, in place of rms", example: "7"},
		{name: "added_mass", form: quantity(phys.Mass, 0, 50), fallback: "from the tuning", doc: "weight put onto each, in place of a tuning", example: "60 g"},
		{name: "count", form: count(1, 64), fallback: "1", doc: "how many alike", example: "2"},
		{name: "xmax", form: positive(phys.Length, 0.2), doc: "its excursion limit, one way", example: "18 mm"},
		{name: "mounting_depth", form: length, doc: "depth behind the flange, for the drawing", example: "60 mm"},
	},
	rules: []rule{
		{exactlyOne, []string{"cms", "fs", "vas"}, "give one of them"},
		{exactlyOne, []string{"rms", "qms"}, "give one of them"},
	},
}

var enclosureVariant = &variant{
	tag: "kind", doc: "the kind of enclosure",
	cases: append([]variantCase{
		{"infinite_baffle", "no box: front and rear look outside, apart from each other", &object{noun: "an infinite_baffle", keys: []key{baffleOf("an infinite baffle’s")}}},
		{"sealed", "a closed box", &object{
			noun: "a sealed enclosure",
			keys: []key{
				optional(volumeKey),
				{name: "system_q", form: quantity(phys.Number, 0.05, 20), doc: "the total Q to be reached: the volume follows", example: "0.7"},
				closedLossesKey, stuffingKey, baffleOf("a sealed enclosure’s"),
			},
			rules: []rule{{exactlyOne, []string{"volume", "system_q"}, "give one of them, such as volume: 28 L"}},
		}},
		{"vented", "a box with a port", &object{
			noun: "a vented enclosure",
			keys: []key{
				optional(volumeKey), tuningKey, portKey,
				{name: "alignment", form: inside(alignmentObject), doc: "a shape of the response in place of volume and tuning", example: "{family: qb3}"},
				lossesKey, stuffingKey, baffleOf("a vented enclosure’s", "port"),
			},
			rules: []rule{
				{exactlyOne, []string{"volume", "alignment"}, "give one of them, such as volume: 28 L: an alignment chooses volume and tuning itself"},
				{atMostOne, []string{"tuning", "alignment"}, "keep one of them: an alignment chooses volume and tuning itself"},
				{atLeastOne, []string{"tuning", "port", "alignment"}, tunedRule.mend},
			},
		}},
		{"passive_radiator", "a box with one or more passive radiators", &object{
			noun: "a passive_radiator enclosure",
			keys: []key{volumeKey, {name: "radiator", form: inside(radiatorObject), required: true, doc: "the radiators", example: "{sd: 515 cm2, mms: 110 g, cms: 0.55 mm/N, qms: 7}"},
				{name: "tuning", form: tuning, doc: "of the box on its radiators: the mass to add follows", example: "24 Hz"}, closedLossesKey, stuffingKey, baffleOf("a passive_radiator enclosure’s", "radiator")},
		}},
		{"bandpass", "fourth order: a closed rear chamber, a front chamber tuned to the outside", &object{
			noun: "a bandpass enclosure", elsewhere: map[string]string{"fill": fillInside, "baffle": oneOpening},
			keys: chambers(closedChamber, "{volume: 18 L}"),
		}},
		{"bandpass_parallel", "sixth order: both chambers tuned to the outside", &object{
			noun: "a bandpass_parallel enclosure", elsewhere: map[string]string{"fill": fillInside},
			keys: append(chambers(tunedChamber, "{volume: 14 L, tuning: 38 Hz}"), portsBaffle),
		}},
		{"bandpass_series", "sixth order: the rear chamber tuned into the front one, that one to the outside", &object{
			noun: "a bandpass_series enclosure", elsewhere: map[string]string{"fill": fillInside, "baffle": oneOpening},
			keys: chambers(tunedChamber, "{volume: 14 L, tuning: 38 Hz}"),
		}},
	}, append(lineCases[:len(lineCases):len(lineCases)], netCase)...),
}

func optional(k key) key {
	k.required = false
	return k
}

func chambers(rear *object, example string) []key {
	return []key{
		{name: "rear", form: inside(rear), required: true, doc: "the chamber behind the cone", example: example},
		{name: "front", form: inside(tunedChamber), required: true, doc: "the chamber before the cone", example: "{volume: 16 L, tuning: 52 Hz}"},
		lossesKey,
	}
}
