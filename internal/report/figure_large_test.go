package report_test

import (
	"bytes"
	"context"
	"math"
	"os"
	"strings"
	"testing"

	"basswright/internal/check"
	"basswright/internal/heat"
	"basswright/internal/report"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

func opened(t *testing.T, name string) *study.Study {
	t.Helper()
	text, err := os.ReadFile("../../examples/" + name + ".yaml")
	if err != nil {
		t.Fatal(err)
	}
	st, err := studyfile.Parse(text, name+".yaml")
	if err != nil {
		t.Fatal(err)
	}
	return st
}

func drawn(t *testing.T, f *report.Figure, err error) string {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	for _, format := range []string{"png", "pdf"} {
		var b bytes.Buffer
		if err := f.Write(&b, format); err != nil || b.Len() < 2000 {
			t.Errorf("as %s %d bytes, %v", format, b.Len(), err)
		}
	}
	var b bytes.Buffer
	if err := f.Write(&b, "svg"); err != nil {
		t.Fatal(err)
	}
	for _, bad := range []string{"NaN", "Inf"} {
		if strings.Contains(b.String(), bad) {
			t.Errorf("the figure says %s", bad)
		}
	}
	return b.String()
}

func distortions(t *testing.T, st *study.Study, at []float64, volts float64, some ...int) []*study.DistortionCurve {
	t.Helper()
	var out []*study.DistortionCurve
	for _, i := range some {
		d, err := st.DistortionOver(context.Background(), i, at, volts)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, d)
	}
	return out
}

var someFrequencies = study.Frequencies(study.DistortionFrom, study.DistortionTo, 27)

// The pictures, to be looked at when they change.
func TestDistortionFigures(t *testing.T) {
	st := opened(t, "hayloft")
	f, err := report.DistortionFigure(st, distortions(t, st, someFrequencies, 10, 2), report.FigureOptions{})
	check.Golden(t, "testdata/distortion.svg", drawn(t, f, err))
	f, err = report.DistortionFigure(st, distortions(t, st, someFrequencies, 0, 0, 2, 3), report.FigureOptions{Size: "slide", Theme: "slide"})
	check.Golden(t, "testdata/distortions.svg", drawn(t, f, err))
}

func TestHeatFigures(t *testing.T) {
	st := opened(t, "camper-bench")
	for file, o := range map[string]study.HeatOptions{
		"testdata/heat.svg":       {Volts: 20, For: 3600, Fine: true},
		"testdata/heat-rests.svg": {Volts: 30, On: 20, Off: 40, For: 600, Fine: true},
	} {
		h, err := st.Heat(context.Background(), 0, o)
		if err != nil {
			t.Fatal(err)
		}
		f, err := report.HeatFigure(st, &st.Candidates[0], h, o, report.FigureOptions{})
		check.Golden(t, file, drawn(t, f, err))
	}
}

// The alternative text holds what the picture shows: the drive, the greatest THD
// and where, and what it rests on.
func TestFigureInWords(t *testing.T) {
	st := opened(t, "hayloft")
	text := drawn(t, must(report.DistortionFigure(st, distortions(t, st, []float64{20, 40, 80}, 12, 2), report.FigureOptions{})), nil)
	for _, want := range []string{"<title", "Distortion of mirrored: Hayloft", "Sines of 12 V at the source", "mirrored: THD at most −", "2nd at most −", "at 20 Hz"} {
		if !strings.Contains(strings.ReplaceAll(text, "\u2009", " "), want) {
			t.Errorf("it does not say %q", want)
		}
	}
	bare := opened(t, "camper-bench")
	text = drawn(t, must(report.DistortionFigure(bare, distortions(t, bare, []float64{20, 40, 80}, 12, 0), report.FigureOptions{})), nil)
	if !strings.Contains(text, "No driver has curves: the air of the chambers alone") {
		t.Error("nobody says that the driver has no curves")
	}
}

func must(f *report.Figure, err error) *report.Figure {
	if err != nil {
		panic(err)
	}
	return f
}

// Without a chamber of air and without curves nothing distorts, and that is said.
func TestNothingDistorts(t *testing.T) {
	st := opened(t, "camper-bench")
	st.Model.LinearAir = true
	_, err := report.DistortionFigure(st, distortions(t, st, []float64{20, 40}, 12, 0), report.FigureOptions{})
	if err == nil || !strings.Contains(err.Error(), "nothing of one distorts; give the driver curves") {
		t.Errorf("%v", err)
	}
}

// Drivers that warm up alike have one name, others one each: by their place in the
// stack, or by what they are.
func TestHeatNames(t *testing.T) {
	st := opened(t, "hayloft")
	o := study.HeatOptions{Volts: 20, For: 600, Fine: true}
	told := func(i int) string {
		h, err := st.Heat(context.Background(), i, o)
		if err != nil {
			t.Fatal(err)
		}
		return drawn(t, must(report.HeatFigure(st, &st.Candidates[i], h, o, report.FigureOptions{})), nil)
	}
	if text := told(2); !strings.Contains(text, ">coils<") || strings.Contains(text, "outer") {
		t.Error("alike drivers are not told as one")
	}
	d := *st.Candidates[2].Group.Positions[0][1].Driver
	d.Data.Thermal = heat.Circuit{Rtv: 2, Ctv: 20, Rtm: 1, Ctm: 500}
	st.Candidates[2].Group.Positions[0][1].Driver = &d
	if text := told(2); !strings.Contains(text, ">outer coil<") || !strings.Contains(text, ">inner magnet<") {
		t.Error("unlike drivers are not told apart")
	}
}

// A short course leaves no picture on an axis that begins at 1 s.
func TestHeatTooShort(t *testing.T) {
	st := opened(t, "hayloft")
	o := study.HeatOptions{Volts: 20, For: 3, Fine: true}
	h, err := st.Heat(context.Background(), 0, o)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := report.HeatFigure(st, &st.Candidates[0], h, o, report.FigureOptions{}); err == nil || !strings.Contains(err.Error(), "--for 10s or more") {
		t.Errorf("%v", err)
	}
}

// The report has them where it is given them: one of all, and one of each.
func TestDistortionInTheReport(t *testing.T) {
	st := opened(t, "hayloft")
	r, err := study.Evaluate(context.Background(), st, study.Options{Points: 60})
	if err != nil {
		t.Fatal(err)
	}
	page := func(list []*study.DistortionCurve) string {
		var b bytes.Buffer
		if err := report.ReportHTML(&b, r, report.HTMLOptions{Distortion: list}); err != nil {
			t.Fatal(err)
		}
		return b.String()
	}
	if strings.Contains(page(nil), "Distortion") {
		t.Error("it has figures of distortion that nobody asked for")
	}
	text := page(distortions(t, st, []float64{20, 40, 80}, 0, 0, 2))
	for _, want := range []string{"Distortion of one", "Distortion of mirrored", "all harmonics together (THD)", "−20\u202fdB is 10\u202f%"} {
		if !strings.Contains(text, want) {
			t.Errorf("it does not have %q", want)
		}
	}
}

// What is drawn is what distortion tells: the curves hold the states' own lines.
func TestDistortionCurveIsTheStates(t *testing.T) {
	st := opened(t, "hayloft")
	at := []float64{20, 31.5, 63}
	c := distortions(t, st, at, 10, 2)[0]
	d, err := st.Distort(context.Background(), 2, at, []float64{10})
	if err != nil {
		t.Fatal(err)
	}
	for k := range at {
		p := d.Points[k].Pressure
		for n := range c.Lines {
			want := float64(study.LineLevel(p, n+2) - study.LineLevel(p, 1))
			if math.Abs(c.Lines[n][k]-want) > 1e-9 { // the same numbers, in another order of rounding
				t.Errorf("%g Hz: line %d is %g dB, the state’s %g", at[k], n+2, c.Lines[n][k], want)
			}
		}
		if want := 20 * math.Log10(float64(study.THD(p))); math.Abs(c.THD[k]-want) > 1e-9 {
			t.Errorf("%g Hz: THD %g dB, the state’s %g", at[k], c.THD[k], want)
		}
	}
}
