package phys

import (
	"math"
	"strconv"
	"strings"
)

// What stands in texts for people.
const (
	noValue   = "–"      // a value that does not exist
	minus     = "\u2212" // the true minus
	thinSpace = "\u2009"
)

// Digits writes v with sig significant digits, a true minus, and no more than
// four decimals; "–" if there is no value. Values of a million and more, and
// those that four decimals cannot show, are written with a power of ten.
func Digits(v float64, sig int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return noValue
	}
	if v == 0 {
		return Fixed(0, max(0, sig-1))
	}
	a := math.Abs(v)
	if a >= 1e6 || a < 0.5e-4 {
		return power(v, sig)
	}
	exp := int(math.Floor(math.Log10(a)))
	// rounding may carry into the next decade: 9.996 is 10.0 with three digits
	if r, _ := strconv.ParseFloat(strconv.FormatFloat(a, 'e', max(0, sig-1), 64), 64); r >= math.Pow(10, float64(exp+1)) {
		exp++
	}
	return Fixed(v, min(4, max(0, sig-1-exp)))
}

func power(v float64, sig int) string {
	s := strconv.FormatFloat(v, 'e', max(0, sig-1), 64)
	mantissa, exp, _ := strings.Cut(s, "e")
	n, _ := strconv.Atoi(exp)
	return strings.ReplaceAll(mantissa, "-", minus) + " × 10" + superscript(n)
}

func superscript(n int) string {
	const digits = "⁰¹²³⁴⁵⁶⁷⁸⁹"
	table := []rune(digits)
	var b strings.Builder
	for _, c := range strconv.Itoa(n) {
		if c == '-' {
			b.WriteRune('⁻')
		} else {
			b.WriteRune(table[c-'0'])
		}
	}
	return b.String()
}

// Fixed writes v with a number of decimals in the same manner; a zero has no sign.
func Fixed(v float64, decimals int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return noValue
	}
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Trim(s, "-0.") == "" {
		s = strings.TrimPrefix(s, "-")
	}
	return strings.Replace(s, "-", minus, 1)
}

// Show writes an SI value in the unit of the system, with three significant
// digits and a thin space before the unit.
func Show(si float64, k Kind, s System) string {
	u := k.Unit(s)
	text := Digits(u.Of(si), 3)
	if u.Name == "" || text == noValue {
		return text
	}
	return text + thinSpace + u.Name
}

// Brief writes an SI value as a person would write it who was asked for it:
// four significant digits at most, no zeros behind the point.
func Brief(si float64, k Kind, s System) string {
	u := k.Unit(s)
	text := Digits(u.Of(si), 4)
	if strings.Contains(text, ".") && !strings.Contains(text, "×") {
		text = strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
	}
	if u.Name == "" || text == noValue {
		return text
	}
	return text + thinSpace + u.Name
}
