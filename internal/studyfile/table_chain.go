package studyfile

import "basswright/internal/phys"

// What lies between the signal and the voice coils: amplifier, cable, passive parts.

var sourceObject = &object{
	noun: "source",
	keys: []key{
		{name: "resistance", form: quantity(phys.Resistance, 0, 100), fallback: "0 ohm", doc: "of cable and output together, in series with every group, of a split one with each channel’s share", example: "0.1 ohm"},
		{name: "cable", form: inside(cableObject), doc: "the copper cable from each channel, in place of resistance", example: "{length: 6 m, area: 2.5 mm2}"},
	},
	rules: []rule{{atMostOne, []string{"resistance", "cable"}, "keep one of them: resistance is that of cable and output together"}},
}

var cableObject = &object{
	noun: "a cable",
	keys: []key{
		{name: "length", form: quantity(phys.Distance, 0.01, 1000), required: true, doc: "one way: both conductors are counted", example: "6 m"},
		{name: "area", form: quantity(phys.Area, 1e-8, 1e-3), doc: "cross-section of one conductor", example: "2.5 mm2"},
		{name: "gauge", form: count(phys.ThickestGauge, phys.ThinnestGauge), doc: "American Wire Gauge, in place of area", example: "12"},
	},
	rules: []rule{{exactlyOne, []string{"area", "gauge"}, "give one of them, such as area: 2.5 mm2"}},
}

var amplifierObject = &object{
	noun: "an amplifier",
	keys: []key{
		{name: "rated", form: &form{what: aRating, least: 1, most: 16}, required: true, doc: "continuous sine power by load, of each channel", example: "{2 ohm: 450 W, 4 ohm: 260 W}"},
		{name: "channels", form: count(1, 64), fallback: "1, or 2 where they are bridged", doc: "how many it has; a group with split is shared out over them, any other hangs on one", example: "2"},
		{name: "bridged", form: truth(), fallback: "false", doc: "two channels drive one load: twice the voltage, each sees half of the load", example: "true"},
		{name: "output_resistance", form: quantity(phys.Resistance, 0, 100), fallback: "0 ohm", doc: "of each channel, beside the cable’s", example: "0.02 ohm"},
	},
}

var (
	partIn          = key{name: "in", form: choice("series", "across"), required: true, doc: "in the wire to the group, or from there back to the amplifier", example: "series"}
	partInductance  = key{name: "inductance", form: positive(phys.Inductance, 1), required: true, doc: "its inductance", example: "2 mH"}
	partCapacitance = key{name: "capacitance", form: positive(phys.Capacitance, 1), required: true, doc: "its capacitance", example: "100 uF"}
)

// partLoss is the resistance that a part has beside what it is there for.
func partLoss(doc string) key {
	return key{name: "resistance", form: quantity(phys.Resistance, 0, 1000), fallback: "0 ohm", doc: doc, example: "0.3 ohm"}
}

// partVariant is a passive part between the cable and the group.
var partVariant = &variant{
	tag: "kind", doc: "what the part is",
	cases: []variantCase{
		{"inductor", "a coil", &object{noun: "an inductor", keys: []key{partIn, partInductance, partLoss("of its winding")}}},
		{"capacitor", "a capacitor", &object{noun: "a capacitor", keys: []key{partIn, partCapacitance, partLoss("one behind the other with it")}}},
		{"resistor", "a resistor", &object{noun: "a resistor", keys: []key{partIn,
			{name: "resistance", form: positive(phys.Resistance, 1e5), required: true, doc: "its resistance", example: "4 ohm"}}}},
		{"series_resonant", "coil, capacitor and resistor one behind the other: across the group, a trap for its resonance", &object{noun: "a series_resonant circuit",
			keys: []key{partIn, partInductance, partCapacitance, partLoss("of the whole branch")}}},
		{"parallel_resonant", "coil, capacitor and resistor beside each other: in series, a trap for its resonance", &object{noun: "a parallel_resonant circuit",
			keys: []key{partIn, partInductance, partCapacitance,
				{name: "resistance", form: positive(phys.Resistance, 1e5), fallback: "none", doc: "beside them", example: "8 ohm"}}}},
	},
}
