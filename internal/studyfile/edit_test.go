package studyfile

import (
	"errors"
	"path/filepath"
	"strings"
	"testing"
)

// studies are the examples and the good studies of the tests.
func studies(t testing.TB) map[string][]byte {
	t.Helper()
	out := map[string][]byte{}
	for _, pattern := range []string{"../../examples/*.yaml", "testdata/good/*.yaml"} {
		files, err := filepath.Glob(pattern)
		if err != nil || len(files) < 4 {
			t.Fatalf("%d studies, %v", len(files), err)
		}
		for _, file := range files {
			out[filepath.Base(file)] = readFile(t, file)
		}
	}
	return out
}

// Every single value can be set to what it is, and every key that is absent
// to its example and removed again: the file keeps every byte. So too with
// other line ends, a byte order mark, and no end of the last line.
func TestEveryFieldOfEveryStudy(t *testing.T) {
	forms := map[string]func(string) string{
		"plain":        func(s string) string { return s },
		"crlf":         func(s string) string { return strings.ReplaceAll(s, "\n", "\r\n") },
		"cr":           func(s string) string { return strings.ReplaceAll(s, "\n", "\r") },
		"mark":         func(s string) string { return "\ufeff" + s },
		"no last line": func(s string) string { return strings.TrimRight(s, "\n") },
	}
	for name, data := range studies(t) {
		for form, of := range forms {
			t.Run(name+" "+form, func(t *testing.T) {
				every := 1
				if form != "plain" { // a sample, for time
					every = 7
				}
				everyField(t, []byte(of(string(data))), every)
			})
		}
	}
}

func everyField(t *testing.T, data []byte, every int) {
	fields := Open(data, "").Fields()
	if len(fields) < 30 {
		t.Fatalf("%d fields", len(fields))
	}
	for i, f := range fields {
		if i%every > 0 {
			continue
		}
		want := string(data)
		if f.Path == "drivers" || strings.HasPrefix(f.Path, "drivers.wren-6") { // an alias is written out where it would change too
			want = strings.Replace(want, "*sheet", sheetOf(fields), 1)
		}
		value := f.Text
		if !f.Present {
			value = f.Example
		}
		if value == "" {
			continue
		}
		was := f.Text
		out, err := Edit(data, []Change{{Do: "set", Path: f.Path, Value: value, Was: &was}})
		if err != nil {
			t.Errorf("set %s to %q: %v", f.Path, value, err)
			continue
		}
		if f.Present {
			if string(out) != string(data) {
				t.Errorf("set %s to its own text:\n%s", f.Path, out)
			}
			continue
		}
		back, err := Edit(out, []Change{{Do: "remove", Path: f.Path, Was: &value}})
		var c *ConflictError
		if errors.As(err, &c) && c.Is != "" { // an example in another spacing
			back, err = Edit(out, []Change{{Do: "remove", Path: f.Path}})
		}
		if err != nil || string(back) != want {
			t.Errorf("set and remove %s: %v\n%s\nthen\n%s", f.Path, err, out, back)
			return
		}
	}
}

// sheetOf is the text behind the alias of another.yaml.
func sheetOf(fields []Field) string {
	for _, f := range fields {
		if f.Path == "drivers.wren-6-again" {
			return f.Text
		}
	}
	return ""
}

func BenchmarkFields(b *testing.B) {
	data := readFile(b, "../../examples/camper-bench.yaml")
	for b.Loop() {
		Open(data, "").Fields()
	}
}

func BenchmarkEdit(b *testing.B) {
	data := readFile(b, "../../examples/camper-bench.yaml")
	for b.Loop() {
		if _, err := Edit(data, []Change{{Do: "set", Path: "candidates.one.enclosure.volume", Value: "30 L"}}); err != nil {
			b.Fatal(err)
		}
	}
}
