package web

import (
	"context"
	"crypto/sha256"
	"errors"
	"maps"
	"sync"

	"basswright/internal/folder"
	"basswright/internal/studyfile"
)

// A shelf remembers what the list tells of a study, by the content of its file
// and of what it names beside it: of a thousand studies only those are read anew
// by their meaning that have changed. It holds what the last list showed.
type shelf struct {
	mu    sync.Mutex
	known map[digest]spine
}

type digest [sha256.Size]byte

// spine is what is known of one text, and the files beside it that it rests on.
type spine struct {
	entry  ShelfEntry
	beside map[string]digest
}

func (s *Server) list(ctx context.Context, _ *struct{}) (*answer[Shelf], error) {
	ctx, done, err := s.turn(ctx, "")
	if err != nil {
		return nil, err
	}
	defer done()
	l, err := s.opt.Folder.List()
	if err != nil {
		return nil, wrong(err)
	}
	out := Shelf{Folder: s.opt.Name, Version: s.opt.Version, More: l.More, Studies: []ShelfEntry{}, LeftOut: []LeftOutFile{}, Gone: s.gone(), Examples: s.examples()}
	now := map[digest]spine{}
	for _, e := range l.Entries {
		if err := ctx.Err(); err != nil {
			s.shelf.add(now) // who asks again is answered sooner
			return nil, wrong(err)
		}
		out.Studies = append(out.Studies, s.entry(e, now))
	}
	s.shelf.replace(now)
	for _, f := range l.LeftOut {
		out.LeftOut = append(out.LeftOut, LeftOutFile{f.File, f.Reason})
	}
	return &answer[Shelf]{out}, nil
}

// entry is what the list shows of a study; it is put among those of now.
func (s *Server) entry(e folder.Entry, now map[digest]spine) ShelfEntry {
	out := ShelfEntry{Candidates: []string{}, Drivers: []string{}}
	text, err := s.opt.Folder.Peek(e.Name)
	if err != nil {
		out.Note = err.Error()
	} else {
		sum := sha256.Sum256(text)
		known, ok := s.shelf.find(sum)
		if !ok || !s.rests(known) {
			known = s.spine(text, e.File)
		}
		now[sum], out = known, known.entry
	}
	out.Name, out.File, out.Modified = e.Name, e.File, e.Modified
	return out
}

// spine reads a study as far as the list tells of it.
func (s *Server) spine(text []byte, file string) spine {
	out := spine{ShelfEntry{Candidates: []string{}, Drivers: []string{}}, map[string]digest{}}
	st, err := studyfile.Parse(text, file, func(file string) ([]byte, error) {
		data, err := s.opt.Folder.Beside(file)
		out.beside[file] = besides(data, err)
		return data, err
	})
	var faulty *studyfile.Error
	if errors.As(err, &faulty) {
		out.entry.Faults = len(faulty.Faults)
		return out
	}
	out.entry.Title, out.entry.Note = st.Name, st.Note
	for _, c := range st.Candidates {
		out.entry.Candidates = append(out.entry.Candidates, c.Name)
	}
	for _, d := range st.Drivers {
		out.entry.Drivers = append(out.entry.Drivers, d.Driver.Name)
	}
	return out
}

// rests tells whether the files beside a study are as they were.
func (s *Server) rests(known spine) bool {
	for file, was := range known.beside {
		if besides(s.opt.Folder.Beside(file)) != was {
			return false
		}
	}
	return true
}

func besides(data []byte, err error) digest {
	if err != nil {
		return sha256.Sum256([]byte("\x00" + err.Error()))
	}
	return sha256.Sum256(append([]byte{1}, data...))
}

func (s *shelf) find(sum digest) (spine, bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	k, ok := s.known[sum]
	return k, ok
}

func (s *shelf) replace(now map[digest]spine) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.known = now
}

func (s *shelf) add(more map[digest]spine) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.known == nil || len(s.known) > mostShelved {
		s.known = map[digest]spine{}
	}
	maps.Copy(s.known, more)
}

// mostShelved bounds what lists that were given up leave behind.
const mostShelved = 2000
