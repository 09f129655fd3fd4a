package web

import (
	"context"
	"encoding/json"
	"testing"

	"basswright/internal/report"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// A limit that is asked for and that nobody knows is no wall: at 0 it would lie on
// the axis, and hide that of the others.
func TestUnknownLimitIsNoWall(t *testing.T) {
	st, err := studyfile.Parse([]byte(`study: Unknown
brief: {limits: {excursion: xmax}}
drivers:
  known: {fs: 38 Hz, qms: 4.2, qes: 0.41, vas: 12.5 L, sd: 136 cm2, re: 3.4 ohm, xmax: 7 mm}
  unknown: {fs: 38 Hz, qms: 4.2, qes: 0.41, vas: 12.5 L, sd: 136 cm2, re: 3.4 ohm}
candidates:
  one: {group: {driver: unknown}, enclosure: {kind: sealed, volume: 9 L}}
  two: {group: {driver: known}, enclosure: {kind: sealed, volume: 9 L}}
`), "unknown.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for n, want := range map[int]float64{1: 0, 2: 7} {
		some := *st
		some.Candidates = st.Candidates[:n]
		r, err := study.Evaluate(context.Background(), &some, study.Options{Points: 20})
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range strips(r) {
			if s.Key != "excursion" {
				continue
			}
			if got := s.Limit; want == 0 && got != nil || want > 0 && (got == nil || *got < want-1e-9 || *got > want+1e-9) {
				t.Errorf("with %d candidates the wall stands at %v, want %g", n, got, want)
			}
		}
	}
}

// A strip has its curve's name wherever that is shown: what is drawn as a file is
// what is seen.
func TestStripsAreFigures(t *testing.T) {
	s := open(t)
	r := evaluated(t, s, study.Options{Time: true})
	v := ask[View](s, 200, "POST", "/api/studies/bench/view", Ask{Time: true}).Result
	titles := map[string]string{}
	for _, f := range v.Figures {
		titles[string(f.Key)] = f.Title
	}
	if can := append(report.FigureNames(), showDistortion, showHeat); len(titles) != len(can) {
		t.Errorf("%d figures are offered, and %d can be drawn", len(titles), len(can))
	}
	data, err := json.Marshal(v.Candidates[3].Curves)
	if err != nil {
		t.Fatal(err)
	}
	sent := map[string]json.RawMessage{}
	if err := json.Unmarshal(data, &sent); err != nil {
		t.Fatal(err)
	}
	for _, strip := range v.Strips {
		if titles[string(strip.Key)] == "" || strip.Name == "" || len(strip.Name) > len("Greatest level") {
			t.Errorf("the strip %q, %q, is no figure", strip.Key, strip.Name)
		}
		_, want := report.Shown(r, r.Candidates[3], string(strip.Key))
		text, err := json.Marshal(packed(want))
		if err != nil {
			t.Fatal(err)
		}
		if len(want) == 0 || string(sent[string(strip.Key)]) != string(text) {
			t.Errorf("the strip %s shows other values than its figure", strip.Key)
		}
	}
	s.refused(422, "must be one of", "GET", "/api/studies/bench/figure?show=beauty", nil)
}

// The rows that a field sets are rows of a comparison.
func TestFieldsBelongToRows(t *testing.T) {
	set := map[string]bool{}
	for name, text := range samples(t) {
		st, err := studyfile.Parse(text, name)
		if err != nil {
			t.Fatal(err)
		}
		r, err := study.Evaluate(context.Background(), st, study.Options{Points: 20})
		if err != nil {
			t.Fatal(err)
		}
		there := map[string]bool{}
		for _, f := range studyfile.Open(text, "study.yaml").Fields() {
			there[f.Path] = true
		}
		table := report.NewTable(r)
		for _, o := range r.Candidates {
			var told Candidate
			told.column(r, o, table, "", nil)
			for i, c := range told.Cells {
				row := table.Rows[i]
				set[row.Key] = set[row.Key] || c.Path != ""
				if c.Path != "" && !there[c.Path] {
					t.Errorf("%s: %s is set by %s, which is no field", name, row.Key, c.Path)
				}
			}
		}
	}
	for _, key := range []string{"drivers", "facing", "wiring", "kind", "net_volume", "tuning_hz", "rear_tuning_hz", "qtc"} {
		if !set[key] {
			t.Errorf("no field sets %s", key)
		}
	}
}
