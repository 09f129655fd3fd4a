package phys

import (
	"encoding/json"
	"math"
)

// Maybe is a value that may not exist. NaN (and Inf, which no result may be)
// means that there is none; JSON has null for it.
type Maybe float64

// None is the value that does not exist.
func None() Maybe { return Maybe(math.NaN()) }

// OK says whether the value exists.
func (m Maybe) OK() bool { return !math.IsNaN(float64(m)) && !math.IsInf(float64(m), 0) }

// MarshalJSON writes the number, or null where there is none.
func (m Maybe) MarshalJSON() ([]byte, error) {
	if !m.OK() {
		return []byte("null"), nil
	}
	return json.Marshal(float64(m))
}

// UnmarshalJSON reads a number, or null as none.
func (m *Maybe) UnmarshalJSON(data []byte) error {
	if string(data) == "null" {
		*m = None()
		return nil
	}
	var v float64
	if err := json.Unmarshal(data, &v); err != nil {
		return err
	}
	*m = Maybe(v)
	return nil
}
