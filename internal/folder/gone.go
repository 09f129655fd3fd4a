package folder

import (
	"errors"
	"io/fs"
	"slices"
	"strings"
)

// What is left of a study whose file is gone is its history. Its states can be
// read, and from one of them, or from what a page still shows, the study can be
// written anew.

// mostGone are listed.
const mostGone = 20

// Gone lists the studies whose history is kept and whose file is gone, the last
// changed first.
func (f *Folder) Gone() []Entry {
	dir, err := f.root.Open(hidden)
	if err != nil {
		return nil // no history, nothing that is left
	}
	defer dir.Close()
	names, err := dir.Readdirnames(mostEntries)
	if err != nil {
		return nil
	}
	var out []Entry
	for _, name := range names {
		file, ok := strings.CutSuffix(name, historyEnd)
		if !ok || !hasExtension(file) || checkName(file) != nil || f.there(file) {
			continue
		}
		info, err := f.root.Lstat(historyFile(file))
		if err != nil || !info.Mode().IsRegular() {
			continue
		}
		called := file
		if left, err := f.left(stem(file)); err == nil && left == file {
			called = stem(file)
		}
		out = append(out, Entry{Name: called, File: file, Modified: info.ModTime()})
	}
	slices.SortFunc(out, func(a, b Entry) int {
		if c := b.Modified.Compare(a.Modified); c != 0 {
			return c
		}
		return strings.Compare(a.File, b.File)
	})
	return out[:min(len(out), mostGone)]
}

func (f *Folder) there(file string) bool {
	_, err := f.root.Lstat(file)
	return !errors.Is(err, fs.ErrNotExist)
}

// left is the file that a study had that is gone, by the history that it left.
func (f *Folder) left(name string) (string, error) {
	if _, err := f.file(name); err == nil && !hasExtension(name) {
		return "", &ExistsError{name}
	}
	if err := checkName(name); err != nil {
		return "", err
	}
	if hasExtension(name) {
		if !f.there(historyFile(name)) {
			return "", &NotFoundError{stemOrFile(name)}
		}
		return name, nil
	}
	for _, ext := range extensions {
		if f.there(historyFile(name + ext)) {
			return name + ext, nil
		}
	}
	return "", &NotFoundError{name}
}

// remains is the history of a study that is gone.
func (f *Folder) remains(name string) (*history, error) {
	file, err := f.left(name)
	if err != nil {
		return nil, err
	}
	h, err := f.history(file)
	if err != nil {
		return nil, &unkeptError{err}
	}
	return h, nil
}

// Anew writes the file of a study that is gone. Its history goes on: an undo
// leads to the state that was on disk last. A file that is back meanwhile is an
// *ExistsError.
func (f *Folder) Anew(name string, text []byte, label string) (Version, error) {
	if len(text) > mostBytes {
		return Version{}, &TooLargeError{name, int64(len(text))}
	}
	var like fs.FileInfo
	if file, err := f.left(name); err == nil {
		name = file
		// the history has the permissions that the study had
		if like, err = f.root.Lstat(historyFile(file)); err != nil {
			return Version{}, f.unsaved(file, err)
		}
	}
	return f.create(name, extensions[0], text, like, func(h *history, d disk) (*history, error) {
		if h.rev() == d.rev {
			return h, nil
		}
		return f.keep(h, d.info, state{parent: h.at, label: tidy(label), rev: d.rev}, text)
	})
}
