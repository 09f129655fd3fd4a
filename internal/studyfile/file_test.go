package studyfile

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"reflect"
	"runtime"
	"strings"
	"testing"
)

// Many changes at once make the text that they make one after the other, also
// where they meet, where one decides what the next means, and where one is refused.
func TestChangesTogether(t *testing.T) {
	data := readFile(t, "../../examples/camper-bench.yaml")
	set := func(path, value string) Change { return Change{Do: "set", Path: path, Value: value} }
	was := "28 L"
	stale := "29 L"
	with := func(c Change, was *string) Change { c.Was = was; return c }
	for name, changes := range map[string][]Change{
		"apart":         {set("candidates.one.enclosure.volume", "31 L"), set("drive.power", "80 W"), set("study", "Another: name"), set("candidates.pair.note", "it's")},
		"twice":         {set("candidates.one.enclosure.volume", "31 L"), set("candidates.one.enclosure.volume", "32 L"), set("drive.power", "80 W")},
		"none":          {set("candidates.one.enclosure.volume", "28 L"), with(set("candidates.one.enclosure.volume", "28 L"), &was)},
		"with was":      {with(set("candidates.one.enclosure.volume", "31 L"), &was), set("drive.power", "80 W")},
		"with stale":    {set("drive.power", "80 W"), set("drive.distance", "2 m"), with(set("candidates.one.enclosure.volume", "31 L"), &stale)},
		"kind and more": {set("candidates.one.enclosure.kind", "vented"), set("candidates.one.enclosure.tuning", "31 Hz"), set("candidates.one.enclosure.volume", "40 L")},
		"in between":    {set("drive.power", "80 W"), {Do: "remove", Path: "candidates.pair"}, set("candidates.one.enclosure.volume", "31 L"), set("drive.power", "81 W")},
		"no such":       {set("drive.power", "80 W"), {Do: "remove", Path: "candidates.none"}},
	} {
		want, wantErr := data, error(nil)
		for _, c := range changes {
			next, err := Edit(want, []Change{c})
			if err != nil {
				wantErr = err
				break
			}
			want = next
		}
		have, err := Edit(data, changes)
		if fmt.Sprint(err) != fmt.Sprint(wantErr) {
			t.Errorf("%s: %v, one after the other %v", name, err, wantErr)
		}
		if err == nil && string(have) != string(want) {
			t.Errorf("%s: together\n%s\none after the other\n%s", name, have, want)
		}
	}
	d := Open(data, "").doc()
	if _, n := d.together([]Change{set("candidates.one.enclosure.volume", "31 L"), set("drive.power", "80 W"), set("study", "B")}); n != 3 {
		t.Errorf("%d of three changes apart were made with one reading", n)
	}
}

// An edit ends with its context.
func TestEditEndsWithItsContext(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	f := Open(readFile(t, "../../examples/camper-bench.yaml"), "bench.yaml")
	if _, err := f.Edit(ctx, []Change{{Do: "set", Path: "drive.power", Value: "80 W"}}); !errors.Is(err, context.Canceled) {
		t.Errorf("%v", err)
	}
	if text := f.Text(); string(text) != string(readFile(t, "../../examples/camper-bench.yaml")) {
		t.Error("the file was changed")
	}
}

// What one reading gives is what separate readings give, also after an edit.
func TestOneReading(t *testing.T) {
	f, err := Open(readFile(t, "../../examples/camper-bench.yaml"), "bench.yaml").Edit(t.Context(), []Change{{Do: "set", Path: "candidates.one.enclosure.volume", Value: "31 L"}})
	if err != nil {
		t.Fatal(err)
	}
	again := Open(f.Text(), "bench.yaml")
	if have, want := fmt.Sprintf("%+v", f.Fields()), fmt.Sprintf("%+v", again.Fields()); have != want {
		t.Errorf("fields\n%s\nread anew\n%s", have, want)
	}
	for range 2 { // asking twice gives the same
		have, err := f.Study()
		if err != nil {
			t.Fatal(err)
		}
		want, err := again.Study()
		if err != nil || have.Digest != want.Digest || have.Candidates[0].Digest != want.Candidates[0].Digest || have.File != "bench.yaml" {
			t.Errorf("another study: %v", err)
		}
	}
	bad := Open([]byte("study: [\n"), "bench.yaml")
	for range 2 {
		if _, err := bad.Study(); err == nil || !strings.HasPrefix(err.Error(), "bench.yaml:") {
			t.Errorf("a fault is told as %v", err)
		}
	}
}

// A text that only costs memory is refused before it does: reading takes at most
// so much for any text of 1 MiB.
func TestReadingIsBoundedInMemory(t *testing.T) {
	head := "study: A\n"
	for name, text := range map[string]string{
		"percents": strings.Repeat("%", mostBytes-1),
		"list":     head + "candidates: [" + strings.Repeat("{a: b},", (mostBytes-100)/7) + "]\n",
		"just few": head + "candidates: [" + strings.Repeat("{a: b},", mostSigns/4-10) + "]\n",
		"dashes":   strings.Repeat("- ", mostBytes/2-1),
		"flow map": head + "a: {" + strings.Repeat("a, ", (mostBytes-100)/3) + "}\n",
		"braces":   head + "a: " + strings.Repeat("[", mostBytes-100),
		"keys":     head + strings.Repeat("a:\n", (mostBytes-100)/3),
		"quotes":   head + "a: [" + strings.Repeat("'',", (mostBytes-100)/3) + "]\n",
		"lines":    strings.Repeat("a\n", mostBytes/2-1),
		"comments": head + strings.Repeat("#\n", mostBytes/2-100),
		"words":    head + strings.Repeat("a a ", mostBytes/4-100) + "\n",
	} {
		var before, after runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&before)
		f := Open([]byte(text), name)
		f.Fields()
		if _, err := f.Study(); err == nil {
			t.Errorf("%s is a study", name)
		}
		runtime.ReadMemStats(&after)
		made := (after.TotalAlloc - before.TotalAlloc) >> 20
		t.Logf("%s: %d MiB", name, made)
		if made > 150 { // all that was allocated, also what was given back at once
			t.Errorf("reading %s allocates %d MiB", name, made)
		}
	}
	// Prose is no sign of harm: a note and comments as long as a file may be.
	long := string(readFile(t, "../../examples/camper-bench.yaml"))
	prose := strings.Repeat("# Words, words - and: more {words} in [brackets]!\n", 900_000/50)
	if _, err := Open([]byte(prose+long), "long").Study(); err != nil {
		t.Errorf("a study below long comments: %v", err)
	}
}

// A quantity that is tried makes the text and the tree that it makes as an edit, in every
// place where one stands in an example; what is no quantity is edited.
func TestTryIsEdit(t *testing.T) {
	files, err := filepath.Glob("../../examples/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	edited, quick := 0, 0
	for _, name := range files {
		data := readFile(t, name)
		was := Open(data, name)
		before := fmt.Sprintf("%#v", was.tree())
		for n, field := range Open(data, name).Fields() {
			if !field.Present || len(field.Sorts) > 0 {
				continue
			}
			number, unit, _ := strings.Cut(field.Text, " ")
			for i, value := range []string{"1234.5 " + unit, "7 " + unit, number + "1 " + unit, "31 apples", "0.5 ft3", "6", "auto", `"7 ` + unit + `"`, "7 " + unit + " # so", "[1 m]", " 8 " + unit, "-3 " + unit, "8 " + unit + ", "} {
				if i >= 5 && n%5 != 0 { // what is edited is the same function
					continue
				}
				c := Change{Do: "set", Path: field.Path, Value: value}
				want, wantErr := Open(data, name).Edit(t.Context(), []Change{c})
				have, err := was.Try(t.Context(), []Change{c})
				if fmt.Sprint(err) != fmt.Sprint(wantErr) {
					t.Fatalf("%s: %s: %s: %v, edited %v", name, field.Path, value, err, wantErr)
				}
				if err != nil {
					continue
				}
				if string(have.Text()) != string(want.Text()) {
					t.Fatalf("%s: %s: %s: the text\n%s\nedited\n%s", name, field.Path, value, have.Text(), want.Text())
				}
				if have.read {
					edited++
					continue
				}
				quick++
				if read := Open(want.Text(), name); !reflect.DeepEqual(have.tree(), read.tree()) || !reflect.DeepEqual(have.said, read.said) {
					t.Fatalf("%s: %s: %s: another tree than that of the text", name, field.Path, value)
				}
			}
		}
		if fmt.Sprintf("%#v", was.tree()) != before {
			t.Errorf("%s: the tree that the tries began from has changed", name)
		}
	}
	if quick < 1000 || edited < 300 {
		t.Errorf("%d tries put a quantity in place, %d edited", quick, edited)
	}
}

// Somebody else’s value is met by a try as by an edit.
func TestTryMeetsWhatOthersWrote(t *testing.T) {
	stale := "27 L"
	_, err := Open(readFile(t, "../../examples/camper-bench.yaml"), "").Try(t.Context(), []Change{{Do: "set", Path: "candidates.one.enclosure.volume", Value: "31 L", Was: &stale}})
	var meets *ConflictError
	if !errors.As(err, &meets) || meets.Is != "28 L" {
		t.Errorf("%v", err)
	}
}
