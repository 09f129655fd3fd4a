package folder

import (
	"errors"
	"io/fs"
)

// Undo saves the text that the current state was made from. base is as for Save.
func (f *Folder) Undo(name, base string) (Version, error) {
	return f.step(name, base, "undo", (*history).back)
}

// Redo saves the text that the last undo left.
func (f *Folder) Redo(name, base string) (Version, error) {
	return f.step(name, base, "redo", (*history).forth)
}

func (f *Folder) step(name, base, what string, to func(*history) *state) (Version, error) {
	return f.change(name, base, func(h *history) ([]byte, remark, error) {
		s := to(h)
		if s == nil {
			return nil, nil, &NothingError{name, what}
		}
		text, err := f.text(h, s)
		if err != nil {
			return nil, nil, err
		}
		id := s.id
		return text, func(study fs.FileInfo) (*history, error) { return f.move(h, study, id) }, nil
	})
}

// History lists the states of a study that are kept, the oldest first. Of a study
// that is gone none is current.
func (f *Folder) History(name string) ([]State, error) {
	h, err := f.present(name)
	var missing *NotFoundError
	if !errors.As(err, &missing) {
		if err != nil {
			return nil, err
		}
		return h.list(), nil
	}
	if h, err = f.remains(name); err != nil {
		return nil, err
	}
	states := h.list()
	for i := range states {
		states[i].Current = false
	}
	return states, nil
}

// present is the history of a study, with what is on disk now in it.
func (f *Folder) present(name string) (*history, error) {
	file, err := f.file(name)
	if err != nil {
		return nil, err
	}
	_, h, fault, err := f.look(file)
	if err == nil {
		err = fault
	}
	return h, err
}

// State is the text of one state of a study's history, also of one that is gone.
func (f *Folder) State(name string, id int) ([]byte, error) {
	file, err := f.file(name)
	var missing *NotFoundError
	if errors.As(err, &missing) {
		file, err = f.left(name)
	}
	if err != nil {
		return nil, err
	}
	for tries := 0; ; tries++ {
		h, err := f.history(file)
		if err != nil {
			return nil, &unkeptError{err}
		}
		s := h.find(id)
		if s == nil {
			return nil, &NoStateError{f.name(file), id, false}
		}
		text, err := f.text(h, s)
		if now, fault := f.history(file); err == nil || fault != nil || now == h || tries == readings {
			return text, err
		} // it was written anew in between, and the state stands elsewhere
	}
}
