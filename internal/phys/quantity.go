package phys

import (
	"fmt"
	"math"
	"sort"
	"strconv"
	"strings"
	"unicode"
)

// Quantity is a value as it was written.
type Quantity struct {
	SI   float64
	Step float64 // one unit in the last printed digit, SI: 0.1 Hz for "30.5 Hz"
	Text string
}

// ParseError says why a text is not the quantity wanted, and the mend.
type ParseError struct {
	Text         string
	Kind         Kind
	Reason, Mend string
}

// Error is the reason and the mend.
func (e *ParseError) Error() string {
	if e.Mend == "" {
		return e.Reason
	}
	return e.Reason + "; " + e.Mend
}

// longest is more than any quantity needs; a longer text is not looked at.
const longest = 100

// Parse reads a quantity of kind k: a number and a unit of that kind, such as
// "28 L", "0,99 ft3" or "260 10⁻⁶ m/N". Every kind but Number needs its unit;
// unit letters are case-sensitive. The error is a *ParseError.
func Parse(text string, k Kind) (Quantity, error) {
	fail := func(reason, mend string) (Quantity, error) {
		return Quantity{}, &ParseError{text, k, reason, mend}
	}
	if len(text) > longest {
		return fail("the text is too long for a quantity", "write a number and its unit, such as "+k.Example())
	}
	s := squash(text)
	n, rest, why := number(s)
	if why != "" {
		return fail(fmt.Sprintf("%q %s", text, why), "write a number and its unit, such as "+k.Example())
	}
	scale, unit := tenPower(rest)
	unit = normal(unit)
	if unit == "" && scale == 1 {
		if k == Number {
			return n.quantity(text, k, spelling{"", 1, 0}, 1)
		}
		return fail(fmt.Sprintf("%q has no unit", text), "write "+withUnits(n.text, k))
	}
	for _, u := range kinds[k].units {
		if u.text == unit {
			return n.quantity(text, k, u, scale)
		}
	}
	if k == Price && currency(unit) {
		return n.quantity(text, k, spelling{unit, 1, 0}, scale)
	}
	if k == Number {
		return fail(fmt.Sprintf("%q has a unit, but this is a pure number", text), "write "+n.text)
	}
	if other, ok := kindOf(unit); ok && other != k {
		return fail(fmt.Sprintf("%q is a %s, not a %s", text, other, k), "write "+withUnits(n.text, k))
	}
	mend := "write " + withUnits(n.text, k)
	if near := nearest(unit, k); near != "" {
		mend = fmt.Sprintf("did you mean %s %s?", n.text, near)
	}
	return fail(fmt.Sprintf("%q is not a unit of %s", strings.TrimSpace(rest), k), mend)
}

// Currency is the currency of a price as it was written: "EUR" for "64 EUR" or "64 €".
func (q Quantity) Currency() string {
	s := squash(q.Text)
	_, rest, _ := number(s)
	switch u := normal(rest); u {
	case "€":
		return "EUR"
	case "£":
		return "GBP"
	case "$":
		return "USD"
	default:
		return u
	}
}

func currency(unit string) bool {
	if len(unit) != 3 {
		return false
	}
	for _, c := range unit {
		if c < 'A' || c > 'Z' {
			return false
		}
	}
	return true
}

// withUnits is the number with each of the kind's common units: "28 L, 28 dm3 or 28 ft3".
func withUnits(n string, k Kind) string {
	var out []string
	for _, u := range k.Units() {
		out = append(out, n+" "+u)
	}
	if len(out) < 2 {
		return strings.Join(out, "")
	}
	return strings.Join(out[:len(out)-1], ", ") + " or " + out[len(out)-1]
}

// written is a number as it was written.
type written struct {
	value, step float64
	text        string
}

func (n written) quantity(text string, k Kind, u spelling, scale float64) (Quantity, error) {
	q := Quantity{SI: n.value*scale*u.factor + u.offset, Step: math.Abs(n.step * scale * u.factor), Text: text}
	if math.IsInf(q.SI, 0) || math.IsNaN(q.SI) {
		return Quantity{}, &ParseError{text, k, fmt.Sprintf("%q is too large a number", text), "write a number of ordinary size, such as " + k.Example()}
	}
	return q, nil
}

// squash turns every kind of space into one plain space and a true minus into
// a hyphen.
func squash(s string) string {
	var b strings.Builder
	space := false
	for _, r := range strings.TrimSpace(s) {
		if unicode.IsSpace(r) || r == '\u2009' || r == '\u202f' || r == '\u00a0' {
			space = true
			continue
		}
		if space {
			b.WriteByte(' ')
			space = false
		}
		if r == '\u2212' {
			r = '-'
		}
		b.WriteRune(r)
	}
	return b.String()
}

// number splits off the number at the start of s. why says what is wrong with it.
func number(s string) (n written, rest, why string) {
	i := 0
	if i < len(s) && (s[i] == '+' || s[i] == '-') {
		i++
	}
	start := i
	dots, commas, digits, decimals := 0, 0, 0, 0
scan:
	for ; i < len(s); i++ {
		switch c := s[i]; {
		case c >= '0' && c <= '9':
			digits++
			if dots+commas > 0 {
				decimals++
			}
		case c == '.':
			dots++
		case c == ',':
			commas++
		case c == '_':
			return n, "", "groups its digits with an underscore"
		default:
			break scan
		}
	}
	body := s[start:i]
	switch {
	case digits == 0:
		return n, "", "has no number in front"
	case dots+commas > 1:
		return n, "", "has more than one decimal point or comma"
	case commas == 1 && decimals == 3 && !strings.HasPrefix(body, "0,"):
		return n, "", "may mean thousands or a decimal comma: write a decimal point, and no groups"
	case strings.HasSuffix(body, ",") || strings.HasSuffix(body, "."):
		return n, "", "ends its number with a point or comma"
	}
	plain := strings.Replace(s[:i], ",", ".", 1)
	exp, length := exponent(s[i:])
	n.text = plain + s[i:i+length]
	v, err := strconv.ParseFloat(strings.TrimPrefix(n.text, "+"), 64)
	if err != nil || math.IsInf(v, 0) {
		return n, "", "is too large a number"
	}
	n.value, n.step = v, math.Pow(10, float64(exp-decimals))
	return n, strings.TrimSpace(s[i+length:]), ""
}

// exponent reads an exponent such as e-3; a lone e belongs to a unit.
func exponent(s string) (exp, length int) {
	if len(s) < 2 || s[0] != 'e' && s[0] != 'E' {
		return 0, 0
	}
	i := 1
	if s[i] == '+' || s[i] == '-' {
		i++
	}
	j := i
	for j < len(s) && s[j] >= '0' && s[j] <= '9' && j-i < 5 {
		j++
	}
	if j == i {
		return 0, 0
	}
	exp, _ = strconv.Atoi(s[1:j])
	return exp, j
}

// tenPower splits a power of ten off a unit: "10⁻⁶ m/N", "×10^-6 m/N", "x 1e-6 m/N".
func tenPower(s string) (scale float64, unit string) {
	t := strings.TrimSpace(strings.TrimLeft(s, "×x*· "))
	if strings.HasPrefix(t, "1e") || strings.HasPrefix(t, "1E") {
		if e, n := exponent(t[1:]); n > 0 && math.Abs(float64(e)) < 30 {
			return math.Pow(10, float64(e)), strings.TrimSpace(t[1+n:])
		}
	}
	if !strings.HasPrefix(t, "10") {
		return 1, s
	}
	t = t[2:]
	var digits strings.Builder
	i := 0
	for j, r := range t {
		k := strings.IndexRune("⁰¹²³⁴⁵⁶⁷⁸⁹", r)
		switch {
		case r == '⁻':
			digits.WriteByte('-')
		case k >= 0:
			digits.WriteString(strconv.Itoa(len([]rune("⁰¹²³⁴⁵⁶⁷⁸⁹"[:k]))))
		case r == '^' && j == 0:
		case (r == '-' || r == '+') && digits.Len() == 0 && strings.HasPrefix(t, "^"):
			digits.WriteRune(r)
		case r >= '0' && r <= '9' && strings.HasPrefix(t, "^"):
			digits.WriteRune(r)
		default:
			i = j
			e, err := strconv.Atoi(digits.String())
			if err != nil || e < -30 || e > 30 {
				return 1, s
			}
			return math.Pow(10, float64(e)), strings.TrimSpace(t[i:])
		}
	}
	return 1, s
}

// normal brings a unit into the form of the tables: µ as u, Ω as ohm, powers
// as plain digits, factors joined by a point, no spaces.
func normal(s string) string {
	s = strings.NewReplacer(
		"\u00b5", "u", "\u03bc", "u", "\u2126", "ohm", "\u03a9", "ohm",
		"²", "2", "³", "3", "⁴", "4", "^2", "2", "^3", "3", "^4", "4",
		"·", ".", "⋅", ".", "*", ".", "×", ".",
	).Replace(s)
	s = strings.ReplaceAll(s, " / ", "/")
	s = strings.ReplaceAll(s, " /", "/")
	s = strings.ReplaceAll(s, "/ ", "/")
	s = strings.ReplaceAll(s, ". ", ".")
	s = strings.ReplaceAll(s, " .", ".")
	words := strings.Fields(s)
	if len(words) > 1 {
		switch words[0] {
		case "cu", "sq", "mechanical", "deg":
			return strings.Join(words, "")
		}
		return strings.Join(words, ".")
	}
	return s
}

// kindOf finds the kind that a unit belongs to.
func kindOf(unit string) (Kind, bool) {
	for k := range kinds {
		for _, u := range kinds[k].units {
			if u.text == unit && unit != "" {
				return Kind(k), true
			}
		}
	}
	return 0, false
}

// nearest is the kind's unit that differs from what was typed only in the case
// of letters, or in one letter.
func nearest(unit string, k Kind) string {
	var close []string
	for _, u := range kinds[k].units {
		if strings.EqualFold(u.text, unit) {
			return strings.ReplaceAll(u.text, ".", " ")
		}
		if len(u.text) > 1 && len(unit) > 1 && oneOff(u.text, unit) {
			close = append(close, strings.ReplaceAll(u.text, ".", " "))
		}
	}
	sort.Strings(close)
	if len(close) > 0 {
		return close[0]
	}
	return ""
}

// oneOff reports whether two words differ by one letter changed, added or left out.
func oneOff(a, b string) bool {
	if len(a) > len(b) {
		a, b = b, a
	}
	if len(b)-len(a) > 1 {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return a[i:] == b[i+1:] || len(a) == len(b) && a[i+1:] == b[i+1:]
		}
	}
	return true
}
