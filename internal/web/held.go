package web

import (
	"sync"

	"basswright/internal/folder"
	"basswright/internal/studyfile"
)

// A held file is the file that a change was last tried on, as it was read: while a number
// is dragged each step begins from the same text, and reading that takes a quarter of what
// a candidate takes.
type held struct {
	mu       sync.Mutex
	revision string
	file     *studyfile.File // nil while somebody has it, as it is for one at a time
	name     string
}

// take gives the file of a version, read before or not.
func (h *held) take(v folder.Version) *studyfile.File {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.file == nil || h.revision != v.Revision || h.name != v.File {
		return studyfile.Open(v.Text, v.File)
	}
	f := h.file
	h.file = nil
	return f
}

// mostHeld bounds the text of a file that is kept, bytes: read it takes up a multiple of it.
const mostHeld = 128 << 10

// give keeps the file of a version for the next step.
func (h *held) give(v folder.Version, f *studyfile.File) {
	if len(v.Text) > mostHeld {
		return
	}
	h.mu.Lock()
	defer h.mu.Unlock()
	h.revision, h.name, h.file = v.Revision, v.File, f
}
