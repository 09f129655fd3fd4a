package draw

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math"
	"os/exec"
	"strings"
	"testing"

	"basswright/internal/check"
)

func raster(t *testing.T, s *Scene, scale float64) image.Image {
	t.Helper()
	var b bytes.Buffer
	if err := s.PNG(&b, scale); err != nil {
		t.Fatal(err)
	}
	im, err := png.Decode(&b)
	if err != nil {
		t.Fatal(err)
	}
	return im
}

func at(im image.Image, x, y int) color.NRGBA {
	return color.NRGBAModel.Convert(im.At(x, y)).(color.NRGBA)
}

func TestFilesAreRepeatable(t *testing.T) {
	for name, s := range scenes() {
		var a, b, c, d bytes.Buffer
		for _, w := range []*bytes.Buffer{&a, &b} {
			if err := s.PNG(w, 2); err != nil {
				t.Fatal(err)
			}
		}
		for _, w := range []*bytes.Buffer{&c, &d} {
			if err := s.PDF(w, PDFOptions{WidthMM: 160}); err != nil {
				t.Fatal(err)
			}
		}
		if !bytes.Equal(a.Bytes(), b.Bytes()) || a.Len() < 500 {
			t.Errorf("%s: two pictures differ, or hold nothing", name)
		}
		if !bytes.Equal(c.Bytes(), d.Bytes()) || !bytes.HasPrefix(c.Bytes(), []byte("%PDF-")) {
			t.Errorf("%s: two PDFs differ, or are none", name)
		}
	}
}

func TestPNGPaintsWhatIsAsked(t *testing.T) {
	s := NewScene(40, 30, Page())
	s.Rect(0, 0, 40, 30, Style{Fill: Line(0)})
	s.Path(new(Path).Box(4, 4, 20, 20).Box(10, 10, 8, 8), Style{Fill: Stop}) // with a hole
	s.ClipRect(30, 0, 5, 30)
	s.ClipRect(0, 10, 40, 5)
	s.Rect(0, 0, 40, 30, Style{Fill: Ink})
	s.Unclip()
	s.Unclip()
	s.Line(26, 15, 29, 15, Style{Stroke: Paper, Width: 2})
	s.Rect(36, 20, 4, 10, Style{Fill: Paper, Opacity: 0.5})
	im := raster(t, s, 2)
	if im.Bounds().Dx() != 80 || im.Bounds().Dy() != 60 {
		t.Fatalf("the picture is %v", im.Bounds())
	}
	blue, th := Page().Colour(Line(0)), Page()
	for what, c := range map[string]struct {
		x, y int
		want color.NRGBA
	}{
		"ground":          {2, 2, blue},
		"ring":            {14, 14, th.Colour(Stop)},
		"hole":            {28, 28, blue},
		"inside clips":    {64, 24, th.Colour(Ink)},
		"outside inner":   {64, 10, blue},
		"outside outer":   {54, 24, blue},
		"line":            {55, 30, th.Colour(Paper)},
		"half of a white": {76, 50, color.NRGBA{uint8((int(blue.R) + 255) / 2), uint8((int(blue.G) + 255) / 2), uint8((int(blue.B) + 255) / 2), 255}},
	} {
		got := at(im, c.x, c.y)
		for i, d := range []int{int(got.R) - int(c.want.R), int(got.G) - int(c.want.G), int(got.B) - int(c.want.B), int(got.A) - int(c.want.A)} {
			if d < -2 || d > 2 { // rounding of 8-bit alpha
				t.Errorf("%s: %v, want %v (channel %d)", what, got, c.want, i)
			}
		}
	}
}

func TestDashesInPNG(t *testing.T) {
	// Short dashes at a width of 2: 5 on, 3 off. Of the first 16 units of line, 10 are painted.
	s := NewScene(20, 4, Page())
	s.Line(0, 2, 16, 2, Style{Stroke: Ink, Width: 2, Dash: Dash(3)})
	im := raster(t, s, 10)
	n := 0
	for x := range 160 {
		if at(im, x, 20).R < 128 {
			n++
		}
	}
	check.Near(t, "painted tenths", float64(n), 100, 2, "a pixel at either end of a dash")
}

func TestOverlayHasNoGround(t *testing.T) {
	im := raster(t, birdScene(Overlay()), 2)
	if a := at(im, 1, 1).A; a != 0 {
		t.Errorf("the corner has alpha %d", a)
	}
	if a := at(raster(t, birdScene(Slide()), 2), 1, 1).A; a != 255 {
		t.Errorf("the slide's corner has alpha %d", a)
	}
	// The pair's plateau lies at y = 42 and is 10/6 wide; its edging goes on for half a unit: 40.67 to 41.17, of which
	// row 163 at four pixels to the unit is inside.
	if c := at(raster(t, birdScene(Overlay()), 4), 1120, 163); c != Overlay().Colour(Paper) {
		t.Errorf("beside the curve: %v, want the edging %v", c, Overlay().Colour(Paper))
	}
}

func TestPNGSizes(t *testing.T) {
	s := NewScene(100, 50, Page())
	for scale, word := range map[float64]string{0: "pixel", -1: "pixel", 1e-6: "pixel", math.Inf(1): "pixel", 1e4: "too large"} {
		var b bytes.Buffer
		if err := s.PNG(&b, scale); err == nil || !strings.Contains(err.Error(), word) || b.Len() > 0 {
			t.Errorf("scale %g: %v and %d bytes, want an error with %q", scale, err, b.Len(), word)
		}
	}
}

// tool runs a program of poppler-utils on a PDF.
func tool(t *testing.T, s *Scene, o PDFOptions, name string, args ...string) string {
	t.Helper()
	if _, err := exec.LookPath(name); err != nil {
		t.Fatalf("%s (poppler-utils) is not installed", name)
	}
	var b bytes.Buffer
	if err := s.PDF(&b, o); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(name, args...)
	cmd.Stdin = &b
	var errs strings.Builder
	cmd.Stderr = &errs
	out, err := cmd.Output()
	if err != nil || errs.Len() > 0 {
		t.Fatalf("%s: %v %s", name, err, &errs)
	}
	return string(out)
}

func TestPDFTextCanBeRead(t *testing.T) {
	s := birdScene(Page())
	s.Text(200, 150, "heron-8: 4 Ω, 20 µPa, −3 dB, 10\u2009000 Hz, 100 cm²", TextStyle{Size: 8, Anchor: End, Halo: true})
	s.Text(20, 158, "日本 ✓", TextStyle{Size: 8, Weight: Strong})
	got := tool(t, s, PDFOptions{}, "pdftotext", "-layout", "-", "-")
	for _, want := range []string{"heron-8: 4 Ω, 20 µPa, −3 dB, 10", "000 Hz, 100 cm²", "asked: 1 kHz", "boxed & tuned", "Level in dB", "250", "?? ?"} {
		if strings.Count(got, want) != 1 {
			t.Errorf("%q is there %d times in:\n%s", want, strings.Count(got, want), got)
		}
	}
}

func TestPDFPage(t *testing.T) {
	got := tool(t, birdScene(Page()), PDFOptions{WidthMM: 160}, "pdfinfo", "-")
	// 160 mm are 453.54 points, and the plot is 400 × 160.
	for _, want := range []string{"453.54 x 181.42 pts", "Level of three candidates", "At 1 W < 10 W; µ Ω −", "basswright"} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q in:\n%s", want, got)
		}
	}
	if err := NewScene(20000, 10, Page()).PDF(&bytes.Buffer{}, PDFOptions{}); err == nil || !strings.Contains(err.Error(), "14400") {
		t.Errorf("a page beyond the format's bounds: %v", err)
	}
}

func TestPDFAndPNGAgree(t *testing.T) {
	// Two rasterisers on one drawing: the mean over the whole picture differs by antialiasing alone.
	for _, th := range []Theme{Page(), Slide()} {
		s := birdScene(th)
		s.Rect(300, 60, 60, 60, Style{Fill: Wash, Hatch: Hatch{Role: Ink, Pitch: 4, Width: 1}, Stroke: Line(1), Width: 3, Dash: Dash(2)})
		s.Text(330, 90, "turned −", TextStyle{Size: 12, Rotation: -60, Anchor: Middle, Halo: true, Weight: Strong})
		pdf := tool(t, s, PDFOptions{}, "pdftoppm", "-r", "144", "-png", "-singlefile", "-")
		a, err := png.Decode(strings.NewReader(pdf))
		if err != nil {
			t.Fatal(err)
		}
		b := raster(t, s, 2)
		if a.Bounds() != b.Bounds() {
			t.Fatalf("%v and %v", a.Bounds(), b.Bounds())
		}
		sum, far := 0.0, 0
		for y := range b.Bounds().Dy() {
			for x := range b.Bounds().Dx() {
				p, q := at(a, x, y), at(b, x, y)
				d := math.Abs(float64(p.R)-float64(q.R)) + math.Abs(float64(p.G)-float64(q.G)) + math.Abs(float64(p.B)-float64(q.B))
				sum += d / 3
				if d/3 > 160 {
					far++
				}
			}
		}
		n := float64(b.Bounds().Dx() * b.Bounds().Dy())
		t.Logf("%s: mean difference %.2f of 255, %.4f %% of pixels far off", th.Name, sum/n, 100*float64(far)/n)
		if sum/n > 2.5 || float64(far)/n > 0.001 {
			t.Errorf("%s: mean difference %.2f of 255, %d pixels far off", th.Name, sum/n, far)
		}
	}
}

func TestMeasureText(t *testing.T) {
	// The hmtx table of Go Regular (2048 units to the em): figures 1139, space 569, M 1706; read from the font file.
	check.Near(t, "figures", MeasureText("0123456789", 2048, Regular), 11390, 1e-6, "float64")
	check.Near(t, "sum", MeasureText("M M", 2048, Regular), MeasureText("M", 2048, Regular)*2+MeasureText(" ", 2048, Regular), 1e-6, "float64")
	check.Near(t, "thin space", MeasureText("\u2009", 12, Regular), 2, 1e-9, "float64") // a sixth of an em
	check.Near(t, "no break", MeasureText("\u00A0", 12, Regular), MeasureText(" ", 12, Regular), 1e-9, "float64")
	check.Near(t, "unknown letters", MeasureText("日✓", 12, Regular), MeasureText("??", 12, Regular), 1e-9, "float64")
	if MeasureText("hyphen-ate", 10, Regular) >= MeasureText("hyphen−ate", 10, Regular) {
		t.Error("a hyphen must be shorter than a minus")
	}
	if !(MeasureText("compound", 10, Strong) > MeasureText("compound", 10, Regular)) {
		t.Error("strong text must be wider")
	}
	for _, r := range "−µΩ²³·×√≤≥≈°′…½↑↓€" {
		for w := Regular; w <= Strong; w++ {
			if g := shape(string(r), w)[0]; g.r != r || g.index == 0 {
				t.Errorf("the font of weight %d has no %c", w, r)
			}
		}
	}
}

func BenchmarkPlotSVG(b *testing.B) {
	for b.Loop() {
		s := birdScene(Page())
		if err := s.SVG(&bytes.Buffer{}, SVGOptions{}); err != nil {
			b.Fatal(err)
		}
	}
}
