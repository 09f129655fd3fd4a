package section_test

import (
	"context"
	"math"
	"path/filepath"
	"strings"
	"testing"

	"basswright/internal/check"
	"basswright/internal/draw"
	"basswright/internal/section"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

const ducts = `study: Ducts
drivers:
  merlin-10: {fs: 30.5 Hz, qms: 4.9, qes: 0.49, vas: 44 L, sd: 345 cm2, re: 3.3 ohm, mounting_depth: 132 mm, cutout: 232 mm, flange: 262 mm}
candidates:
  end: {group: {driver: merlin-10}, enclosure: {kind: transmission_line, duct: {length: 1.8 m, start: 600 cm2, end: 300 cm2}}}
  offset: {group: {driver: merlin-10, stack: 2, coupling: 8 L}, enclosure: {kind: transmission_line, duct: {length: 2 m, area: 500 cm2, width: 250 mm}, driver_at: 0.65 m, mouth: free, fill: {resistivity: 900 Pa s/m2, from: 0.2 m, to: 1 m}}}
  jump: {group: {driver: merlin-10, stack: 2, arrangement: clamshell, coupling: 2 L}, enclosure: {kind: transmission_line, duct: {profile: [{at: 0 m, area: 600 cm2}, {at: 0.9 m, area: 600 cm2}, {at: 0.9 m, area: 300 cm2}, {at: 1.7 m, area: 300 cm2}], aspect: 1.5}, fill: {resistivity: 900 Pa s/m2}}}
  tapped: {group: {driver: merlin-10}, enclosure: {kind: tapped_waveguide, duct: {length: 2.4 m, start: 200 cm2, end: 600 cm2}, front_at: 0.2 m, rear_at: 2.2 m}}
  tapped-back: {group: {driver: merlin-10}, enclosure: {kind: tapped_waveguide, duct: {length: 2.4 m, start: 200 cm2, end: 600 cm2}, front_at: 2.3 m, rear_at: 0 m}}
  front: {group: {driver: merlin-10, stack: 2, coupling: 8 L}, enclosure: {kind: front_loaded_horn, duct: {length: 1.4 m, start: 150 cm2, end: 1500 cm2, flare: exponential}, rear: {volume: 20 L}, throat_chamber: {volume: 2 L}}}
  front-bare: {group: {driver: merlin-10}, enclosure: {kind: front_loaded_horn, duct: {length: 1.4 m, start: 150 cm2, end: 1500 cm2, flare: parabolic}, rear: {volume: 20 L}}}
  back: {group: {driver: merlin-10, side_by_side: 2}, enclosure: {kind: back_loaded_horn, duct: {length: 1.4 m, start: 150 cm2, end: 1500 cm2, flare: exponential}, throat_chamber: {volume: 4 L}}}
  back-bare: {group: {driver: merlin-10, stack: 2, polarity: [normal, reversed], coupling: 8 L}, enclosure: {kind: back_loaded_horn, duct: {start: 300 cm2, end: 1500 cm2, flare: tractrix}}}
`

func lines(t *testing.T) map[string]*study.Outcome { return linesIn(t, "") }

// linesIn are the same in a space.
func linesIn(t *testing.T, space string) map[string]*study.Outcome {
	t.Helper()
	st, err := studyfile.Parse([]byte(strings.Replace(ducts, "drivers:", space+"drivers:", 1)), "ducts.yaml")
	if err != nil {
		t.Fatal(err)
	}
	r, err := study.Evaluate(context.Background(), st, study.Options{Points: 20})
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]*study.Outcome{}
	for _, o := range r.Candidates {
		out[o.Candidate.Name] = o
	}
	return out
}

// Ducts lie inside their scenes, in both directions of what stands before them, and
// as wide as the page is told that they are.
func TestLinesStayInside(t *testing.T) {
	for name, o := range lines(t) {
		for _, k := range []float64{0.06, 0.32, 0.9} {
			s := section.Draw(o, section.Options{Scale: k, Theme: draw.Page(), Dims: true, Size: 11})
			for _, p := range shapes(t, write(t, s)) {
				for _, q := range p.pts {
					// at a small scale a terminal’s sign has a least size and stands out of a flange
					if least := 1 + 12*math.Max(0, 0.32-k)/0.32; q.X < -least || q.X > s.W+1 || q.Y < -1 || q.Y > s.H+1 {
						t.Errorf("%s at %g px/mm: (%g, %g) lies outside of %g by %g in %.60s", name, k, q.X, q.Y, s.W, s.H, p.d)
					}
				}
			}
			if k == 0.9 && math.Abs(s.W-1e3*o.Body.Width*k) > 10 {
				t.Errorf("%s: the scene is %g wide, the body %g mm", name, s.W, 1e3*o.Body.Width)
			}
		}
	}
}

// The side walls of a duct are as long as it is, and as far apart as its areas say.
func TestLinesAreToScale(t *testing.T) {
	o := lines(t)["end"]
	type wall struct{ upper, lower float64 } // of its edges at the start
	var walls []wall
	for _, s := range shapes(t, write(t, section.Draw(o, section.Options{Scale: 1, Theme: draw.Page(), Size: 11}))) {
		left, right := math.Inf(1), math.Inf(-1)
		for _, p := range s.pts {
			left, right = math.Min(left, p.X), math.Max(right, p.X)
		}
		if math.Abs(right-left-1800) > 0.02 || !strings.HasSuffix(s.d, "Z") { // not its hatching
			continue
		}
		w := wall{math.Inf(1), math.Inf(-1)}
		for _, p := range s.pts {
			if p.X-left < 0.01 {
				w.upper, w.lower = math.Min(w.upper, p.Y), math.Max(w.lower, p.Y)
			}
		}
		walls = append(walls, w)
	}
	if len(walls) != 2 {
		t.Fatalf("%d walls are 1800 mm long", len(walls))
	}
	const why = "the drawing keeps hundredths of a unit"
	check.Near(t, "clear width at the start", walls[1].upper-walls[0].lower, 2e3*math.Sqrt(600e-4/math.Pi), 0.03, why)
	check.Near(t, "thickness", walls[0].lower-walls[0].upper, 18, 0.03, why)
}

// What a drawing of a straight duct cannot show is said below it, and cones that
// fight are marked.
func TestLinesSayWhatTheyLeaveOut(t *testing.T) {
	for name, want := range map[string]string{
		"end": "drawn straight", "tapped": "looks into the duct at", "back": "positions side by side", "back-bare": "WRONG POLARITY",
	} {
		text := write(t, section.Draw(lines(t)[name], section.Options{Scale: 0.32, Theme: draw.Page(), Size: 11, Room: 900}))
		if !strings.Contains(text, want) {
			t.Errorf("%s does not say %q", name, want)
		}
	}
}

// Two as a whole, compared by eye.
func TestLinesGolden(t *testing.T) {
	for _, name := range []string{"offset", "front"} {
		got := write(t, section.Draw(lines(t)[name], section.Options{Scale: 0.32, Theme: draw.Page(), Dims: true, Size: 11}))
		check.Golden(t, filepath.Join("testdata", "line-"+name+".svg"), got)
	}
}

// In a space that is shorter than they are, ducts are drawn folded too: inside their
// scenes, and with a centre line as long as the duct.
func TestFoldedLines(t *testing.T) {
	folds, horns := 0, 0
	for _, space := range []string{"space: {width: 900 mm, height: 500 mm, depth: 600 mm}\n", "space: {width: 1.6 m, height: 1.2 m, depth: 700 mm, panel: 22 mm}\n"} {
		for name, o := range linesIn(t, space) {
			f := o.Body.Fold
			if f == nil || len(f.Legs) == 1 {
				continue
			}
			folds++
			for n := range 6 {
				k, built := []float64{0.06, 0.32, 0.9}[n/2], n%2 == 1
				s := section.Draw(o, section.Options{Scale: k, Theme: draw.Page(), Dims: true, Size: 11, Built: built})
				if most := 1e3*(max(f.Long, f.Room[0])+o.Body.Line.Lead)*k + 10; built && s.W > most {
					t.Errorf("%s as built: the scene is %g wide, the fold %g", name, s.W, most)
				}
				centre := 0.0
				for _, p := range shapes(t, write(t, s)) {
					long := 0.0
					for i, q := range p.pts {
						if least := 1 + 12*math.Max(0, 0.32-k)/0.32; q.X < -least || q.X > s.W+least || q.Y < -1 || q.Y > s.H+1 {
							t.Errorf("%s at %g px/mm: (%g, %g) lies outside of %g by %g in %.60s", name, k, q.X, q.Y, s.W, s.H, p.d)
						}
						if i > 0 {
							long += math.Hypot(q.X-p.pts[i-1].X, q.Y-p.pts[i-1].Y)
						}
					}
					if len(p.pts) == 2*len(f.Legs) && !strings.HasSuffix(p.d, "Z") {
						centre = math.Max(centre, long)
					}
				}
				if o.Body.Fold.Block > 0 && k == 0.9 && !built { // one arrow for each cone, straight and folded, or two rings in the wall above
					horns++
					cones := o.System.Group.Depth()
					if arrows, rings := heads(t, section.Draw(o, section.Options{Scale: k, Theme: draw.Page(), Size: 11})); arrows != 2*cones && !(arrows == cones && rings == 2) {
						t.Errorf("%s: %d cones, %d arrows and %d rings", name, cones, arrows, rings)
					}
				}
				if k == 0.9 {
					check.Near(t, name+": centre line, mm", centre/k, 1e3*o.System.Facts.Line.Length, 1, "hundredths of a unit at each of its ends")
				}
			}
		}
	}
	if folds < 12 {
		t.Errorf("only %d are folded", folds)
	}
	if horns < 3 {
		t.Errorf("only %d horns are folded", horns)
	}
	o := linesIn(t, "space: {width: 1.3 m, height: 600 mm, depth: 900 mm}\n")["tapped"]
	check.Golden(t, filepath.Join("testdata", "fold-tapped.svg"), write(t, section.Draw(o, section.Options{Scale: 0.32, Theme: draw.Page(), Dims: true, Size: 11, Room: 900})))
}

// heads counts the heads of arrows at cones, and the dashed rings of drivers in the wall above.
func heads(t *testing.T, s *draw.Scene) (arrows, rings int) {
	for _, p := range shapes(t, write(t, s)) {
		if len(p.pts) == 3 && strings.HasSuffix(p.d, "Z") {
			arrows++
		}
	}
	return arrows, strings.Count(write(t, s), `stroke-dasharray="6 3"`)
}
