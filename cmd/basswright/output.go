package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/pflag"

	"basswright/internal/report"
)

// addOutput adds the flag that says where a verb writes.
func addOutput(f *pflag.FlagSet, out *string) {
	*out = "-"
	f.VarP(word{out, "FILE"}, "output", "o", "file to write to; - is standard output")
}

func isStdout(name string) bool { return name == "-" }

// text is how text looks where it goes to.
func (a *app) text(out string) report.TextOptions {
	return report.TextOptions{Width: a.columns(), Color: a.colour && isStdout(out)}
}

// columns is the width for text: the terminal's, within what reads well.
func (a *app) columns() int {
	if a.width == 0 {
		return 100
	}
	return max(80, min(a.width, 140))
}

// write sends what fn writes to a file, or to standard output if name is "-".
// Nothing is touched before fn is done, so an error of fn is never one of the
// file, and leaves nothing behind.
func (a *app) write(name string, fn func(io.Writer) error) error {
	if a.overStudy(name) {
		return usagef("%s is the study itself; name another file to write to", name)
	}
	var data bytes.Buffer
	if err := fn(&data); err != nil {
		return err
	}
	if isStdout(name) || a.writesTo(name) {
		_, err := a.out.Write(data.Bytes())
		return err
	}
	return put(name, data.Bytes())
}

// overStudy says whether a file is the study that was read. That may be a pipe
// or a terminal, which are written to as well.
func (a *app) overStudy(name string) bool {
	info, err := os.Stat(name)
	return err == nil && info.Mode().IsRegular() && a.study != "" && sameFile(name, a.study)
}

// writesTo says whether standard output goes to the file of that name already,
// as /dev/stdout does: then what others write there must stay.
func (a *app) writesTo(name string) bool {
	out, ok := a.out.(*os.File)
	if !ok {
		return false
	}
	here, err := out.Stat()
	if err != nil {
		return false
	}
	there, err := os.Stat(name)
	return err == nil && os.SameFile(here, there)
}

// put makes data the content of a file. A regular file is replaced whole or not
// at all; a device or a pipe is written into, for it must not be replaced.
func put(name string, data []byte) error {
	mode := fs.FileMode(0o644)
	info, err := os.Stat(name)
	switch {
	case err == nil && info.IsDir():
		return fmt.Errorf("%s is a folder; name a file in it", name)
	case err == nil && !info.Mode().IsRegular():
		return unwritten(name, name, pour(name, data))
	case err == nil:
		mode = info.Mode().Perm()
	}
	path, err := followed(name)
	if err == nil {
		err = replace(path, data, mode)
	}
	return unwritten(name, path, err)
}

// pour writes into what is there.
func pour(name string, data []byte) error {
	f, err := os.OpenFile(name, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	return errors.Join(err, f.Close())
}

// replace writes a new file beside path and moves it there.
func replace(path string, data []byte, mode fs.FileMode) error {
	f, err := os.CreateTemp(parent(path), ".basswright-*")
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	err = errors.Join(err, f.Chmod(mode), f.Close())
	if err == nil {
		err = os.Rename(f.Name(), path)
	}
	if err != nil {
		os.Remove(f.Name())
	}
	return err
}

// parent is where a file lies. filepath.Dir would shorten "link/..", which the
// system resolves from where the link leads.
func parent(path string) string {
	dir, _ := filepath.Split(path)
	if dir == "" {
		return "."
	}
	return dir
}

// mostLinks is how many symbolic links lead on before it is taken for a circle.
const mostLinks = 40

// followed is the file that a name leads to through symbolic links, so that
// they stay; unlike filepath.EvalSymlinks also if that file is yet to be made.
func followed(name string) (string, error) {
	path := name
	for range mostLinks {
		to, err := os.Readlink(path)
		if err != nil {
			return path, nil
		}
		if !filepath.IsAbs(to) {
			to = parent(path) + string(filepath.Separator) + to
		}
		path = to
	}
	return name, errors.New("its links lead in a circle")
}

// unwritten tells why the file that was asked for could not be written; path is
// where its name leads. The file written in between is nobody's business.
func unwritten(name, path string, err error) error {
	if err == nil {
		return nil
	}
	if dir := filepath.Clean(parent(path)); errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("cannot write %s: there is no folder %s; create it", name, dir)
	}
	return fmt.Errorf("cannot write %s: %w; name a file in another place", name, because(err))
}

// because is the system's reason alone, without the operation and the file.
func because(err error) error {
	var (
		at   *fs.PathError
		link *os.LinkError
	)
	switch {
	case errors.As(err, &at):
		return at.Err
	case errors.As(err, &link):
		return link.Err
	}
	return err
}

// sameFile says whether two names lead to one place to write to.
func sameFile(a, b string) bool {
	if isStdout(a) || isStdout(b) {
		return isStdout(a) && isStdout(b)
	}
	x, errX := os.Stat(a)
	y, errY := os.Stat(b)
	if errX == nil && errY == nil {
		return os.SameFile(x, y)
	}
	return settled(a) == settled(b)
}

// settled is the one path of a file that need not exist.
func settled(name string) string {
	path, err := followed(name)
	if err != nil {
		return name
	}
	dir := parent(path)
	if d, err := filepath.EvalSymlinks(dir); err == nil {
		dir = d
	}
	if d, err := filepath.Abs(dir); err == nil {
		dir = d
	}
	return filepath.Join(dir, filepath.Base(path))
}
