package folder

import (
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// unseen knows the signs that nobody sees, or sees as another: two names that
// differ by one look the same. The joiners and the selector of a letter's form
// have a meaning, but only behind letters and pictures that are not plain.
func unseen(r, before rune) bool {
	switch r {
	case '\u200c', '\u200d', '\ufe0e', '\ufe0f':
		return before < 0x80
	case '\u034f', '\u115f', '\u1160', '\u17b4', '\u17b5', '\u2800', '\u3164', '\uffa0', '\ufffd':
		return true
	}
	return unicode.IsControl(r) || unicode.In(r, unicode.Cf, unicode.Zl, unicode.Zp, unicode.Variation_Selector) || unicode.IsSpace(r) && r != ' '
}

func holdsUnseen(name string) bool {
	before := rune(0)
	for _, r := range name {
		if unseen(r, before) {
			return true
		}
		before = r
	}
	return false
}

// alike is what a name looks like: an é of one sign and an é of two are the
// same, and so are capitals and small letters on some systems.
func alike(name string) string {
	bare := strings.Map(func(r rune) rune {
		if unicode.In(r, unicode.Cf, unicode.Variation_Selector) {
			return -1
		}
		return r
	}, stem(name))
	return norm.NFC.String(bare)
}

// looksLike tells whether a study of the folder has a name that looks the same
// as a new one, though it is another. except is a file that is left out.
func (f *Folder) looksLike(name, except string) (bool, error) {
	names, err := f.names()
	return slices.ContainsFunc(names, func(file string) bool { return file != except && alike(file) == alike(name) }), err
}
