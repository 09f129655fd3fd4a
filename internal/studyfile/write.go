package studyfile

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Quoted is a text as Change.Value wants it where the text itself begins and
// ends with quotes: any text comes back as it was.
func Quoted(text string) string { return doubleQuoted(text) }

// wording says how a text is to be written.
type wording struct {
	style   style // of what it replaces: quotes stay
	inFlow  bool  // between brackets
	numeric bool  // it is a number, and may stand as one
	careful bool  // in quotes, whatever it is
}

// written is a text as a scalar on one line.
func (w wording) written(text string) string {
	switch {
	case w.careful || w.style == styleDouble || !printable(text):
		return doubleQuoted(text)
	case w.style == styleSingle:
		return "'" + strings.ReplaceAll(text, "'", "''") + "'"
	case plain(text, w.inFlow) && (w.numeric || !other(text)):
		return text
	}
	return doubleQuoted(text)
}

// plain tells whether a text may stand without quotes. It allows what studies
// are made of and nothing doubtful.
func plain(text string, inFlow bool) bool {
	if text == "" || text[0] == ' ' || text[len(text)-1] == ' ' || isNull(text) || text == "<<" || !printable(text) {
		return false
	}
	first, n := utf8.DecodeRuneInString(text)
	switch {
	case strings.ContainsRune("-+.", first): // "-3 dB", but not "- 3" or "---"
		next, _ := utf8.DecodeRuneInString(text[n:])
		if !unicode.IsLetter(next) && !unicode.IsDigit(next) && next != '.' || strings.HasPrefix(text, "...") {
			return false
		}
	case !unicode.IsLetter(first) && !unicode.IsDigit(first) && !strings.ContainsRune("€$£−½¼¾±(/_", first):
		return false
	}
	for i, r := range text {
		switch r {
		case ':':
			if inFlow || i+1 == len(text) || text[i+1] == ' ' {
				return false
			}
		case '#':
			if text[i-1] == ' ' {
				return false
			}
		case ',', '[', ']', '{', '}':
			if inFlow {
				return false
			}
		case '\u00a0', '\u3000', '\u2028', '\u2029', '\u0085', '\ufeff':
			return false
		}
	}
	return true
}

func isNull(text string) bool {
	switch text {
	case "~", "null", "Null", "NULL":
		return true
	}
	return false
}

// other tells whether YAML, of one version or another, takes a plain text for
// something else than a text: yes, no, numbers, dates.
func other(text string) bool {
	switch strings.ToLower(text) {
	case "true", "false", "yes", "no", "on", "off", "y", "n", ".inf", "-.inf", "+.inf", ".nan":
		return true
	}
	first := strings.TrimLeft(text, "+-.")
	if first == "" || first[0] < '0' || first[0] > '9' {
		return false
	}
	for _, c := range text { // 12, 1_000, 0x1F, 1e3, 2031-05-01, 12:30
		if !(c >= '0' && c <= '9' || c >= 'a' && c <= 'f' || c >= 'A' && c <= 'F' || strings.ContainsRune("xXoO+-._:TZ ", c)) {
			return false
		}
	}
	return true
}

// printable tells whether a text can stand as it is on one line.
func printable(text string) bool {
	for _, r := range text {
		if !unicode.IsGraphic(r) || r == '\u2028' || r == '\u2029' || r == utf8.RuneError {
			return false
		}
	}
	return true
}

func doubleQuoted(text string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range text {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r == '\n':
			b.WriteString(`\n`)
		case r == '\t':
			b.WriteString(`\t`)
		case unicode.IsGraphic(r) && r != '\u2028' && r != '\u2029' && r != '\u00a0':
			b.WriteRune(r)
		case r > 0xffff:
			fmt.Fprintf(&b, `\U%08X`, r)
		default:
			fmt.Fprintf(&b, `\u%04X`, r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

// lettered is a text as lines below | or |-; ok tells whether that can be
// without a doubt: no line is blank in front or behind, none is only blank.
func lettered(text string) (head string, lines []string, ok bool) {
	head = "|-"
	if body, ends := strings.CutSuffix(text, "\n"); ends {
		head, text = "|", body
	}
	lines = strings.Split(text, "\n")
	if strings.HasPrefix(lines[0], " ") || lines[0] == "" || lines[len(lines)-1] == "" {
		return "", nil, false
	}
	for _, l := range lines {
		if !printable(l) || strings.HasSuffix(l, " ") {
			return "", nil, false
		}
	}
	return head, lines, true
}

// canon writes values in one form, on one line: what Field.Text shows of a
// list or map and what Change.Was is held against. In buf every spot finds
// its own text, so that the texts of all places cost one.
type canon struct{ buf strings.Builder }

func (c *canon) write(s *spot) {
	from := c.buf.Len()
	t := s.self()
	switch t.shape {
	case shapeNone:
		c.buf.WriteString("null")
	case shapeScalar:
		c.scalar(t.text, t.style == stylePlain)
	case shapeList:
		c.buf.WriteByte('[')
		for i := range t.parts {
			if i > 0 {
				c.buf.WriteString(", ")
			}
			c.write(t.parts[i].value)
		}
		c.buf.WriteByte(']')
	case shapeMap:
		c.buf.WriteByte('{')
		for i := range t.parts {
			p := &t.parts[i]
			if i > 0 {
				c.buf.WriteString(", ")
			}
			c.scalar(p.key, !p.keyQuoted)
			c.buf.WriteString(": ")
			c.write(p.value)
		}
		c.buf.WriteByte('}')
	}
	s.shown = [2]int{from, c.buf.Len()}
}

func (c *canon) scalar(text string, wasPlain bool) {
	c.buf.WriteString(wording{inFlow: true, numeric: wasPlain}.written(text))
}

// text is the canonical text of a value that was written before.
func (c *canon) text(s *spot) string {
	switch t := s.self(); t.shape {
	case shapeNone:
		return ""
	case shapeScalar:
		return t.text
	}
	return c.buf.String()[s.shown[0]:s.shown[1]]
}

// flowText is a value on one line, to be put between brackets or behind a key.
func flowText(s *spot) string {
	var c canon
	c.write(s)
	return c.buf.String()
}

// canonical is the text of a value as people are shown it; "" of what is
// absent or empty.
func canonical(s *spot) string {
	if s == nil {
		return ""
	}
	var c canon
	if s.self().shape == shapeList || s.self().shape == shapeMap {
		c.write(s)
	}
	return c.text(s)
}
