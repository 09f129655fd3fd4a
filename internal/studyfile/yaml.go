package studyfile

import (
	"bytes"
	"errors"
	"strings"

	yaml "github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/lexer"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"
)

const (
	mostTokens = 40000 // a study of 64 drivers and 64 candidates has about 10000
	// mostNested bounds lists within lists and keys within keys; a study needs 7.
	mostNested = 32
)

// parsed reads the text of a file with the parser of YAML; nil if that cannot
// be done, and the fault is told.
func parsed(data []byte, f *faults) (ast.Node, token.Tokens) {
	text, ok := clean(data, f)
	if !ok || !fewSigns(text, f) {
		return nil, nil
	}
	tokens := lexer.Tokenize(string(text))
	if !bounded(tokens, f) {
		return nil, nil
	}
	file, err := parser.Parse(tokens, 0, parser.AllowDuplicateMapKey())
	if err != nil {
		if open := torn(tokens); open != nil && !strings.Contains(err.Error(), "must be specified") {
			what, with := "list", "]"
			if open.Type == token.MappingStartType {
				what, with = "group of keys", "}"
			}
			f.at(at(open), "yaml-syntax", "", "close it with "+with, "the %s that begins here does not end", what)
			return nil, nil
		}
		syntax(err, text, f)
		return nil, nil
	}
	if len(file.Docs) == 0 || file.Docs[0].Body == nil {
		f.at(place{1, 1}, "file-empty", "", "begin with study: and a name; the manual has a complete example", "the file holds no study")
		return nil, nil
	}
	return file.Docs[0].Body, tokens
}

// grown is the tree of what was parsed; nil if it cannot be one, and the fault
// is told.
func grown(body ast.Node, f *faults) *node {
	if body == nil {
		return nil
	}
	g := grower{faults: f, anchors: map[string]*node{}}
	n := g.grow(body)
	if n.faulty || g.full {
		return nil
	}
	return n
}

// mostSigns bounds the signs that YAML gives a meaning, before anything is made
// of them: each may cost the parser hundreds of bytes. Most of mostTokens are such
// signs; the rest may stand in notes and comments.
const mostSigns = 3 * mostTokens

// fewSigns refuses a text of too many signs. A line that is a comment counts as one.
func fewSigns(text []byte, f *faults) bool {
	n := 0
	for at := 0; at < len(text); {
		end := len(text)
		if i := bytes.IndexByte(text[at:], '\n'); i >= 0 {
			end = at + i + 1
		}
		if line := text[at:end]; bytes.HasPrefix(bytes.TrimLeft(line, " "), []byte("#")) {
			n++
		} else {
			for _, c := range line {
				if isSign[c] {
					n++
				}
			}
		}
		if n > mostSigns {
			tooMuch(placeOf(text, at), f)
			return false
		}
		at = end
	}
	return true
}

// isSign knows the signs that YAML gives a meaning.
var isSign = [256]bool{
	'{': true, '}': true, '[': true, ']': true, ',': true, ':': true, '-': true, '?': true, '&': true, '*': true,
	'!': true, '|': true, '>': true, '\'': true, '"': true, '#': true, '%': true, '@': true, '`': true,
}

func tooMuch(p place, f *faults) {
	f.at(p, "too-much", "", "see whether this is the right file: a study has a few hundred values", "the file holds more than %d words and signs", mostTokens)
}

// bounded refuses what the parser should not even try: several documents,
// deep nesting, endless lists.
func bounded(tokens token.Tokens, f *faults) bool {
	if len(tokens) > mostTokens {
		tooMuch(at(tokens[mostTokens]), f)
		return false
	}
	content, ended := false, false
	for _, t := range tokens {
		switch t.Type {
		case token.CommentType:
			continue
		case token.DocumentHeaderType:
			if content || ended {
				f.at(at(t), "yaml-documents", "", "keep one, and give each of the others a file of its own", "a second document begins here, and a file holds one study")
				return false
			}
		case token.DocumentEndType:
			ended = true
			continue
		case token.DirectiveType:
			f.at(at(t), "yaml-feature", "", "leave the line out", "directives to YAML have no place in a study")
			return false
		case token.InvalidType:
			return true // the parser tells why
		default:
			if ended {
				f.at(at(t), "yaml-documents", "", "remove it, or the line with the three dots", "text follows the end of the document")
				return false
			}
		}
		content = true
	}
	return nested(tokens, f)
}

// nested bounds the depth of the parser's recursion: brackets within
// brackets, signs in a row (- - -), and indentation.
func nested(tokens token.Tokens, f *faults) bool {
	flow, row := 0, 0
	var indents []int
	for _, t := range tokens {
		switch t.Type {
		case token.CommentType:
			continue
		case token.MappingStartType, token.SequenceStartType:
			flow++
			row++
		case token.MappingEndType, token.SequenceEndType:
			flow--
			row = 0
		case token.SequenceEntryType, token.MappingKeyType, token.AnchorType, token.TagType, token.MappingValueType:
			row++
		case token.StringType, token.IntegerType:
			// a word between colons (a: b: c) does not end a row
			if t.Prev == nil || t.Prev.Type != token.MappingValueType {
				row = 0
			}
		default:
			row = 0
		}
		if flow == 0 && t.Prev != nil && t.Position.Line > t.Prev.Position.Line {
			indents = deeper(indents, t.Position.Column)
			row = min(row, 1)
		}
		if flow > mostNested || row > mostNested || len(indents) > mostNested {
			f.at(at(t), "too-deep", "", "a study nests no deeper than 7: check the brackets and the indentation", "the file nests deeper than %d levels", mostNested)
			return false
		}
	}
	return true
}

// deeper is the open columns of indentation after a line that begins at column.
func deeper(open []int, column int) []int {
	for len(open) > 0 && open[len(open)-1] >= column {
		open = open[:len(open)-1]
	}
	return append(open, column)
}

// torn is the bracket or brace that is closed by one of the other kind; nil: there is none.
// The parser tells of what it finds inside it, which is no more than what follows from that.
func torn(tokens token.Tokens) *token.Token {
	var open []*token.Token
	for _, t := range tokens {
		switch t.Type {
		case token.SequenceStartType, token.MappingStartType:
			open = append(open, t)
		case token.SequenceEndType, token.MappingEndType:
			if len(open) == 0 {
				return nil
			}
			last := open[len(open)-1]
			if (last.Type == token.SequenceStartType) != (t.Type == token.SequenceEndType) {
				return last
			}
			open = open[:len(open)-1]
		}
	}
	return nil
}

// syntax tells why a file is no YAML.
func syntax(err error, text []byte, f *faults) {
	pos, message := place{1, 1}, err.Error()
	var known yaml.Error
	if errors.As(err, &known) {
		pos, message = at(known.GetToken()), known.GetMessage()
	}
	for _, w := range wordings {
		if strings.Contains(message, w.contains) {
			message = w.text
			if w.contains == "\t" || w.contains == "tab character" {
				pos = firstTab(text, pos)
			}
			f.at(pos, "yaml-syntax", "", w.mend, "%s", message)
			return
		}
	}
	f.at(pos, "yaml-syntax", "", "check the indentation, colons, quotes and brackets of this line and the one before", "the file cannot be read from here on: %s", message)
}

// firstTab is the first tab in or after the line of p that stands where only
// spaces may: the parser tells the token that met it.
func firstTab(text []byte, p place) place {
	lines := bytes.Split(text, []byte("\n"))
	for i := p.line - 1; i < len(lines); i++ {
		if c := bytes.IndexByte(lines[i], '\t'); c >= 0 {
			return place{i + 1, len([]rune(string(lines[i][:c]))) + 1}
		}
	}
	return p
}

// wordings are the faults of YAML in words that help who is no friend of it.
var wordings = []struct{ contains, text, mend string }{
	{"tab character", "a tab stands where YAML wants spaces", "indent with spaces"},
	{"\t", "a tab stands where YAML wants spaces", "indent with spaces"},
	{"could not find end character of double-quoted", "the quoted text that begins here does not end", `close it with "`},
	{"could not find end character of single-quoted", "the quoted text that begins here does not end", "close it with '"},
	{"'[' character", "a bracket ] closes what was not opened", "remove it, or open with ["},
	{"'{' character", "a brace } closes what was not opened", "remove it, or open with {"},
	{"']' must be specified", "before this, a list in brackets lacks a comma or its end", "separate with commas and close with ]"},
	{"sequence end token ']' not found", "the list that begins here does not end", "close it with ]"},
	{"'}' must be specified", "before this, keys in braces lack a comma or their end", "separate with commas and close with }"},
	{"flow mapping end token", "the braces that open here do not close", "close them with }"},
	{"flow map content", "the braces that open here do not close", "close them with }"},
	{"non-map value is specified", "this is neither a key with its value nor part of the one before", "write a colon and a space behind each key, and check the indentation"},
	{"unexpected key name", "this is no key with its value", "write a colon and a space behind each key"},
	{"value is not allowed in this context", "this does not belong to the key before it", "check the indentation: keys of one level begin in one column"},
	{"sequence entries are not allowed", "a list begins where none can stand", "put each - on a line of its own, below its key"},
	{"sequence was used where mapping is expected", "a list stands among keys", "indent it below its key"},
	{"anchor", "this anchor (&) or alias (*) has no value", "write the value itself"},
	{"alias", "this alias (*) has no name", "write the value itself"},
	{"tag", "tags have no place in a study", "write the value alone"},
	{"reserved character", "a value cannot begin with this sign", "put the value in quotes"},
}
