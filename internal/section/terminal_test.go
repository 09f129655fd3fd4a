package section_test

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"basswright/internal/draw"
	"basswright/internal/section"
)

// extent is the room that a path takes.
func extent(s shape) (left, right, top, bottom float64) {
	left, top, right, bottom = math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, p := range s.pts {
		left, right = math.Min(left, p.X), math.Max(right, p.X)
		top, bottom = math.Min(top, p.Y), math.Max(bottom, p.Y)
	}
	return left, right, top, bottom
}

// isPlus tells the sign of a lead: two strokes that cross in their middles.
func isPlus(s shape) bool {
	if len(s.pts) != 4 || strings.HasSuffix(s.d, "Z") || s.fill != "NONE" || strings.Count(s.d, "M") != 2 {
		return false
	}
	a, b, c, d := s.pts[0], s.pts[1], s.pts[2], s.pts[3]
	const least = 1e-2 // the drawing keeps hundredths of a unit
	return math.Abs(a.Y-b.Y) < least && math.Abs(c.X-d.X) < least && math.Abs((a.X+b.X)/2-c.X) < 2*least && math.Abs((c.Y+d.Y)/2-a.Y) < 2*least
}

// The signs of the leads lie on no board and on no magnet, however closely the drivers
// stand and however small they are drawn.
func TestSignsLieOnNothing(t *testing.T) {
	seen := map[string]int{}
	for _, name := range []string{"village-hall-riser", "camper-bench", "workshop-stool", "hayloft"} {
		text, err := os.ReadFile(filepath.Join("..", "..", "examples", name+".yaml"))
		if err != nil {
			t.Fatal(err)
		}
		for _, o := range evaluated(t, string(text)) {
			for _, k := range []float64{0.086, 0.14, 0.27, 0.44, 0.9} {
				all := shapes(t, write(t, section.Draw(o, section.Options{Scale: k, Theme: draw.Page(), Mute: true})))
				for _, s := range all {
					if !isPlus(s) {
						continue
					}
					seen[name]++
					l, r, u, d := extent(s)
					for _, other := range all[1:] { // the first is the ground
						solid := strings.HasSuffix(other.d, "Z") && (other.fill == "#1B1E23" || other.fill == "#4A4F56" || other.stroke == "#1B1E23")
						if !solid {
							continue
						}
						a, b, c, e := extent(other)
						if b-a > 60*k*10 && e-c > 60*k*10 {
							continue // the outline of all
						}
						if l < b-0.05 && r > a+0.05 && u < e-0.05 && d > c+0.05 {
							t.Errorf("%s, %s at %g px/mm: the sign at (%.1f, %.1f) lies on %.70s", name, o.Candidate.Name, k, (l+r)/2, (u+d)/2, other.d)
						}
					}
				}
			}
		}
	}
	for _, name := range []string{"village-hall-riser", "camper-bench", "workshop-stool", "hayloft"} {
		if seen[name] < 12 {
			t.Errorf("%s: %d signs were met", name, seen[name])
		}
	}
}

// A fold is told in the sides that the space and the ledger have, so that one sentence
// has no two depths.
func TestAFoldIsToldInTheSidesOfItsSpace(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("..", "..", "examples", "rope-walk.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range evaluated(t, string(text)) {
		if o.Candidate.Name != "full" {
			continue
		}
		for _, terse := range []bool{false, true} {
			_, told := section.Told(o, section.Options{Scale: 0.32, Theme: draw.Page(), Size: 11, Terse: terse})
			var all []string
			for _, r := range told {
				all = append(all, r.Text)
			}
			said := strings.Join(all, "; ")
			for _, want := range []string{"1140\u2009mm wide, 230\u2009mm high and 437\u2009mm deep", "78.0\u2009mm too deep"} {
				if !strings.Contains(said, want) {
					t.Errorf("terse %v: %q is missing in %q", terse, want, said)
				}
			}
			if strings.Contains(said, "above: straight") == terse {
				t.Errorf("terse %v: %q", terse, said)
			}
		}
	}
}
