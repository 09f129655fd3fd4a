package folder

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

var hostileNames = []string{
	"", ".", "..", "../heath", "a/../heath", "/etc/passwd", `..\heath`, `a\b`, ".hidden", ".basswright", ".yaml",
	".basswright/lock", "a\x00b", "a\nb", "a\x1b[2Jb", "a\u202eb", "a\u2028b", "\ufeffa", "a\xffb", "CON", "con.yaml", "Lpt1.old",
	"COM¹", "a\u200bb", "a\u00adb", "a\u200db", "a\ufe0fb", "a\u00a0b", "a\u3164", "a\u2800b", "a\U000e0061b", "nul.yml", "a:b", "a*", "a?", "a|b", "a<b", `a"b`, " a", "a ", "a .yaml", "a.", "a..yaml", strings.Repeat("a", 96),
	strings.Repeat("é", 48), strings.Repeat("a", 96) + ".yaml", strings.Repeat("a", 1<<20),
}

func TestNames(t *testing.T) {
	f, dir := opened(t, map[string]string{"heath.yaml": "one\n"})
	v, err := f.Read("heath")
	v = good(t, v, err)
	before := tree(t, dir)
	for _, name := range hostileNames {
		for what, do := range map[string]func() error{
			"read":           func() error { _, err := f.Read(name); return err },
			"save":           func() error { _, err := f.Save(name, v.Revision, []byte("x"), ""); return err },
			"create":         func() error { _, err := f.Create(name, []byte("x")); return err },
			"duplicate":      func() error { _, err := f.Duplicate(name, "copy", nil); return err },
			"duplicate to":   func() error { _, err := f.Duplicate("heath", name, nil); return err },
			"rename":         func() error { _, err := f.Rename(name, "moved"); return err },
			"rename to":      func() error { _, err := f.Rename("heath", name); return err },
			"undo":           func() error { _, err := f.Undo(name, v.Revision); return err },
			"redo":           func() error { _, err := f.Redo(name, v.Revision); return err },
			"history":        func() error { _, err := f.History(name); return err },
			"state":          func() error { _, err := f.State(name, 1); return err },
			"create with it": func() error { _, err := f.Create(name+".yaml", []byte("x")); return err },
		} {
			if what == "create with it" && (strings.HasSuffix(name, ".yaml") || strings.HasSuffix(name, ".yml")) {
				continue
			}
			var e *NameError
			if err := do(); !errors.As(err, &e) || e.Mend == "" || e.Reason == "" {
				t.Errorf("%s of %.40q: %v", what, name, err)
			}
		}
	}
	if after := tree(t, dir); !slices.Equal(before, after) {
		t.Fatalf("%q became %q", before, after)
	}
	for _, name := range []string{"a", "Ä ö 2", "v1.2", "日本", "ن\u200cن", "⚓\ufe0f harbour", "a.yaml.bak", "console", "com", "com10", strings.Repeat("a", 95), strings.Repeat("b", 95) + ".yaml"} {
		v, err := f.Create(name, []byte("x"))
		v = good(t, v, err)
		again, err := f.Read(v.Name)
		if again = good(t, again, err); again.File != v.File {
			t.Errorf("%q: %q, then %q", name, v.File, again.File)
		}
	}
}

// tree is every file below a folder.
func tree(t testing.TB, dir string) []string {
	t.Helper()
	var out []string
	err := filepath.WalkDir(dir, func(path string, _ fs.DirEntry, err error) error {
		out = append(out, path)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// Each study listed can be read by its name, and is another one.
func TestNamesThatDifferInTheExtension(t *testing.T) {
	files := []string{"a.yaml", "a.yml", "b.yml", "c.yml.yaml", "c.yaml", "d.yaml.yml", "e.yml.yml"}
	texts := map[string]string{}
	for _, file := range files {
		texts[file] = file
	}
	f, dir := opened(t, texts)
	settle(t, dir)
	list, err := f.List()
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, e := range list.Entries {
		v, err := f.Read(e.Name)
		if v = good(t, v, err); string(v.Text) != e.File || v.File != e.File || v.Name != e.Name || e.Size != int64(len(e.File)) {
			t.Errorf("%+v reads as %+v", e, v)
		}
		names = append(names, e.Name)
	}
	if want := []string{"a", "a.yml", "b", "c", "c.yml.yaml", "d.yaml.yml", "e.yml.yml"}; !slices.Equal(names, want) {
		t.Errorf("%q", names)
	}
	for _, name := range []string{"a", "a.yml", "b", "b.yaml", "b.yml", "c"} {
		_, err := f.Create(name, nil)
		as[*ExistsError](t, err)
		_, err = f.Duplicate("a", name, nil)
		as[*ExistsError](t, err)
		_, err = f.Rename("a", name)
		as[*ExistsError](t, err)
	}
	for _, name := range []string{"z", "z.yaml", "b.yaml"} {
		_, err := f.Read(name)
		as[*NotFoundError](t, err)
	}
}

func TestListIsBounded(t *testing.T) {
	files := map[string]string{".hidden.yaml": "", "notes.txt": "", "bad\x07.yaml": "", "A.YAML": ""}
	for i := range mostStudies + 7 {
		files[fmt.Sprintf("heath-%04d.yaml", i)] = ""
	}
	f, _ := opened(t, files)
	list, err := f.List()
	if err != nil || len(list.Entries) != mostStudies || list.More != 7 || len(list.LeftOut) != 1 {
		t.Fatalf("%d entries, %d more, %+v, %v", len(list.Entries), list.More, list.LeftOut, err)
	}
	if e := list.Entries[3]; e.Name != "heath-0003" {
		t.Fatalf("%+v", e)
	}
}

func TestSizes(t *testing.T) {
	f, dir := opened(t, map[string]string{"heath.yaml": "one\n"})
	v, err := f.Read("heath")
	v = good(t, v, err)
	large := make([]byte, mostBytes+1)
	_, err = f.Save("heath", v.Revision, large, "")
	as[*TooLargeError](t, err)
	_, err = f.Create("moor", large)
	as[*TooLargeError](t, err)
	write(t, filepath.Join(dir, "fen.yaml"), string(large))
	_, err = f.Read("fen")
	if e := as[*TooLargeError](t, err); e.Size != mostBytes+1 {
		t.Fatal(e)
	}
	v, err = f.Save("heath", v.Revision, large[:mostBytes], "")
	if v = good(t, v, err); len(v.Text) != mostBytes {
		t.Fatal(len(v.Text))
	}
}

func TestWriteProtected(t *testing.T) {
	f, dir := opened(t, map[string]string{"heath.yaml": "one\n"})
	if err := os.Chmod(filepath.Join(dir, "heath.yaml"), 0o444); err != nil {
		t.Fatal(err)
	}
	v, err := f.Read("heath")
	v = good(t, v, err)
	_, err = f.Save("heath", v.Revision, []byte("two\n"), "")
	as[*ProtectedError](t, err)
	copied, err := f.Duplicate("heath", "moor", nil) // a copy is to be worked on
	copied = good(t, copied, err)
	copied, err = f.Save("moor", copied.Revision, []byte("two\n"), "")
	good(t, copied, err)
}

func TestDuplicateAndRename(t *testing.T) {
	f, dir := opened(t, map[string]string{"heath.yml": "one\n"})
	v, err := f.Read("heath")
	v = good(t, v, err)
	v, err = f.Save("heath", v.Revision, []byte("two\n"), "volume")
	v = good(t, v, err)
	c, err := f.Duplicate("heath", "moor", nil)
	if c = good(t, c, err); c.File != "moor.yaml" || string(c.Text) != "two\n" || c.CanUndo != "" {
		t.Fatalf("%+v", c)
	}
	r, err := f.Rename("heath", "fen")
	if r = good(t, r, err); r.File != "fen.yml" || r.CanUndo != "volume" || r.Revision != v.Revision {
		t.Fatalf("%+v", r)
	}
	_, err = f.Read("heath")
	as[*NotFoundError](t, err)
	r, err = f.Undo("fen", r.Revision)
	if r = good(t, r, err); string(r.Text) != "one\n" {
		t.Fatalf("%+v", r)
	}
	// A name that was free again: the history of what had it is out of the way.
	if err := os.Remove(filepath.Join(dir, "moor.yaml")); err != nil {
		t.Fatal(err)
	}
	r, err = f.Rename("fen", "moor.yaml")
	if r = good(t, r, err); r.CanRedo != "volume" {
		t.Fatalf("%+v", r)
	}
	if old := content(t, filepath.Join(dir, hidden, "moor.yaml.history.1")); !strings.Contains(old, "copied from heath") {
		t.Fatalf("%q", old)
	}
	// A study created where one was removed does not undo into it.
	if err := os.Remove(filepath.Join(dir, "moor.yaml")); err != nil {
		t.Fatal(err)
	}
	n, err := f.Create("moor", []byte("new\n"))
	if n = good(t, n, err); n.CanUndo != "" || n.CanRedo != "" {
		t.Fatalf("%+v", n)
	}
	if states, err := f.History("moor"); err != nil || len(states) != 3 {
		t.Fatal(states, err)
	}
}

// Two names that look the same are not made; a name may be mended into the one
// that it looks like.
func TestNamesThatLookTheSame(t *testing.T) {
	f, _ := opened(t, map[string]string{"cafe\u0301.yaml": "one\n", "heath.yaml": "two\n"})
	var e *NameError
	if _, err := f.Create("caf\u00e9", []byte("x")); !errors.As(err, &e) {
		t.Errorf("created: %v", err)
	}
	if _, err := f.Duplicate("heath", "caf\u00e9", nil); !errors.As(err, &e) {
		t.Errorf("duplicated: %v", err)
	}
	if _, err := f.Rename("heath", "caf\u00e9"); !errors.As(err, &e) {
		t.Errorf("renamed: %v", err)
	}
	v, err := f.Rename("cafe\u0301", "caf\u00e9")
	if good(t, v, err).Name != "caf\u00e9" {
		t.Errorf("%+v", v)
	}
}
