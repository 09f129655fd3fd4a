package folder

import (
	"os"
	"path/filepath"
	"testing"
	"time"
)

// A glance gives what reading gives, whoever has changed the file and however, and is not
// deceived by a file that was just written.
func TestGlanceSeesWhatReadingSees(t *testing.T) {
	f, dir := opened(t, map[string]string{"heath.yaml": "one\n", "fen.yaml": "fen\n"})
	path := filepath.Join(dir, "heath.yaml")
	long := time.Now().Add(-time.Hour)
	age := func(by time.Duration) {
		if err := os.Chtimes(path, long.Add(by), long.Add(by)); err != nil {
			t.Fatal(err)
		}
	}
	alike := func(name, want string) {
		t.Helper()
		for range 2 {
			seen := glanced(t, f.Glance, name)
			read := glanced(t, f.Read, name)
			if string(seen.Text) != want || string(read.Text) != want || seen.Revision != read.Revision || seen.CanUndo != read.CanUndo || seen.Name != read.Name || !seen.Modified.Equal(read.Modified) {
				t.Fatalf("%+v, read %+v, want %q", seen, read, want)
			}
		}
	}
	alike("heath", "one\n")
	age(0)
	alike("heath", "one\n")
	alike("fen", "fen\n")
	alike("heath", "one\n")
	write(t, path, "two\n") // as many bytes
	alike("heath", "two\n")
	write(t, path, "six\n") // within a step of the clock
	alike("heath", "six\n")
	for _, text := range []string{"elf\n", "fox\n"} { // by a clock of long steps
		write(t, path, text)
		young := time.Now().Add(-time.Second).Truncate(time.Second)
		if err := os.Chtimes(path, young, young); err != nil {
			t.Fatal(err)
		}
		alike("heath", text)
	}
	write(t, path, "six\n")
	age(time.Minute)
	alike("heath", "six\n")
	if _, err := f.Save("heath", Revision([]byte("six\n")), []byte("ten\n"), "ten"); err != nil {
		t.Fatal(err)
	}
	alike("heath", "ten\n")
	age(2 * time.Minute)
	alike("heath", "ten\n")
	if _, err := f.Undo("heath", Revision([]byte("ten\n"))); err != nil {
		t.Fatal(err)
	}
	alike("heath", "six\n")
	write(t, path+".new", "new\n")
	if err := os.Rename(path+".new", path); err != nil {
		t.Fatal(err)
	}
	alike("heath", "new\n")
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	if _, err := f.Glance("heath"); err == nil {
		t.Fatal("a file that is gone is seen")
	} else {
		as[*NotFoundError](t, err)
	}
}

// A glance does not read again: what hides behind an old time is seen by reading alone.
func TestGlanceDoesNotReadAgain(t *testing.T) {
	f, dir := opened(t, map[string]string{"heath.yaml": "one\n"})
	path := filepath.Join(dir, "heath.yaml")
	long := time.Now().Add(-time.Hour)
	for _, want := range []string{"one\n", "one\n"} { // the second text is hidden
		if err := os.Chtimes(path, long, long); err != nil {
			t.Fatal(err)
		}
		if v := glanced(t, f.Glance, "heath"); string(v.Text) != want {
			t.Fatalf("%q, want %q", v.Text, want)
		}
		write(t, path, "two\n")
	}
	if v := glanced(t, f.Read, "heath"); string(v.Text) != "two\n" {
		t.Fatalf("read as %q", v.Text)
	}
}

func glanced(t testing.TB, look func(string) (Version, error), name string) Version {
	t.Helper()
	v, err := look(name)
	return good(t, v, err)
}
