package web

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"basswright/internal/folder"
	"basswright/internal/studyfile"
)

// Looking at the list writes nothing, and reads anew only what has changed.
func TestListIsRememberedByContent(t *testing.T) {
	s := open(t)
	for k := range 5 {
		put(t, s.dir, fmt.Sprintf("copy-%d.yaml", k), strings.Replace(string(samples(t)["camper-bench"]), "Camper bench", fmt.Sprintf("Copy %d", k), 1))
	}
	before := files(t, s.dir)
	title := func() string {
		for _, e := range ask[Shelf](s, 200, "GET", "/api/studies", nil).Studies {
			if e.Name == "copy-3" {
				return e.Title
			}
		}
		return ""
	}
	if got := title(); got != "Copy 3" {
		t.Fatalf("listed as %q", got)
	}
	if after := files(t, s.dir); after != before {
		t.Errorf("looking at the list wrote:\n%s\nafter\n%s", after, before)
	}
	known := len(s.shelf.known)
	put(t, s.dir, "copy-3.yaml", strings.Replace(s.disk("copy-3.yaml"), "Copy 3", "Heath", 1))
	if got := title(); got != "Heath" || len(s.shelf.known) != known {
		t.Errorf("listed as %q, %d remembered of %d", got, len(s.shelf.known), known)
	}
}

// What a study names beside it counts as its content.
func TestListSeesFilesBesideAStudy(t *testing.T) {
	s := open(t)
	put(t, s.dir, "seat.yaml", string(edited(t, samples(t)["camper-bench"], set("listening.transfer", "seat.csv"))))
	faults := func() int {
		for _, e := range ask[Shelf](s, 200, "GET", "/api/studies", nil).Studies {
			if e.Name == "seat" {
				return e.Faults
			}
		}
		return -1
	}
	missing := faults()
	put(t, s.dir, "seat.csv", "10;0\n100;1\n1000;0\n")
	if now := faults(); missing != 1 || now != 0 {
		t.Errorf("%d faults without the file, %d with it", missing, now)
	}
}

func edited(t *testing.T, text []byte, changes ...studyfile.Change) []byte {
	t.Helper()
	text, err := studyfile.Edit(text, changes)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

func files(t *testing.T, dir string) string {
	t.Helper()
	var out []string
	err := filepath.WalkDir(dir, func(path string, _ os.DirEntry, err error) error {
		out = append(out, path)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return strings.Join(out, "\n")
}

// The list of as many studies as a folder may have: first, and again.
func BenchmarkList(b *testing.B) {
	dir := b.TempDir()
	text := string(samples(b)["camper-bench"])
	for k := range 1000 {
		if err := os.WriteFile(filepath.Join(dir, fmt.Sprintf("bench-%03d.yaml", k)), []byte(fmt.Sprintf("# %d\n", k)+text), 0o644); err != nil {
			b.Fatal(err)
		}
	}
	f, err := folder.Open(dir, folder.Options{})
	if err != nil {
		b.Fatal(err)
	}
	defer f.Close()
	s := New(b.Context(), Options{Folder: f})
	list := func() {
		w := httptest.NewRecorder()
		s.handler.ServeHTTP(w, httptest.NewRequest("GET", "/api/studies", nil))
		if w.Code != http.StatusOK {
			b.Fatalf("%d %s", w.Code, w.Body)
		}
	}
	b.Run("first", func(b *testing.B) {
		for b.Loop() {
			s.shelf.replace(nil)
			list()
		}
	})
	b.Run("again", func(b *testing.B) {
		list()
		for b.Loop() {
			list()
		}
	})
}
