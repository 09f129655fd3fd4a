package web

import (
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"basswright/internal/draw"
)

func TestLinesAreFresh(t *testing.T) {
	got, err := os.ReadFile("ui/src/lines.gen.ts")
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(string(Lines()), string(got)); d != "" {
		t.Errorf("ui/src/lines.gen.ts is stale: run go generate ./internal/web\n%s", d)
	}
}

// The page and the drawings in it have the colours of the figures.
func TestThePageHasTheColoursOfTheFigures(t *testing.T) {
	css, err := os.ReadFile("ui/src/tokens.css")
	if err != nil {
		t.Fatal(err)
	}
	light, night, ok := strings.Cut(string(css), `:root[data-theme="dark"]`)
	if !ok {
		t.Fatal("tokens.css has no dark theme")
	}
	for i := range draw.Candidates {
		for _, r := range []draw.Role{draw.Line(i), draw.Text(i)} {
			name := strings.TrimSuffix(strings.TrimPrefix(draw.Screen().CSS(r), "var("), ")")
			opaque := draw.Screen()
			opaque.Vars = false
			if want := name + ": " + opaque.CSS(r) + ";"; !strings.Contains(light, want) {
				t.Errorf("tokens.css, light, wants %s", want)
			}
			if want := name + ": " + draw.Slide().CSS(r) + ";"; !strings.Contains(night, want) {
				t.Errorf("tokens.css, dark, wants %s", want)
			}
		}
	}
}
