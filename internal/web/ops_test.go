package web

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"basswright/internal/report"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

func TestListTellsOfEveryFile(t *testing.T) {
	s := open(t)
	put(t, s.dir, "broken.yaml", "study: Broken\ncandidates: 7\n")
	put(t, s.dir, "huge.yaml", strings.Repeat("# heath\n", 200_000))
	put(t, s.dir, "notes.txt", "no study")
	l := ask[Shelf](s, 200, "GET", "/api/studies", nil)
	names := map[string]ShelfEntry{}
	for _, e := range l.Studies {
		names[e.Name] = e
	}
	if e := names["bench"]; e.Title != "Camper bench" || len(e.Candidates) != 6 || !slices.Equal(e.Drivers, []string{"merlin-10"}) || e.Faults != 0 {
		t.Errorf("the bench is listed as %+v", e)
	}
	if e := names["broken"]; e.Faults == 0 {
		t.Errorf("a study with faults is listed as %+v", e)
	}
	if _, ok := names["notes"]; ok {
		t.Error("a file that is no study is listed")
	}
	if e, ok := names["huge"]; ok && !strings.Contains(e.Note, "1 MiB") || !ok && !slices.ContainsFunc(l.LeftOut, func(f LeftOutFile) bool { return f.File == "huge.yaml" }) {
		t.Errorf("a file that is too large is not told of: %+v, %+v", e, l.LeftOut)
	}
	if len(l.Examples) != 10 || !slices.IsSortedFunc(l.Examples, func(a, b Example) int { return strings.Compare(a.Name, b.Name) }) {
		t.Errorf("examples %+v", l.Examples)
	}
	if l.Folder != "shop" || l.Version != "test" {
		t.Errorf("folder %q, version %q", l.Folder, l.Version)
	}
}

// A view tells the numbers of study.Evaluate, in the units that it names.
func TestViewIsTheEvaluation(t *testing.T) {
	s := open(t)
	v := s.view()
	st, err := studyfile.Parse([]byte(s.disk("bench.yaml")), "bench.yaml")
	if err != nil {
		t.Fatal(err)
	}
	want, err := study.Evaluate(context.Background(), st, study.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if v.Result == nil || len(v.Faults) != 0 || len(v.Result.Candidates) != 6 || v.Text != s.disk("bench.yaml") {
		t.Fatalf("faults %v, result %v", v.Faults, v.Result)
	}
	near := func(what string, sent Packed, want []float64, factor float64) {
		t.Helper()
		got := unpacked(sent)
		if len(got) != len(want) {
			t.Fatalf("%s has %d points, want %d", what, len(got), len(want))
		}
		for k := range got {
			// 24 bits are sent: half a unit of the last is at most 6e-8 of the value
			if w := want[k] * factor; math.Abs(got[k]-w) > 6e-8*math.Abs(w) {
				t.Fatalf("%s[%d] = %g, want %g", what, k, got[k], w)
			}
		}
	}
	for i, c := range v.Result.Candidates {
		o := want.Candidates[i]
		if c.Name != o.Candidate.Name || c.Met != (len(o.Misses) == 0) || !slices.Equal(c.Verdict, texts(o.Verdict)) {
			t.Errorf("candidate %d is told as %+v", i, c)
		}
		near(c.Name+" level", c.Curves.Level, o.Curves.SPL, 1)
		near(c.Name+" excursion", c.Curves.Excursion, o.Curves.ExcursionMax, 1e3)
		near(c.Name+" impedance", c.Curves.Impedance, o.Curves.Impedance, 1)
		near(c.Name+" group delay", c.Curves.GroupDelay, o.Curves.GroupDelay, 1e3)
	}
	table := report.NewTable(want)
	for k, o := range want.Candidates {
		column := table.Column(o)
		if cells := v.Result.Candidates[k].Cells; len(cells) != len(column) || len(v.Result.Heads) != len(column) {
			t.Fatalf("candidate %d has %d cells in %d rows, want %d", k, len(cells), len(v.Result.Heads), len(column))
		}
		for i, cell := range v.Result.Candidates[k].Cells {
			if cell.Text != column[i].Text {
				t.Errorf("row %s of candidate %d: %q, want %q", table.Rows[i].Key, k, cell.Text, column[i].Text)
			}
		}
	}
}

// What was asked for before is not sent again, and what changed is.
func TestCurvesThatThePageHas(t *testing.T) {
	s := open(t)
	first := s.view()
	var have []string
	for _, c := range first.Result.Candidates {
		if c.Curves == nil || c.Section == "" || c.Wiring == "" {
			t.Fatalf("%s came without curves or drawings", c.Name)
		}
		have = append(have, c.CurvesKey, c.DrawKey, c.WiringKey)
	}
	e := volumes(27)
	e.Have = have
	for i, c := range ask[View](s, 200, "POST", "/api/studies/bench/try", e.tried()).Result.Candidates {
		changed := c.Name == "one"
		if (c.Curves != nil) != changed || (c.Section != "") != changed || slices.Contains(have, c.CurvesKey) == changed {
			t.Errorf("%s: curves %v, section %d bytes, key %s after %s", c.Name, c.Curves != nil, len(c.Section), c.CurvesKey, first.Result.Candidates[i].CurvesKey)
		}
		if c.Wiring != "" {
			t.Errorf("%s: another box, and its wiring is sent again", c.Name)
		}
	}
	rewired := Edit{Ask: Ask{Have: have}, Changes: []studyfile.Change{set("candidates.pair.group.wiring", "parallel")}}
	for _, c := range ask[View](s, 200, "POST", "/api/studies/bench/try", rewired.tried()).Result.Candidates {
		if changed := c.Name == "pair"; (c.Wiring != "") != changed || slices.Contains(have, c.WiringKey) == changed {
			t.Errorf("%s: a wiring of %d bytes where that of the pair has changed", c.Name, len(c.Wiring))
		}
	}
	e.From = 15
	for _, c := range ask[View](s, 200, "POST", "/api/studies/bench/try", e.tried()).Result.Candidates {
		if c.Curves == nil {
			t.Errorf("%s: another range, and the curves of the old one stay", c.Name)
		}
	}
	if s.disk("bench.yaml") != first.Text {
		t.Error("trying has written the file")
	}
}

// The head of an answer says what the server took for it: no less than the work, no more
// than who asked has waited.
func TestAnswersSayWhatTheyTook(t *testing.T) {
	const work = 30 * time.Millisecond
	s := open(t, func(s *Server) {
		evaluate := s.evaluate
		s.evaluate = func(ctx context.Context, st *study.Study, opt study.Options) (*study.Result, error) {
			time.Sleep(work)
			return evaluate(ctx, st, opt)
		}
	})
	start := time.Now()
	res, _ := s.send("POST", "/api/studies/bench/view", Ask{})
	waited := time.Since(start)
	var ms float64
	if _, err := fmt.Sscanf(res.Header.Get("Server-Timing"), "answer;dur=%g", &ms); err != nil {
		t.Fatalf("%q: %v", res.Header.Get("Server-Timing"), err)
	}
	if took := time.Duration(ms * 1e6); took < work || took > waited {
		t.Errorf("it says %v, the work is %v, and %v were waited", took, work, waited)
	}
}

func TestQuickAnswersLeaveOut(t *testing.T) {
	s := open(t)
	e := volumes(27)
	e.Quick = true
	v := ask[View](s, 200, "POST", "/api/studies/bench/try", e.tried())
	if len(v.Fields) != 0 || len(v.Result.Drivers) != 0 || v.Space != "" || len(v.Result.Demands) != 0 {
		t.Error("a quick answer holds what the page does not need while dragging")
	}
	if full := s.view(); len(full.Fields) == 0 || len(full.Result.Drivers) != 1 || !strings.HasPrefix(full.Space, "<svg") || len(full.Result.Demands) == 0 {
		t.Error("a full answer lacks fields, drivers, space or demands")
	}
}

// A candidate without a sound has no level: null on the wire, never NaN.
func TestSilence(t *testing.T) {
	s := open(t)
	put(t, s.dir, "silent.yaml", `study: Reversed
drivers:
  d: {fs: 30.5 Hz, qms: 4.9, qes: 0.49, vas: 44 L, sd: 345 cm2, re: 3.3 ohm, xmax: 12 mm, rated_power: 350 W}
candidates:
  a: {group: {driver: d, side_by_side: 2, polarity: [normal, reversed]}, enclosure: {kind: sealed, volume: 28 L}}
`)
	for _, time := range []bool{false, true} {
		res, data := s.send("POST", "/api/studies/silent/view", Ask{Time: time})
		if res.StatusCode != 200 || bytes.Contains(data, []byte("NaN")) || bytes.Contains(data, []byte("Inf,")) || !json.Valid(data) {
			t.Fatalf("%s: %.500s", res.Status, data)
		}
		var v struct {
			Result struct {
				Candidates []struct {
					Reversed bool `json:"wrong_polarity"`
					Curves   struct{ Level Packed }
				}
			}
		}
		if err := json.Unmarshal(data, &v); err != nil {
			t.Fatal(err)
		}
		c := v.Result.Candidates[0]
		if !c.Reversed || len(c.Curves.Level) != 4*400 || slices.ContainsFunc(unpacked(c.Curves.Level), func(y float64) bool { return !math.IsNaN(y) }) {
			t.Errorf("a silent candidate has a level: %+v", c)
		}
	}
}

func TestFaultsComeWithTheirPlace(t *testing.T) {
	s := open(t)
	text := strings.Replace(s.disk("bench.yaml"), "volume: 28 L", "volume: 28", 1)
	v := ask[View](s, 200, "POST", "/api/studies/bench/text", TryText{Text: text})
	if v.Result != nil || len(v.Faults) == 0 || v.Faults[0].Line == 0 || v.Faults[0].Column == 0 || v.Faults[0].Mend == "" {
		t.Errorf("faults %+v", v.Faults)
	}
	if v.Text != text || len(v.Fields) == 0 {
		t.Error("a text with faults cannot be edited on")
	}
	v = ask[View](s, 200, "POST", "/api/studies/bench/view", Ask{From: 400, To: 10})
	if v.Result != nil || len(v.Faults) != 1 || !strings.Contains(v.Faults[0].Text, "must be below") {
		t.Errorf("a range the wrong way round: %+v", v.Faults)
	}
}

// Every operation that names a study refuses one that is not there, and names
// that lead elsewhere.
func TestNamesThatAreNone(t *testing.T) {
	s := open(t)
	for _, op := range []struct {
		method, path string
		body         any
	}{
		{"POST", "view", Ask{}}, {"POST", "try", volumes(3).tried()}, {"POST", "edit", volumes(3)}, {"PUT", "text", NewText{}}, {"POST", "text", TryText{}},
		{"POST", "undo", map[string]any{"base": ""}}, {"POST", "redo", map[string]any{"base": ""}}, {"GET", "past", nil},
		{"POST", "restore", map[string]any{"base": "", "id": 1}}, {"GET", "against", nil}, {"GET", "figure", nil}, {"GET", "data/json", nil},
		{"GET", "data/yaml", nil}, {"POST", "rename", map[string]any{"to": "other"}},
	} {
		s.refused(404, "no study", op.method, "/api/studies/nothing/"+op.path, op.body)
		for _, name := range []string{"%2Fetc%2Fpasswd", "..%2Fbench", "a%00b", ".basswright", "%2e%2e%5Cbench"} {
			s.refused(422, "", op.method, "/api/studies/"+name+"/"+op.path, op.body)
		}
		s.refused(422, "signs", op.method, "/api/studies/"+strings.Repeat("n", 101)+"/"+op.path, op.body)
		if res, _ := s.send(op.method, "/api/studies/%2e%2e/"+op.path, op.body); res.StatusCode < 300 || res.StatusCode >= 500 {
			t.Errorf("%s ../%s: %s", op.method, op.path, res.Status)
		}
	}
}

// What is wrong with a request is told in words, with its place.
func TestRequestsThatAreWrong(t *testing.T) {
	s := open(t)
	view := "/api/studies/bench/view"
	s.refused(422, "body.points must be at most 2000", "POST", view, `{"points": 2001}`)
	s.refused(422, "body.points must be at least 0", "POST", view, `{"points": -1}`)
	s.refused(422, "body.points must be a whole number", "POST", view, `{"points": 2.5}`)
	s.refused(422, "body.from must be a number", "POST", view, `{"from": "low"}`)
	s.refused(422, "body.quick must be true or false", "POST", view, `{"quick": 1}`)
	s.refused(422, "body.have must be a list", "POST", view, `{"have": "all"}`)
	s.refused(422, "body.colour is not known here; leave it out", "POST", view, `{"colour": "blue"}`)
	s.refused(422, "base is missing", "POST", "/api/studies/bench/undo", `{}`)
	s.refused(422, "body.from must be one of", "POST", "/api/studies", `{"name": "x", "from": "nowhere"}`)
	s.refused(422, "body.name needs at least 1 signs", "POST", "/api/studies", `{"name": "", "from": "empty"}`)
	s.refused(422, "query.format must be one of", "GET", "/api/studies/bench/figure?format=bmp", nil)
	s.refused(422, "path.format must be one of", "GET", "/api/studies/bench/data/xls", nil)
	s.refused(422, "query.from must be a number", "GET", "/api/studies/bench/data/csv?from=low", nil)
	s.refused(400, "the body is no sound JSON", "POST", view, `{"points": `)
	s.refused(400, "needs a body", "POST", view, nil)
	for _, kind := range []string{"text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x", "application/yaml", "application/cbor"} {
		res, data := s.send("POST", view, `{}`, "Content-Type", kind)
		if res.StatusCode != 415 || !bytes.Contains(data, []byte("must be JSON")) {
			t.Errorf("a body of %s: %s %s", kind, res.Status, data)
		}
	}
	s.refused(413, "2 MiB", "POST", view, `{"yardstick": "`+strings.Repeat("a", mostBody)+`"}`)
	if res, data := s.send("GET", "/api/nothing", nil); res.StatusCode != 404 || !bytes.Contains(data, []byte("nothing of that name")) {
		t.Errorf("an operation that is not there: %s %s", res.Status, data)
	}
	if res, _ := s.send("DELETE", "/api/studies/bench/text", nil); res.StatusCode != 405 {
		t.Errorf("a method that is not there: %s", res.Status)
	}
}

func TestCreateRenameDuplicate(t *testing.T) {
	s := open(t)
	type made struct {
		Name string `json:"name"`
		From string `json:"from"`
		Of   string `json:"of,omitempty"`
	}
	if m := ask[Made](s, 200, "POST", "/api/studies", made{"no #1", "empty", ""}); m.Name != "no #1" {
		t.Errorf("made %+v", m)
	}
	v := ask[View](s, 200, "POST", "/api/studies/no%20%231/view", Ask{})
	if st := v.Text; !strings.Contains(st, "no #1") || !strings.Contains(st, "units: metric") || v.Result != nil || v.Space != "" {
		t.Errorf("an empty study begins as %q with %q", st, v.Space)
	}
	put(t, s.dir, "spaced.yaml", "study: Spaced\nspace: {width: 900 mm, height: 400 mm, depth: 350 mm}\n")
	if v := ask[View](s, 200, "POST", "/api/studies/spaced/view", Ask{}); v.Result != nil || !strings.HasPrefix(v.Space, "<svg") || !strings.Contains(v.Space, "900") {
		t.Errorf("the space of a study without a candidate is drawn as %.200q", v.Space)
	}
	ask[Made](s, 200, "POST", "/api/studies", made{"soffit", "example", "studio-soffit"})
	if want := strings.Replace(string(s.opt.Examples["studio-soffit"]), "study: Studio soffit", "study: soffit", 1); s.disk("soffit.yaml") != want {
		t.Error("a study from an example is not the example with its own title")
	}
	ask[Made](s, 200, "POST", "/api/studies", made{"studio-soffit", "example", "studio-soffit"})
	if s.disk("studio-soffit.yaml") != string(s.opt.Examples["studio-soffit"]) {
		t.Error("the example under its own name is not the example")
	}
	ask[Made](s, 200, "POST", "/api/studies", made{"copy", "study", "bench"})
	if want := strings.Replace(s.disk("bench.yaml"), "study: Camper bench", "study: copy", 1); s.disk("copy.yaml") != want {
		t.Error("a copy is not alike, with its own title")
	}
	put(t, s.dir, "broken.yaml", "study: [\n") // a copy of what cannot be read is the same
	ask[Made](s, 200, "POST", "/api/studies", made{"Übungsraum", "study", "broken"})
	if s.disk("Übungsraum.yaml") != "study: [\n" {
		t.Error("a copy of a broken study is another text")
	}
	s.refused(409, "already", "POST", "/api/studies", made{"copy", "empty", ""})
	s.refused(409, "already", "POST", "/api/studies", made{"copy", "study", "bench"})
	s.refused(404, "no example", "POST", "/api/studies", made{"other", "example", "nothing"})
	s.refused(404, "no study", "POST", "/api/studies", made{"other", "study", "nothing"})
	s.refused(422, "", "POST", "/api/studies", made{"../other", "empty", ""})
	s.refused(422, "", "POST", "/api/studies", made{"a\x00b", "empty", ""})
	s.refused(409, "already", "POST", "/api/studies/copy/rename", map[string]any{"to": "bench"})
	s.refused(422, "", "POST", "/api/studies/copy/rename", map[string]any{"to": "a/b"})
	text := s.disk("copy.yaml")
	if m := ask[Made](s, 200, "POST", "/api/studies/copy/rename", map[string]any{"to": "renamed"}); m.File != "renamed.yaml" || s.disk("renamed.yaml") != text {
		t.Errorf("renamed to %+v", m)
	}
	s.refused(404, "no study", "POST", "/api/studies/copy/view", Ask{})
}

// Two studies: what neither has is no difference, a candidate that only one has
// is told once, and both are told in the same units.
func TestAgainstAnotherStudy(t *testing.T) {
	s := open(t)
	other := edited(t, samples(t)["camper-bench"], set("units", "imperial"),
		studyfile.Change{Do: "rename", Path: "candidates.pair", Name: "couple"}, set(volume, "20 L"))
	put(t, s.dir, "other.yaml", string(other))
	a := ask[Against](s, 200, "GET", "/api/studies/bench/against?study=other", nil)
	if a.Was.Study != "other" || a.Is.Study != "bench" {
		t.Errorf("from %+v to %+v", a.Was, a.Is)
	}
	only := map[string]string{}
	for _, r := range a.Rows {
		switch {
		case r.Only != "":
			only[r.Candidate] = r.Only
		case r.Candidate != "one":
			t.Errorf("%+v differs in nothing but its units", r)
		case r.Was == "–" || r.Is == "–" || r.Was == r.Is:
			t.Errorf("%+v differs not", r)
		}
	}
	if len(only) != 2 || only["couple"] != "was" || only["pair"] != "is" {
		t.Errorf("only one has %v", only)
	}
}

// What was shown in its own units is told in those of the other, also where no row has
// another key in them, as that of the weight has.
func TestAgainstInOtherUnits(t *testing.T) {
	s := open(t)
	bare := edited(t, samples(t)["camper-bench"], studyfile.Change{Do: "remove", Path: "drivers.merlin-10.mass"}, studyfile.Change{Do: "remove", Path: "brief.limits.mass"})
	put(t, s.dir, "bench.yaml", string(bare))
	put(t, s.dir, "other.yaml", string(edited(t, bare, set("units", "imperial"))))
	for _, name := range []string{"bench", "other"} {
		if v := ask[View](s, 200, "POST", "/api/studies/"+name+"/view", Ask{}); v.Result == nil || slices.ContainsFunc(v.Result.Heads, func(h Head) bool { return strings.HasPrefix(h.Key, "weight") }) {
			t.Fatalf("%s has a weight, or faults: %+v", name, v.Faults)
		}
	}
	for range 2 {
		if a := ask[Against](s, 200, "GET", "/api/studies/bench/against?study=other", nil); len(a.Rows) != 0 || len(a.Lines) == 0 {
			t.Errorf("%+v differ, of which nothing but the units does", a.Rows)
		}
	}
}

func TestAgainst(t *testing.T) {
	s := open(t)
	s.view()
	ask[View](s, 200, "POST", "/api/studies/bench/edit", volumes(20))
	past := ask[[]Past](s, 200, "GET", "/api/studies/bench/past", nil)
	if len(past) != 2 {
		t.Fatalf("%d states, want 2", len(past))
	}
	first := past[0].ID
	if past[0].Current {
		first = past[1].ID
	}
	a := ask[Against](s, 200, "GET", "/api/studies/bench/against?state="+itoa(first), nil)
	var gone, fresh []string
	for _, l := range a.Lines {
		switch l.Sort {
		case "gone":
			gone = append(gone, l.Text)
		case "new":
			fresh = append(fresh, l.Text)
		}
	}
	// from the older to the newer, whichever way it is asked
	if len(gone) != 1 || !strings.Contains(gone[0], "volume: 28 L") || len(fresh) != 1 || !strings.Contains(fresh[0], "volume: 20 L") {
		t.Errorf("gone %q, new %q", gone, fresh)
	}
	if back := ask[Against](s, 200, "GET", "/api/studies/bench/against?here="+itoa(first), nil); back.Was.State != first || back.Is.State != 0 || a.Was != back.Was || a.Is != back.Is {
		t.Errorf("from %+v to %+v", back.Was, back.Is)
	}
	found := false
	for _, r := range a.Rows {
		if r.Was == r.Is || r.Only != "" {
			t.Errorf("%+v differs not", r)
		}
		found = found || r.Candidate == "one" && strings.Contains(r.Was, "28") && strings.Contains(r.Is, "20")
	}
	if !found {
		t.Errorf("the volume is not among the figures that differ: %+v", a.Rows)
	}
	put(t, s.dir, "broken.yaml", "study: Broken\ncandidates: 7\n")
	if a := ask[Against](s, 200, "GET", "/api/studies/bench/against?study=broken", nil); a.Note == "" || len(a.Lines) == 0 {
		t.Errorf("against a study with faults: %+v", a)
	}
	s.refused(404, "holds no state 99", "GET", "/api/studies/bench/against?state=99", nil)
	s.refused(404, "no study", "GET", "/api/studies/bench/against?study=nothing", nil)
}
