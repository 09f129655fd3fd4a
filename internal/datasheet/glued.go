package datasheet

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"basswright/internal/phys"
)

// likeDigits are letters that a scan or a person writes for a digit: "3O.5" is
// 30.5, or a slip of the hand, but for certain not 3 and 5.
const likeDigits = "OolIiSB"

// afterLetters tells whether a number at i hangs behind letters, "l0.5",
// "Qts.45": what stands there is no number then. "2x3.3" is a count, and a
// currency may stand so: "EUR129".
func afterLetters(s string, i int) bool {
	if digitsAt(s[i:]) == 3 && i > 2 && s[i-1] == ' ' && strings.IndexByte(likeDigits, s[i-2]) >= 0 && s[i-3] == ' ' {
		return true // "l 195": thousands by a space
	}
	front := strings.TrimRight(s[:i], "0123456789.,")
	r, n := utf8.DecodeLastRuneInString(front)
	if n == 0 || !unicode.IsLetter(r) || r == 'x' || r == '×' {
		return false
	}
	return front != s[:i] || !currencyAt(front)
}

// currencyAt tells whether a currency's three letters end a text.
func currencyAt(front string) bool {
	code := lastWord(front)
	if len(code) != 3 || strings.ToUpper(code) != code {
		return false
	}
	_, err := phys.Parse("1 "+code, phys.Price)
	return err == nil
}

// torn tells whether what is glued behind a number may be more of it: a letter
// that is no unit and looks like a digit, or letters and then digits again.
func torn(s string, f figure) bool {
	rest := s[f.to:]
	if rest == "" || f.power != "" {
		return false
	}
	point := rest[0] == '.' || rest[0] == ','
	if point {
		rest = rest[1:]
	}
	letters, behind := rest, ""
	if i := strings.IndexFunc(rest, func(r rune) bool { return !unicode.IsLetter(r) }); i >= 0 {
		letters, behind = rest[:i], rest[i:]
	}
	if letters == "" || letters == "x" || letters == "×" {
		return false
	}
	like := len(letters) <= 2 && strings.Trim(letters, likeDigits) == ""
	digits := strings.TrimLeft(behind, ".,")
	more := digitsAt(digits) > 0
	switch {
	case like && (more || letters != "l" || point):
		return true
	case like: // "4l L": a litre has no second unit
		word, _ := firstWord(strings.TrimLeft(behind, " "))
		return anyUnit(word)
	case !more:
		return point && !anyUnit(letters)
	case anyUnit(letters + behind[:len(behind)-len(digits)+digitsAt(digits)]): // in3, cm2
		return false
	}
	// "1W1m" are two amounts
	next := digits[digitsAt(digits):]
	r, _ := utf8.DecodeRuneInString(next)
	return len(digits) != len(behind) || !anyUnit(letters) || !unicode.IsLetter(r)
}

// wellMarked tells whether the marks in a number are such as numbers have:
// thousands in threes by one mark, then one decimal mark of the other sort.
// "3.3,3.5" are two numbers, or none.
func wellMarked(text string) bool {
	text = strings.TrimLeft(strings.ReplaceAll(text, "'", ""), "-+")
	if strings.Count(text, ".")+strings.Count(text, ",") < 2 {
		return true
	}
	first := text[strings.IndexAny(text, ".,")]
	groups := strings.Split(text, string(first))
	if len(groups[0]) < 1 || len(groups[0]) > 3 {
		return false
	}
	last := groups[len(groups)-1]
	if i := strings.IndexAny(last, ".,"); i >= 0 {
		if strings.ContainsAny(last[i+1:], ".,") {
			return false
		}
		groups[len(groups)-1] = last[:i]
	}
	for _, g := range groups[1:] {
		if len(g) != 3 || strings.ContainsAny(g, ".,") {
			return false
		}
	}
	return true
}
