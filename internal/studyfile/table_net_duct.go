package studyfile

import "basswright/internal/phys"

// The keys of what only the ducts and the baffle of a network have.

var bodyObject = &object{
	noun: "a body in a duct",
	keys: []key{
		{name: "from", form: along, fallback: "0 m", doc: "where it begins, from the start of the duct", example: "54 cm"},
		{name: "to", form: positive(phys.Length, 100), fallback: "the duct’s end", doc: "where it ends", example: "66 cm"},
		{name: "volume", form: volumeForm, required: true, doc: "what it takes of the duct there: everywhere the same share of the cross-section", example: "1.4 L"},
	},
}

var bodiesKey = key{name: "bodies", form: list(inside(bodyObject), 1, 20), fallback: "none: it is empty", doc: "what stands in the duct, such as drivers, and takes its volume off the cross-section", example: "[{from: 54 cm, to: 66 cm, volume: 1.4 L}]"}

var netBaffleObject = &object{
	noun: "a network’s baffle",
	keys: []key{
		{name: "cones", form: list(inside(spotObject), 1, 64), fallback: "one at the middle", doc: "the cones that look outside, one place for each position of the group", example: "[{x: -20 cm}, {x: 20 cm}]"},
		{name: "parts", form: register("part", inside(spotObject)), fallback: "the middle", doc: "parts that reach outside, by their names: openings, ports, diaphragms, leaks", example: "{mouth: {y: -60 cm}}"},
	},
	rules:     []rule{{atLeastOne, []string{"cones", "parts"}, "name a place, such as parts: {mouth: {y: -60 cm}}"}},
	elsewhere: inParts(),
}

// inParts tells where the keys of other baffles went.
func inParts() map[string]string {
	out := map[string]string{}
	for name := range openings {
		out[name] = "write it in parts, by the name of the part: parts: {" + name + ": {y: -60 cm}}"
	}
	return out
}

var netBaffleKey = key{name: "baffle", form: inside(netBaffleObject), fallback: "all at one place", doc: baffleDoc, example: "{cones: [{x: -20 cm}, {x: 20 cm}], parts: {mouth: {y: -60 cm}}}"}
