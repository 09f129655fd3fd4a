package folder

import (
	"crypto/rand"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"
	"unicode"
)

// Save replaces the text of a study. base is the revision that the text was
// made from. The label says what was changed, for undo and the history. A
// *ConflictError says that the disk holds another revision than base; nothing
// was written then.
func (f *Folder) Save(name, base string, text []byte, label string) (Version, error) {
	if len(text) > mostBytes {
		return Version{}, &TooLargeError{name, int64(len(text))}
	}
	return f.change(name, base, func(h *history) ([]byte, remark, error) {
		s := state{parent: h.at, label: tidy(label), rev: Revision(text)}
		return text, func(study fs.FileInfo) (*history, error) { return f.keep(h, study, s, text) }, nil
	})
}

// A remark writes a change into the history once it is on disk, and gives the
// history as it is then. In the other order, an end in between would leave a
// history that tells of what never was.
type remark func(study fs.FileInfo) (*history, error)

// change replaces the text of a study with the next one.
func (f *Folder) change(name, base string, next func(*history) ([]byte, remark, error)) (Version, error) {
	file, err := f.file(name)
	if err != nil {
		return Version{}, err
	}
	leave, err := f.enter(f.patience)
	if err != nil {
		return Version{}, f.unsaved(file, err)
	}
	defer leave()
	f.sweepInside()
	d, h, err := f.lookInside(file)
	if err != nil {
		return Version{}, f.unsaved(file, err)
	}
	if d.rev != base {
		return Version{}, &ConflictError{f.version(d, h, nil)}
	}
	if d.info.Mode().Perm()&0o200 == 0 {
		return Version{}, &ProtectedError{f.name(file)}
	}
	text, tell, err := next(h)
	if err != nil {
		return Version{}, err
	}
	if Revision(text) == d.rev {
		return f.version(d, h, nil), nil
	}
	if d, err = f.replace(d, text); err != nil {
		return Version{}, err
	}
	now, fault := tell(d.info)
	return f.version(d, now, fault), nil
}

// replace gives a file a new text, if it still has the one that was looked at.
func (f *Folder) replace(d disk, text []byte) (disk, error) {
	fail := func(err error) (disk, error) { return disk{}, f.unsaved(d.file, err) }
	part, err := f.part(d.file, text, d.info, d.info.Mode().Perm())
	if err != nil {
		return fail(err)
	}
	met, err := f.swap(part, d, Revision(text))
	if err != nil {
		f.root.Remove(part) // if it still is there
		return fail(err)
	}
	if met != nil {
		now, h, err := f.lookInside(d.file)
		if err == nil && now.rev != met.rev {
			// What went back into its place was written over before anybody looked, by
			// an editor that had read what stood there for an instant.
			err = f.overtaken(&aside{file: d.file, known: d.rev, own: Revision(text)}, *met)
		}
		if err != nil {
			return fail(err)
		}
		return disk{}, &ConflictError{f.version(now, h, nil)}
	}
	f.savedNow(d.file)
	if err := errors.Join(f.sync("."), f.sync(hidden)); err != nil {
		return fail(err)
	}
	info, err := f.root.Lstat(d.file)
	if err != nil {
		return fail(f.named(d.file, err))
	}
	return disk{d.file, text, Revision(text), info}, nil
}

// swap puts the part in the place of the file. If the file was not the one looked
// at, met is what it was; that one is in its place then, and the part is gone.
func (f *Folder) swap(part string, d disk, rev string) (met *disk, err error) {
	now, err := f.slurp(d.file)
	if err != nil {
		return nil, err
	}
	if now.rev != d.rev {
		return &now, f.root.Remove(part)
	}
	if f.beforeSwap != nil {
		f.beforeSwap(d.file)
	}
	a := newAside(d.file, d.rev, rev, f.clock())
	if err := f.root.Rename(part, a.path); err != nil {
		return nil, err
	}
	done, err := f.exchanged(a.path, d.file)
	if err != nil {
		return nil, errors.Join(f.named(d.file, err), f.root.Remove(a.path))
	}
	if !done {
		return nil, f.swapOver(a, d)
	}
	defer func() { f.putAside(a) }()
	old, err := f.slurp(a.path)
	if err == nil && old.rev == d.rev {
		a.info = old.info
		return nil, nil
	}
	// Somebody wrote in the last instant. What was written goes back into its
	// place; what stood there meanwhile is ours, or yet another edit.
	if _, err := f.exchanged(a.path, d.file); err != nil {
		return nil, f.named(d.file, err)
	}
	return &old, nil
}

func (f *Folder) exchanged(a, b string) (done bool, err error) {
	if f.plain {
		return false, nil
	}
	return f.exchange(a, b)
}

// swapOver is for systems that cannot exchange two files: the last instant stays
// unguarded, but for what is written into the old file. That keeps a name, if
// the system can give it a second one.
func (f *Folder) swapOver(a aside, d disk) error {
	old := newAside(d.file, d.rev, a.own, a.since)
	err := f.root.Link(d.file, old.path)
	if err == nil {
		defer f.putAside(old)
	}
	return f.root.Rename(a.path, d.file)
}

// part writes a text to a new file in the hidden folder, safe on disk, with the
// owner of the file that it is like and the permissions that it shall have in its
// place; like is nil for a file that is like no other.
func (f *Folder) part(file string, text []byte, like fs.FileInfo, perm fs.FileMode) (string, error) {
	name := hidden + "/" + file + "." + rand.Text()[:12] + partEnd
	mode := fs.FileMode(0o666) // less what the system takes away from new files
	if like != nil {
		mode = 0o600 // nobody reads it before it has the permissions it is to have
	}
	out, err := f.root.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
	if err != nil {
		return "", err
	}
	_, err = out.Write(text)
	if err == nil && like != nil {
		takeOwner(out, like)
		err = out.Chmod(perm)
	}
	if err == nil {
		err = out.Sync()
	}
	if err = errors.Join(err, out.Close()); err != nil {
		f.root.Remove(name)
		return "", err
	}
	return name, nil
}

// sync makes the names in a folder safe on disk.
func (f *Folder) sync(dir string) error {
	d, err := f.root.Open(dir)
	if err != nil {
		return err
	}
	defer d.Close()
	return d.Sync()
}

// unsaved says why nothing was saved; errors of ours already do.
func (f *Folder) unsaved(file string, err error) error {
	var fault *fs.PathError
	var link *os.LinkError
	var unkept *unkeptError
	switch {
	case errors.As(err, &unkept), errors.As(err, &fault), errors.As(err, &link), errors.Is(err, errMoved):
		return fmt.Errorf("%s was not saved: %w; see that the folder can be written and the disk has room", f.name(file), err)
	}
	return err
}

// mostLabel bounds a label, in bytes.
const mostLabel = 200

// tidy makes a label a single bounded line.
func tidy(label string) string {
	label = strings.ToValidUTF8(label, "")
	label = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || r == 0x2028 || r == 0x2029 {
			return ' '
		}
		return r
	}, label)
	if len(label) > mostLabel {
		label = strings.ToValidUTF8(label[:mostLabel-len("…")], "") + "…"
	}
	if label = strings.TrimSpace(label); label == "" {
		return "change"
	}
	return label
}
