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
				if known, read := walked(have, have.known.values), walked(have, nil); !reflect.DeepEqual(known, read) {
					t.Fatalf("%s: %s: %s: other values than those of the text", name, field.Path, value)
				}
				if read := Open(want.Text(), name); !reflect.DeepEqual(have.tree(), read.tree()) || !reflect.DeepEqual(have.said, read.said) {
					t.Fatalf("%s: %s: %s: another tree than that of the text", name, field.Path, value)
				}
			}
		}
		if !reflect.DeepEqual(was.tree(), Open(data, name).tree()) {
			t.Errorf("%s: the tree that the tries began from has changed", name)
		}
	}
	if quick < 1000 || edited < 300 {
		t.Errorf("%d tries put a quantity in place, %d edited", quick, edited)
	}
}

// walked is what the nodes of a file are found to be where some are known.
func walked(f *File, known map[*node]*value) *value {
	return walker{faults: &faults{}, known: known}.value(f.tree(), studyForm, "")
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

// A try is an edit, or is left to it, also where the text is written otherwise than most,
// and where it began from what was tried before.
func TestTryIsEditHoweverItIsWritten(t *testing.T) {
	const study = "study: A\ndrivers:\n  wren-6: {fs: 38 Hz, qms: 4.2, qes: 0.41, vas: 12.5 L, sd: 136 cm2, re: 3.4 ohm}\ncandidates:\n  one:\n    group: {driver: wren-6}\n    enclosure: {kind: sealed, volume: 9 L}\n"
	for name, text := range map[string]string{
		"as most":          study,
		"line ends":        strings.ReplaceAll(study, "\n", "\r\n"),
		"mark of order":    "\ufeff" + study,
		"tab in a value":   strings.Replace(study, "9 L", "9\tL", 1),
		"tab in a number":  strings.Replace(study, "3.4 ohm", "3.\t4 ohm", 1),
		"wide before":      strings.Replace(study, "{kind:", "{note: \"größer, 大きい\", kind:", 1),
		"behind":           strings.Replace(study, "volume: 9 L}", "volume: 9 L, leak: {q: 7}} # so", 1),
		"over lines":       strings.Replace(study, "volume: 9 L", "volume:\n      9 L\n     ", 1),
		"quoted":           strings.Replace(study, "9 L", "\"9 L\"", 1),
		"quoted key":       strings.Replace(study, "volume", "'volume'", 1),
		"an alias":         strings.Replace(strings.Replace(study, "12.5 L", "&v 12.5 L", 1), "9 L", "*v", 1),
		"twice":            strings.Replace(study, "volume: 9 L", "volume: 9 L, volume: 8 L", 1),
		"faults elsewhere": strings.Replace(study, "fs: 38 Hz", "fs: 38 apples", 1),
	} {
		have, want := Open([]byte(text), name), []byte(text)
		for _, c := range []Change{
			{Do: "set", Path: "candidates.one.enclosure.volume", Value: "10.25 L"}, {Do: "set", Path: "drivers.wren-6.re", Value: "5.5 ohm"},
			{Do: "set", Path: "drivers.wren-6.sd", Value: "1 cm2"}, {Do: "set", Path: "candidates.one.enclosure.volume", Value: "8 L"},
			{Do: "set", Path: "candidates.one.enclosure.volume", Value: "8 L", Name: "\xff"},
		} {
			next, err := have.Try(t.Context(), []Change{c})
			edited, wantErr := Edit(want, []Change{c})
			if fmt.Sprint(err) != fmt.Sprint(wantErr) {
				t.Errorf("%s: %s: %v, edited %v", name, c.Path, err, wantErr)
			}
			if err != nil || wantErr != nil {
				continue
			}
			have, want = next, edited
			if string(have.Text()) != string(want) {
				t.Errorf("%s: %s: the text\n%s\nedited\n%s", name, c.Path, have.Text(), want)
			}
			if read := Open(want, name); !reflect.DeepEqual(have.tree(), read.tree()) || !reflect.DeepEqual(have.said, read.said) {
				t.Errorf("%s: %s: another tree than that of the text", name, c.Path)
			}
		}
	}
}

// A change that changes nothing gives a file that shares nothing with the first: two
// goroutines may have them.
func TestEditOfNothingIsAFileOfItsOwn(t *testing.T) {
	f := Open(readFile(t, "../../examples/camper-bench.yaml"), "bench.yaml")
	next, err := f.Edit(t.Context(), []Change{{Do: "set", Path: "listening", Value: "{distance: 1 m, space: half}"}})
	if err != nil || string(next.Text()) != string(f.Text()) {
		t.Fatalf("%v, %s", err, next.Text())
	}
	if next.doc() == f.doc() || next.tree() == f.tree() {
		t.Error("it shares what was read")
	}
}
