package study

import (
	"context"
	"fmt"
	"slices"
	"sync"
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
