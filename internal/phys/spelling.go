package phys

import (
	"strings"
	"unicode"
)

// canonical brings a unit as it was typed into the form of the tables: one
// middle dot between factors, plain digits for powers, one sign for ohm and
// for micro, "/" for a negative power ("N s m⁻¹" is "N·s/m").
func canonical(typed string) string {
	var b strings.Builder
	separated := false
	for _, r := range typed {
		switch {
		case unicode.IsSpace(r) || strings.ContainsRune(".·⋅∙•*×\u200b", r):
			separated = b.Len() > 0
			continue
		case r == '^':
			continue
		case r == '\u2215' || r == '\u2044':
			r = '/'
		case r == '\u2126':
			r = '\u03a9'
		case r == '\u03bc':
			r = '\u00b5'
		case r == '\u00ba':
			r = '°'
		case r == '\u207b' || r == '\u2212':
			r = '-'
		case superDigit(r) >= 0:
			r = rune('0' + superDigit(r))
		}
		if text := b.String(); separated && r != '/' && !strings.HasSuffix(text, "/") && !strings.HasSuffix(text, "°") {
			b.WriteRune('·')
		}
		separated = false
		b.WriteRune(r)
	}
	return slashed(b.String())
}

// slashed writes a last factor of negative power as a divisor.
func slashed(c string) string {
	at := strings.LastIndex(c, "·")
	if at < 0 || strings.Contains(c, "/") {
		return c
	}
	base, power, ok := strings.Cut(c[at+len("·"):], "-")
	switch {
	case !ok || base == "" || len(power) != 1 || !isDigit(power[0]):
		return c
	case power == "1":
		power = ""
	}
	return c[:at] + "/" + base + power
}

// find is the kind's unit of that canonical spelling.
func (k Kind) find(c string) (unit, bool) {
	if c == "" || int(k) >= len(kindTable) {
		return unit{}, false
	}
	if rest, ok := strings.CutPrefix(c, "u"); ok {
		c = "µ" + rest
	}
	for _, u := range kindTable[k].units {
		if spelt(u.name, c) {
			return u, true
		}
	}
	if k == Price && isCurrency(c) {
		return unit{name: c, factor: 1}, true
	}
	return unit{}, false
}

// spelt says whether c is the unit's name, its middle dots being optional.
func spelt(name, c string) bool {
	if name == c {
		return true
	}
	for {
		head, tail, more := strings.Cut(name, "·")
		after, ok := strings.CutPrefix(c, head)
		if !ok || !more {
			return ok && after == ""
		}
		c, name = strings.TrimPrefix(after, "·"), tail
	}
}

// kindOf is the first kind that has a unit of that spelling. Prices are left
// out: any three capital letters would be one.
func kindOf(c string) (Kind, bool) {
	for k := range Kind(len(kindTable)) {
		if k == Price {
			continue
		}
		if _, ok := k.find(c); ok {
			return k, true
		}
	}
	return Number, false
}

// isCurrency says whether c has the form of an ISO 4217 code.
func isCurrency(c string) bool {
	return len(c) == 3 && strings.Trim(c, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") == ""
}

// signOf is the currency that a sign at either end of a price stands for.
func signOf(sign string) string {
	switch sign {
	case "€":
		return "EUR"
	case "$":
		return "USD"
	case "£":
		return "GBP"
	}
	return sign
}

// turned puts a currency that stands in front of a price behind it, and
// writes signs as codes: "€ 400" and "400 €" are "400 EUR".
func turned(s string) string {
	front := len(s) - len(strings.TrimLeft(s, "€$£ABCDEFGHIJKLMNOPQRSTUVWXYZ"))
	if code := signOf(s[:front]); isCurrency(code) {
		return strings.TrimSpace(s[front:]) + " " + code
	}
	for _, sign := range []string{"€", "$", "£"} {
		if head, ok := strings.CutSuffix(s, sign); ok {
			return strings.TrimSpace(head) + " " + signOf(sign)
		}
	}
	return s
}

// Has tells whether a text is a unit of the kind, in any spelling that Parse
// reads. A price has none of its own: its currency may stand at either end.
func (k Kind) Has(unit string) bool {
	_, ok := k.find(canonical(strings.Join(strings.Fields(unit), " ")))
	return ok && k != Price
}
