package studyfile

import (
	"bytes"
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"
)

// spot is a value of the file together with the bytes where it stands. Unlike
// a node it keeps everything that is written, faulty or not, because an edit
// must leave alone what it does not understand.
type spot struct {
	shape  shape
	style  style
	text   string // of a scalar, unquoted
	pos    place
	head   int // first byte, with the anchor and tag in front
	start  int // first byte of the value itself; of an absent value, where one may be put
	end    int // byte behind the last
	inFlow bool
	anchor bool
	target *spot  // of an alias: what it stands for
	parts  []part // of a map or a list
	weight int    // nodes and bytes of text in all, aliases followed
	shown  [2]int // where the value stands in the canonical text: see canon
}

// style is how a value is written.
type style uint8

const (
	styleNone   style = iota // nothing stands behind the key
	stylePlain               // a scalar without quotes
	styleSingle              // in '
	styleDouble              // in "
	styleBlock               // a scalar of lines below | or >
	styleFlow                // a list or map in brackets
	styleLines               // a list or map of lines
	styleAlias
)

// part is an entry of a map or an item of a list.
type part struct {
	key       string
	pos       place
	start     int // of the key, of the dash, or of the item in brackets
	keyEnd    int
	after     int  // behind the colon or dash
	colon     bool // a colon (or the dash of an item) is written
	keyQuoted bool
	value     *spot
}

func (p *part) end() int { return max(p.after, p.value.end) }

// self is the value that a spot stands for.
func (s *spot) self() *spot {
	if s.target != nil {
		return s.target
	}
	return s
}

// find is the index of the first entry of the given key, -1 if there is none.
func (s *spot) find(key string) int {
	if s.shape == shapeMap {
		for i := range s.parts {
			if s.parts[i].key == key {
				return i
			}
		}
	}
	return -1
}

// get is the value of a key, nil if there is none.
func (s *spot) get(key string) *spot {
	if s == nil {
		return nil
	}
	if s = s.self(); s.find(key) < 0 {
		return nil
	}
	return s.parts[s.find(key)].value
}

// spot turns a node of the parser into a spot. after is where a value may be
// put if none is written.
func (d *doc) spot(a ast.Node, after int, inFlow bool) *spot {
	s := d.bare(a, after, inFlow)
	s.inFlow = inFlow
	s.weight += 1 + len(s.text)
	for i := range s.parts {
		s.weight += len(s.parts[i].key) + s.parts[i].value.weight
	}
	s.weight = min(s.weight, heaviest+1)
	return s
}

func (d *doc) bare(a ast.Node, after int, inFlow bool) *spot {
	none := &spot{head: after, start: after, end: after}
	if a == nil {
		return none
	}
	switch a := a.(type) {
	case *ast.MappingNode:
		if a.IsFlowStyle {
			return d.brackets(shapeMap, a.Start, a.End, func(s *spot) {
				for _, v := range a.Values {
					s.parts = append(s.parts, d.entry(v, true))
				}
			})
		}
		return d.block(a.Values)
	case *ast.MappingValueNode:
		return d.block([]*ast.MappingValueNode{a})
	case *ast.SequenceNode:
		if a.IsFlowStyle {
			return d.brackets(shapeList, a.Start, a.End, func(s *spot) {
				for _, v := range a.Values {
					c := d.spot(v, 0, true)
					s.parts = append(s.parts, part{pos: c.pos, start: c.head, keyEnd: c.head, after: c.head, colon: true, value: c})
				}
			})
		}
		return d.dashes(a)
	case *ast.AnchorNode:
		i, start, ok := d.at(a.Start)
		if !ok {
			d.lost = true
			return none
		}
		s := *d.spot(a.Value, d.before(i+2), inFlow)
		s.weight, s.head, s.anchor = 0, start, true
		if len(s.parts) == 0 {
			s.pos = at(a.Start)
		}
		d.names[a.Name.GetToken().Value] = &s
		return &s
	case *ast.AliasNode:
		return d.alias(a)
	case *ast.TagNode:
		_, start, ok := d.at(a.Start)
		if !ok || a.Value == nil {
			d.lost = true
			return none
		}
		s := *d.spot(a.Value, start+len(a.Start.Value), inFlow)
		s.weight, s.head = 0, start
		return &s
	case *ast.LiteralNode:
		return d.literal(a)
	}
	return d.scalar(a, none)
}

// scalar is a value of one word or text.
func (d *doc) scalar(a ast.Node, none *spot) *spot {
	t := a.GetToken()
	i, start, ok := d.at(t)
	if !ok {
		return none
	}
	s := &spot{shape: shapeScalar, style: stylePlain, text: t.Value, pos: at(t), head: start, start: start}
	if n, ok := a.(*ast.StringNode); ok {
		s.text = n.Value
	}
	if _, ok := a.(*ast.NullNode); ok {
		s.shape, s.text = shapeNone, ""
	}
	s.style, s.end = d.word(i)
	return s
}

// word is how a word is written whose token is number i, and where it ends.
func (d *doc) word(i int) (style, int) {
	t, start := d.tokens[i], d.starts[i]
	if start >= len(d.data) {
		d.lost = true
		return stylePlain, start
	}
	switch t.Type {
	case token.DoubleQuoteType, token.SingleQuoteType:
		return d.quoted(t.Type, start)
	}
	end := d.before(i + 1)
	first, _ := utf8.DecodeRuneInString(t.Value)
	if have, _ := utf8.DecodeRune(d.data[start:]); end <= start || have != first {
		d.lost = true
	}
	return stylePlain, max(end, start)
}

// quoted finds the end of a text in quotes.
func (d *doc) quoted(kind token.Type, start int) (style, int) {
	mark, how := byte('"'), styleDouble
	if kind == token.SingleQuoteType {
		mark, how = '\'', styleSingle
	}
	if d.data[start] != mark {
		d.lost = true
		return how, start
	}
	for i := start + 1; i < len(d.data); i++ {
		switch c := d.data[i]; {
		case c == '\\' && mark == '"':
			i++
		case c == mark && mark == '\'' && i+1 < len(d.data) && d.data[i+1] == mark:
			i++
		case c == mark:
			return how, i + 1
		}
	}
	d.lost = true
	return how, len(d.data)
}

// literal is a text of lines below | or >.
func (d *doc) literal(a *ast.LiteralNode) *spot {
	i, start, ok := d.at(a.Start)
	if !ok {
		d.lost = true
		return &spot{}
	}
	s := &spot{shape: shapeScalar, style: styleBlock, text: a.Value.Value, pos: at(a.Start), head: start, start: start, end: start + len(a.Start.Value)}
	for i++; i < len(d.tokens) && d.tokens[i] != a.Value.Token; i++ {
	}
	last := len(d.data)
	if i+1 < len(d.tokens) {
		last = d.lineStart(d.starts[i+1])
	}
	if body := d.nextLine(start); body < last && strings.TrimSpace(a.Value.Value) != "" {
		s.end = max(s.end, len(bytes.TrimRight(d.data[:last], " \t\r\n")))
	}
	return s
}

func (d *doc) alias(a *ast.AliasNode) *spot {
	i, start, ok := d.at(a.Start)
	to := d.names[a.Value.GetToken().Value]
	s := &spot{style: styleAlias, pos: at(a.Start), head: start, start: start, end: d.before(i + 2)}
	if !ok {
		d.lost = true
	}
	if to == nil { // a fault, which Parse tells
		s.shape, s.text = shapeScalar, "*"+a.Value.GetToken().Value
		return s
	}
	s.shape, s.text, s.target, s.weight = to.shape, to.text, to, to.weight-1-len(to.text)
	return s
}

// brackets is a map or list in brackets.
func (d *doc) brackets(sh shape, open, shut *token.Token, fill func(*spot)) *spot {
	_, start, ok := d.at(open)
	_, end, closed := d.at(shut)
	if !ok || !closed {
		d.lost = true
	}
	s := &spot{shape: sh, style: styleFlow, pos: at(open), head: start, start: start, end: end + 1}
	fill(s)
	return s
}

// block is a map of lines.
func (d *doc) block(values []*ast.MappingValueNode) *spot {
	s := &spot{shape: shapeMap, style: styleLines}
	for _, v := range values {
		s.parts = append(s.parts, d.entry(v, false))
	}
	return d.span(s)
}

// dashes is a list of lines.
func (d *doc) dashes(a *ast.SequenceNode) *spot {
	s := &spot{shape: shapeList, style: styleLines}
	for i, v := range a.Values {
		if i >= len(a.Entries) || a.Entries[i] == nil {
			d.lost = true
			break
		}
		_, start, ok := d.at(a.Entries[i].Start)
		if !ok {
			d.lost = true
		}
		s.parts = append(s.parts, part{pos: at(a.Entries[i].Start), start: start, keyEnd: start, after: start + 1, colon: true, value: d.spot(v, start+1, false)})
	}
	return d.span(s)
}

// span sets the ends of a map or list of lines, which has no brackets.
func (d *doc) span(s *spot) *spot {
	if len(s.parts) == 0 {
		d.lost = true
		return s
	}
	s.pos = s.parts[0].pos
	s.start, s.end = s.parts[0].start, s.parts[len(s.parts)-1].end()
	s.head = s.start
	return s
}

// entry is a key with its value.
func (d *doc) entry(v *ast.MappingValueNode, inFlow bool) part {
	k := v.Key.GetToken()
	i, start, ok := d.at(k)
	if !ok {
		d.lost = true
		return part{value: &spot{}}
	}
	p := part{key: k.Value, pos: at(k), start: start}
	if _, ok := v.Key.(*ast.MappingKeyNode); ok { // "? key", a fault
		p.key, p.keyEnd = "?", start+1
	} else {
		var how style
		how, p.keyEnd = d.word(i)
		p.keyQuoted = how != stylePlain
	}
	p.after = p.keyEnd
	if c, at, ok := d.at(v.Start); ok && d.tokens[c].Type == token.MappingValueType {
		p.after, p.colon = at+1, true
	}
	p.value = d.spot(v.Value, p.after, inFlow)
	if p.value.pos.line == 0 {
		p.value.pos = p.pos
	}
	return p
}
