package folder

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"
	"sync"
	"sync/atomic"
	"time"
)

const (
	mostBytes   = 1 << 20 // of a text; a larger study is refused by studyfile too
	mostStudies = 1000    // listed and watched
	mostEntries = 100_000 // of the folder, looked through for studies
	mostLeftOut = 20      // told by name
)

// Options are what a Folder can be told; zero values stand for the usual.
type Options struct {
	Clock func() time.Time // time.Now; says when a state was saved
	Poll  time.Duration    // 200 ms; how often Watch looks
}

// A Folder is the studies of one folder. All methods can be called from several
// goroutines. Several Folders, also of several programs, can be open on the same
// folder.
type Folder struct {
	root  *os.Root
	clock func() time.Time
	poll  time.Duration

	// writing is held while files are changed: what is decided on a look must still
	// hold when it is acted upon. The lock in .basswright does the same between
	// programs; both are taken by enter (lock.go). Who only reads needs neither.
	writing    chan struct{}
	asides     []aside      // files that gave up their place lately; under writing
	asideCount atomic.Int64 // how many, to be known without it

	// mu is held for moments, never while a file is waited for.
	mu        sync.Mutex
	histories map[string]*history // by file, as last read; bounded; none is changed once it is here
	glanced   disk                // what was glanced at last; none: of no file
	watchers  map[*watcher]bool

	// How long to wait for another program that writes, where a person wants to
	// write; a twentieth of it where the history only is to take in what was read.
	patience time.Duration

	// For tests: an editor in the last instant, and a system that cannot exchange
	// files.
	beforeSwap func(file string)
	plain      bool
}

// Open opens a folder. Nothing is written until a study is read or saved.
func Open(path string, opt Options) (*Folder, error) {
	root, err := os.OpenRoot(path)
	if err != nil {
		return nil, fmt.Errorf("opening the folder of studies: %w; name a folder that can be read", err)
	}
	f := &Folder{
		root: root, clock: opt.Clock, poll: opt.Poll,
		patience: 5 * time.Second, writing: make(chan struct{}, 1),
		histories: map[string]*history{}, watchers: map[*watcher]bool{},
	}
	if f.clock == nil {
		f.clock = time.Now
	}
	if f.poll <= 0 {
		f.poll = 200 * time.Millisecond
	}
	if _, err := f.studies(); err != nil {
		root.Close()
		return nil, fmt.Errorf("reading the folder of studies: %w; name a folder that can be read", err)
	}
	f.recover()
	return f, nil
}

// Close ends the use of the folder. Watching must have ended before.
func (f *Folder) Close() error {
	f.sweep()
	return f.root.Close()
}

// An Entry is one study in the list.
type Entry struct {
	Name     string // what the other methods take
	File     string // name of the file
	Size     int64  // bytes
	Modified time.Time
}

// A Listing is the studies of the folder, and what could be taken for one but
// is not.
type Listing struct {
	Entries []Entry // by name; at most 1000
	More    int     // how many further studies there are
	LeftOut []LeftOut
}

// LeftOut is a file with a study's extension that cannot be opened as one.
type LeftOut struct{ File, Reason string }

// List lists the studies by name.
func (f *Folder) List() (Listing, error) {
	found, err := f.studies()
	if err != nil {
		return Listing{}, fmt.Errorf("listing the studies: %w", err)
	}
	out := Listing{More: found.more, LeftOut: found.leftOut}
	for _, info := range found.files {
		out.Entries = append(out.Entries, Entry{f.name(info.Name()), info.Name(), info.Size(), info.ModTime()})
	}
	return out, nil
}

type found struct {
	files   []fs.FileInfo // by name
	more    int
	leftOut []LeftOut
}

// studies looks through the folder. It opens no file.
func (f *Folder) studies() (found, error) {
	names, err := f.names()
	if err != nil {
		return found{}, err
	}
	var out found
	leave := func(file string, err error) {
		if len(out.leftOut) < mostLeftOut {
			out.leftOut = append(out.leftOut, LeftOut{file, err.Error()})
		}
	}
	for i, file := range names {
		if len(out.files) == mostStudies {
			out.more = len(names) - i
			break
		}
		if err := checkName(file); err != nil {
			leave(file, err)
			continue
		}
		info, err := f.root.Lstat(file)
		switch {
		case errors.Is(err, fs.ErrNotExist): // removed since it was listed
		case err != nil:
			leave(file, err)
		case !info.Mode().IsRegular():
			leave(file, &KindError{file, kind(info.Mode())})
		default:
			out.files = append(out.files, info)
		}
	}
	return out, nil
}

// names are the files with a study's extension that are not hidden, sorted.
func (f *Folder) names() ([]string, error) {
	dir, err := f.root.Open(".")
	if err != nil {
		return nil, err
	}
	defer dir.Close()
	var names []string
	for seen := 0; seen < mostEntries; {
		batch, err := dir.ReadDir(512)
		seen += len(batch)
		for _, entry := range batch {
			if name := entry.Name(); hasExtension(name) && name[0] != '.' {
				names = append(names, name)
			}
		}
		if errors.Is(err, io.EOF) || err == nil && len(batch) == 0 {
			break
		}
		if err != nil {
			return nil, err
		}
	}
	slices.Sort(names)
	return names, nil
}

func kind(mode fs.FileMode) string {
	switch {
	case mode&fs.ModeSymlink != 0:
		return "a symbolic link"
	case mode.IsDir():
		return "a folder"
	case mode&fs.ModeNamedPipe != 0:
		return "a pipe"
	case mode&fs.ModeSocket != 0:
		return "a socket"
	case mode&fs.ModeDevice != 0:
		return "a device"
	}
	return "no regular file"
}
