package studyfile

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"basswright/internal/note"
	"basswright/internal/study"
)

// Error is a file that holds no study. Faults is never empty and is in the
// order of the file; every fault has a position and a mend.
type Error struct {
	Faults []note.Finding

	shortlist *study.Study
}

// Shortlist is what can be told of a faulty file all the same: a study of the
// drivers whose sheets are sound, without candidates. It is nil where the file
// is no YAML.
func (e *Error) Shortlist() *study.Study { return e.shortlist }

// Error lists the faults, one a line: "file:line:column: text; mend".
func (e *Error) Error() string {
	lines := make([]string, len(e.Faults))
	for i, f := range e.Faults {
		lines[i] = fmt.Sprintf("%s: %s; %s", f.At, f.Text, f.Mend)
	}
	return strings.Join(lines, "\n")
}

// mostFaults is how many faults are told at once: more help nobody.
const mostFaults = 100

// faults collects what is wrong with a file.
type faults struct {
	file string
	list []note.Finding
	more int // beyond mostFaults
}

func (f *faults) copy() *faults { return &faults{f.file, slices.Clone(f.list), f.more} }

// add records a fault at a node. What it returns may be given more to tell, until
// the next fault is recorded.
func (f *faults) add(n *node, id, where, mend, format string, args ...any) *note.Finding {
	return f.at(n.pos, id, where, mend, format, args...)
}

func (f *faults) at(p place, id, where, mend, format string, args ...any) *note.Finding {
	if len(f.list) == mostFaults {
		f.more++
		return &note.Finding{} // which is not told
	}
	f.list = append(f.list, note.Finding{
		ID: id, Severity: note.Error, Where: where, At: f.position(p),
		Text: fmt.Sprintf(format, args...), Mend: mend,
	})
	return &f.list[len(f.list)-1]
}

func (f *faults) position(p place) note.Position {
	return note.Position{File: f.file, Line: p.line, Column: p.column}
}

// count tells how many faults were met so far.
func (f *faults) count() int { return len(f.list) + f.more }

// err is the faults as an error, nil if there is none.
func (f *faults) err() error { return f.errWith(nil) }

// errWith also gives what is sound of the file.
func (f *faults) errWith(shortlist *study.Study) error {
	if len(f.list) == 0 {
		return nil
	}
	slices.SortStableFunc(f.list, func(a, b note.Finding) int {
		return cmp.Or(cmp.Compare(a.At.Line, b.At.Line), cmp.Compare(a.At.Column, b.At.Column))
	})
	if f.more > 0 {
		last := f.list[len(f.list)-1]
		f.list = append(f.list, note.Finding{
			ID: "more-faults", Severity: note.Error, At: last.At,
			Text: fmt.Sprintf("there are %d more faults", f.more), Mend: "mend those above first",
		})
	}
	return &Error{f.list, shortlist}
}
