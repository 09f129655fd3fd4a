package folder

import (
	"bytes"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// A model of a history: the texts, what each was made from, and for each what a
// redo from it leads to.
type model struct {
	texts   []string
	parents []int
	redo    []int // -1 where none
	at      int
}

func (m *model) save(text string) {
	if text == m.texts[m.at] {
		return
	}
	m.texts, m.parents, m.redo = append(m.texts, text), append(m.parents, m.at), append(m.redo, -1)
	m.redo[m.at] = len(m.texts) - 1
	m.at = len(m.texts) - 1
}

// Saves, undos, redos, edits from outside and restarts in any order do what the
// model does.
func TestHistoryAgainstAModel(t *testing.T) {
	base := t.TempDir()
	rapid.Check(t, func(t *rapid.T) {
		dir, err := os.MkdirTemp(base, "")
		if err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(dir, "heath.yaml")
		outside := func(text string) {
			if err := errors.Join(os.WriteFile(path, []byte(text), 0o644), os.Chtimes(path, settled, settled)); err != nil {
				t.Fatal(err)
			}
		}
		outside("0")
		f, err := Open(dir, Options{})
		if err != nil {
			t.Fatal(err)
		}
		defer func() { f.Close() }()
		m := &model{texts: []string{"0"}, parents: []int{-1}, redo: []int{-1}}
		v, err := f.Read("heath")
		count := 0
		text := rapid.Custom(func(t *rapid.T) string {
			if rapid.IntRange(0, 9).Draw(t, "again") == 0 {
				return rapid.SampledFrom(m.texts).Draw(t, "old text")
			}
			count++
			return strings.Repeat(fmt.Sprintf("%d\xff ", count), rapid.IntRange(1, 40).Draw(t, "times"))
		})
		t.Repeat(map[string]func(*rapid.T){
			"save": func(t *rapid.T) {
				s := text.Draw(t, "text")
				v, err = f.Save("heath", v.Revision, []byte(s), "save")
				m.save(s)
			},
			"undo": func(t *rapid.T) {
				to := m.parents[m.at]
				u, e := f.Undo("heath", v.Revision)
				if to < 0 {
					if !errors.As(e, new(*NothingError)) {
						t.Fatalf("%+v %v", u, e)
					}
					return
				}
				v, err = u, e
				m.at = to
			},
			"redo": func(t *rapid.T) {
				to := m.redo[m.at]
				u, e := f.Redo("heath", v.Revision)
				if to < 0 {
					if !errors.As(e, new(*NothingError)) {
						t.Fatalf("%+v %v", u, e)
					}
					return
				}
				v, err = u, e
				m.at = to
			},
			"outside": func(t *rapid.T) {
				s := text.Draw(t, "text")
				outside(s)
				if s != m.texts[m.at] { // what is not based on it is a conflict
					_, e := f.Save("heath", v.Revision, []byte("x"), "")
					if !errors.As(e, new(*ConflictError)) {
						t.Fatal(e)
					}
				}
				v, err = f.Read("heath")
				m.save(s)
			},
			"restart": func(t *rapid.T) {
				if err := f.Close(); err != nil {
					t.Fatal(err)
				}
				if f, err = Open(dir, Options{}); err != nil {
					t.Fatal(err)
				}
				v, err = f.Read("heath")
			},
			"": func(t *rapid.T) {
				if err != nil || v.NoHistory != "" {
					t.Fatal(err, v.NoHistory)
				}
				now, e := os.ReadFile(path)
				if e != nil || string(now) != m.texts[m.at] || string(v.Text) != m.texts[m.at] {
					t.Fatalf("%q on disk, %q told, want %q, %v", now, v.Text, m.texts[m.at], e)
				}
				if (v.CanUndo != "") != (m.parents[m.at] >= 0) || (v.CanRedo != "") != (m.redo[m.at] >= 0) {
					t.Fatalf("undo %q, redo %q, model %+v", v.CanUndo, v.CanRedo, m)
				}
				states, e := f.History("heath")
				if e != nil || len(states) != len(m.texts) {
					t.Fatalf("%d states, want %d, %v", len(states), len(m.texts), e)
				}
				i := rapid.IntRange(0, len(states)-1).Draw(t, "state")
				if s, e := f.State("heath", states[i].ID); e != nil || string(s) != m.texts[i] || states[i].Current != (i == m.at) {
					t.Fatalf("state %d: %q %v", i, s, e)
				}
			},
		})
	})
}

// Wherever the last line was torn off, the states before it are whole, and the
// next save cuts it off.
func TestTornHistory(t *testing.T) {
	f, dir := opened(t, map[string]string{"heath.yaml": "0\n"})
	path, log := filepath.Join(dir, "heath.yaml"), filepath.Join(dir, historyFile("heath.yaml"))
	v, err := f.Read("heath")
	v = good(t, v, err)
	v, err = f.Save("heath", v.Revision, []byte("1\n"), "one")
	v = good(t, v, err)
	whole := content(t, log)
	v, err = f.Save("heath", v.Revision, []byte("2\n"), "two")
	v = good(t, v, err)
	all := content(t, log)
	for n := len(whole); n < len(all); n++ {
		write(t, log, all[:n])
		write(t, path, "1\n")
		if err := os.Chtimes(path, settled, settled); err != nil {
			t.Fatal(err)
		}
		v, err := f.Read("heath")
		if v = good(t, v, err); v.CanUndo != "one" {
			t.Fatalf("cut at %d: %+v", n, v)
		}
		v, err = f.Save("heath", v.Revision, []byte("3\n"), "three")
		good(t, v, err)
		states, err := f.History("heath")
		if err != nil || len(states) != 3 || states[2].Label != "three" {
			t.Fatalf("cut at %d: %v %v", n, states, err)
		}
		if now := content(t, log); !strings.HasPrefix(now, whole) || strings.Count(now, "\n") != 3 {
			t.Fatalf("cut at %d: %q", n, now)
		}
	}
}

// A damaged line costs its own state, and nothing else.
func TestDamagedHistory(t *testing.T) {
	f, dir := opened(t, map[string]string{"heath.yaml": "0\n"})
	log := filepath.Join(dir, historyFile("heath.yaml"))
	v, err := f.Read("heath")
	for i := 1; i <= 3; i++ {
		v = good(t, v, err)
		v, err = f.Save("heath", v.Revision, fmt.Appendf(nil, "text %d\n", i), "save")
	}
	v = good(t, v, err)
	lines := strings.SplitAfter(content(t, log), "\n")
	write(t, log, lines[0]+strings.Replace(lines[1], "text 1", "text X", 1)+lines[2][:20]+"\n"+lines[3])
	states, err := f.History("heath")
	if err != nil || len(states) != 3 || !states[2].Current {
		t.Fatal(states, err)
	}
	_, err = f.State("heath", states[1].ID)
	if e := as[*NoStateError](t, err); !e.Damaged {
		t.Fatal(e)
	}
	if text, err := f.State("heath", states[2].ID); err != nil || string(text) != "text 3\n" {
		t.Fatalf("%q %v", text, err)
	}
	_, err = f.Undo("heath", v.Revision) // what it was made from is lost
	as[*NothingError](t, err)
}

// The history stays below its bounds, whatever is saved, and keeps the last
// states and a way back from the current one.
func TestHistoryIsBounded(t *testing.T) {
	random := rand.NewChaCha8([32]byte{3})
	for name, test := range map[string]struct {
		saves int
		text  func(i int) []byte
		least int // states
	}{
		"many": {mostStates + 30, func(i int) []byte { return fmt.Appendf(nil, "text %d\n", i) }, keepStates},
		"large": {30, func(int) []byte {
			text := make([]byte, mostBytes) // cannot be packed
			random.Read(text)
			return text
		}, 4},
	} {
		t.Run(name, func(t *testing.T) {
			f, dir := opened(t, map[string]string{"heath.yaml": "0\n"})
			log := filepath.Join(dir, historyFile("heath.yaml"))
			v, err := f.Read("heath")
			var texts [][]byte
			for i := range test.saves {
				v = good(t, v, err)
				texts = append(texts, test.text(i))
				v, err = f.Save("heath", v.Revision, texts[i], fmt.Sprintf("save %d", i))
				if info, err := os.Stat(log); err != nil || info.Size() > mostLog {
					t.Fatal(info.Size(), err)
				}
			}
			v = good(t, v, err)
			states, err := f.History("heath")
			if err != nil || len(states) < test.least || len(states) > mostStates {
				t.Fatal(len(states), err)
			}
			f = open(t, dir)
			for back := 2; back < test.least; back++ {
				v, err = f.Undo("heath", v.Revision)
				if v = good(t, v, err); !bytes.Equal(v.Text, texts[len(texts)-back]) {
					t.Fatalf("%d back: %d bytes", back, len(v.Text))
				}
			}
		})
	}
}

// Whatever lies there as a history, the study opens, and saving and undoing do
// what they say.
func FuzzHistory(fuzz *testing.F) {
	f, dir := opened(fuzz, map[string]string{"heath.yaml": "0\n"})
	v, err := f.Read("heath")
	for i, text := range []string{"1\n", "\xff", strings.Repeat("long ", 100), "4\n"} {
		v = good(fuzz, v, err)
		v, err = f.Save("heath", v.Revision, []byte(text), fmt.Sprint(i))
	}
	v = good(fuzz, v, err)
	v, err = f.Undo("heath", v.Revision)
	good(fuzz, v, err)
	seed := content(fuzz, filepath.Join(dir, historyFile("heath.yaml")))
	fuzz.Add([]byte(seed), "0\n")
	fuzz.Add([]byte(seed[:len(seed)-9]), "1\n")
	fuzz.Add([]byte(`{"id":1125899906842623,"revision":"x","text":""}`+"\n"+`{"at":1125899906842623}`+"\n"), "")
	fuzz.Add([]byte(`{"id":2,"parent":2,"revision":"x"}`+"\n"+`{"at":-2}`+"\n\n{}\nnull\n[]\n"), "0\n")
	fuzz.Add([]byte(`{"id":1,"revision":"x","aside":true,"packed":"S0lNBwA="}`+"\n"+`{"at":1}`+"\n"), "0\n")
	base := fuzz.TempDir()
	fuzz.Fuzz(func(t *testing.T, log []byte, text string) {
		dir, err := os.MkdirTemp(base, "")
		if err != nil {
			t.Fatal(err)
		}
		defer os.RemoveAll(dir)
		path := filepath.Join(dir, "heath.yaml")
		write(t, path, text)
		if err := os.Mkdir(filepath.Join(dir, hidden), 0o755); err != nil {
			t.Fatal(err)
		}
		write(t, filepath.Join(dir, historyFile("heath.yaml")), string(log))
		if err := os.Chtimes(path, settled, settled); err != nil {
			t.Fatal(err)
		}
		f, err := Open(dir, Options{})
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		v, err := f.Read("heath")
		if v = good(t, v, err); string(v.Text) != text {
			t.Fatalf("%q", v.Text)
		}
		states, err := f.History("heath")
		if err != nil || len(states) == 0 || len(states) > bytes.Count(log, []byte("\n"))+1 {
			t.Fatal(len(states), err)
		}
		current := 0
		for _, s := range states {
			kept, err := f.State("heath", s.ID)
			if err == nil && Revision(kept) != s.Revision {
				t.Fatalf("%+v is %q", s, kept)
			}
			if s.Current {
				current++
				if s.Revision != v.Revision {
					t.Fatalf("%+v, want %s", s, v.Revision)
				}
			}
		}
		if current != 1 {
			t.Fatal(current, " current states")
		}
		next := text + "more\n"
		v, err = f.Save("heath", v.Revision, []byte(next), "more")
		if v = good(t, v, err); content(t, path) != next || v.CanUndo != "more" {
			t.Fatalf("%+v", v)
		}
		v, err = f.Undo("heath", v.Revision)
		if errors.As(err, new(*NoStateError)) { // the text was damaged before
			if content(t, path) != next {
				t.Fatal("an undo that could not be changed the file")
			}
			return
		}
		if v = good(t, v, err); content(t, path) != text || v.CanRedo != "more" {
			t.Fatalf("%+v", v)
		}
	})
}
