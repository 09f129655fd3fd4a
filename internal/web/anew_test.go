package web

import (
	"os"
	"path/filepath"
	"reflect"
	"testing"
)

// A study whose file is gone is written anew where it is asked for, from a text
// or from a state of its history, and from nothing else.
func TestWriteAnew(t *testing.T) {
	s := open(t)
	path := filepath.Join(s.dir, "bench.yaml")
	before := s.view()
	edited := ask[View](s, 200, "POST", "/api/studies/bench/edit", volumes(27, "28 L"))
	remove := func() {
		t.Helper()
		if err := os.Remove(path); err != nil {
			t.Fatal(err)
		}
	}
	remove()
	s.refused(404, "no study bench", "PUT", "/api/studies/bench/text", NewText{Base: edited.Revision, Text: edited.Text})
	s.refused(404, "no study bench", "POST", "/api/studies/bench/edit", volumes(30, "27 L"))
	shelf := ask[Shelf](s, 200, "GET", "/api/studies", nil)
	if len(shelf.Studies) != 0 || len(shelf.Gone) != 1 || shelf.Gone[0].Name != "bench" {
		t.Errorf("the list tells %+v, gone %+v", shelf.Studies, shelf.Gone)
	}
	past := ask[[]Past](s, 200, "GET", "/api/studies/bench/past", nil)
	if len(past) != 2 || past[0].Revision != before.Revision || past[1].Current {
		t.Fatalf("its history: %+v", past)
	}

	anew := ask[View](s, 200, "PUT", "/api/studies/bench/text", NewText{Base: edited.Revision, Text: edited.Text + "# more\n", Label: "written anew", Anew: true})
	if s.disk("bench.yaml") != edited.Text+"# more\n" || anew.Undo != "written anew" || anew.Result == nil {
		t.Errorf("undo %q", anew.Undo)
	}

	// where it is back, the flag overrules nothing
	c := ask[Clash](s, 409, "PUT", "/api/studies/bench/text", NewText{Base: before.Revision, Text: "study: x\n", Anew: true})
	if c.Base != anew.Revision || s.disk("bench.yaml") != anew.Text {
		t.Errorf("a file that is there: %+v", c)
	}

	remove()
	restore := map[string]any{"base": anew.Revision, "id": past[0].ID}
	s.refused(404, "no study bench", "POST", "/api/studies/bench/restore", restore)
	restore["anew"] = true
	back := ask[View](s, 200, "POST", "/api/studies/bench/restore", restore)
	if s.disk("bench.yaml") != before.Text || back.Undo == "" {
		t.Errorf("undo %q", back.Undo)
	}
	s.refused(404, "no study nowhere", "GET", "/api/studies/nowhere/past", nil)
}

// A page that has all it can have is not refused for saying so.
func TestMostThatARequestHas(t *testing.T) {
	s := open(t)
	if f, ok := reflect.TypeFor[Ask]().FieldByName("Have"); !ok || f.Tag.Get("maxItems") != itoa(mostHave) {
		t.Errorf("the description says %s, the bound is %d", f.Tag.Get("maxItems"), mostHave)
	}
	keys := make([]string, mostHave)
	ask[View](s, 200, "POST", "/api/studies/bench/view", Ask{Have: keys})
	s.refused(422, itoa(mostHave), "POST", "/api/studies/bench/view", Ask{Have: append(keys, "")})
}
