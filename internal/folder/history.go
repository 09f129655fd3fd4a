package folder

import (
	"slices"
	"time"
)

// A history is the states that a study has had, and which of them is current.
// Each state knows the one it was made from. An undo makes that one current; a
// redo makes the youngest of those made from the current one current. So a save
// after an undo hides the states that were undone from redo, for it is younger,
// and removes nothing.
type history struct {
	file   string
	states []state // by id, increasing
	at     int     // id of the current state, 0 if there is none
	log    extent
}

type state struct {
	id     int // > 0
	parent int // 0 if none, or no longer kept
	label  string
	saved  time.Time
	rev    string
	aside  bool // never was current: an edit that was overtaken or refused
	place  span // of its line in the log
}

// A State is one state of a study's history.
type State struct {
	ID        int
	Label     string
	Saved     time.Time
	Revision  string
	Current   bool
	Overtaken bool // an edit that never was on disk: from outside and too late, or refused
}

func (h *history) find(id int) *state {
	i, ok := slices.BinarySearchFunc(h.states, id, func(s state, id int) int { return s.id - id })
	if !ok {
		return nil
	}
	return &h.states[i]
}

// rev is the revision of the current state, empty if there is none.
func (h *history) rev() string {
	if s := h.find(h.at); s != nil {
		return s.rev
	}
	return ""
}

// back is what an undo leads to, nil if there is nothing.
func (h *history) back() *state {
	if s := h.find(h.at); s != nil {
		return h.find(s.parent)
	}
	return nil
}

// forth is what a redo leads to, nil if there is nothing.
func (h *history) forth() *state {
	if h.at == 0 {
		return nil
	}
	for i := len(h.states) - 1; i >= 0 && h.states[i].id > h.at; i-- {
		if s := &h.states[i]; s.parent == h.at && !s.aside {
			return s
		}
	}
	return nil
}

// labels are what undo takes back and redo does again.
func (h *history) labels() (undo, redo string) {
	if h.back() != nil {
		undo = h.find(h.at).label
	}
	if s := h.forth(); s != nil {
		redo = s.label
	}
	return undo, redo
}

// knows tells whether a text is kept.
func (h *history) knows(rev string) bool {
	return slices.ContainsFunc(h.states, func(s state) bool { return s.rev == rev })
}

func (h *history) next() int {
	if len(h.states) == 0 {
		return 1
	}
	return h.states[len(h.states)-1].id + 1
}

// take makes a line of the log part of the history. It ignores what cannot be,
// so that a damaged line costs no more than itself.
func (h *history) take(r record, place span) {
	switch {
	case r.ID == 0 && r.At > 0:
		if s := h.find(r.At); s != nil && !s.aside {
			h.at = r.At
		}
	case r.ID >= h.next() && r.ID-h.next() < h.leap() && r.Parent >= 0 && r.Parent < r.ID && r.Revision != "":
		h.states = append(h.states, state{r.ID, r.Parent, r.Label, r.Saved, r.Revision, r.Aside, place})
		if !r.Aside {
			h.at = r.ID
		}
	}
}

// leap bounds what ids leave out, so that no file, whoever wrote it, can bring
// them to where there is no next one. The first that is kept may be any: it is
// cut down to the last ones again and again.
func (h *history) leap() int {
	if len(h.states) == 0 {
		return 1 << 30
	}
	return 1 << 10
}

// list is the history as told, the oldest first.
func (h *history) list() []State {
	out := make([]State, 0, len(h.states))
	for _, s := range h.states {
		out = append(out, State{s.id, s.label, s.saved, s.rev, s.id == h.at, s.aside})
	}
	return out
}

// Bounds of a history. When it would outgrow either of the upper ones, it is cut down to the
// lower ones, so that not every save writes all of it again.
const (
	keepStates = 500
	mostStates = 600
	keepLog    = 6 << 20 // bytes
	mostLog    = 8 << 20
)

// full tells whether the log has to be cut down before it takes one more line.
func (h *history) full(line int) bool {
	return len(h.states) >= mostStates || h.log.end+int64(line) > mostLog
}

// kept are the states that stay when the log is cut down: the current one, and
// the youngest.
func (h *history) kept() []state {
	room, count := int64(keepLog), keepStates
	if s := h.find(h.at); s != nil {
		room -= s.place.size
		count--
	}
	var out []state
	full := false
	for _, s := range slices.Backward(h.states) {
		if s.id == h.at {
			out = append(out, s)
			continue
		}
		if full = full || count == 0 || s.place.size > room; full {
			continue
		}
		out = append(out, s)
		room -= s.place.size
		count--
	}
	slices.Reverse(out)
	return out
}
