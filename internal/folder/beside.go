package folder

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
)

// Beside reads a file that a study names, of at most 1 MiB, where it lies in the folder or
// below it: what leads out of it, and what is no regular file, is not read. It
// keeps no history of it and needs no lock, as nothing is written.
func (f *Folder) Beside(file string) ([]byte, error) {
	in, info, err := f.open(file, os.O_RDONLY, 0)
	var odd *KindError
	var path *fs.PathError
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, errors.New("there is no such file")
	case errors.As(err, &odd):
		return nil, fmt.Errorf("it is %s", odd.Kind)
	case errors.As(err, &path):
		return nil, path.Err
	case err != nil:
		return nil, err
	}
	defer in.Close()
	if info.Size() > mostBytes {
		return nil, fmt.Errorf("it has %d bytes, more than the %d that are read", info.Size(), mostBytes)
	}
	return io.ReadAll(io.LimitReader(in, mostBytes+1))
}

// ReadBeside is [Folder.Beside] of a folder that is open for nothing else.
func ReadBeside(dir, file string) ([]byte, error) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, err
	}
	defer root.Close()
	return (&Folder{root: root}).Beside(file)
}
