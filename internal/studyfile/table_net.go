package studyfile

import "basswright/internal/phys"

// The keys of networks: a list of parts, each of a kind.

var (
	placeName  = nameOf("place")
	partName   = key{name: "name", form: nameOf("part"), fallback: "of a chamber its place, else its kind, with a number from the second of a kind on", doc: "what its curves and figures are called", example: "slot"}
	atPlace    = key{name: "at", form: placeName, required: true, doc: "the place that it is at", example: "box"}
	betweenKey = key{name: "between", form: list(placeName, 2, 2), doc: "the two places that it joins", example: "[box, outside]"}
)

// somePlace is the key of a part that is at one place or between two.
func somePlace(doc string) key { return key{name: "at", form: placeName, doc: doc, example: "box"} }

var oneOrTwoPlaces = rule{exactlyOne, []string{"at", "between"}, "keep one of them, such as between: [box, outside]"}

var netPortLosses = &object{
	noun: "losses of a port",
	keys: []key{
		{name: "port", form: loss, fallback: "none", doc: "QP: in series with the port’s mass", example: "20"},
		{name: "at", form: referenceAt, fallback: "the port’s tuning", doc: "the frequency at which this Q holds", example: "30 Hz"},
	},
}

// referenceAt is wider than what a tuning may be: a closed chamber’s resonance is
// where it is.
var referenceAt = quantity(phys.Frequency, 0.5, 20000)

var netChamberLosses = &object{
	noun: "losses of a chamber",
	keys: []key{
		{name: "leakage", form: loss, fallback: "none", doc: leakageKey.doc, example: leakageKey.example},
		{name: "absorption", form: loss, fallback: "none", doc: absorptionKey.doc, example: absorptionKey.example},
		{name: "at", form: referenceAt, fallback: "the tuning of the first port there; of none, the resonance of the group on this chamber", doc: "the frequency at which these Q hold", example: "30 Hz"},
	},
	elsewhere: map[string]string{"port": "write losses: {port: …} in the port, which is a part of its own"},
}

var tapObject = &object{
	noun: "a place along a duct",
	keys: []key{
		{name: "at", form: quantity(phys.Length, 0.0001, 100), required: true, doc: "its distance from where the duct begins, along the axis", example: "0.6 m"},
		{name: "place", form: placeName, required: true, doc: "its name", example: "line"},
	},
}

var netPartVariant = &variant{
	tag: "kind", doc: "the kind of part",
	cases: []variantCase{
		{"chamber", "air that is pressed, at a place", &object{
			noun:      "a chamber of a network",
			keys:      []key{partName, atPlace, volumeKey, {name: "losses", form: inside(netChamberLosses), doc: "of its air and walls; its leak goes to the outside", example: "{leakage: 7, at: 30 Hz}"}, stuffingKey},
			elsewhere: map[string]string{"between": "write at: a chamber is at one place; two places are joined by a port, a leak or a duct", "port": "write it as a part of its own: {kind: port, at: box, port: {diameter: 100 mm, length: 240 mm}}", "tuning": "write it in the port, which is a part of its own", "bodies": "take them off the volume, which is that of the air"},
		}},
		{"port", "air that moves as one, between two places", &object{
			noun: "a port of a network",
			keys: []key{
				partName, somePlace("the place that it joins to the outside"), betweenKey,
				{name: "tuning", form: tuning, doc: "of the chamber at its first place, or of the one at its second where there is none: the length follows, or without a size an ideal mass", example: "29 Hz"},
				portKey,
				{name: "losses", form: inside(netPortLosses), doc: "of its air", example: "{port: 20}"},
			},
			rules: []rule{oneOrTwoPlaces, tunedRule},
		}},
		{"duct", "a duct between two places; other places may lie along it", &object{
			noun: "a duct of a network",
			keys: []key{
				partName, somePlace("the place where it begins; its other end is closed"),
				{name: "between", form: list(placeName, 2, 2), doc: "the places where it begins and ends; closed is a closed end", example: "[closed, mouth]"},
				{name: "duct", form: ductKey.form, required: true, doc: "its course, from where it begins", example: ductKey.example},
				{name: "taps", form: list(inside(tapObject), 1, 20), doc: "other places along it", example: "[{at: 0.6 m, place: line}]"},
				ductFillKey,
			},
			rules:     []rule{oneOrTwoPlaces},
			elsewhere: map[string]string{"mouth": "write it as a part of its own: {kind: opening, at: mouth}"},
		}},
		{"diaphragm", "a passive diaphragm between two places", &object{
			noun: "a diaphragm",
			keys: []key{
				partName, somePlace("the place that it closes against the outside"), betweenKey,
				{name: "radiator", form: inside(radiatorObject), required: true, doc: "what it is; without added_mass nothing is put onto it", example: "{sd: 515 cm2, mms: 110 g, cms: 0.55 mm/N, qms: 7}"},
			},
			rules:     []rule{oneOrTwoPlaces},
			elsewhere: map[string]string{"tuning": "give added_mass in radiator: what a diaphragm tunes depends on all that it is joined to"},
		}},
		{"opening", "where a place looks outside, with the load of a mouth", &object{
			noun: "an opening",
			keys: []key{
				partName, atPlace,
				{name: "area", form: ductArea, fallback: "that of the duct that ends there", doc: "its area", example: "400 cm2"},
				{name: "width", form: quantity(phys.Length, 0.005, 20), fallback: "as the duct’s, or round", doc: "of a rectangular one: one of its sides", example: "400 mm"},
				{name: "mouth", form: mouthKey.form, fallback: "{end: flanged, load: pipe}", doc: "how it ends", example: "{end: flanged, load: piston}"},
			},
			elsewhere: map[string]string{"between": "write at: an opening leads from one place to the outside"},
		}},
		{"leak", "a resistance between two places", &object{
			noun:  "a leak of a network",
			keys:  []key{partName, somePlace("the place that it joins to the outside"), betweenKey, {name: "resistance", form: acousticResistance, required: true, doc: "its acoustic resistance: pressure over volume velocity", example: "60000 Pa s/m3"}},
			rules: []rule{oneOrTwoPlaces},
		}},
		{"absorber", "a porous sheet that air is pressed through, between two places, or at one with air of its own behind it", &object{
			noun: "an absorber",
			keys: []key{
				partName, somePlace("the place that it absorbs in; it needs volume"), betweenKey,
				{name: "resistance", form: acousticResistance, doc: "its acoustic resistance", example: "9000 Pa s/m3"},
				{name: "resistivity", form: quantity(phys.FlowResistivity, 1, 1e6), doc: "of the sheet, with thickness and area, in place of the resistance", example: "9000 Pa s/m2"},
				{name: "thickness", form: quantity(phys.Length, 0.0001, 1), doc: "of the sheet", example: "20 mm"},
				{name: "area", form: ductArea, doc: "of the sheet", example: "200 cm2"},
				{name: "volume", form: volumeForm, doc: "of the air behind it, with at", example: "8 L"},
			},
			rules: []rule{
				oneOrTwoPlaces,
				{exactlyOne, []string{"resistance", "resistivity"}, "give one of them, such as resistance: 9000 Pa s/m3"},
				{firstNeeds, []string{"resistivity", "thickness", "area"}, "add them, such as thickness: 20 mm and area: 200 cm2"},
				{firstBarred, []string{"resistance", "thickness", "area"}, "keep the resistance alone"},
				{firstBarred, []string{"between", "volume"}, "leave volume out, or write at: the place at the other side has air of its own"},
				{firstNeeds, []string{"at", "volume"}, "add volume, such as volume: 8 L, or join two places by between"},
			},
		}},
		{"drivers", "a position of the group whose cones look elsewhere than front and rear say: a second group of drivers in the same network", &object{
			noun: "drivers",
			keys: []key{
				{name: "position", form: count(1, 64), required: true, doc: "which of the group’s positions side by side, from 1", example: "2"},
				{name: "between", form: list(placeName, 2, 2), required: true, doc: "what the front and the rear of its cones look into", example: "[outside, rear]"},
			},
			elsewhere: map[string]string{"at": "write between: the front of a cone looks into one place and its rear into another", "name": "leave it out: drivers are called by their place in the group"},
		}},
	},
}

var acousticResistance = quantity(phys.AcousticResistance, 1, 1e12)

// mostParts bounds a network: one of more parts is a slip, or meant for a program of
// finite elements.
const mostParts = 40

var netCase = variantCase{"network", "named places joined by parts, for what has no name yet", &object{
	noun: "a network",
	keys: []key{
		{name: "front", form: placeName, required: true, doc: "the place that the front of the cone looks into: outside is where the listener is, behind is outside too, but apart from the listener", example: "outside"},
		{name: "rear", form: placeName, required: true, doc: "the place that its rear looks into", example: "box"},
		{name: "parts", form: list(varies(netPartVariant), 1, mostParts), fallback: "none: a wall between outside and behind", doc: "what joins the places", example: "[{kind: chamber, at: box, volume: 28 L}]"},
		netBaffleKey,
	},
}}
