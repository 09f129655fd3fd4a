package report

import (
	"fmt"
	"io"
	"strings"

	"basswright/internal/draw"
	"basswright/internal/note"
)

// TextOptions are the settings of texts for the terminal.
type TextOptions struct {
	Width int  // columns; 0: 100
	Color bool // the candidates' colours; nothing depends on them
	Plot  bool // the small plot above the table
}

// printer writes lines and keeps the first error.
type printer struct {
	w   io.Writer
	o   TextOptions
	err error
}

func newPrinter(w io.Writer, o TextOptions) *printer {
	if o.Width == 0 {
		o.Width = 100
	}
	return &printer{w: w, o: o}
}

func (p *printer) line(format string, args ...any) {
	if p.err == nil {
		_, p.err = fmt.Fprintln(p.w, strings.TrimRight(fmt.Sprintf(format, args...), " "))
	}
}

// The candidates' colours in the terminal: the nearest of the 256 that read on
// dark and on light ground.
var ansi = [draw.Candidates]int{32, 175, 166, 36, 136, 98, 100, 95}

func (p *printer) paint(i int, s string) string {
	if !p.o.Color {
		return s
	}
	return fmt.Sprintf("\x1b[38;5;%dm%s\x1b[39m", ansi[i%len(ansi)], s)
}

func (p *printer) strong(s string) string {
	if !p.o.Color {
		return s
	}
	return "\x1b[1m" + s + "\x1b[22m"
}

// wrapped writes a text within the width, hanging under its first word.
func (p *printer) wrapped(first, hang, s string) {
	for i, l := range wrap(s, max(20, p.o.Width-width(hang))) {
		if i == 0 {
			p.line("%s%s", first, l)
		} else {
			p.line("%s%s", hang, l)
		}
	}
}

// wrap breaks a text at spaces into lines of at most room columns, and no number
// from its unit.
func wrap(s string, room int) []string {
	var lines []string
	line := ""
	for i, word := range together(s) {
		switch {
		case i == 0:
			line = word
		case width(line)+1+width(word) > room:
			lines = append(lines, line)
			line = word
		default:
			line += " " + word
		}
		for width(line) > room { // a word that is wider than the room: nothing else may stand before it
			var head string
			head, line = split(line, room)
			lines = append(lines, head)
		}
	}
	return append(lines, line)
}

// split breaks a word that is wider than the room, at a space or behind a hyphen if
// there is one.
func split(word string, room int) (head, rest string) {
	r := []rune(word)
	for k := room; k > 1; k-- {
		switch r[k-1] {
		case ' ':
			return string(r[:k-1]), string(r[k:])
		case '-':
			return string(r[:k]), string(r[k:])
		}
	}
	return string(r[:room]), string(r[room:])
}

// hanging breaks the name of a row into lines, the later ones further in than
// the first.
func hanging(name string, room int) []string {
	text := strings.TrimLeft(name, " ")
	in := name[:len(name)-len(text)]
	first := wrap(text, room-len(in))[0]
	lines := []string{in + first}
	if rest := strings.TrimPrefix(text[len(first):], " "); rest != "" {
		in += "  "
		for _, l := range wrap(rest, room-len(in)) {
			lines = append(lines, in+l)
		}
	}
	return lines
}

// lineOf is a line of a text that is broken over several; none beyond its end.
func lineOf(lines []string, i int) string {
	if i < len(lines) {
		return lines[i]
	}
	return ""
}

// grounds tells what a result rests on, and what makes it doubtful or asks for care.
func (p *printer) grounds(list []note.Finding) {
	for _, f := range list {
		lead := "rests on: "
		switch f.Severity {
		case note.Warning:
			lead = "doubtful: "
		case note.Caution:
			lead = "caution: "
		}
		p.wrapped(lead, strings.Repeat(" ", len(lead)), f.Text+" ("+f.Mend+")")
	}
}
