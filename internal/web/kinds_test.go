package web

import (
	"slices"
	"strings"
	"testing"
)

// Enclosures with a duct are sized for the candidate that is asked about, and told how;
// the others are answered without, and an answer while something moves has none.
func TestKindsOfTheOneAskedAbout(t *testing.T) {
	dir := t.TempDir()
	put(t, dir, "bench.yaml", ductStudy)
	s := openOn(t, dir, "127.0.0.1:0")
	ducts := func(c Candidate) (n int) {
		for _, v := range c.Variants {
			if !v.Current && slices.Contains([]string{"box-transmission_line", "box-tapped_waveguide", "box-front_loaded_horn", "box-back_loaded_horn"}, v.ID) {
				n++
				if !strings.Contains(v.Why, " of ") || len(v.Changes) != 1 {
					t.Errorf("%s: %q, %d changes", v.Words, v.Why, len(v.Changes))
				}
			}
		}
		return n
	}
	for _, of := range []string{"one", "line", "", "nobody"} {
		v := ask[View](s, 200, "POST", "/api/studies/bench/view", Ask{Suggest: true, Kinds: of})
		for _, c := range v.Result.Candidates {
			want := 0
			switch {
			case c.Name == of && of == "one":
				want = 4
			case c.Name == of:
				want = 3 // but its own
			}
			if n := ducts(c); n != want {
				t.Errorf("%d ducts of %s where %q is asked about, want %d", n, c.Name, of, want)
			}
		}
	}
	v := ask[View](s, 200, "POST", "/api/studies/bench/view", Ask{Kinds: "one"})
	if n := len(v.Result.Candidates[0].Variants); n != 0 {
		t.Errorf("%d variants that nobody asked for", n)
	}
}
