package study

import (
	"context"
	"fmt"
	"slices"
	"sync"

	"basswright/internal/enclosure"
	"basswright/internal/network"
	"basswright/internal/note"
)

// mostKept bounds a memory, in outcomes: a few studies of a few candidates as
// they were lately.
const mostKept = 128

// A Memory keeps the outcomes of candidates by what they were made from, so that
// a study of which one candidate changed is evaluated in the time of one. It may
// be shared. Outcomes that it gave are the caller's to read, not to change.
type Memory struct {
	mu    sync.Mutex
	kept  map[string]*Outcome
	order []string // the one used longest ago first

	systems []*system // the one used longest ago first
	tried   []string  // what has been built, as long as it is of use
}

// system is what a candidate was built to, with a solver of its network. Who uses
// it has it alone.
type system struct {
	key   string // [Candidate.Built]; "": not known
	sys   *enclosure.System
	found []note.Finding
	sol   *network.Solver
	again bool // it has been used before

	bare    *Outcome // the last at 1 V; nil if there is none
	bareKey string
}

func (s *system) keep(bare *Outcome, key string) {
	kept := *bare
	kept.Candidate = nil // it would keep the whole study
	s.bare, s.bareKey = &kept, key
}

const (
	mostSystems = 24
	mostTried   = 512
	mostAnswers = 8192 // that a solver remembers: all that one evaluation asks for
)

// Built says whether a candidate of this digest has been built lately.
func (m *Memory) Built(digest string) bool {
	m.mu.Lock()
	defer m.mu.Unlock()
	return digest != "" && slices.Contains(m.tried, digest)
}

// take gives a system that was built before, nil if there is none. A system that
// is used again, because nothing but the drive or the brief has changed, has a
// solver that remembers its answers: they are the same for any drive.
func (m *Memory) take(digest string) *system {
	if m == nil || digest == "" {
		return nil
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	i := slices.IndexFunc(m.systems, func(s *system) bool { return s.key == digest })
	if i < 0 {
		return nil
	}
	s := m.systems[i]
	m.systems = slices.Delete(m.systems, i, i+1)
	if s.again {
		s.sol.Remember(mostAnswers)
	}
	s.again = true
	return s
}

// give puts a system back, or in.
func (m *Memory) give(s *system) {
	if m == nil || s.key == "" {
		return
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	if !slices.Contains(m.tried, s.key) {
		m.tried = append(m.tried, s.key)
		m.tried = m.tried[max(0, len(m.tried)-mostTried):]
	}
	if slices.ContainsFunc(m.systems, func(o *system) bool { return o.key == s.key }) {
		return // two have built it at once
	}
	m.systems = append(m.systems, s)
	if len(m.systems) > mostSystems {
		m.systems = slices.Delete(m.systems, 0, 1)
	}
}

// Evaluate is [Evaluate] with what the memory holds. Candidates without a digest
// are computed each time.
func (m *Memory) Evaluate(ctx context.Context, st *Study, opt Options) (*Result, error) {
	return evaluateWith(ctx, st, opt, m)
}

// memoryKey names an outcome; "" if it cannot be kept.
func memoryKey(c *Candidate, i int, opt Options) string {
	if c.Digest == "" {
		return ""
	}
	return fmt.Sprint(c.Digest, i, opt.From, opt.To, opt.Points, opt.Time, opt.WithoutMends)
}

// find is a copy of a kept outcome, as it was before it was told against others;
// nil if there is none.
func (m *Memory) find(key string) *Outcome {
	if m == nil || key == "" {
		return nil
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	o, ok := m.kept[key]
	if !ok {
		return nil
	}
	if i := slices.Index(m.order, key); i >= 0 {
		m.order = append(slices.Delete(m.order, i, i+1), key)
	}
	c := *o
	return &c
}

// keep stores a copy.
func (m *Memory) keep(key string, o *Outcome) {
	if m == nil || key == "" {
		return
	}
	c := *o
	c.Candidate = nil // it would keep the whole study; the one that asks has its own
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.kept == nil {
		m.kept = map[string]*Outcome{}
	}
	if _, ok := m.kept[key]; !ok {
		m.order = append(m.order, key)
	}
	m.kept[key] = &c
	if len(m.order) > mostKept {
		delete(m.kept, m.order[0])
		m.order = m.order[1:]
	}
}
