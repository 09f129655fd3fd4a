package section_test

import (
	"bytes"
	"context"
	"encoding/xml"
	"io"
	"math"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"basswright/internal/check"
	"basswright/internal/draw"
	"basswright/internal/section"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

const plate = `study: Plate
drivers:
  merlin-10: {fs: 30.5 Hz, qms: 4.9, qes: 0.49, vas: 44 L, sd: 345 cm2, re: 3.3 ohm, mounting_depth: 132 mm, cutout: 232 mm, flange: 262 mm}
  wren-6: {fs: 38 Hz, qms: 4.2, qes: 0.41, vas: 12.5 L, sd: 136 cm2, re: 3.4 ohm}
candidates:
  tandem: {group: {driver: merlin-10, stack: 2, arrangement: tandem, coupling: 8 L}, enclosure: {kind: sealed, volume: 16 L}}
  clamshell: {group: {driver: merlin-10, stack: 2, arrangement: clamshell, coupling: 2 L}, enclosure: {kind: sealed, volume: 16 L}}
  back-to-back: {group: {driver: merlin-10, stack: 2, arrangement: back_to_back, coupling: 9 L}, enclosure: {kind: sealed, volume: 16 L}}
  three: {group: {driver: merlin-10, stack: 3, arrangement: tandem, coupling: 8 L}, enclosure: {kind: sealed, volume: 10 L}}
  wall: {group: {driver: merlin-10}, enclosure: {kind: infinite_baffle}}
  vented: {group: {driver: merlin-10, side_by_side: 2}, enclosure: {kind: vented, volume: 80 L, tuning: 29 Hz, port: {diameter: 100 mm, count: 2}}}
  ideal: {group: {driver: wren-6}, enclosure: {kind: vented, volume: 20 L, tuning: 35 Hz}}
  radiator: {group: {driver: merlin-10}, enclosure: {kind: passive_radiator, volume: 40 L, tuning: 26 Hz, radiator: {sd: 345 cm2, mms: 120 g, cms: 0.4 mm/N, qms: 8}}}
  bandpass: {group: {driver: merlin-10}, enclosure: {kind: bandpass, rear: {volume: 18 L}, front: {volume: 20 L, tuning: 55 Hz, port: {diameter: 100 mm}}}}
  parallel: {group: {driver: merlin-10}, enclosure: {kind: bandpass_parallel, rear: {volume: 40 L, tuning: 30 Hz, port: {diameter: 80 mm}}, front: {volume: 18 L, tuning: 70 Hz, port: {diameter: 100 mm}}}}
  series: {group: {driver: merlin-10}, enclosure: {kind: bandpass_series, rear: {volume: 40 L, tuning: 34 Hz, port: {diameter: 80 mm}}, front: {volume: 25 L, tuning: 60 Hz, port: {diameter: 100 mm}}}}
  wrong: {group: {driver: merlin-10, stack: 2, arrangement: clamshell, coupling: 2 L, polarity: [normal, normal]}, enclosure: {kind: sealed, volume: 16 L}}
  four: {group: {driver: merlin-10, side_by_side: 2, stack: 2, arrangement: clamshell, coupling: 2 L}, enclosure: {kind: sealed, volume: 28 L}}
  mixed: {group: {driver: merlin-10, stack: 3, facing: [front, rear, front], coupling: [8 L, 2 L]}, enclosure: {kind: sealed, volume: 12 L}}
  reversed: {group: {driver: merlin-10, stack: 2, arrangement: clamshell, coupling: 2 L, polarity: [normal, reversed]}, enclosure: {kind: sealed, volume: 16 L}}
  half-wrong: {group: {driver: merlin-10, side_by_side: 2, stack: 2, arrangement: tandem, coupling: 8 L, polarity: [normal, normal, reversed, normal]}, enclosure: {kind: sealed, volume: 40 L}}
  sides: {group: {driver: merlin-10}, enclosure: {kind: passive_radiator, volume: 60 L, tuning: 26 Hz, radiator: {sd: 215 cm2, mms: 90 g, cms: 0.4 mm/N, qms: 8, count: 3}}}
  slot: {group: {driver: merlin-10}, enclosure: {kind: vented, volume: 38 L, tuning: 29 Hz, port: {shape: slot, width: 244 mm, height: 32 mm}}}
  eight: {group: {driver: wren-6, side_by_side: 8}, enclosure: {kind: sealed, volume: 60 L}}
  wall-stack: {group: {driver: merlin-10, stack: 2, arrangement: back_to_back, coupling: 12 L, side_by_side: 2}, enclosure: {kind: infinite_baffle}}
  turned: {group: {driver: wren-6, stack: 2, facing: [rear, rear], coupling: 4 L}, enclosure: {kind: sealed, volume: 12 L}}
  deep: {group: {driver: merlin-10, stack: 4, facing: [rear, front, rear, front], coupling: [2 L, 9 L, 2 L]}, enclosure: {kind: sealed, volume: 30 L}}
  huge: {group: {driver: merlin-10}, enclosure: {kind: sealed, volume: 400 L}}
  inside: {group: {driver: merlin-10, stack: 2, arrangement: clamshell, coupling: 2 L}, enclosure: {kind: bandpass, rear: {volume: 12 L}, front: {volume: 20 L, tuning: 55 Hz, port: {diameter: 80 mm}}}}
`

func outcomes(t *testing.T) []*study.Outcome {
	t.Helper()
	st, err := studyfile.Parse([]byte(plate), "plate.yaml")
	if err != nil {
		t.Fatal(err)
	}
	r, err := study.Evaluate(context.Background(), st, study.Options{Points: 20})
	if err != nil {
		t.Fatal(err)
	}
	return r.Candidates
}

func write(t *testing.T, s *draw.Scene) string {
	t.Helper()
	var b bytes.Buffer
	if err := s.SVG(&b, draw.SVGOptions{}); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// shape is a drawn path: its corners and how it is painted.
type shape struct {
	pts          []draw.Point // control points too
	fill, stroke string
	d            string
}

var step = regexp.MustCompile(`[MLQCHVZ]|-?\d+(?:\.\d+)?`)

// shapes reads the paths of an SVG, which fails on anything that is not well formed.
func shapes(t *testing.T, text string) []shape {
	t.Helper()
	var out []shape
	d := xml.NewDecoder(strings.NewReader(text))
	for {
		tok, err := d.Token()
		if err == io.EOF {
			return out
		}
		if err != nil {
			t.Fatal(err)
		}
		e, ok := tok.(xml.StartElement)
		if !ok || e.Name.Local != "path" {
			continue
		}
		var s shape
		for _, a := range e.Attr {
			switch a.Name.Local {
			case "d":
				s.d = a.Value
			case "fill":
				s.fill = strings.ToUpper(a.Value)
			case "stroke":
				s.stroke = strings.ToUpper(a.Value)
			}
		}
		s.pts = points(t, s.d)
		out = append(out, s)
	}
}

// points are the places that a path names, absolute.
func points(t *testing.T, path string) []draw.Point {
	t.Helper()
	if strings.ContainsAny(path, "mlqchvsatz") {
		t.Fatalf("a path with relative steps: %.40s", path)
	}
	var out []draw.Point
	var pen draw.Point
	var verb string
	var half []float64
	for _, w := range step.FindAllString(path, -1) {
		v, err := strconv.ParseFloat(w, 64)
		if err != nil {
			verb = w
			continue
		}
		switch verb {
		case "H":
			pen.X = v
			out = append(out, pen)
		case "V":
			pen.Y = v
			out = append(out, pen)
		default:
			if half = append(half, v); len(half) == 2 {
				pen = draw.Point{X: half[0], Y: half[1]}
				out, half = append(out, pen), nil
			}
		}
	}
	return out
}

// Every drawing lies inside its scene, with and without a space around it, but
// for half a line's width.
func TestSectionsStayInside(t *testing.T) {
	for _, o := range outcomes(t) {
		for _, k := range []float64{0.12, 0.32, 0.9} {
			for _, space := range []*study.Space{nil, {Width: 0.9, Height: 0.4, Depth: 0.6}} {
				s := section.Draw(o, section.Options{Scale: k, Theme: draw.Page(), Dims: true, Size: 11, Space: space})
				for _, p := range shapes(t, write(t, s)) {
					for _, q := range p.pts {
						if q.X < -1 || q.X > s.W+1 || q.Y < -1 || q.Y > s.H+1 {
							t.Errorf("%s at %g px/mm: (%g, %g) lies outside of %g by %g in %.60s", o.Candidate.Name, k, q.X, q.Y, s.W, s.H, p.d)
						}
					}
				}
			}
		}
	}
}

const (
	ink  = "#1B1E23"
	soft = "#4A4F56"
	stop = "#9B1B3B"
)

// arrows are the heads of the motion arrows of a drawing without dimensions:
// filled triangles with a base across the page. Each is +1 if it points to the
// front.
func arrows(all []shape) (ways []int, marked int) {
	for _, s := range all {
		if len(s.pts) != 3 || !strings.HasSuffix(s.d, "Z") || s.fill != ink && s.fill != stop {
			continue
		}
		tip, a, b := s.pts[0], s.pts[1], s.pts[2]
		if math.Abs(a.Y-b.Y) > 1e-9 || math.Abs(2*tip.X-a.X-b.X) > 0.03 {
			continue
		}
		way := 1
		if tip.Y < a.Y {
			way = -1
		}
		ways = append(ways, way)
		if s.fill == stop {
			marked++
		}
	}
	return ways, marked
}

// Every cone has one arrow, and it points the way the cone moves for a
// positive voltage at the group. What cannot be is marked where cones fight
// or the box does not fit, and nowhere else.
func TestArrows(t *testing.T) {
	wrong := map[string]int{"wrong": 1, "half-wrong": 1}
	for _, o := range outcomes(t) {
		s := section.Draw(o, section.Options{Scale: 0.32, Theme: draw.Page(), Size: 11})
		all := shapes(t, write(t, s))
		ways, marked := arrows(all)
		want := map[int]int{}
		for _, p := range o.System.Group.Positions {
			for _, m := range p {
				want[m.Direction()]++
			}
		}
		got := map[int]int{}
		for _, w := range ways {
			got[w]++
		}
		if got[1] != want[1] || got[-1] != want[-1] {
			t.Errorf("%s: %d arrows out and %d in, want %d and %d", o.Candidate.Name, got[1], got[-1], want[1], want[-1])
		}
		if marked != wrong[o.Candidate.Name] {
			t.Errorf("%s: %d arrows marked, want %d", o.Candidate.Name, marked, wrong[o.Candidate.Name])
		}
		if n := strings.Count(write(t, s), stop); (n > 0) != (marked > 0) {
			t.Errorf("%s: %d marks of what cannot be", o.Candidate.Name, n)
		}
	}
}

// A box that does not fit its space is marked, and the drawing says why.
func TestUnfit(t *testing.T) {
	st, err := studyfile.Parse([]byte(strings.Replace(plate, "drivers:", "space: {width: 700 mm, height: 280 mm, depth: 330 mm}\ndrivers:", 1)), "plate.yaml")
	if err != nil {
		t.Fatal(err)
	}
	r, err := study.Evaluate(context.Background(), st, study.Options{Points: 20})
	if err != nil {
		t.Fatal(err)
	}
	fits := map[bool]int{}
	for _, o := range r.Candidates {
		text := write(t, section.Draw(o, section.Options{Scale: 0.32, Theme: draw.Page(), Size: 11, Space: st.Space}))
		_, marked := arrows(shapes(t, text))
		said := strings.Contains(text, "too wide") || strings.Contains(text, "too deep") || strings.Contains(text, "too high")
		unfit := o.Body.Known && !o.Body.Fits
		if said != unfit || (strings.Contains(text, stop) != (unfit || marked > 0)) {
			t.Errorf("%s: fits %v (%s), said %v", o.Candidate.Name, o.Body.Fits, o.Body.Why, said)
		}
		fits[unfit]++
	}
	if fits[true] < 2 || fits[false] < 2 {
		t.Errorf("the plate does not try both: %v", fits)
	}
}

// A larger scale draws the same, larger.
func TestScale(t *testing.T) {
	for _, o := range outcomes(t) {
		a := section.Draw(o, section.Options{Scale: 0.3, Theme: draw.Page(), Size: 11})
		b := section.Draw(o, section.Options{Scale: 0.6, Theme: draw.Page(), Size: 11})
		if d := (b.W - 4) - 2*(a.W-4); d > 1e-6 || d < -1e-6 {
			t.Errorf("%s: %.3f wide at 0.3, %.3f at 0.6", o.Candidate.Name, a.W, b.W)
		}
	}
}

// What the drawing shows has its real size: outside, board, cutout and bore,
// measured on the page at 1 px/mm, where 1.2 px of line have no part in it.
func TestRealSizes(t *testing.T) {
	for _, o := range outcomes(t) {
		if o.Candidate.Name != "vented" {
			continue
		}
		all := shapes(t, write(t, section.Draw(o, section.Options{Scale: 1, Theme: draw.Page(), Size: 11})))
		left, right := math.Inf(1), math.Inf(-1)
		var boards [][4]float64
		for _, s := range all {
			if len(s.pts) != 4 || s.stroke != ink || s.fill != "NONE" || !strings.HasSuffix(s.d, "Z") {
				continue
			}
			b := [4]float64{s.pts[0].X, s.pts[0].Y, s.pts[2].X, s.pts[2].Y}
			boards = append(boards, b)
			left, right = math.Min(left, b[0]), math.Max(right, b[2])
		}
		if d := right - left - 1e3*o.Body.Width; math.Abs(d) > 0.02 {
			t.Errorf("box %.2f wide, want %.2f", right-left, 1e3*o.Body.Width)
		}
		var front [][4]float64 // the pieces of the front from left to right
		for _, b := range boards {
			if math.Abs(b[3]-boards[0][1]-1e3*o.Body.Depth) < 0.02 && math.Abs(b[3]-b[1]-18) < 0.02 {
				front = append(front, b)
			}
		}
		if len(front) != 4 {
			t.Fatalf("%d pieces of the front, want 4: %v", len(front), boards)
		}
		for i, want := range []float64{232, 232, 100} { // two cutouts and a bore: two ports stand above each other
			if gap := front[i+1][0] - front[i][2]; math.Abs(gap-want) > 0.02 {
				t.Errorf("opening %d is %.2f mm, want %g", i, gap, want)
			}
		}
	}
}

// Two drawings as a whole. They were compared by eye with the plate of what
// every arrangement looks like (an outer driver that looks in, the ring between
// the cones, minus at its marked terminal, one arrow a cone; a slot along the
// side and the back); the sizes in them are checked above.
func TestGolden(t *testing.T) {
	for _, o := range outcomes(t) {
		if n := o.Candidate.Name; n != "clamshell" && n != "slot" {
			continue
		}
		got := write(t, section.Draw(o, section.Options{Scale: 0.32, Theme: draw.Page(), Dims: true, Size: 11, Space: &study.Space{Width: 0.9, Height: 0.4, Depth: 0.6}}))
		check.Golden(t, filepath.Join("testdata", o.Candidate.Name+".svg"), got)
	}
}
