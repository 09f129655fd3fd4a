package web

import (
	"os"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// The page's client is made from the description as it is committed.
func TestDescriptionIsFresh(t *testing.T) {
	want, err := Description()
	if err != nil {
		t.Fatal(err)
	}
	got, err := os.ReadFile("ui/openapi.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(string(want), string(got)); d != "" {
		t.Errorf("ui/openapi.yaml is stale: run go generate ./internal/web\n%s", d)
	}
}
