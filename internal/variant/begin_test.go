package variant

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"basswright/internal/enclosure"
	"basswright/internal/note"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// every example driver once, alone and as a stack of two, in the surroundings of its study.
func eachDriver(t *testing.T, do func(t *testing.T, name string, data []byte)) {
	for file, data := range examples(t) {
		for _, dr := range parse(t, data).Drivers {
			for _, group := range []string{"{driver: %s}", "{driver: %s, stack: 2, arrangement: clamshell, coupling: 1.2 L}", "{driver: %s, side_by_side: 2}"} {
				group = fmt.Sprintf(group, dr.Driver.Name)
				t.Run(file+" "+group, func(t *testing.T) {
					out, err := studyfile.Edit(data, []studyfile.Change{{Do: "set", Path: "candidates.begun", Value: "{group: " + group + ", enclosure: {kind: sealed, volume: 20 L}}"}})
					if err != nil {
						t.Fatal(err)
					}
					do(t, "begun", out)
				})
			}
		}
	}
}

// Every kind that a study file knows can be begun from every driver of the examples: it
// makes a study that is read without a fault, is what its draft was, computes, and
// tells how it was sized.
func TestEveryKindBeginsFromEveryDriver(t *testing.T) {
	stand := map[enclosure.Kind]int{}
	eachDriver(t, func(t *testing.T, name string, data []byte) {
		st := parse(t, data)
		i, err := st.Find(name)
		if err != nil {
			t.Fatal(err)
		}
		d, ok := draftOf(st, i)
		if !ok {
			t.Fatal("cannot be built")
		}
		for _, kind := range enclosure.Kinds() {
			e, why, ok := d.starts()[kind]()
			if !ok {
				t.Errorf("no %v", kind)
				continue
			}
			if why == "" && !inOneClause(kind) {
				t.Errorf("it is not told how the %v was sized", kind)
			}
			next := changed(t, data, e.variant("x", Box, why))
			got := next.Candidates[i].Enclosure
			if got.Kind != kind || kind != enclosure.Network && !reflect.DeepEqual(got, e.box) { // parts of a network know their lines in the file
				t.Errorf("%v in the file is %+v, in the draft %+v", kind, got, e.box)
			}
			o := evaluated(t, next, name)
			for _, f := range o.Findings {
				if f.Severity == note.Error {
					t.Errorf("%v: %s", kind, f.Text)
				}
				if f.ID == "duct-compression" || f.ID == "line-too-narrow" || f.ID == "fill-range" {
					t.Errorf("%v is begun against common practice: %s", kind, f.Text)
				}
			}
			if slices.ContainsFunc(o.Checks, func(c study.Check) bool { return c.ID == study.CheckDuctFrame && !(float64(c.Value) <= c.Limit+1e-3) }) {
				t.Errorf("%v: its drivers do not fit its duct", kind)
			}
			if top := slices.Max(o.Curves.SPL); math.IsInf(top, 0) || math.IsNaN(top) || top < 40 {
				t.Errorf("%v: %g dB at most", kind, top)
			}
			if st.Stands(o.System) {
				stand[kind]++
			}
		}
	})
	for _, kind := range enclosure.Kinds() {
		if stand[kind] < 4 {
			t.Errorf("only %d of kind %v stand in their space", stand[kind], kind)
		}
	}
}

// The quarter wave of a line is the one that is asked for, its cone is quiet, and a stack
// is begun in half of the section of one.
func TestLineIsBegunByTheBrief(t *testing.T) {
	const plain = `study: Line
BRIEF
drivers:
  dunlin-7: {fs: 33 Hz, qms: 4.6, qes: 0.42, vas: 24 L, sd: 160 cm2, re: 6.2 ohm, xmax: 9 mm, mounting_depth: 30 mm, cutout: 100 mm, flange: 120 mm}
candidates:
  one: {group: {driver: dunlin-7GROUP}, enclosure: {kind: sealed, volume: 14 L}}
`
	begun := func(brief, group string) (*study.Outcome, string) {
		t.Helper()
		data := []byte(strings.NewReplacer("BRIEF", brief, "GROUP", group).Replace(plain))
		list := Of(parse(t, data), 0)
		k := slices.IndexFunc(list, func(v Variant) bool { return v.ID == "box-transmission_line" })
		if k < 0 {
			t.Fatal("no line")
		}
		return evaluated(t, changed(t, data, list[k]), "one"), list[k].Why
	}
	asked, why := begun("brief: {extension: {f3: 40 Hz}}", "")
	if q := asked.System.Facts.Line.Quarter; math.Abs(q-36) > 1e-6 || !strings.Contains(why, "nine tenths of the F3 asked for") { // as it is worded
		t.Errorf("%g Hz, %s", q, why)
	}
	if f3 := float64(asked.Figures.F3); math.Abs(f3/40-1) > 0.15 { // nine tenths are a rule of thumb, and fill differs
		t.Errorf("F3 is %g Hz", f3)
	}
	l := asked.System.Facts.Line
	if at, quiet := asked.System.Spec.Line.Driver, l.Quiet(l.ThreeQuarters); math.Abs(at/quiet-1) > 1e-4 {
		t.Errorf("the cone is at %g m, quiet is %g m", at, quiet)
	}
	far, why := begun("brief: {extension: {f3: 90 Hz}}", "")
	if q := far.System.Facts.Line.Quarter; q > 45 || !strings.Contains(why, "alignment") {
		t.Errorf("%g Hz for an extension that is far off: %s", q, why)
	}
	stack, _ := begun("brief: {extension: {f3: 40 Hz}}", ", stack: 2, arrangement: tandem")
	if a, b := stack.System.Facts.Line.Start, l.Start; a > 0.76*b { // half, or what the frames need
		t.Errorf("a stack has %g m², one %g m²", a, b)
	}
	wide, _ := begun("space: {width: 1800 mm, height: 400 mm, depth: 450 mm}", "")
	small, _ := begun("space: {width: 1150 mm, height: 220 mm, depth: 330 mm}", "")
	if a, b := small.System.Facts.NetVolume, wide.System.Facts.NetVolume; a >= 0.9*b || !small.Body.Fold.Fits || !wide.Body.Fold.Fits {
		t.Errorf("%g m³ in a small space, %g m³ in a wide one", a, b)
	}
}

// What is larger than the space even at its smallest says so.
func TestBegunTooLargeSaysSo(t *testing.T) {
	data := examples(t)["camper-bench.yaml"]
	st := parse(t, data)
	n := 0
	for _, v := range Of(st, 0) {
		if v.Sort != Box || v.Current || v.ID == "box-network" {
			continue
		}
		o := evaluated(t, changed(t, data, v), st.Candidates[0].Name)
		words := v.Words + v.Why
		says := strings.Contains(words, "; it does not fit the space") || strings.Contains(words, "; no fold in parallel legs fits the space")
		misses := slices.ContainsFunc(o.Misses, func(m study.Miss) bool { return m.Check == study.CheckDuctAir || m.Check == study.CheckFit })
		if misses && !says || !misses && says && !slices.ContainsFunc(o.Findings, func(f note.Finding) bool { return f.ID == "line-not-folded" }) {
			t.Errorf("%s %q says so: %t, and misses its space: %t", v.ID, v.Why, says, misses)
		}
		if folded := strings.Contains(v.Why, "no fold"); says && folded == misses || folded != (o.Unfolded(st) != "") {
			t.Errorf("%s %q; the ledger says %q, and misses its space: %t", v.ID, v.Why, o.Unfolded(st), misses)
		}
		if says {
			n++
		}
	}
	if n == 0 {
		t.Error("all stand in the bench, which is too small for lines")
	}
}

// A horn has the cut-off that is told, and is made smaller for its space.
func TestHornIsBegunByTheBrief(t *testing.T) {
	const plain = `study: Horn
SPACE
brief: {extension: {f3: 50 Hz}}
drivers:
  knot-8: {fs: 44 Hz, qms: 4.8, qes: 0.32, vas: 32 L, sd: 214 cm2, re: 6.1 ohm, xmax: 6 mm}
candidates:
  one: {group: {driver: knot-8}, enclosure: {kind: sealed, volume: 14 L}}
`
	for _, kind := range []string{"box-front_loaded_horn", "box-back_loaded_horn"} {
		volumes := map[string]float64{}
		for _, space := range []string{"drive: {voltage: 2.83 V}", "space: {width: 1200 mm, height: 500 mm, depth: 400 mm}"} {
			data := []byte(strings.Replace(plain, "SPACE", space, 1))
			list := Of(parse(t, data), 0)
			v := list[slices.IndexFunc(list, func(v Variant) bool { return v.ID == kind })]
			st := changed(t, data, v)
			o := evaluated(t, st, "one")
			if f := o.System.Facts.Line.Cutoff; math.Abs(f/35-1) > 0.01 || !strings.Contains(v.Why, "cut-off at 3") { // the areas have three digits
				t.Errorf("%s: %g Hz, %s", kind, f, v.Why)
			}
			if !st.Stands(o.System) {
				t.Errorf("%s does not stand in %s", kind, space)
			}
			volumes[space[:5]] = o.System.Facts.NetVolume
		}
		if !(volumes["space"] < 0.9*volumes["drive"]) {
			t.Errorf("%s: %v", kind, volumes)
		}
	}
}

// A candidate in the parts of a network sounds the same: two readings of one model, so
// only rounding is between them.
func TestNetworkIsTheSameCandidate(t *testing.T) {
	for file, data := range examples(t) {
		st := parse(t, data)
		for i, c := range st.Candidates {
			if c.Enclosure.Kind == enclosure.Network {
				continue
			}
			list := Quick(st, i)
			k := slices.IndexFunc(list, func(v Variant) bool { return v.ID == "box-network" })
			if k < 0 {
				t.Errorf("%s %s cannot become a network", file, c.Name)
				continue
			}
			a, b := evaluated(t, st, c.Name), evaluated(t, changed(t, data, list[k]), c.Name)
			for j, v := range a.Curves.SPL {
				if math.Abs(v-b.Curves.SPL[j]) > 1e-6 {
					t.Errorf("%s %s: %g dB and %g dB at %g Hz", file, c.Name, v, b.Curves.SPL[j], a.Curves.Frequency[j])
					break
				}
			}
		}
	}
}

// A duct is a next candidate only where the model shows that it mends a miss and brings no
// other: what is offered is evaluated here anew, in full.
func TestNextDuctIsWorthIt(t *testing.T) {
	const wren = `study: Port
amplifier: {rated: {4 ohm: 60 W}}
drive: {voltage: 9 V}
BRIEF
drivers:
  dunlin-7: {fs: 33 Hz, qms: 4.6, qes: 0.42, vas: 24 L, sd: 160 cm2, re: 6.2 ohm, xmax: 9 mm, mounting_depth: 84 mm}
candidates:
  one: {group: {driver: dunlin-7}, enclosure: ENCLOSURE}
`
	for _, c := range []struct{ brief, box, want string }{
		{"brief: {limits: {from: 25 Hz, port_speed: 5 m/s}}", "{kind: vented, volume: 30 L, tuning: 34 Hz, port: {diameter: 50 mm}}", "one-line"},
		{"brief: {level: {at: 60 Hz, spl: 95 dB}}", "{kind: sealed, volume: 14 L}", "one-horn"},
		{"brief: {limits: {group_delay: 3 ms}}", "{kind: vented, volume: 30 L, tuning: 34 Hz, port: {diameter: 150 mm}}", ""}, // no line keeps that either
		{"brief: {limits: {from: 25 Hz, group_delay: 16 ms}}", "{kind: vented, volume: 30 L, tuning: 34 Hz, port: {diameter: 150 mm}}", "one-line"},
		{"brief: {limits: {from: 25 Hz, port_speed: 5 m/s}}\nspace: {width: 340 mm, height: 340 mm, depth: 340 mm}", "{kind: vented, volume: 24 L, tuning: 34 Hz, port: {diameter: 50 mm}}", ""}, // and none fits there
	} {
		data := []byte(strings.NewReplacer("BRIEF", c.brief, "ENCLOSURE", c.box).Replace(wren))
		checkNext(t, data)
		st := parse(t, data)
		before := evaluated(t, st, "one")
		if len(before.Misses) == 0 {
			t.Fatalf("%s: nothing is missed", c.brief)
		}
		got := ""
		for _, v := range Next(whole(t, st)) {
			if v.Why == "" {
				continue
			}
			got = v.Name
			o := evaluated(t, changed(t, data, v), v.Name)
			for _, m := range o.Misses {
				if m.Check == before.Misses[0].Check && m.Check != study.CheckExcursionFull || m.Check != study.CheckExcursionFull && !slices.ContainsFunc(before.Misses, func(n study.Miss) bool { return n.Check == m.Check }) {
					t.Errorf("%q misses %v, instead of %v", v.Words, o.Misses, before.Misses)
				}
			}
		}
		if got != c.want {
			t.Errorf("for %s in %s: %q, want %q", c.brief, c.box, got, c.want)
		}
	}
}

func whole(t *testing.T, st *study.Study) *study.Result {
	t.Helper()
	res, err := study.Evaluate(t.Context(), st, study.Options{Points: 12})
	if err != nil {
		t.Fatal(err)
	}
	return res
}

// The quick list is the whole one without ducts, so that what is asked for all candidates
// at once stays quick however many there are.
func TestQuickLeavesDuctsOut(t *testing.T) {
	for file, data := range examples(t) {
		st := parse(t, data)
		for i := range st.Candidates[:1] {
			var want []Variant
			for _, v := range Of(st, i) {
				if v.Current || !slices.Contains([]string{"box-transmission_line", "box-tapped_waveguide", "box-front_loaded_horn", "box-back_loaded_horn"}, v.ID) {
					want = append(want, v)
				}
			}
			if got := Quick(st, i); !reflect.DeepEqual(got, want) {
				t.Errorf("%s %s: %+v, want %+v", file, st.Candidates[i].Name, got, want)
			}
		}
	}
}
