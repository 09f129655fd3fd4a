package web

import (
	"sync"
	"testing"

	"basswright/internal/folder"
	"basswright/internal/studyfile"
)

// A file that was read is taken by one at a time, and for its own text and name alone; a
// large one is not kept.
func TestAHeldFileIsTakenOnce(t *testing.T) {
	var o held
	v := folder.Version{File: "heath.yaml", Text: []byte("study: Heath\n"), Revision: "1"}
	f := o.take(v)
	o.give(v, f)
	for name, other := range map[string]folder.Version{
		"another text": {File: v.File, Text: v.Text, Revision: "2"},
		"another name": {File: "moor.yaml", Text: v.Text, Revision: v.Revision},
	} {
		if o.take(other) == f {
			t.Error(name, "got the file")
		}
	}
	if o.take(v) != f {
		t.Error("the file was not kept")
	}
	if o.take(v) == f {
		t.Error("two have it")
	}
	v.Text = make([]byte, mostHeld+1)
	large := studyfile.Open(v.Text, v.File)
	o.give(v, large)
	if o.take(v) == large {
		t.Error("a large file was kept")
	}
}

// Tries of one study at once share nothing that is written: run with -race.
func TestTriesAtOnce(t *testing.T) {
	s := open(t)
	var wg sync.WaitGroup
	for _, c := range []studyfile.Change{set("listening", "{distance: 1 m, space: half}"), set("listening", "{distance: 2 m, space: half}"), set(volume, "31 L"), set(volume, "28 L")} {
		for range 2 {
			wg.Go(func() {
				res, body := s.send("POST", "/api/studies/bench/try", Edit{Changes: []studyfile.Change{c}}.tried())
				if res.StatusCode != 200 && res.StatusCode != 503 {
					t.Errorf("%s: %s %.200s", c.Value, res.Status, body)
				}
			})
		}
	}
	wg.Wait()
}
