package studyfile

import (
	"bytes"
	"errors"
	"path/filepath"
	"testing"
	"time"
)

// Whatever the bytes, the answer is a study or an *Error whose faults have
// positions in the file and mends.
func FuzzParse(f *testing.F) {
	for _, pattern := range []string{"../../examples/*.yaml", "testdata/*/*.yaml"} {
		files, err := filepath.Glob(pattern)
		if err != nil {
			f.Fatal(err)
		}
		for _, file := range files {
			f.Add(readFile(f, file))
		}
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		watch := time.AfterFunc(20*time.Second, func() { panic("the parser does not come to an end") })
		st, err := Parse(text, "fuzz.yaml")
		watch.Stop()
		if err == nil {
			if st == nil || len(st.Drivers) == 0 || len(st.Candidates) == 0 {
				t.Fatal("a study without drivers or candidates, and no fault")
			}
			return
		}
		var e *Error
		if !errors.As(err, &e) || len(e.Faults) == 0 || st != nil {
			t.Fatalf("%T %v, study %v", err, err, st)
		}
		lines := bytes.Count(text, []byte("\n")) + bytes.Count(text, []byte("\r")) + 1
		for _, x := range e.Faults {
			if x.At.Line < 1 || x.At.Line > lines || x.At.Column < 1 || x.Mend == "" || x.Text == "" {
				t.Fatalf("a fault without a place or mend in %d lines: %+v", lines, x)
			}
		}
	})
}
