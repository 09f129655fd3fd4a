package datasheet

import (
	"strings"
)

// What a line can be of a statement that stands on lines of its own, as the
// text of a printed sheet is copied: name, value, unit.
type role int

const (
	otherLine role = iota
	nameLine
	valueLine
	unitLine
)

// roleOf is what a line can be: a name and nothing else, one number with or
// without its unit, or a unit.
func roleOf(text string) role {
	text = strings.TrimSpace(text)
	words := wordsOf(text)
	figures := figuresOf(text, nil)
	all := func(is func(w string) bool) bool {
		for _, w := range words {
			if !is(text[w.from:w.to]) {
				return false
			}
		}
		return true
	}
	switch {
	case text == "" || len(text) > mostLetter/2:
		return otherLine
	case len(figures) == 0 && !strings.ContainsAny(text, "0123456789") && len(text) < 24 && unitAlone(text):
		return unitLine
	case len(figures) > 0 && startsNumber(text, len(text)-len(strings.TrimLeft(text, " ±+-/"))) &&
		all(func(w string) bool { return anyUnit(w) || has(fillers, strings.ToLower(w)) }):
		return valueLine
	case len(figures) == 0 && len(words) > 0 && len(labels(words)) > 0:
		p := &part{text: text}
		name, _ := p.label(words)
		if left, other := p.leftover(words, name); left == 0 && other == "" {
			return nameLine
		}
	}
	return otherLine
}

// unitAlone tells whether a text is a unit, with brackets around it or without.
// What names a parameter is none: a capital Z stands for an impedance.
func unitAlone(text string) bool {
	return anyUnit(strings.TrimSpace(strings.Trim(text, "()[]{}"))) && len(labels(wordsOf(text))) == 0
}

// A printed line with its number in the text, from 1.
type printed struct {
	number int
	text   string
}

// joined takes a name, the value below it and the unit below that as one line.
// It does so only where lines alternate: below a column of names stands a
// column of values, and which is whose cannot be told.
func joined(lines []printed) []printed {
	roles := make([]role, len(lines))
	for i, l := range lines {
		roles[i] = roleOf(clean(l.text))
	}
	at := func(i int) role {
		if i < 0 || i >= len(roles) {
			return otherLine
		}
		return roles[i]
	}
	var out []printed
	for i := 0; i < len(lines); i++ {
		l := lines[i]
		if at(i) == nameLine && at(i-1) != nameLine && at(i+1) == valueLine {
			n := 2
			if at(i+2) == unitLine {
				n = 3
			}
			if next := at(i + n); next != valueLine && next != unitLine {
				for _, more := range lines[i+1 : i+n] {
					l.text += "  " + strings.TrimSpace(more.text)
				}
				i += n - 1
			}
		}
		out = append(out, l)
	}
	return out
}
