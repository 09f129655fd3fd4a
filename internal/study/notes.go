package study

import "sync"

// notes are what is made of a kept outcome by those who show it: once, for all copies of it.
type notes struct {
	mu   sync.Mutex
	made map[any]any // by a key of its maker's own type
}

// Noted gives what make makes of an outcome as it was found and of its study, and of nothing
// that others of the study have a part in. Where a memory keeps the outcome it is made once,
// and is the caller's to read, not to change.
func Noted[K comparable, V any](o *Outcome, key K, make func() V) V {
	if o.notes == nil {
		return make()
	}
	o.notes.mu.Lock()
	defer o.notes.mu.Unlock()
	if v, ok := o.notes.made[key].(V); ok {
		return v
	}
	v := make()
	o.notes.made[key] = v
	return v
}
