package studyfile

import "basswright/internal/phys"

// The keys of where things stand on a baffle.

var spotLength = quantity(phys.Distance, -20, 20)

var spotObject = &object{
	noun: "a place on the baffle",
	keys: []key{
		{name: "x", form: spotLength, fallback: "0 m", doc: "across, to the right as the listener sees it, from where the listening distance begins", example: "30 cm"},
		{name: "y", form: spotLength, fallback: "0 m", doc: "up", example: "-60 cm"},
	},
	rules: []rule{{atLeastOne, []string{"x", "y"}, "give x, y or both"}},
}

// openings tells what each opening of a baffle is.
var openings = map[string]string{
	"mouth": "of the duct", "port": "of the port, or of several as one", "radiator": "of the radiators as one",
	"rear_port": "of the rear chamber’s port", "front_port": "of the front chamber’s port",
}

const baffleDoc = "where what radiates stands: it reaches the listener on ways of its own, and with radiation: full it hears each other"

// baffleOf is the key of a kind whose cones look outside beside openings.
func baffleOf(whose string, of ...string) key {
	return key{name: "baffle", form: inside(baffleWith(whose, append([]string{"cones"}, of...)...)), fallback: "all at one place", doc: baffleDoc, example: "{cones: [{x: -20 cm}, {x: 20 cm}]}"}
}

// portsBaffle is that of a box whose two ports alone radiate.
var portsBaffle = key{name: "baffle", form: inside(baffleWith("a bandpass_parallel enclosure’s", "rear_port", "front_port")), fallback: "all at one place", doc: baffleDoc, example: "{rear_port: {x: 40 cm}}"}

func baffleWith(whose string, of ...string) *object {
	o := &object{noun: whose + " baffle"}
	if last := of[len(of)-1]; len(of) > 1 {
		o.rules = []rule{{atLeastOne, of, "name a place, such as " + last + ": {y: -60 cm}"}}
	}
	for _, name := range of {
		if name == "cones" {
			middle := "one at the middle"
			if len(of) == 1 {
				middle = ""
			}
			o.keys = append(o.keys, key{name: name, form: list(inside(spotObject), 1, 64), required: len(of) == 1, fallback: middle, doc: "the outer cones, one place for each position", example: "[{x: -20 cm}, {x: 20 cm}]"})
			continue
		}
		o.keys = append(o.keys, key{name: name, form: inside(spotObject), fallback: "the middle", doc: openings[name], example: "{x: 0 cm, y: -60 cm}"})
	}
	return o
}
