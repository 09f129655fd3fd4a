package basswright_test

import (
	"go/parser"
	"go/token"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

const internal = "basswright/internal/"

// layers lists the packages under internal/ from the bottom up. A package may
// import only packages from lower rows; packages in one row never meet. See
// ARCHITECTURE.md.
var layers = [][]string{
	{"phys", "draw"},
	{"note", "network"},
	{"driver"},
	{"enclosure"},
	{"study"},
	{"studyfile", "section", "export", "datasheet"},
	{"report", "variant"},
}

func TestLayers(t *testing.T) {
	row := map[string]int{}
	for i, names := range layers {
		for _, name := range names {
			row[name] = i
		}
	}
	files, err := filepath.Glob("internal/*/*.go")
	if err != nil || len(files) == 0 {
		t.Fatalf("%d files, %v", len(files), err)
	}
	for _, file := range files {
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		pkg := filepath.Base(filepath.Dir(file))
		if _, ok := row[pkg]; !ok {
			t.Errorf("%s: package %s is not in the layer table", file, pkg)
			continue
		}
		for _, dep := range imports(t, file) {
			dep, ok := strings.CutPrefix(dep, internal)
			if !ok {
				continue
			}
			dep, _, _ = strings.Cut(dep, "/")
			if dep != pkg && row[dep] >= row[pkg] {
				t.Errorf("%s imports %s, which is not below it", file, dep)
			}
		}
	}
}

// The packages below the command do no input or output of their own and read
// no clock.
func TestNoInputOrOutputBelowTheCommand(t *testing.T) {
	files, err := filepath.Glob("internal/*/*.go")
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range files {
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		for _, dep := range imports(t, file) {
			switch dep {
			case "os", "net", "net/http", "os/exec", "math/rand", "log":
				t.Errorf("%s imports %s", file, dep)
			}
		}
	}
}

func imports(t *testing.T, file string) []string {
	t.Helper()
	f, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ImportsOnly)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, spec := range f.Imports {
		path, err := strconv.Unquote(spec.Path.Value)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, path)
	}
	return out
}
