package studyfile

import (
	"slices"
	"strings"
)

// set writes a value where one stands, or adds it.
func (e *editor) set() (*doc, *EditError) {
	refused := e.newEntries()
	if refused != nil {
		return nil, refused
	}
	for _, careful := range []bool{false, true} { // in quotes, if the reader takes the plain text for something else
		v, err := e.draft(careful)
		if err != nil {
			return nil, err
		}
		old := e.target.value()
		if old != nil && same(old, v.means) {
			return e.doc, nil
		}
		t := e.target
		var cuts []cut
		var want *spot
		switch {
		case old != nil:
			cuts, want = e.replace(t.part(), v), with(e.root, t.at, v.means)
		case len(t.at) == len(t.chain): // a key stands there with nothing behind it
			v = v.inside(t.rest, t.forms[len(t.chain):])
			p := &t.holder().parts[t.at[len(t.at)-1]]
			cuts, want = e.replace(p, v), with(e.root, t.at, v.means)
		default:
			v = v.inside(t.rest[1:], t.forms[len(t.chain):])
			at := e.place(t.rest[0])
			cuts = e.insert(at, t.rest[0], v)
			want = changed(e.root, append(slices.Clone(t.at), at), func(h *spot, i int) {
				h.parts = slices.Insert(h.parts, i, part{key: t.rest[0].key, value: v.means})
			})
		}
		next, err := e.finish(cuts, want)
		if err == nil {
			return next, nil
		}
		if refused == nil {
			refused = err
		}
	}
	return nil, refused
}

// replace puts a value in place of another.
func (e *editor) replace(p *part, v draft) []cut {
	old := p.value
	lines := v.lines != nil && !old.inFlow && e.target.inLines()
	sameLine := e.lineStart(old.head) == e.lineStart(p.after)
	if lines {
		return e.replaceByLines(p, v, sameLine)
	}
	from := old.start
	if v.means.shape != shapeScalar || old.shape != shapeScalar || old.style == styleAlias {
		from = old.head
	}
	switch {
	case old.style == styleNone:
		colon := " "
		if !p.colon {
			colon = ": "
		}
		return []cut{{old.start, old.start, colon + v.line}}
	case old.style == styleBlock:
		header := min(e.wordEnd(old.start), old.end)
		cuts := []cut{{from, header, v.line}}
		if end := e.lineEnd(header); old.end > end {
			cuts = append(cuts, cut{end, old.end, ""})
		}
		return cuts
	case old.style == styleLines && e.lineStart(old.start) != e.lineStart(p.after):
		behind, line := p.after, e.lineEnd(p.after)
		if sameLine { // an anchor, which goes with what it named
			behind = e.wordEnd(old.head)
		}
		return []cut{{p.after, behind, " " + v.line}, {line, e.lineEnd(old.end), ""}}
	}
	return []cut{{from, old.end, v.line}}
}

// replaceByLines puts lines below a key in place of its value. A comment
// behind the key or behind a value of one line stays behind the key.
func (e *editor) replaceByLines(p *part, v draft, sameLine bool) []cut {
	old := p.value
	body := e.body(p, v)
	line := e.lineEnd(p.after)
	if !sameLine && old.style != styleNone {
		return []cut{{p.after, p.after, v.head}, {line, e.lineEnd(old.end), body}}
	}
	switch old.style {
	case styleNone:
		return []cut{{p.after, p.after, v.head}, {line, line, body}}
	case styleLines, styleBlock:
		word := e.wordEnd(old.start)
		if old.style == styleLines { // an anchor
			word = e.wordEnd(old.head)
		}
		return []cut{{p.after, word, v.head}, {line, e.lineEnd(old.end), body}}
	}
	end := e.lineEnd(old.end)
	return []cut{{p.after, old.end, v.head}, {end, end, body}}
}

// body is the lines of a value below the key of a part.
func (e *editor) body(p *part, v draft) string {
	indent := strings.Repeat(" ", e.column(p.start)+2)
	return e.joined(v.indented(indent))
}

func (e *editor) joined(lines []string) string {
	var b strings.Builder
	for _, l := range lines {
		b.WriteString(e.eol)
		b.WriteString(l)
	}
	return b.String()
}

// wordEnd is where the signs without a space between them end.
func (e *editor) wordEnd(at int) int {
	for at < len(e.data) && strings.IndexByte(" \t\r\n", e.data[at]) < 0 {
		at++
	}
	return at
}

// column is how many signs stand before a byte in its line: all of them
// spaces and dashes where a key or an item of lines begins.
func (e *editor) column(at int) int { return at - e.lineStart(at) }

// inLines tells whether the place is among lines, with a key.
func (t *target) inLines() bool {
	h := t.chain[len(t.chain)-1]
	return h.style == styleLines && h.shape == shapeMap
}

// place is the index among its siblings that a new entry gets: behind them
// all, but at the top of the file in the order of the table.
func (e *editor) place(st step) int {
	h := e.target.holder()
	if len(e.target.chain) > 1 || st.item >= 0 {
		return len(h.parts)
	}
	rank := func(key string) int {
		if n := slices.Index(studyForm.object.names(), key); n >= 0 {
			return n
		}
		return len(studyForm.object.keys)
	}
	mine := rank(st.key)
	for i := len(h.parts); i > 0; i-- {
		if rank(h.parts[i-1].key) <= mine {
			return i
		}
	}
	return 0
}

// insert adds an entry before the sibling of the given index.
func (e *editor) insert(at int, st step, v draft) []cut {
	h := e.target.holder()
	if h.style == styleFlow {
		return e.insertInBrackets(at, st, v)
	}
	indent := strings.Repeat(" ", e.column(h.parts[0].start))
	var lines []string
	if st.item >= 0 {
		lines = []string{indent + "- " + v.line}
	} else {
		if v.lines == nil {
			v.lines = e.likeSiblings(v)
		}
		lines = append([]string{indent + keyText(st.key, false) + ":" + v.behind()}, v.indented(indent+"  ")...)
	}
	text := e.joined(lines)
	if at == 0 {
		first := h.parts[0].start
		return []cut{{first, first, strings.TrimPrefix(text, e.eol)[len(indent):] + e.eol + indent}}
	}
	end := e.extent(&h.parts[at-1])
	return []cut{{end, end, text}}
}

// likeSiblings is the keys of a new driver or candidate on lines of their own
// where those of its neighbour are; nil: on one line.
func (e *editor) likeSiblings(v draft) []string {
	h, f := e.target.holder(), e.target.forms[len(e.target.chain)-1]
	if f == nil || f.what != aRegister || v.means.shape != shapeMap || len(v.means.parts) == 0 || h.parts[len(h.parts)-1].value.style != styleLines {
		return nil
	}
	return v.keyLines()
}

// insertInBrackets adds an entry behind the last one in braces or brackets.
func (e *editor) insertInBrackets(at int, st step, v draft) []cut {
	h := e.target.holder()
	text := v.line
	if st.item < 0 {
		text = keyText(st.key, true) + ": " + v.line
	}
	if len(h.parts) == 0 {
		return []cut{{h.start + 1, h.start + 1, text}}
	}
	if at == 0 {
		return []cut{{h.parts[0].start, h.parts[0].start, text + ", "}}
	}
	last := &h.parts[at-1]
	comma := e.comma(last)
	from := e.lineStart(last.start)
	indent := string(e.data[from:last.start])
	own := strings.Trim(indent, " ") == "" && from > e.lineStart(h.start) && e.lineEnd(last.end()) < h.end-1
	if !own {
		return []cut{{last.end(), last.end(), ", " + text}}
	}
	end := e.lineEnd(last.end())
	if comma >= 0 {
		return []cut{{end, end, e.eol + indent + text + ","}}
	}
	return []cut{{last.end(), last.end(), ","}, {end, end, e.eol + indent + text}}
}

// comma is the comma behind an entry in brackets, -1 if none is.
func (e *editor) comma(p *part) int {
	for i := p.end(); i < len(e.data); i++ {
		switch e.data[i] {
		case ',':
			return i
		case ' ', '\t', '\r', '\n':
		case '#':
			i = e.lineEnd(i) - 1
		default:
			return -1
		}
	}
	return -1
}

// extent is the end of an entry of lines: that of its last line, with the
// comments below that are indented as what is inside the entry.
func (e *editor) extent(p *part) int {
	end := e.lineEnd(p.end())
	for {
		next := e.nextLine(end)
		if next == end || next >= len(e.data) {
			return end
		}
		last := e.lineEnd(next)
		line := string(e.data[next:last])
		text := strings.TrimLeft(line, " ")
		if !strings.HasPrefix(text, "#") || len(line)-len(text) <= e.column(p.start) {
			return end
		}
		end = last
	}
}
