package draw

import (
	"math"
	"testing"

	"basswright/internal/check"

	"pgregory.net/rapid"
)

func TestFlattenCircle(t *testing.T) {
	// Four cubics are off a circle by at most 0.027 % of the radius (plain geometry of the handle 4/3·(√2 − 1)),
	// and the chords by the tolerance that was asked for.
	const r, tol = 100, 0.01
	p := new(Path).Disc(3, 4, r)
	subs := p.flatten(tol)
	if len(subs) != 1 || !subs[0].closed {
		t.Fatalf("a circle is %d figures", len(subs))
	}
	pts := subs[0].pts
	for i, q := range pts {
		check.Near(t, "radius", math.Hypot(q.X-3, q.Y-4), r, 0.00028*r, "cubics off a circle by 0.027 %")
		n := pts[(i+1)%len(pts)]
		check.Near(t, "radius of a chord's middle", math.Hypot((q.X+n.X)/2-3, (q.Y+n.Y)/2-4), r, 0.00028*r+tol, "cubics off a circle by 0.027 %, and the chords")
	}
}

func TestFlattenQuadratic(t *testing.T) {
	// The parabola through (0,0), (10,0) with its control at (5,10) is y = 2x(1 − x/10).
	for _, q := range new(Path).M(0, 0).Q(5, 10, 10, 0).flatten(1e-3)[0].pts {
		check.Near(t, "y", q.Y, 2*q.X*(1-q.X/10), 1e-9, "float64")
	}
}

func TestPathAfterClose(t *testing.T) {
	subs := new(Path).M(1, 1).L(2, 1).L(2, 2).Z().L(5, 5).flatten(1)
	if len(subs) != 2 || subs[1].pts[0] != (Point{1, 1}) || subs[1].closed {
		t.Errorf("after Z the pen stands where the figure began: %+v", subs)
	}
	if new(Path).L(1, 1).seg[0].verb != moveTo {
		t.Error("a path must begin with a move")
	}
}

func TestNotANumberStopsAtTheDoor(t *testing.T) {
	s := NewScene(10, 10, Page())
	nan := math.NaN()
	for what, f := range map[string]func(){
		"path":   func() { s.Line(0, 0, nan, 1, Style{Stroke: Ink, Width: 1}) },
		"circle": func() { s.Circle(1, 1, math.Inf(1), Style{Fill: Ink}) },
		"text":   func() { s.Text(nan, 1, "a", TextStyle{Size: 10}) },
		"size":   func() { s.Text(1, 1, "a", TextStyle{}) },
		"stroke": func() { s.Rect(1, 1, 1, 1, Style{Stroke: Ink, Width: nan}) },
		"dash":   func() { s.Rect(1, 1, 1, 1, Style{Stroke: Ink, Width: 1, Dash: []float64{-1, 2}}) },
		"scene":  func() { NewScene(0, 10, Page()) },
		"unclip": func() { s.Unclip() },
	} {
		t.Run(what, func(t *testing.T) { check.Panics(t, "draw: ", f) })
	}
	if len(s.ops) != 0 {
		t.Errorf("%d operations were kept", len(s.ops))
	}
}

func TestHatch(t *testing.T) {
	// Parallel lines at a pitch d inside a figure of area A have the total length A/d, but for the edges: each of the
	// two outermost lines can be missing or extra, at most one chord each.
	rapid.Check(t, func(t *rapid.T) {
		x, y := rapid.Float64Range(-50, 50).Draw(t, "x"), rapid.Float64Range(-50, 50).Draw(t, "y")
		w, h := rapid.Float64Range(1, 200).Draw(t, "w"), rapid.Float64Range(1, 200).Draw(t, "h")
		pitch := rapid.Float64Range(0.3, 9).Draw(t, "pitch")
		falling := rapid.Bool().Draw(t, "falling")
		lines := hatchLines(new(Path).Box(x, y, w, h), Hatch{Role: Ink, Pitch: pitch, Width: 0.1, Falling: falling})
		sum := 0.0
		for i := 0; i+1 < len(lines.seg); i += 2 {
			a, b := lines.seg[i].p[0], lines.seg[i+1].p[0]
			slope := -1.0 // y points down: rising on the page
			if falling {
				slope = 1
			}
			if math.Abs((b.Y-a.Y)-slope*(b.X-a.X)) > 1e-6 {
				t.Fatalf("line from %v to %v is not at 45°", a, b)
			}
			for _, q := range []Point{a, b} {
				if q.X < x-1e-6 || q.X > x+w+1e-6 || q.Y < y-1e-6 || q.Y > y+h+1e-6 {
					t.Fatalf("%v is outside the figure", q)
				}
			}
			sum += math.Hypot(b.X-a.X, b.Y-a.Y)
		}
		chord := math.Sqrt2 * min(w, h)
		if math.Abs(sum-w*h/pitch) > 2*chord {
			t.Fatalf("length %g, want %g within %g", sum, w*h/pitch, 2*chord)
		}
	})
}

func TestHatchSparesHolesAndCountsCornersOnce(t *testing.T) {
	p := new(Path).Box(0, 0, 40, 40).Box(10, 10, 20, 20)
	lines := hatchLines(p, Hatch{Role: Ink, Pitch: 5 / math.Sqrt2, Width: 1}) // x + y = 5n: through all the corners
	for i := 0; i+1 < len(lines.seg); i += 2 {
		a, b := lines.seg[i].p[0], lines.seg[i+1].p[0]
		m := Point{(a.X + b.X) / 2, (a.Y + b.Y) / 2}
		if m.X > 10 && m.X < 30 && m.Y > 10 && m.Y < 30 {
			t.Errorf("a line from %v to %v in the hole", a, b)
		}
	}
	if lines.Empty() {
		t.Error("nothing hatched")
	}
	if !hatchLines(new(Path).Box(0, 0, 1e6, 1e6), Hatch{Role: Ink, Pitch: 1e-3, Width: 1}).Empty() {
		t.Error("a pitch that nobody can see must not fill the memory")
	}
}

func TestSimplifyStaysClose(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 60).Draw(t, "n")
		pts := make([]Point, n)
		for i := range pts {
			pts[i] = Point{float64(i), rapid.Float64Range(-3, 3).Draw(t, "y")}
		}
		const tol = 0.4
		out := simplify(pts, tol)
		if out[0] != pts[0] || out[len(out)-1] != pts[n-1] {
			t.Fatal("an end was lost")
		}
		for _, p := range pts {
			best := math.Inf(1)
			for k := 1; k < len(out); k++ {
				best = min(best, distance(p, out[k-1], out[k]))
			}
			if best > tol+1e-12 {
				t.Fatalf("%v is %g off the line that is left", p, best)
			}
		}
	})
	if got := simplify([]Point{{0, 0}, {1, 1}, {2, 2}, {3, 3}}, 1e-9); len(got) != 2 {
		t.Errorf("a straight line keeps %d points", len(got))
	}
}

// unitFrame maps x and y of 0 to 100 onto themselves, upside down.
func unitFrame() frame {
	return frame{w: 100, h: 100, x: XAxis{From: 0, To: 100, Linear: true}, y: YAxis{Lo: 0, Hi: 100}}
}

func TestRunsStayInTheBox(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 40).Draw(t, "n")
		xs, ys := make([]float64, n), make([]float64, n)
		for i := range xs {
			xs[i] = float64(i) * 120 / 40
			ys[i] = rapid.OneOf(rapid.Float64Range(-300, 300), rapid.SampledFrom([]float64{math.NaN(), math.Inf(1), 0, 100})).Draw(t, "y")
		}
		b := box{0, 0, 100, 100}
		for _, run := range unitFrame().runs(xs, ys, b) {
			for k, q := range run {
				if q.X < -1e-9 || q.X > 100+1e-9 || q.Y < -1e-9 || q.Y > 100+1e-9 {
					t.Fatalf("%v is outside", q)
				}
				if k > 0 && q.X < run[k-1].X {
					t.Fatalf("the line turns back at %v", q)
				}
			}
		}
	})
}

func TestRunsHonourGapsAndEdges(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		name string
		ys   []float64
		want [][]Point
	}{
		{"whole", []float64{50, 60}, [][]Point{{{0, 50}, {10, 40}}}},
		{"gap", []float64{50, 50, nan, 50, 50}, [][]Point{{{0, 50}, {10, 50}}, {{30, 50}, {40, 50}}}},
		{"lone points", []float64{50, nan, 50, nan, 50}, [][]Point{{{0, 50}}, {{20, 50}}, {{40, 50}}}},
		{"leaves and comes back", []float64{90, 110, 90}, [][]Point{{{0, 10}, {5, 0}}, {{15, 0}, {20, 10}}}},
		{"through and through", []float64{-50, 150}, [][]Point{{{2.5, 100}, {7.5, 0}}}},
		{"outside", []float64{120, 150, 130}, nil},
		{"nothing", []float64{nan, nan}, nil},
	} {
		xs := make([]float64, len(c.ys))
		for i := range xs {
			xs[i] = 10 * float64(i)
		}
		got := unitFrame().runs(xs, c.ys, box{0, 0, 100, 100})
		if len(got) != len(c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
			continue
		}
		for i := range got {
			if len(got[i]) != len(c.want[i]) {
				t.Errorf("%s: run %d is %v, want %v", c.name, i, got[i], c.want[i])
				continue
			}
			for k := range got[i] {
				check.Near(t, c.name+" x", got[i][k].X, c.want[i][k].X, 1e-9, "float64")
				check.Near(t, c.name+" y", got[i][k].Y, c.want[i][k].Y, 1e-9, "float64")
			}
		}
	}
}

func TestValueAt(t *testing.T) {
	f := frame{w: 300, h: 100, x: FrequencyAxis(10, 10000), y: YAxis{Lo: 0, Hi: 100}}
	s := Series{X: []float64{10, 1000, 2000, 4000}, Y: []float64{0, 20, math.NaN(), 5}}
	if v, ok := f.valueAt(s, 100); !ok || math.Abs(v-10) > 1e-9 {
		t.Errorf("half way on a logarithmic axis: %g, %v, want 10", v, ok)
	}
	for _, x := range []float64{5, 1500, 3000, 9000} {
		if v, ok := f.valueAt(s, x); ok {
			t.Errorf("at %g, where there is nothing: %g", x, v)
		}
	}
}
