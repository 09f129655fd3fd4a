package studyfile

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"basswright/internal/note"
)

// What may stand in place of what is faulty mends that fault.
func TestInsteadMends(t *testing.T) {
	files, err := filepath.Glob("testdata/malformed/*.yaml")
	if err != nil || len(files) < 45 {
		t.Fatalf("%d malformed studies, %v", len(files), err)
	}
	seen := map[string]int{}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		name := filepath.Base(file)
		for _, f := range faultsOf(text, name) {
			for _, by := range f.Instead {
				seen[f.ID]++
				for _, g := range faultsOf(inPlace(t, text, f, by), name) {
					if g.ID == f.ID && g.At == f.At && g.Text == f.Text {
						t.Errorf("%s:%d:%d: %s in its place leaves %q", name, f.At.Line, f.At.Column, by, g.Text)
					}
				}
			}
		}
	}
	for _, id := range []string{"bad-quantity", "unknown-word", "unknown-key", "unknown-driver"} {
		if seen[id] == 0 {
			t.Errorf("nothing is offered for %s", id)
		}
	}
}

func faultsOf(text []byte, name string) []note.Finding {
	_, err := Parse(text, name)
	var e *Error
	if !errors.As(err, &e) {
		return nil
	}
	return e.Faults
}

// inPlace writes a text over the key or value at a fault.
func inPlace(t *testing.T, text []byte, f note.Finding, by string) []byte {
	t.Helper()
	lines := strings.Split(string(text), "\n")
	line := []rune(lines[f.At.Line-1])
	from := f.At.Column - 1
	to := from
	ends := ",}]#"
	switch {
	case f.ID == "unknown-key":
		ends = ":"
	case line[from] == '"' || line[from] == '\'':
		ends = string(line[from])
		to++
	}
	for to < len(line) && !strings.ContainsRune(ends, line[to]) {
		to++
	}
	if ends == string(line[from]) {
		to++
	}
	lines[f.At.Line-1] = string(line[:from]) + by + string(line[to:])
	return []byte(strings.Join(lines, "\n"))
}
