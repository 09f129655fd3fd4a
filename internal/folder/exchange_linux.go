package folder

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// exchange lets two files change places in one step. done is false where the
// file system cannot.
func (f *Folder) exchange(a, b string) (done bool, err error) {
	return f.renameat2(a, b, unix.RENAME_EXCHANGE)
}

// moveNew gives a file a name that is free, in one step; fs.ErrExist if it is not.
func (f *Folder) moveNew(from, to string) error {
	done, err := f.renameat2(from, to, unix.RENAME_NOREPLACE)
	if err != nil || done {
		return err
	}
	return f.linkNew(from, to)
}

func (f *Folder) renameat2(a, b string, flags uint) (done bool, err error) {
	dir, err := f.root.Open(".")
	if err != nil {
		return false, err
	}
	defer dir.Close()
	err = control(dir, func(fd int) error { return unix.Renameat2(fd, a, fd, b, flags) })
	switch {
	case err == nil:
		return true, nil
	case errors.Is(err, unix.EINVAL), errors.Is(err, unix.ENOSYS), errors.Is(err, unix.ENOTSUP), errors.Is(err, unix.EPERM):
		return false, nil
	}
	return false, &os.LinkError{Op: "rename", Old: a, New: b, Err: err}
}
