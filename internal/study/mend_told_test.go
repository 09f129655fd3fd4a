package study_test

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"basswright/internal/study"
)

// A box whose sizes can be entered anew: in its text they stand as <key value>.
type enterable struct{ name, text string }

var entries = regexp.MustCompile(`<(\w+) ([^>]*)>`)

// with is its text with some of its sizes replaced.
func (e enterable) with(sizes map[string]string) string {
	return entries.ReplaceAllStringFunc(e.text, func(m string) string {
		part := entries.FindStringSubmatch(m)
		if v, ok := sizes[part[1]]; ok {
			switch part[2] { // one takes the place of the other
			case "tuning: 45 Hz":
				v = "length: " + v
			case ", length: 140 mm}":
				v = "}, tuning: " + v
			}
			return v
		}
		// the points of a profile are told by how much they are multiplied
		if by, ok := sizes[map[byte]string{'x': "places", 'y': "areas"}[part[1][0]]]; ok {
			value, unit, _ := strings.Cut(part[2], " ")
			v, _ := strconv.ParseFloat(value, 64)
			k, _ := strconv.ParseFloat(by, 64)
			return fmt.Sprintf("%.9g %s", v*k, unit)
		}
		return part[2]
	})
}

const aSize = `([0-9.]+\x{2009}[^ ,]+)`

// The words of mends of ducts and networks, with the keys of what they tell.
var wordsOfMends = []struct {
	is   *regexp.Regexp
	keys []string
}{
	{regexp.MustCompile(`^a duct of ` + aSize + ` with ` + aSize + ` to ` + aSize + `$`), []string{"length", "start", "end"}},
	{regexp.MustCompile(`^a duct of ` + aSize + ` with ` + aSize + `$`), []string{"length", "area"}},
	{regexp.MustCompile(`^a throat chamber of ` + aSize + `$`), []string{"throat"}},
	{regexp.MustCompile(`^a rear chamber of ` + aSize + `$`), []string{"behind"}},
	{regexp.MustCompile(`^front_at ` + aSize + `$`), []string{"front"}},
	{regexp.MustCompile(`^rear_at ` + aSize + `$`), []string{"rear"}},
	{regexp.MustCompile(`^driver_at ` + aSize + `$`), []string{"driver"}},
	{regexp.MustCompile(`^(?:its )?fill from ` + aSize + ` to ` + aSize + `$`), []string{"from", "to"}},
	{regexp.MustCompile(`^pipe of ` + aSize + ` with ` + aSize + `$`), []string{"length", "area"}},
	{regexp.MustCompile(`^r at ` + aSize + ` along it$`), []string{"tap"}},
	{regexp.MustCompile(`^r ` + aSize + `$`), []string{"chamber"}},
	{regexp.MustCompile(`^a duct with its profile’s places times ([0-9.]+)$`), []string{"places"}},
	{regexp.MustCompile(`^a duct with its profile’s areas times ([0-9.]+)$`), []string{"areas"}},
	{regexp.MustCompile(`^areas times ([0-9.]+)$`), []string{"areas"}},
	{regexp.MustCompile(`^hole ` + aSize + `$`), []string{"hole"}},
	{regexp.MustCompile(`^slot at ` + aSize + `$`), []string{"tuning"}},
	{regexp.MustCompile(`^cushion ` + aSize + `$`), []string{"cushion"}},
}

// entered reads a mend word for word; it fails on words that nothing is known of.
func entered(t *testing.T, mend string) map[string]string {
	t.Helper()
	sizes := map[string]string{}
	words := strings.TrimPrefix(mend, "this network with ")
words:
	for _, w := range regexp.MustCompile(`, | and `).Split(words, -1) {
		for _, p := range wordsOfMends {
			if m := p.is.FindStringSubmatch(w); m != nil {
				for i, k := range p.keys {
					sizes[k] = m[i+1]
				}
				continue words
			}
		}
		t.Fatalf("%q of the mend %q: what to enter?", w, mend)
	}
	return sizes
}

// What a mend of a duct or a network tells reaches what is asked when it is entered word
// for word: it tells all that it changes, in digits that suffice.
func TestWhatAMendOfADuctTellsReachesIt(t *testing.T) {
	const head = `study: Mends
brief: %s
drivers:
  lark-10: {fs: 30.5 Hz, qms: 4.9, qes: 0.49, vas: 44 L, sd: 345 cm2, re: 3.3 ohm, le: 1.1 mH, xmax: 12 mm}
candidates:
`
	const fill = "fill: {resistivity: 300 Pa s/m2, from: <from 0.2 m>, to: <to 0.9 m>}, "
	boxes := []enterable{
		{"network-tap", `{kind: network, front: outside, rear: r, parts: [{kind: duct, name: pipe, between: [closed, m], duct: {length: <length 2.4 m>, area: <area 350 cm2>}, ` + fill + `taps: [{at: <tap 0.8 m>, place: r}]}, {kind: opening, name: hole, at: m, area: <hole 350 cm2>}]}`},
		{"network-port", `{kind: network, front: outside, rear: r, parts: [{kind: chamber, at: r, volume: <chamber 31 L>, losses: {leakage: 7}}, {kind: port, name: slot, at: r, tuning: <tuning 41 Hz>, port: {diameter: 90 mm}}, {kind: absorber, name: cushion, at: r, resistance: 9000 Pa s/m3, volume: <cushion 3 L>}]}`},
		{"network-long", `{kind: network, front: outside, rear: r, parts: [{kind: chamber, at: r, volume: <chamber 31 L>, losses: {leakage: 7, at: 40 Hz}}, {kind: port, name: slot, at: r, port: {diameter: 90 mm<tuning , length: 140 mm}>}]}`},
		{"line-profile", `{kind: transmission_line, duct: {profile: [{at: 0 m, area: <y0 420 cm2>}, {at: <x1 0.9 m>, area: <y1 410 cm2>}, {at: <x2 2.0 m>, area: <y2 400 cm2>}]}, driver_at: <driver 0.5 m>}`},
		{"line-taken", `{kind: transmission_line, duct: {length: <length 2 m>, area: <area 410 cm2>, taken: [{from: 0.3 m, to: 0.5 m, volume: 1 L}]}, driver_at: <driver 0.5 m>}`},
		{"line-tuned", `{kind: transmission_line, duct: {<length tuning: 45 Hz>, area: <area 410 cm2>}, driver_at: <driver quiet>}`},
		{"horn-back", `{kind: back_loaded_horn, duct: {length: <length 1 m>, start: <start 80 cm2>, end: <end 800 cm2>}, throat_chamber: {volume: <throat 2 L>}}`},
	}
	for i, of := range []struct{ long, area, at float64 }{{1.5, 300, 0.4}, {2, 400, 0.6}, {2.5, 600, 0.5}, {1.2, 500, 0.3}} {
		some := ""
		if i == 1 {
			some = fill
		}
		boxes = append(boxes,
			enterable{fmt.Sprintf("line-%d", i), fmt.Sprintf(`{kind: transmission_line, %sduct: {length: <length %g m>, area: <area %g cm2>}, driver_at: <driver %g m>}`, some, of.long, of.area, of.at)},
			enterable{fmt.Sprintf("tapped-%d", i), fmt.Sprintf(`{kind: tapped_waveguide, %sduct: {length: <length %g m>, start: <start %g cm2>, end: <end %g cm2>}, front_at: <front %g m>, rear_at: <rear %g m>}`, some, of.long, of.area, 2*of.area, of.at, of.long-0.15)},
			enterable{fmt.Sprintf("network-%d", i), fmt.Sprintf(`{kind: network, front: outside, rear: r, parts: [{kind: chamber, at: r, volume: <chamber %g L>}, {kind: duct, name: pipe, between: [r, m], duct: {length: <length %g m>, area: <area %g cm2>}}, {kind: opening, at: m}]}`, of.area/10, of.long, of.area/4)},
			enterable{fmt.Sprintf("horn-%d", i), fmt.Sprintf(`{kind: front_loaded_horn, duct: {length: <length %g m>, start: <start %g cm2>, end: <end %g cm2>}, rear: {volume: <behind 30 L>}, throat_chamber: {volume: <throat 3 L>}}`, of.long, of.area/2, 8*of.area)})
	}
	told := map[string]int{}
	for _, ask := range []string{"{extension: {f3: 30 Hz}}", "{extension: {f6: 33 Hz}, limits: {group_delay: 20 ms}}", "{extension: {f10: 25 Hz}}", "{limits: {group_delay: 25 ms}}"} {
		text := fmt.Sprintf(head, ask)
		for _, b := range boxes {
			text += fmt.Sprintf("  %s:\n    group: {driver: lark-10}\n    enclosure: %s\n", b.name, b.with(nil))
		}
		again := fmt.Sprintf(head, ask)
		type mended struct {
			name, mend string
			check      study.CheckID
		}
		var mends []mended
		for i, o := range evaluated(t, parsed(t, text)).Candidates {
			for _, m := range o.Misses {
				mend, ok := strings.CutSuffix(m.Mend, " reaches it")
				if !ok {
					mend, ok = strings.CutSuffix(m.Mend, " keeps it")
				}
				if !ok || !strings.HasPrefix(mend, "a duct ") && !strings.HasPrefix(mend, "this network with ") {
					continue
				}
				name := fmt.Sprintf("%s-%d", boxes[i].name, len(mends))
				mends = append(mends, mended{name, m.Mend, m.Check})
				again += fmt.Sprintf("  %s:\n    group: {driver: lark-10}\n    enclosure: %s\n", name, boxes[i].with(entered(t, mend)))
				told[strings.Split(boxes[i].name, "-")[0]]++
				if boxes[i].name == "line-profile" {
					told["profile"]++
				}
			}
		}
		if len(mends) == 0 {
			continue
		}
		for i, o := range evaluated(t, parsed(t, again)).Candidates {
			if m := missOf(o, mends[i].check); m != nil {
				t.Errorf("%s, %s: %q, and entered so: %s", ask, mends[i].name, mends[i].mend, m.Text)
			}
		}
	}
	for _, kind := range []string{"line", "tapped", "network", "horn", "profile"} {
		if told[kind] < 1 {
			t.Errorf("%d mends of a %s were tried", told[kind], kind)
		}
	}
}
