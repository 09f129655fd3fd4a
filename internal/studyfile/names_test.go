package studyfile

import (
	"regexp"
	"strings"
	"testing"
)

// A suggestion keeps what a person can read of the name.
func TestNameFrom(t *testing.T) {
	for name, want := range map[string]string{
		"größe": "groesse", "Möwe 10": "moewe-10", "Mo\u0308we": "moewe", "Ängström": "aengstroem", "Pájaro Nº 2": "pajaro-no-2", "Łabędź": "labedz",
		"ﬁnch": "finch", "чайка": "driver-1", "…": "driver-1", "Blåmeis": "blaameis", "two words": "two-words", strings.Repeat("ö", 60): strings.Repeat("oe", longestKey/2),
	} {
		if got := nameFrom(name, "driver"); got != want || badName(got, "driver") != "" {
			t.Errorf("%q: %q, want %q", name, got, want)
		}
	}
}

// A set adds no entry whose name the study would then refuse.
func TestSetRefusesBadNames(t *testing.T) {
	const text = "study: Aviary\ndrivers:\n  heron: {fs: 30 Hz}\n"
	for path, ok := range map[string]bool{
		"drivers.moewe": true, "drivers.Möwe 10": false, "candidates.Big One.group.driver": false, "candidates.one.group.driver": true, "drivers.heron.qms": true,
	} {
		out, err := Edit([]byte(text), []Change{{Do: "set", Path: path, Value: map[bool]string{true: "5", false: "fs: 28 Hz"}[strings.HasSuffix(path, "qms")]}})
		if strings.HasSuffix(path, ".driver") {
			out, err = Edit([]byte(text), []Change{{Do: "set", Path: path, Value: "heron"}})
		}
		if (err == nil) != ok || err != nil && !strings.Contains(err.Error(), "such as") {
			t.Errorf("%s: %v\n%s", path, err, out)
		}
	}
}

// The parts of a network may be called as the elements of other kinds are, with points
// within; nothing else may, and the schema knows the same names.
func TestNamesWithPoints(t *testing.T) {
	for _, c := range []struct {
		name, noun string
		ok         bool
	}{
		{"front.port", "part", true}, {"a.1.b", "part", true}, {"front.port", "driver", false}, {"front.port", "place", false},
		{".port", "part", false}, {"port.", "part", false}, {"a..b", "part", false}, {"front.Port", "part", false},
	} {
		if why := badName(c.name, c.noun); (why == "") != c.ok {
			t.Errorf("%s as a %s: %q", c.name, c.noun, why)
		}
		if regexp.MustCompile(patternOf(c.noun)).MatchString(c.name) != c.ok {
			t.Errorf("%s as a %s: the schema says otherwise", c.name, c.noun)
		}
	}
}

// A part is not called as something else in the columns is, and a fault of a part on the
// baffle has the line of its place, whatever points its name has.
func TestPartsWithPoints(t *testing.T) {
	const text = `study: Points
drivers:
  heron-8: {fs: 34 Hz, qms: 4.6, qes: 0.44, vas: 52 L, sd: 220 cm2, re: 5.6 ohm}
candidates:
  one:
    group: {driver: heron-8}
    enclosure:
      kind: network
      front: outside
      rear: box
      parts:
        - {kind: chamber, at: box, volume: 30 L}
        - {kind: duct, name: stairs, between: [box, out], duct: {length: 1 m, area: 90 cm2}, taps: [{at: 0.4 m, place: landing}]}
        - {kind: leak, name: a.leak, at: landing, resistance: 90000 Pa s/m3}
        - {kind: opening, name: NAME, at: out}
      baffle:
        parts:
          a.leak: {x: 90 cm}
          AT: {x: 40 cm}
`
	for _, c := range []struct{ name, at, says string }{
		{"front.port", "front.port", ""},
		{"front.port", "front.prot", "one.yaml:19"},
		{"stairs.2", "stairs.2", "stairs.2 is what a piece of stairs is called"},
		{"stairs.3", "stairs.3", ""},
		{"driver.1", "driver.1", "a part cannot be called driver.1"},
	} {
		_, err := Parse([]byte(strings.NewReplacer("NAME", c.name, "AT", c.at).Replace(text)), "one.yaml")
		if (err == nil) != (c.says == "") || err != nil && !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s at %s: %v", c.name, c.at, err)
		}
	}
}
