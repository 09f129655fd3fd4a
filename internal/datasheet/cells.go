package datasheet

import (
	"encoding/csv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// quotedRow are the cells of a row as programs write it: with quotes around
// all or some of them, nil if a line is none. In a row a quote of its own, as
// inches have, would be written twice.
func quotedRow(line string) []string {
	if !strings.Contains(line, `"`) {
		return nil
	}
	for _, comma := range ";\t," {
		r := csv.NewReader(strings.NewReader(strings.TrimSpace(line)))
		r.Comma, r.FieldsPerRecord, r.TrimLeadingSpace = comma, -1, true
		if row, err := r.Read(); err == nil && len(row) > 1 {
			return row
		}
	}
	return nil
}

// cells puts spaces between the cells of a table's row: quotes around cells are
// no inches, and a comma between a letter and a digit parts no decimals. Other
// lines stay as they are.
func cells(line string) string {
	if row := quotedRow(line); row != nil {
		line = strings.Join(row, "\t")
	}
	if !strings.Contains(line, ",") {
		return line
	}
	var b strings.Builder
	for i, r := range line {
		if r == ',' && partsCells(line, i) {
			r = '\t'
		}
		b.WriteRune(r)
	}
	return b.String()
}

// partsCells tells whether the comma at i stands between two cells: not between
// two digits, and not beside a letter that stands for a digit.
func partsCells(line string, i int) bool {
	before, after := line[:i], line[i+1:]
	a, _ := utf8.DecodeLastRuneInString(before)
	b, _ := utf8.DecodeRuneInString(after)
	switch {
	case after == "" || b == ' ' || b == ',' || before == "" || a == ' ' || a == ',':
		return true
	case unicode.IsDigit(a) && unicode.IsDigit(b):
		return false
	case unicode.IsDigit(b) || b == '.': // "Fs,30.5", but not "l,5"
		return strings.Trim(lastWord(before), "0123456789"+likeDigits) != ""
	case unicode.IsDigit(a): // "30.5,Hz", but not "30,S Hz"
		unit, rest := firstWord(after)
		return len(unit) > 1 || !strings.Contains(likeDigits, unit) || rest == "" || rest[0] == ','
	}
	return true
}

func lastWord(s string) string {
	return s[strings.LastIndexFunc(s, func(r rune) bool { return !wordRune(r) })+1:]
}

func firstWord(s string) (word, rest string) {
	if i := strings.IndexFunc(s, func(r rune) bool { return !wordRune(r) }); i >= 0 {
		return s[:i], s[i:]
	}
	return s, ""
}

func wordRune(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }
