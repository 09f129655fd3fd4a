package folder

import (
	"errors"
	"os"
	"path/filepath"
	"testing"
)

// opened is a Folder on a new folder with these studies.
func opened(t testing.TB, files map[string]string) (*Folder, string) {
	t.Helper()
	dir := t.TempDir()
	for name, text := range files {
		write(t, filepath.Join(dir, name), text)
	}
	return open(t, dir), dir
}

func open(t testing.TB, dir string) *Folder {
	t.Helper()
	f, err := Open(dir, Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}

func write(t testing.TB, path, text string) {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

func content(t testing.TB, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// as fails unless the error is of the type.
func as[E error](t testing.TB, err error) E {
	t.Helper()
	var e E
	if !errors.As(err, &e) {
		t.Fatalf("%T %v, want %T", err, err, e)
	}
	return e
}

// good is a Version that must have come without an error.
func good(t testing.TB, v Version, err error) Version {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	if v.NoHistory != "" {
		t.Fatal(v.NoHistory)
	}
	return v
}

func TestSaveUndoRedo(t *testing.T) {
	f, dir := opened(t, map[string]string{"heath.yaml": "one\n"})
	path := filepath.Join(dir, "heath.yaml")
	if err := os.Chmod(path, 0o640); err != nil {
		t.Fatal(err)
	}
	v, err := f.Read("heath")
	v = good(t, v, err)
	if string(v.Text) != "one\n" || v.Name != "heath" || v.File != "heath.yaml" || v.CanUndo != "" || v.CanRedo != "" || len(v.Revision) != 16 {
		t.Fatalf("%+v", v)
	}
	first := v.Revision
	v, err = f.Save("heath", first, []byte("two\n"), "volume 30 L")
	v = good(t, v, err)
	if content(t, path) != "two\n" || v.CanUndo != "volume 30 L" || v.Revision != Revision([]byte("two\n")) {
		t.Fatalf("%+v", v)
	}
	info, err := os.Stat(path)
	if err != nil || info.Mode().Perm() != 0o640 || !info.ModTime().Equal(v.Modified) {
		t.Fatal(info, err)
	}
	_, err = f.Save("heath", first, []byte("three\n"), "")
	if c := as[*ConflictError](t, err); string(c.Disk.Text) != "two\n" || content(t, path) != "two\n" {
		t.Fatalf("%+v", c)
	}
	v, err = f.Undo("heath", v.Revision)
	v = good(t, v, err)
	if content(t, path) != "one\n" || v.CanUndo != "" || v.CanRedo != "volume 30 L" {
		t.Fatalf("%+v", v)
	}
	_, err = f.Undo("heath", v.Revision)
	as[*NothingError](t, err)
	f.Close()
	f = open(t, dir) // across a restart
	v, err = f.Redo("heath", v.Revision)
	v = good(t, v, err)
	if content(t, path) != "two\n" || v.CanUndo != "volume 30 L" || v.CanRedo != "" {
		t.Fatalf("%+v", v)
	}
	states, err := f.History("heath")
	if err != nil || len(states) != 2 || states[0].Label != "as found" || states[0].Current || !states[1].Current {
		t.Fatal(states, err)
	}
	text, err := f.State("heath", states[0].ID)
	if err != nil || string(text) != "one\n" {
		t.Fatal(text, err)
	}
	_, err = f.State("heath", 77)
	as[*NoStateError](t, err)
}

// settle gives the files of a folder a time of change long past, so that reading
// them takes no patience.
func settle(t testing.TB, dir string) {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(dir, "*.y*ml"))
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range files {
		if err := os.Chtimes(file, settled, settled); err != nil {
			t.Fatal(err)
		}
	}
}
