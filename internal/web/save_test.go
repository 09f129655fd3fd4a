package web

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"basswright/internal/studyfile"
)

func itoa(n int) string { return strconv.Itoa(n) }

// An edit changes its line and no other, and undo and redo go back and forth to
// the byte.
func TestEditUndoRedoRestore(t *testing.T) {
	s := open(t)
	before := s.view()
	edited := ask[View](s, 200, "POST", "/api/studies/bench/edit", volumes(27, "28 L"))
	if want := strings.Replace(before.Text, "volume: 28 L", "volume: 27 L", 1); edited.Text != want || s.disk("bench.yaml") != want {
		t.Fatalf("the edit made\n%s", edited.Text)
	}
	if edited.Undo != "volume 27" || edited.Revision == before.Revision || edited.Result == nil {
		t.Errorf("undo %q, revision %s after %s", edited.Undo, edited.Revision, before.Revision)
	}
	undo := ask[View](s, 200, "POST", "/api/studies/bench/undo", map[string]any{"base": edited.Revision})
	if undo.Text != before.Text || undo.Revision != before.Revision || undo.Redo != "volume 27" {
		t.Errorf("undo: revision %s, redo %q", undo.Revision, undo.Redo)
	}
	s.refused(409, "nothing to undo", "POST", "/api/studies/bench/undo", map[string]any{"base": undo.Revision})
	redo := ask[View](s, 200, "POST", "/api/studies/bench/redo", map[string]any{"base": undo.Revision})
	if redo.Text != edited.Text {
		t.Error("redo makes another text")
	}
	s.refused(409, "nothing to redo", "POST", "/api/studies/bench/redo", map[string]any{"base": redo.Revision})
	var id int
	for _, p := range ask[[]Past](s, 200, "GET", "/api/studies/bench/past", nil) {
		if p.Revision == before.Revision {
			id = p.ID
		}
	}
	back := ask[View](s, 200, "POST", "/api/studies/bench/restore", map[string]any{"base": redo.Revision, "id": id})
	if back.Text != before.Text || back.Undo == "" {
		t.Error("the earlier state did not come back")
	}
	s.refused(404, "holds no state", "POST", "/api/studies/bench/restore", map[string]any{"base": back.Revision, "id": 77})
	clash := ask[Clash](s, 409, "POST", "/api/studies/bench/restore", map[string]any{"base": edited.Revision, "id": id})
	if clash.Base != back.Revision {
		t.Errorf("a restore over a newer state: %+v", clash)
	}
}

// An edit of what another has changed writes nothing, and tells both texts.
func TestEditMeetsAnother(t *testing.T) {
	s := open(t)
	s.view()
	other := strings.Replace(s.disk("bench.yaml"), "volume: 28 L", "volume: 31 L", 1) + "# by hand\n"
	put(t, s.dir, "bench.yaml", other)
	c := ask[Clash](s, 409, "POST", "/api/studies/bench/edit", volumes(27, "28 L"))
	if c.Path != volume || c.Was != "28 L" || c.Is != "31 L" || c.Theirs != other || !strings.Contains(c.Yours, "volume: 27 L") || !strings.Contains(c.Yours, "# by hand") {
		t.Errorf("clash %+v", c)
	}
	gone := 0
	for _, l := range c.Lines {
		if l.Sort == "gone" {
			gone++
		}
	}
	if gone != 1 || s.disk("bench.yaml") != other {
		t.Errorf("%d lines differ; on disk\n%s", gone, s.disk("bench.yaml"))
	}
	if !s.keeps(c.Kept, c.Yours) {
		t.Errorf("the refused edit is not in the history: %+v", s.past())
	}
	// Keeping one's own is a save from the base that the clash names.
	v := ask[View](s, 200, "PUT", "/api/studies/bench/text", NewText{Base: c.Base, Text: c.Yours, Label: "kept mine"})
	if v.Text != c.Yours || s.disk("bench.yaml") != c.Yours {
		t.Error("one’s own cannot be kept")
	}
	// A change elsewhere in the file does not hinder.
	put(t, s.dir, "bench.yaml", strings.Replace(c.Yours, "tuning: 29 Hz", "tuning: 30 Hz", 1))
	v = ask[View](s, 200, "POST", "/api/studies/bench/edit", volumes(26, "27 L"))
	if !strings.Contains(v.Text, "tuning: 30 Hz") || !strings.Contains(v.Text, "volume: 26 L") {
		t.Error("an edit lost another one elsewhere in the file")
	}
	s.refused(422, "", "POST", "/api/studies/bench/edit", Edit{Changes: []studyfile.Change{{Do: "remove", Path: "candidates.none"}}})
	s.refused(422, "", "POST", "/api/studies/bench/edit", Edit{Changes: []studyfile.Change{{Do: "burn", Path: volume}}})
}

func TestReplaceFromAnOldBase(t *testing.T) {
	s := open(t)
	old := s.view()
	other := old.Text + "# another program\n"
	put(t, s.dir, "bench.yaml", other)
	mine := "# mine\n" + old.Text
	c := ask[Clash](s, 409, "PUT", "/api/studies/bench/text", NewText{Base: old.Revision, Text: mine})
	if c.Theirs != other || c.Yours != mine || s.disk("bench.yaml") != other {
		t.Errorf("clash %+v", c)
	}
	if !s.keeps(c.Kept, mine) {
		t.Errorf("the refused text is not in the history: %+v", s.past())
	}
	for _, step := range []string{"undo", "redo"} {
		// no clash: there is nothing to choose between
		s.refused(409, "nothing was taken back", "POST", "/api/studies/bench/"+step, map[string]any{"base": old.Revision})
		if c := ask[Clash](s, 409, "POST", "/api/studies/bench/"+step, map[string]any{"base": old.Revision}); c.Theirs != "" || s.disk("bench.yaml") != other {
			t.Errorf("%s from an old base: %+v", step, c)
		}
	}
	s.refused(422, "1048576", "PUT", "/api/studies/bench/text", NewText{Base: c.Base, Text: strings.Repeat("#", 1<<20+1)})
	// A text with faults is kept all the same: it is the person's.
	v := ask[View](s, 200, "PUT", "/api/studies/bench/text", NewText{Base: c.Base, Text: "study: [\n"})
	if s.disk("bench.yaml") != "study: [\n" || len(v.Faults) == 0 || v.Revision == c.Base {
		t.Error("a text with faults is not saved")
	}
}

// While another program writes without end, edits are made, or refused and kept: each
// that was answered with 200 is in the history, and each refused one beside it.
func TestEditWhileAnotherWrites(t *testing.T) {
	s := open(t)
	text := s.view().Text
	stop := make(chan struct{})
	var wg sync.WaitGroup
	wg.Go(func() {
		for n := 0; ; n++ {
			select {
			case <-stop:
				return
			case <-time.After(10 * time.Millisecond):
			}
			part := filepath.Join(s.dir, ".editor")
			if os.WriteFile(part, fmt.Appendf(nil, "%s# write %d\n", text, n), 0o644) == nil {
				_ = os.Rename(part, filepath.Join(s.dir, "bench.yaml"))
			}
		}
	})
	made, want := map[string]bool{}, 4
	end := time.Now().Add(30 * time.Second)
	for n := 0; n < 8 || len(made) < want && time.Now().Before(end); n++ {
		res, data := s.send("POST", "/api/studies/bench/edit", volumes(40+n))
		switch res.StatusCode {
		case 200:
			made[fmt.Sprintf("volume %d", 40+n)] = true
		case 409:
			var c Clash
			if err := json.Unmarshal(data, &c); err != nil || !s.keeps(c.Kept, c.Yours) || !strings.Contains(c.Yours, fmt.Sprintf("volume: %d L", 40+n)) {
				t.Errorf("a refused edit is not kept: %v %.300s", err, data)
			}
		default:
			t.Errorf("%s: %.300s", res.Status, data)
		}
	}
	close(stop)
	wg.Wait()
	if len(made) < want {
		t.Errorf("%d edits were made in half a minute", len(made))
	}
	for _, p := range s.past() {
		delete(made, p.Label)
	}
	if len(made) > 0 {
		t.Errorf("these were answered as saved and are not in the history: %v", made)
	}
}

// Two editors, one that writes in place and one that renames over, and two pages
// together lose no edit: each is in the file at the end, or in a state of the history.
// The editors take turns, since what one does to the other’s text before anybody
// could look is not the server’s to save.
func TestManyEditorsTogether(t *testing.T) {
	const edits = 12
	s := open(t)
	begun := s.view()
	path := filepath.Join(s.dir, "bench.yaml")
	var wg sync.WaitGroup
	var turn, mu sync.Mutex
	edit := map[string]bool{} // what each edit leaves in a text
	note := func(mark string) {
		mu.Lock()
		defer mu.Unlock()
		edit[mark] = true
	}
	for who, put := range map[string]func(text []byte) error{
		"in place": func(text []byte) error {
			out, err := os.OpenFile(path, os.O_WRONLY, 0)
			if err != nil {
				return err
			}
			time.Sleep(3 * time.Millisecond) // as editors do, between opening and writing
			err = out.Truncate(0)
			_, err2 := out.Write(text)
			return errors.Join(err, err2, out.Close())
		},
		"renaming": func(text []byte) error {
			part := filepath.Join(s.dir, ".editor")
			return errors.Join(os.WriteFile(part, text, 0o644), os.Rename(part, path))
		},
	} {
		wg.Go(func() {
			for n := range edits {
				turn.Lock()
				text, err := os.ReadFile(path)
				mark := fmt.Sprintf("# %s %d\n", who, n)
				if err == nil {
					err = put(append(text, mark...))
				}
				turn.Unlock()
				if err != nil {
					t.Error(err)
				}
				note(mark)
				time.Sleep(40 * time.Millisecond)
			}
		})
	}
	clashes := 0
	for k, place := range []string{volume, "candidates.pair.enclosure.volume"} {
		wg.Go(func() {
			base := begun.Revision
			for n := 1; n <= edits; n++ {
				value := fmt.Sprintf("%d L", 100*(k+1)+n)
				e := Edit{Ask: Ask{Quick: true, Points: 2}, Base: base, Changes: []studyfile.Change{set(place, value)}, Label: "page"}
				res, data := s.send("POST", "/api/studies/bench/edit", e)
				switch res.StatusCode {
				case 200:
					var v View
					if err := json.Unmarshal(data, &v); err != nil {
						t.Error(err)
					}
					base = v.Revision
				case 409:
					mu.Lock()
					clashes++
					mu.Unlock()
				default:
					t.Errorf("%s: %.300s", res.Status, data)
				}
				note("volume: " + value) // made or refused: it is not lost
				time.Sleep(20 * time.Millisecond)
			}
		})
	}
	wg.Wait()
	var missing []string
	overtaken := 0
	for end := time.Now().Add(10 * time.Second); ; time.Sleep(100 * time.Millisecond) { // what came late is found soon
		all := s.disk("bench.yaml")
		overtaken = 0
		for _, p := range s.past() {
			text, err := s.opt.Folder.State("bench", p.ID)
			if err != nil {
				t.Fatal(err)
			}
			all += string(text)
			if p.Overtaken {
				overtaken++
			}
		}
		missing = missing[:0]
		for mark := range edit {
			if !strings.Contains(all, mark) {
				missing = append(missing, mark)
			}
		}
		if len(missing) == 0 || time.Now().After(end) {
			break
		}
	}
	t.Logf("%d edits, %d clashes, %d overtaken", len(edit), clashes, overtaken)
	if len(edit) != 4*edits || len(missing) > 0 {
		t.Errorf("of %d edits these are lost: %q", len(edit), missing)
	}
}
