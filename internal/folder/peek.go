package folder

// Peek reads a study and notes nothing: for a list, which many look at and which
// must not write. A text that an editor is just writing is read as it is; when
// it is whole, Watch tells.
func (f *Folder) Peek(name string) (text []byte, err error) {
	file, err := f.file(name)
	if err != nil {
		return nil, err
	}
	d, err := f.slurp(file)
	return d.text, err
}
