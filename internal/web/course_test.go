package web

import (
	"slices"
	"strings"
	"testing"

	"basswright/internal/studyfile"
)

// A profile comes with its section, once, and a point is moved, put in between two
// others and taken out again by changes of the file as the page makes them.
func TestProfileIsEditedByPoints(t *testing.T) {
	dir := t.TempDir()
	put(t, dir, "bench.yaml", ductStudy)
	s := openOn(t, dir, "127.0.0.1:0")
	v := ask[View](s, 200, "POST", "/api/studies/bench/view", Ask{})
	for i, c := range v.Result.Candidates {
		if (c.Course != nil) != (i == 4) {
			t.Errorf("%s: has a course: %t", c.Name, c.Course != nil)
		}
	}
	c := v.Result.Candidates[4]
	if len(c.Course.Points) != 3 || len(c.Course.Between) != 2 || c.Course.Points[1].At != 1.1 || c.Course.PerMetre != 1e3*sectionScale {
		t.Fatalf("course %+v", *c.Course)
	}
	const profile = "candidates.back.enclosure.duct.profile"
	edit := func(changes ...studyfile.Change) View {
		t.Helper()
		e := Edit{Changes: changes, Label: "profile", Ask: Ask{Have: []string{c.DrawKey}}}
		out := ask[View](s, 200, "POST", "/api/studies/bench/try", e.tried())
		if len(out.Faults) > 0 {
			t.Fatal(out.Faults)
		}
		return out
	}
	moved := edit(set(profile+"[1].at", "1.2 m"), set(profile+"[1].area", "220 cm2")).Result.Candidates[4]
	if moved.Course == nil || moved.Course.Points[1].At != 1.2 || moved.DrawKey == c.DrawKey {
		t.Errorf("moved: %+v", moved.Course)
	}
	for i, other := range edit(set("candidates.one.enclosure.volume", "10 L")).Result.Candidates {
		if other.Course != nil {
			t.Errorf("candidate %d: what the page has comes again", i)
		}
	}
	more := edit(set(profile+"[3]", "{at: 1.4 m, area: 400 cm2}"), studyfile.Change{Do: "move", Path: profile + "[3]", To: 2})
	if want := "{at: 1.1 m, area: 200 cm2}, {at: 1.4 m, area: 400 cm2}, {at: 1.8 m, area: 900 cm2}]"; !strings.Contains(more.Text, want) {
		t.Errorf("no %q in\n%s", want, more.Text)
	}
	less := edit(studyfile.Change{Do: "remove", Path: profile + "[1]"})
	if want := "profile: [{at: 0 m, area: 60 cm2}, {at: 1.8 m, area: 900 cm2}]"; !strings.Contains(less.Text, want) {
		t.Errorf("no %q in\n%s", want, less.Text)
	}
	// a duct that is worded by its ends becomes one through points
	const duct = "candidates.tapped.enclosure.duct"
	drawn := edit(set(duct+".profile", "[{at: 0 m, area: 80 cm2}, {at: 2.1 m, area: 250 cm2}]"), studyfile.Change{Do: "remove", Path: duct + ".length"},
		studyfile.Change{Do: "remove", Path: duct + ".start"}, studyfile.Change{Do: "remove", Path: duct + ".end"})
	if c := drawn.Result.Candidates[2].Course; c == nil || len(c.Points) != 2 || c.Points[1].At != 2.1 {
		t.Errorf("tapped through points: %+v", c)
	}
}

// Of a duct that is folded the section is as wide as what is built, and its points stand in
// a drawing of their own, which comes and stays away with it.
func TestFoldedDuctHasADrawingForItsPoints(t *testing.T) {
	dir := t.TempDir()
	put(t, dir, "bench.yaml", ductStudy)
	s := openOn(t, dir, "127.0.0.1:0")
	v := ask[View](s, 200, "POST", "/api/studies/bench/view", Ask{})
	c := v.Result.Candidates[4]
	if c.Course == nil || !strings.HasPrefix(c.Course.Drawing, "<svg") || c.Course.Drawing == c.Section {
		t.Fatalf("no drawing of its own: %+v", c.Course)
	}
	long := 1e3 * sectionScale * c.Course.Points[2].At
	if c.Across >= long {
		t.Errorf("the section is %g wide, and the duct alone %g long", c.Across, long)
	}
	said := func(list []Remark, want string) bool {
		return slices.ContainsFunc(list, func(r Remark) bool { return strings.HasPrefix(r.Text, want) })
	}
	if !said(c.Told, "folded in ") || !said(c.Course.Told, "above: straight; below: ") {
		t.Errorf("%q and %q", c.Told, c.Course.Told)
	}
	again := ask[View](s, 200, "POST", "/api/studies/bench/view", Ask{Have: []string{c.DrawKey}}).Result.Candidates[4]
	if again.Course != nil || again.Section != "" || again.Across != c.Across {
		t.Error("what the page has comes again")
	}
}
