package folder

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"
)

// hidden is the folder beside the studies for all that is not one.
const hidden = ".basswright"

// span is a piece of a file.
type span struct{ from, size int64 }

// extent is a history's file as it was last seen: the history in memory holds
// while the file still is the same.
type extent struct {
	info fs.FileInfo // nil while there is no file
	end  int64       // of the last whole line
}

// Most of a history's file that is read: the end of it, if it is larger. Its own
// writer cuts it down at mostLog and a record has at most twice a text.
const mostRead = mostLog + 4*mostBytes

// mostHistories are kept in memory.
const mostHistories = 32

const historyEnd = ".history"

func historyFile(file string) string { return hidden + "/" + file + historyEnd }

// history is the history of a study as its file holds it now. It is never nil,
// and nobody changes it.
func (f *Folder) history(file string) (*history, error) {
	f.mu.Lock()
	h := f.histories[file]
	f.mu.Unlock()
	name := historyFile(file)
	info, err := f.root.Lstat(name)
	if errors.Is(err, fs.ErrNotExist) {
		f.forget(file)
		return &history{file: file}, nil
	}
	if err != nil {
		return &history{file: file}, err
	}
	if h != nil && same(h.log.info, info) {
		return h, nil
	}
	h = &history{file: file}
	in, info, err := f.open(name, os.O_RDONLY, 0)
	if err != nil {
		return h, err
	}
	defer in.Close()
	from := max(0, info.Size()-mostRead)
	// No further than info tells, though another may be appending: the two are one.
	data, err := io.ReadAll(io.NewSectionReader(in, from, info.Size()-from))
	if err != nil {
		return h, err
	}
	h.log = extent{info, h.parse(data, from)}
	f.remember(h)
	return h, nil
}

func same(a, b fs.FileInfo) bool {
	return a != nil && os.SameFile(a, b) && a.Size() == b.Size() && a.ModTime().Equal(b.ModTime())
}

func (f *Folder) remember(h *history) {
	f.mu.Lock()
	defer f.mu.Unlock()
	for file := range f.histories {
		if len(f.histories) < mostHistories {
			break
		}
		delete(f.histories, file) // whichever: it is read again when needed
	}
	f.histories[h.file] = h
}

func (f *Folder) forget(files ...string) {
	f.mu.Lock()
	defer f.mu.Unlock()
	for _, file := range files {
		delete(f.histories, file)
	}
}

// keep appends a state, and gives the history with it. The history's file gets the
// permissions of the study's: who may not read the one may not read the other.
// The lock is held.
func (f *Folder) keep(h *history, study fs.FileInfo, s state, text []byte) (*history, error) {
	r := record{
		ID: h.next(), Parent: s.parent, Label: s.label, Saved: f.clock().UTC(), Revision: s.rev, Aside: s.aside,
	}
	r.put(text)
	line, err := r.line()
	if err != nil {
		return h, err
	}
	if h.full(len(line)) {
		if h, err = f.cutDown(h, study); err != nil {
			return h, err
		}
	}
	return f.append(h, study, r, line)
}

// move makes another state current, as keep does. The lock is held.
func (f *Folder) move(h *history, study fs.FileInfo, id int) (*history, error) {
	r := record{At: id}
	line, err := r.line()
	if err != nil {
		return h, err
	}
	return f.append(h, study, r, line)
}

// append writes a line at the end, where an earlier one may have been torn.
func (f *Folder) append(h *history, study fs.FileInfo, r record, line []byte) (*history, error) {
	out, info, err := f.open(historyFile(h.file), os.O_RDWR|os.O_CREATE, study.Mode().Perm()&0o666|0o600)
	if err != nil {
		return h, err
	}
	defer out.Close()
	if info.Size() > h.log.end {
		if err := out.Truncate(h.log.end); err != nil {
			return h, err
		}
	}
	_, err = out.WriteAt(line, h.log.end)
	if err == nil {
		err = out.Sync()
	}
	if err != nil {
		return h, errors.Join(err, out.Truncate(h.log.end))
	}
	next := *h // others may be reading it
	next.states = slices.Clone(h.states)
	next.take(r, span{h.log.end, int64(len(line))})
	next.log.end += int64(len(line))
	next.log.info, err = out.Stat()
	f.remember(&next)
	return &next, err
}

// cutDown writes the history anew with the states that stay.
func (f *Folder) cutDown(h *history, study fs.FileInfo) (*history, error) {
	old, _, err := f.open(historyFile(h.file), os.O_RDONLY, 0)
	if err != nil {
		return h, err
	}
	defer old.Close()
	var data []byte
	for _, s := range h.kept() {
		line := make([]byte, s.place.size)
		if _, err := old.ReadAt(line, s.place.from); err != nil {
			return h, err
		}
		data = append(data, line...)
	}
	line, err := record{At: h.at}.line()
	if err != nil {
		return h, err
	}
	data = append(data, line...)
	part, err := f.part(h.file, data, study, study.Mode().Perm()&0o666|0o600)
	if err != nil {
		return h, err
	}
	if err := f.root.Rename(part, historyFile(h.file)); err != nil {
		return h, errors.Join(err, f.root.Remove(part))
	}
	f.forget(h.file)
	now, err := f.history(h.file)
	if err != nil {
		return h, err
	}
	return now, f.sync(hidden)
}

// text reads the text of a state.
func (f *Folder) text(h *history, s *state) ([]byte, error) {
	in, _, err := f.open(historyFile(h.file), os.O_RDONLY, 0)
	if err != nil {
		return nil, fmt.Errorf("reading the history of %s: %w", f.name(h.file), err)
	}
	defer in.Close()
	line := make([]byte, s.place.size)
	var r record
	if _, err := in.ReadAt(line, s.place.from); err != nil || json.Unmarshal(line, &r) != nil || r.ID != s.id {
		return nil, &NoStateError{f.name(h.file), s.id, true}
	}
	text, err := r.text()
	if err != nil {
		return nil, &NoStateError{f.name(h.file), s.id, true}
	}
	return text, nil
}
