package filter

import (
	"fmt"

	"basswright/internal/phys"
)

// Error is a filter that cannot be made as it was asked for.
type Error struct {
	Key    string // what is to blame: corner, frequency, order, family, q, gain, delay, slope, bandwidth, boost, sections or rate
	Reason string
	Mend   string
}

// Error puts the three into one line.
func (e *Error) Error() string { return fmt.Sprintf("%s: %s; %s", e.Key, e.Reason, e.Mend) }

// A span is what a value may be. The bounds are wide for sound and narrow
// enough that every product and quotient of a section stays far from what a
// float64 cannot hold.
type span struct {
	key      string
	from, to float64 // both are allowed
	kind     phys.Kind
}

// The spans of what people set.
var (
	corners    = span{"corner", 0.01, 100e3, phys.Frequency}
	places     = span{"frequency", 0.01, 100e3, phys.Frequency}
	qualities  = span{"q", 0.05, 100, phys.Number}
	equalising = span{"gain", -40, 40, phys.Level}
	gains      = span{"gain", -120, 60, phys.Level}
	delays     = span{"delay", 0, 1, phys.Time}
	bandwidths = span{"bandwidth", 0.02, 8, phys.Number}
	slopes     = span{"slope", 0.05, 2, phys.Number}
	rates      = span{"rate", 100, 768e3, phys.Frequency}
)

// holds is nil if v lies in the span.
func (s span) holds(v float64) error {
	if v >= s.from && v <= s.to {
		return nil
	}
	return &Error{
		Key:    s.key,
		Reason: show(v, s.kind) + " is out of range",
		Mend:   fmt.Sprintf("give one from %s to %s", show(s.from, s.kind), show(s.to, s.kind)),
	}
}

func show(v float64, k phys.Kind) string { return phys.Brief(v, k, phys.Metric) }

// first is the first error of a list, nil if there is none.
func first(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
