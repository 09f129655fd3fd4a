package studyfile

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"basswright/internal/phys"
)

func field(t *testing.T, fields []Field, path string) Field {
	t.Helper()
	i := slices.IndexFunc(fields, func(f Field) bool { return f.Path == path })
	if i < 0 {
		t.Fatalf("no field %s", path)
	}
	return fields[i]
}

func TestFields(t *testing.T) {
	fields := Open(readFile(t, "testdata/good/everything.yaml"), "").Fields()
	for _, want := range []Field{
		{Path: "study", Key: "study", Sort: "text", Present: true, Text: "Everything at once", Max: 100, SI: phys.None(), Example: "Camper bench", Doc: "the study’s name", Required: true},
		{Path: "listening.distance", Key: "distance", Sort: "quantity", Present: true, Text: "13 ft", Number: 13, Unit: "ft", Step: 1, Min: 0.0328083989501, Max: 3280.83989501, SI: 13 * 12 * inch, Kind: "distance", Fallback: "1 m", Example: "2.4 m", Doc: "how far away"},
		{Path: "drive.power_per_driver", Key: "power_per_driver", Sort: "quantity", Present: true, Text: "2,5 W", Number: 2.5, Unit: "W", Step: 0.1, Max: 1e5, Above: true, SI: 2.5, Kind: "power", Example: "1 W", Doc: "the same power into the Re of each driver"},
		{Path: "amplifier.rated", Key: "rated", Sort: "rating", Present: true, Text: "{4 ohm: 800 W, 8 Ω: 0.5 kW}", SI: phys.None(), Example: "{2 ohm: 450 W, 4 ohm: 260 W}", Doc: "continuous sine power by load, of each channel", Required: true},
		{Path: "amplifier.rated.8 Ω", Key: "8 Ω", Sort: "quantity", Present: true, Text: "0.5 kW", Number: 0.5, Unit: "kW", Step: 0.1, Max: 100, Above: true, SI: 500, Kind: "power", Doc: "continuous sine power into this load"},
		{Path: "brief.limits.excursion", Key: "excursion", Sort: "quantity", Sorts: []string{"choice", "quantity"}, Present: true, Text: "9 mm", Number: 9, Unit: "mm", Step: 1, Max: 200, Above: true, SI: 0.009, Kind: "length", Words: []string{"xmax"}, Fallback: "each driver’s own xmax", Example: "xmax", Doc: "one way, peak: each driver’s own xmax, or a length"},
		{Path: "drivers.heron-8.coils.count", Key: "count", Sort: "count", Present: true, Text: "2", Number: 2, Step: 1, Min: 1, Max: 8, SI: 2, Fallback: "1", Example: "2", Doc: "how many coils sit on the former"},
		{Path: "drivers.heron-8.price", Key: "price", Sort: "quantity", Present: true, Text: "84 $", Number: 84, Unit: "USD", Step: 1, Max: 1e7, SI: 84, Kind: "price", Example: "129 EUR", Doc: "price of one"},
		{Path: "drivers.wren-6.fs", Key: "fs", Sort: "quantity", Present: true, Text: "38 Hz", Number: 38, Unit: "Hz", Step: 1, Min: 1, Max: 2000, SI: 38, Kind: "frequency", Example: "30.5 Hz", Doc: "resonance in free air"},
		{Path: "drivers.wren-6.vas", Key: "vas", Sort: "quantity", Unit: "L", Step: 1, Min: 0.01, Max: 5e4, SI: phys.None(), Kind: "volume", Example: "44 L", Doc: "the volume of air as compliant as the suspension"},
		{Path: "drivers.wren-6.voice_coil.model", Key: "model", Sort: "choice", Present: true, Text: "power_law", SI: phys.None(), Words: []string{"plain", "lr2", "power_law"}, Example: "plain", Doc: "the model of the coil’s impedance", Required: true},
		{Path: "candidates.closed.group.driver", Key: "driver", Sort: "driver", Present: true, Text: "merlin-10", SI: phys.None(), Words: []string{"heron-8", "plover_12", "wren-6", "merlin-10"}, Example: "merlin-10", Doc: "one of the study’s drivers"},
		{Path: "candidates.closed.group.polarity[1]", Sort: "choice", Present: true, Text: "normal", SI: phys.None(), Words: []string{"normal", "reversed"}},
		{Path: "candidates.closed.group.polarity[2]", Sort: "choice", SI: phys.None(), Words: []string{"normal", "reversed"}},
		{Path: "candidates.closed.group.coupling", Key: "coupling", Sort: "object", Sorts: []string{"quantity", "object", "list"}, Present: true, Text: "{volume: 5 L, length: 22 cm}", Unit: "L", Step: 0.1, Max: 10000, SI: phys.None(), Kind: "volume", Fallback: "rigid", Example: "2.1 L", Doc: "the air between neighbouring cones of a stack: one for all gaps, or a list with one for each"},
		{Path: "candidates.three.group.coupling[1].volume", Key: "volume", Sort: "quantity", Present: true, Text: "1.2 L", Number: 1.2, Unit: "L", Step: 0.1, Max: 10000, SI: 0.0012, Kind: "volume", Example: "5 L", Doc: "of the air", Required: true},
		{Path: "candidates.three.group.wiring.in_series", Key: "in_series", Sort: "count", Present: true, Text: "3", Number: 3, Step: 1, Min: 1, Max: 512, SI: 3, Example: "2", Doc: "driven coils in each string; the strings are in parallel", Required: true},
		{Path: "candidates.both-out.group.members[0][1]", Sort: "driver", Present: true, Text: "wren-6", SI: phys.None(), Words: []string{"heron-8", "plover_12", "wren-6", "merlin-10"}},
		{Path: "candidates.wall.enclosure.kind", Key: "kind", Sort: "choice", Present: true, Text: "infinite_baffle", SI: phys.None(), Words: enclosureVariant.choice().words, Example: "infinite_baffle", Doc: "the kind of enclosure", Required: true},
		{Path: "candidates.closed.enclosure.volume", Key: "volume", Sort: "quantity", Unit: "L", Step: 1, Min: 0.01, Max: 1e5, SI: phys.None(), Kind: "volume", Example: "28 L", Doc: volumeKey.doc},
	} {
		have := field(t, fields, want.Path)
		same := cmp.Comparer(func(a, b float64) bool { return a == b || math.Abs(a-b) <= 1e-11*math.Abs(b) }) // 12 digits are kept of bounds
		none := cmp.Comparer(func(a, b phys.Maybe) bool {
			return !a.OK() && !b.OK() || math.Abs(float64(a-b)) <= 1e-12*math.Abs(float64(b))
		})
		if d := cmp.Diff(want, have, same, none, cmpopts.EquateEmpty(), cmpopts.IgnoreFields(Field{}, "At")); d != "" {
			t.Errorf("%s: %s", want.Path, d)
		}
	}
	for _, f := range fields {
		if strings.HasPrefix(f.Path, "candidates.wall.enclosure.") && f.Key != "kind" && !strings.Contains(f.Path, ".baffle") {
			t.Errorf("an infinite baffle with %s", f.Path)
		}
	}
}

// Paths are unique, all have a place, and every one that is taken leads to
// what is told of it.
func TestFieldsLeadToTheirPlaces(t *testing.T) {
	for name, data := range studies(t) {
		d, _ := open(data)
		seen := map[string]bool{}
		for _, f := range Open(data, "").Fields() {
			if seen[f.Path] || f.At.Line < 1 || f.At.Column < 1 {
				t.Errorf("%s: %+v", name, f)
			}
			seen[f.Path] = true
			if f.Present && f.Sort != "object" && !strings.HasPrefix(f.Path, "drivers.wren-6-again.") { // what an alias stands for is elsewhere
				line := []rune(strings.Split(string(data), "\n")[f.At.Line-1])
				if there := string(line[f.At.Column-1:]); !strings.HasPrefix(strings.TrimLeft(there, `"'`), f.Text[:min(len(f.Text), 4)]) && !strings.HasPrefix(there, "|") && f.Sort != "register" && !(f.Sort == "list" && strings.HasPrefix(there, "- ")) {
					t.Errorf("%s: %s is said to be at %q", name, f.Path, there)
				}
			}
			at, err := locate(d.root, f.Path)
			if err != nil || (at.value() != nil) != f.Present || canonical(at.value()) != f.Text || at.form() == nil {
				t.Errorf("%s: %s leads to %+v, %v", name, f.Path, at, err)
			}
		}
	}
}

// A file with faults has fields all the same, among them those that no study
// has; one that is no YAML has none.
func TestFieldsOfFaultyFiles(t *testing.T) {
	fields := Open([]byte("units: 3\nair: 5\ncolour: {of: [a]}\ncolour: b\ndrivers:\n  a:\n    fs: fast\n    fs: 3 Hz\ncandidates:\n  x: {group: , enclosure: {kind: teapot, volume: 3 L}}\n<<: {a: b}\n"), "").Fields()
	for path, want := range map[string][3]string{
		"study":                         {"text", "", ""},
		"units":                         {"choice", "3", "present"},
		"air":                           {"object", "5", "present"},
		"colour":                        {"unknown", "{of: [a]}", "present"},
		"drivers.a.fs":                  {"quantity", "fast", "present"},
		"candidates.x.group":            {"object", "", "present"},
		"candidates.x.group.driver":     {"driver", "", ""},
		"candidates.x.enclosure.kind":   {"choice", "teapot", "present"},
		"candidates.x.enclosure.volume": {"unknown", "3 L", "present"},
		"<<":                            {"unknown", "{a: b}", "present"},
	} {
		f := field(t, fields, path)
		present := map[bool]string{true: "present"}[f.Present]
		if have := [3]string{f.Sort, f.Text, present}; have != want {
			t.Errorf("%s: %v, want %v", path, have, want)
		}
		if f.Sort == "quantity" && f.SI.OK() {
			t.Errorf("%s is %v", path, f.SI)
		}
	}
	for _, text := range []string{"", "a: [", "\xff"} {
		if have := Open([]byte(text), "").Fields(); have != nil {
			t.Errorf("%q has %v", text, have)
		}
	}
	if have := Open([]byte("[a, b]"), "").Fields(); len(have) > 0 {
		t.Errorf("a list has %v", have)
	}
}

// Beside the points of a profile no length, areas or flare are offered, which could only
// be refused; beside its ends and a flare no flare between points.
func TestFieldsThatWouldBeRefused(t *testing.T) {
	const text = "drivers: {wren-6: {fs: 38 Hz, qms: 4.2, qes: 0.41, vas: 12.5 L, sd: 136 cm2, re: 3.4 ohm}}\ncandidates: {line: {group: {driver: wren-6}, enclosure: {kind: transmission_line, duct: %s}}}\n"
	offered := func(duct string) map[string]bool {
		out := map[string]bool{}
		for _, x := range Open(fmt.Appendf(nil, text, duct), "line.yaml").Fields() {
			if key, ok := strings.CutPrefix(x.Path, "candidates.line.enclosure.duct."); ok {
				out[key] = true
			}
		}
		return out
	}
	points := offered("{profile: [{at: 0 m, area: 90 cm2}, {at: 1.8 m, area: 120 cm2}]}")
	for _, key := range []string{"length", "tuning", "area", "start", "end", "flare", "t"} {
		if points[key] {
			t.Errorf("%s is offered beside a profile", key)
		}
	}
	if !points["between"] || !points["width"] || !points["profile[0].area"] {
		t.Errorf("of a profile there are %v", points)
	}
	ends := offered("{length: 1.8 m, start: 90 cm2, end: 120 cm2}")
	if !ends["flare"] || !ends["tuning"] || !ends["profile"] {
		t.Errorf("of a duct with ends there are %v", ends)
	}
}
