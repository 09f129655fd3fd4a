package web

import (
	"context"
	"slices"
	"strings"
	"testing"

	"basswright/internal/report"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// What is doubtful and what was filled in is told as the report tells it, and not
// while something moves.
func TestAccountIsTheReports(t *testing.T) {
	s := open(t)
	// a sheet that says five things of which four are enough
	text := strings.Replace(string(samples(t)["village-hall-riser"]), "    re: 5.6 ohm\n", "    fs: 26.0 Hz\n    re: 5.6 ohm\n", 1)
	put(t, s.dir, "riser.yaml", text)
	st, err := studyfile.Parse([]byte(text), "riser.yaml")
	if err != nil {
		t.Fatal(err)
	}
	r, err := study.Evaluate(context.Background(), st, study.Options{})
	if err != nil {
		t.Fatal(err)
	}
	doubts, filled := report.Account(r)
	if len(doubts) == 0 || len(filled) == 0 {
		t.Fatalf("%d doubts and %d filled in: the example says nothing", len(doubts), len(filled))
	}
	v := ask[View](s, 200, "POST", "/api/studies/riser/view", Ask{})
	same := slices.EqualFunc(v.Result.Doubts, findings(doubts), func(a, b Finding) bool { return a.Text == b.Text && a.Mend == b.Mend && a.Where == b.Where })
	if !same || !slices.Equal(v.Result.Filled, filled) {
		t.Errorf("doubts %+v\nfilled in %q", v.Result.Doubts, v.Result.Filled)
	}
	if v := ask[View](s, 200, "POST", "/api/studies/riser/view", Ask{Quick: true}); len(v.Result.Doubts)+len(v.Result.Filled) > 0 {
		t.Error("a quick answer carries the account")
	}
}
