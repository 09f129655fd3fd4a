package section_test

import (
	"math"
	"strings"
	"testing"

	"basswright/internal/draw"
	"basswright/internal/section"
	"basswright/internal/study"
)

// A port that is bent keeps its length along its axis, which stands out by
// 14 mm at either end (measured on the page at 1 px/mm, to its two decimals).
func TestBentPortsKeepTheirLength(t *testing.T) {
	seen := map[string]bool{}
	for _, o := range outcomes(t) {
		for _, s := range shapes(t, write(t, section.Draw(o, section.Options{Scale: 1, Theme: draw.Page(), Size: 11}))) {
			if len(s.pts) != 3 || s.stroke != soft || s.fill != "NONE" || strings.HasSuffix(s.d, "Z") {
				continue
			}
			long := -2 * 14.0
			for i := 1; i < len(s.pts); i++ {
				long += math.Hypot(s.pts[i].X-s.pts[i-1].X, s.pts[i].Y-s.pts[i-1].Y)
			}
			ok := false
			for _, p := range o.Body.Ports {
				ok = ok || math.Abs(long-1e3*p.Port.Length) < 0.05
			}
			if !ok {
				t.Errorf("%s: a bent port of %.1f mm", o.Candidate.Name, long)
			}
			seen[o.Candidate.Name] = true
		}
	}
	if !seen["slot"] || len(seen) < 2 {
		t.Errorf("bent ports in %v only", seen)
	}
}

// Where radiators stand in the sides, each side board is two pieces, with the
// radiators' cutout between them and nothing else missing of the side.
func TestSideBoardsAreOpenAtTheRadiator(t *testing.T) {
	for _, o := range outcomes(t) {
		if o.Candidate.Name != "sides" {
			continue
		}
		cutout := 1e3 * study.RadiatorFrame(o.Body.Spec.Radiator).Cutout
		left, right, back := math.Inf(1), math.Inf(-1), math.Inf(1)
		var upright [][4]float64
		for _, s := range shapes(t, write(t, section.Draw(o, section.Options{Scale: 1, Theme: draw.Page(), Size: 11}))) {
			if len(s.pts) != 4 || s.stroke != ink || s.fill != "NONE" || !strings.HasSuffix(s.d, "Z") {
				continue
			}
			b := [4]float64{s.pts[0].X, s.pts[0].Y, s.pts[2].X, s.pts[2].Y}
			left, right, back = math.Min(left, b[0]), math.Max(right, b[2]), math.Min(back, b[1])
			if math.Abs(b[2]-b[0]-18) < 0.02 {
				upright = append(upright, b)
			}
		}
		for _, x := range []float64{left, right - 18} {
			var side [][4]float64
			for _, b := range upright {
				if math.Abs(b[0]-x) < 0.02 {
					side = append(side, b)
				}
			}
			if len(side) != 2 {
				t.Fatalf("the side at %.1f is %d pieces: %v", x, len(side), upright)
			}
			from, to := back+18, back+1e3*o.Body.Depth
			if d := math.Abs(side[0][1]-from) + math.Abs(side[1][3]-to) + math.Abs(side[1][1]-side[0][3]-cutout); d > 0.06 {
				t.Errorf("the side at %.1f: %v, want %.2f to %.2f with an opening of %.2f", x, side, from, to, cutout)
			}
			if middle := (side[0][3] + side[1][1]) / 2; math.Abs(middle-(back+500*o.Body.Depth)) > 0.03 {
				t.Errorf("the radiators’ axis is at %.2f, want the middle of the depth", middle)
			}
		}
	}
}

// A wrong polarity is told below the drawing, and nothing of the kind elsewhere.
func TestWrongPolarityIsTold(t *testing.T) {
	wrong := map[string]bool{"wrong": true, "reversed": false, "half-wrong": true, "tandem": false}
	for _, o := range outcomes(t) {
		want, ok := wrong[o.Candidate.Name]
		if !ok {
			continue
		}
		text := write(t, section.Draw(o, section.Options{Scale: 0.5, Theme: draw.Page(), Size: 11}))
		if got := strings.Contains(text, ">WRONG"); got != want {
			t.Errorf("%s: told %v", o.Candidate.Name, got)
		}
		if muted := write(t, section.Draw(o, section.Options{Scale: 0.5, Theme: draw.Page(), Size: 11, Mute: true})); strings.Contains(muted, ">WRONG") {
			t.Errorf("%s: words below a mute drawing", o.Candidate.Name)
		}
	}
}
