package studyfile

// The keys of the baffle of a network.

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
