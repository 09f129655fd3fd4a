package phys

import (
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Quantity is a value as it was written.
type Quantity struct {
	SI   float64 // in the SI unit of its kind
	Step float64 // one unit in the last printed digit, SI: 0.1 Hz for "30.5 Hz"
	Text string  // as written
}

// ParseError says why a text is not the quantity that is wanted.
type ParseError struct {
	Text   string // as written
	Kind   Kind   // what was wanted
	Reason string // `"28" has no unit`
	Mend   string // "write 28 L, 28 dm3 or 0.99 ft3"

	Instead []string // "28 L", "28 dm3", "0.99 ft3": what may stand in its place, if that is known
}

// Error is the reason and the mend.
func (e *ParseError) Error() string { return e.Reason + "; " + e.Mend }

// longest is more than any quantity needs; a longer text is not looked at.
const longest = 100

// Parse reads a quantity of kind k: a number and a unit of that kind, such as
// "28 L", "0,99 ft3", "3/4 in" or "260 × 10⁻⁶ m/N". Every kind but Number
// needs its unit, a Number takes none; capital and small letters of units
// differ. SI is always finite; its sign and range are the caller's to judge.
// The error is a *ParseError.
func Parse(text string, k Kind) (Quantity, error) {
	n, u, err := read(text, k)
	if err != nil {
		return Quantity{}, err
	}
	return inSI(text, k, n, u)
}

// inSI brings a number and its unit to SI.
func inSI(text string, k Kind, n written, u unit) (Quantity, error) {
	q := Quantity{SI: n.value*u.factor + u.offset, Step: n.step * u.factor, Text: text}
	switch {
	case math.IsInf(q.SI, 0) || math.IsInf(q.Step, 0):
		return Quantity{}, refuse(text, k, "is too large a number", like(k))
	case q.Step == 0 || q.SI == 0 && n.value != 0 && u.offset == 0:
		return Quantity{}, refuse(text, k, "is too small to be told from zero", like(k))
	case k == Temperature && q.SI < absoluteZero:
		return Quantity{}, refuse(text, k, "is below absolute zero", like(k))
	}
	return q, nil
}

// Currency is the currency of a price as it was written: "EUR" for "64 EUR",
// "64 €" and "€64"; empty if the text is no price.
func (q Quantity) Currency() string {
	_, u, err := read(q.Text, Price)
	if err != nil {
		return ""
	}
	return u.name
}

// read splits a text into its number and its unit.
func read(text string, k Kind) (written, unit, *ParseError) {
	switch {
	case int(k) >= len(kindTable):
		return written{}, unit{}, refuse(text, k, "is of an unknown kind", mend{words: "name a kind that exists"})
	case len(text) > longest:
		return written{}, unit{}, refuse(text, k, "is too long for a quantity", like(k))
	case !utf8.ValidString(text):
		return written{}, unit{}, refuse(text, k, "is not UTF-8 text", like(k))
	}
	s := strings.Join(strings.Fields(text), " ")
	if k == Price {
		s = turned(s)
	}
	n, rest, bad := scanNumber(s)
	if bad != nil {
		return n, unit{}, refuse(text, k, bad.reason, mendNumber(bad.meant, rest, k))
	}
	c := canonical(rest)
	if c == "" && k == Number {
		return n, unit{factor: 1}, nil
	}
	if u, ok := k.find(c); ok {
		return n, u, nil
	}
	return n, unit{}, mendUnit(text, n, rest, c, k)
}

// refuse makes the error; why follows the quoted text.
func refuse(text string, k Kind, why string, m mend) *ParseError {
	return &ParseError{Text: text, Kind: k, Reason: quoted(text) + " " + why, Mend: m.words, Instead: m.instead}
}

// quoted is a text as it may stand in a message: short, on one line, without
// control characters.
func quoted(text string) string {
	const most = 40
	short := strings.ToValidUTF8(text, "\ufffd")
	if runes := []rune(short); len(runes) > most {
		short = string(runes[:most-1]) + "…"
	}
	mark := `"`
	if strings.Contains(short, mark) {
		mark = "'"
	}
	short = strings.Map(func(r rune) rune {
		if r != ' ' && !strconv.IsGraphic(r) {
			return '\ufffd'
		}
		return r
	}, short)
	return mark + short + mark
}
