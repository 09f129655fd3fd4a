package report_test

import (
	"bytes"
	"fmt"
	"html"
	"regexp"
	"strings"
	"testing"

	"basswright/internal/phys"
	"basswright/internal/report"
	"basswright/internal/study"
)

var (
	tags   = regexp.MustCompile(`<[^>]*>`)
	spaces = regexp.MustCompile(`\s+`)
)

func pageOf(t *testing.T, r *study.Result) string {
	t.Helper()
	var b bytes.Buffer
	if err := report.ReportHTML(&b, r, report.HTMLOptions{}); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// below is what a page says under a heading, up to the next one; ok is false where
// it has none.
func below(page, heading string) (text string, ok bool) {
	_, rest, ok := strings.Cut(page, "<h2>"+heading+"</h2>")
	rest, _, _ = strings.Cut(rest, "<h2>")
	rest = strings.ReplaceAll(tags.ReplaceAllString(rest, " "), "\u202f", "\u2009")
	return spaces.ReplaceAllString(html.UnescapeString(rest), " "), ok
}

// The page has what a customer decides by: the picture of the greatest level where
// any limit of it is known, and the air in the ports and between the cones as tables
// with the figures of the result.
func TestPageHasTheGreatestLevelAndTheAir(t *testing.T) {
	var ports, least, cones int
	for name, r := range examples(t) {
		page := pageOf(t, r)
		u := r.Study.Units
		if !strings.Contains(page, "Greatest level</b>") || !strings.Contains(page, ">amplifier<") && !strings.Contains(page, ">excursion<") {
			t.Errorf("%s: the page has no picture of the greatest level and what ends it", name)
		}
		air, hasAir := below(page, "The air in the ports")
		sizes, hasLeast := below(page, "The least ports")
		stacks, hasStacks := below(page, "The air between the cones")
		wantAir, wantLeast, wantStacks := false, false, false
		for _, o := range r.Candidates {
			for i := range o.Air {
				a := &o.Air[i]
				wantAir = true
				row := regexp.MustCompile(fmt.Sprintf(`%s .*%s at %s %s %s `, o.Candidate.Name,
					regexp.QuoteMeta(phys.Digits(phys.Speed.Unit(u).Of(float64(a.Speed)), 3)), regexp.QuoteMeta(phys.Show(float64(a.Share.At), phys.Frequency, u)),
					regexp.QuoteMeta(phys.Digits(phys.Speed.Unit(u).Of(float64(a.Limit)), 3)), regexp.QuoteMeta(phys.Digits(float64(a.Share.Value), 3))))
				if a.Share.Value.OK() && !row.MatchString(air) {
					t.Errorf("%s: %q has no row %s", name, air, row)
				}
				ports++
				for k := range a.Least {
					l := &a.Least[k]
					wantLeast = true
					if l.Area > 0 && !strings.Contains(sizes, l.Size(r.Study)+" "+phys.Digits(phys.Area.Unit(u).Of(l.Area), 3)) {
						t.Errorf("%s: %q does not tell %+v", name, sizes, l)
					}
					for _, s := range l.Instead {
						if !strings.Contains(sizes, s) {
							t.Errorf("%s: %q does not say %q", name, sizes, s)
						}
					}
					least++
				}
			}
			for _, s := range o.Coupling {
				wantStacks = true
				if s.Error.Value.OK() && !s.Rigid && !strings.Contains(stacks, phys.Fixed(float64(s.Error.Value), 2)+" at "+phys.Show(float64(s.Error.At), phys.Frequency, u)) {
					t.Errorf("%s: %q does not tell %+v", name, stacks, s)
				}
				cones++
			}
		}
		if hasAir != wantAir || hasLeast != wantLeast || hasStacks != wantStacks {
			t.Errorf("%s: the tables that are there: %v %v %v, want %v %v %v", name, hasAir, hasLeast, hasStacks, wantAir, wantLeast, wantStacks)
		}
	}
	if ports < 3 || least < 3 || cones < 3 {
		t.Errorf("only %d ports, %d least ports and %d stacks were looked at", ports, least, cones)
	}
}

// Where no limit is known there is no picture of the greatest level, and no empty
// table; a candidate's name stays as the study has it.
func TestPageLeavesOutWhatIsNotKnown(t *testing.T) {
	r := evaluate(t, `study: Bare
drivers: {gannet-12: {fs: 24 Hz, qms: 6.1, qes: 0.44, vas: 92 L, sd: 512 cm2, re: 3.4 ohm}}
candidates: {closed: {group: {driver: gannet-12}, enclosure: {kind: sealed, volume: 40 L}}}
`, "bare.yaml")
	page := pageOf(t, r)
	for _, gone := range []string{"Greatest level</b>", "The air in the ports", "The least ports", "The air between the cones"} {
		if strings.Contains(page, gone) {
			t.Errorf("the page of a bare study has %q", gone)
		}
	}
	seen := false
	for _, r := range examples(t) {
		named := ""
		for _, o := range r.Candidates {
			for _, c := range r.Cautions {
				if strings.HasPrefix(c.Text, o.Candidate.Name) {
					named = strings.SplitN(c.Text, " ", 2)[0]
				}
			}
		}
		if named == "" {
			continue
		}
		seen = true
		if cautions, _ := below(pageOf(t, r), "Cautions"); !strings.Contains(cautions, ". "+named+" ") {
			t.Errorf("the cautions do not begin with %q: %s", named, cautions)
		}
	}
	if !seen {
		t.Error("no caution begins with a candidate’s name")
	}
}
