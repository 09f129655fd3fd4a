package draw

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"basswright/internal/check"

	"pgregory.net/rapid"
)

// The golden plot's numbers can be checked by hand: the frame is 300 × 100 at (40, 10), a decade is 100 wide, and
// 50 dB are 100 high. Candidate one is 50 dB at 10 Hz, so its line begins at (40, 110), bends at 100 Hz, (140, 30),
// and ends at (340, 30); the pair runs 12 below. The goal stands at 1 kHz, x = 240; the wall at 95 dB, y = 20, from
// 100 Hz, x = 140; boxed & tuned leaves through the floor at 223 Hz, x = 174.8.
func TestGoldenSVG(t *testing.T) {
	check.Golden(t, "testdata/plot.svg", svg(t, birdScene(Page()), SVGOptions{WidthMM: 160}))
}

func TestCurveGoesWhereItShould(t *testing.T) {
	var one string
	for _, e := range elements(t, svg(t, birdScene(Page()), SVGOptions{})) {
		if attribute(e, "stroke") == "#0072B2" && attribute(e, "stroke-width") == num(10./6) {
			one = attribute(e, "d")
		}
	}
	// 60 points on two straight lines come down to three; the nominal frequencies (12.5 for 12.589, …) lie on the
	// line exactly, since the test's curve is a function of them.
	if one != "M40 110L140 30L340 30" {
		t.Errorf("the first curve is %q", one)
	}
}

// scenes are drawings that between them use every operation and option.
func scenes() map[string]*Scene {
	out := map[string]*Scene{}
	for _, name := range themeNames {
		th, _ := ThemeNamed(name)
		out["plot "+name] = birdScene(th)
		s := NewScene(120, 80, th)
		s.ClipRect(5, 5, 100, 60)
		s.Clip(new(Path).Disc(50, 35, 40))
		s.Rect(10, 10, 60, 40, Style{Fill: Wash, Hatch: Hatch{Role: Ink, Pitch: 4, Width: 0.7}, Stroke: Ink, Width: 1.4})
		s.Unclip()
		s.Circle(90, 40, 12, Style{Fill: Line(0), Opacity: 0.5, Stroke: Stop, Width: 2, Dash: Dash(4), Round: true})
		s.Path(new(Path).M(10, 70).Q(30, 40, 50, 70).C(60, 80, 70, 60, 80, 70), Style{Stroke: Text(1), Width: 3})
		s.Text(60, 30, "4 Ω, 20 µPa, −3 dB\u2009<&>\"", TextStyle{Size: 9, Weight: Strong, Anchor: Middle, Halo: true, Rotation: 30})
		out["shapes "+name] = s // one clip is left open: the file must close it
	}
	p := birds()
	p.X = XAxis{From: -5, To: 30, Linear: true, Name: "Time in ms"}
	p.Limits[0].From, p.Marks[0].At, p.Goals[0].At = 0, 3, 12
	p.Series[0].Ghost = make([]float64, len(p.Series[0].X))
	for i := range p.Series[0].X {
		p.Series[0].Ghost[i] = 55
		for k := range p.Series {
			p.Series[k].X = slices.Clone(p.Series[k].X)
			p.Series[k].X[i] = float64(i) - 4
		}
	}
	p.Series[1].Index, p.Series[2].Thin = -1, true
	s := NewScene(p.W, p.H, Page())
	p.Draw(s, 0, 0)
	out["time"] = s
	return out
}

func TestSVGIsWellFormed(t *testing.T) {
	for name, s := range scenes() {
		for _, o := range []SVGOptions{{}, {WidthMM: 160}, {Inline: true, Prefix: "x y<1", Class: `a"b`}} {
			doc := svg(t, s, o)
			ids := map[string]bool{}
			for _, e := range elements(t, doc) {
				if id := attribute(e, "id"); id != "" {
					if ids[id] {
						t.Errorf("%s: id %s twice", name, id)
					}
					ids[id] = true
				}
			}
			for _, m := range regexp.MustCompile(`url\(#([^)]*)\)`).FindAllStringSubmatch(doc, -1) {
				if !ids[m[1]] {
					t.Errorf("%s: %s points nowhere", name, m[0])
				}
			}
			if o.Prefix != "" {
				for id := range ids {
					if !strings.HasPrefix(id, "xy1-") {
						t.Errorf("%s: id %s without the prefix", name, id)
					}
				}
			}
			if m := regexp.MustCompile(`NaN|Inf|"-0"|[ ML]-0[ "]|\d\.\d{3}`).FindString(doc); m != "" {
				t.Errorf("%s: %q in the file", name, m)
			}
			if doc != svg(t, s, o) {
				t.Errorf("%s: two files differ", name)
			}
		}
	}
}

func TestSVGHead(t *testing.T) {
	s := birdScene(Page())
	for _, c := range []struct {
		o                    SVGOptions
		width, height, fonts string
	}{
		{SVGOptions{}, "400", "160", svgFonts},
		{SVGOptions{WidthMM: 160}, "160mm", "64mm", svgFonts},
		{SVGOptions{Inline: true}, "", "", ""},
	} {
		e := elements(t, svg(t, s, c.o))
		root := e[0]
		if attribute(root, "width") != c.width || attribute(root, "height") != c.height || attribute(root, "font-family") != c.fonts {
			t.Errorf("%+v: %v", c.o, root.Attr)
		}
		if attribute(root, "viewBox") != "0 0 400 160" || attribute(root, "role") != "img" {
			t.Errorf("%+v: %v", c.o, root.Attr)
		}
		if by := strings.Fields(attribute(root, "aria-labelledby")); len(by) != 2 || attribute(e[1], "id") != by[0] || attribute(e[2], "id") != by[1] {
			t.Errorf("%+v: named by %v, not by %v and %v", c.o, by, e[1].Attr, e[2].Attr)
		}
	}
	s.Title = ""
	if root := elements(t, svg(t, s, SVGOptions{}))[0]; attribute(root, "role") != "" || attribute(root, "aria-hidden") != "true" {
		t.Errorf("a drawing without a title is decoration: %v", root.Attr)
	}
}

func TestScreenNamesVariables(t *testing.T) {
	doc := svg(t, birdScene(Screen()), SVGOptions{Inline: true})
	if m := regexp.MustCompile(`#[0-9A-F]{6}`).FindString(doc); m != "" {
		t.Errorf("a fixed colour, %s: it cannot turn dark", m)
	}
	for _, v := range []string{"var(--ink)", "var(--ink-soft)", "var(--c1)", "var(--c3-text)", "var(--hair)", "var(--rule)"} {
		if !strings.Contains(doc, v) {
			t.Errorf("no %s", v)
		}
	}
}

func TestInlineTextStandsOnce(t *testing.T) {
	if n := strings.Count(svg(t, birdScene(Screen()), SVGOptions{Inline: true}), ">asked: 1 kHz<"); n != 1 {
		t.Errorf("in a page the flag's words stand %d times", n)
	}
	doc := svg(t, birdScene(Page()), SVGOptions{})
	if n, hidden := strings.Count(doc, ">asked: 1 kHz<"), strings.Count(doc, `aria-hidden="true">asked: 1 kHz<`); n != 2 || hidden != 1 {
		t.Errorf("in a file they stand %d times, %d of them hidden; want an edging and a text", n, hidden)
	}
}

func TestTextSurvivesXML(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.String().Draw(t, "text")
		s := NewScene(10, 10, Page())
		s.Title = text
		s.Text(0, 0, text, TextStyle{Size: 3})
		var b strings.Builder
		if err := s.SVG(&b, SVGOptions{Prefix: text, Class: text}); err != nil {
			t.Fatal(err)
		}
		checkXML(t, b.String())
	})
	s := NewScene(10, 10, Page())
	s.Text(0, 0, "a\x00\x1b\n\xffb\uFFFE", TextStyle{Size: 3})
	if doc := svg(t, s, SVGOptions{}); !strings.Contains(doc, ">a \uFFFDb<") {
		t.Errorf("controls and broken UTF-8: %s", doc)
	}
}

func TestNum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.OneOf(rapid.Float64Range(-1e6, 1e6), rapid.Float64Range(-1e18, 1e18), rapid.Float64Range(-0.02, 0.02)).Draw(t, "v")
		got, err := strconv.ParseFloat(num(v), 64)
		if err != nil || math.Abs(got-v) > 0.005+1e-9+1e-15*math.Abs(v) || num(v) == "-0" {
			t.Fatalf("%g is written %s", v, num(v))
		}
		if few := strconv.FormatFloat(got, 'f', -1, 64); num(v) != few {
			t.Fatalf("%g is written %s, and %s is enough", v, num(v), few)
		}
	})
}

func TestCoordinatesAreFew(t *testing.T) {
	// A smooth curve of 400 points keeps its shape with far fewer: the page is small to send and quick to draw.
	p := birds()
	var x, y []float64
	for i := range 400 {
		f := 10 * math.Pow(1000, float64(i)/399)
		x = append(x, f)
		y = append(y, 90-10*math.Log10(1+math.Pow(60/f, 4)))
	}
	p.Series = []Series{{Name: "one", X: x, Y: y}}
	s := NewScene(p.W, p.H, Page())
	p.Draw(s, 0, 0)
	longest := 0
	for _, e := range elements(t, svg(t, s, SVGOptions{})) {
		longest = max(longest, strings.Count(attribute(e, "d"), "L"))
	}
	if longest < 20 || longest > 120 {
		t.Errorf("the longest path has %d lines", longest)
	}
}

func checkXML(t interface{ Fatalf(string, ...any) }, doc string) {
	d := xmlDecoder(doc)
	for {
		if _, err := d.Token(); err != nil {
			if fmt.Sprint(err) == "EOF" {
				return
			}
			t.Fatalf("not well formed: %v\n%q", err, doc)
		}
	}
}
