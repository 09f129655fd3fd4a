package folder

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"time"
)

// A Version is a study's text at one time.
type Version struct {
	Name     string
	File     string
	Text     []byte
	Revision string // identifies the text, and nothing else
	Modified time.Time

	// CanUndo and CanRedo say what an undo takes back and a redo does again; empty
	// where there is nothing.
	CanUndo, CanRedo string
	// NoHistory says why no history is kept, empty if it is: a folder that can be
	// read but not written.
	NoHistory string
}

// Revision identifies a text: the first 16 hexadecimal digits of its SHA-256.
func Revision(text []byte) string {
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:8])
}

// Read reads a study, and notes in its history what it finds.
func (f *Folder) Read(name string) (Version, error) {
	file, err := f.file(name)
	if err != nil {
		return Version{}, err
	}
	d, h, fault, err := f.look(file)
	if err != nil {
		return Version{}, err
	}
	return f.version(d, h, fault), nil
}

// disk is a study's file as it was at one moment.
type disk struct {
	file string
	text []byte
	rev  string
	info fs.FileInfo
}

// look reads a file and notes in its history what is new; where there is nothing
// to note it waits for nobody who writes. The third result is why the history
// could not be kept, if so.
func (f *Folder) look(file string) (disk, *history, error, error) {
	h, fault := f.history(file)
	d, err := f.settled(file, h.rev())
	if err != nil || fault != nil || h.rev() == d.rev {
		return d, h, fault, err
	}
	leave, fault := f.enter(f.patience / 20)
	if fault != nil {
		// Whoever writes may have been writing just this.
		if now, err := f.history(file); err == nil && now.rev() == d.rev {
			return d, now, nil, nil
		}
		return d, h, fault, nil
	}
	defer leave()
	d, h, err = f.lookInside(file)
	var unkept *unkeptError
	if errors.As(err, &unkept) {
		return d, h, err, nil
	}
	return d, h, nil, err
}

// lookInside is look where the lock between programs is held. An *unkeptError
// says that the history could not take in what was read.
func (f *Folder) lookInside(file string) (disk, *history, error) {
	h, err := f.history(file)
	if err != nil {
		return disk{}, h, &unkeptError{err}
	}
	d, err := f.settled(file, h.rev())
	if err != nil || h.rev() == d.rev {
		return d, h, err
	}
	label := "changed outside"
	switch {
	case h.at == 0:
		label = "as found"
	case f.unnoted(file, d.rev):
		label = "saved before the program was interrupted"
	}
	now, err := f.keep(h, d.info, state{parent: h.at, label: label, rev: d.rev}, d.text)
	if err != nil {
		return d, h, &unkeptError{err}
	}
	return d, now, nil
}

// unkeptError is a history that could not be read or written.
type unkeptError struct{ err error }

func (e *unkeptError) Error() string { return fmt.Sprintf("the history cannot be kept: %v", e.err) }
func (e *unkeptError) Unwrap() error { return e.err }

func (f *Folder) version(d disk, h *history, fault error) Version {
	v := Version{Name: f.name(d.file), File: d.file, Text: d.text, Revision: d.rev, Modified: d.info.ModTime()}
	if fault != nil {
		v.NoHistory = fault.Error()
	} else if h.rev() == d.rev {
		v.CanUndo, v.CanRedo = h.labels()
	}
	return v
}

// An editor that writes in place empties the file first. A text that is new and
// was touched this recently may be half of one, so it is read again until two
// readings agree, for at most a tenth of a second.
const (
	young    = 30 * time.Millisecond
	rest     = 10 * time.Millisecond
	readings = 10
)

// settled reads a file, with patience if it is not the text that is known.
func (f *Folder) settled(file, known string) (disk, error) {
	d, err := f.slurp(file)
	for range readings {
		if err != nil || d.rev == known || time.Since(d.info.ModTime()) > young {
			break
		}
		time.Sleep(rest)
		before := d
		d, err = f.slurp(file)
		if err == nil && d.rev == before.rev && d.info.ModTime().Equal(before.info.ModTime()) {
			break
		}
	}
	return d, err
}

// slurp reads a regular file whole.
func (f *Folder) slurp(file string) (disk, error) {
	for range readings {
		d, again, err := f.slurpOnce(file)
		if !again {
			return d, err
		}
	}
	d, _, err := f.slurpOnce(file)
	return d, err
}

// slurpOnce also says whether the file changed while it was read.
func (f *Folder) slurpOnce(file string) (d disk, again bool, err error) {
	in, info, err := f.open(file, os.O_RDONLY, 0)
	if err != nil {
		return disk{}, false, f.named(file, err)
	}
	defer in.Close()
	if info.Size() > mostBytes {
		return disk{}, false, &TooLargeError{f.name(file), info.Size()}
	}
	text, err := io.ReadAll(io.LimitReader(in, mostBytes+1))
	if err != nil {
		return disk{}, false, fmt.Errorf("reading %s: %w", f.name(file), err)
	}
	if len(text) > mostBytes {
		return disk{}, false, &TooLargeError{f.name(file), int64(len(text))}
	}
	after, err := in.Stat()
	if err != nil {
		return disk{}, false, fmt.Errorf("reading %s: %w", f.name(file), err)
	}
	d = disk{file, text, Revision(text), after}
	return d, after.Size() != int64(len(text)) || !after.ModTime().Equal(info.ModTime()), nil
}

// errMoved is a file that was replaced between looking at it and opening it.
var errMoved = errors.New("it is being replaced again and again")

// open opens a regular file inside the folder without ever waiting for it, as a
// pipe or device would make it: what it is, is looked at before and after. With
// os.O_CREATE the file may be missing.
func (f *Folder) open(file string, flag int, perm fs.FileMode) (*os.File, fs.FileInfo, error) {
	for range readings {
		before, err := f.root.Lstat(file)
		switch {
		case errors.Is(err, fs.ErrNotExist) && flag&os.O_CREATE != 0:
			in, err := f.root.OpenFile(file, flag|os.O_EXCL|openFlags, perm)
			if errors.Is(err, fs.ErrExist) {
				continue
			}
			if err != nil {
				return nil, nil, err
			}
			info, err := in.Stat()
			if err != nil {
				in.Close()
				return nil, nil, err
			}
			return in, info, nil
		case err != nil:
			return nil, nil, err
		case !before.Mode().IsRegular():
			return nil, nil, &KindError{file, kind(before.Mode())}
		}
		in, err := f.root.OpenFile(file, flag&^os.O_CREATE|openFlags, 0)
		if err != nil {
			return nil, nil, err
		}
		info, err := in.Stat()
		if err == nil && os.SameFile(before, info) {
			return in, info, nil
		}
		in.Close()
		if err != nil {
			return nil, nil, err
		}
	}
	return nil, nil, errMoved
}

// named tells an error of the file system in the words of studies.
func (f *Folder) named(file string, err error) error {
	var k *KindError
	switch {
	case errors.As(err, &k):
		return &KindError{f.name(file), k.Kind}
	case errors.Is(err, fs.ErrNotExist):
		return &NotFoundError{stemOrFile(file)}
	case errors.Is(err, fs.ErrPermission):
		return fmt.Errorf("the file of %s cannot be read: %w; allow reading it", f.name(file), err)
	}
	return fmt.Errorf("reading %s: %w", f.name(file), err)
}

func stemOrFile(file string) string {
	if short := stem(file); !hasExtension(short) {
		return short
	}
	return file
}
