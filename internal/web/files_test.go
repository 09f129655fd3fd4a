package web

import (
	"bytes"
	"context"
	"fmt"
	"net/url"
	"strings"
	"testing"

	"basswright/internal/report"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// evaluated is the bench by the way of the command line.
func evaluated(t *testing.T, s *shop, opt study.Options) *study.Result {
	t.Helper()
	st, err := studyfile.Parse([]byte(s.disk("bench.yaml")), "bench.yaml")
	if err != nil {
		t.Fatal(err)
	}
	r, err := study.Evaluate(context.Background(), st, opt)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// The files are to the byte those of the command line, saved and never shown in
// the page's place.
func TestDataFiles(t *testing.T) {
	s := open(t)
	s.opt.Version = "1.2.3"
	for _, c := range []struct {
		path, kind, name string
		write            func(*bytes.Buffer) error
	}{
		{"data/json", "application/json", "bench.json", func(b *bytes.Buffer) error { return report.CompareJSON(b, evaluated(t, s, study.Options{})) }},
		{"data/csv", "text/csv; charset=utf-8", "bench.csv", func(b *bytes.Buffer) error { return report.CompareCSV(b, evaluated(t, s, study.Options{})) }},
		{"data/csv?yardstick=tuned&from=15&to=200", "text/csv; charset=utf-8", "bench.csv", func(b *bytes.Buffer) error {
			return report.CompareCSV(b, evaluated(t, s, study.Options{Yardstick: "tuned", From: 15, To: 200}))
		}},
		{"data/html", "text/html; charset=utf-8", "bench.html", func(b *bytes.Buffer) error {
			r := evaluated(t, s, study.Options{Time: true})
			heat, err := r.Study.CompressEach(context.Background(), study.CompressionOptions{})
			if err != nil {
				return err
			}
			return report.ReportHTML(b, r, report.HTMLOptions{Version: "1.2.3", Compression: heat})
		}},
		{"data/yaml", "application/yaml", "bench.yaml", func(b *bytes.Buffer) error { _, err := b.WriteString(s.disk("bench.yaml")); return err }},
	} {
		var want bytes.Buffer
		if err := c.write(&want); err != nil {
			t.Fatal(err)
		}
		res, got := s.send("GET", "/api/studies/bench/"+c.path, nil)
		if res.StatusCode != 200 || !bytes.Equal(got, want.Bytes()) {
			t.Errorf("%s: %s, %d bytes, want the %d of the command line", c.path, res.Status, len(got), want.Len())
		}
		if k, d := res.Header.Get("Content-Type"), res.Header.Get("Content-Disposition"); k != c.kind || d != "attachment; filename*=UTF-8''"+c.name {
			t.Errorf("%s: type %q, disposition %q", c.path, k, d)
		}
	}
}

func TestFigureFiles(t *testing.T) {
	s := open(t)
	r := evaluated(t, s, study.Options{Time: true})
	kinds := map[string]string{"svg": "image/svg+xml", "png": "image/png", "pdf": "application/pdf"}
	for _, show := range report.FigureNames() {
		for format, kind := range kinds {
			if format == "png" && show != "level" { // one picture is enough: pixels are slow
				continue
			}
			opt := report.FigureOptions{Only: []string{"tuned", "one"}, Size: "page", Theme: "page"}
			fig, err := report.NewFigure(r, show, opt)
			if err != nil {
				t.Fatal(err)
			}
			var want bytes.Buffer
			if err := fig.Write(&want, format); err != nil {
				t.Fatal(err)
			}
			q := url.Values{"show": {show}, "format": {format}, "only": {"tuned,one"}}
			res, got := s.send("GET", "/api/studies/bench/figure?"+q.Encode(), nil)
			if res.StatusCode != 200 || !bytes.Equal(got, want.Bytes()) {
				t.Errorf("%s as %s: %s, %d bytes, want %d", show, format, res.Status, len(got), want.Len())
			}
			if k, d := res.Header.Get("Content-Type"), res.Header.Get("Content-Disposition"); k != kind || d != fmt.Sprintf("attachment; filename*=UTF-8''bench-%s.%s", show, format) {
				t.Errorf("%s as %s: type %q, disposition %q", show, format, k, d)
			}
		}
	}
	fig, err := report.NewFigure(r, "level", report.FigureOptions{Size: "page", Theme: "page", Against: "one"})
	if err != nil {
		t.Fatal(err)
	}
	var want bytes.Buffer
	if err := fig.Write(&want, "svg"); err != nil {
		t.Fatal(err)
	}
	if _, got := s.send("GET", "/api/studies/bench/figure?against=one", nil); !bytes.Equal(got, want.Bytes()) {
		t.Errorf("differences: %d bytes, want %d", len(got), want.Len())
	}
	s.refused(422, "no difference", "GET", "/api/studies/bench/figure?against=one&show=section", nil)
	s.refused(422, "no candidate is called \"none\"", "GET", "/api/studies/bench/figure?only=none", nil)
	s.refused(422, "must be below", "GET", "/api/studies/bench/figure?from=400&to=10", nil)
	put(t, s.dir, "broken.yaml", "study: Broken\ncandidates: 7\n")
	s.refused(422, "cannot be evaluated", "GET", "/api/studies/broken/figure", nil)
	s.refused(422, "cannot be evaluated", "GET", "/api/studies/broken/data/html", nil)
	if res, got := s.send("GET", "/api/studies/broken/data/yaml", nil); res.StatusCode != 200 || !strings.HasPrefix(string(got), "study: Broken") {
		t.Errorf("a study with faults cannot be saved elsewhere: %s", res.Status)
	}
}

// A name with signs that a header must not hold as they are.
func TestFileNames(t *testing.T) {
	s := open(t)
	name := "heron’s bench; a 100 % one"
	put(t, s.dir, name+".yaml", s.disk("bench.yaml"))
	res, _ := s.send("GET", "/api/studies/"+url.PathEscape(name)+"/data/yaml", nil)
	d := res.Header.Get("Content-Disposition")
	got, err := url.PathUnescape(strings.TrimPrefix(d, "attachment; filename*=UTF-8''"))
	if res.StatusCode != 200 || err != nil || got != name+".yaml" || strings.ContainsAny(strings.TrimPrefix(d, "attachment; "), "; \"\r\n") {
		t.Errorf("%s: disposition %q", res.Status, d)
	}
}

// Distortion and heat are the command line's figures; what keeps one from being drawn
// is said.
func TestLargeFiguresAsFiles(t *testing.T) {
	s := open(t)
	for name, text := range samples(t) {
		put(t, s.dir, name+".yaml", string(text))
	}
	figure := "/api/studies/hayloft/figure?show="
	for _, c := range []struct{ query, title string }{
		{"distortion&only=mirrored", "Distortion of mirrored: "},
		{"heat&only=mirrored&for=600&on=20&off=40", "mirrored"},
	} {
		res, body := s.send("GET", figure+c.query, nil)
		if res.StatusCode != 200 || !strings.Contains(string(body), c.title) || !strings.HasPrefix(res.Header.Get("Content-Type"), "image/svg") {
			t.Errorf("%s: %s %.200s", c.query, res.Status, body)
		}
	}
	s.refused(422, "choose one", "GET", figure+"heat", nil)
	s.refused(422, "needs both", "GET", figure+"heat&only=mirrored&on=20", nil)
	s.refused(422, "10s", "GET", figure+"heat&only=mirrored&for=0.5", nil)
	s.refused(422, "no differences", "GET", figure+"distortion&against=mirrored", nil)
	s.refused(422, "nobody", "GET", figure+"distortion&only=nobody", nil)
	s.refused(404, "no study", "GET", "/api/studies/none/figure?show=heat", nil)
}
