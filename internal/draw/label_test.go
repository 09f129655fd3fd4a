package draw

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"basswright/internal/check"

	"pgregory.net/rapid"
)

// wordsOf are the boxes of the texts that a plot has put on a scene, by their words.
func wordsOf(s *Scene) (texts []string, boxes []box) {
	for _, o := range s.ops {
		if o.kind != opText || o.ts.Rotation != 0 {
			continue
		}
		w := MeasureText(o.text, o.ts.Size, o.ts.Weight)
		x := o.at.X - o.ts.Anchor.offset(w)
		// From the height of capitals to the descenders of the font, 0.72 and 0.2 of the size.
		texts = append(texts, o.text)
		boxes = append(boxes, box{x, o.at.Y - 0.72*o.ts.Size, x + w, o.at.Y + 0.2*o.ts.Size})
	}
	return texts, boxes
}

func TestLabelsNeverOverlapAndStayInFrame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Plot{W: rapid.Float64Range(200, 1000).Draw(t, "w"), H: rapid.Float64Range(60, 500).Draw(t, "h"),
			Size: rapid.Float64Range(7, 16).Draw(t, "size"), X: FrequencyAxis(10, 1000), Labels: true}
		p.Y = YAxis{Lo: 0, Hi: 100, Ticks: []float64{0, 50, 100}, Bare: rapid.Bool().Draw(t, "bare")}
		p.X.Bare = rapid.Bool().Draw(t, "strip")
		if rapid.Bool().Draw(t, "fixed") {
			p.Margin = &Margin{Left: 30, Right: 70, Top: 5, Bottom: 20}
		}
		n := rapid.IntRange(1, 12).Draw(t, "n")
		for i := range n {
			name := rapid.StringMatching(`[a-z]{1,8}( [a-z0-9-]{1,20})?`).Draw(t, "name")
			ys := rapid.SliceOfN(rapid.OneOf(rapid.Float64Range(-60, 160), rapid.SampledFrom([]float64{0, 50, math.NaN()})), 7, 7).Draw(t, "ys")
			p.Series = append(p.Series, Series{Index: i, Name: fmt.Sprint("n", i, " ", name),
				X: []float64{10, 20, 50, 100, 200, 500, 1000}, Y: ys})
		}
		s := NewScene(p.W, p.H, Page())
		p.Draw(s, 0, 0)
		texts, boxes := wordsOf(s)
		var names []int
		for i, text := range texts {
			if strings.HasPrefix(text, "n") || strings.HasPrefix(text, "…") {
				names = append(names, i)
			}
		}
		for k, i := range names {
			b := boxes[i]
			if b.x0 < -1e-6 || b.x1 > p.W+1e-6 || b.y0 < -0.15*p.Size || b.y1 > p.H+0.15*p.Size {
				t.Fatalf("%q at %v leaves the plot of %g × %g", texts[i], b, p.W, p.H)
			}
			for _, j := range names[:k] {
				if b.meets(boxes[j]) {
					t.Fatalf("%q at %v on %q at %v", texts[i], b, texts[j], boxes[j])
				}
			}
		}
	})
}

func TestLabelsKeepTheOrderOfTheCurves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Plot{W: 400, H: 300, X: FrequencyAxis(10, 1000), Y: YAxis{Lo: 0, Hi: 100}, Labels: true}
		n := rapid.IntRange(2, 8).Draw(t, "n")
		ends := map[string]float64{}
		for i := range n {
			v := rapid.Float64Range(0, 100).Draw(t, "end")
			name := fmt.Sprint("n", i)
			ends[name] = v
			p.Series = append(p.Series, Series{Index: i, Name: name, X: []float64{10, 1000}, Y: []float64{50, v}})
		}
		s := NewScene(p.W, p.H, Page())
		p.Draw(s, 0, 0)
		texts, boxes := wordsOf(s)
		var names []int
		for i, text := range texts {
			if _, ok := ends[text]; ok {
				names = append(names, i)
			}
		}
		if len(names) != n {
			t.Fatalf("%d labels of %d", len(names), n)
		}
		slices.SortFunc(names, func(a, b int) int { return int(math.Copysign(1, boxes[a].y0-boxes[b].y0)) })
		stroke := 100 * p.stroke() / 300 // in units of the axis, generously: ends nearer than this are one place
		for k := 1; k < n; k++ {
			if a, b := ends[texts[names[k-1]]], ends[texts[names[k]]]; a < b-1.5*stroke {
				t.Fatalf("%g stands above %g", a, b)
			}
		}
	})
}

func TestSpreadIsTheLeastMove(t *testing.T) {
	// Against the conditions of the optimum: moving any run of labels that touch as a block, either way, must not pay.
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 8).Draw(t, "n")
		want := make([]float64, n)
		for i := range want {
			want[i] = rapid.Float64Range(0, 200).Draw(t, "y")
		}
		slices.Sort(want)
		const gap, lo, hi = 12, 0, 200
		got := spread(want, gap, lo, hi)
		cost := func(ys []float64) (sum float64) {
			for i := range ys {
				sum += (ys[i] - want[i]) * (ys[i] - want[i])
			}
			return sum
		}
		allowed := func(ys []float64) bool {
			for i := range ys {
				if ys[i] < lo-1e-9 || ys[i] > hi+1e-9 || i > 0 && ys[i]-ys[i-1] < gap-1e-9 {
					return false
				}
			}
			return true
		}
		if !allowed(got) {
			t.Fatalf("%v from %v breaks the rules", got, want)
		}
		for a := range n {
			for b := a + 1; b <= n; b++ {
				for _, step := range []float64{-0.1, 0.1} {
					other := slices.Clone(got)
					for i := a; i < b; i++ {
						other[i] += step
					}
					if allowed(other) && cost(other) < cost(got)-1e-9 {
						t.Fatalf("%v costs less than %v for %v", other, got, want)
					}
				}
			}
		}
	})
	if got := spread([]float64{5, 9}, 10, 0, 100); got[0] != 2 || got[1] != 12 {
		t.Errorf("two labels must part evenly: %v", got)
	}
}

func TestCurvesThatLeaveAreNamedWhereTheyLeave(t *testing.T) {
	s := birdScene(Page())
	texts, boxes := wordsOf(s)
	i := slices.Index(texts, "boxed & tuned")
	if i < 0 {
		t.Fatalf("no label among %q", texts)
	}
	// It goes through 50 dB at 31.5·10^(34/40) = 223 Hz: 134.8 units into the frame, which begins at 40.
	b := boxes[i]
	away := math.Hypot(max(b.x0-174.8, 174.8-b.x1, 0), max(b.y0-110, 110-b.y1, 0))
	if away > 40 || b.y1 > 110 { // four sizes of text
		t.Errorf("the label stands at %v, far from where the curve leaves, (174.8, 110)", b)
	}
}

func TestCurvesOutOfSightGetAnArrow(t *testing.T) {
	p := Plot{W: 300, H: 150, X: FrequencyAxis(10, 1000), Y: YAxis{Lo: 0, Hi: 100}, Labels: true, Series: []Series{
		{Index: 0, Name: "over", X: []float64{10, 1000}, Y: []float64{140, 150}},
		{Index: 1, Name: "under", X: []float64{10, 1000}, Y: []float64{-40, -50}},
		{Index: 2, Name: "nothing", X: []float64{10, 1000}, Y: []float64{math.NaN(), math.NaN()}},
	}}
	s := NewScene(p.W, p.H, Page())
	p.Draw(s, 0, 0)
	texts, _ := wordsOf(s)
	if !slices.Contains(texts, "over ↑") || !slices.Contains(texts, "under ↓") || slices.Contains(texts, "nothing") {
		t.Errorf("texts: %q", texts)
	}
}

func TestShorten(t *testing.T) {
	long := "two merlin-10 side by side, vented, 80 L"
	got := shorten(long, 10, 100)
	if !strings.HasPrefix(got, "two") || !strings.HasSuffix(got, "L") || !strings.Contains(got, "…") ||
		MeasureText(got, 10, Medium) > 100 {
		t.Errorf("%q", got)
	}
	if got := shorten("one", 10, 100); got != "one" {
		t.Errorf("%q was short enough", got)
	}
	if got := shorten(long, 10, 1); got != "…" {
		t.Errorf("no room: %q", got)
	}
}

func TestNoteKeepsClear(t *testing.T) {
	p := birds()
	p.Goals, p.Limits, p.Marks = nil, nil, nil
	for name, y := range map[string]float64{"curve along the top": 97, "curve along the floor": 53} {
		p.Series = []Series{{X: []float64{10, 10000}, Y: []float64{y, y}}}
		s := NewScene(p.W, p.H, Page())
		p.Draw(s, 0, 0)
		texts, boxes := wordsOf(s)
		i := slices.Index(texts, "1 W, 1 m")
		at := 10 + 100*(1-(y-50)/50)
		if b := boxes[i]; b.y0 < at+1 && b.y1 > at-1 {
			t.Errorf("%s: the note at %v lies on the curve at %g", name, b, at)
		}
	}
}

func TestWrap(t *testing.T) {
	if got := wrap("150 W in the coils, 1 m, half space", 10, 100); len(got) < 2 || strings.Join(got, " ") != "150 W in the coils, 1 m, half space" {
		t.Errorf("%q", got)
	}
	if got := wrap("unbreakable", 10, 5); len(got) != 1 {
		t.Errorf("%q", got)
	}
}

func TestPlotRefusesWhatItCannotDraw(t *testing.T) {
	for what, change := range map[string]func(*Plot){
		"no width":      func(p *Plot) { p.W = 0 },
		"x backwards":   func(p *Plot) { p.X.From, p.X.To = 100, 10 },
		"x from zero":   func(p *Plot) { p.X.From = 0 },
		"y empty":       func(p *Plot) { p.Y.Hi = p.Y.Lo },
		"y log of zero": func(p *Plot) { p.Y.Lo, p.Y.Log = 0, true },
		"y endless":     func(p *Plot) { p.Y.Hi = math.Inf(1) },
		"lengths":       func(p *Plot) { p.Series[0].Y = p.Series[0].Y[1:] },
		"ghost":         func(p *Plot) { p.Series[0].Ghost = []float64{1} },
	} {
		p := birds()
		change(&p)
		t.Run(what, func(t *testing.T) {
			check.Panics(t, "draw: ", func() { p.Draw(NewScene(400, 160, Page()), 0, 0) })
		})
	}
}

func TestTinyPlotsDoNotBreak(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := birds()
		p.Margin = nil
		p.W, p.H = rapid.Float64Range(1, 80).Draw(t, "w"), rapid.Float64Range(1, 60).Draw(t, "h")
		s := NewScene(p.W, p.H, Page())
		p.Draw(s, 0, 0)
		var doc strings.Builder
		if err := s.SVG(&doc, SVGOptions{}); err != nil || strings.Contains(doc.String(), "NaN") || strings.Contains(doc.String(), "Inf") {
			t.Fatal("not a number in the drawing")
		}
	})
}
