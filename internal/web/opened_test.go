package web

import (
	"encoding/json"
	"math"
	"strconv"
	"strings"
	"testing"
)

// Every value of every example's ledger is an input or opens: of each row the
// first that does is asked for. That all of them have something to say is held by
// TestEveryFigureOpens of report.
func TestEveryValueIsAnInputOrOpens(t *testing.T) {
	says := map[string]bool{"drivers": true, "mounting": true, "facing": true, "wiring": true, "kind": true} // the study's own words
	for name, text := range samples(t) {
		s := open(t)
		put(t, s.dir, name+".yaml", string(text))
		view := "/api/studies/" + name + "/view"
		plain := ask[View](s, 200, "POST", view, Ask{}).Result
		if plain.Opened != nil {
			t.Errorf("%s: nothing is open, and %+v comes", name, plain.Opened)
		}
		limits := 0
		for k, row := range plain.Heads {
			if row.Limit {
				limits++
			}
			asked := false
			for _, c := range plain.Candidates {
				cell := c.Cells[k]
				if cell.Text == "–" || cell.Path != "" || says[row.Key] {
					continue
				}
				if !row.Opens {
					t.Errorf("%s: %s does not open", name, row.Key)
				}
				if asked {
					continue
				}
				asked = true
				at := Cellmark{Row: row.Key, Candidate: c.Name}
				got := ask[View](s, 200, "POST", view, Ask{Open: &at, Quick: true}).Result.Opened
				if got == nil || got.Cellmark != at || got.Step.Formula == "" || got.Step.Numbers == "" || got.Step.Why == "" || got.Step.Source == "" || !row.Limit && got.Step.Value != cell.Text {
					t.Errorf("%s: %s of %s, %q, opens into %+v", name, row.Key, at.Candidate, cell.Text, got)
				}
			}
		}
		if limits == 0 {
			t.Errorf("%s has no gauge", name)
		}
	}
}

// What is open follows while a number is dragged, and costs an answer its own few
// bytes and no more.
func TestWhatIsOpenFollowsADrag(t *testing.T) {
	s := open(t)
	first := s.view()
	e := volumes(27)
	e.Quick, e.Open = true, &Cellmark{Row: "f3_hz", Candidate: "one"}
	e.Have = keys(first.Result)
	size := func(v View) int {
		data, err := json.Marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		return len(data)
	}
	before := ask[View](s, 200, "POST", "/api/studies/bench/view", Ask{Open: e.Open}).Result.Opened
	moved := ask[View](s, 200, "POST", "/api/studies/bench/try", e.tried())
	after := moved.Result.Opened
	if before == nil || after == nil || before.Step.Value == after.Step.Value || before.Step.Numbers == after.Step.Numbers {
		t.Fatalf("%+v before, %+v while it moves", before, after)
	}
	e.Open = nil
	if more := size(moved) - size(ask[View](s, 200, "POST", "/api/studies/bench/try", e.tried())); more < 100 || more > 2000 { // two texts of a few hundred signs
		t.Errorf("an open cell costs %d bytes", more)
	}
	for _, at := range []Cellmark{{Row: "f3_hz", Candidate: "nobody"}, {Row: "nothing", Candidate: "one"}, {Row: "tuning_hz", Candidate: "one"}} {
		if got := ask[View](s, 200, "POST", "/api/studies/bench/view", Ask{Open: &at}).Result; got == nil || got.Opened != nil {
			t.Errorf("%+v opens into %+v", at, got)
		}
	}
}

// The level at the hairline opens at any frequency of the curves, into the value that
// the curve has there; beyond them it has none.
func TestLevelAtTheHairlineOpens(t *testing.T) {
	s := open(t)
	plain := s.view().Result
	for _, c := range plain.Candidates {
		level := unpacked(c.Curves.Level)
		for i, f := range plain.Frequency {
			if i%97 != 0 && i != len(plain.Frequency)-1 {
				continue
			}
			for _, hz := range []float64{f, f * 1.0001} {
				at := Cellmark{"level-at", c.Name, hz}
				got := ask[View](s, 200, "POST", "/api/studies/bench/view", Ask{Open: &at, Quick: true}).Result.Opened
				if hz > plain.Frequency[len(plain.Frequency)-1] {
					if got != nil {
						t.Errorf("%s at %g Hz, beyond the curves, opens into %+v", c.Name, hz, got.Step)
					}
					continue
				}
				if got == nil || got.Cellmark != at || got.Step.Formula == "" || got.Step.Why == "" || got.Step.Source == "" {
					t.Fatalf("%s at %g Hz opens into %+v", c.Name, hz, got)
				}
				v, err := strconv.ParseFloat(strings.ReplaceAll(got.Step.Value, "−", "-"), 64)
				// written with one decimal, read at most 0.01 % beside the point of the curve
				if want := level[i]; err != nil || math.Abs(v-want) > 0.06 {
					t.Errorf("%s at %g Hz: %q, and the curve has %g (%v)", c.Name, hz, got.Step.Value, want, err)
				}
			}
		}
	}
	none := Cellmark{"level-at", "one", math.MaxFloat64}
	if got := ask[View](s, 200, "POST", "/api/studies/bench/view", Ask{Open: &none}).Result.Opened; got != nil {
		t.Errorf("%+v", got)
	}
}
