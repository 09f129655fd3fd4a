package studyfile

import (
	"context"
	"fmt"
	"os"
	"reflect"
	"strings"
	"testing"

	"basswright/internal/study"
)

func evaluated(t *testing.T, mem *study.Memory, text string, opt study.Options) *study.Result {
	t.Helper()
	st, err := Parse([]byte(text), "bench.yaml")
	if err != nil {
		t.Fatal(err)
	}
	r, err := mem.Evaluate(context.Background(), st, opt)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// What a memory gives is what a fresh evaluation gives, whatever was changed in
// between, and only candidates that changed are computed again.
func TestMemoryGivesWhatIsComputed(t *testing.T) {
	data, err := os.ReadFile("../../examples/camper-bench.yaml")
	if err != nil {
		t.Fatal(err)
	}
	bench, mem := string(data), study.NewMemory()
	before := evaluated(t, mem, bench, study.Options{})
	for _, c := range []struct {
		was, is string
		kept    []string // candidates
		opt     study.Options
	}{
		{"# The bench", "# A bench", []string{"one", "pair", "compound", "tuned", "four", "band"}, study.Options{}},
		{"", "", []string{"one", "pair", "compound", "tuned", "four", "band"}, study.Options{Yardstick: "tuned"}},
		{"volume: 40 L", "volume: 41 L", []string{"one", "compound", "tuned", "four", "band"}, study.Options{}},
		{"power: 75 W", "power: 76 W", nil, study.Options{}},
		{"qms: 4.9", "qms: 4.8", nil, study.Options{}},
		{"f3: 36 Hz", "f3: 35 Hz", nil, study.Options{}},
		{"note: the yardstick", "note: the first", []string{"pair", "compound", "tuned", "four", "band"}, study.Options{}},
		{"    group: {driver: merlin-10, side_by_side: 2, wiring: series}\n", "    group: {driver: merlin-10, side_by_side: 2,\n      wiring: series}\n", []string{"one", "pair"}, study.Options{}},
		{"", "", nil, study.Options{Points: 50}},
		{"", "", nil, study.Options{WithoutMends: true}},
		{"", "", nil, study.Options{Time: true}},
	} {
		text := strings.Replace(bench, c.was, c.is, 1)
		got, want := evaluated(t, mem, text, c.opt), evaluated(t, nil, text, c.opt)
		if got.Lead != want.Lead {
			t.Errorf("%q: %s", c.is, got.Lead)
		}
		for i, o := range got.Candidates {
			w := want.Candidates[i]
			if !reflect.DeepEqual(o.Curves.SPL, w.Curves.SPL) || !reflect.DeepEqual(o.Misses, w.Misses) || !reflect.DeepEqual(o.Verdict, w.Verdict) || !reflect.DeepEqual(o.Findings, w.Findings) || o.Candidate.Note != w.Candidate.Note {
				t.Errorf("%q: another %s", c.is, w.Candidate.Name)
			}
			kept := o.Curves == before.Candidates[i].Curves
			if kept != strings.Contains(" "+strings.Join(c.kept, " ")+" ", " "+o.Candidate.Name+" ") {
				t.Errorf("%q: %s kept: %v", c.is, o.Candidate.Name, kept)
			}
		}
	}
}

func TestMemoryIsBounded(t *testing.T) {
	const small = "study: A\ndrivers:\n  wren-6: {fs: 38 Hz, qms: 4.2, qes: 0.41, vas: 12.5 L, sd: 136 cm2, re: 3.4 ohm}\ncandidates:\n  one: {group: {driver: wren-6}, enclosure: {kind: sealed, volume: VOL L}}\n"
	mem := study.NewMemory()
	first := evaluated(t, mem, strings.Replace(small, "VOL", "9", 1), study.Options{Points: 2})
	for _, v := range strings.Fields(strings.Repeat("10 11 12 13 14 15 16 17 18 19 ", 20)) {
		evaluated(t, mem, strings.Replace(small, "VOL", v, 1), study.Options{Points: 2})
	}
	if again := evaluated(t, mem, strings.Replace(small, "VOL", "9", 1), study.Options{Points: 2}); again.Candidates[0].Curves != first.Candidates[0].Curves {
		t.Error("eleven outcomes do not fit")
	}
	for i := range 128 {
		evaluated(t, mem, strings.Replace(small, "VOL", fmt.Sprint(20+i), 1), study.Options{Points: 2})
	}
	if again := evaluated(t, mem, strings.Replace(small, "VOL", "9", 1), study.Options{Points: 2}); again.Candidates[0].Curves == first.Candidates[0].Curves {
		t.Error("nothing was forgotten")
	}
}
