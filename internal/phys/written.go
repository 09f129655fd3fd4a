package phys

import "strings"

// Written is a quantity in the unit that it was written in.
type Written struct {
	Number float64 // as written: 28 of "28 L"
	Step   float64 // one unit in its last digit
	Unit   Unit    // named as written: "cm2"; of a price by its code
}

// AsWritten reads a quantity as Parse does and leaves it in its own unit, for
// who wants to change the number and keep the unit. The error is a
// *ParseError.
func AsWritten(text string, k Kind) (Written, error) {
	if _, err := Parse(text, k); err != nil {
		return Written{}, err
	}
	n, u, err := read(text, k)
	if err != nil {
		return Written{}, err
	}
	name := u.name
	if k != Price {
		_, name, _ = scanNumber(strings.Join(strings.Fields(text), " "))
	}
	return Written{n.value, n.step, Unit{Name: name, Factor: u.factor, Offset: u.offset}}, nil
}
