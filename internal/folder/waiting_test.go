package folder

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

// While another program holds the lock, who reads does not wait, and who saves
// waits for its patience once, not one after the other.
func TestReadsDoNotWaitForWriters(t *testing.T) {
	f, dir := opened(t, map[string]string{"heath.yaml": "one\n", "moor.yaml": "two\n"})
	settle(t, dir)
	for _, name := range []string{"heath", "moor"} {
		if _, err := f.Read(name); err != nil { // its history is begun
			t.Fatal(err)
		}
	}
	f.patience = 2 * time.Second
	other, err := os.Open(filepath.Join(dir, lockFile))
	if err != nil {
		t.Fatal(err)
	}
	defer other.Close()
	if got, err := tryLock(other); !got || err != nil {
		t.Fatal(got, err)
	}
	start := time.Now()
	var wait sync.WaitGroup
	for k := range 4 {
		wait.Go(func() {
			var busy *BusyError
			if _, err := f.Save("heath", Revision([]byte("one\n")), fmt.Appendf(nil, "save %d\n", k), "x"); !errors.As(err, &busy) {
				t.Errorf("save %d: %v", k, err)
			}
		})
	}
	time.Sleep(50 * time.Millisecond) // until they wait
	for range 5 {
		for _, name := range []string{"heath", "moor"} {
			begun := time.Now()
			if v, err := f.Read(name); err != nil || v.NoHistory != "" {
				t.Errorf("%s: %v %s", name, err, v.NoHistory)
			}
			if _, err := f.History(name); err != nil {
				t.Error(err)
			}
			if d := time.Since(begun); d > f.patience/4 {
				t.Errorf("reading %s took %v while others wait to save", name, d)
			}
		}
	}
	wait.Wait()
	if d := time.Since(start); d > 2*f.patience {
		t.Errorf("four saves waited %v in all, with a patience of %v", d, f.patience)
	}
}

// A save that is held up on the disk makes no reader wait either.
func TestReadsDuringASave(t *testing.T) {
	f, dir := opened(t, map[string]string{"heath.yaml": "one\n", "moor.yaml": "two\n"})
	settle(t, dir)
	v, err := f.Read("heath")
	if err != nil {
		t.Fatal(err)
	}
	held, done := make(chan struct{}), make(chan struct{})
	f.beforeSwap = func(string) { close(held); <-done }
	saved := make(chan error)
	go func() {
		_, err := f.Save("heath", v.Revision, []byte("new\n"), "x")
		saved <- err
	}()
	<-held
	read := make(chan Version)
	go func() {
		for _, name := range []string{"heath", "moor"} {
			v, err := f.Read(name)
			if err != nil {
				t.Error(err)
			}
			read <- v
		}
		close(read)
	}()
	for range 2 {
		select {
		case v := <-read:
			if v.Name == "heath" && string(v.Text) != "one\n" {
				t.Errorf("%s reads %q in the midst of a save", v.Name, v.Text)
			}
		case <-time.After(10 * time.Second):
			t.Fatal("a reader waits for the save")
		}
	}
	close(done)
	if err := <-saved; err != nil {
		t.Error(err)
	}
}

// A refused text is kept beside the current state, once, and redo does not lead to it.
func TestRefused(t *testing.T) {
	f, _ := opened(t, map[string]string{"heath.yaml": "one\n"})
	v, err := f.Read("heath")
	if err != nil {
		t.Fatal(err)
	}
	id, err := f.Refused("heath", []byte("mine\n"), "an hour of work")
	if err != nil {
		t.Fatal(err)
	}
	again, err := f.Refused("heath", []byte("mine\n"), "an hour of work")
	if err != nil || again != id {
		t.Errorf("kept as %d and again as %d, %v", id, again, err)
	}
	if text, err := f.State("heath", id); err != nil || string(text) != "mine\n" {
		t.Errorf("state %d holds %q, %v", id, text, err)
	}
	states, err := f.History("heath")
	if err != nil || len(states) != 2 {
		t.Fatalf("%+v, %v", states, err)
	}
	if s := states[1]; !s.Overtaken || s.Current || !strings.HasPrefix(s.Label, "an hour of work") {
		t.Errorf("%+v", s)
	}
	now, err := f.Read("heath")
	if err != nil || string(now.Text) != "one\n" || now.CanRedo != "" || now.Revision != v.Revision {
		t.Errorf("%+v, %v", now, err)
	}
	if text := f.Text("heath", Revision([]byte("mine\n"))); string(text) != "mine\n" {
		t.Errorf("by its revision: %q", text)
	}
	if text := f.Text("heath", "none"); text != nil {
		t.Errorf("by no revision: %q", text)
	}
	if _, err := f.Refused("moor", []byte("x\n"), ""); err == nil {
		t.Error("kept in the history of no study")
	}
}
