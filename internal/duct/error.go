package duct

import "fmt"

// Error is a duct that cannot be made as it was asked for.
type Error struct {
	Key    string // what is to blame: length, area, flare, points, section, fill or resistivity
	Reason string
	Mend   string
}

// Error puts the three into one line.
func (e *Error) Error() string { return fmt.Sprintf("%s: %s; %s", e.Key, e.Reason, e.Mend) }

func fault(key, mend, format string, args ...any) error {
	return &Error{key, fmt.Sprintf(format, args...), mend}
}
