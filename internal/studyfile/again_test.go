package studyfile

import (
	"fmt"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"basswright/internal/phys"
	"basswright/internal/study"
)

// whole compares studies with all that they hold.
func whole() cmp.Options {
	maybes := cmp.Comparer(func(a, b phys.Maybe) bool { return a == b || !a.OK() && !b.OK() })
	return cmp.Options{cmpopts.EquateNaNs(), maybes, cmp.Exporter(func(reflect.Type) bool { return true })}
}

// besideGood gives what lies beside the studies that are good.
func besideGood(t testing.TB) Beside {
	return func(file string) ([]byte, error) { return readFile(t, filepath.Join("testdata/good", file)), nil }
}

// unboxed is a box that is known to stand.
func unboxed(*study.Study, int) error { return nil }

// triedIsRead tries a value and holds its study, or its faults, against those of the text that
// it makes. It is nil where the change is refused, and tells what was taken again.
func triedIsRead(t *testing.T, was *File, path, value string, boxed bool) (tried *study.Study, again taken) {
	t.Helper()
	next, err := was.Try(t.Context(), []Change{{Do: "set", Path: path, Value: value}})
	if err != nil {
		return nil, taken{}
	}
	read := Open(next.Text(), was.name)
	if !boxed {
		next.Make, read.Make = unboxed, unboxed
	}
	have, err := next.Study(besideGood(t))
	want, wantErr := read.Study(besideGood(t))
	if fmt.Sprint(err) != fmt.Sprint(wantErr) {
		t.Fatalf("%s: %s: %s: the fault %v, read %v", was.name, path, value, err, wantErr)
	}
	if !cmp.Equal(want, have, whole()) {
		t.Fatalf("%s: %s: %s: another study than that of the text\n%s", was.name, path, value, cmp.Diff(want, have, whole()))
	}
	if made := next.known.made; have != nil && made != nil {
		again.drivers = slices.ContainsFunc(have.Drivers, func(d study.Driver) bool {
			return slices.ContainsFunc(made.study.Drivers, func(w study.Driver) bool { return w.Driver == d.Driver })
		})
		again.candidates = slices.ContainsFunc(have.Candidates, func(c study.Candidate) bool {
			return slices.ContainsFunc(made.study.Candidates, func(w study.Candidate) bool { return w.Group == c.Group })
		})
	}
	return have, again
}

// taken is whether some were taken from the file that another was tried on.
type taken struct{ drivers, candidates bool }

// The study of a quantity that is tried is that of the text, to all that is told and to every
// place, wherever it stands; whatever was tried on the file before, and whether it was asked
// for its own study. Nothing of this changes what was given before.
func TestTriedStudyIsThatOfItsText(t *testing.T) {
	var files []string
	for _, in := range []string{"../../examples/*.yaml", "testdata/good/*.yaml", "testdata/doubtful/*.yaml"} {
		found, err := filepath.Glob(in)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, found...)
	}
	tries, drivers, candidates := 0, 0, 0
	for i, name := range files {
		all := strings.Contains(name, "camper-bench") || strings.Contains(name, "everything") || strings.Contains(name, "seat") // of the others a fifth, as it takes long
		data := readFile(t, name)
		was := Open(data, name)
		given := map[string]*study.Study{}
		if len(name)%2 == 0 {
			own, err := was.Study(besideGood(t))
			if err != nil {
				t.Fatal(err)
			}
			given[string(data)] = own
		}
		for n, field := range Open(data, name).Fields() {
			number, unit, ok := strings.Cut(field.Text, " ")
			if !field.Present || len(field.Sorts) > 0 || !ok || !all && n%5 != i%5 {
				continue
			}
			fine := number + ".125 " + unit
			if strings.Contains(number, ".") {
				fine = number + "5 " + unit
			}
			values := []string{fine, "7 " + unit}
			if field.Path == "brief.limits.price" || strings.HasSuffix(field.Path, ".price") {
				values = append(values, "7 GBP")
			}
			for _, value := range values {
				have, again := triedIsRead(t, was, field.Path, value, tries%16 == 0)
				if have == nil {
					continue
				}
				tries++
				if again.drivers {
					drivers++
				}
				if again.candidates {
					candidates++
				}
				if len(given) < 4 {
					next, err := was.Edit(t.Context(), []Change{{Do: "set", Path: field.Path, Value: value}})
					if err != nil {
						t.Fatal(err)
					}
					given[string(next.Text())] = have
				}
			}
		}
		for text, st := range given {
			f := Open([]byte(text), name)
			f.Make = unboxed
			if want, err := f.Study(besideGood(t)); err != nil || !cmp.Equal(want, st, whole()) {
				t.Errorf("%s: what was given has changed: %v\n%s", name, err, cmp.Diff(want, st, whole()))
			}
		}
	}
	if tries < 500 || drivers < 300 || candidates < 200 {
		t.Errorf("%d tries, of which %d took drivers again, %d candidates", tries, drivers, candidates)
	}
}

// What stays and is told elsewhere is no longer the same: a key may move where its value, in
// the next line, does not.
func TestTriedStudyMovesWithItsKeys(t *testing.T) {
	const sheet = "fs: 38 Hz, qms: 4.2, qes: 0.41, vas: 12.5 L, sd: 136 cm2, re: 3.4 ohm"
	const text = "{study: A, drive: {power: 5 W}, model:\n" +
		" {radiation: full},\n" +
		"drivers: {finch-5: {" + sheet + "}, wren-6:\n" +
		" {" + sheet + "}},\n" +
		"candidates: {one: {group: {driver: wren-6}, enclosure: {kind: sealed, volume: 9 L}}, two:\n" +
		" {group: {driver: wren-6, side_by_side: 2}, enclosure: {kind: transmission_line, duct: {length: 2 m, area: 200 cm2}, mouth: flanged}}, three:\n" +
		" {group: {driver: finch-5}, enclosure: {kind: transmission_line, duct: {length: 3 m, area: 200 cm2}, mouth: flanged}}}}\n"
	was := Open([]byte(text), "a")
	for _, path := range []string{"drive.power", "drivers.finch-5.re", "drivers.wren-6.re", "candidates.one.enclosure.volume", "candidates.two.enclosure.duct.length", "candidates.three.enclosure.duct.area"} {
		for _, f := range Open([]byte(text), "a").Fields() {
			if f.Path != path {
				continue
			}
			number, unit, _ := strings.Cut(f.Text, " ")
			if have, _ := triedIsRead(t, was, path, number+".125 "+unit, true); have == nil {
				if have, _ = triedIsRead(t, was, path, number+"2 "+unit, true); have == nil {
					t.Errorf("%s was not tried", path)
				}
			}
		}
	}
}

// A driver is another one where the place is warmer, though its sheet is the same.
func TestTriedStudyOfAWarmerPlace(t *testing.T) {
	was := Open([]byte(strings.Replace(string(readFile(t, "testdata/good/cabin.yaml")), "temperature: -10 C", "temperature: 10 C", 1)), "cabin.yaml")
	for _, value := range []string{"30 C", "10 C", "11 C"} {
		if have, again := triedIsRead(t, was, "listening.cabin.temperature", value, true); have == nil || again.drivers != (value == "10 C") {
			t.Errorf("%s: a study: %v, drivers taken again: %v", value, have != nil, again.drivers)
		}
	}
}

// Studies that were tried on one file share what has not changed: they are evaluated at once,
// each as if it were alone, and nothing of the file they came from changes.
func TestTriedStudiesAreEvaluatedAtOnce(t *testing.T) {
	for _, name := range []string{"../../examples/camper-bench.yaml", "testdata/good/ducts.yaml", "testdata/good/network.yaml", "testdata/good/curves.yaml"} {
		was := Open(readFile(t, name), name)
		var changes []Change
		for _, f := range was.Fields() {
			if number, unit, _ := strings.Cut(f.Text, " "); f.Present && (unit == "L" || unit == "cm2") && strings.HasPrefix(f.Path, "candidates.") && !strings.Contains(number, ".") {
				changes = append(changes, Change{Do: "set", Path: f.Path, Value: number + ".5 " + unit})
			}
		}
		var all sync.WaitGroup
		var evaluated atomic.Int32
		for _, c := range changes[:min(4, len(changes))] {
			f, err := was.Try(t.Context(), []Change{c})
			if err != nil {
				t.Fatal(err)
			}
			all.Go(func() {
				st, err := f.Study()
				alone, faulty := Open(f.Text(), name).Study()
				if fmt.Sprint(err) != fmt.Sprint(faulty) {
					t.Errorf("%s: %v, alone %v", name, err, faulty)
				}
				if err != nil || faulty != nil {
					return // as a mouth that no longer fits its baffle
				}
				have, err := study.Evaluate(t.Context(), st, study.Options{Points: 8})
				want, alike := study.Evaluate(t.Context(), alone, study.Options{Points: 8})
				if err != nil || alike != nil {
					t.Error(err, alike)
					return
				}
				for i, o := range want.Candidates {
					if !cmp.Equal(o.Figures, have.Candidates[i].Figures, whole()) || !cmp.Equal(o.Curves, have.Candidates[i].Curves, whole()) {
						t.Errorf("%s: %s is otherwise than alone", name, o.Candidate.Name)
					}
				}
				evaluated.Add(1)
			})
		}
		all.Wait()
		if n := evaluated.Load(); n < 2 {
			t.Errorf("%s: %d were evaluated", name, n)
		}
		made := was.reading().made
		if made == nil {
			t.Fatalf("%s: nothing is known", name)
		}
		want, err := Open(was.Text(), name).Study()
		if err != nil {
			t.Fatal(err)
		}
		have := *made.study
		have.Digest = want.Digest // which that of a file has and what is known of it has not
		if !cmp.Equal(want, &have, whole()) {
			t.Errorf("%s: what is known has changed\n%s", name, cmp.Diff(want, &have, whole()))
		}
	}
}
