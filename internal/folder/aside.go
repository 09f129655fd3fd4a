package folder

import (
	"crypto/rand"
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"
	"strconv"
	"strings"
	"time"
)

// An aside is a file that gave up its place to a save. An editor that had opened
// it just before still writes into it, so it stays for a while; if its text
// changes, that is an edit that was overtaken, and becomes a state of the
// history. An aside that is there when the folder is opened was left by an end
// in the middle of a save: it holds what was saved, what was replaced, or an
// edit that nobody else has.
type aside struct {
	path  string
	file  string      // whose place it had
	own   string      // revision of the text that took the place
	since time.Time   // when
	known string      // revision of a text of it that the history has had
	info  fs.FileInfo // when it was last looked at; nil if it was not
	left  bool        // by a program that ended
}

const (
	grace      = 10 * time.Second // editors hold a file open for milliseconds while they write it
	mostAsides = 256
	asideEnd   = ".aside"
	partEnd    = ".part"
)

// All that is to be known of an aside is in its name, for the case that the
// program ends.
func newAside(file, known, own string, since time.Time) aside {
	path := fmt.Sprintf("%s/%s.%s.%s.%d-%s%s", hidden, file, known, own, since.UnixMilli(), rand.Text()[:12], asideEnd)
	return aside{path: path, file: file, known: known, own: own, since: since}
}

func parseAside(name string) (aside, bool) {
	rest, ok := strings.CutSuffix(name, asideEnd)
	parts := strings.Split(rest, ".")
	n := len(parts)
	if !ok || n < 5 { // the file's name has a dot
		return aside{}, false
	}
	file := strings.Join(parts[:n-3], ".")
	milli, _, _ := strings.Cut(parts[n-1], "-")
	ms, err := strconv.ParseInt(milli, 10, 64)
	if err != nil || !hasExtension(file) || checkName(file) != nil {
		return aside{}, false
	}
	a := aside{path: hidden + "/" + name, file: file, known: parts[n-3], own: parts[n-2], since: time.UnixMilli(ms)}
	a.left = true
	return a, true
}

func (f *Folder) putAside(a aside) { f.asides = append(f.asides, a) }

// sweep looks after the asides, if there are any.
func (f *Folder) sweep() {
	if f.asideCount.Load() == 0 {
		return
	}
	leave, err := f.enter(0)
	if err != nil {
		return // they stay for the next time
	}
	defer leave()
	f.sweepInside()
}

// sweepInside is sweep where the lock between programs is held.
func (f *Folder) sweepInside() {
	now := f.clock()
	stay := f.asides[:0]
	for i, a := range f.asides {
		old := len(f.asides)-i > mostAsides || now.Sub(a.since) > grace || now.Before(a.since)
		if f.examine(&a, old) {
			stay = append(stay, a)
		}
	}
	clear(f.asides[len(stay):])
	f.asides = stay
}

// examine keeps what was written into an aside, and removes it when its time is
// over. It says whether the aside stays.
func (f *Folder) examine(a *aside, last bool) (stays bool) {
	info, err := f.root.Lstat(a.path)
	if err != nil {
		return false
	}
	if !last && same(a.info, info) {
		return true
	}
	if !last && time.Since(info.ModTime()) < young {
		return true // perhaps half written: the next time
	}
	d, err := f.slurp(a.path)
	if err == nil && f.overtaken(a, d) != nil {
		return true // the disk may have room again later
	}
	if err == nil {
		a.known, a.info = d.rev, d.info
	}
	if last {
		f.root.Remove(a.path)
	}
	return !last
}

// overtaken makes the text of an aside a state, if it is not kept yet. An empty
// text is a file that was emptied to be written anew, and is no edit.
func (f *Folder) overtaken(a *aside, d disk) error {
	if d.rev == a.known || d.rev == a.own || len(d.text) == 0 {
		return nil
	}
	h, err := f.history(a.file)
	if err != nil {
		return err
	}
	if h.knows(d.rev) {
		return nil
	}
	s := state{parent: h.at, label: "changed outside, overtaken by a save", rev: d.rev, aside: true}
	if h, err = f.keep(h, d.info, s, d.text); err != nil {
		return err
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	for w := range f.watchers {
		w.overtaken[a.file] = h.states[len(h.states)-1].id
	}
	return nil
}

// recover looks after what an end in the middle of a save has left. It is no
// fault if that cannot be: a folder may be there for reading only.
func (f *Folder) recover() {
	dir, _, err := f.openFolder(hidden)
	if err != nil {
		return
	}
	defer dir.Close()
	leave, err := f.enter(f.patience / 20) // whoever still writes has the lock
	if err != nil {
		return
	}
	defer leave()
	for {
		batch, err := dir.ReadDir(512)
		for _, entry := range batch {
			if strings.HasSuffix(entry.Name(), partEnd) {
				f.root.Remove(hidden + "/" + entry.Name())
			} else if a, ok := parseAside(entry.Name()); ok && len(f.asides) < mostAsides {
				f.putAside(a)
			}
		}
		if err != nil || len(batch) == 0 {
			if err != nil && err != io.EOF {
				return
			}
			break
		}
	}
	for _, a := range f.asides {
		f.lookInside(a.file) // a save that was not noted any more
	}
	f.sweepInside()
}

// unnoted tells whether a text was saved by a program that ended before it wrote
// that into the history.
func (f *Folder) unnoted(file, rev string) bool {
	return slices.ContainsFunc(f.asides, func(a aside) bool { return a.left && a.file == file && a.own == rev })
}

func (f *Folder) openFolder(name string) (*os.File, fs.FileInfo, error) {
	info, err := f.root.Lstat(name)
	if err != nil {
		return nil, nil, err
	}
	if !info.IsDir() {
		return nil, nil, &fs.PathError{Op: "open", Path: name, Err: fmt.Errorf("it is %s and no folder", kind(info.Mode()))}
	}
	dir, err := f.root.Open(name)
	return dir, info, err
}
