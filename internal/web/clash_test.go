package web

import (
	"os"
	"strings"
	"testing"

	"basswright/internal/studyfile"
)

func (s *shop) past() []Past {
	s.t.Helper()
	return ask[[]Past](s, 200, "GET", "/api/studies/bench/past", nil)
}

// keeps tells whether a state of the history, which was never on disk, holds a text.
func (s *shop) keeps(id int, text string) bool {
	s.t.Helper()
	for _, p := range s.past() {
		if p.ID == id {
			kept, err := s.opt.Folder.State("bench", id)
			return err == nil && string(kept) == text && p.Overtaken && !p.Current
		}
	}
	return false
}

// A change of a place that is not there any more is a clash too: it is made on the
// text that the page had, kept, and shown.
func TestChangeOfWhatIsGone(t *testing.T) {
	s := open(t)
	had := s.view()
	other := strings.Replace(had.Text, "  one:\n", "  solo:\n", 1)
	if other == had.Text {
		t.Fatal("the bench has another form")
	}
	put(t, s.dir, "bench.yaml", other)
	e := volumes(27, "28 L")
	e.Base = had.Revision
	c := ask[Clash](s, 409, "POST", "/api/studies/bench/edit", e)
	if c.Theirs != other || c.Yours != strings.Replace(had.Text, "volume: 28 L", "volume: 27 L", 1) || !s.keeps(c.Kept, c.Yours) || len(c.Lines) == 0 {
		t.Errorf("clash %+v", c)
	}
	// What could not be made on that text either is no clash.
	e.Changes = []studyfile.Change{{Do: "remove", Path: "candidates.none"}}
	s.refused(422, "none", "POST", "/api/studies/bench/edit", e)
}

// Where the history cannot take a refused text in, the page is told so.
func TestRefusedAndNotKept(t *testing.T) {
	s := open(t)
	old := s.view()
	put(t, s.dir, "bench.yaml", old.Text+"# by hand\n")
	s.view()
	if err := os.RemoveAll(s.dir + "/.basswright"); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(s.dir+"/.basswright", nil, 0o644); err != nil {
		t.Fatal(err)
	}
	defer os.Remove(s.dir + "/.basswright")
	res, body := s.send("PUT", "/api/studies/bench/text", NewText{Base: old.Revision, Text: "study: mine\n"})
	if res.StatusCode < 400 || !strings.Contains(string(body), "no folder") {
		t.Errorf("%s %s", res.Status, body)
	}
}

// A text that met another in some lines is kept before a person takes it apart, and
// the file stays as it is.
func TestKeepWhatMetAnother(t *testing.T) {
	s := open(t)
	was := s.view()
	mine := was.Text + "# mine\n"
	kept := ask[Kept](s, 200, "POST", "/api/studies/bench/keep", Keep{Text: mine, Label: "edited as text"})
	if !s.keeps(kept.ID, mine) {
		t.Errorf("state %d does not hold what was written", kept.ID)
	}
	again := ask[Kept](s, 200, "POST", "/api/studies/bench/keep", Keep{Text: mine})
	if now := s.view(); again != kept || s.disk("bench.yaml") != was.Text || now.Revision != was.Revision || now.Undo != was.Undo {
		t.Errorf("kept as %d and %d; what an undo takes back is %q after %q", kept.ID, again.ID, now.Undo, was.Undo)
	}
	s.refused(404, "none", "POST", "/api/studies/none/keep", Keep{Text: mine})
}
