package phys

import (
	"math"
	"strconv"
)

// Maybe is a value that may not exist: NaN means that there is none. In JSON
// it is null then.
type Maybe float64

// None is the value that does not exist.
func None() Maybe { return Maybe(math.NaN()) }

// OK reports whether the value exists and is finite.
func (m Maybe) OK() bool { return !math.IsNaN(float64(m)) && !math.IsInf(float64(m), 0) }

// MarshalJSON writes the number, or null if there is none.
func (m Maybe) MarshalJSON() ([]byte, error) {
	if !m.OK() {
		return []byte("null"), nil
	}
	return strconv.AppendFloat(nil, float64(m), 'g', -1, 64), nil
}

// UnmarshalJSON reads a number or null.
func (m *Maybe) UnmarshalJSON(text []byte) error {
	if string(text) == "null" {
		*m = None()
		return nil
	}
	v, err := strconv.ParseFloat(string(text), 64)
	*m = Maybe(v)
	return err
}
