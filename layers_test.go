package basswright_test

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

const internal = "basswright/internal/"

// A row holds packages under internal/ that never import each other.
type row struct {
	packages []string
	io       string // why its packages may do input and output and read a clock; "": they may not
}

// layers lists the packages from the bottom up. A package may import only
// packages from lower rows. See ARCHITECTURE.md.
var layers = []row{
	{packages: []string{"phys", "draw", "curve", "heat", "wav"}},
	{packages: []string{"note", "network", "filter", "airflow", "noise", "duct", "radiation"}},
	{packages: []string{"driver", "place"}},
	{packages: []string{"enclosure"}},
	{packages: []string{"large"}},
	{packages: []string{"study"}},
	{packages: []string{"studyfile", "section", "export", "datasheet"}},
	{packages: []string{"report", "variant"}},
	{packages: []string{"folder"}, io: "it keeps the files of a folder and says when they change"},
	{packages: []string{"web"}, io: "it stands between the network and the rest"},
}

// testOnly is the package that tests share: no code of the product imports it,
// and it knows nothing of ours.
const testOnly = "check"

// rowOf is the place of a package in layers, or -1.
func rowOf(pkg string) int {
	return slices.IndexFunc(layers, func(r row) bool { return slices.Contains(r.packages, pkg) })
}

func TestLayers(t *testing.T) {
	for _, s := range sources(t) {
		if !s.test && s.pkg != testOnly && !s.program && rowOf(s.pkg) < 0 {
			t.Errorf("%s: package %s is not in the layer table", s.file, s.pkg)
		}
		for _, dep := range imports(t, s.file) {
			if why := misplaced(s, dep); why != "" {
				t.Errorf("%s imports %s, which %s", s.file, dep, why)
			}
		}
	}
	for _, r := range layers {
		for _, pkg := range r.packages {
			if files, err := filepath.Glob(filepath.Join("internal", pkg, "*.go")); err != nil || len(files) == 0 {
				t.Errorf("there is no package %s, which the layer table has", pkg)
			}
		}
	}
}

// misplaced says why a file must not import a package, "" if it may.
func misplaced(s source, dep string) string {
	pkg, ours := strings.CutPrefix(dep, internal)
	pkg, _, _ = strings.Cut(pkg, "/")
	switch {
	case dep == "basswright/examples" && s.program:
		return ""
	case !ours && strings.HasPrefix(dep, "basswright/"):
		return "stands above all of internal"
	case !ours:
		return ""
	case pkg == testOnly && !s.test && s.pkg != testOnly:
		return "is for tests alone"
	case s.pkg == testOnly:
		return "the package of the tests must not know"
	case !s.test && !s.program && pkg != s.pkg && rowOf(pkg) >= rowOf(s.pkg):
		return "is not below it"
	}
	return ""
}

// Each way of breaking the order is seen: a test that cannot fail shows nothing.
func TestLayersFindWhatIsMisplaced(t *testing.T) {
	for _, c := range []struct {
		from source
		dep  string
		bad  bool
	}{
		{source{pkg: "study"}, internal + "enclosure", false},
		{source{pkg: "study"}, internal + "report", true},
		{source{pkg: "study"}, internal + "report/part", true},
		{source{pkg: "section"}, internal + "export", true}, // sideways
		{source{pkg: "study"}, "basswright/cmd/basswright", true},
		{source{pkg: "study"}, internal + testOnly, true},
		{source{pkg: "study", test: true}, internal + testOnly, false},
		{source{pkg: "basswright", program: true}, internal + testOnly, true},
		{source{pkg: "basswright", program: true}, internal + "report", false},
		{source{pkg: testOnly}, internal + "phys", true},
	} {
		if got := misplaced(c.from, c.dep); (got != "") != c.bad {
			t.Errorf("%+v imports %s: %q", c.from, c.dep, got)
		}
	}
}

// A source is a file of Go code.
type source struct {
	file    string
	dir     string
	pkg     string // the folder under internal/, or that of a program
	program bool   // package main: a door to the packages, above all of them
	test    bool
}

// sources finds all Go files of the product. It opens every folder, so that a
// cached result of the tests does not outlive a new file.
func sources(t *testing.T) []source {
	t.Helper()
	var out []source
	for _, root := range []string{"internal", "cmd", "bench"} {
		err := filepath.WalkDir(root, func(path string, entry fs.DirEntry, err error) error {
			if err != nil || entry.IsDir() || filepath.Ext(path) != ".go" {
				return err
			}
			f, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.PackageClauseOnly)
			if err != nil {
				return err
			}
			s := source{file: path, dir: filepath.Dir(path), program: f.Name.Name == "main", test: strings.HasSuffix(path, "_test.go")}
			s.pkg = filepath.Base(s.dir)
			if parts := strings.Split(filepath.ToSlash(path), "/"); parts[0] == "internal" {
				s.pkg = parts[1]
			}
			out = append(out, s)
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	if len(out) < 100 {
		t.Fatalf("only %d files", len(out))
	}
	return out
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
