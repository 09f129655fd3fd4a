package folder

// Refused keeps a text that could not be saved, because the disk held another
// revision than the one it was made from: it becomes a state of the history
// beside the current one, so that it is there whatever the person chooses. The
// result is that state, or the one that holds the text already.
func (f *Folder) Refused(name string, text []byte, label string) (id int, err error) {
	if len(text) > mostBytes {
		return 0, &TooLargeError{name, int64(len(text))}
	}
	file, err := f.file(name)
	if err != nil {
		return 0, err
	}
	leave, err := f.enter(f.patience)
	if err != nil {
		return 0, f.unsaved(file, err)
	}
	defer leave()
	d, h, err := f.lookInside(file)
	if err != nil {
		return 0, f.unsaved(file, err)
	}
	rev := Revision(text)
	for _, s := range h.states {
		if s.rev == rev {
			return s.id, nil
		}
	}
	h, err = f.keep(h, d.info, state{parent: h.at, label: tidy(tidy(label) + " (met another change)"), rev: rev, aside: true}, text)
	if err != nil {
		return 0, f.unsaved(file, &unkeptError{err})
	}
	return h.states[len(h.states)-1].id, nil
}

// Text is a text that a study has had, by its revision: nil if its history does
// not hold it.
func (f *Folder) Text(name, revision string) []byte {
	file, err := f.file(name)
	if err != nil {
		return nil
	}
	h, err := f.history(file)
	if err != nil {
		return nil
	}
	for _, s := range h.states {
		if s.rev == revision {
			text, err := f.text(h, &s)
			if err == nil {
				return text
			}
		}
	}
	return nil
}
