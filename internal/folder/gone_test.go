package folder

import (
	"errors"
	"os"
	"path/filepath"
	"testing"
)

// A study whose file is gone is written anew under its own file name, with its
// own permissions, and its history goes on.
func TestAnew(t *testing.T) {
	f, dir := opened(t, map[string]string{"heath.yml": "one\n"})
	path := filepath.Join(dir, "heath.yml")
	if err := os.Chmod(path, 0o600); err != nil {
		t.Fatal(err)
	}
	v, err := f.Read("heath")
	v = good(t, v, err)
	v, err = f.Save("heath", v.Revision, []byte("two\n"), "volume 30 L")
	v = good(t, v, err)

	_, err = f.Anew("heath", []byte("three\n"), "") // nothing is written over
	as[*ExistsError](t, err)
	_, err = f.Anew("heath.yml", []byte("three\n"), "")
	as[*ExistsError](t, err)
	if gone := f.Gone(); len(gone) != 0 || content(t, path) != "two\n" {
		t.Fatal(gone)
	}

	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	_, err = f.Save("heath", v.Revision, []byte("three\n"), "") // not unless it is asked for
	as[*NotFoundError](t, err)
	for _, name := range []string{"heath", "heath.yml"} {
		states, err := f.History(name)
		if err != nil || len(states) != 2 || states[1].Current {
			t.Fatal(name, states, err)
		}
		text, err := f.State(name, states[0].ID)
		if err != nil || string(text) != "one\n" {
			t.Fatal(name, text, err)
		}
	}
	gone := f.Gone()
	if len(gone) != 1 || gone[0].Name != "heath" || gone[0].File != "heath.yml" || gone[0].Modified.IsZero() {
		t.Fatalf("%+v", gone)
	}

	v, err = f.Anew("heath", []byte("three\n"), "written anew")
	v = good(t, v, err)
	if v.File != "heath.yml" || content(t, path) != "three\n" || v.CanUndo != "written anew" {
		t.Fatalf("%+v", v)
	}
	if info, err := os.Stat(path); err != nil || info.Mode().Perm() != 0o600 {
		t.Fatal(info, err)
	}
	v, err = f.Undo("heath", v.Revision)
	v = good(t, v, err)
	if content(t, path) != "two\n" || v.CanUndo != "volume 30 L" {
		t.Fatalf("%+v", v)
	}

	// The same text again is no change.
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	v, err = f.Anew("heath", []byte("two\n"), "written anew")
	v = good(t, v, err)
	if v.CanUndo != "volume 30 L" || v.CanRedo != "written anew" || len(f.Gone()) != 0 {
		t.Fatalf("%+v", v)
	}
}

func TestAnewWithoutHistory(t *testing.T) {
	f, dir := opened(t, nil)
	v, err := f.Anew("moor", []byte("one\n"), "written anew")
	if v = good(t, v, err); v.File != "moor.yaml" || content(t, filepath.Join(dir, "moor.yaml")) != "one\n" {
		t.Fatalf("%+v", v)
	}
	_, err = f.Anew("../moor", []byte("one\n"), "")
	as[*NameError](t, err)
	_, err = f.Anew("fen", make([]byte, mostBytes+1), "")
	as[*TooLargeError](t, err)
	_, err = f.History("fen")
	as[*NotFoundError](t, err)
	_, err = f.State("fen", 1)
	as[*NotFoundError](t, err)
}

// What lies in the hidden folder without being a history is none.
func TestGoneIsBounded(t *testing.T) {
	f, dir := opened(t, map[string]string{"heath.yaml": "one\n"})
	v, err := f.Read("heath")
	good(t, v, err)
	for _, name := range []string{"a.history", "..yaml.history", "b.yaml", "CON.yaml.history"} {
		if err := os.WriteFile(filepath.Join(dir, hidden, name), []byte("x"), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Symlink("/etc/passwd", filepath.Join(dir, hidden, "link.yaml.history")); err != nil && !errors.Is(err, errors.ErrUnsupported) {
		t.Fatal(err)
	}
	if gone := f.Gone(); len(gone) != 0 {
		t.Fatalf("%+v", gone)
	}
	for i := range 2 * mostGone {
		if err := os.WriteFile(filepath.Join(dir, hidden, string(rune('a'+i%26))+string(rune('a'+i/26))+".yaml.history"), nil, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if gone := f.Gone(); len(gone) != mostGone {
		t.Fatal(len(gone))
	}
}
