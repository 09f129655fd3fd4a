package variant

import (
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"basswright/internal/phys"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

func examples(t testing.TB) map[string][]byte {
	t.Helper()
	files, err := filepath.Glob("../../examples/*.yaml")
	if err != nil || len(files) < 4 {
		t.Fatalf("%d examples, %v", len(files), err)
	}
	out := map[string][]byte{}
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		out[filepath.Base(f)] = data
	}
	return out
}

func parse(t testing.TB, data []byte) *study.Study {
	t.Helper()
	st, err := studyfile.Parse(data, "test.yaml")
	if err != nil {
		t.Fatalf("%v\n%s", err, data)
	}
	return st
}

// changed is the study that a variant's changes make.
func changed(t testing.TB, data []byte, v Variant) *study.Study {
	t.Helper()
	out, err := studyfile.Edit(data, v.Changes)
	if err != nil {
		t.Fatalf("%s %q: %v\n%+v\n%s", v.ID, v.Words, err, v.Changes, data)
	}
	st, err := studyfile.Parse(out, "test.yaml")
	if err != nil {
		t.Fatalf("%s %q: %v\n%+v\n%s", v.ID, v.Words, err, v.Changes, out)
	}
	return st
}

// evaluated is one candidate of a study, evaluated alone and coarsely.
func evaluated(t testing.TB, st *study.Study, name string) *study.Outcome {
	t.Helper()
	i, err := st.Find(name)
	if err != nil {
		t.Fatal(err)
	}
	one := *st
	one.Candidates = st.Candidates[i : i+1]
	res, err := study.Evaluate(context.Background(), &one, study.Options{Points: 12, WithoutMends: true})
	if err != nil {
		t.Fatal(err)
	}
	return res.Candidates[0]
}

// isTrue holds a variant's words against the result that its changes give.
func isTrue(t testing.TB, v Variant, o *study.Outcome, u phys.System) {
	t.Helper()
	g, f := o.System.Group, o.Figures
	say := func(want string) {
		t.Helper()
		if !strings.Contains(v.Words, want) {
			t.Errorf("%s says %q; its result has %q", v.ID, v.Words, want)
		}
	}
	if strings.Contains(v.Words, "Ω") {
		say(phys.Show(f.Re, phys.Resistance, u))
		if w := study.Wiring(g); w != "–" {
			say(w)
		}
	}
	if v.Sort == Mounting {
		for _, n := range []int{g.SideBySide(), g.Depth()} {
			if n > 1 || g.Count() == 1 {
				say(study.Count(n))
			}
		}
		if g.Depth() > 1 {
			say(study.Facing(g) + " stack")
		}
	}
	if l := o.System.Facts.Line; l != nil && (v.Sort == Mounting || v.Sort == Box) {
		say(phys.Show(l.Length, phys.Distance, u))
		say(phys.Show(l.Start, phys.Area, u))
	}
	if o.System.Spec.Front.Volume == 0 && o.System.Facts.Line == nil && f.NetVolume.OK() && (v.Sort == Mounting || v.Sort == Box || v.Sort == Size) {
		say(phys.Show(float64(f.NetVolume), phys.Volume, u))
	}
	if v.Sort == Box && f.Tuning.OK() && o.System.Facts.Line == nil {
		say(phys.Show(float64(f.Tuning), phys.Frequency, u))
	}
	if v.Sort == Box && strings.Contains(v.Words, "total Q") {
		say("total Q " + phys.Digits(float64(f.Qtc), 2))
	}
	if v.Sort == Box && v.Name == "" {
		say(study.KindWords(o.System.Spec.Kind))
	}
	if v.Sort == Arrangement && !strings.Contains(v.Words, "facing") {
		say(study.Facing(g))
	}
	if v.Sort == Polarity && !g.MovesTogether() {
		t.Errorf("%s %q: the cones still fight", v.ID, v.Words)
	}
}

// checkOf holds every variant of every candidate of a study.
func checkOf(t testing.TB, data []byte) (n int) {
	t.Helper()
	st := parse(t, data)
	for i := range st.Candidates {
		name := st.Candidates[i].Name
		list := Quick(st, i)
		if i == 0 { // ducts are begun from every driver in their own test
			list = Of(st, i)
		}
		seen, currents := map[string]bool{}, map[string]int{}
		for _, v := range list {
			if seen[v.ID] || v.ID == "" || v.Words == "" {
				t.Errorf("%s has two variants %q, or one without words", name, v.ID)
			}
			seen[v.ID] = true
			if v.Current {
				currents[v.Sort]++
				if len(v.Changes) > 0 {
					t.Errorf("%s is %s already and would be changed", name, v.ID)
				}
				isTrue(t, v, evaluated(t, st, name), st.Units)
				continue
			}
			n++
			if len(v.Changes) == 0 {
				t.Errorf("%s %s changes nothing", name, v.ID)
			}
			next := changed(t, data, v)
			if len(next.Candidates) != len(st.Candidates) {
				t.Errorf("%s %s changes the number of candidates", name, v.ID)
			}
			o := evaluated(t, next, name)
			isTrue(t, v, o, st.Units)
			again, _ := draftOf(next, i) // without what else its box could be, which takes long
			back := several(append(again.grouped(), []Variant{again.ownBox(), {}}))
			if k := slices.IndexFunc(back, func(w Variant) bool { return w.ID == v.ID }); v.Sort != Polarity && (k < 0 || !back[k].Current) {
				t.Errorf("%s is not %s after it was made so", name, v.ID)
			}
		}
		for sort, k := range currents {
			if k != 1 {
				t.Errorf("%s has %d current variants of the sort %s", name, k, sort)
			}
		}
	}
	return n
}

// checkNext holds every next candidate of a study.
func checkNext(t testing.TB, data []byte) (n int) {
	t.Helper()
	st := parse(t, data)
	res, err := study.Evaluate(context.Background(), st, study.Options{Points: 12})
	if err != nil {
		t.Fatal(err)
	}
	list := Next(res)
	if len(list) > mostNext {
		t.Errorf("%d next candidates", len(list))
	}
	for k, v := range list {
		if slices.ContainsFunc(list[:k], func(w Variant) bool { return w.ID == v.ID || w.Name == v.Name || w.Words == v.Words }) {
			t.Errorf("%q is offered twice", v.Words)
		}
		next := changed(t, data, v)
		if len(next.Candidates) != len(st.Candidates)+1 {
			t.Errorf("%q makes %d candidates of %d", v.Words, len(next.Candidates), len(st.Candidates))
		}
		for _, c := range st.Candidates {
			k, err := next.Find(c.Name)
			if err != nil || !reflect.DeepEqual(c.Enclosure, next.Candidates[k].Enclosure) {
				t.Errorf("%q changes the box of %s too (%v)", v.Words, c.Name, err)
			}
		}
		o := evaluated(t, next, v.Name)
		isTrue(t, v, o, st.Units)
		for i := range st.Candidates {
			if signatureOf(res.Candidates[i].System).like(signatureOf(o.System)) {
				t.Errorf("%q is in the study already, as %s", v.Words, st.Candidates[i].Name)
			}
		}
	}
	return len(list)
}

func TestVariantsOfTheExamples(t *testing.T) {
	for name, data := range examples(t) {
		t.Run(name, func(t *testing.T) {
			n := checkOf(t, data)
			if candidates := len(parse(t, data).Candidates); n < 3*candidates {
				t.Errorf("%d variants of %d candidates", n, candidates)
			}
		})
	}
}

func TestNextOfTheExamples(t *testing.T) {
	for name, data := range examples(t) {
		t.Run(name, func(t *testing.T) {
			if n := checkNext(t, data); n < 3 {
				t.Errorf("only %d next candidates", n)
			}
		})
	}
}

// The trade's rule: n side by side need n times the volume of one, and a
// stack of n needs 1/n of it; the response is then the same. The tolerance is
// the rounding of the volume to three digits; the drive is by power, so that
// the wiring does not count.
func TestTheBoxFollowsTheMounting(t *testing.T) {
	data := []byte(`study: Rule
drive: {power: 10 W}
drivers:
  wren-6: {fs: 38 Hz, qms: 4.2, qes: 0.41, vas: 12.5 L, sd: 136 cm2, re: 3.4 ohm, xmax: 7 mm}
candidates:
  one:
    group: {driver: wren-6}
    enclosure: {kind: sealed, volume: 9 L}
`)
	st := parse(t, data)
	base := evaluated(t, st, "one")
	for id, volume := range map[string]float64{"mounting-2x1": 18e-3, "mounting-1x2": 4.5e-3} {
		list := Of(st, 0)
		k := slices.IndexFunc(list, func(v Variant) bool { return v.ID == id })
		if k < 0 {
			t.Fatalf("no %s", id)
		}
		o := evaluated(t, changed(t, data, list[k]), "one")
		if got := float64(o.Figures.NetVolume); math.Abs(got/volume-1) > 1e-9 {
			t.Errorf("%s is in %g m³, want %g", id, got, volume)
		}
		if a, b := float64(o.Figures.F3), float64(base.Figures.F3); math.Abs(a/b-1) > 1e-6 {
			t.Errorf("%s has F3 %g Hz, one has %g Hz", id, a, b)
		}
	}
}

// The ideas for a study follow what its candidates miss.
func TestNextFollowsTheMisses(t *testing.T) {
	const wren = "drivers:\n  wren-6: {fs: 38 Hz, qms: 4.2, qes: 0.41, vas: 12.5 L, sd: 136 cm2, re: 3.4 ohm, xmax: 7 mm}\n"
	for _, c := range []struct{ name, brief, group, box, want string }{
		{"load", "amplifier: {rated: {4 ohm: 60 W}}", "{driver: wren-6, side_by_side: 2}", "{kind: sealed, volume: 18 L}", "wired in series, 6.80 Ω"},
		{"fit", "space: {width: 400 mm, height: 250 mm, depth: 200 mm}", "{driver: wren-6, side_by_side: 2}", "{kind: sealed, volume: 40 L}", "the same two as a clamshell stack of two, in 10.0 L"},
		{"extension", "brief: {extension: {f3: 40 Hz}}", "{driver: wren-6}", "{kind: sealed, volume: 12 L}", "vented instead, in the same 12.0 L, at 40.0 Hz"},
		{"delay", "brief: {limits: {group_delay: 5 ms}}", "{driver: wren-6}", "{kind: vented, volume: 12 L, tuning: 38 Hz}", "sealed instead, in the same 12.0 L"},
		{"polarity", "drive: {voltage: 2 V}", "{driver: wren-6, stack: 2, arrangement: clamshell, polarity: [normal, normal]}", "{kind: sealed, volume: 5 L}", "with the polarity that its arrangement needs"},
	} {
		data := []byte("study: Miss\n" + c.brief + "\n" + wren + "candidates:\n  one:\n    group: " + c.group + "\n    enclosure: " + c.box + "\n")
		res, err := study.Evaluate(context.Background(), parse(t, data), study.Options{Points: 12})
		if err != nil {
			t.Fatal(err)
		}
		if len(res.Candidates[0].Misses) == 0 {
			t.Fatalf("%s is not missed", c.name)
		}
		list := Next(res)
		if len(list) == 0 || list[0].Words != c.want {
			t.Errorf("for %s: %+v, want %q first", c.name, list, c.want)
		}
		checkNext(t, data)
		checkOf(t, data)
	}
}

// Every list of every variant is the same each time.
func TestVariantsAreDeterministic(t *testing.T) {
	for name, data := range examples(t) {
		st := parse(t, data)
		for i := range st.Candidates {
			of := Quick
			if i == 0 { // ducts take long
				of = Of
			}
			a, b := of(st, i), of(parse(t, data), i)
			if fmt.Sprint(a) != fmt.Sprint(b) {
				t.Errorf("%s: %v and %v", name, a, b)
			}
		}
	}
}
