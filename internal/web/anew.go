package web

import (
	"errors"
	"time"

	"basswright/internal/folder"
)

// mostHave bounds the keys that a request says it has: for each of 64 candidates
// the curves, the section, the wiring and the cells that are shown, and the curves as they
// were before the drag; and the heads of the ledger, and the frequencies of the curves. The
// page asks by the same bound (ui/src/state/study.svelte.ts).
const mostHave = 5*64 + 2

// put saves a text. Where the page was told that the file is gone, and asks for
// it, the file is written anew; if it is back meanwhile, it is an ordinary save.
func (s *Server) put(name string, t NewText) (folder.Version, error) {
	f, text := s.opt.Folder, []byte(t.Text)
	v, err := f.Save(name, t.Base, text, t.Label)
	var missing *folder.NotFoundError
	if !t.Anew || !errors.As(err, &missing) {
		return v, err
	}
	v, err = f.Anew(name, text, t.Label)
	var exists *folder.ExistsError
	if errors.As(err, &exists) {
		return f.Save(name, t.Base, text, t.Label)
	}
	return v, err
}

// GoneEntry is a study whose file is gone and whose history is kept.
type GoneEntry struct {
	Name     string    `json:"name"`
	File     string    `json:"file"`
	Modified time.Time `json:"modified" doc:"when its history was written last"`
}

func (s *Server) gone() []GoneEntry {
	out := []GoneEntry{}
	for _, e := range s.opt.Folder.Gone() {
		out = append(out, GoneEntry{e.Name, e.File, e.Modified})
	}
	return out
}
