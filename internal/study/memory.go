package study

import (
	"context"
	"fmt"
	"sync"

	"github.com/hashicorp/golang-lru/v2/simplelru"

	"basswright/internal/enclosure"
	"basswright/internal/network"
	"basswright/internal/note"
)

// A Memory keeps the outcomes of candidates by what they were made from, so that
// a study of which one candidate changed is evaluated in the time of one. It may
// be shared. Outcomes that it gave are the caller's to read, not to change.
type Memory struct {
	mu      sync.Mutex
	kept    *simplelru.LRU[string, *Outcome]
	tried   *simplelru.LRU[string, *Outcome] // without mends: a value that is dragged leaves many
	systems *simplelru.LRU[string, *system]  // by Candidate.Built
	sound   *simplelru.LRU[string, struct{}] // Candidate.Built of boxes that can be
	along   sweep                            // the last
}

// sweep is a range of frequencies and those in it.
type sweep struct {
	from, to float64
	points   int
	hz       []float64
}

// frequencies are those of the curves, which all candidates have in common, and most
// evaluations.
func (m *Memory) frequencies(opt Options) []float64 {
	if m == nil {
		return Frequencies(opt.From, opt.To, opt.Points)
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	if s := &m.along; s.hz == nil || s.from != opt.From || s.to != opt.To || s.points != opt.Points {
		*s = sweep{opt.From, opt.To, opt.Points, Frequencies(opt.From, opt.To, opt.Points)}
	}
	return m.along.hz
}

// system is what a candidate was built to, with a solver of its network. Who uses
// it has it alone.
type system struct {
	key   string // [Candidate.Built]; "": not known
	sys   *enclosure.System
	found []note.Finding
	sol   *network.Solver
	uses  int // how often it has been evaluated

	bare    *Outcome // the last at 1 V; nil if there is none
	bareKey string
}

func (s *system) keep(bare *Outcome, key string) {
	kept := *bare
	kept.Candidate = nil // it would keep the whole study
	s.bare, s.bareKey = &kept, key
}

const (
	mostKept    = 64 // outcomes: as many as a study can have candidates, or a few studies of a few
	mostTried   = 64 // as many
	mostSystems = 24
	mostSound   = 512
	mostAnswers = 8192 // that a solver remembers: all that one evaluation asks for
)

// NewMemory returns a memory that holds nothing yet.
func NewMemory() *Memory {
	return &Memory{kept: lru[*Outcome](mostKept), tried: lru[*Outcome](mostTried), systems: lru[*system](mostSystems), sound: lru[struct{}](mostSound)}
}

// lru holds the last of what it is given.
func lru[V any](most int) *simplelru.LRU[string, V] {
	l, err := simplelru.NewLRU[string, V](most, nil)
	if err != nil {
		panic(err) // of a size below one
	}
	return l
}

// Make builds candidate i of a study, of which the rest need not be known yet, for the
// evaluation that follows. It does nothing where such a box has been built lately.
func (m *Memory) Make(st *Study, i int) error {
	key := st.Candidates[i].Built
	m.mu.Lock()
	_, known := m.sound.Get(key)
	m.mu.Unlock()
	if known {
		return nil
	}
	s, err := st.system(i, nil)
	if err != nil || key == "" { // what is not named cannot be known again
		return err
	}
	m.mu.Lock()
	waiting := 0
	for _, other := range m.systems.Values() {
		if other.uses == 0 {
			waiting++
		}
	}
	m.sound.Add(key, struct{}{})
	m.mu.Unlock()
	if waiting < mostSystems { // else it would push out the one that is evaluated first
		m.give(s)
	}
	return nil
}

// take gives a system that was built before, nil if there is none. A system that
// is used again and again, because nothing but the drive or the brief has changed, has a
// solver that remembers its answers: they are the same for any drive.
func (m *Memory) take(digest string) *system {
	if m == nil || digest == "" {
		return nil
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	s, ok := m.systems.Peek(digest)
	if !ok {
		return nil
	}
	m.systems.Remove(digest)
	if s.uses > 1 {
		s.sol.Remember(mostAnswers)
	}
	return s
}

// give puts a system back, or in.
func (m *Memory) give(s *system) {
	if m == nil || s.key == "" {
		return
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	m.sound.Add(s.key, struct{}{})
	if !m.systems.Contains(s.key) { // two may have built it at once
		m.systems.Add(s.key, s)
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
	return fmt.Sprint(c.Digest, i, opt.From, opt.To, opt.Points, opt.Time)
}

// outcomes are those that were found with such options.
func (m *Memory) outcomes(opt Options) *simplelru.LRU[string, *Outcome] {
	if opt.WithoutMends {
		return m.tried
	}
	return m.kept
}

// find is a copy of a kept outcome, as it was before it was told against others;
// nil if there is none.
func (m *Memory) find(key string, opt Options) *Outcome {
	if m == nil || key == "" {
		return nil
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	o, ok := m.outcomes(opt).Get(key)
	if !ok {
		return nil
	}
	c := *o
	return &c
}

// keep stores a copy.
func (m *Memory) keep(key string, opt Options, o *Outcome) {
	if m == nil || key == "" {
		return
	}
	c := *o
	c.Candidate = nil // it would keep the whole study; the one that asks has its own
	m.mu.Lock()
	defer m.mu.Unlock()
	m.outcomes(opt).Add(key, &c)
}
