package folder

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// settled is a time long past: a file of that time is not being written.
var settled = time.Date(2001, 2, 3, 4, 5, 6, 0, time.UTC)

// told is what a look tells, in short.
func told(changes []Change) string {
	var out []string
	for _, c := range changes {
		what := c.Revision
		switch {
		case c.Gone:
			what = "gone"
		case c.Fault != "":
			what = "fault"
		}
		out = append(out, c.Name+" "+what)
	}
	return strings.Join(out, ", ")
}

func TestWatch(t *testing.T) {
	f, dir := opened(t, map[string]string{"heath.yaml": "one\n", "moor.yaml": "two\n"})
	at := func(name string) string { return filepath.Join(dir, name) }
	settle(t, dir)
	w := f.newWatcher()
	expect := func(when string, want ...string) {
		t.Helper()
		if got := told(w.look()); got != strings.Join(want, ", ") {
			t.Fatalf("%s: %q, want %q", when, got, want)
		}
	}
	rev := func(text string) string { return Revision([]byte(text)) }
	expect("nothing")

	// In place: told when it has been the same twice.
	write(t, at("heath.yaml"), "half")
	expect("half written")
	write(t, at("heath.yaml"), "whole\n")
	expect("just written")
	expect("at rest", "heath "+rev("whole\n"))
	expect("after that")

	// The same size and time: a file changed this lately is read again.
	info, err := os.Stat(at("heath.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	write(t, at("heath.yaml"), "whale\n")
	if err := os.Chtimes(at("heath.yaml"), info.ModTime(), info.ModTime()); err != nil {
		t.Fatal(err)
	}
	expect("without a trace", "heath "+rev("whale\n"))

	// Renamed over: whole at once.
	write(t, at("heath.yaml~"), "renamed\n")
	if err := os.Rename(at("heath.yaml~"), at("heath.yaml")); err != nil {
		t.Fatal(err)
	}
	expect("renamed over", "heath "+rev("renamed\n"))

	// Removed and made again between two looks, and around one.
	if err := os.Remove(at("heath.yaml")); err != nil {
		t.Fatal(err)
	}
	expect("removed, perhaps for a moment")
	write(t, at("heath.yaml"), "again\n")
	// As a new file at the first look, or at the second if it got the number of
	// the old one.
	if got := told(append(w.look(), w.look()...)); got != "heath "+rev("again\n") {
		t.Fatalf("made again: %q", got)
	}
	if err := os.Remove(at("heath.yaml")); err != nil {
		t.Fatal(err)
	}
	expect("removed")
	expect("removed for good", "heath gone")
	expect("after that")
	write(t, at("heath.yaml"), "again\n")
	expect("a new file, perhaps not whole")
	expect("a new file", "heath "+rev("again\n"))

	// Too large, and mended; touched without a change.
	write(t, at("moor.yaml"), strings.Repeat("x", mostBytes+1))
	expect("too large, just written")
	expect("too large", "moor fault")
	write(t, at("moor.yaml"), "two\n")
	expect("mended, just written")
	expect("mended", "moor "+rev("two\n"))
	if err := os.Chtimes(at("moor.yaml"), settled, settled); err != nil {
		t.Fatal(err)
	}
	expect("touched")
	expect("touched, at rest")

	// Our own save is told once.
	v, err := f.Read("moor")
	v = good(t, v, err)
	v, err = f.Save("moor", v.Revision, []byte("three\n"), "x")
	v = good(t, v, err)
	expect("saved", "moor "+v.Revision)
	expect("after that")

	// An edit from outside is a step of undo, without anybody having read it.
	write(t, at("moor.yaml"), "four\n")
	w.look()
	expect("edited", "moor "+rev("four\n"))
	write(t, at("moor.yaml"), "five\n")
	w.look()
	expect("edited again", "moor "+rev("five\n"))
	if all := texts(t, f, "moor"); all != "two\nthree\nfour\nfive\n" {
		t.Fatalf("%q", all)
	}
}

// Who does not receive makes nobody wait, and is told the last of many changes.
func TestSlowReceiver(t *testing.T) {
	dir := t.TempDir()
	write(t, filepath.Join(dir, "heath.yaml"), "0\n")
	f, err := Open(dir, Options{Poll: time.Millisecond})
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	ctx, cancel := context.WithCancel(t.Context())
	changes := f.Watch(ctx)
	v, err := f.Read("heath")
	for i := range 50 {
		v = good(t, v, err)
		v, err = f.Save("heath", v.Revision, fmt.Appendf(nil, "save %d\n", i), "x")
	}
	v = good(t, v, err)
	count := 0
	for c := range changes {
		count++
		if c.Name != "heath" || c.Gone || c.Fault != "" {
			t.Fatalf("%+v", c)
		}
		if c.Revision == v.Revision {
			break
		}
	}
	if count > 3 { // one that was waited with, one under way, the last
		t.Errorf("%d changes were kept for who did not ask", count)
	}
	cancel()
	for range changes { // closed when the context ends
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	if len(f.watchers) != 0 {
		t.Error("a watcher stayed")
	}
}

func TestTwoWatchersAndManySavers(t *testing.T) {
	f, _ := opened(t, map[string]string{"heath.yaml": "0\n", "moor.yaml": "0\n"})
	f.poll = time.Millisecond
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	one, two := f.Watch(ctx), f.Watch(ctx)
	last := make(chan string)
	for _, name := range []string{"heath", "moor"} {
		go func() {
			v, err := f.Read(name)
			for i := 0; i < 30 && err == nil; i++ {
				v, err = f.Save(name, v.Revision, fmt.Appendf(nil, "%s %d\n", name, i), "x")
			}
			if err != nil {
				t.Error(err)
			}
			last <- name + " " + v.Revision
		}()
	}
	want := map[string]bool{<-last: true, <-last: true}
	for _, changes := range []<-chan Change{one, two} {
		seen := 0
		for c := range changes {
			if want[c.Name+" "+c.Revision] {
				if seen++; seen == len(want) {
					break
				}
			}
		}
	}
}

// A save of ours that another program takes back before the next look is told of:
// the page that saved shows its own text until then.
func TestWatchTellsOfASaveTakenBack(t *testing.T) {
	f, dir := opened(t, map[string]string{"heath.yaml": "one\n"})
	settle(t, dir)
	w := f.newWatcher()
	v, err := f.Read("heath")
	v = good(t, v, err)
	v, err = f.Save("heath", v.Revision, []byte("two\n"), "x")
	good(t, v, err)
	path := filepath.Join(dir, "heath.yaml")
	write(t, path+"~", "one\n")
	if err := os.Rename(path+"~", path); err != nil {
		t.Fatal(err)
	}
	if got, want := told(w.look()), "heath "+Revision([]byte("one\n")); got != want {
		t.Fatalf("%q, want %q", got, want)
	}
	if got := told(w.look()); got != "" {
		t.Fatalf("told again: %q", got)
	}

	// also where a look came between the save and its note, and what is back is an old file
	write(t, path+"~", "one\n")
	old := time.Now().Add(-time.Hour)
	if err := errors.Join(os.Chtimes(path+"~", old, old), os.Rename(path+"~", path)); err != nil {
		t.Fatal(err)
	}
	if got := told(w.look()); got != "" {
		t.Fatalf("the same text is told: %q", got)
	}
	f.savedNow("heath.yaml")
	if got, want := told(w.look()), "heath "+Revision([]byte("one\n")); got != want {
		t.Fatalf("noted late: %q, want %q", got, want)
	}

	// also where that is no text at all
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	if got := told(append(w.look(), w.look()...)); got != "heath gone" {
		t.Fatalf("removed: %q", got)
	}
	v, err = f.Anew("heath", []byte("two\n"), "written anew")
	good(t, v, err)
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	if got := told(append(w.look(), w.look()...)); got != "heath gone" {
		t.Fatalf("written anew and removed: %q", got)
	}
}
