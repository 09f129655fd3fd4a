package section_test

import (
	"bytes"
	"context"
	"encoding/xml"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"testing"

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

func svg(t *testing.T, o *study.Outcome) (*draw.Scene, string) {
	t.Helper()
	s := section.Draw(o, section.Options{Scale: 0.32, Theme: draw.Page(), Dims: true, Size: 11, Space: &study.Space{Width: 0.9, Height: 0.4, Depth: 0.6}})
	var b bytes.Buffer
	if err := s.SVG(&b, draw.SVGOptions{}); err != nil {
		t.Fatal(err)
	}
	return s, b.String()
}

var numbers = regexp.MustCompile(`-?\d+(\.\d+)?`)

// Every drawing is well-formed and all of it lies inside its scene.
func TestSectionsStayInside(t *testing.T) {
	for _, o := range outcomes(t) {
		s, text := svg(t, o)
		d := xml.NewDecoder(strings.NewReader(text))
		for {
			tok, err := d.Token()
			if err == io.EOF {
				break
			}
			if err != nil {
				t.Fatalf("%s: %v", o.Candidate.Name, err)
			}
			e, ok := tok.(xml.StartElement)
			if !ok || e.Name.Local != "path" {
				continue
			}
			for _, a := range e.Attr {
				if a.Name.Local != "d" {
					continue
				}
				if err := within(a.Value, s.W, s.H); err != nil {
					t.Errorf("%s: %v", o.Candidate.Name, err)
				}
			}
		}
	}
}

// within checks the absolute coordinates of a path: draw writes M, L, Q, C, H,
// V and Z in upper case only.
func within(path string, w, h float64) error {
	if strings.ContainsAny(path, "mlhvcqsa") {
		return fmt.Errorf("a path with relative steps: %.40s", path)
	}
	if strings.ContainsAny(path, "HV") {
		return nil // steps of one coordinate lie between those of their neighbours
	}
	for i, x := range numbers.FindAllString(path, -1) {
		v, err := strconv.ParseFloat(x, 64)
		if err != nil {
			return err
		}
		limit := w
		if i%2 == 1 {
			limit = h
		}
		if v < -1.5 || v > limit+1.5 { // half a line's width
			return fmt.Errorf("%g lies outside 0 to %g in %.60s", v, limit, path)
		}
	}
	return nil
}

// The colour of what cannot be stands in the drawing where cones fight, and
// nowhere else: one arrow, line and head.
func TestOnlyAWrongPolarityIsMarked(t *testing.T) {
	for _, o := range outcomes(t) {
		_, text := svg(t, o)
		marked := strings.Count(strings.ToLower(text), "#9b1b3b")
		want := 0
		if o.Candidate.Name == "wrong" {
			want = 2
		}
		if marked != want {
			t.Errorf("%s: %d marks of what cannot be, want %d", o.Candidate.Name, marked, want)
		}
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
