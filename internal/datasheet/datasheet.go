// Package datasheet reads a woofer's sheet as a person pastes it: lines of
// name, value and unit in any order and many wordings. It tells of each line
// what it was understood as, asks where a line can mean two things, and takes
// nothing that is in doubt. It knows nothing of files.
package datasheet

import (
	"fmt"
	"slices"
	"strings"

	"basswright/internal/note"
)

// What a pasted sheet may have. A printed sheet has a few dozen lines.
const (
	mostBytes = 64 << 10
	mostLines = 500
	// of one line: what has more is prose, or a table of many drivers
	mostLetter  = 200
	mostFigures = 16
	mostNames   = 12
)

// A Reading is what was understood of a sheet.
type Reading struct {
	Lines    []Line         `json:"lines"`             // in the order of the text; a line that says several things stands there for each
	Numbers  string         `json:"numbers,omitempty"` // how the sheet writes its decimals, in words
	Open     int            `json:"open"`              // how many questions wait for an answer
	Driver   string         `json:"driver"`            // YAML of drivers.NAME, line by line; what is in doubt is not in it
	Steps    []note.Step    `json:"steps"`             // how the driver follows from it
	Findings []note.Finding `json:"findings"`          // contradictions, and what is missing
}

// A Line is one thing that the sheet says.
type Line struct {
	Number  int      `json:"number"`            // of the line in the text, from 1
	Text    string   `json:"text"`              // as printed
	Key     string   `json:"key,omitempty"`     // of the study file: "fs"
	Value   string   `json:"value,omitempty"`   // as it will stand in the study: "30.5 Hz"
	How     string   `json:"how,omitempty"`     // what was done to come from the text to the value
	Doubt   string   `json:"doubt,omitempty"`   // a question, where the line can mean two things
	Choices []string `json:"choices,omitempty"` // the answers to it
	Ignored string   `json:"ignored,omitempty"` // why the line is passed over
}

// Read reads a pasted sheet; name is the driver's in the study. answers are
// choices by line number and settle the questions of an earlier reading of the
// same text. An answer that is no choice is not looked at.
func Read(text, name string, answers map[int]string) Reading {
	r := Reading{Lines: []Line{}, Steps: []note.Step{}, Findings: []note.Finding{}}
	if len(text) > mostBytes {
		r.refuse(name, "the text is longer than 64 kB", "paste the lines with the values alone")
		return r
	}
	s := &sheet{name: name, answers: answers}
	var lines []printed
	for i, line := range split(text) {
		if i >= mostLines {
			r.refuse(name, fmt.Sprintf("the lines after the %dth are not read", mostLines), "paste the lines with the values alone")
			break
		}
		if strings.TrimSpace(clean(line)) != "" {
			lines = append(lines, printed{i + 1, line})
		}
	}
	for _, l := range joined(lines) {
		s.parts = append(s.parts, s.line(l.number, l.text)...)
	}
	s.countCoils()
	s.decideDecimals()
	for _, p := range s.parts {
		s.settle(p)
	}
	s.together()
	for _, p := range s.parts {
		if p.line.Doubt != "" {
			r.Open++
		}
		r.Lines = append(r.Lines, p.line)
	}
	r.Numbers = s.numbers
	s.complete(&r)
	return r
}

func (r *Reading) refuse(name, text, mend string) {
	r.Findings = append(r.Findings, note.Finding{
		ID: "sheet-too-long", Severity: note.Warning, Where: "drivers." + name, Text: text, Mend: mend,
	})
}

// split cuts a text into lines, whichever machine it comes from.
func split(text string) []string {
	text = strings.ToValidUTF8(text, "\ufffd")
	text = strings.NewReplacer("\r\n", "\n", "\r", "\n", "\u2028", "\n", "\u2029", "\n", "\f", "\n", "\v", "\n", "\u0085", "\n").Replace(text)
	return strings.Split(text, "\n")
}

// sheet is one reading under way.
type sheet struct {
	name    string
	answers map[int]string
	parts   []*part
	coils   int    // how many the sheet says one driver has; 0: nothing
	quoted  string // each, series, parallel; "": not known
	decimal byte   // ',' or '.', 0: the sheet does not tell
	mixed   bool   // it writes both
	numbers string
	asked   map[int]*dialog
}

// A part is what one line says of one parameter.
type part struct {
	line   Line
	text   string // cleaned
	entry  *entry // nil: not understood
	words  []string
	found  []amount
	exact  bool // the name is a symbol, or all of it was understood
	chosen amount
	value  value
	bound  string // of a coil's value: each, series, parallel
}

// dialog is the answer to a line's questions: several are joined, in the order
// in which they were asked.
type dialog struct{ rest, given string }

const joint = " · "

// ask gives the answer to a question of a line. Where there is none yet the
// part is in doubt, and ok is false.
func (s *sheet) ask(p *part, question string, choices ...string) (answer string, ok bool) {
	if s.asked == nil {
		s.asked = map[int]*dialog{}
	}
	d := s.asked[p.line.Number]
	if d == nil {
		d = &dialog{rest: s.answers[p.line.Number]}
		s.asked[p.line.Number] = d
	}
	for _, c := range choices {
		rest, more := strings.CutPrefix(d.rest, c+joint)
		if d.rest != c && !more {
			continue
		}
		if !more {
			rest = ""
		}
		d.rest, d.given = rest, d.given+c+joint
		return c, true
	}
	p.line.Doubt = question
	p.line.Choices = nil
	for _, c := range choices {
		p.line.Choices = append(p.line.Choices, d.given+c)
	}
	return "", false
}

// ignore passes a part over.
func (p *part) ignore(why string) {
	p.line.Key, p.line.Value, p.line.How, p.line.Doubt, p.line.Choices = "", "", "", "", nil
	p.line.Ignored = why
}

// taken tells whether a part's value goes into the driver.
func (p *part) taken() bool { return p.line.Key != "" && p.line.Doubt == "" && p.line.Value != "" }

func (p *part) how(words string) {
	if p.line.How != "" {
		words = p.line.How + ", " + words
	}
	p.line.How = words
}

// has tells whether words stand one after the other in the part.
func (p *part) has(phrases ...string) bool {
	for _, phrase := range phrases {
		want := strings.Fields(phrase)
		for i := range p.words {
			if i+len(want) <= len(p.words) && slices.Equal(p.words[i:i+len(want)], want) {
				return true
			}
		}
	}
	return false
}
