package report_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"basswright/internal/report"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// examples evaluates every example of the project.
func examples(t *testing.T) map[string]*study.Result {
	t.Helper()
	files, err := filepath.Glob("../../examples/*.yaml")
	if err != nil || len(files) < 4 {
		t.Fatalf("%d examples, %v", len(files), err)
	}
	out := map[string]*study.Result{}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		out[filepath.Base(file)] = evaluate(t, string(text), filepath.Base(file))
	}
	return out
}

func evaluate(t *testing.T, text, name string) *study.Result {
	t.Helper()
	st, err := studyfile.Parse([]byte(text), name)
	if err != nil {
		t.Fatal(err)
	}
	r, err := study.Evaluate(context.Background(), st, study.Options{Time: true})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// written runs every writer on a result: by name, what it wrote.
func written(t *testing.T, r *study.Result) map[string]string {
	t.Helper()
	out := map[string]string{}
	for name, write := range map[string]func(io.Writer) error{
		"compare text":   func(w io.Writer) error { return report.CompareText(w, r, report.TextOptions{Plot: true}) },
		"compare html":   func(w io.Writer) error { return report.ReportHTML(w, r, report.HTMLOptions{Version: "test"}) },
		"compare json":   func(w io.Writer) error { return report.CompareJSON(w, r) },
		"compare csv":    func(w io.Writer) error { return report.CompareCSV(w, r) },
		"explain text":   func(w io.Writer) error { return report.ExplainText(w, r, nil, report.TextOptions{}) },
		"explain html":   func(w io.Writer) error { return report.ExplainHTML(w, r, nil, report.HTMLOptions{}) },
		"explain json":   func(w io.Writer) error { return report.ExplainJSON(w, r, nil) },
		"check text":     func(w io.Writer) error { return report.CheckText(w, r, report.TextOptions{}) },
		"check json":     func(w io.Writer) error { return report.CheckJSON(w, r) },
		"text in colour": func(w io.Writer) error { return report.CompareText(w, r, report.TextOptions{Plot: true, Color: true}) },
	} {
		var b bytes.Buffer
		if err := write(&b); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		out[name] = b.String()
	}
	for _, name := range report.FigureNames() {
		f, err := report.NewFigure(r, name, report.FigureOptions{})
		if err != nil {
			if name == "port-speed" && strings.Contains(err.Error(), "nothing to draw") {
				continue
			}
			t.Fatalf("figure %s: %v", name, err)
		}
		var b bytes.Buffer
		if err := f.Write(&b, "svg"); err != nil {
			t.Fatal(err)
		}
		out["figure "+name] = b.String()
	}
	return out
}

var notANumber = regexp.MustCompile(`\bNaN\b|[+-]?\bInf\b|%!`)

func TestEverythingReads(t *testing.T) {
	for example, r := range examples(t) {
		for name, text := range written(t, r) {
			where := example + ", " + name
			if m := notANumber.FindString(text); m != "" {
				t.Errorf("%s prints %q", where, m)
			}
			switch {
			case strings.HasSuffix(name, "text"):
				for _, line := range strings.Split(text, "\n") {
					if n := utf8.RuneCountInString(line); n > 100 {
						t.Errorf("%s: a line of %d columns: %q", where, n, line)
					}
				}
			case strings.HasSuffix(name, "json"):
				var v any
				if err := json.Unmarshal([]byte(text), &v); err != nil {
					t.Errorf("%s: %v", where, err)
				}
			case strings.HasSuffix(name, "csv"):
				rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
				if err != nil || len(rows) != len(r.Candidates)+1 {
					t.Errorf("%s: %d rows, %v", where, len(rows), err)
				}
			case strings.HasSuffix(name, "html"):
				checkPage(t, where, text)
			case strings.HasPrefix(name, "figure"):
				if err := wellFormed(text); err != nil {
					t.Errorf("%s: %v", where, err)
				}
			}
		}
	}
}

func wellFormed(text string) error {
	d := xml.NewDecoder(strings.NewReader(text))
	d.Strict = true
	for {
		_, err := d.Token()
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return err
		}
	}
}

var (
	svgs     = regexp.MustCompile(`(?s)<svg.*?</svg>`)
	ids      = regexp.MustCompile(`\bid="([^"]+)"`)
	requests = regexp.MustCompile(`(?i)(src|href)="(https?:|//)|url\((https?:|//)|@import|<script`)
)

// checkPage holds a page to what the report promises: one file, no request
// outside, no script, drawings that are well-formed, no id twice.
func checkPage(t *testing.T, where, text string) {
	t.Helper()
	if m := requests.FindString(text); m != "" {
		t.Errorf("%s asks for something outside: %s", where, m)
	}
	for _, s := range svgs.FindAllString(text, -1) {
		if err := wellFormed(s); err != nil {
			t.Errorf("%s: a drawing is not well-formed: %v", where, err)
		}
	}
	seen := map[string]bool{}
	for _, m := range ids.FindAllStringSubmatch(text, -1) {
		if seen[m[1]] {
			t.Errorf("%s: id %q stands twice", where, m[1])
		}
		seen[m[1]] = true
	}
	for _, tag := range []string{"table", "section", "ul", "figure", "main", "p", "td", "th", "tr"} {
		open, closed := strings.Count(text, "<"+tag+">")+strings.Count(text, "<"+tag+" "), strings.Count(text, "</"+tag+">")
		if open != closed {
			t.Errorf("%s: %d <%s> and %d </%s>", where, open, tag, closed, tag)
		}
	}
}

// The same result gives the same bytes, and so does the same study again.
func TestSameBytes(t *testing.T) {
	first, second := examples(t), examples(t)
	for name, r := range first {
		a, b := written(t, r), written(t, second[name])
		for k := range a {
			if a[k] != b[k] {
				t.Errorf("%s, %s differs between two runs", name, k)
			}
		}
	}
}

const small = `study: Two ways
units: %s
brief: {extension: {f3: 45 Hz}}
drivers:
  wren-6: {fs: 38 Hz, qms: 4.2, qes: 0.41, vas: 12.5 L, sd: 136 cm2, re: 3.4 ohm, xmax: 7 mm, price: 58 EUR}
candidates:
  one:
    group: {driver: wren-6}
    enclosure: {kind: sealed, volume: 9 L}
  stacked:
    group: {driver: wren-6, stack: 2, arrangement: clamshell, wiring: parallel}
    enclosure: {kind: sealed, volume: 4.5 L}
`

// A rigid stack in half the box does at the same voltage exactly what one
// driver does (common practice, no source), so the words for it are known.
func TestWordsForARigidStack(t *testing.T) {
	r := evaluate(t, fmt.Sprintf(small, "metric"), "small.yaml")
	var b bytes.Buffer
	if err := report.CompareText(&b, r, report.TextOptions{}); err != nil {
		t.Fatal(err)
	}
	text := strings.Join(strings.Fields(b.String()), " ")
	for _, want := range []string{
		"in 4.50 L instead of 9.00 L: equal F3, F6 and F10; same reference level at the same voltage; twice the watts; half the load",
		"Costs 116 EUR for two drivers",
		"The brief is not met.",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the comparison does not say %q:\n%s", want, b.String())
		}
	}
	b.Reset()
	if err := report.ExplainText(&b, r, []string{"stacked"}, report.TextOptions{}); err != nil {
		t.Fatal(err)
	}
	text = strings.Join(strings.Fields(b.String()), " ")
	for _, want := range []string{
		"a stack radiates once: unchanged", "stiffnesses add: ", "in this box each driver behaves as if it had 9.00 L of its own",
		"taken as rigidly coupled", "outer −, inner +; checked, all cones move the same way",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the ledger does not say %q:\n%s", want, b.String())
		}
	}
}

// metricUnit finds a value in a unit that has an imperial one beside it (a
// compliance is in mm/N in both).
var metricUnit = regexp.MustCompile(`.{0,30}\d[\x{2009}\x{202F}](L|mm|cm²|g|kg)([^/a-z²³]|$)`)

// Imperial units show everywhere, and the figures are the same.
func TestImperial(t *testing.T) {
	metric, imperial := evaluate(t, fmt.Sprintf(small, "metric"), "m"), evaluate(t, fmt.Sprintf(small, "imperial"), "i")
	if a, b := metric.Candidates[0].Figures.F3, imperial.Candidates[0].Figures.F3; a != b {
		t.Errorf("F3 is %v in metric and %v in imperial", a, b)
	}
	texts := written(t, imperial)
	for _, name := range []string{"compare text", "compare html", "explain text"} {
		if strings.Contains(texts[name], " L\n") || metricUnit.MatchString(texts[name]) {
			t.Errorf("%s shows metric units: %q", name, metricUnit.FindString(texts[name]))
		}
	}
	if !strings.Contains(texts["compare text"], "net volume, ft³") {
		t.Error("the comparison has no ft³")
	}
}

func TestFiguresInEverySizeThemeAndFormat(t *testing.T) {
	r := evaluate(t, fmt.Sprintf(small, "metric"), "small.yaml")
	for _, size := range []string{"page", "slide"} {
		for _, theme := range []string{"page", "slide", "overlay"} {
			for _, name := range []string{"level", "section"} {
				f, err := report.NewFigure(r, name, report.FigureOptions{Size: size, Theme: theme, Only: []string{"stacked"}})
				if err != nil {
					t.Fatal(err)
				}
				for format, magic := range map[string]string{"svg": "<svg", "png": "\x89PNG", "pdf": "%PDF-"} {
					var b bytes.Buffer
					if err := f.Write(&b, format); err != nil {
						t.Fatal(err)
					}
					if !strings.Contains(b.String()[:200], magic) {
						t.Errorf("%s %s %s is no %s", name, size, theme, format)
					}
				}
			}
		}
	}
	if _, err := report.NewFigure(r, "levle", report.FigureOptions{}); err == nil {
		t.Error("a figure that does not exist was drawn")
	}
	if _, err := report.NewFigure(r, "port-speed", report.FigureOptions{}); err == nil {
		t.Error("the port air of boxes without ports was drawn")
	}
}
