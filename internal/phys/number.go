package phys

import (
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// written is a number as it was written: its value, one unit in its last
// digit, and its text with a decimal point.
type written struct {
	value, step float64
	text        string
}

// fault says what is wrong with a number, in words that follow the quoted
// text, and the numbers that may have been meant.
type fault struct {
	reason string
	meant  []string
}

// dropMarks leaves the digits of a number.
var dropMarks = strings.NewReplacer(".", "", ",", "", "_", "")

var noNumber = &fault{reason: "has no number in front"}

// scanNumber reads the number at the start of s and gives back what follows.
// It takes a decimal point or comma, an exponent ("e-3"), a power of ten
// ("× 10⁻⁶", "10^-6", "x 1e-6") and fractions ("3/4", "1 1/2").
func scanNumber(s string) (n written, rest string, bad *fault) {
	sign, s := cutSign(s)
	end := 0
	for end < len(s) && (isDigit(s[end]) || strings.IndexByte(".,_", s[end]) >= 0) {
		end++
	}
	body, rest := s[:end], s[end:]
	switch {
	case !strings.ContainsAny(body, "0123456789"):
		return n, rest, wordFault(s)
	case body == "0" && len(rest) > 1 && (rest[0] == 'x' || rest[0] == 'X') && isHex(rest[1]):
		return n, rest, &fault{reason: "is a hexadecimal number"}
	}
	mantissa, meant, why := decimal(body)
	if why != "" {
		for i := range meant {
			meant[i] = sign + meant[i]
		}
		return n, strings.TrimSpace(rest), &fault{why, meant}
	}
	if !strings.Contains(mantissa, ".") {
		if n, rest, bad, ok := fraction(sign, mantissa, rest); ok {
			return n, rest, bad
		}
	}
	power, rest := exponent(rest)
	if mantissa == "10" && sign == "" {
		// "10⁻⁶ m/N" alone is one of them
		if p, after, ok := raised(rest, false); ok {
			mantissa, power, rest = "1", power+p, after
		}
	}
	p, rest := tenPower(rest)
	return assemble(sign, mantissa, power+p, rest)
}

// assemble makes the number from its parts: one conversion, rounded once.
func assemble(sign, mantissa string, power int, rest string) (written, string, *fault) {
	_, decimals, _ := strings.Cut(mantissa, ".")
	text := sign + mantissa
	if power != 0 {
		text += "e" + strconv.Itoa(power)
	}
	value, err := strconv.ParseFloat(text, 64)
	step := math.Pow10(power - len(decimals))
	switch {
	case err != nil || math.IsInf(step, 0):
		return written{}, rest, &fault{reason: "is too large a number"}
	case step == 0 || math.Abs(value) < 1e-300 && strings.ContainsAny(mantissa, "123456789"):
		return written{}, rest, &fault{reason: "is too small to be told from zero"}
	}
	return written{value, step, text}, strings.TrimSpace(rest), nil
}

// decimal brings digits with points, commas and underscores to a plain
// decimal number. A comma that may group thousands is refused: guessing
// would be wrong by a factor of a thousand.
func decimal(body string) (plain string, meant []string, why string) {
	points, commas := strings.Count(body, "."), strings.Count(body, ",")
	last := strings.LastIndexAny(body, ".,")
	switch {
	case strings.Contains(body, "_"):
		return "", []string{strings.ReplaceAll(strings.ReplaceAll(body, "_", ""), ",", "")}, "groups its digits with underscores"
	case points+commas == 0:
		return body, nil, ""
	case last == len(body)-1:
		return "", []string{dropMarks.Replace(body)}, "ends its number with a point or comma"
	case points > 0 && commas > 0:
		if strings.Count(body, body[last:last+1]) == 1 {
			meant = []string{dropMarks.Replace(body[:last]) + "." + body[last+1:]}
		}
		return "", meant, "mixes points and commas"
	case points+commas > 1:
		return "", []string{dropMarks.Replace(body)}, "groups its digits"
	case commas == 1 && last >= 1 && last <= 3 && body[0] != '0' && len(body)-last == 4:
		return "", []string{body[:last] + "." + body[last+1:], body[:last] + body[last+1:]},
			"may mean a decimal comma or thousands"
	case last == 0:
		return "0." + body[1:], nil, ""
	}
	return body[:last] + "." + body[last+1:], nil, ""
}

// wordFault tells a number that is no number from none at all.
func wordFault(s string) *fault {
	low := strings.ToLower(s)
	if strings.HasPrefix(low, "inf") || strings.HasPrefix(low, "nan") || strings.HasPrefix(s, "∞") {
		return &fault{reason: "is not a finite number"}
	}
	return noNumber
}

// fraction reads "3/4" or "1 1/2", as boards are sold by the inch. ok says
// that there is a fraction, be it good or bad.
func fraction(sign, whole, rest string) (n written, after string, bad *fault, ok bool) {
	over := whole
	spaced := strings.TrimLeft(rest, " ")
	top := digits(spaced)
	if top > 0 && len(spaced) < len(rest) && strings.HasPrefix(spaced[top:], "/") {
		over, rest = spaced[:top], spaced[top:]
	} else {
		whole = "0"
	}
	if !strings.HasPrefix(rest, "/") {
		return n, rest, nil, false
	}
	length := digits(rest[1:])
	if length == 0 {
		return n, rest, nil, false
	}
	under := rest[1 : 1+length]
	after = strings.TrimSpace(rest[1+length:])
	if len(whole) > 9 || len(over) > 9 || len(under) > 9 || strings.Trim(under, "0") == "" {
		return n, after, &fault{reason: "has a fraction that cannot be worked out"}, true
	}
	w, _ := strconv.ParseFloat(whole, 64)
	a, _ := strconv.ParseFloat(over, 64)
	b, _ := strconv.ParseFloat(under, 64)
	v := w + a/b
	if sign == "-" {
		v = -v
	}
	return written{v, 1 / b, strconv.FormatFloat(v, 'f', -1, 64)}, after, nil, true
}

// exponent reads "e-3" from the front of s; a lone e belongs to a unit.
func exponent(s string) (power int, rest string) {
	if s == "" || s[0] != 'e' && s[0] != 'E' {
		return 0, s
	}
	sign, t := cutSign(s[1:])
	length := digits(t)
	if length == 0 {
		return 0, s
	}
	return atoi(sign, t[:length]), t[length:]
}

// tenPower reads a power of ten that stands between a number and its unit:
// " 10⁻⁶ m/N", "×10^-6 m/N", " x 1e-6 m/N".
func tenPower(s string) (power int, rest string) {
	t := strings.TrimLeft(s, " ")
	times := false
	for _, sign := range []string{"×", "·", "⋅", "*", "x"} {
		if after, ok := strings.CutPrefix(t, sign); ok {
			t, times = strings.TrimLeft(after, " "), true
			break
		}
	}
	if !times && len(t) == len(s) {
		return 0, s // glued to the number it would be digits of it
	}
	if after, ok := strings.CutPrefix(t, "10"); ok {
		if p, rest, ok := raised(after, times); ok {
			return p, rest
		}
	}
	if after, ok := strings.CutPrefix(t, "1"); ok {
		if p, rest := exponent(after); len(rest) < len(after) {
			return p, rest
		}
	}
	return 0, s
}

// raised reads an exponent written with a caret or in raised digits; after
// "×10" also one that lost both on the way ("×10-6").
func raised(s string, flattened bool) (power int, rest string, ok bool) {
	if t, ok := strings.CutPrefix(s, "^"); ok {
		sign, t := cutSign(t)
		length := digits(t)
		return atoi(sign, t[:length]), t[length:], length > 0
	}
	if sign, t := cutSign(s); flattened && sign == "-" {
		length := digits(t)
		return atoi(sign, t[:length]), t[length:], length > 0
	}
	sign, t := "", s
	if after, ok := strings.CutPrefix(t, "\u207b"); ok {
		sign, t = "-", after
	} else if after, ok := strings.CutPrefix(t, "\u207a"); ok {
		t = after
	}
	var plain []byte
	for t != "" {
		r, size := utf8.DecodeRuneInString(t)
		d := superDigit(r)
		if d < 0 {
			break
		}
		plain = append(plain, byte('0'+d))
		t = t[size:]
	}
	return atoi(sign, string(plain)), t, len(plain) > 0
}

// cutSign takes a sign off the front of s: "-" for either minus, "" for none or plus.
func cutSign(s string) (sign, rest string) {
	if rest, ok := strings.CutPrefix(s, "-"); ok {
		return "-", rest
	}
	if rest, ok := strings.CutPrefix(s, minus); ok {
		return "-", rest
	}
	return "", strings.TrimPrefix(s, "+")
}

// atoi is the value of decimal digits, held at ±99999: no number is that large.
func atoi(sign, plain string) int {
	v := 0
	for i := range len(plain) {
		v = min(10*v+int(plain[i]-'0'), 99999)
	}
	if sign == "-" {
		return -v
	}
	return v
}

// digits is the number of decimal digits at the front of s.
func digits(s string) int {
	n := 0
	for n < len(s) && isDigit(s[n]) {
		n++
	}
	return n
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

func isHex(c byte) bool { return isDigit(c) || c|0x20 >= 'a' && c|0x20 <= 'f' }

// superDigit is the value of a raised digit, −1 if r is none.
func superDigit(r rune) int {
	switch {
	case r == '\u00b9':
		return 1
	case r == '\u00b2' || r == '\u00b3':
		return int(r-'\u00b2') + 2
	case r == '\u2070' || r >= '\u2074' && r <= '\u2079':
		return int(r - '\u2070')
	}
	return -1
}
