package report_test

import (
	"fmt"
	"strings"
	"testing"

	"basswright/internal/report"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// A column follows from what it is said to follow from, whatever else of the study has been
// changed, and with mends or without: of one candidate, of all, or of what is told of them
// together. Who has it need not be sent it again.
func TestColumnsFollowFromWhatIsSaid(t *testing.T) {
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
		change("spectrum: pink, from: 30 Hz", "spectrum: pink, from: 40 Hz"), change("price: 60 EUR", "price: 61 EUR"), change("  mixed:", "  merged:"),
		change("stack: 2, coupling: {volume: 1 L}", "stack: 1"), change("polarity: [normal, reversed]", "polarity: [normal, normal]"),
		change("  wall: {group: {driver: owl}, enclosure: {kind: infinite_baffle}}\n", ""), more["ducts and fill"], text,
	}
	mem, columns, again, one := study.NewMemory(), map[string]string{}, 0, map[string]bool{}
	for i, text := range texts {
		for _, opt := range []study.Options{{Workers: 2, Points: 40}, {Workers: 2, Points: 40, WithoutMends: true}, {Workers: 2, Points: 40, Yardstick: "asked"}} {
			st, err := studyfile.Parse([]byte(text), "study.yaml")
			if err != nil {
				t.Fatal(err)
			}
			if _, err := st.Find(opt.Yardstick); opt.Yardstick != "" && err != nil {
				continue
			}
			for _, m := range []*study.Memory{mem, study.NewMemory()} {
				r, err := m.Evaluate(t.Context(), st, opt)
				if err != nil {
					t.Fatal(err)
				}
				table := report.NewTable(r)
				for k, o := range r.Candidates {
					from, is := fmt.Sprintf("%s %d %v %t", o.Candidate.Digest, k, table.Rows, r.HasBrief), fmt.Sprintf("%+v", table.Column(o))
					was, had := columns[from]
					if had && was != is {
						t.Errorf("text %d, %+v, %s:\n%s\nand it was\n%s", i, opt, o.Candidate.Name, is, was)
					}
					if had {
						again++
					}
					columns[from] = is
					if o.Candidate.Name == "mixed" {
						one[is] = true
					}
				}
			}
		}
	}
	// each of a dozen texts changes the column of one, and each is seen five times beside the first
	if again < 300 || len(one) < 10 {
		t.Errorf("%d columns were met again, and one candidate has had %d", again, len(one))
	}
}
