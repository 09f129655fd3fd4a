//go:build !linux

package folder

// exchange cannot be done in one step here.
func (f *Folder) exchange(a, b string) (done bool, err error) { return false, nil }

func (f *Folder) moveNew(from, to string) error { return f.linkNew(from, to) }
