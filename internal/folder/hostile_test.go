//go:build unix

package folder

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// What is no regular file in the folder is told, and never opened: opening the
// pipe would wait for ever.
func TestLinksPipesAndFolders(t *testing.T) {
	f, dir := opened(t, map[string]string{"heath.yaml": "one\n"})
	outside := filepath.Join(t.TempDir(), "secret.yaml")
	write(t, outside, "secret\n")
	at := func(name string) string { return filepath.Join(dir, name) }
	if err := errors.Join(
		os.Symlink(outside, at("outside.yaml")),
		os.Symlink("heath.yaml", at("inside.yaml")),
		os.Symlink("circle.yaml", at("circle.yaml")),
		os.Symlink("nothing", at("nothing.yaml")),
		os.Mkdir(at("folder.yaml"), 0o755),
		syscall.Mkfifo(at("pipe.yaml"), 0o644),
	); err != nil {
		t.Fatal(err)
	}
	list, err := f.List()
	if err != nil || len(list.Entries) != 1 || len(list.LeftOut) != 6 {
		t.Fatalf("%+v %v", list, err)
	}
	for _, left := range list.LeftOut {
		name := strings.TrimSuffix(left.File, ".yaml")
		_, err := f.Read(name)
		as[*KindError](t, err)
		_, err = f.Save(name, Revision([]byte("secret\n")), []byte("x"), "")
		as[*KindError](t, err)
		_, err = f.Duplicate(name, "copy", nil)
		as[*KindError](t, err)
		_, err = f.Rename(name, "moved")
		as[*KindError](t, err)
		_, err = f.Create(name, []byte("x"))
		as[*ExistsError](t, err)
		_, err = f.Rename("heath", name)
		as[*ExistsError](t, err)
	}
	if content(t, outside) != "secret\n" || content(t, at("heath.yaml")) != "one\n" {
		t.Fatal("written through a link")
	}
}

// The hidden folder, the lock and a history may have been put there by somebody.
func TestHostileHiddenFolder(t *testing.T) {
	outside := t.TempDir()
	for name, build := range map[string]func(dir string) error{
		"a link":            func(dir string) error { return os.Symlink(outside, filepath.Join(dir, hidden)) },
		"a link inside":     func(dir string) error { return os.Symlink(".", filepath.Join(dir, hidden)) },
		"a file":            func(dir string) error { return os.WriteFile(filepath.Join(dir, hidden), nil, 0o644) },
		"a linked lock":     inHidden(func(h string) error { return os.Symlink(outside+"/lock", h+"/lock") }),
		"a pipe as lock":    inHidden(func(h string) error { return syscall.Mkfifo(h+"/lock", 0o644) }),
		"a linked history":  inHidden(func(h string) error { return os.Symlink(outside+"/x", h+"/heath.yaml.history") }),
		"a pipe as history": inHidden(func(h string) error { return syscall.Mkfifo(h+"/heath.yaml.history", 0o644) }),
		"a folder there":    inHidden(func(h string) error { return os.Mkdir(h+"/heath.yaml.history", 0o755) }),
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			write(t, filepath.Join(dir, "heath.yaml"), "one\n")
			if err := build(dir); err != nil {
				t.Fatal(err)
			}
			f := open(t, dir)
			v, err := f.Read("heath")
			if err != nil || string(v.Text) != "one\n" || v.NoHistory == "" || v.CanUndo != "" {
				t.Fatalf("%+v %v", v, err)
			}
			// What cannot be undone is not done.
			if _, err = f.Save("heath", v.Revision, []byte("two\n"), ""); err == nil || content(t, filepath.Join(dir, "heath.yaml")) != "one\n" {
				t.Fatal(err)
			}
			if left, err := os.ReadDir(outside); err != nil || len(left) > 0 {
				t.Fatal("written outside: ", left, err)
			}
			if list, err := f.List(); err != nil || len(list.Entries) != 1 {
				t.Fatal(list, err)
			}
		})
	}
}

func inHidden(build func(h string) error) func(dir string) error {
	return func(dir string) error {
		h := filepath.Join(dir, hidden)
		return errors.Join(os.Mkdir(h, 0o755), build(h))
	}
}

// Another program that holds the lock and hangs costs a save, and no reading.
func TestBusyFolder(t *testing.T) {
	f, dir := opened(t, map[string]string{"heath.yaml": "one\n"})
	f.patience = 10 * time.Millisecond
	v, err := f.Read("heath")
	v = good(t, v, err)
	lock, err := os.Open(filepath.Join(dir, lockFile))
	if err != nil {
		t.Fatal(err)
	}
	if got, err := tryLock(lock); !got || err != nil {
		t.Fatal(got, err)
	}
	_, err = f.Save("heath", v.Revision, []byte("two\n"), "x")
	as[*BusyError](t, err)
	again, err := f.Read("heath")
	if again = good(t, again, err); again.Revision != v.Revision {
		t.Fatalf("%+v", again)
	}
	write(t, filepath.Join(dir, "heath.yaml"), "three\n")
	again, err = f.Read("heath")
	if err != nil || string(again.Text) != "three\n" || again.NoHistory == "" || again.CanUndo != "" {
		t.Fatalf("%+v %v", again, err)
	}
	if err := lock.Close(); err != nil {
		t.Fatal(err)
	}
	again, err = f.Save("heath", again.Revision, []byte("four\n"), "x")
	if again = good(t, again, err); texts(t, f, "heath") != "one\nthree\nfour\n" {
		t.Fatalf("%+v", again)
	}
}
