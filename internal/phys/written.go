package phys

import "strings"

// Written is a quantity in the unit that it was written in.
type Written struct {
	Quantity
	Number float64 // as written: 28 of "28 L"
	Digit  float64 // one unit in its last digit
	Unit   Unit    // named as written: "cm2"; of a price by its code
}

// AsWritten reads a quantity as Parse does and keeps its own unit beside, for
// who wants to change the number and leave the unit. The error is a
// *ParseError.
func AsWritten(text string, k Kind) (Written, error) {
	n, u, bad := read(text, k)
	if bad != nil {
		return Written{}, bad
	}
	q, err := inSI(text, k, n, u)
	if err != nil {
		return Written{}, err
	}
	name := u.name
	if k != Price {
		_, name, _ = scanNumber(strings.Join(strings.Fields(text), " "))
	}
	return Written{q, n.value, n.step, Unit{Name: name, Factor: u.factor, Offset: u.offset}}, nil
}
