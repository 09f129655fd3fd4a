//go:build unix

package folder

import (
	"errors"
	"io/fs"
	"os"
	"syscall"

	"golang.org/x/sys/unix"
)

// openFlags make opening return at once, whatever lies there: between the look
// at a name and the opening of it, somebody may put a pipe there.
const openFlags = unix.O_NONBLOCK | unix.O_NOFOLLOW

// tryLock takes the lock if it is free.
func tryLock(lock *os.File) (bool, error) {
	err := control(lock, func(fd int) error { return unix.Flock(fd, unix.LOCK_EX|unix.LOCK_NB) })
	if errors.Is(err, unix.EWOULDBLOCK) || errors.Is(err, unix.EINTR) {
		return false, nil
	}
	return err == nil, err
}

// takeOwner gives a file the owner of another, as far as the system allows.
func takeOwner(out *os.File, like fs.FileInfo) {
	if stat, ok := like.Sys().(*syscall.Stat_t); ok {
		out.Chown(int(stat.Uid), int(stat.Gid))
	}
}

// private tells whether a file is ours alone.
func private(info fs.FileInfo) bool {
	stat, ok := info.Sys().(*syscall.Stat_t)
	return ok && int(stat.Uid) == os.Geteuid() && info.Mode().Perm()&0o077 == 0
}

func control(file *os.File, do func(fd int) error) error {
	raw, err := file.SyscallConn()
	if err != nil {
		return err
	}
	var failed error
	if err := raw.Control(func(fd uintptr) { failed = do(int(fd)) }); err != nil {
		return err
	}
	return failed
}
