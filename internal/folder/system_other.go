//go:build !unix

package folder

import (
	"io/fs"
	"os"
)

const openFlags = 0

// tryLock has no lock between programs to take here; one program at a time is to
// write in a folder.
func tryLock(*os.File) (bool, error) { return true, nil }

func takeOwner(*os.File, fs.FileInfo) {}

// private cannot be told from permissions here.
func private(fs.FileInfo) bool { return true }
