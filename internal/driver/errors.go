package driver

import "fmt"

// SheetError is a datasheet that no driver can be made from.
type SheetError struct {
	Driver string   // its name in the study
	About  []Symbol // the parameters concerned, if any
	Reason string
	Mend   string
}

// Error is the reason and the mend.
func (e *SheetError) Error() string { return fmt.Sprintf("%s: %s; %s", e.Driver, e.Reason, e.Mend) }

// GroupError is a group that cannot be built as it is described.
type GroupError struct {
	Key    string // the key of the study's group that is to blame: "wiring"
	Reason string
	Mend   string
}

// Error is the reason and the mend.
func (e *GroupError) Error() string { return fmt.Sprintf("%s: %s; %s", e.Key, e.Reason, e.Mend) }

// CompositeError is a group that no single equivalent driver stands for.
type CompositeError struct {
	Reason string
	Mend   string
}

// Error is the reason and the mend.
func (e *CompositeError) Error() string {
	return fmt.Sprintf("no single driver is equivalent to this group: %s; %s", e.Reason, e.Mend)
}
