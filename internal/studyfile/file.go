package studyfile

import (
	"context"
	"slices"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"

	"basswright/internal/note"
	"basswright/internal/study"
)

// A File is the text of a study, read once for all that is asked of it. It is
// for one goroutine.
type File struct {
	// Make builds the box of a candidate as [study.Memory.Make] does, for the evaluation
	// that follows. Without it a box is built to be tried, and that is all.
	Make func(*study.Study, int) error

	name string
	data []byte

	read   bool
	body   ast.Node // nil: it is no YAML, as faults says
	tokens token.Tokens
	faults faults

	grown bool
	root  *node  // nil: there is none, as said says
	said  faults // while it was read and grown

	known reading  // of the file that it was tried from; zero: nothing is known
	found *reading // its own, where it has been asked for

	sought bool
	spots  *doc           // nil: they cannot be found, as lost says
	lost   []note.Finding // says nothing where faults does
}

// Open takes a text; it is read when something is asked of it. name is what
// positions in it are told by. What is wrong with it is told by the methods.
func Open(data []byte, name string) *File {
	return &File{name: name, data: data, faults: faults{file: name}}
}

func (f *File) parsed() ast.Node {
	if !f.read {
		f.read = true
		f.body, f.tokens = parsed(f.data, &f.faults)
	}
	return f.body
}

// Text is the file as it is written.
func (f *File) Text() []byte { return f.data }

// Study is the study that the file holds, with what it names in its folder by
// beside, without which that is an error. The error is an *Error.
func (f *File) Study(beside ...Beside) (*study.Study, error) {
	root := f.tree()
	said := f.said.copy()
	return said.study(f.data, root, f.known, f.Make, beside...)
}

// tree is the tree of the file, nil if there is none.
func (f *File) tree() *node {
	if !f.grown {
		body := f.parsed()
		f.said = *f.faults.copy()
		f.root, f.grown = grown(body, &f.said), true
	}
	return f.root
}

// doc is the spots of the file, nil if they cannot be found.
func (f *File) doc() *doc {
	if !f.sought && f.parsed() != nil {
		said := &faults{}
		f.spots = located(f.data, f.body, f.tokens, said)
		f.lost = said.list
	}
	f.sought = true
	return f.spots
}

// Edit makes changes as the function Edit does, and gives the file that comes of
// them. It ends with the context.
func (f *File) Edit(ctx context.Context, changes []Change) (*File, error) {
	d := f.doc()
	if d == nil {
		e := &EditError{Reason: "the file cannot be read", Mend: "mend it as text first"}
		if told := slices.Concat(f.faults.list, f.lost); len(told) > 0 {
			e = &EditError{"", told[0].At, told[0].Text, told[0].Mend}
			e.At.File = "" // as all faults of edits: whoever asks knows the file
		}
		return nil, e
	}
	next, err := d.all(ctx, changes)
	if err != nil {
		return nil, err
	}
	if next == d { // nothing has changed; a file of its own all the same, as each is for one goroutine
		return Open(f.data, f.name), nil
	}
	d = next
	return &File{name: f.name, data: d.data, read: true, body: d.body, tokens: d.tokens, faults: faults{file: f.name}, sought: true, spots: d}, nil
}
