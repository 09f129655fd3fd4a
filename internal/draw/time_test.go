package draw

import (
	"math"
	"regexp"
	"strings"
	"testing"
)

// Seconds, minutes and hours stand where people look for them: numbers at 1 and 10
// of each first, those between only where all have room.
func TestTimeAxis(t *testing.T) {
	told := func(width, from, to float64) string {
		p := Plot{W: width, H: 100, Size: 10, X: TimeAxis(from, to), Y: YAxis{Lo: 0, Hi: 1}}
		d := newDrawing(&p, NewScene(width, 100, Page()), 0, 0)
		var out []string
		for _, x := range d.tx {
			if x.label {
				out = append(out, strings.ReplaceAll(p.X.written(x.at), "\u2009", " "))
			}
		}
		return strings.Join(out, ", ")
	}
	for _, c := range []struct {
		width, from, to float64
		want            string
	}{
		{400, 1, 3600, "1 s, 10 s, 1 min, 10 min, 1 h"},
		{1200, 1, 3600, "1 s, 2 s, 5 s, 10 s, 20 s, 30 s, 1 min, 2 min, 5 min, 10 min, 20 min, 30 min, 1 h"},
		{400, 1, 1800, "1 s, 10 s, 1 min, 10 min, 30 min"},
		{400, 1, 60, "1 s, 2 s, 5 s, 10 s, 20 s, 30 s, 1 min"},
		{400, 1, 86400, "1 s, 10 s, 1 min, 10 min, 1 h, 24 h"},
		{60, 1, 86400, "1 s"},
	} {
		if got := told(c.width, c.from, c.to); got != c.want {
			t.Errorf("%g px from %g s to %g s: %s, and not %s", c.width, c.from, c.to, got, c.want)
		}
	}
	if a := TimeAxis(21, 29); len(a.Ticks) == 0 {
		t.Error("between 21 s and 29 s there is no tick")
	}
}

// A decade of time is as wide as any other, and every tick lies on the axis.
func TestTimeAxisIsLogarithmic(t *testing.T) {
	a := TimeAxis(1, 3600)
	f := Plot{W: 500, H: 100, X: a, Y: YAxis{Lo: 0, Hi: 1}}.frame()
	if one, two := f.px(10)-f.px(1), f.px(1000)-f.px(100); math.Abs(one-two) > 1e-9*one { // rounding of the logarithm
		t.Errorf("from 1 s to 10 s are %g px, from 100 s to 1000 s %g", one, two)
	}
	for _, v := range a.Ticks {
		if !f.holdsX(v) {
			t.Errorf("%g s lies beside the axis", v)
		}
	}
}

// Plots above each other have their frames in one column, and only the last has
// numbers.
func TestStacked(t *testing.T) {
	plot := func(name string, ticks ...float64) Plot {
		return Plot{W: 400, H: 120, Size: 10, X: TimeAxis(1, 60), Y: YAxis{Lo: 0, Hi: 2e4, Ticks: ticks}, Labels: true,
			Series: []Series{{Name: name, X: []float64{1, 60}, Y: []float64{0, 1e4}}}}
	}
	s := NewScene(400, 240, Page())
	Stacked(s, 0, 0, plot("a long name", 0), plot("b", 0, 1e4))
	var b strings.Builder
	if err := s.SVG(&b, SVGOptions{}); err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(b.String(), ">1\u2009min<"); n != 1 {
		t.Errorf("1 min stands there %d times", n)
	}
	places := map[string]int{} // of the upright lines: axes, ticks and grid
	for _, m := range regexp.MustCompile(`d="M([\d.]+) [\d.]+L([\d.]+) [\d.]+"`).FindAllStringSubmatch(b.String(), -1) {
		if m[1] == m[2] {
			places[m[1]]++
		}
	}
	if len(places) < 3 {
		t.Errorf("upright lines at %v", places)
	}
	for at, n := range places {
		if n%2 != 0 {
			t.Errorf("at %s there are %d upright lines: one plot has them and the other has not", at, n)
		}
	}
}

// The name of a curve that leaves the picture is whole, with its arrow.
func TestArrowHasRoom(t *testing.T) {
	p := Plot{W: 300, H: 100, Size: 10, X: FrequencyAxis(10, 100), Y: YAxis{Lo: 0, Hi: 1}, Labels: true,
		Series: []Series{{Name: "2nd", X: []float64{10, 100}, Y: []float64{0.5, -1}}, {Index: 1, Name: "3rd", X: []float64{10, 100}, Y: []float64{-0.5, -2}}}}
	s := NewScene(300, 100, Page())
	p.Draw(s, 0, 0)
	var b strings.Builder
	if err := s.SVG(&b, SVGOptions{}); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(b.String(), "3rd ↓") || strings.Contains(b.String(), "…") {
		t.Errorf("the name is cut: %s", b.String())
	}
}
