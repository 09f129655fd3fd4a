package draw

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"basswright/internal/check"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func TestThirdsAreISO266(t *testing.T) {
	// ISO 266:1997, table 1: the preferred frequencies for one-third-octave bands, and which of them are octaves.
	want := []float64{10, 12.5, 16, 20, 25, 31.5, 40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 400, 500, 630, 800, 1000,
		1250, 1600, 2000, 2500, 3150, 4000, 5000, 6300, 8000, 10000, 12500, 16000, 20000}
	octaves := []float64{16, 31.5, 63, 125, 250, 500, 1000, 2000, 4000, 8000, 16000}
	var got, oct []float64
	for _, f := range Thirds(10, 20000) {
		got = append(got, f.F)
		if f.Octave {
			oct = append(oct, f.F)
		}
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Errorf("thirds:\n%s", d)
	}
	if d := cmp.Diff(octaves, oct); d != "" {
		t.Errorf("octaves:\n%s", d)
	}
	if got := Thirds(1, 2); len(got) != 4 || got[0] != (Third{1, true}) || got[3] != (Third{2, true}) {
		t.Errorf("1 Hz to 2 Hz: %v", got)
	}
	for _, bad := range [][2]float64{{0, 10}, {-1, 10}, {20, 10}, {math.NaN(), 1}, {1, math.Inf(1)}} {
		if got := Thirds(bad[0], bad[1]); got != nil {
			t.Errorf("from %g to %g: %v", bad[0], bad[1], got)
		}
	}
}

func TestNumber(t *testing.T) {
	for v, want := range map[float64]string{
		0: "0", math.Copysign(0, -1): "0", 31.5: "31.5", -10: "−10", 0.1 + 0.2: "0.3", 1000: "1000", 20000: "20\u2009000",
		1234567: "1\u2009234\u2009567", -12345.5: "−12\u2009345.5", 1e-3: "0.001",
	} {
		if got := Number(v); got != want {
			t.Errorf("%g: %q, want %q", v, got, want)
		}
	}
	if got := Number(math.NaN()); got != "–" {
		t.Errorf("not a number: %q", got)
	}
}

func TestNiceTicks(t *testing.T) {
	for _, c := range []struct {
		lo, hi float64
		most   int
		want   []float64
	}{
		{0, 24, 5, []float64{0, 5, 10, 15, 20}},
		{-1, 1, 5, []float64{-1, -0.5, 0, 0.5, 1}},
		{0, 0.3, 4, []float64{0, 0.1, 0.2, 0.3}},
		{7, 7, 3, []float64{7}},
		{5, 1, 3, nil},
		{0, math.Inf(1), 3, nil},
	} {
		if d := cmp.Diff(c.want, NiceTicks(c.lo, c.hi, c.most)); d != "" {
			t.Errorf("%g to %g: %s", c.lo, c.hi, d)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		lo := rapid.Float64Range(-1e6, 1e6).Draw(t, "lo")
		hi := lo + math.Pow(10, rapid.Float64Range(-4, 6).Draw(t, "span"))
		most := rapid.IntRange(2, 12).Draw(t, "most")
		got := NiceTicks(lo, hi, most)
		if len(got) > most || len(got) < 1 && most > 5 {
			t.Fatalf("%d ticks of at most %d", len(got), most)
		}
		if !slices.IsSorted(got) {
			t.Fatalf("not in order: %v", got)
		}
		for _, v := range got {
			if v < lo-1e-6*(hi-lo) || v > hi+1e-6*(hi-lo) {
				t.Fatalf("%g is outside %g to %g", v, lo, hi)
			}
		}
	})
}

// sound checks what every axis must keep: an interval, ticks inside it and in order.
func sound(t interface{ Fatalf(string, ...any) }, a YAxis) {
	if !finite(a.Lo) || !finite(a.Hi) || a.Lo >= a.Hi || a.Log && a.Lo <= 0 {
		t.Fatalf("axis from %g to %g", a.Lo, a.Hi)
	}
	for _, row := range [][]float64{a.Ticks, a.Fine} {
		if !slices.IsSorted(row) {
			t.Fatalf("ticks out of order: %v", row)
		}
		for _, v := range row {
			if tol := 1e-9 * (a.Hi - a.Lo); v < a.Lo-tol || v > a.Hi+tol {
				t.Fatalf("tick %g outside %g to %g", v, a.Lo, a.Hi)
			}
		}
	}
	if len(a.Ticks) == 0 {
		t.Fatalf("no ticks from %g to %g", a.Lo, a.Hi)
	}
}

func TestDecibelAxis(t *testing.T) {
	// The two figures of the house: page, 45 dB, and slide, 48 dB, with a highest level of 112 dB.
	for span, want := range map[float64][2]float64{45: {70, 115}, 48: {70, 118}} {
		a := DecibelAxis("", span, []float64{80, 112, math.NaN(), math.Inf(-1)})
		if a.Lo != want[0] || a.Hi != want[1] {
			t.Errorf("span %g: %g to %g, want %v", span, a.Lo, a.Hi, want)
		}
	}
	if d := cmp.Diff([]float64{70, 80, 90, 100, 110}, DecibelAxis("", 45, []float64{112}).Ticks); d != "" {
		t.Error(d)
	}
	if d := cmp.Diff([]float64{75, 85, 95, 105}, DecibelAxis("", 45, []float64{112}).Fine); d != "" {
		t.Error(d)
	}
	rapid.Check(t, func(t *rapid.T) {
		top, span := rapid.Float64Range(-200, 200).Draw(t, "top"), rapid.Float64Range(10, 300).Draw(t, "span")
		a := DecibelAxis("", span, []float64{top})
		sound(t, a)
		if a.Hi < top+3-1e-6 || a.Hi > top+8+1e-6 {
			t.Fatalf("the highest level %g under %g", top, a.Hi)
		}
	})
	sound(t, DecibelAxis("", 0))
}

func TestRiseAxis(t *testing.T) {
	for _, c := range []struct {
		name   string
		limits []float64
		ys     []float64
		lo, hi float64 // bounds of Hi
	}{
		{"limit in sight", []float64{12}, []float64{3, 8}, 12, 24},
		{"far above the limit", []float64{12}, []float64{500}, 24, 24},
		{"limit out of all proportion", []float64{12}, []float64{0.1}, 0.1, 0.2},
		{"no curve", []float64{12}, nil, 12, 24},
		{"nothing at all", nil, nil, 1, 1},
		{"no limit", nil, []float64{23}, 23, 30},
		{"all zero", nil, []float64{0, 0}, 1, 1},
	} {
		a := RiseAxis("", c.limits, c.ys)
		sound(t, a)
		if a.Lo != 0 || a.Hi < c.lo || a.Hi > c.hi {
			t.Errorf("%s: 0 to %g, want between %g and %g", c.name, a.Hi, c.lo, c.hi)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		sound(t, RiseAxis("", []float64{rapid.Float64Range(1e-6, 1e6).Draw(t, "limit")},
			[]float64{rapid.Float64Range(-1e6, 1e6).Draw(t, "y")}))
	})
}

func TestLinearAxis(t *testing.T) {
	a := LinearAxis("", []float64{0}, []float64{-0.31, 0.93})
	if a.Lo != -0.5 || a.Hi != 1 { // six steps at most: 0.5 each
		t.Errorf("%g to %g", a.Lo, a.Hi)
	}
	rapid.Check(t, func(t *rapid.T) {
		y := rapid.SliceOfN(rapid.Float64Range(-1e4, 1e4), 0, 5).Draw(t, "y")
		a := LinearAxis("", nil, y)
		sound(t, a)
		lo, hi, ok := Bounds(y)
		if tol := 1e-6 * (a.Hi - a.Lo); ok && (a.Lo > lo+tol || a.Hi < hi-tol) {
			t.Fatalf("%v is not inside %g to %g", y, a.Lo, a.Hi)
		}
	})
}

func TestLogAxis(t *testing.T) {
	a := LogAxis("", []float64{2}, []float64{3.2, 70})
	if a.Lo != 2 || a.Hi != 100 {
		t.Errorf("%g to %g, want 2 to 100", a.Lo, a.Hi)
	}
	if d := cmp.Diff([]float64{2, 5, 10, 20, 50, 100}, a.Ticks); d != "" {
		t.Error(d)
	}
	if d := cmp.Diff([]float64{3, 4, 6, 7, 8, 9, 30, 40, 60, 70, 80, 90}, a.Fine); d != "" {
		t.Error(d)
	}
	for _, ys := range [][]float64{nil, {0, -4}, {5}, {10}, {math.NaN(), math.Inf(1)}, {1e-30, 1}} {
		sound(t, LogAxis("", nil, ys))
	}
	rapid.Check(t, func(t *rapid.T) {
		v := math.Pow(10, rapid.Float64Range(-6, 6).Draw(t, "v"))
		w := v * math.Pow(10, rapid.Float64Range(0, 3.9).Draw(t, "w"))
		a := LogAxis("", nil, []float64{v, w})
		sound(t, a)
		if a.Lo > v*(1+1e-9) || a.Hi < w*(1-1e-9) || a.Lo < v/5 || a.Hi > w*5 {
			t.Fatalf("%g to %g for curves from %g to %g", a.Lo, a.Hi, v, w)
		}
	})
}

func TestXNumbersKeepClear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Plot{W: rapid.Float64Range(120, 1600).Draw(t, "w"), H: 200, Size: rapid.Float64Range(6, 20).Draw(t, "size")}
		p.X = FrequencyAxis(rapid.Float64Range(1, 100).Draw(t, "from"), rapid.Float64Range(150, 40000).Draw(t, "to"))
		p.Y = YAxis{Lo: 0, Hi: 1}
		d := newDrawing(&p, NewScene(p.W, p.H, Page()), 0, 0)
		edge := math.Inf(-1)
		for _, k := range d.tx {
			if !k.label {
				continue
			}
			half := MeasureText(Number(k.at), d.size, Regular) / 2
			if d.f.px(k.at)-half < edge+0.2*d.size {
				t.Fatalf("the number %g touches the one before it", k.at)
			}
			edge = d.f.px(k.at) + half
		}
	})
}

func TestAspect(t *testing.T) {
	// IEC 60263: 50 dB as tall as one decade is wide.
	p := birds()
	p.Margin = nil
	p.H = p.HeightFor(50)
	f := p.frame()
	check.Near(t, "height of 50 dB over width of a decade", f.h/(p.Y.Hi-p.Y.Lo)*50, f.w/3, 1e-9, "float64")
	check.Near(t, "span", p.SpanFor(50), p.Y.Hi-p.Y.Lo, 1e-9, "float64")

	p.H = 300
	p = p.FitLevels("Level in dB", 50)
	f = p.frame()
	check.Near(t, "after FitLevels", f.h/(p.Y.Hi-p.Y.Lo)*50, f.w/3, 1e-6*f.w, "the margins that follow the labels settle")
	if p.Y.Hi < 98 || p.Y.Hi >= 103 { // 3 dB above the limit at 95 dB, and less than a step of 5 dB more
		t.Errorf("the highest, a limit of 95 dB, under %g", p.Y.Hi)
	}
	p.Limits[0].At = 90 + nearLimit + 1
	if p = p.FitLevels("Level in dB", 50); p.Y.Hi < 93 || p.Y.Hi >= 98 {
		t.Errorf("without the far limit: the highest level, 90 dB, under %g", p.Y.Hi)
	}
}

// Whatever the range, the proportion is kept and the height stays within its
// bounds: what gives way is the span.
func TestProportioned(t *testing.T) {
	for _, x := range [][2]float64{{10, 400}, {100, 200}, {1, 20e3}, {1e-3, 1e5}} {
		for _, top := range []float64{-7, 9.9, 90, 104} { // numbers of one, two and three digits, with and without a minus
			p := birds()
			p.Margin = nil
			p.X.From, p.X.To = x[0], x[1]
			p.Series, p.Limits = []Series{{X: x[:], Y: []float64{top - 30, top}}}, nil
			p = p.Proportioned(50, 150, 400)
			f := p.frame()
			decade := f.w / math.Log10(x[1]/x[0])
			check.Near(t, fmt.Sprint(x, top), f.h/(p.Y.Hi-p.Y.Lo)*50, decade, 1e-9*decade, "the arithmetic")
			if p.H < 150 || p.H > 400 || p.Y.Hi < top+3 {
				t.Errorf("%v: %g high, up to %g dB", x, p.H, p.Y.Hi)
			}
		}
	}
}

// Up to three decades a logarithmic axis has numbers at 1, 2 and 5; beyond, at
// decades only: in the lowest figures the others would touch.
func TestLogAxisNumbers(t *testing.T) {
	for hi, want := range map[float64][]float64{
		1000: {1, 2, 5, 10, 20, 50, 100, 200, 500, 1000},
		2000: {1, 10, 100, 1000},
	} {
		if d := cmp.Diff(want, LogAxis("", nil, []float64{1, hi}).Ticks); d != "" {
			t.Errorf("up to %g (−want +got):\n%s", hi, d)
		}
	}
}
