package studyfile

import (
	"bytes"
	"unicode/utf8"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"
)

// heaviest bounds what a file says with its aliases followed.
const heaviest = 4 * mostBytes

// doc is a file with its spots.
type doc struct {
	data   []byte
	body   ast.Node
	lines  []int // first byte of each line
	eol    string
	root   *spot
	tokens token.Tokens
	starts []int // first byte of each token
	index  map[*token.Token]int
	names  map[string]*spot // anchors so far
	lost   bool             // a token does not stand where it says
}

// open reads a file into spots. The fault of one that is no YAML is told as a
// finding.
func open(data []byte) (*doc, *faults) {
	f := &faults{}
	body, tokens := parsed(data, f)
	if body == nil {
		return nil, f
	}
	return located(data, body, tokens, f), f
}

// located finds where what was parsed stands; nil if it cannot be found, and the
// fault is told.
func located(data []byte, body ast.Node, tokens token.Tokens, f *faults) *doc {
	d := &doc{data: data, body: body, tokens: tokens, names: map[string]*spot{}}
	d.measure()
	d.root = d.spot(body, 0, false)
	switch {
	case d.lost:
		f.at(place{1, 1}, "yaml-feature", "", "edit it as text", "the file is written in a way that cannot be followed to the letter")
	case d.root.weight > heaviest:
		f.at(place{1, 1}, "too-much", "", "write out what is meant, without aliases to aliases", "with its aliases followed the study is too large")
	default:
		return d
	}
	return nil
}

// measure finds the lines, and the byte at which each token starts: tokens
// say their line and column in characters, of a text with plain line ends.
func (d *doc) measure() {
	at := 0
	if bytes.HasPrefix(d.data, []byte("\ufeff")) {
		at = 3
	}
	d.lines = append(d.lines, at)
	for at < len(d.data) {
		n := 0
		switch d.data[at] {
		case '\r':
			n = 1
			if at+1 < len(d.data) && d.data[at+1] == '\n' {
				n = 2
			}
		case '\n':
			n = 1
		}
		if n > 0 {
			if d.eol == "" {
				d.eol = string(d.data[at : at+n])
			}
			d.lines = append(d.lines, at+n)
		}
		at += max(n, 1)
	}
	if d.eol == "" {
		d.eol = "\n"
	}
	d.starts = make([]int, len(d.tokens))
	d.index = make(map[*token.Token]int, len(d.tokens))
	line, column, at := 0, 0, 0
	for i, t := range d.tokens {
		p := t.Position
		if p.Line != line || p.Column < column {
			line, column = min(max(p.Line, 1), len(d.lines)), 1
			at = d.lines[line-1]
		}
		for column < p.Column && at < len(d.data) {
			_, n := utf8.DecodeRune(d.data[at:])
			at, column = at+n, column+1
		}
		d.starts[i] = at
		d.index[t] = i
	}
}

// before is the byte behind the last sign that stands before token i.
func (d *doc) before(i int) int {
	end := len(d.data)
	if i < len(d.tokens) {
		end = d.starts[i]
	}
	return len(bytes.TrimRight(d.data[:end], " \t\r\n"))
}

// at is the first byte of a token; ok tells whether it is written at all.
func (d *doc) at(t *token.Token) (i, start int, ok bool) {
	i, ok = d.index[t]
	if !ok {
		return 0, 0, false
	}
	return i, d.starts[i], true
}

// The lines of the file around a byte.

func (d *doc) lineStart(at int) int {
	lo, hi := 0, len(d.lines) // the last line that starts at or before
	for hi-lo > 1 {
		if m := (lo + hi) / 2; d.lines[m] <= at {
			lo = m
		} else {
			hi = m
		}
	}
	return d.lines[lo]
}

// lineEnd is the end of the line of a byte, without the signs that end it.
func (d *doc) lineEnd(at int) int {
	if n := bytes.IndexAny(d.data[at:], "\r\n"); n >= 0 {
		return at + n
	}
	return len(d.data)
}

// nextLine is the first byte of the line after that of a byte.
func (d *doc) nextLine(at int) int {
	at = d.lineEnd(at)
	if bytes.HasPrefix(d.data[at:], []byte("\r\n")) {
		return at + 2
	}
	return min(at+1, len(d.data))
}
