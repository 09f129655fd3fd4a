package datasheet

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"basswright/internal/phys"
)

// clean brings a printed line to plain spaces and signs: rows of dots, table
// rules and odd spaces become spaces, raised and lowered letters plain ones.
// Between columns it leaves two spaces, because one may group digits.
func clean(line string) string {
	line = cells(line)
	var b strings.Builder
	for i := 0; i < len(line); {
		if n := leader(line[i:]); n > 0 {
			b.WriteString("  ")
			i += n
			continue
		}
		r, n := utf8.DecodeRuneInString(line[i:])
		i += n
		switch {
		case r == ' ' || r == '\u00a0' || r == '\u2009' || r == '\u202f' || r == '\u2007':
			b.WriteByte(' ')
		case unicode.IsSpace(r) || unicode.IsControl(r) || strings.ContainsRune("|¦│┃=;\ufffd", r):
			b.WriteString("  ")
		case strings.ContainsRune("\u200b\u00ad\ufeff", r):
		case strings.ContainsRune("−–‐\u2011", r):
			b.WriteByte('-')
		case strings.ContainsRune("øØ⌀", r):
			b.WriteByte(' ')
		case r >= '０' && r <= '９':
			b.WriteRune('0' + r - '０')
		case r >= '₀' && r <= '₉':
			b.WriteRune('0' + r - '₀')
		default:
			b.WriteRune(raised(r))
		}
	}
	return b.String()
}

// leader is the length of a row of dots that leads from a name to its value.
func leader(s string) int {
	n := len(s) - len(strings.TrimLeft(s, ".…·"))
	if n == 1 || n == len("·") && strings.HasPrefix(s, "·") {
		return 0
	}
	return n
}

// raised is the plain letter of a lowered one.
func raised(r rune) rune {
	const pairs = "ₐaₑeₒoₓxₕhₖkₗlₘmₙnₚpₛsₜt"
	if i := strings.IndexRune(pairs, r); i >= 0 && r > unicode.MaxLatin1 {
		return rune(pairs[i+utf8.RuneLen(r)])
	}
	return r
}

// A word is a run of letters, or of letters and digits, in lower case.
type word struct {
	text     string
	from, to int
}

// wordsOf are the words of a cleaned line. "F_s" and "f(s)" are one word.
func wordsOf(s string) []word {
	var out []word
	for i := 0; i < len(s); {
		r, n := utf8.DecodeRuneInString(s[i:])
		if !unicode.IsLetter(r) {
			if isDigit(s[i]) { // digits with what is glued to them: "2x", "1khz" are no names
				for i < len(s) && (isDigit(s[i]) || s[i] == '.' || s[i] == ',') {
					i++
				}
				continue
			}
			i += n
			continue
		}
		from := i
		var b strings.Builder
		for i < len(s) {
			r, n := utf8.DecodeRuneInString(s[i:])
			joins := r == '_' && i+1 < len(s) && unicode.IsLetter(rune(s[i+1]))
			if !unicode.IsLetter(r) && !unicode.IsDigit(r) && !joins {
				break
			}
			if !joins {
				b.WriteRune(unicode.ToLower(r))
			}
			i += n
		}
		out = append(out, word{b.String(), from, i})
	}
	return out
}

// A figure is a number as printed, with where it stands.
type figure struct {
	from, to int
	text     string // sign and digits with their marks, without spaces
	power    string // "e-6", of a power of ten behind it
	plus     bool   // ± in front
	raw      string // as printed
}

// figuresOf are the numbers of a cleaned text outside of the skipped spans.
func figuresOf(s string, skip [][2]int) []figure {
	var out []figure
	for i := 0; i < len(s); {
		if to := inside(skip, i); to > i {
			i = to
			continue
		}
		if !startsNumber(s, i) {
			_, n := utf8.DecodeRuneInString(s[i:])
			i += n
			continue
		}
		f := figureAt(s, i)
		i = f.to
		if torn(s, f) || !wellMarked(f.text) {
			continue
		}
		out = append(out, f)
	}
	return out
}

func inside(spans [][2]int, i int) int {
	for _, sp := range spans {
		if i >= sp[0] && i < sp[1] {
			return sp[1]
		}
	}
	return -1
}

// startsNumber tells whether a number begins at i: a digit, or a mark before a
// digit, that is not part of a word or unit.
func startsNumber(s string, i int) bool {
	if !isDigit(s[i]) && (s[i] != '.' && s[i] != ',' || i+1 >= len(s) || !isDigit(s[i+1])) {
		return false
	}
	before, _ := utf8.DecodeLastRuneInString(s[:i])
	return i == 0 || !afterLetters(s, i) && !unicode.IsDigit(before) && before != '^' && before != '_'
}

func figureAt(s string, i int) figure {
	f := figure{from: i}
	if i > 0 && (s[i-1] == '-' || s[i-1] == '+') && (i == 1 || strings.IndexByte(" ([:/", s[i-2]) >= 0) {
		if s[i-1] == '-' {
			f.text = "-"
		}
		f.from = i - 1
	}
	front := strings.TrimRight(s[:f.from], " \u00a0")
	f.plus = strings.HasSuffix(front, "±") || strings.HasSuffix(front, "+/-") || strings.HasSuffix(s[:i], "+/-")
	j, run := i, 0 // run: digits since the last mark
	for j < len(s) {
		if isDigit(s[j]) {
			f.text += s[j : j+1]
			j++
			run++
			continue
		}
		if (s[j] == '.' || s[j] == ',') && j+1 < len(s) && isDigit(s[j+1]) {
			f.text += s[j : j+1]
			j++
			run = 0
			continue
		}
		n := grouping(s, j, run, f.text)
		if n == 0 {
			break
		}
		f.text += "'" // grouped for certain
		j += n
		run = 0
	}
	j = fractionAt(s, &f, j)
	f.power, f.to = powerAt(s, j)
	f.raw = s[i:f.to]
	return f
}

// grouping is the length of a mark between thousands at j, 0 if there is none:
// an apostrophe or one space between digits in threes.
func grouping(s string, j, run int, before string) int {
	n := 0
	for _, mark := range []string{"'", "’", " "} {
		if strings.HasPrefix(s[j:], mark) {
			n = len(mark)
		}
	}
	grouped := strings.Contains(before, "'")
	if n == 0 || strings.ContainsAny(before, ".,") || run > 3 || run == 0 || grouped && run != 3 || strings.TrimLeft(before, "-") == "0" {
		return 0
	}
	three := s[j+n:]
	if digitsAt(three) != 3 {
		return 0
	}
	return n
}

// digitsAt is the number of digits at the front of s.
func digitsAt(s string) int { return len(s) - len(strings.TrimLeft(s, "0123456789")) }

// fractionAt reads "10 1/2" and "3/4", as the parts of an inch are printed.
func fractionAt(s string, f *figure, j int) int {
	if strings.ContainsAny(f.text, ".,'") {
		return j
	}
	for _, part := range []string{"1/2", "1/4", "3/4", "1/8", "3/8", "5/8", "7/8", "1/16", "3/16", "5/16", "7/16", "9/16", "11/16", "13/16", "15/16"} {
		head, tail, _ := strings.Cut(part, "/")
		end := func(k int) bool { return k >= len(s) || !isDigit(s[k]) }
		if rest := "/" + tail; f.text == head && strings.HasPrefix(s[j:], rest) && end(j+len(rest)) {
			f.text = part
			return j + len(rest)
		}
		for _, mark := range []string{" ", "-"} { // 5 9/16, 5-9/16
			if rest := mark + part; strings.HasPrefix(s[j:], rest) && end(j+len(rest)) {
				f.text += " " + part
				return j + len(rest)
			}
		}
	}
	return j
}

// powerAt reads a power of ten behind a number: "e-3", "× 10⁻⁶", "10^-6".
func powerAt(s string, j int) (power string, to int) {
	if j < len(s) && (s[j] == 'e' || s[j] == 'E') {
		k := j + 1
		if k < len(s) && (s[k] == '-' || s[k] == '+') {
			k++
		}
		start := k
		for k < len(s) && isDigit(s[k]) {
			k++
		}
		if k > start && k-start <= 3 {
			return "e" + strings.TrimPrefix(s[j+1:k], "+"), k
		}
	}
	text := s[j:]
	if end := strings.IndexFunc(text, func(r rune) bool {
		return !strings.ContainsRune(" ×x*·10^-23456789⁻⁺⁰¹²³⁴⁵⁶⁷⁸⁹", r)
	}); end >= 0 {
		text = text[:end]
	}
	for len(text) > 3 && len(text) < 40 {
		if strings.Contains(text, "10") && strings.ContainsAny(text, "×*·^⁻x") && !strings.HasSuffix(text, " ") {
			if e := tens(text); e != "" {
				return e, j + len(text)
			}
		}
		_, n := utf8.DecodeLastRuneInString(text)
		text = text[:len(text)-n]
	}
	return "", j
}

// tens is a power of ten as an exponent: "e-6" of " × 10⁻⁶". What reads
// quantities reads it, so that there is one reader of powers.
func tens(text string) string {
	q, err := phys.Parse("1 "+strings.TrimSpace(text), phys.Number)
	for e := -12; e <= 12; e++ {
		if w, _ := phys.Parse("1e"+strconv.Itoa(e), phys.Number); err == nil && w.SI == q.SI && e != 0 {
			return "e" + strconv.Itoa(e)
		}
	}
	return ""
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }
