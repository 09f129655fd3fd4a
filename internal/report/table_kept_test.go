package report_test

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"basswright/internal/report"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// Cells that are kept with the outcomes of a memory are those that are made anew, whatever
// of the study has been changed since: of one candidate, of all, or of what is told of them
// together.
func TestTableOfKeptOutcomesIsTheTable(t *testing.T) {
	text := more["unlike, reversed and boxed apart"]
	change := func(was, is string) string {
		if !strings.Contains(text, was) {
			t.Fatalf("the study does not have %q", was)
		}
		return strings.Replace(text, was, is, 1)
	}
	before, goals, _ := strings.Cut(text, "brief: ")
	_, after, _ := strings.Cut(goals, "\n")
	texts := []string{
		text, change("volume: 20 L}}\n  wrong", "volume: 21 L}}\n  wrong"), change("voltage: 20 V", "voltage: 21 V"), change("units: imperial", "units: metric"),
		change("f3: 40 Hz", "f3: 60 Hz"), change("excursion: 8 mm, ", ""), before + after, change("width: 700 mm", "width: 300 mm"),
		change("spectrum: pink, from: 30 Hz", "spectrum: pink, from: 40 Hz"), change("price: 60 EUR", "price: 61 EUR"), change("  mixed:", "  merged:"), text,
	}
	mem := study.NewMemory()
	for i, text := range texts {
		for _, opt := range []study.Options{{Workers: 2}, {Workers: 2, WithoutMends: true}, {Workers: 2, Yardstick: "asked"}} {
			for turn := range 2 {
				tables := make([]string, 2)
				for k, evaluate := range []func(context.Context, *study.Study, study.Options) (*study.Result, error){mem.Evaluate, study.Evaluate} {
					st, err := studyfile.Parse([]byte(text), "kept.yaml")
					if err != nil {
						t.Fatal(err)
					}
					r, err := evaluate(t.Context(), st, opt)
					if err != nil {
						t.Fatal(err)
					}
					tables[k] = fmt.Sprintf("%+v", report.Table(r))
				}
				if tables[0] != tables[1] {
					t.Fatalf("text %d, %+v, turn %d:\n%s\nanew:\n%s", i, opt, turn, tables[0], tables[1])
				}
			}
		}
	}
}
