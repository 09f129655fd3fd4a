package basswright_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// straight is a typewriter's apostrophe inside or behind a word.
var straight = regexp.MustCompile(`[A-Za-z]'(s\b|\s|$)`)

// Texts that are shown to people have the apostrophe of print. Exported files
// are of plain letters and keep the other.
func TestApostrophes(t *testing.T) {
	files, err := filepath.Glob("internal/*/*.go")
	if err != nil || len(files) == 0 {
		t.Fatalf("%d files, %v", len(files), err)
	}
	texts := 0
	for _, file := range files {
		switch pkg := filepath.Base(filepath.Dir(file)); {
		case strings.HasSuffix(file, "_test.go"), pkg == "export", pkg == "draw":
			continue
		}
		set := token.NewFileSet()
		f, err := parser.ParseFile(set, file, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(f, func(n ast.Node) bool {
			lit, ok := n.(*ast.BasicLit)
			if !ok || lit.Kind != token.STRING {
				return true
			}
			texts++
			if text, err := strconv.Unquote(lit.Value); err != nil || straight.MatchString(text) && !strings.HasPrefix(text, "default-src ") {
				t.Errorf("%s: %s (%v)", set.Position(lit.Pos()), lit.Value, err)
			}
			return true
		})
	}
	if texts < 1000 {
		t.Errorf("only %d texts were read", texts)
	}
}
