package variant

import (
	"flag"
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/studyfile"
)

// study draws the text of a study whose candidates are of all kinds.
func randomStudy(t *rapid.T) []byte {
	var b strings.Builder
	num := func(name string, lo, hi float64) string {
		return fmt.Sprintf("%.3g", rapid.Float64Range(lo, hi).Draw(t, name))
	}
	pick := func(name string, of ...string) string { return rapid.SampledFrom(of).Draw(t, name) }
	fmt.Fprintf(&b, "study: Random\nunits: %s\n%s", pick("units", "metric", "imperial"), pick("amplifier", "", "amplifier: {rated: {4 ohm: 100 W}}\n"))
	coils := rapid.IntRange(1, 2).Draw(t, "coils")
	fmt.Fprintf(&b, "drivers:\n  wren-6: {fs: %s Hz, qms: %s, qes: %s, vas: %s L, sd: %s cm2, re: %s ohm, coils: {count: %d}%s}\n",
		num("fs", 20, 50), num("qms", 2, 9), num("qes", 0.25, 1.2), num("vas", 8, 120), num("sd", 120, 600), num("re", 2, 7), coils,
		pick("xmax", "", ", xmax: 8 mm"))
	b.WriteString("candidates:\n")
	m, n := rapid.IntRange(1, 4).Draw(t, "side"), rapid.IntRange(1, 3).Draw(t, "stack")
	group := fmt.Sprintf("driver: wren-6, side_by_side: %d, stack: %d", m, n)
	if n == 2 {
		group += pick("arrangement", "", ", arrangement: clamshell", ", arrangement: back_to_back", ", facing: [rear, rear]")
	}
	if n == 3 {
		group += pick("facing", "", ", arrangement: tandem", ", facing: [rear, front, front]")
	}
	if n > 1 {
		group += pick("coupling", "", ", coupling: 2 L", ", coupling: {volume: 9 L, length: 15 cm}")
	}
	if n == 3 && rapid.Bool().Draw(t, "listed") && !strings.Contains(group, "coupling") {
		group += ", coupling: [1.5 L, {volume: 6 L, length: 12 cm}]"
	}
	if rapid.Bool().Draw(t, "polarity") {
		var list []string
		for range m * n {
			list = append(list, pick("p", "normal", "reversed"))
		}
		group += ", polarity: [" + strings.Join(list, ", ") + "]"
	}
	var divisors []string
	for k := 1; k <= m*n*coils; k++ {
		if m*n*coils%k == 0 {
			divisors = append(divisors, fmt.Sprintf(", wiring: {in_series: %d}", k))
		}
	}
	group += pick("wiring", append(divisors, "", ", wiring: series", ", wiring: parallel")...)
	v, f := num("v", 8, 90), num("f", 22, 60)
	port := pick("port", "", ", port: {diameter: 90 mm}", ", port: {width: 200 mm, height: 30 mm, count: 2}", ", port: {area: 60 cm2}")
	box := pick("box", "{kind: infinite_baffle}", "{kind: sealed, volume: "+v+" L}", "{kind: sealed, system_q: 0.9}",
		"{kind: vented, volume: "+v+" L, tuning: "+f+" Hz"+port+"}", "{kind: vented, volume: "+v+" L, port: {diameter: 80 mm, length: 150 mm}}",
		"{kind: vented, alignment: {family: qb3}"+port+"}", "{kind: vented, alignment: {family: c4}}",
		"{kind: passive_radiator, volume: "+v+" L, radiator: {sd: 300 cm2, mms: 60 g, cms: 0.5 mm/N, qms: 6, added_mass: 80 g}}",
		"{kind: passive_radiator, volume: "+v+" L, tuning: "+f+" Hz, radiator: {sd: 300 cm2, mms: 40 g, vas: 90 L, rms: 1.2 kg/s, count: 2}}",
		"{kind: bandpass, rear: {volume: "+v+" L}, front: {volume: 15 L, tuning: "+f+" Hz"+port+"}}",
		"{kind: bandpass_parallel, rear: {volume: "+v+" L, tuning: 30 Hz}, front: {volume: 15 L, tuning: 70 Hz"+port+"}}",
		"{kind: bandpass_series, rear: {volume: "+v+" L, tuning: 30 Hz"+port+"}, front: {volume: 15 L, tuning: 70 Hz}}",
		"{kind: sealed, volume: "+v+" L, fill: {resistivity: 3000 Pa s/m2}}",
		"{kind: transmission_line, duct: {length: 1.8 m, area: 240 cm2}, driver_at: 0.5 m}",
		"{kind: transmission_line, duct: {profile: [{at: 0 m, area: 300 cm2}, {at: 1 m, area: 200 cm2}, {at: 2 m, area: 200 cm2}]}, fill: {resistivity: 900 Pa s/m2}}",
		"{kind: tapped_waveguide, duct: {length: 2.2 m, start: 150 cm2, end: 600 cm2}, front_at: 0.1 m, rear_at: 2 m}",
		"{kind: front_loaded_horn, duct: {length: 1.2 m, start: 100 cm2, end: 1200 cm2, flare: exponential}, rear: {volume: "+v+" L}, throat_chamber: {volume: 1 L}}",
		"{kind: back_loaded_horn, duct: {start: 120 cm2, end: 1500 cm2, flare: tractrix}}")
	fmt.Fprintf(&b, "  one:\n    note: drawn # by lot\n    group: {%s}\n    enclosure: %s\n", group, box)
	return []byte(b.String())
}

// Every variant and every next candidate of any study makes a study that can
// be read and computed, and says what it is.
func TestVariantsOfRandomStudies(t *testing.T) {
	// each study costs some twenty evaluations: as many as a few seconds hold,
	// unless more are asked for on the command line
	if f := flag.Lookup("rapid.checks"); f != nil && f.Value.String() == f.DefValue {
		defer func() { _ = flag.Set("rapid.checks", f.DefValue) }()
		_ = flag.Set("rapid.checks", "20")
	}
	tried := 0
	rapid.Check(t, func(t *rapid.T) {
		data := randomStudy(t)
		if _, err := studyfile.Parse(data, "random.yaml"); err != nil {
			t.Skip("a study that cannot be")
		}
		tried++
		probe := &reporter{t: t, data: data}
		checkOf(probe, data)
		checkNext(probe, data)
	})
	if tried < 15 {
		t.Errorf("only %d studies were tried", tried)
	}
}

// reporter lets the checks of a testing.TB report to rapid with the study.
type reporter struct {
	testing.TB
	t    *rapid.T
	data []byte
}

func (r *reporter) Helper() {}
func (r *reporter) Errorf(format string, args ...any) {
	r.t.Fatalf(format+"\n%s", append(args, r.data)...)
}
func (r *reporter) Fatalf(format string, args ...any) { r.Errorf(format, args...) }
func (r *reporter) Fatal(args ...any)                 { r.Errorf("%v", args) }
