package report

import (
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"basswright/internal/draw"
	"basswright/internal/phys"
)

var sizes = regexp.MustCompile(`font-size="([\d.]+)"`)

// A slide is read from the back of a room: its words are a fortieth of its
// width, where those of a page are a fifty-seventh.
func TestSlidesAreReadFromAfar(t *testing.T) {
	r := evaluated(t, wrens)
	for _, name := range []string{"level", "excursion", "impedance", "group-delay"} {
		text := svg(t, r, name, FigureOptions{Size: "slide"})
		found := sizes.FindAllStringSubmatch(text, -1)
		if len(found) == 0 {
			t.Fatalf("%s has no words", name)
		}
		for _, m := range found {
			if v, err := strconv.ParseFloat(m[1], 64); err != nil || v < slideWidth/40 {
				t.Errorf("%s: a word of %s on a slide %g wide", name, m[1], slideWidth)
			}
		}
	}
}

// The words below the sections stay in their columns, however many there are.
func TestCaptionsOfASlideStayInTheirColumns(t *testing.T) {
	r := evaluated(t, wrens)
	for n := len(r.Candidates); n <= 9; n++ {
		for len(r.Candidates) < n {
			o := *r.Candidates[len(r.Candidates)%2]
			o.Index = len(r.Candidates)
			r.Candidates = append(r.Candidates, &o)
		}
		p := plate{r: r, some: r.Candidates, theme: draw.Page(), w: slideWidth, text: plateText}.fitted(slideHeight)
		for i, c := range p.cells {
			if end := p.lineAt(p.some[i]) + lineLong*p.text; end > p.column() {
				t.Errorf("of %d candidates, the line of %s ends at %.0f of %.0f", n, p.some[i].Candidate.Name, end, p.column())
			}
			for _, l := range c.lines {
				if w := draw.MeasureText(l, p.text, draw.Regular); w > p.column()+p.gap() {
					t.Errorf("of %d candidates, %q is %.0f wide in a column of %.0f", n, l, w, p.column())
				}
			}
		}
	}
}

// "Excursion in in" reads like a mistake.
func TestInchesInWords(t *testing.T) {
	r := evaluated(t, strings.Replace(wrens, "units: metric", "units: imperial", 1))
	text := said(svg(t, r, "excursion", FigureOptions{}))
	if !strings.Contains(text, "Excursion in inches, peak") {
		t.Error("the axis of the excursion does not say inches")
	}
	if page := html(t, r); strings.Contains(page, "in in.") || !strings.Contains(page, "widths in inches") {
		t.Error("the report does not say inches")
	}
	if w := unitWord(phys.Length, phys.Metric); w != "mm" {
		t.Errorf("metric lengths are in %q", w)
	}
}

// A time response is drawn for as long as something can be seen of it.
func TestTimeResponsesFillTheirFigure(t *testing.T) {
	for _, c := range []struct {
		last, want float64
	}{{2, 5}, {7, 10}, {19, 20}, {49, 50}, {80, 100}, {190, 100}} {
		s := draw.Series{}
		for x := 0.0; x <= 200; x++ {
			v := 0.01
			if x <= c.last {
				v = -1
			}
			s.X, s.Y = append(s.X, x), append(s.Y, v)
		}
		if got := shownFor([]draw.Series{s}); got != c.want {
			t.Errorf("what rests after %g ms is drawn for %g ms, want %g", c.last, got, c.want)
		}
	}
	if got := shownFor(nil); got != 5 {
		t.Errorf("nothing is drawn for %g ms", got)
	}
}

// Long ducts are drawn large enough on a slide to see the frames in them, and on a page in
// no more than two columns; what holds for all of them is told once, at the foot.
func TestDuctsAreSeenOnASlide(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("..", "..", "examples", "ferry-quay.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	r := evaluated(t, string(text))
	p := plate{r: r, some: r.Candidates, theme: draw.Page(), w: slideWidth, text: plateText, terse: true}.fitted(slideHeight)
	duct := 2.9e3 * p.scale // its length in the study
	if duct < 0.2*slideWidth {
		t.Errorf("a duct of 2.9 m is %.0f of %.0f long", duct, slideWidth)
	}
	if p.text < plateText {
		t.Errorf("its words are %.1f", p.text)
	}
	slide := said(svg(t, r, "section", FigureOptions{Size: "slide"}))
	if n := strings.Count(slide, "dead space"); n != 1 {
		t.Errorf("that dead space is hatched is told %d times: %s", n, slide)
	}
	if !strings.Contains(slide, "high and 262\u2009mm deep") {
		t.Errorf("the sides of the folds are not told: %s", slide)
	}
	page := said(svg(t, r, "section", FigureOptions{}))
	if n := strings.Count(page, "dead space"); n != 3 {
		t.Errorf("on a page that dead space is hatched is told %d times, for 3 folds: %s", n, page)
	}
}

// The report says from where folds that stand upright are seen, and draws a duct of 2.9 m at
// a scale at which its frame is some millimetres wide.
func TestTheReportSaysFromWhereFoldsAreSeen(t *testing.T) {
	for name, want := range map[string]string{
		"ferry-quay": "Seen from above, and folds that stand upright from the front, cut through the axes of the cones, 1 : 50",
		"rope-walk":  "Seen from above, cut through the axes of the cones, 1 : 50",
	} {
		text, err := os.ReadFile(filepath.Join("..", "..", "examples", name+".yaml"))
		if err != nil {
			t.Fatal(err)
		}
		if page := html(t, evaluated(t, string(text))); !strings.Contains(page, want) {
			t.Errorf("%s: the page does not say %q", name, want)
		}
	}
}
