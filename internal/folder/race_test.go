package folder

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

// Two editors, one that writes in place and one that renames over, and two
// programs of ours that save, each add lines to one study. Every line is in the
// file or in a state of the history in the end. The editors take turns, since
// what one editor does to the other's text before anybody could look is not ours
// to save.
func TestEditorsAndSavesLoseNothing(t *testing.T) {
	const edits = 40
	f, dir := opened(t, map[string]string{"heath.yaml": "start\n"})
	g := open(t, dir)
	f.beforeSwap = func(string) { pause() } // to be met more often
	g.beforeSwap = f.beforeSwap
	path := filepath.Join(dir, "heath.yaml")
	var wait, editing sync.WaitGroup
	var turn sync.Mutex
	var conflicts atomic.Int64
	editor := func(who string, put func(text []byte) error) {
		editing.Go(func() {
			for i := range edits {
				turn.Lock()
				text, err := os.ReadFile(path)
				if err == nil {
					err = put(fmt.Appendf(text, "%s %d\n", who, i))
				}
				turn.Unlock()
				if err != nil {
					t.Error(err)
				}
				time.Sleep(time.Duration(rand.IntN(60)) * time.Millisecond)
			}
		})
	}
	editor("in place", func(text []byte) error {
		out, err := os.OpenFile(path, os.O_WRONLY, 0)
		if err != nil {
			return err
		}
		pause()
		pause()
		pause()
		err = out.Truncate(0)
		pause()
		_, err2 := out.Write(text[:len(text)/2])
		pause()
		_, err3 := out.Write(text[len(text)/2:])
		return errors.Join(err, err2, err3, out.Close())
	})
	editor("renaming", func(text []byte) error {
		if err := os.WriteFile(path+"~", text, 0o644); err != nil {
			return err
		}
		pause()
		return os.Rename(path+"~", path)
	})
	var edited atomic.Bool
	var saved [2]int
	saver := func(k int, f *Folder) {
		wait.Go(func() {
			v, err := f.Read("heath")
			for i := 0; i < 3*edits && !edited.Load() && err == nil; {
				v, err = f.Save("heath", v.Revision, fmt.Appendf(v.Text, "saver %d %d\n", k, i), "x")
				var conflict *ConflictError
				if errors.As(err, &conflict) {
					conflicts.Add(1)
					v, err = conflict.Disk, nil
				} else {
					i++
					saved[k] = i
				}
				if v.NoHistory != "" {
					err = errors.New(v.NoHistory)
				}
				pause()
			}
			if err != nil {
				t.Error(err)
			}
		})
	}
	saver(0, f)
	saver(1, g)
	editing.Wait()
	edited.Store(true)
	wait.Wait()
	time.Sleep(young + rest) // what was just written is not half written any more
	f.expire()
	g.expire()
	all := content(t, path) + texts(t, f, "heath")
	for who, count := range map[string]int{"in place": edits, "renaming": edits, "saver 0": saved[0], "saver 1": saved[1]} {
		for i := range count {
			if line := fmt.Sprintf("%s %d\n", who, i); !strings.Contains(all, line) {
				t.Errorf("lost: %s", line)
			}
		}
	}
	states, err := f.History("heath")
	if err != nil {
		t.Fatal(err)
	}
	overtaken := 0
	for _, s := range states {
		if s.Overtaken {
			overtaken++
		}
	}
	t.Logf("%d states, %d overtaken, %d conflicts, %v saves", len(states), overtaken, conflicts.Load(), saved)
	if conflicts.Load() == 0 || saved[0] == 0 || saved[1] == 0 {
		t.Error("no save met an edit, or none was made: the test tests nothing")
	}
}

func pause() { time.Sleep(time.Duration(rand.IntN(4)*rand.IntN(1000)) * time.Microsecond) }

// expire sweeps as if the time of all asides were over.
func (f *Folder) expire() {
	leave, err := f.enter(f.patience)
	if err != nil {
		panic(err)
	}
	defer leave()
	clock := f.clock
	f.clock = func() time.Time { return clock().Add(2 * grace) }
	f.sweepInside()
	f.clock = clock
}

// texts are all texts of a history.
func texts(t testing.TB, f *Folder, name string) string {
	t.Helper()
	states, err := f.History(name)
	if err != nil {
		t.Fatal(err)
	}
	var all strings.Builder
	for _, s := range states {
		text, err := f.State(name, s.ID)
		if err != nil {
			t.Fatal(err)
		}
		all.Write(text)
	}
	return all.String()
}

// An editor that comes between the last look and the exchange.
func TestAnEditInTheLastInstant(t *testing.T) {
	for name, edit := range map[string]func(path string) error{
		"renamed over": func(path string) error {
			return errors.Join(os.WriteFile(path+"~", []byte("editor\n"), 0o644), os.Rename(path+"~", path))
		},
		"in place": func(path string) error { return os.WriteFile(path, []byte("editor\n"), 0o644) },
	} {
		t.Run(name, func(t *testing.T) {
			f, dir := opened(t, map[string]string{"heath.yaml": "one\n"})
			path := filepath.Join(dir, "heath.yaml")
			v, err := f.Read("heath")
			v = good(t, v, err)
			f.beforeSwap = func(string) {
				if err := edit(path); err != nil {
					t.Error(err)
				}
			}
			_, err = f.Save("heath", v.Revision, []byte("ours\n"), "x")
			c := as[*ConflictError](t, err)
			if string(c.Disk.Text) != "editor\n" || content(t, path) != "editor\n" || c.Disk.CanUndo != "changed outside" {
				t.Fatalf("%+v, the file: %q", c.Disk, content(t, path))
			}
			f.beforeSwap = nil
			v, err = f.Save("heath", c.Disk.Revision, []byte("ours\n"), "x")
			v = good(t, v, err)
			v, err = f.Undo("heath", v.Revision)
			v = good(t, v, err)
			if string(v.Text) != "editor\n" {
				t.Fatalf("%q", v.Text)
			}
		})
	}
}

// What is no study any more in the last instant stays as it is.
func TestSomethingElseInTheLastInstant(t *testing.T) {
	f, dir := opened(t, map[string]string{"heath.yaml": "one\n"})
	path := filepath.Join(dir, "heath.yaml")
	v, err := f.Read("heath")
	v = good(t, v, err)
	f.beforeSwap = func(string) { os.Remove(path) }
	_, err = f.Save("heath", v.Revision, []byte("ours\n"), "x")
	as[*NotFoundError](t, err)
	if _, err := os.Lstat(path); !errors.Is(err, os.ErrNotExist) {
		t.Fatal("a removed study came back", err)
	}
	write(t, path, "one\n")
	f.beforeSwap = func(string) { os.Remove(path); os.Mkdir(path, 0o755) }
	_, err = f.Save("heath", v.Revision, []byte("ours\n"), "x")
	as[*KindError](t, err)
	if info, err := os.Lstat(path); err != nil || !info.IsDir() {
		t.Fatal(info, err)
	}
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	write(t, path, "one\n")
	f.beforeSwap = func(string) { os.Remove(path); os.Symlink("/etc/passwd", path) }
	_, err = f.Save("heath", v.Revision, []byte("ours\n"), "x")
	as[*KindError](t, err)
	if to, err := os.Readlink(path); err != nil || to != "/etc/passwd" {
		t.Fatal(to, err)
	}
}

// An editor that has the file open while it gives up its place, and writes later.
func TestAnEditIntoTheReplacedFile(t *testing.T) {
	t.Run("exchanging", func(t *testing.T) { editReplaced(t, false) })
	t.Run("renaming", func(t *testing.T) { editReplaced(t, true) })
}

func editReplaced(t *testing.T, plain bool) {
	now := time.Now()
	f, dir := opened(t, map[string]string{"heath.yaml": "one\n"})
	f.plain = plain
	f.clock = func() time.Time { return now }
	v, err := f.Read("heath")
	v = good(t, v, err)
	out, err := os.OpenFile(filepath.Join(dir, "heath.yaml"), os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	w := f.newWatcher()
	v, err = f.Save("heath", v.Revision, []byte("ours\n"), "volume")
	v = good(t, v, err)
	if _, err := out.WriteString("late\n"); err != nil {
		t.Fatal(err)
	}
	if err := out.Close(); err != nil {
		t.Fatal(err)
	}
	now = now.Add(2 * grace)
	changes := w.look()
	if len(changes) != 1 || changes[0].Overtaken == 0 || changes[0].Revision != v.Revision || changes[0].Name != "heath" {
		t.Fatalf("%+v", changes)
	}
	text, err := f.State("heath", changes[0].Overtaken)
	if err != nil || string(text) != "late\n" {
		t.Fatalf("%q %v", text, err)
	}
	// It is no step of undo: it never was the study's text.
	v, err = f.Undo("heath", v.Revision)
	v = good(t, v, err)
	if string(v.Text) != "one\n" || v.CanRedo != "volume" {
		t.Fatalf("%+v", v)
	}
}

// Where the system cannot move without writing over in one step.
func TestMoveInTwoSteps(t *testing.T) {
	f, dir := opened(t, map[string]string{"heath.yaml": "one\n", "moor.yaml": "two\n"})
	if err := f.linkNew("heath.yaml", "moor.yaml"); !errors.Is(err, os.ErrExist) {
		t.Fatal(err)
	}
	if err := f.linkNew("fen.yaml", "bog.yaml"); !errors.Is(err, os.ErrNotExist) {
		t.Fatal(err)
	}
	if err := f.linkNew("heath.yaml", "fen.yaml"); err != nil || content(t, filepath.Join(dir, "fen.yaml")) != "one\n" {
		t.Fatal(err)
	}
	list, err := f.List()
	if err != nil || len(list.Entries) != 2 || list.Entries[0].Name != "fen" || list.Entries[1].Name != "moor" {
		t.Fatal(list, err)
	}
}
