package report_test

import (
	"bytes"
	"context"
	"strings"
	"testing"

	"basswright/internal/check"
	"basswright/internal/report"
	"basswright/internal/study"
)

// The table and the picture, to be looked at when they change; and the page has the
// figure with where the most drive leads, in words.
func TestCompressionIsShown(t *testing.T) {
	st := opened(t, "camper-bench")
	c, err := st.Compress(context.Background(), 0, study.CompressionOptions{Most: 40, After: []float64{10, 60}})
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := report.CompressionText(&b, st, c, report.TextOptions{Width: 100}); err != nil {
		t.Fatal(err)
	}
	check.Golden(t, "testdata/compression.txt", b.String())
	f, err := report.CompressionFigure(st, []*study.Compression{c}, report.FigureOptions{})
	check.Golden(t, "testdata/compression.svg", drawn(t, f, err))

	list, err := st.CompressEach(context.Background(), study.CompressionOptions{})
	if err != nil {
		t.Fatal(err)
	}
	r, err := study.Evaluate(context.Background(), st, study.Options{Time: true})
	if err != nil {
		t.Fatal(err)
	}
	b.Reset()
	if err := report.ReportHTML(&b, r, report.HTMLOptions{Compression: list}); err != nil {
		t.Fatal(err)
	}
	page := strings.ReplaceAll(b.String(), "\u202f", " ")
	for _, want := range []string{"Power compression</b>", "against the drive in dB re the most", "pair: at 32.25 V (", "in cold coils) in the end", "thermal data from the rated power"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page does not say %q", want)
		}
	}
	b.Reset()
	if err := report.ReportHTML(&b, r, report.HTMLOptions{}); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(b.String(), "Power compression") {
		t.Error("a page without heat speaks of it")
	}
}
