package folder

import "time"

// aged is how old a file has to be when it is read so that a later look at its size and
// time alone tells whether it has changed: clocks of file systems go by steps, of two
// seconds at worst, and who writes twice within one leaves the same time. (It is told by our
// own clock, which that of a share may be behind.)
const aged = 3 * time.Second

// Glance is Read for what is shown and not kept, again and again, as each step of a drag
// is: a file that looks as it did when it was read is not read again. Who writes as many
// bytes as before and sets the time back is seen by Read alone.
func (f *Folder) Glance(name string) (Version, error) {
	file, err := f.file(name)
	if err != nil {
		return Version{}, err
	}
	f.mu.Lock()
	d := f.glanced
	f.mu.Unlock()
	if d.file == file {
		if info, err := f.root.Lstat(file); err == nil && same(d.info, info) {
			if h, fault := f.history(file); fault == nil && h.rev() == d.rev {
				return f.version(d, h, nil), nil
			}
		}
	}
	d, h, fault, err := f.look(file)
	if err != nil {
		return Version{}, err
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	f.glanced = disk{} // one study is dragged at a time, or few, which take turns
	if len(d.text) <= mostGlanced && f.clock().Sub(d.info.ModTime()) > aged {
		f.glanced = d
	}
	return f.version(d, h, fault), nil
}

// mostGlanced is the longest text that is held for a glance, bytes.
const mostGlanced = 128 << 10
