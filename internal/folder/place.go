package folder

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
)

// Create makes a new study.
func (f *Folder) Create(name string, text []byte) (Version, error) {
	if len(text) > mostBytes {
		return Version{}, &TooLargeError{name, int64(len(text))}
	}
	return f.create(name, extensions[0], text, nil, f.first("created"))
}

// Duplicate makes a copy of a study under a new name, with a history of its own.
// change may put what it says of itself right; nil: the copy is the same.
func (f *Folder) Duplicate(name, to string, change func(text []byte) []byte) (Version, error) {
	file, err := f.file(name)
	if err != nil {
		return Version{}, err
	}
	d, _, _, err := f.look(file)
	if err != nil {
		return Version{}, err
	}
	text := d.text
	if change != nil {
		text = change(bytes.Clone(text))
	}
	return f.create(to, extensions[0], text, d.info, f.first("copied from "+f.name(file)))
}

// first notes the first state of a new study. A removed study of the same name
// may have left a history. It goes on, but nobody expects an undo to bring the
// removed study back.
func (f *Folder) first(label string) func(*history, disk) (*history, error) {
	return func(h *history, d disk) (*history, error) {
		return f.keep(h, d.info, state{label: tidy(label), rev: d.rev}, d.text)
	}
}

// create makes a file that is like another, or like none, and tells its history.
func (f *Folder) create(name, ext string, text []byte, like fs.FileInfo, tell func(*history, disk) (*history, error)) (Version, error) {
	file, err := f.newFile(name, ext, "")
	if err != nil {
		return Version{}, err
	}
	leave, err := f.enter(f.patience)
	if err != nil {
		return Version{}, f.unsaved(file, err)
	}
	defer leave()
	perm := fs.FileMode(0)
	if like != nil {
		perm = like.Mode().Perm() | 0o200
	}
	part, err := f.part(file, text, like, perm)
	if err != nil {
		return Version{}, f.unsaved(file, err)
	}
	if err := f.moveNew(part, file); err != nil {
		f.root.Remove(part)
		if errors.Is(err, fs.ErrExist) {
			return Version{}, &ExistsError{name}
		}
		return Version{}, f.unsaved(file, err)
	}
	f.savedNow(file)
	if err := errors.Join(f.sync("."), f.sync(hidden)); err != nil {
		return Version{}, f.unsaved(file, err)
	}
	info, err := f.root.Lstat(file)
	if err != nil {
		return Version{}, f.named(file, err)
	}
	d := disk{file, text, Revision(text), info}
	h, err := f.history(file)
	if err == nil {
		h, err = tell(h, d)
	}
	return f.version(d, h, err), nil
}

// Rename gives a study another name. Its history follows. The extension stays
// unless the new name has one.
func (f *Folder) Rename(name, to string) (Version, error) {
	file, err := f.file(name)
	if err != nil {
		return Version{}, err
	}
	next, err := f.newFile(to, file[len(stem(file)):], file)
	if err != nil {
		return Version{}, err
	}
	leave, err := f.enter(f.patience)
	if err != nil {
		return Version{}, f.unsaved(file, err)
	}
	defer leave()
	if _, _, err := f.lookInside(file); err != nil {
		return Version{}, f.unsaved(file, err)
	}
	if err := f.moveNew(file, next); err != nil {
		if errors.Is(err, fs.ErrExist) {
			return Version{}, &ExistsError{to}
		}
		return Version{}, f.unsaved(file, f.named(file, err))
	}
	fault := f.moveHistory(file, next)
	if err := errors.Join(f.sync("."), f.sync(hidden)); err != nil {
		return Version{}, f.unsaved(next, err)
	}
	d, h, err := f.lookInside(next)
	var unkept *unkeptError
	if errors.As(err, &unkept) && fault == nil {
		fault, err = unkept, nil
	}
	if err != nil {
		return Version{}, err
	}
	return f.version(d, h, fault), nil
}

func (f *Folder) moveHistory(file, next string) error {
	f.forget(file, next)
	for i := range f.asides {
		if f.asides[i].file == file {
			f.asides[i].file = next
		}
	}
	// A removed study of the new name may have left a history: it stays, out of
	// the way.
	from, to := historyFile(file), historyFile(next)
	for n := 1; n <= mostStudies; n++ {
		if err := f.moveNew(to, fmt.Sprintf("%s.%d", to, n)); err == nil || !errors.Is(err, fs.ErrExist) {
			break
		}
	}
	return f.moveNew(from, to)
}

// linkNew is moveNew in two steps, with both names there in between, where the
// system does not know better; and in a look and a step where it has no second
// names for a file.
func (f *Folder) linkNew(from, to string) error {
	err := f.root.Link(from, to)
	if err == nil {
		return f.root.Remove(from)
	}
	if errors.Is(err, fs.ErrExist) || errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if _, err := f.root.Lstat(to); err == nil {
		return fs.ErrExist
	}
	return f.root.Rename(from, to)
}
