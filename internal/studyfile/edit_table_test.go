package studyfile

import (
	"errors"
	"strings"
	"testing"
)

const (
	lined = `# A study of its own.
study: Ledge # its name
note: |
  Two lines
  of text.

brief: # what is asked
  limits: {from: 20 Hz, mass: 25 kg} # all of them
drivers:
  # a good one
  wren-6: # small
    fs: 38 Hz # in free air
    # qms is a guess
    qms: 4.2
  heron-8: {fs: 30 Hz, qms: 4}
candidates:
  one: # the yardstick
    group: {driver: wren-6, polarity: [normal, reversed]}
    enclosure:
      kind: sealed
      volume: 28 L # net
  two:
    group: {members: [[wren-6, heron-8], [heron-8, wren-6]]}
    enclosure: {kind: vented, volume: '40 L', port: {diameter: "100 mm"}}
`
	dashed = `study: Dashes
candidates:
  one:
    group:
      polarity:
        - normal # front
        - reversed
      members:
        - - wren-6 # inner
          - heron-8
        - [heron-8, wren-6]
      coupling:
      - volume: 5 L # air
        length: 22 cm
      - 1.4 L
`
	spread = `study: Spread
brief: {
  limits: {from: 20 Hz}, # held
  level: {at: 32 Hz, spl: 105 dB}, # loud
}
air: {
  temperature: 23 C,
  humidity: 45 % # wet
}
`
)

type edited struct {
	name, before string
	change       Change
	// old is what is replaced by new; what stands around it stays.
	old, new string
}

var setCases = []edited{
	{"plain", lined, Change{Path: "candidates.one.enclosure.volume", Value: "30 L"}, "volume: 28 L # net", "volume: 30 L # net"},
	{"top", lined, Change{Path: "study", Value: "Shelf"}, "study: Ledge #", "study: Shelf #"},
	{"in braces", lined, Change{Path: "brief.limits.mass", Value: "30 kg"}, "mass: 25 kg}", "mass: 30 kg}"},
	{"single quotes stay", lined, Change{Path: "candidates.two.enclosure.volume", Value: "41 L"}, "'40 L'", "'41 L'"},
	{"double quotes stay", lined, Change{Path: "candidates.two.enclosure.port.diameter", Value: "90 mm"}, `"100 mm"`, `"90 mm"`},
	{"space around is no part of it", lined, Change{Path: "drivers.wren-6.fs", Value: " 39 Hz "}, "fs: 38 Hz", "fs: 39 Hz"},
	{"item", lined, Change{Path: "candidates.one.group.polarity[0]", Value: "reversed"}, "[normal, reversed]", "[reversed, reversed]"},
	{"item of an item", lined, Change{Path: "candidates.two.group.members[1][0]", Value: "wren-6"}, "[heron-8, wren-6]]", "[wren-6, wren-6]]"},
	{"item of lines", dashed, Change{Path: "candidates.one.group.polarity[0]", Value: "reversed"}, "- normal # front", "- reversed # front"},
	{"item of lines of lines", dashed, Change{Path: "candidates.one.group.members[0][0]", Value: "heron-8"}, "- - wren-6 # inner", "- - heron-8 # inner"},
	{"key of an item", dashed, Change{Path: "candidates.one.group.coupling[0].volume", Value: "6 L"}, "- volume: 5 L # air", "- volume: 6 L # air"},
	{"one more item", lined, Change{Path: "candidates.one.group.polarity[2]", Value: "normal"}, "reversed]}", "reversed, normal]}"},
	{"one more item of lines", dashed, Change{Path: "candidates.one.group.polarity[2]", Value: "normal"}, "- reversed\n", "- reversed\n        - normal\n"},
	{"one more item in an item", dashed, Change{Path: "candidates.one.group.members[0][2]", Value: "wren-6"}, "          - heron-8\n", "          - heron-8\n          - wren-6\n"},
	{"text of lines stays so", lined, Change{Path: "note", Value: "One\nor two\n"}, "  Two lines\n  of text.\n", "  One\n  or two\n"},
	{"text of lines, not ended", lined, Change{Path: "note", Value: "One"}, "|\n  Two lines\n  of text.\n", "|-\n  One\n"},
	{"text becomes lines", lined, Change{Path: "study", Value: "A\nB"}, "study: Ledge # its name\n", "study: |- # its name\n  A\n  B\n"},
	{"text with a break in braces", "drivers: {a: {fs: 1 Hz}}\nspace: {material: oak}\n", Change{Path: "space.material", Value: "oak\nand ash"}, "oak", `"oak\nand ash"`},
	{"an object by an object", lined, Change{Path: "candidates.one.enclosure", Value: "{kind: infinite_baffle}"}, "enclosure:\n      kind: sealed\n      volume: 28 L # net\n", "enclosure: {kind: infinite_baffle}\n"},
	{"an object in braces by another", lined, Change{Path: "brief.limits", Value: "{from: 30 Hz}"}, "{from: 20 Hz, mass: 25 kg} #", "{from: 30 Hz} #"},
	{"lines in place of lines", lined, Change{Path: "brief", Value: "extension: # low\n  f3: 32 Hz\nlevel: {at: 32 Hz, spl: 105 dB}\n"}, "brief: # what is asked\n  limits: {from: 20 Hz, mass: 25 kg} # all of them\n", "brief: # what is asked\n  extension: # low\n    f3: 32 Hz\n  level: {at: 32 Hz, spl: 105 dB}\n"},
	{"lines in place of braces", lined, Change{Path: "drivers.heron-8", Value: "fs: 31 Hz\nqms: 5"}, "heron-8: {fs: 30 Hz, qms: 4}\n", "heron-8:\n    fs: 31 Hz\n    qms: 5\n"},
	{"lines between braces are one line", lined, Change{Path: "candidates.two.enclosure.port", Value: "diameter: 90 mm\nlength: 200 mm\n"}, `{diameter: "100 mm"}`, "{diameter: 90 mm, length: 200 mm}"},
	{"a list by a list", dashed, Change{Path: "candidates.one.group.polarity", Value: "[reversed, normal]"}, "polarity:\n        - normal # front\n        - reversed\n", "polarity: [reversed, normal]\n"},
	{"an item of keys by a value", dashed, Change{Path: "candidates.one.group.coupling[0]", Value: "2 L"}, "- volume: 5 L # air\n        length: 22 cm\n", "- 2 L\n"},
	{"a value by keys", dashed, Change{Path: "candidates.one.group.coupling[1]", Value: "{volume: 2 L, length: 20 cm}"}, "- 1.4 L", "- {volume: 2 L, length: 20 cm}"},
	{"absent, lines", lined, Change{Path: "drivers.wren-6.qes", Value: "0.4"}, "    qms: 4.2\n", "    qms: 4.2\n    qes: 0.4\n"},
	{"absent, braces", lined, Change{Path: "drivers.heron-8.qes", Value: "0.4"}, "qms: 4}", "qms: 4, qes: 0.4}"},
	{"absent, behind a comment", lined, Change{Path: "candidates.one.enclosure.system_q", Value: "0.7"}, "# net\n", "# net\n      system_q: 0.7\n"},
	{"absent, at the top, in order", lined, Change{Path: "air", Value: "{temperature: 23 C}"}, "\nbrief:", "air: {temperature: 23 C}\n\nbrief:"},
	{"absent parent", lined, Change{Path: "air.temperature", Value: "23 C"}, "\nbrief:", "air: {temperature: 23 C}\n\nbrief:"},
	{"absent parents", "study: A\ndrivers: {}\n", Change{Path: "brief.limits.mass", Value: "25 kg"}, "study: A\n", "study: A\nbrief:\n  limits: {mass: 25 kg}\n"},
	{"absent parents in braces", "{study: A, drivers: {}}\n", Change{Path: "brief.limits.mass", Value: "25 kg"}, "study: A,", "study: A, brief: {limits: {mass: 25 kg}},"},
	{"absent, first of all", "# top\ndrivers: {}\n", Change{Path: "study", Value: "A"}, "# top\n", "# top\nstudy: A\n"},
	{"absent list", lined, Change{Path: "candidates.two.group.polarity[0]", Value: "normal"}, "wren-6]]}", "wren-6]], polarity: [normal]}"},
	{"a key without a value", "study: A\nbrief: # soon\ndrivers: {}\n", Change{Path: "brief.limits.mass", Value: "25 kg"}, "brief: # soon\n", "brief: # soon\n  limits: {mass: 25 kg}\n"},
	{"a value for a key that has none", "study:\ndrivers: {}\n", Change{Path: "study", Value: "A"}, "study:\n", "study: A\n"},
	{"a value for a key in braces that has none", "air: {humidity: , temperature}\n", Change{Path: "air.temperature", Value: "20 C"}, "temperature}", "temperature: 20 C}"},
	{"into empty braces", "study: A\nair: { }\n", Change{Path: "air.temperature", Value: "20 C"}, "{ }", "{temperature: 20 C }"},
	{"behind a last comma", "air: {humidity: 45 %,}\n", Change{Path: "air.temperature", Value: "20 C"}, "45 %,}", "45 %, temperature: 20 C,}"},
	{"braces over lines", spread, Change{Path: "brief.extension", Value: "{f3: 32 Hz}"}, "# loud\n", "# loud\n  extension: {f3: 32 Hz},\n"},
	{"braces over lines without a last comma", spread, Change{Path: "air.pressure", Value: "98 kPa"}, "45 % # wet\n", "45 %, # wet\n  pressure: 98 kPa\n"},
	{"a new driver like its neighbours", "drivers:\n  a:\n    fs: 1 Hz\n    # qms: 4\n\ncandidates: {}\n", Change{Path: "drivers.b", Value: "{fs: 2 Hz, qms: 3}"}, "# qms: 4\n", "# qms: 4\n  b:\n    fs: 2 Hz\n    qms: 3\n"},
	{"a new load", "amplifier:\n  rated: {2 ohm: 450 W} # sine\n", Change{Path: "amplifier.rated.0.5 ohm", Value: "20 W"}, "450 W}", "450 W, 0.5 ohm: 20 W}"},
	{"a load with a point", "amplifier: {rated: {0.5 ohm: 20 W}}\n", Change{Path: "amplifier.rated.0.5 ohm", Value: "21 W"}, "20 W", "21 W"},
	{"a key that no study has", "study: A\ncolour: {hue: 4}\n", Change{Path: "colour.hue", Value: "5"}, "hue: 4", "hue: 5"},
	{"no end of the last line", "study: A\nnote: b", Change{Path: "units", Value: "imperial"}, "note: b", "note: b\nunits: imperial"},
	{"an end of the document", "---\nstudy: A\n...\n", Change{Path: "units", Value: "imperial"}, "study: A\n", "study: A\nunits: imperial\n"},
	{"wide letters before", "air: {temperature: 23 °C, humidity: 4½ %, pressure: 1 kPa}\n", Change{Path: "air.pressure", Value: "2 kPa"}, "1 kPa", "2 kPa"},
}

var quoteCases = []edited{
	{"colon", lined, Change{Path: "study", Value: "Ledge: wide"}, "Ledge #", `"Ledge: wide" #`},
	{"hash", lined, Change{Path: "study", Value: "Ledge #2"}, "Ledge #", `"Ledge #2" #`},
	{"hash inside a word", lined, Change{Path: "study", Value: "Ledge#2"}, "Ledge #", `Ledge#2 #`},
	{"yes", lined, Change{Path: "study", Value: "yes"}, "Ledge #", `"yes" #`},
	{"null", lined, Change{Path: "study", Value: "null"}, "Ledge #", `"null" #`},
	{"number", lined, Change{Path: "study", Value: "1_000"}, "Ledge #", `"1_000" #`},
	{"date", lined, Change{Path: "study", Value: "2031-05-01"}, "Ledge #", `"2031-05-01" #`},
	{"empty", lined, Change{Path: "study", Value: ""}, "Ledge #", `"" #`},
	{"sign in front", lined, Change{Path: "study", Value: "*ledge"}, "Ledge #", `"*ledge" #`},
	{"dash", lined, Change{Path: "study", Value: "- ledge"}, "Ledge #", `"- ledge" #`},
	{"minus", lined, Change{Path: "brief.limits.from", Value: "-3 Hz"}, "20 Hz", "-3 Hz"},
	{"space in front", lined, Change{Path: "study", Value: " ledge"}, "Ledge #", `" ledge" #`},
	{"comma in braces", lined, Change{Path: "brief.limits.mass", Value: "2,5 kg"}, "25 kg", `"2,5 kg"`},
	{"comma in a line", lined, Change{Path: "candidates.one.enclosure.volume", Value: "2,5 L"}, "28 L", "2,5 L"},
	{"quotes inside", lined, Change{Path: "study", Value: `a "ledge" it's`}, "Ledge #", `a "ledge" it's #`},
	{"quotes around are read", lined, Change{Path: "study", Value: `"yes\t"`}, "Ledge #", `"yes\t" #`},
	{"quotes that are meant", lined, Change{Path: "study", Value: Quoted(`"yes"`)}, "Ledge #", `"\"yes\"" #`},
	{"braces in a text", lined, Change{Path: "study", Value: "{a: b}"}, "Ledge #", `"{a: b}" #`},
	{"apostrophe in single quotes", lined, Change{Path: "candidates.two.enclosure.volume", Value: "it's"}, "'40 L'", "'it''s'"},
	{"number of a driver", "candidates: {a: {group: {driver: b}}}\n", Change{Path: "candidates.a.group.driver", Value: "10"}, "driver: b", `driver: "10"`},
	{"number of a count", "candidates: {a: {group: {stack: 2}}}\n", Change{Path: "candidates.a.group.stack", Value: "10"}, "stack: 2", "stack: 10"},
	{"number of a Q", lined, Change{Path: "drivers.wren-6.qms", Value: "5"}, "qms: 4.2", "qms: 5"},
	{"sign that cannot be shown", lined, Change{Path: "study", Value: "a\u0085b"}, "Ledge #", `"a\u0085b" #`},
}

var entryCases = []edited{
	{"remove a line", lined, Change{Do: "remove", Path: "candidates.one.enclosure.volume"}, "      volume: 28 L # net\n", ""},
	{"remove lines", lined, Change{Do: "remove", Path: "candidates.one"}, lined[strings.Index(lined, "  one:"):strings.Index(lined, "  two:")], ""},
	{"remove the first in braces", lined, Change{Do: "remove", Path: "brief.limits.from"}, "{from: 20 Hz, mass", "{mass"},
	{"remove the last in braces", lined, Change{Do: "remove", Path: "brief.limits.mass"}, ", mass: 25 kg}", "}"},
	{"remove an item", lined, Change{Do: "remove", Path: "candidates.one.group.polarity[0]"}, "[normal, reversed]", "[reversed]"},
	{"remove an item of lines", dashed, Change{Do: "remove", Path: "candidates.one.group.polarity[0]"}, "        - normal # front\n", ""},
	{"remove the first of inner lines", dashed, Change{Do: "remove", Path: "candidates.one.group.members[0][0]"}, "- - wren-6 # inner\n          - heron-8\n", "- - heron-8\n"},
	{"remove the first key of an item", dashed, Change{Do: "remove", Path: "candidates.one.group.coupling[0].volume"}, "- volume: 5 L # air\n        length: 22 cm\n", "- length: 22 cm\n"},
	{"remove the first key of an item, a comment between", "candidates:\n  a:\n    group:\n      coupling:\n      - volume: 5 L # air\n        # far\n        length: 2 cm\n", Change{Do: "remove", Path: "candidates.a.group.coupling[0].volume"}, "- volume: 5 L # air\n", "-\n"},
	{"remove what leaves nothing", "study: A\nair: {temperature: 20 C} # cool\nunits: metric\n", Change{Do: "remove", Path: "air.temperature"}, "air: {temperature: 20 C} # cool\n", ""},
	{"remove what leaves nothing twice", "study: A\nbrief:\n  limits:\n    mass: 2 kg\nunits: metric\n", Change{Do: "remove", Path: "brief.limits.mass"}, "brief:\n  limits:\n    mass: 2 kg\n", ""},
	{"remove what leaves a needed key", "study: A\ndrivers: # all\n  a: {fs: 1 Hz} # one\nunits: metric\n", Change{Do: "remove", Path: "drivers.a"}, "drivers: # all\n  a: {fs: 1 Hz} # one\n", "drivers: {} # all\n"},
	{"remove all of a driver but its name", "study: A\ndrivers:\n  a: {fs: 1 Hz} # one\n", Change{Do: "remove", Path: "drivers.a.fs"}, "{fs: 1 Hz}", "{}"},
	{"remove on lines in braces", spread, Change{Do: "remove", Path: "brief.level"}, "  level: {at: 32 Hz, spl: 105 dB}, # loud\n", ""},
	{"remove the last on lines in braces", spread, Change{Do: "remove", Path: "air.humidity"}, "  humidity: 45 % # wet\n", ""},
	{"remove beside a comment", "air: {humidity: 4 %, # wet\n  pressure: 9 kPa}\n", Change{Do: "remove", Path: "air.pressure"}, "4 %, # wet\n  pressure: 9 kPa}", "4 % # wet\n  }"},
	{"remove the last line, not ended", "study: A\nunits: metric", Change{Do: "remove", Path: "units"}, "\nunits: metric", ""},
	{"remove a text of lines", lined, Change{Do: "remove", Path: "note"}, "note: |\n  Two lines\n  of text.\n", ""},
	{"rename", lined, Change{Do: "rename", Path: "candidates.one", Name: "first"}, "  one: #", "  first: #"},
	{"rename in braces", "candidates: {a: {group: {driver: a}}}\n", Change{Do: "rename", Path: "candidates.a", Name: "no"}, "{a: {group", `{"no": {group`},
	{"rename quoted", "candidates: {'a': {}}\n", Change{Do: "rename", Path: "candidates.a", Name: "b"}, "'a'", "'b'"},
	{"rename a load", "amplifier: {rated: {2 ohm: 1 W}}\n", Change{Do: "rename", Path: "amplifier.rated.2 ohm", Name: "2.5 ohm"}, "2 ohm", "2.5 ohm"},
	{"copy", lined, Change{Do: "copy", Path: "drivers.wren-6", Name: "wren-7"}, "    qms: 4.2\n", "    qms: 4.2\n  wren-7: # small\n    fs: 38 Hz # in free air\n    # qms is a guess\n    qms: 4.2\n"},
	{"copy in braces", lined, Change{Do: "copy", Path: "brief.limits.mass", Name: "price"}, "mass: 25 kg}", "mass: 25 kg, price: 25 kg}"},
	{"copy the last", lined, Change{Do: "copy", Path: "candidates.two", Name: "three"}, lined[strings.Index(lined, "  two:"):], lined[strings.Index(lined, "  two:"):] + strings.Replace(lined[strings.Index(lined, "  two:"):], "two", "three", 1)},
	{"copy of a candidate goes last", lined, Change{Do: "copy", Path: "candidates.one", Name: "three"}, lined[strings.Index(lined, "  two:"):], lined[strings.Index(lined, "  two:"):] + strings.Replace(lined[strings.Index(lined, "  one:"):strings.Index(lined, "  two:")], "one", "three", 1)},
	{"copy of a candidate in braces goes last", "candidates: {a: {note: x}, b: {}} # both\n", Change{Do: "copy", Path: "candidates.a", Name: "c"}, "b: {}}", "b: {}, c: {note: x}}"},
	{"copy the last, not ended", "drivers:\n  a: {fs: 1 Hz}", Change{Do: "copy", Path: "drivers.a", Name: "1"}, "{fs: 1 Hz}", "{fs: 1 Hz}\n  \"1\": {fs: 1 Hz}"},
	{"move", lined, Change{Do: "move", Path: "drivers.heron-8", To: 0}, lined[strings.Index(lined, "  # a good"):strings.Index(lined, "candidates:")], "  heron-8: {fs: 30 Hz, qms: 4}\n" + lined[strings.Index(lined, "  # a good"):strings.Index(lined, "  heron-8: {")]},
	{"move in braces", lined, Change{Do: "move", Path: "brief.limits.from", To: 1}, "{from: 20 Hz, mass: 25 kg}", "{mass: 25 kg, from: 20 Hz}"},
	{"move an item", dashed, Change{Do: "move", Path: "candidates.one.group.polarity[0]", To: 1}, "- normal # front\n        - reversed\n", "- reversed\n        - normal # front\n"},
	{"move a key of an item", dashed, Change{Do: "move", Path: "candidates.one.group.coupling[0].length", To: 0}, "- volume: 5 L # air\n        length: 22 cm\n", "- length: 22 cm\n        volume: 5 L # air\n"},
	{"move at the top", "# about the file\nstudy: A\n# cool\nair: {}\n", Change{Do: "move", Path: "air", To: 0}, "study: A\n# cool\nair: {}\n", "# cool\nair: {}\nstudy: A\n"},
}

func TestSet(t *testing.T) {
	for _, c := range append(setCases, quoteCases...) {
		c.change.Do = "set"
		c.run(t)
	}
}

func TestEntries(t *testing.T) {
	for _, c := range entryCases {
		c.run(t)
	}
}

// run makes the change in a text with each kind of line end.
func (c edited) run(t *testing.T) {
	t.Run(c.name, func(t *testing.T) {
		if c.change.Do != "set" && strings.Count(c.before, c.old) != 1 || !strings.Contains(c.before, c.old) {
			t.Fatalf("%q stands %d times", c.old, strings.Count(c.before, c.old))
		}
		after := strings.Replace(c.before, c.old, c.new, 1)
		for _, eol := range []string{"\n", "\r\n", "\r"} {
			of := strings.NewReplacer("\n", eol).Replace
			have, err := Edit([]byte("\ufeff"+of(c.before)), []Change{c.change})
			if err != nil || string(have) != "\ufeff"+of(after) {
				t.Fatalf("ends %q: %v\nhave\n%s\nwant\n%s", eol, err, have, after)
			}
		}
	})
}

// A driver is renamed wherever it is named, and nowhere else.
func TestRenameDriver(t *testing.T) {
	before := "study: wren-6\ndrivers: {wren-6: {fs: 1 Hz}, wren-60: {fs: 2 Hz}}\ncandidates:\n" +
		"  wren-6: # of wren-6\n    note: wren-6\n    group: {driver: 'wren-6', facing: [wren-6]}\n" +
		"  b: {group: {members: [[wren-6, wren-60], [\"wren-6\"]]}}\n  c:\n    group:\n      driver: wren-6 # c\n"
	after := "study: wren-6\ndrivers: {heron: {fs: 1 Hz}, wren-60: {fs: 2 Hz}}\ncandidates:\n" +
		"  wren-6: # of wren-6\n    note: wren-6\n    group: {driver: 'heron', facing: [wren-6]}\n" +
		"  b: {group: {members: [[heron, wren-60], [\"heron\"]]}}\n  c:\n    group:\n      driver: heron # c\n"
	have, err := Edit([]byte(before), []Change{{Do: "rename", Path: "drivers.wren-6", Name: "heron"}})
	if err != nil || string(have) != after {
		t.Errorf("%v\n%s", err, have)
	}
}

// What stands behind an alias is written out where a change is meant for one
// of the places, and only there.
func TestAliases(t *testing.T) {
	const text = "drivers:\n  a: &s {fs: 1 Hz, air: &r {humidity: 4 %}} # a\n  b: *s # b\n  c: {air: *r, fs: 2 Hz} # c\n" +
		"candidates:\n  x: {group: &g {driver: a}}\n  y: {group: *g}\n  z: {group: {driver: &n a}, note: *n}\n"
	for _, c := range []struct{ name, old, new string }{
		{"set drivers.b.fs 3 Hz", "b: *s #", "b: {fs: 3 Hz, air: {humidity: 4 %}} #"},
		{"set drivers.b {fs: 4 Hz}", "b: *s #", "b: {fs: 4 Hz} #"},
		{"set drivers.a.fs 3 Hz", "&s {fs: 1 Hz, air: &r {humidity: 4 %}} # a\n  b: *s #", "&s {fs: 3 Hz, air: &r {humidity: 4 %}} # a\n  b: {fs: 1 Hz, air: {humidity: 4 %}} #"},
		{"set drivers.c.air.humidity 5 %", "air: *r,", "air: {humidity: 5 %},"},
		{"set drivers.c.fs 5 Hz", "fs: 2 Hz", "fs: 5 Hz"},
		{"remove drivers.a", "  a: &s {fs: 1 Hz, air: &r {humidity: 4 %}} # a\n  b: *s # b\n  c: {air: *r,", "  b: {fs: 1 Hz, air: {humidity: 4 %}} # b\n  c: {air: {humidity: 4 %},"},
		{"remove drivers.b", "  b: *s # b\n", ""},
		{"rename drivers.b d", "b: *s #", "d: *s #"},
		{"move drivers.a 0", "", ""},
		{"rename drivers.a d", text, strings.NewReplacer("a: &s", "d: &s", "driver: a", "driver: d", "*g", "{driver: d}", "&n a", "&n d", "*n", "a").Replace(text)},
	} {
		t.Run(c.name, func(t *testing.T) {
			words := strings.SplitN(c.name, " ", 3)
			change := Change{Do: words[0], Path: words[1]}
			if len(words) > 2 {
				change.Value, change.Name = words[2], words[2]
			}
			have, err := Edit([]byte(text), []Change{change})
			if want := strings.Replace(text, c.old, c.new, 1); err != nil || string(have) != want {
				t.Errorf("%v\nhave\n%s\nwant\n%s", err, have, want)
			}
		})
	}
}

func TestEditRefuses(t *testing.T) {
	for _, c := range []struct {
		change       Change
		reason, mend string
	}{
		{Change{Do: "set", Path: "candidates.one.enclosure.volume", Value: "28 L\n  evil: x"}, "takes a value of one line", "volume: 28 L"},
		{Change{Do: "set", Path: "brief.limits", Value: "{from: 20 Hz}, evil: {}"}, "cannot be read", ""},
		{Change{Do: "set", Path: "brief.limits", Value: "{from: 20 Hz"}, "cannot be read", "}"},
		{Change{Do: "set", Path: "brief.limits", Value: "20 Hz"}, "takes keys with values", "limits: {from"},
		{Change{Do: "set", Path: "brief.limits", Value: "from: &a 20 Hz\nmass: *a"}, "anchor", ""},
		{Change{Do: "set", Path: "study.of", Value: "x"}, "leads into a single value", ""},
		{Change{Do: "set", Path: "brief[0]", Value: "x"}, "names an item where keys stand", ""},
		{Change{Do: "set", Path: "candidates.one.group.polarity.a", Value: "x"}, "names a key of a list", ""},
		{Change{Do: "set", Path: "candidates.one.group.polarity[3]", Value: "normal"}, "leaves items out between", "number 2"},
		{Change{Do: "set", Path: "", Value: "x"}, "names the whole file", ""},
		{Change{Do: "set", Path: "a..b", Value: "x"}, "is no path", ""},
		{Change{Do: "set", Path: "a.", Value: "x"}, "is no path", ""},
		{Change{Do: "set", Path: "a[x]", Value: "x"}, "is no path", ""},
		{Change{Do: "set", Path: "study", Value: "\xff"}, "not UTF-8", ""},
		{Change{Do: "remove", Path: "air"}, "is not there", ""},
		{Change{Do: "rename", Path: "air", Name: "b"}, "is not there", ""},
		{Change{Do: "move", Path: "air"}, "is not there", ""},
		{Change{Do: "rename", Path: "drivers.wren-6", Name: "heron-8"}, "stands beside it already", "another name"},
		{Change{Do: "copy", Path: "drivers.wren-6", Name: "Heron 8"}, "does not begin with a lower-case letter", "heron-8"},
		{Change{Do: "copy", Path: "brief", Name: ""}, "is given no name", ""},
		{Change{Do: "copy", Path: "candidates.one.group.polarity[0]", Name: "a"}, "has no name", ""},
		{Change{Do: "move", Path: "drivers.wren-6", To: 2}, "cannot be moved there", "index"},
		{Change{Do: "paint", Path: "drivers"}, "which is no change", "set, remove"},
	} {
		have, err := Edit([]byte(lined), []Change{{Do: "set", Path: "study", Value: "Other"}, c.change})
		var e *EditError
		if !errors.As(err, &e) || have != nil || !strings.Contains(e.Reason, c.reason) || !strings.Contains(e.Mend, c.mend) || e.Mend == "" || e.Path != c.change.Path {
			t.Errorf("%+v: %s, %v", c.change, have, err)
		}
	}
	// 9000 aliases of one anchor are written out at once, or refused at once
	many := "drivers:\n  a: &s {fs: 1 Hz}\ncandidates: [" + strings.Repeat("*s, ", 9000) + "]\n"
	if have, err := Edit([]byte(many), []Change{{Do: "set", Path: "drivers.a.fs", Value: "2 Hz"}}); err == nil || !strings.Contains(err.Error(), "cannot be written out") {
		t.Errorf("%d bytes, %v", len(have), err)
	}
	for _, text := range []string{"", "# only\n", "a: [\n", "a: 1\n---\nb: 1\n"} {
		_, err := Edit([]byte(text), []Change{{Do: "set", Path: "study", Value: "A"}})
		var e *EditError
		if !errors.As(err, &e) || e.Mend == "" || e.At.Line == 0 {
			t.Errorf("%q: %v", text, err)
		}
	}
}

func TestConflict(t *testing.T) {
	text := func(s string) *string { return &s }
	for _, c := range []struct {
		path, value, was, is string
	}{
		{"study", "New", "Shelf", "Ledge"},
		{"study", "New", "", "Ledge"},
		{"air", "{}", "{temperature: 20 C}", ""},
		{"brief.limits", "{mass: 1 kg}", "{from: 20 Hz}", "{from: 20 Hz, mass: 25 kg}"},
	} {
		_, err := Edit([]byte(lined), []Change{{Do: "set", Path: c.path, Value: c.value, Was: text(c.was)}})
		var e *ConflictError
		if !errors.As(err, &e) || *e != (ConflictError{c.path, c.was, c.is}) {
			t.Errorf("%s: %v", c.path, err)
			continue
		}
		if _, err = Edit([]byte(lined), []Change{{Do: "set", Path: c.path, Value: c.value, Was: text(c.is)}}); err != nil {
			t.Errorf("%s: %v", c.path, err)
		}
	}
}

// Hostile text is refused, and soon: the test would not end if it were not.
func TestEditHostileText(t *testing.T) {
	bomb := "a: &a [x, x, x, x, x, x, x, x, x, x]\n"
	for c := 'b'; c < 'k'; c++ {
		bomb += string(c) + ": &" + string(c) + " [" + strings.Repeat("*"+string(c-1)+", ", 10) + "]\n"
	}
	texts := []string{bomb, "a: &a {b: *a, c: &a {d: *a}}\n", strings.Repeat("? ", 5000), strings.Repeat("k: {", 5000)}
	var wide strings.Builder
	for i := range 9000 {
		wide.WriteString("k" + strings.Repeat("x", i%7) + ": 1\n")
	}
	for _, text := range append(texts, wide.String()) {
		Open([]byte(text), "").Fields()
		for _, do := range []string{"set", "remove", "copy", "rename", "move"} {
			have, err := Edit([]byte(text), []Change{{Do: do, Path: "a[0]", Value: "[y]", Name: "z", To: 1}, {Do: do, Path: "candidates", Value: "{}", Name: "z"}})
			if err == nil && len(have) > 2*len(text) {
				t.Errorf("%s of %.40q makes %d bytes of %d", do, text, len(have), len(text))
			}
		}
	}
}

// A study that begins with nothing grows as a person would write it: drivers and
// candidates on lines, so that two people who change different ones do not meet.
func TestEditBeginsOnLines(t *testing.T) {
	have, err := Edit([]byte("study: Ledge\n"), []Change{
		{Do: "set", Path: "space", Value: "{width: 1 m, height: 500 mm, depth: 400 mm}"},
		{Do: "set", Path: "drivers.wren-6", Value: "{fs: 30 Hz, qms: 5}"},
		{Do: "set", Path: "candidates.one", Value: "{group: {driver: wren-6}, enclosure: {kind: sealed, volume: 20 L}}"},
		{Do: "copy", Path: "candidates.one", Name: "two"},
	})
	const want = `study: Ledge
space: {width: 1 m, height: 500 mm, depth: 400 mm}
drivers:
  wren-6:
    fs: 30 Hz
    qms: 5
candidates:
  one:
    group: {driver: wren-6}
    enclosure: {kind: sealed, volume: 20 L}
  two:
    group: {driver: wren-6}
    enclosure: {kind: sealed, volume: 20 L}
`
	if err != nil || string(have) != want {
		t.Errorf("%v\n%s\nwant\n%s", err, have, want)
	}
}
