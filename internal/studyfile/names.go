package studyfile

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// NameFault says what is wrong with the name of an entry of a study, and a name
// in its place; empty if nothing is. noun is what is named: "driver", "candidate".
func NameFault(name, noun string) (why, mend string) {
	if why = badName(name, noun); why == "" {
		return "", ""
	}
	return shown(name) + " " + why, "use lower-case letters, digits, - and _, such as " + nameFrom(name, noun)
}

// badEntry refuses a name that a study does not take.
func (e *editor) badEntry(name, noun string) *EditError {
	if why, mend := NameFault(name, noun); why != "" {
		return e.refuse("cannot be named so: "+why, mend)
	}
	return nil
}

// newEntries checks the names that a set would add: what is written must not
// break the study.
func (e *editor) newEntries() *EditError {
	t := e.target
	for i, st := range t.rest {
		if f := t.forms[len(t.at)+i]; f != nil && f.what == aRegister && st.item < 0 {
			if err := e.badEntry(st.key, f.noun); err != nil {
				return err
			}
		}
	}
	return nil
}

// twoLetters are letters that are written with two where the plain alphabet has
// to do; what else has a mark loses it.
var twoLetters = map[rune]string{
	'ä': "ae", 'ö': "oe", 'ü': "ue", 'ß': "ss", 'å': "aa", 'ø': "oe", 'æ': "ae", 'œ': "oe", 'ð': "d", 'þ': "th", 'đ': "d", 'ł': "l", 'ı': "i",
}

// nameFrom makes a good name from a bad one.
func nameFrom(s, noun string) string {
	var b strings.Builder
	write := func(text string) {
		for _, c := range text {
			switch {
			case b.Len() >= longestKey:
			case c >= 'a' && c <= 'z', c >= '0' && c <= '9':
				b.WriteRune(c)
			}
		}
	}
	for _, c := range strings.Map(unicode.ToLower, norm.NFC.String(s)) {
		switch two, ok := twoLetters[c]; {
		case ok:
			write(two)
		case (c == ' ' || c == '-' || c == '_') && b.Len() > 0 && b.Len() < longestKey:
			b.WriteByte('-')
		default:
			write(norm.NFKD.String(string(c)))
		}
	}
	if name := strings.Trim(b.String(), "-"); name != "" {
		return name
	}
	return noun + "-1"
}
