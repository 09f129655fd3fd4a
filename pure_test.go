package basswright_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// pureImports are the packages that code without input, output, clock and state
// may import. What is not here must be looked at before it is added.
var pureImports = []string{
	"bufio", "bytes", "cmp", "context", "crypto/sha256", "embed", "encoding/binary", "encoding/csv", "encoding/hex",
	"encoding/json", "errors", "fmt", "hash", "html/template", "image", "image/color", "image/png", "io", "maps", "math", "math/bits",
	"iter", "math/cmplx", "regexp", "runtime", "slices", "sort", "strconv", "strings", "sync", "time", "unicode", "unicode/utf8",
	"codeberg.org/go-pdf/fpdf", "git.sr.ht/~sbinet/gg", "github.com/goccy/go-yaml", "github.com/goccy/go-yaml/ast", "github.com/goccy/go-yaml/lexer",
	"github.com/goccy/go-yaml/parser", "github.com/goccy/go-yaml/token", "github.com/hashicorp/golang-lru/v2/simplelru", "golang.org/x/image/font",
	"golang.org/x/image/font/gofont/gobold", "golang.org/x/image/font/gofont/gomedium",
	"golang.org/x/image/font/gofont/goregular", "golang.org/x/image/font/sfnt", "golang.org/x/image/math/fixed", "golang.org/x/text/unicode/norm",
	"gonum.org/v1/gonum/blas", "gonum.org/v1/gonum/blas/blas64", "gonum.org/v1/gonum/dsp/fourier", "gonum.org/v1/gonum/interp", "gonum.org/v1/gonum/lapack/lapack64", "gonum.org/v1/gonum/mat",
}

// pureNames are all that may be used of packages that also read a clock or the
// machine.
var pureNames = map[string][]string{
	"time":    {"Date", "Duration", "January", "Month", "Time", "UTC", "Unix"}, // dates that are given; the clock is Now, Since, After, …
	"runtime": {"GOMAXPROCS"},                                                  // how many cores share the work; a test holds the result the same for any number
	"context": {"Background", "Canceled", "Cause", "Context", "WithCancel"},    // no deadline: that is a clock
}

// impureNames are what must not be used of packages that are pure otherwise.
var impureNames = map[string][]string{
	"fmt":                      {"Print", "Printf", "Println", "Scan", "Scanf", "Scanln"},
	"git.sr.ht/~sbinet/gg":     {"LoadFontFace", "LoadImage", "LoadPNG", "SavePNG"},
	"html/template":            {"ParseFiles", "ParseGlob"},
	"codeberg.org/go-pdf/fpdf": {"AddFont", "AddUTF8Font", "Image", "ImageOptions", "OutputFileAndClose", "SetDefaultCreationDate"},
}

// pureState are the variables that break a rule on them, each for a reason.
var pureState = map[string]string{
	"study.ErrNoCandidate": "a sentinel: callers compare errors with it",
	"draw.escaper":         "a strings.Replacer builds its table at its first use, from what it was made of, once",
	"phys.dropMarks":       "as draw.escaper",
}

// The packages of the rows without io do no input or output of their own, read
// no clock and keep no state that changes once the program runs. What cannot be
// seen in the code of one package is state behind a pointer that was copied out
// of its variable first, and state of a closure.
func TestPure(t *testing.T) {
	fset := token.NewFileSet()
	known := exported(t, fset)
	dirs := map[string][]*ast.File{}
	for _, s := range sources(t) {
		if r := rowOf(s.pkg); r < 0 || layers[r].io != "" || s.test || s.program || !strings.HasPrefix(filepath.ToSlash(s.file), "internal/") {
			continue
		}
		f, err := parser.ParseFile(fset, s.file, nil, parser.ParseComments|parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		dirs[s.dir] = append(dirs[s.dir], f)
	}
	if len(dirs) < 11 {
		t.Fatalf("only %d packages", len(dirs))
	}
	for dir, files := range dirs {
		p := &purity{fset: fset, info: newInfo()}
		conf := types.Config{Importer: known}
		if _, err := conf.Check("basswright/"+filepath.ToSlash(dir), fset, files, p.info); err != nil {
			t.Fatalf("%s: %v", dir, err)
		}
		for _, fault := range p.check(files) {
			t.Error(fault)
		}
	}
}

// Each kind of impurity is seen, and what looks like one and is none is not.
func TestPureFindsWhatIsImpure(t *testing.T) {
	fset := token.NewFileSet()
	known := exported(t, fset)
	for _, c := range []struct{ code, want string }{
		{`import "os"; var _ = os.Args`, "imports os"},
		{`import "net/http"; var _ http.Handler`, "imports net/http"},
		{`import _ "log/slog"`, "imports log/slog"},
		{`import _ "math/rand/v2"`, "imports math/rand/v2"},
		{`import _ "syscall"`, "imports syscall"},
		{`import _ "os/exec"`, "imports os/exec"},
		{`import _ "unsafe"`, "imports unsafe"},
		{`import "time"; var _ = func() { time.Sleep(1) }`, "uses time.Sleep"},
		{`import "time"; var at = time.Now()`, "uses time.Now"},
		{`import clock "time"; func f(t clock.Time) clock.Duration { return clock.Since(t) }`, "uses time.Since"},
		{`import . "time"; var c = NewTimer(1)`, "uses time.NewTimer"},
		{`import "time"; var c = time.Tick(1)`, "uses time.Tick"},
		{`import "time"; var d time.Duration; var t = time.Unix(0, 0).UTC()`, ""},
		{`import "runtime"; var n = runtime.NumGoroutine()`, "uses runtime.NumGoroutine"},
		{`import "context"; var f = context.WithTimeout`, "uses context.WithTimeout"},
		{`import "fmt"; func f() { fmt.Println() }`, "uses fmt.Println"},
		{`import "fmt"; var s = fmt.Sprint(1)`, ""},
		{`func f() { println() }`, "uses println"},
		{`var Open = 1`, "Open can be written from everywhere"},
		{`const Closed = 1`, ""},
		{`var n int; func f() { n = 1 }`, "writes n"},
		{`var n int; func f() { n++ }`, "writes n"},
		{`var n int; func f() { n += 1 }`, "writes n"},
		{`var n []int; func f() { n[0] = 1 }`, "writes n"},
		{`var n struct{ a [2]int }; func f() { n.a[0] = 1 }`, "writes n"},
		{`var n *struct{ a int }; func f() { (*n).a = 1 }`, "writes n"},
		{`var n map[int]int; func f() { delete(n, 1) }`, "writes n"},
		{`var n map[int]int; func f() { clear(n) }`, "writes n"},
		{`var n []int; func f() { copy(n[1:], n) }`, "writes n"},
		{`var n int; func f() { for n = range 3 {} }`, "writes n"},
		{`var n int; func f() *int { return &n }`, "takes the address of n"},
		{`var n [3]int; func f() []int { return n[:] }`, "takes the address of n"},
		{`type c int; func (x *c) up() { *x++ }; var n c; func f() { n.up() }`, "takes the address of n"},
		{`import "slices"; var n []int; func f() { slices.Sort(n) }`, "sorts n"},
		{`import "sort"; var n []int; func f() { sort.Ints(n) }`, "sorts n"},
		{`import "sync"; var m sync.Mutex`, "m keeps state"},
		{`import "sync"; var m = struct{ p *sync.Map }{}`, "m keeps state"},
		{`var c chan int`, "c keeps state"},
		{`var n int; func init() { n = 2 }`, "writes n"},
		{`var next = func() func() int { n := 0; return func() int { n++; return n } }()`, "next may close over state"},
		{`import "sync"; var once = sync.OnceValue(func() int { return 1 })`, ""},
		{`var n int; func f() int { n := n; n++; return n }`, ""},
		{`var n = []int{1}; func f() (s int) { for _, v := range n { s += v }; s += n[0]; return }`, ""},
		{`//go:linkname f time.now
func f()`, "go:linkname"},
	} {
		f, err := parser.ParseFile(fset, "p.go", "package p\n"+c.code, parser.ParseComments|parser.SkipObjectResolution)
		if err != nil {
			t.Fatalf("%s: %v", c.code, err)
		}
		p := &purity{fset: fset, info: newInfo()}
		// what a forbidden import holds need not be known to see the import
		conf := types.Config{Importer: known, Error: func(error) {}}
		_, _ = conf.Check("p", fset, []*ast.File{f}, p.info)
		got := strings.Join(p.check([]*ast.File{f}), "\n")
		if c.want == "" && got != "" || !strings.Contains(got, c.want) {
			t.Errorf("%s\nfound %q, want %q", c.code, got, c.want)
		}
	}
}

// exported reads what the packages below internal/ import, ours and others, as
// the compiler left it.
func exported(t *testing.T, fset *token.FileSet) types.Importer {
	t.Helper()
	cmd := exec.Command("go", "list", "-export", "-deps", "-json=ImportPath,Export", "./internal/...")
	var told bytes.Buffer
	cmd.Stderr = &told
	list, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v: %v\n%s", cmd, err, told.String())
	}
	files := map[string]string{}
	for d := json.NewDecoder(bytes.NewReader(list)); ; {
		var p struct{ ImportPath, Export string }
		if err := d.Decode(&p); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
		files[p.ImportPath] = p.Export
	}
	return importer.ForCompiler(fset, "gc", func(path string) (io.ReadCloser, error) {
		if files[path] == "" {
			return nil, fmt.Errorf("nothing below internal/ imports %s", path)
		}
		return os.Open(files[path])
	})
}
