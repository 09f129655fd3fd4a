package section_test

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"image/color"
	"image/png"
	"io"
	"math"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"basswright/internal/check"
	"basswright/internal/draw"
	"basswright/internal/driver"
	"basswright/internal/section"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

const bench = `study: Bench
space: {width: 700 mm, height: 280 mm, depth: 330 mm, panel: 18 mm}
brief: {level: {at: 32 Hz, spl: 105 dB}}
drivers:
  merlin-10: {fs: 30.5 Hz, qms: 4.9, qes: 0.49, vas: 44 L, sd: 345 cm2, re: 3.3 ohm, xmax: 12 mm, mounting_depth: 132 mm, cutout: 232 mm, flange: 262 mm}
  wren-6: {fs: 38 Hz, qms: 4.2, qes: 0.41, vas: 12.5 L, sd: 136 cm2, re: 3.4 ohm}
  owl-12: {fs: 24 Hz, qms: 5, qes: 0.4, vas: 90 L, sd: 520 cm2, re: 1.7 ohm, coils: {count: 2}}
  jay-12: {fs: 24 Hz, qms: 5, qes: 0.4, vas: 90 L, sd: 520 cm2, re: 1.7 ohm, coils: {count: 2, driven: 1, other: shorted}}
  kite-12: {fs: 24 Hz, qms: 5, qes: 0.4, vas: 90 L, sd: 520 cm2, re: 1.7 ohm, coils: {count: 3, driven: 1, other: 8 ohm}}
  rook-12: {fs: 24 Hz, qms: 5, qes: 0.4, vas: 90 L, sd: 520 cm2, re: 1.7 ohm, coils: {count: 2, driven: 1}}
  a-woodpecker-whom-nobody-would-cut-short: {fs: 38 Hz, qms: 4.2, qes: 0.41, vas: 12.5 L, sd: 136 cm2, re: 3.4 ohm}
candidates:
  one: {group: {driver: merlin-10}, enclosure: {kind: sealed, volume: 28 L}}
  two-by-two: {group: {driver: merlin-10, side_by_side: 2, stack: 2, arrangement: clamshell, coupling: 2 L, wiring: {in_series: 2}}, enclosure: {kind: sealed, volume: 28 L}}
  three: {group: {driver: merlin-10, stack: 3, arrangement: tandem, coupling: 8 L, wiring: series}, enclosure: {kind: sealed, volume: 10 L}}
  dual: {group: {driver: owl-12, side_by_side: 2, wiring: {in_series: 2}}, enclosure: {kind: sealed, volume: 60 L}}
  wrong: {group: {driver: merlin-10, stack: 2, arrangement: clamshell, coupling: 2 L, polarity: [normal, normal]}, enclosure: {kind: sealed, volume: 16 L}}
  half-wrong: {group: {driver: merlin-10, side_by_side: 2, stack: 2, arrangement: tandem, coupling: 8 L, polarity: [normal, normal, reversed, normal]}, enclosure: {kind: sealed, volume: 40 L}}
  inwards: {group: {driver: merlin-10, side_by_side: 2, polarity: [reversed, reversed]}, enclosure: {kind: sealed, volume: 40 L}}
  long: {group: {driver: wren-6, side_by_side: 5, wiring: series}, enclosure: {kind: sealed, volume: 60 L}}
  idle: {group: {members: [[jay-12], [kite-12], [rook-12]], wiring: series}, enclosure: {kind: sealed, volume: 100 L}}
  named: {group: {members: [[a-woodpecker-whom-nobody-would-cut-short], [wren-6]]}, enclosure: {kind: sealed, volume: 60 L}}
  eight: {group: {driver: wren-6, side_by_side: 8}, enclosure: {kind: sealed, volume: 60 L}}
  row: {group: {driver: wren-6, side_by_side: 64, wiring: series}, enclosure: {kind: sealed, volume: 600 L}}
  crowd: {group: {driver: owl-12, side_by_side: 8, stack: 4, facing: [rear, front, rear, front], wiring: {in_series: 8}}, enclosure: {kind: sealed, volume: 600 L}}
  spare: {group: {driver: jay-12, side_by_side: 9}, enclosure: {kind: sealed, volume: 600 L}}
`

func benchStudy(t *testing.T) *study.Study {
	t.Helper()
	st, err := studyfile.Parse([]byte(bench), "bench.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return st
}

func groupOf(t *testing.T, name string) *driver.Group {
	t.Helper()
	st := benchStudy(t)
	i, err := st.Find(name)
	if err != nil {
		t.Fatal(err)
	}
	return st.Candidates[i].Group
}

// label is a text of a drawing with the room it takes.
type label struct {
	text                     string
	size                     float64
	left, right, top, bottom float64
	x, y                     float64
	fill                     string
}

// labels reads the texts of an SVG.
func labels(t *testing.T, text string) []label {
	t.Helper()
	var out []label
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
		if !ok || e.Name.Local != "text" {
			continue
		}
		at := map[string]string{}
		for _, a := range e.Attr {
			at[a.Name.Local] = a.Value
		}
		words, err := d.Token()
		if err != nil {
			t.Fatal(err)
		}
		if at["aria-hidden"] == "true" { // the edging of the next
			continue
		}
		l := label{text: string(words.(xml.CharData)), fill: at["fill"]}
		l.size, _ = strconv.ParseFloat(at["font-size"], 64)
		weight := map[string]draw.Weight{"500": draw.Medium, "600": draw.Strong}[at["font-weight"]]
		w := draw.MeasureText(l.text, l.size, weight)
		from := map[string]float64{"middle": -w / 2, "end": -w}[at["text-anchor"]]
		up, down := 0.72*l.size, 0.2*l.size // of capitals, of tails
		if tr := at["transform"]; tr != "" {
			var turn float64
			if _, err := fmt.Sscanf(tr, "translate(%g %g) rotate(%g)", &l.x, &l.y, &turn); err != nil || turn != -90 {
				t.Fatalf("a text turned as %q", tr)
			}
			l.left, l.right, l.top, l.bottom = l.x-up, l.x+down, l.y-from-w, l.y-from
		} else {
			l.x, _ = strconv.ParseFloat(at["x"], 64)
			l.y, _ = strconv.ParseFloat(at["y"], 64)
			l.left, l.right, l.top, l.bottom = l.x+from, l.x+from+w, l.y-up, l.y+down
		}
		out = append(out, l)
	}
}

// tidy checks what holds for every drawing of a page: all of it inside, no text
// on another, colours by name alone, no attribute that a strict policy refuses,
// nothing that is not a number.
func tidy(t *testing.T, name string, s *draw.Scene) {
	t.Helper()
	text := write(t, s)
	for _, p := range shapes(t, text) {
		for _, q := range p.pts {
			if q.X < -1 || q.X > s.W+1 || q.Y < -1 || q.Y > s.H+1 {
				t.Errorf("%s: (%g, %g) lies outside of %g by %g in %.60s", name, q.X, q.Y, s.W, s.H, p.d)
			}
		}
	}
	all := labels(t, text)
	for i, a := range all {
		if a.left < 0 || a.right > s.W || a.top < 0 || a.bottom > s.H {
			t.Errorf("%s: %q stands outside of %.0f by %.0f: %.0f to %.0f, %.0f to %.0f", name, a.text, s.W, s.H, a.left, a.right, a.top, a.bottom)
		}
		for _, b := range all[:i] {
			if a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom {
				t.Errorf("%s: %q stands on %q", name, a.text, b.text)
			}
		}
	}
	for _, bad := range []string{"NaN", "Inf", "style", "#", "@font", "%!"} {
		if strings.Contains(text, bad) {
			t.Errorf("%s holds %q", name, bad)
		}
	}
	if s.Title == "" || s.Desc == "" {
		t.Errorf("%s says nothing to who cannot see it", name)
	}
}

func screen(scale float64) section.Options {
	return section.Options{Theme: draw.Screen(), Size: 12, Scale: scale}
}

func TestPageDrawingsAreTidy(t *testing.T) {
	st := benchStudy(t)
	for _, c := range st.Candidates {
		for _, o := range []section.Options{screen(0), {Theme: draw.Screen()}, {Theme: draw.Screen(), Size: 9, Width: 320}, {Theme: draw.Screen(), Size: 16, Width: 1400}} {
			tidy(t, fmt.Sprintf("wiring of %s, size %g", c.Name, o.Size), section.Wiring(c.Group, o))
		}
	}
	for _, d := range st.Drivers {
		for _, k := range []float64{0, 0.16, 0.44, 1} {
			for _, dims := range []bool{false, true} {
				o := screen(k)
				o.Dims = dims
				tidy(t, "driver "+d.Driver.Name, section.Driver(d.Driver, o))
			}
		}
	}
	spaces := []*study.Space{nil, st.Space, {Width: 0.24, Height: 0.2, Depth: 0.12}, {Width: 1.6, Height: 0.4, Depth: 1.6}, {Width: 0.03, Height: 0.03, Depth: 0.03}, {Width: 0.3, Height: 2, Depth: 0.2}}
	for i, s := range spaces {
		for _, k := range []float64{0, 0.2, 0.68} {
			for _, first := range []int{0, 1, 2, len(st.Drivers)} {
				for _, units := range []int{0, 1} {
					of := *st
					of.Space, of.Drivers = s, st.Drivers[first:]
					o := screen(k)
					if units > 0 {
						o.Units, of.Units = 1, 1
					}
					tidy(t, fmt.Sprintf("space %d at %g, from driver %d", i, k, first), section.Space(&of, o))
				}
			}
		}
	}
}

// The space has its real size on the page: outline, flange, cutout and the axes
// of what fits, measured at 1 px/mm.
func TestSpaceToScale(t *testing.T) {
	o := screen(1)
	o.Theme = draw.Page()
	text := write(t, section.Space(benchStudy(t), o))
	var outline *shape
	var circles []shape
	var boards [][4]float64
	for _, s := range shapes(t, text) {
		switch {
		case len(s.pts) == 4 && s.stroke == ink && s.fill == "NONE" && strings.HasSuffix(s.d, "Z"):
			if outline == nil {
				outline = &s
			} else {
				boards = append(boards, [4]float64{s.pts[0].X, s.pts[0].Y, s.pts[2].X, s.pts[2].Y})
			}
		case len(s.pts) == 13 && strings.HasSuffix(s.d, "Z"):
			circles = append(circles, s)
		}
	}
	is := func(what string, got, want float64) {
		if math.Abs(got-want) > 0.02 { // places are written to a hundredth
			t.Errorf("%s is %.2f, want %g", what, got, want)
		}
	}
	left := outline.pts[0].X
	is("width", outline.pts[2].X-left, 700)
	is("height", outline.pts[2].Y-outline.pts[0].Y, 280)
	if len(circles) != 8 { // four each of the one and of its ghost
		t.Fatalf("%d circles", len(circles))
	}
	is("flange", circles[0].pts[0].X-circles[0].pts[6].X, 262)
	axis := func(s shape) float64 { return (s.pts[0].X+s.pts[6].X)/2 - left }
	is("first axis", axis(circles[0]), 18+(664-2*270)/3.0+135) // two lanes of 262 + 8 mm with three alike gaps
	is("second axis", axis(circles[4]), 700-axis(circles[0]))
	if len(boards) != 5 {
		t.Fatalf("%d boards, want a back, two sides and a front in two pieces", len(boards))
	}
	is("depth", boards[4][3]-boards[0][1], 330)
	is("cutout", boards[4][0]-boards[3][2], 232)
	is("inside", boards[2][0]-boards[1][2], 664)
	want := map[string]bool{"700": true, "280": true, "330": true, "132": true, "664 inside": true}
	for _, l := range labels(t, text) {
		delete(want, l.text)
	}
	if len(want) > 0 {
		t.Errorf("not told: %v", want)
	}
	for _, says := range []string{"room for two merlin-10 side by side, two behind one another", "173\u2009mm stay behind the magnet"} {
		if !strings.Contains(text, says) {
			t.Errorf("does not say %q", says)
		}
	}
}

// What does not fit is marked and says by how much; what fits is not.
func TestSpaceThatIsTooSmall(t *testing.T) {
	st := benchStudy(t)
	o := screen(0.5)
	for _, x := range []struct {
		space *study.Space
		says  string
		marks bool
	}{
		{st.Space, "room for two", false}, {nil, "no space is given", false},
		{&study.Space{Width: 0.24, Height: 0.4, Depth: 0.4}, "too wide", true},
		{&study.Space{Width: 0.7, Height: 0.4, Depth: 0.15}, "too deep", true},
	} {
		st.Space = x.space
		s := section.Space(st, o)
		if !strings.Contains(s.Desc, x.says) || strings.Contains(write(t, s), "--stop") != x.marks {
			t.Errorf("%+v: %s", x.space, s.Desc)
		}
	}
}

// A driver has its real size; what its sheet does not give is told as about.
func TestDriverToScale(t *testing.T) {
	st := benchStudy(t)
	o := screen(1)
	plain := section.Driver(st.Drivers[0].Driver, o)
	if math.Abs(plain.W-262-4) > 1e-9 {
		t.Errorf("%.2f wide, want the flange and a margin of 2 on both sides", plain.W)
	}
	o.Dims = true
	for i, want := range [][]string{{"262", "132"}, {"about 164", "about 82.9"}} {
		var got []string
		for _, l := range labels(t, write(t, section.Driver(st.Drivers[i].Driver, o))) {
			got = append(got, l.text)
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s (−want +got):\n%s", st.Drivers[i].Driver.Name, diff)
		}
	}
}

// A picture knows no style sheet: drawn for the page, it takes the light values.
func TestPageDrawingAsPicture(t *testing.T) {
	var b bytes.Buffer
	if err := section.Driver(benchStudy(t).Drivers[0].Driver, screen(1)).PNG(&b, 1); err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(&b)
	if err != nil {
		t.Fatal(err)
	}
	want := draw.Screen().Colour(draw.Ink)
	r := img.Bounds()
	for x := r.Min.X; x < r.Max.X; x++ {
		if color.NRGBAModel.Convert(img.At(x, r.Min.Y+8)) == want { // the back plate
			return
		}
	}
	t.Errorf("nothing is painted in %v", want)
}

// One drawing of each kind as a whole, for the page. That they are right rests
// on the tests above, which hold the places, sizes and words of their parts
// against the study; the files hold what no test says in words, that the whole
// stays as it was when it was last looked at.
func TestPageGolden(t *testing.T) {
	st := benchStudy(t)
	dims := screen(0.44)
	dims.Dims = true
	for name, s := range map[string]*draw.Scene{
		"wiring": section.Wiring(groupOf(t, "two-by-two"), screen(0)),
		"space":  section.Space(st, screen(0.68)),
		"driver": section.Driver(st.Drivers[0].Driver, dims),
	} {
		check.Golden(t, filepath.Join("testdata", name+".svg"), write(t, s))
	}
}

func BenchmarkPageDrawings(b *testing.B) {
	st, err := studyfile.Parse([]byte(bench), "bench.yaml")
	if err != nil {
		b.Fatal(err)
	}
	i, err := st.Find("crowd")
	if err != nil {
		b.Fatal(err)
	}
	for name, draws := range map[string]func() *draw.Scene{
		"space":                func() *draw.Scene { return section.Space(st, screen(0.68)) },
		"wiring of 64 coils":   func() *draw.Scene { return section.Wiring(st.Candidates[i].Group, screen(0)) },
		"wiring of two by two": func() *draw.Scene { return section.Wiring(st.Candidates[1].Group, screen(0)) },
	} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if err := draws().SVG(io.Discard, draw.SVGOptions{Inline: true}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
