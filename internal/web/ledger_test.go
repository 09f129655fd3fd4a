package web

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"basswright/internal/studyfile"
)

// A ledger is what a page holds of ledgers, and how it puts one together.
type ledger struct {
	heads     map[string][]Head
	cells     map[string][]Cell
	frequency map[string]Curve
}

// take puts a result together in place, and tells what came with it: "heads", "frequency",
// and the candidates whose columns did.
func (l *ledger) take(r *Result) string {
	var came []string
	if r.Heads != nil {
		l.heads[r.HeadsKey], came = r.Heads, append(came, "heads")
	}
	if r.Frequency != nil {
		l.frequency[r.FrequencyKey], came = r.Frequency, append(came, "frequency")
	}
	for i := range r.Candidates {
		c := &r.Candidates[i]
		if c.Cells != nil {
			l.cells[c.CellsKey], came = c.Cells, append(came, c.Name)
		}
		c.Cells = l.cells[c.CellsKey]
	}
	r.Heads, r.Frequency = l.heads[r.HeadsKey], l.frequency[r.FrequencyKey]
	return strings.Join(came, " ")
}

// Of the ledger comes what the page does not have, and with what it has that is the ledger
// which comes to a page that has nothing.
func TestLedgerThatThePageHas(t *testing.T) {
	const all = "one pair compound tuned four band"
	s := open(t)
	change := func(do, path string) []studyfile.Change { return []studyfile.Change{{Do: do, Path: path}} }
	put := func(path, value string) []studyfile.Change { return []studyfile.Change{set(path, value)} }
	for what, k := range map[string]struct {
		ask     Ask
		changes []studyfile.Change
		came    string
	}{
		"nothing":                        {},
		"a volume":                       {changes: put(volume, "27 L"), came: "one"},
		"another":                        {changes: put("candidates.tuned.enclosure.volume", "39 L"), came: "tuned"},
		"a note of a candidate":          {changes: put("candidates.one.note", "the first"), came: "one"},
		"a goal":                         {changes: put("brief.extension.f3", "60 Hz"), came: all},
		"a limit that a row is named by": {changes: put("brief.limits.mass", "20 kg"), came: "heads " + all},
		"no goals":                       {changes: change("remove", "brief"), came: "heads " + all},
		"the drive":                      {changes: put("drive.power", "60 W"), came: all},
		"the yardstick":                  {ask: Ask{Yardstick: "pair"}},
		"a cell that is opened":          {ask: Ask{Open: &Cellmark{Row: "f3_hz", Candidate: "one"}}},
		"units":                          {changes: put("units", "imperial"), came: "heads " + all},
		"the range":                      {ask: Ask{From: 15}, came: "frequency " + all},
		"fewer points":                   {ask: Ask{Points: 100}, came: "frequency " + all},
		"step responses":                 {ask: Ask{Time: true}, came: all},
		"a name":                         {changes: []studyfile.Change{{Do: "rename", Path: "candidates.one", Name: "single"}}, came: "single"},
		"the first is removed":           {changes: change("remove", "candidates.one"), came: "pair compound tuned four band"},
		"the last is removed, and its row with it": {changes: change("remove", "candidates.band"), came: "heads one pair compound tuned four"},
		"one is added":        {changes: []studyfile.Change{{Do: "copy", Path: "candidates.band", Name: "broad"}}, came: "broad"},
		"a row for one alone": {changes: put("candidates.pair.group.polarity", "[normal, reversed]"), came: "heads " + all},
	} {
		for _, quick := range []bool{true, false} {
			page := ledger{map[string][]Head{}, map[string][]Cell{}, map[string]Curve{}}
			first := s.view().Result
			if came := page.take(first); came != "heads frequency "+all {
				t.Fatalf("at first comes %s", came)
			}
			e := Edit{Ask: k.ask, Changes: k.changes}
			e.Quick = quick
			plain := ask[View](s, 200, "POST", "/api/studies/bench/try", e.tried())
			e.Have = keys(first)
			got := ask[View](s, 200, "POST", "/api/studies/bench/try", e.tried())
			if plain.Result == nil || got.Result == nil {
				t.Fatalf("%s: %+v", what, got.Faults)
			}
			if came := page.take(got.Result); came != k.came {
				t.Errorf("%s: there comes %q, want %q", what, came, k.came)
			}
			if !slices.Equal(keys(got.Result), keys(plain.Result)) {
				t.Errorf("%s: keys %v, and without what the page has %v", what, keys(got.Result), keys(plain.Result))
			}
			if !reflect.DeepEqual(got.Result.Heads, plain.Result.Heads) || !reflect.DeepEqual(got.Result.Frequency, plain.Result.Frequency) {
				t.Errorf("%s: heads and frequencies are not those of a page that has nothing", what)
			}
			for i, c := range got.Result.Candidates {
				if want := plain.Result.Candidates[i]; len(c.Cells) != len(got.Result.Heads) || !reflect.DeepEqual(c.Cells, want.Cells) {
					t.Errorf("%s: %s has\n%+v, want\n%+v", what, c.Name, c.Cells, want.Cells)
				}
			}
		}
	}
}

// A step of a drag, which names all that the step before brought, brings one column.
func TestEachStepBringsOneColumn(t *testing.T) {
	s := open(t)
	page := ledger{map[string][]Head{}, map[string][]Cell{}, map[string]Curve{}}
	shown := s.view().Result
	page.take(shown)
	for litres := 27; litres > 20; litres-- {
		e := volumes(litres)
		e.Quick, e.Have = true, keys(shown)
		next := ask[View](s, 200, "POST", "/api/studies/bench/try", e.tried()).Result
		if came := page.take(next); came != "one" {
			t.Errorf("%d L: there comes %q", litres, came)
		}
		at := slices.IndexFunc(next.Heads, func(h Head) bool { return h.Key == "net_volume" })
		if at < 0 || next.Candidates[0].Cells[at].Text != itoa(litres)+".0" || next.Candidates[0].Cells[at].Path != volume {
			t.Errorf("%d L: row %d, %+v", litres, at, next.Candidates[0].Cells)
		}
		shown = next
	}
}

// A server that begins where another has ended takes the keys of that for its own.
func TestKeysOutliveAServer(t *testing.T) {
	first := open(t)
	had := keys(first.view().Result)
	first.end()
	second := openOn(t, first.dir, "127.0.0.1:0")
	again := ask[View](second, 200, "POST", "/api/studies/bench/view", Ask{Have: had}).Result
	page := ledger{}
	if came := page.take(again); came != "" || !slices.Equal(keys(again), had) {
		t.Errorf("there comes %q, under %v, after %v", came, keys(again), had)
	}
}
