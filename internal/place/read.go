package place

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"basswright/internal/note"
)

// What a table of a measurement can hold at most.
const (
	mostBytes  = 1 << 20
	mostPoints = 20000
)

// The ranges of its columns. A microphone that hears a tenth of a hertz is none that
// people measure bass with: what lies below is 0, or written in kHz.
const (
	leastRead = 0.1  // Hz
	mostLevel = 80.0 // dB, either way: no place adds so much, and no hole is so deep
	mostPhase = 1e6  // degree, either way
)

// ReadMeasured reads a measured transfer function from a text, at most 1 MiB and
// 20 000 points: a frequency in Hz (0.1 to 1e6, rising), a level in dB (within
// ±300), and optionally a phase in degrees, one point a line. file names the
// text in errors, which are *TableError.
//
// Columns are parted by semicolons, tabs, commas or spaces, as the first point
// shows. Lines are skipped that are empty or begin with #, *, !, % or //, and before
// the first point also headings and lines that begin with a semicolon; a # ends a
// line. Decimals may have a comma unless commas part the columns. What could be
// read in two ways is an error: decimal points and commas in one table, commas
// that may part thousands, and whole numbers in three columns parted by
// commas without a heading of three names.
func ReadMeasured(file, text string) (*Measured, error) {
	t := &table{file: file}
	switch {
	case len(text) > mostBytes:
		return nil, t.fault(0, 0, fmt.Sprintf("the table has %d bytes, more than %d", len(text), mostBytes), "leave out what is above the bass, or thin out its points")
	case strings.ContainsRune(text, 0):
		return nil, t.fault(0, 0, "the table is no plain text", "save it as CSV in UTF-8")
	}
	text = strings.TrimPrefix(text, "\ufeff")
	text = strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
	line := 0
	for each := range strings.SplitSeq(text, "\n") {
		line++
		if err := t.line(line, plain(each)); err != nil {
			return nil, err
		}
	}
	return t.finish(line)
}

// plain brings a line to plain spaces and signs, letter for letter, so that columns
// stay where they are.
func plain(line string) string {
	return strings.Map(func(r rune) rune {
		switch r {
		case '"', '\u00a0', '\u2009', '\u202f', '\u2007', '\v', '\f':
			return ' '
		case '−':
			return '-'
		}
		return r
	}, line)
}

// A cell is a piece of a line, with the column of its first letter.
type cell struct {
	text   string
	column int
}

// A spot is where something was seen; its line is 0 if it was not.
type spot struct {
	line, column int
	text         string
}

// table is a text that is being read.
type table struct {
	file      string
	separator byte // of columns: ';', '\t', ',' or ' '; 0 before the first point
	columns   int
	named     bool // a heading names three columns parted by commas
	first     spot // the first point

	comma, point spot // the first number with each as its decimal mark
	sure         bool // that a comma is a decimal mark: read as thousands it would make no sense

	where int // the line of the last point

	Measured
}

func (t *table) fault(line, column int, reason, mend string) error {
	return &TableError{At: note.Position{File: t.file, Line: line, Column: column}, Reason: reason, Mend: mend}
}

// line reads one line.
func (t *table) line(line int, text string) error {
	full := text
	text, _, _ = strings.Cut(text, "#")
	start := strings.TrimLeft(text, " \t")
	if start == "" || strings.IndexByte("*!%", start[0]) >= 0 || strings.HasPrefix(start, "//") {
		return nil
	}
	if t.separator == 0 {
		if strings.IndexByte("0123456789+-.,", start[0]) < 0 {
			return t.heading(line, full)
		}
		t.separator = separatorOf(text)
		t.first = spot{line, 1 + utf8.RuneCountInString(text[:len(text)-len(start)]), ""}
	}
	cells := split(text, t.separator)
	if t.columns == 0 {
		t.columns = len(cells)
	}
	if n := len(cells); n != t.columns || n < 2 || n > 3 {
		return t.miscount(line, cells)
	}
	var v [3]float64
	for i, c := range cells {
		var err error
		if v[i], err = t.number(line, i, c); err != nil {
			return err
		}
	}
	return t.add(line, cells[0], v)
}

// heading looks into a line before the first point.
func (t *table) heading(line int, text string) error {
	if i := strings.Index(strings.ToLower(text), "khz"); i >= 0 {
		return t.fault(line, 1+utf8.RuneCountInString(text[:i]), "the heading speaks of kHz, and frequencies are read in Hz", "write frequencies in Hz, and Hz in the heading")
	}
	t.named = strings.Count(text, ",") == 2
	return nil
}

// separatorOf finds what parts the columns of the first point.
func separatorOf(text string) byte {
	switch {
	case strings.Contains(text, ";"):
		return ';'
	case strings.Contains(strings.Trim(text, " \t"), "\t"):
		return '\t'
	case !strings.Contains(text, ","):
		return ' '
	}
	cells := split(text, ',')
	for _, c := range cells {
		if !wellFormed(c.text) {
			return ' ' // the commas are decimal ones, with spaces between the columns
		}
	}
	if len(cells) < 2 {
		return ' '
	}
	return ','
}

// split parts a line into cells. What is empty behind the last separator is no cell.
func split(text string, separator byte) []cell {
	var out []cell
	column := 1
	add := func(s string) {
		left := strings.TrimLeft(s, " \t")
		out = append(out, cell{strings.TrimRight(left, " \t"), column + utf8.RuneCountInString(s[:len(s)-len(left)])})
	}
	isSpace := func(b byte) bool { return b == ' ' || b == '\t' }
	from := 0
	for i := 0; i <= len(text); i++ {
		end := i == len(text)
		if !end && text[i] != separator && !(separator == ' ' && isSpace(text[i])) {
			continue
		}
		if s := text[from:i]; strings.Trim(s, " \t") != "" || separator != ' ' && !end {
			add(s)
		}
		if !end {
			column += utf8.RuneCountInString(text[from:i]) + 1
			from = i + 1
		}
	}
	return out
}

// miscount is a line with too few or too many columns.
func (t *table) miscount(line int, cells []cell) error {
	n, column := len(cells), 1
	if n > 0 {
		column = cells[min(n-1, 3)].column
	}
	mend := "give frequency, level and, if known, phase, in that order"
	switch {
	case t.separator == ',' && n > 3:
		mend += "; with decimal commas, part the columns by semicolons"
	case n == 1:
		mend += ", parted by semicolons, tabs or commas"
	case n >= 2 && n <= 3:
		mend = fmt.Sprintf("give %d on every line, as on line %d", t.columns, t.first.line)
	}
	return t.fault(line, column, "the line has "+counted(n, "column"), mend)
}

// number reads a cell of a column.
func (t *table) number(line, column int, c cell) (float64, error) {
	bad := func(reason, mend string) (float64, error) { return 0, t.fault(line, c.column, reason, mend) }
	what := [...]string{"a frequency", "a level", "a phase"}[column]
	if c.text == "" {
		return bad("the cell is empty", "write "+what+" into it")
	}
	text := c.text
	if t.separator != ',' {
		switch commas, points := strings.Count(text, ","), strings.Count(text, "."); {
		case commas > 0 && points > 0 || commas > 1:
			return bad(quoted(text)+" has marks between thousands", "write it without them")
		case commas == 1:
			if t.comma.line == 0 {
				t.comma = spot{line, c.column, text}
			}
			t.sure = t.sure || column == 1 || !likeThousands(text)
			text = strings.Replace(text, ",", ".", 1)
		case points == 1 && t.point.line == 0:
			t.point = spot{line, c.column, text}
		}
		if t.comma.line > 0 && t.point.line > 0 {
			first := t.comma
			if t.point.line < first.line || t.point.line == first.line && t.point.column < first.column {
				first = t.point
			}
			return bad(fmt.Sprintf("%s has another decimal mark than %s on line %d", quoted(c.text), quoted(first.text), first.line), "use one decimal mark in all of the table")
		}
	} else if strings.Contains(text, ".") && t.point.line == 0 {
		t.point = spot{line, c.column, text}
	}
	v, ok := parse(text)
	switch {
	case !ok:
		return bad(quoted(c.text)+" is no number", "write "+what+" as a plain number; begin lines that hold no point with #")
	case column == 0 && v == 0:
		return bad("a frequency of 0\u2009Hz is no tone", "leave the line out")
	case column == 0 && !(v >= leastRead && v <= highest):
		return bad("a frequency of "+c.text+"\u2009Hz lies outside 0.1\u2009Hz to 1\u2009MHz", "write frequencies in Hz, or leave the line out")
	case column == 1 && !(math.Abs(v) <= mostLevel):
		return bad("a level of "+c.text+"\u2009dB is beyond ±80\u2009dB, and no place does that", "write the level at the listener over that of the plain space, in dB")
	case column == 2 && !(math.Abs(v) <= mostPhase):
		return bad("a phase of "+c.text+"° is beyond ±1 000 000°", "write phases in degrees")
	}
	return v, nil
}

// add takes a point in.
func (t *table) add(line int, at cell, v [3]float64) error {
	x := math.Log2(v[0])
	n := len(t.octave)
	switch {
	case n == mostPoints:
		return t.fault(line, at.column, fmt.Sprintf("the table has more than %d points", mostPoints), "leave out what is above the bass, or thin out its points")
	case n > 0 && !(v[0] > t.high && x > t.octave[n-1]): // the second: two numbers so close that their logarithms are the same
		return t.fault(line, at.column, fmt.Sprintf("%s\u2009Hz is not above the %s\u2009Hz of line %d", at.text, brief(t.high), t.where), "sort the lines by frequency, each frequency once")
	}
	if n == 0 {
		t.low = v[0]
	}
	t.high, t.where = v[0], line
	t.octave, t.level = append(t.octave, x), append(t.level, v[1])
	if t.columns < 3 {
		return nil
	}
	phase := v[2] * math.Pi / 180
	if n > 0 {
		phase = t.phase[n-1] + math.Remainder(phase-t.phase[n-1], 2*math.Pi)
	}
	t.phase = append(t.phase, phase)
	return nil
}

// finish judges what only the whole table shows.
func (t *table) finish(lines int) (*Measured, error) {
	switch n := len(t.octave); {
	case n < 2:
		return nil, t.fault(lines, 1, "the table has "+counted(n, "point"), "give at least two, each a frequency in Hz and a level in dB on a line of its own")
	case t.comma.line > 0 && !t.sure:
		return nil, t.fault(t.comma.line, t.comma.column, fmt.Sprintf("the comma of %s may be a decimal one or part thousands", quoted(t.comma.text)), "write frequencies with a decimal point, or without thousands")
	case t.separator == ',' && t.columns == 3 && t.point.line == 0 && !t.named:
		return nil, t.fault(t.first.line, t.first.column, "the commas may part three columns, or be decimal ones", "part the columns by semicolons, or add a heading: frequency,level,phase")
	}
	m := t.Measured
	return &m, nil
}

// likeThousands tells whether a number with one comma may have it between
// thousands: 1 to 3 digits, not 0, in front of it, and 3 behind.
func likeThousands(text string) bool {
	front, behind, _ := strings.Cut(strings.TrimLeft(text, "+-"), ",")
	return front != "" && len(front) <= 3 && front[0] != '0' && len(behind) == 3 && strings.Trim(behind, "0123456789") == ""
}

// wellFormed tells whether a text is a number with a decimal point or none.
func wellFormed(text string) bool {
	_, ok := parse(text)
	return ok
}

// counted is a number of things.
func counted(n int, thing string) string {
	if n != 1 {
		thing += "s"
	}
	return fmt.Sprintf("%d %s", n, thing)
}

// quoted is a text of a table in an error: what is long is cut, and what cannot
// be printed escaped.
func quoted(text string) string {
	const most = 24
	if utf8.RuneCountInString(text) > most {
		text = string([]rune(text)[:most]) + "…"
	}
	return fmt.Sprintf("%q", text)
}

// parse reads a number with a decimal point or none. Words for what is no number,
// and the other forms of numbers in programs, are none.
func parse(text string) (float64, bool) {
	const most = 40
	if len(text) > most || strings.Trim(text, "0123456789+-.eE") != "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(text, 64)
	return v, err == nil
}
