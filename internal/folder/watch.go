package folder

import (
	"cmp"
	"context"
	"io/fs"
	"maps"
	"os"
	"slices"
	"time"
)

// A Change is what became of a study on disk, also by our own saves: who knows
// the revision already has nothing to do.
type Change struct {
	Name     string
	File     string
	Revision string // empty if there is no text that can be read
	Gone     bool   // the file is not there any more
	Fault    string // why the text cannot be read
	// Overtaken is the state of the history that holds an edit from outside that
	// a save came before; 0 if there is none.
	Overtaken int
}

// Watch tells of changes until the context ends; then the channel is closed.
// Who does not receive makes nobody wait: of several changes of one study, the
// last is told.
func (f *Folder) Watch(ctx context.Context) <-chan Change {
	out := make(chan Change)
	w := f.newWatcher()
	go func() {
		defer close(out)
		defer f.endWatcher(w)
		tick := time.NewTicker(f.poll)
		defer tick.Stop()
		pending := map[string]Change{}
		for {
			var to chan<- Change
			next, ok := first(pending)
			if ok {
				to = out
			}
			select {
			case <-ctx.Done():
				return
			case to <- next:
				delete(pending, next.File)
			case <-tick.C:
				for _, c := range w.look() {
					c.Overtaken = max(c.Overtaken, pending[c.File].Overtaken)
					pending[c.File] = c
				}
			}
		}
	}()
	return out
}

// first picks the change to tell next, by the file's name.
func first(pending map[string]Change) (Change, bool) {
	var out Change
	found := false
	for _, c := range pending {
		if !found || c.File < out.File {
			out, found = c, true
		}
	}
	return out, found
}

// A watcher is what one receiver knows of the folder. Its size is bounded by the
// number of studies that are listed.
type watcher struct {
	folder    *Folder
	files     map[string]*watched
	overtaken map[string]int  // by file; what sweep found since the last look; under mu
	saves     map[string]bool // files that we saved since the last look; under mu
}

type watched struct {
	info     fs.FileInfo // at the time of the last reading
	read     time.Time   // that time
	rev      string
	fault    string
	touched  fs.FileInfo // changed in place; perhaps not yet all
	missing  bool        // at the last look; perhaps about to be made again
	revealed bool        // was told of
	saved    bool        // by us since the last look: told even if what was there before is back by then
}

// coarse is the largest step in which systems in use keep the time of a change.
// A file that was changed this shortly before it was read may have been changed
// again without a trace.
const coarse = 2 * time.Second

func (f *Folder) newWatcher() *watcher {
	w := &watcher{folder: f, files: map[string]*watched{}, overtaken: map[string]int{}, saves: map[string]bool{}}
	f.mu.Lock()
	f.watchers[w] = true
	f.mu.Unlock()
	found, err := f.studies()
	if err != nil {
		return w // then the first look that succeeds tells of all
	}
	for _, info := range found.files {
		x := &watched{revealed: true}
		w.files[info.Name()] = x
		w.read(info, x)
	}
	return w
}

func (f *Folder) endWatcher(w *watcher) {
	f.mu.Lock()
	defer f.mu.Unlock()
	delete(f.watchers, w)
}

// savedNow notes a save of ours: who made it knows its revision, and must hear of
// it where another program brings back what the last look has seen, be it another
// text or none.
func (f *Folder) savedNow(file string) {
	f.mu.Lock()
	defer f.mu.Unlock()
	for w := range f.watchers {
		w.saves[file] = true
	}
}

// noteSaves marks the files that were saved since the last look.
func (w *watcher) noteSaves() {
	w.folder.mu.Lock()
	saves := maps.Clone(w.saves)
	clear(w.saves)
	w.folder.mu.Unlock()
	for file := range saves {
		x := w.files[file]
		if x == nil {
			x = &watched{revealed: true}
			w.files[file] = x
		}
		x.saved = true
	}
}

// look is one look at the folder: what has changed since the last one, by file.
func (w *watcher) look() []Change {
	f := w.folder
	f.sweep()
	found, err := f.studies()
	if err != nil {
		return nil // the folder cannot be seen for the moment
	}
	w.noteSaves()
	var out []Change
	there := map[string]bool{}
	for _, info := range found.files {
		there[info.Name()] = true
		if w.changed(info) {
			x := w.files[info.Name()]
			out = append(out, Change{Name: f.name(info.Name()), File: info.Name(), Revision: x.rev, Fault: x.fault})
		}
	}
	for file, x := range w.files {
		switch {
		case there[file]:
			x.missing = false
		case !x.missing:
			x.missing = true
		default:
			if x.revealed {
				out = append(out, Change{Name: stemOrFile(file), File: file, Gone: true})
			}
			delete(w.files, file)
		}
	}
	out = w.tellOvertaken(out)
	slices.SortFunc(out, func(a, b Change) int { return cmp.Compare(a.File, b.File) })
	return out
}

// changed looks at one file, and reads it if it seems to have changed.
func (w *watcher) changed(info fs.FileInfo) bool {
	x := w.files[info.Name()]
	if x == nil {
		x = &watched{}
		w.files[info.Name()] = x
	}
	if same(x.info, info) {
		x.touched = nil
		if x.read.Sub(info.ModTime()) > coarse && !x.saved { // whoever took back a save may have been looked at before the save was noted
			return false
		}
		return w.read(info, x)
	}
	// What took the place of the file is whole. What is written in place, or is
	// new, may not be: it is read when it has been the same twice.
	whole := x.info != nil && !os.SameFile(x.info, info)
	if !whole && !same(x.touched, info) {
		x.touched = info
		return false
	}
	return w.read(info, x)
}

// read reads a file and says whether there is something to tell.
func (w *watcher) read(info fs.FileInfo, x *watched) bool {
	x.info, x.read, x.touched = info, time.Now(), nil
	rev, err := w.folder.witness(info.Name())
	fault := ""
	if err != nil {
		rev, fault = "", err.Error()
	}
	news := rev != x.rev || fault != x.fault || !x.revealed || x.saved
	x.rev, x.fault, x.revealed, x.saved = rev, fault, true, false
	return news
}

// witness is the revision of a file's text. Where there is a history, it takes
// the text in.
func (f *Folder) witness(file string) (string, error) {
	if _, err := f.root.Lstat(historyFile(file)); err == nil {
		d, _, _, err := f.look(file)
		return d.rev, err
	}
	d, err := f.slurp(file)
	return d.rev, err
}

// tellOvertaken adds the edits that came too late to the changes.
func (w *watcher) tellOvertaken(out []Change) []Change {
	w.folder.mu.Lock()
	told := maps.Clone(w.overtaken)
	clear(w.overtaken)
	w.folder.mu.Unlock()
	for file, id := range told {
		i := slices.IndexFunc(out, func(c Change) bool { return c.File == file })
		if i < 0 {
			c := Change{Name: w.folder.name(file), File: file}
			if x := w.files[file]; x != nil {
				c.Revision, c.Fault = x.rev, x.fault
			}
			i = len(out)
			out = append(out, c)
		}
		out[i].Overtaken = id
	}
	return out
}
