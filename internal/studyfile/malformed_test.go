package studyfile

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"basswright/internal/check"
	"basswright/internal/note"
)

// Each malformed study has its faults beside it, with what stands at the
// position that is told: that line is read by people when the file is made,
// and shows that the position is right.
func TestMalformed(t *testing.T) {
	files, err := filepath.Glob("testdata/malformed/*.yaml")
	if err != nil || len(files) < 45 {
		t.Fatalf("%d malformed studies, %v", len(files), err)
	}
	for _, file := range files {
		name := filepath.Base(file)
		t.Run(name, func(t *testing.T) {
			text, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			faults := mustFail(t, text, name)
			check.Golden(t, strings.TrimSuffix(file, ".yaml")+".txt", told(faults, text))
		})
	}
}

// mustFail reads a study that has faults, and checks what holds for all faults.
func mustFail(t *testing.T, text []byte, name string) []note.Finding {
	t.Helper()
	st, err := Parse(text, name)
	var e *Error
	if st != nil || !errors.As(err, &e) || len(e.Faults) == 0 {
		t.Fatalf("want an *Error with faults, have %v, %v", st, err)
	}
	lines := strings.Split(e.Error(), "\n")
	if len(lines) != len(e.Faults) {
		t.Fatalf("%d faults in %d lines", len(e.Faults), len(lines))
	}
	for i, f := range e.Faults {
		if want := fmt.Sprintf("%s:%d:%d: %s; %s", name, f.At.Line, f.At.Column, f.Text, f.Mend); lines[i] != want {
			t.Errorf("line %q\nwant %q", lines[i], want)
		}
		switch {
		case f.At.Line < 1 || f.At.Column < 1:
			t.Errorf("no position: %v", f)
		case f.ID == "" || f.Text == "" || f.Mend == "" || f.Severity != note.Error:
			t.Errorf("incomplete: %+v", f)
		case strings.HasSuffix(f.Text, ".") || strings.ContainsAny(f.Text+f.Mend, "\n\t"):
			t.Errorf("not one clause: %q; %q", f.Text, f.Mend)
		case strings.Contains(f.Text+f.Mend, "NaN") || strings.Contains(f.Text+f.Mend, "Inf"):
			t.Errorf("no number: %q; %q", f.Text, f.Mend)
		}
	}
	return e.Faults
}

// told is the faults with the text at each one's position.
func told(faults []note.Finding, text []byte) string {
	var out strings.Builder
	lines := strings.Split(strings.ReplaceAll(string(text), "\r\n", "\n"), "\n")
	for _, f := range faults {
		at := []rune(lines[f.At.Line-1])
		at = at[min(f.At.Column-1, len(at)):]
		fmt.Fprintf(&out, "%s: %s\n  mend: %s\n  at: %q (%s)\n", f.At, f.Text, f.Mend, string(at[:min(len(at), 30)]), f.ID)
	}
	return out.String()
}

func TestTooLarge(t *testing.T) {
	text := []byte("study: Large\nnote: ")
	text = append(text, bytes.Repeat([]byte("x"), mostBytes)...)
	f, err := Read(bytes.NewReader(text), "large.yaml")
	if err != nil {
		t.Fatal(err)
	}
	_, err = f.Study()
	var e *Error
	if !errors.As(err, &e) || len(e.Faults) != 1 || e.Faults[0].ID != "file-too-large" || !strings.Contains(e.Error(), "1024 KiB") {
		t.Fatal(err)
	}
	mustFail(t, text, "large.yaml")
}

func TestManyFaultsAreCut(t *testing.T) {
	var text strings.Builder
	text.WriteString("study: Many\n")
	for i := range 250 {
		fmt.Fprintf(&text, "key%d: 1\n", i)
	}
	faults := mustFail(t, []byte(text.String()), "many.yaml")
	last := faults[len(faults)-1]
	// 250 unknown keys and two missing ones, of which 100 are told
	if len(faults) != mostFaults+1 || last.Text != "there are 152 more faults" {
		t.Fatalf("%d faults, the last: %v", len(faults), last)
	}
}

// Text that makes the parser of YAML recurse or search: it must be refused
// before, and quickly; the test would not end if it were not.
func TestHostileText(t *testing.T) {
	for _, unit := range []string{
		"[", "{a: ", "- ", "- a\n", "? ", "? a\n", "a: ", "&a ", "*a ", "!a ", "a: b\n", "---\n", "...\n", "\"a\" ",
		"{", "%", "#", ":", "|\n", ">\n", "-:", "[a,{b: c},", "\"a\":1,", "<<: *a\n", "]", ",", "'", "\"",
	} {
		mustFail(t, []byte(strings.Repeat(unit, 10000/len(unit))), "hostile.yaml")
		mustFail(t, []byte("study: "+strings.Repeat(unit, (mostBytes/4)/len(unit))), "hostile.yaml")
	}
	var steps strings.Builder
	for i := range 1000 {
		steps.WriteString(strings.Repeat(" ", i) + "a:\n")
	}
	if f := mustFail(t, []byte(steps.String()), "steps.yaml"); f[0].ID != "too-deep" {
		t.Error(f)
	}
}
