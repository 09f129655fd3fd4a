package folder

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"time"
)

const (
	lockFile = hidden + "/lock"
	nap      = 2 * time.Millisecond // between two attempts
)

// enter begins to write: it makes the hidden folder, waits for its turn among the
// writers of this program, and takes the lock between programs, which the system
// frees should the program end. It waits at most so long for both together. The
// caller does not hold mu, so that nobody who reads waits with it.
func (f *Folder) enter(patience time.Duration) (leave func(), err error) {
	if err := f.makeHidden(); err != nil {
		return nil, &unkeptError{err}
	}
	end := time.Now().Add(patience)
	late := time.NewTimer(patience)
	defer late.Stop()
	select {
	case f.writing <- struct{}{}: // also where there is no time to wait
	default:
		select {
		case f.writing <- struct{}{}:
		case <-late.C:
			return nil, &BusyError{}
		}
	}
	unlock, err := f.lock(end)
	if err != nil {
		<-f.writing
		return nil, err
	}
	return func() {
		f.asideCount.Store(int64(len(f.asides)))
		unlock()
		<-f.writing
	}, nil
}

// lock takes the lock between programs.
func (f *Folder) lock(end time.Time) (unlock func(), err error) {
	lock, _, err := f.open(lockFile, os.O_RDONLY|os.O_CREATE, 0o644)
	if err != nil {
		return nil, &unkeptError{err}
	}
	for ; ; time.Sleep(nap) {
		got, err := tryLock(lock)
		if got {
			return func() { lock.Close() }, nil
		}
		if err == nil && time.Now().After(end) {
			err = &BusyError{}
		}
		if err != nil {
			return nil, errors.Join(err, lock.Close())
		}
	}
}

func (f *Folder) makeHidden() error {
	info, err := f.root.Lstat(hidden)
	switch {
	case err == nil && !info.IsDir():
		return fmt.Errorf("%s is %s and no folder; remove it", hidden, kind(info.Mode()))
	case err == nil:
		return nil
	case !errors.Is(err, fs.ErrNotExist):
		return err
	}
	if err := f.root.Mkdir(hidden, 0o777); err != nil && !errors.Is(err, fs.ErrExist) {
		return err
	}
	// A folder of studies may be under version control; the histories are private.
	out, err := f.root.OpenFile(hidden+"/.gitignore", os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if errors.Is(err, fs.ErrExist) {
		return nil
	}
	if err != nil {
		return err
	}
	_, err = out.WriteString("*\n")
	return errors.Join(err, out.Close())
}
