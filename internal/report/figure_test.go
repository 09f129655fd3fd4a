package report

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"math"
	"regexp"
	"strings"
	"testing"

	"basswright/internal/draw"
	"basswright/internal/phys"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// fighting is a pair that cancels, beside a stack that nearly does and one
// driver alone.
const fighting = `study: Reversed
brief: {extension: {f3: 45 Hz}, level: {at: 50 Hz, spl: 96 dB}, limits: {group_delay: 20 ms}}
drivers:
  wren-6: {fs: 38 Hz, qms: 4.2, qes: 0.41, vas: 12.5 L, sd: 136 cm2, re: 3.4 ohm, xmax: 7 mm, rated_power: 120 W}
  heron-8: {fs: 34 Hz, qms: 4.2, qes: 0.41, vas: 30 L, sd: 220 cm2, re: 3.4 ohm, xmax: 9 mm, rated_power: 120 W}
candidates:
  one: {group: {driver: wren-6}, enclosure: {kind: sealed, volume: 9 L}}
  opposed: {group: {driver: wren-6, side_by_side: 2, polarity: [normal, reversed]}, enclosure: {kind: sealed, volume: 18 L}}
  alike: {group: {driver: wren-6, stack: 2, arrangement: clamshell, coupling: 1 L, polarity: [normal, normal]}, enclosure: {kind: sealed, volume: 9 L}}
`

func svg(t *testing.T, r *study.Result, name string, o FigureOptions) string {
	t.Helper()
	f, err := NewFigure(r, name, o)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	var b bytes.Buffer
	if err := f.Write(&b, "svg"); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

var (
	edging = regexp.MustCompile(`<text[^>]*aria-hidden[^>]*>[^<]*</text>`)
	lines  = regexp.MustCompile(`</text>\s*<text[^>]*>`)
)

// said is an SVG with its lines of text joined: a note is broken over several.
func said(svg string) string { return lines.ReplaceAllString(edging.ReplaceAllString(svg, ""), " ") }

func html(t *testing.T, r *study.Result) string {
	t.Helper()
	var b bytes.Buffer
	if err := ReportHTML(&b, r, HTMLOptions{}); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func over(t *testing.T, text string, from, to float64) *study.Result {
	t.Helper()
	st, err := studyfile.Parse([]byte(text), "study.yaml")
	if err != nil {
		t.Fatal(err)
	}
	r, err := study.Evaluate(context.Background(), st, study.Options{From: from, To: to, Points: 40, Time: true})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// In every level figure 50 dB are as tall as one decade is wide, and no figure
// is flatter or taller than it may be: what gives way is the span of the axis.
func TestLevelFiguresKeepTheirProportion(t *testing.T) {
	s, _ := subjectNamed("level")
	for _, x := range [][2]float64{{10, 400}, {100, 200}, {1, 20e3}, {20, 80}} {
		r := over(t, wrens, x[0], x[1])
		for _, w := range []float64{pageWidth, widePx, phoneSVG} {
			p, ok := s.plot(r, r.Candidates, w, 0.46*w, 8)
			if !ok {
				t.Fatal("no level")
			}
			p.Plot = p.Proportioned(perDecade, flattest*w, tallest*w)
			if span := p.Y.Hi - p.Y.Lo; math.Abs(p.SpanFor(50)/span-1) > 1e-9 { // the arithmetic
				t.Errorf("%v Hz, %g wide: the axis spans %g dB, in proportion are %g", x, w, span, p.SpanFor(50))
			}
			if h := p.H / w; h < flattest-1e-9 || h > tallest+1e-9 {
				t.Errorf("%v Hz: %.3f as tall as wide", x, h)
			}
		}
	}
}

// The page's level figure is drawn as it was proportioned: measured between
// the grid lines of the SVG, to its two decimals.
func TestThePageKeepsTheProportion(t *testing.T) {
	r := evaluated(t, wrens)
	s, _ := subjectNamed("level")
	for _, w := range []float64{widePx, phoneSVG} {
		text, _, err := s.onPage(r, w, "x")
		if err != nil {
			t.Fatal(err)
		}
		var down, across []float64 // of the grid's long lines
		for _, line := range strings.Split(string(text), "\n") {
			var x1, y1, x2, y2 float64
			if n, _ := fmt.Sscanf(strings.NewReplacer("M", "", "L", " ").Replace(strings.TrimPrefix(line, `<path d="`)), "%g %g %g %g", &x1, &y1, &x2, &y2); n != 4 || !strings.Contains(line, "--hair") {
				continue
			}
			switch {
			case x1 == x2:
				down = append(down, x1)
			case y1 == y2:
				across = append(across, y1)
			}
		}
		// 16, 31.5, … 250 Hz; the values' lines come 10 dB apart, before the finer ones.
		decade := (down[len(down)-1] - down[0]) / math.Log10(250./16)
		db := math.Abs(across[1]-across[0]) / 10
		if got := 50 * db / decade; math.Abs(got-1) > 1e-3 { // two decimals of some 50 px
			t.Errorf("at %g px 50 dB are %.4f of a decade", w, got)
		}
	}
}

// Under an octave a level figure is refused with a range that can be drawn.
func TestTooNarrowForALevel(t *testing.T) {
	r := over(t, wrens, 199, 200)
	_, err := NewFigure(r, "level", FigureOptions{})
	if err == nil || !strings.Contains(err.Error(), "--from 141Hz --to 283Hz") {
		t.Fatalf("%v", err)
	}
	if err := ReportHTML(io.Discard, r, HTMLOptions{}); err == nil || !strings.Contains(err.Error(), "--from 141Hz --to 283Hz") {
		t.Errorf("the page: %v", err)
	}
	svg(t, r, "impedance", FigureOptions{})
	for _, x := range [][2]float64{{199, 200}, {1, 1.5}, {3, 4}, {19900, 20000}} { // the mend holds, at the ends of what can be computed too
		err := drawable(draw.FrequencyAxis(x[0], x[1]), phys.Metric)
		if err == nil {
			t.Fatalf("%v can be drawn", x)
		}
		var from, to float64
		_, mend, _ := strings.Cut(err.Error(), "for example ")
		if n, _ := fmt.Sscanf(mend, "--from %gHz --to %gHz", &from, &to); n != 2 || from < study.LowestFrequency || to > study.HighestFrequency {
			t.Fatalf("%v: %s", x, mend)
		}
		svg(t, over(t, wrens, from, to), "level", FigureOptions{})
	}
}

// A slide is 1600 × 900 whatever is on it.
func TestSlidesAreOfOneSize(t *testing.T) {
	r := evaluated(t, wrens)
	for n := 1; n <= 14; n++ {
		for len(r.Candidates) < n {
			o := *r.Candidates[len(r.Candidates)%2]
			o.Index = len(r.Candidates)
			r.Candidates = append(r.Candidates, &o)
		}
		few := *r
		few.Candidates = r.Candidates[:n]
		for _, name := range []string{"section", "level", "impedance"} {
			f, err := NewFigure(&few, name, FigureOptions{Size: "slide"})
			if err != nil {
				t.Fatal(err)
			}
			if f.scene.W != 1600 || f.scene.H != 900 {
				t.Errorf("%d candidates: the %s is %g × %g", n, name, f.scene.W, f.scene.H)
			}
		}
		p := plate{r: &few, some: few.Candidates, theme: draw.Page(), w: slideWidth, text: plateText}.fitted(slideHeight)
		if h := p.height(); h > slideHeight || p.scale <= 0 {
			t.Errorf("%d candidates take %g", n, h)
		}
	}
}

// The scale bar is as long as it says.
func TestScaleBar(t *testing.T) {
	for units, want := range map[string]float64{"metric": 1, "imperial": 25.4} {
		r := evaluated(t, strings.Replace(wrens, "metric", units, 1))
		p := plate{r: r, some: r.Candidates, theme: draw.Page(), w: pageWidth, text: pageText, cols: 2}.filled()
		s := draw.NewScene(pageWidth, 100, draw.Page())
		p.foot(s)
		var b bytes.Buffer
		if err := s.SVG(&b, draw.SVGOptions{}); err != nil {
			t.Fatal(err)
		}
		var x1, y1, x2, y2, long float64
		line := b.String()[strings.Index(b.String(), "<path d=\"M8 "):]
		if n, _ := fmt.Sscanf(strings.NewReplacer("M", "", "L", " ").Replace(strings.TrimPrefix(line, `<path d="`)), "%g %g %g %g", &x1, &y1, &x2, &y2); n != 4 {
			t.Fatalf("no bar in %s", b.String())
		}
		text := b.String()[strings.LastIndex(b.String(), "<text"):]
		if _, err := fmt.Sscanf(text[strings.Index(text, ">")+1:], "%g", &long); err != nil {
			t.Fatal(err)
		}
		if got := (x2 - x1) / p.scale / want; math.Abs(got/long-1) > 1e-3 || long == 0 { // two decimals of some 50 units
			t.Errorf("%s: a bar of %g says %g", units, got, long)
		}
	}
}

// The level that is asked for is a wall in the level figure, and stands beside
// the levels that miss it on the page.
func TestTheLevelAskedIsMarked(t *testing.T) {
	r := evaluated(t, wrens)
	if text := svg(t, r, "level", FigureOptions{}); !strings.Contains(text, "asked: 101\u2009dB at 50\u2009Hz") || !strings.Contains(text, ">101</text>") {
		t.Error("the figure does not show the level asked")
	}
	if n := strings.Count(html(t, r), "<small>asked: 101.0</small>"); n != 4 { // two candidates, in the key and in the table
		t.Errorf("the page says it %d times", n)
	}
	quiet := evaluated(t, strings.Replace(wrens, "spl: 101 dB", "spl: 150 dB", 1))
	if text := said(svg(t, quiet, "level", FigureOptions{})); !strings.Contains(text, "above the picture") {
		t.Error("a level far above is not told")
	}
	met := evaluated(t, strings.Replace(wrens, "spl: 101 dB", "spl: 60 dB", 1))
	if strings.Contains(html(t, met), "<small>asked: 60") {
		t.Error("a level that is met is marked as missed")
	}
}

// Limits that no axis can show are told in words, and so are those that differ.
func TestUnseenLimitsAreTold(t *testing.T) {
	far := strings.Replace(wrens, "xmax: 7 mm", "xmax: 70 mm", 1)
	if text := said(svg(t, evaluated(t, far), "excursion", FigureOptions{})); !strings.Contains(text, "limit 70\u2009mm, above the picture") {
		t.Error("the far limit is not told in the figure")
	}
	if text := html(t, evaluated(t, far)); !strings.Contains(text, "Limit 70\u202fmm, above the picture.") {
		t.Error("the far limit is not told on the page")
	}
	unlike := fighting + "  larger: {group: {driver: heron-8}, enclosure: {kind: sealed, volume: 20 L}}\n"
	r := evaluated(t, unlike)
	if text := said(svg(t, r, "excursion", FigureOptions{})); !strings.Contains(text, "limits: wren-6 7\u2009mm, heron-8 9\u2009mm") {
		t.Error("limits that differ are not told in the figure")
	}
	var b bytes.Buffer
	if err := CompareText(&b, r, TextOptions{}); err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{b.String(), strings.ReplaceAll(html(t, r), "\u202f", "\u2009")} {
		if !strings.Contains(text, "of 7\u2009mm") || !strings.Contains(text, "of 9\u2009mm") {
			t.Error("the table does not tell each candidate’s limit")
		}
	}
}

// What gives no sound, or lacks a level here and there, breaks no path and
// prints no number that is none.
func TestFiguresOfMissingLevels(t *testing.T) {
	bad := func(where, text string) {
		t.Helper()
		for _, w := range []string{"NaN", "Inf<", "Inf ", "+Inf", "-Inf", "∞", "%!"} {
			if strings.Contains(text, w) {
				t.Errorf("%s prints %q", where, w)
			}
		}
	}
	r := over(t, fighting, 10, 400)
	for _, name := range FigureNames() {
		if name == "port-speed" {
			continue
		}
		text := svg(t, r, name, FigureOptions{})
		bad(name, text)
		if s, _ := subjectNamed(name); s.heard && !strings.Contains(said(text), "no sound from opposed") {
			t.Errorf("%s does not say that one gives no sound", name)
		}
	}
	bad("the page", html(t, r))
	if text := svg(t, r, "level", FigureOptions{Only: []string{"opposed"}}); !strings.Contains(text, "no sound from opposed") {
		t.Error("axes without a curve and without a word")
	}
	if _, err := NewFigure(r, "step", FigureOptions{Only: []string{"opposed"}}); err == nil {
		t.Error("the step of silence was drawn")
	}

	spl := r.Candidates[0].Curves.SPL
	spl[0], spl[len(spl)-1] = math.Inf(-1), math.Inf(1)
	spl[20], spl[21] = math.NaN(), math.Inf(-1)
	text := svg(t, r, "level", FigureOptions{Only: []string{"one"}})
	bad("a level with gaps", text)
	i := strings.Index(text, "<g clip-path")
	if curve, _, _ := strings.Cut(text[i:], "</g>"); strings.Count(curve, "M") != 2 {
		t.Errorf("a level with one gap in it is not two runs:\n%s", curve)
	}
	bad("the page of a level with gaps", html(t, r))
	var b bytes.Buffer
	if err := CompareText(&b, r, TextOptions{Plot: true}); err != nil {
		t.Fatal(err)
	}
	bad("the small plot", b.String())
}

// A wrong polarity cannot be missed: in the table of the terminal, on the page
// above all else, in its heads and its first table, and in the figures.
func TestWrongPolarityCannotBeMissed(t *testing.T) {
	r := over(t, fighting, 10, 400)
	var b bytes.Buffer
	if err := CompareText(&b, r, TextOptions{}); err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(b.String(), "WRONG POLARITY    "); n < 1 || !strings.Contains(b.String(), "polarity                right") {
		t.Errorf("the table:\n%s", b.String())
	}
	page := html(t, r)
	first, lead := strings.Index(page, "opposed is wired with a wrong polarity: do not build it so."), strings.Index(page, `<p class="lead">`)
	if first < 0 || first > lead || !strings.Contains(page[:lead], "alike is wired with a wrong polarity") || strings.Contains(page, "one is wired with") {
		t.Error("the page does not begin with the wrong polarities")
	}
	if n := strings.Count(page, `<span class="wrong">`); n != 8 { // two candidates: their sections, two tables, and what the customer reads
		t.Errorf("%d marks on the page", n)
	}
	if text := svg(t, r, "impedance", FigureOptions{}); !strings.Contains(text, ">opposed, WRONG<") || !strings.Contains(text, ">alike, WRONG<") || strings.Contains(text, ">one, WRONG<") || !strings.Contains(text, "WRONG: wired with a wrong polarity") {
		t.Error("the figure does not name the wrong polarities")
	}
	right := html(t, evaluated(t, wrens))
	if strings.Contains(right, `class="wrong"`) || strings.Contains(right, "Polarity</th>") {
		t.Error("a page without a wrong polarity marks one")
	}
}

// The leads are told as they are wired, not as they should be.
func TestLeads(t *testing.T) {
	for polarity, want := range map[string]string{
		"side_by_side: 2": "all marked terminals take the positive lead",
		"side_by_side: 2, polarity: [reversed, reversed]":                             "all marked terminals take the negative lead",
		"side_by_side: 2, polarity: [normal, reversed]":                               "the positions are wired differently: position 1: +; position 2: −",
		"stack: 2, arrangement: clamshell, coupling: 1 L":                             "the outer woofer is turned round, so its marked terminal takes the other lead: outer −, inner +",
		"stack: 2, arrangement: tandem, coupling: 1 L":                                "all look the same way and are wired alike: outer +, inner +",
		"stack: 2, arrangement: clamshell, coupling: 1 L, polarity: [normal, normal]": "all are wired alike: outer +, inner +",
		"stack: 2, arrangement: tandem, coupling: 1 L, polarity: [normal, reversed]":  "the marked terminal of the inner woofer takes the other lead: outer +, inner −",
		"polarity: [reversed]": "one driver: its marked terminal takes the negative lead",
	} {
		r := evaluated(t, strings.Replace(fighting, "one: {group: {driver: wren-6}", "one: {group: {driver: wren-6, "+polarity+"}", 1))
		if got := leads(r.Candidates[0].System.Group); got != want {
			t.Errorf("%s: %q, want %q", polarity, got, want)
		}
	}
}

// The small plot ends 40 dB below its top: of levels on either side of that
// edge one leaves dots, the other none.
func TestTheSmallPlotSpans40dB(t *testing.T) {
	r := evaluated(t, wrens)
	flat(r.Candidates[0], 90) // under 95 dB
	for level, want := range map[float64]bool{95 - 40 + 0.3: true, 95 - 40 - 0.6: false} {
		flat(r.Candidates[1], level)
		if got := strings.Contains(braillePlot(r, 40, plain)[plotRows-1], "⣀"); got != want {
			t.Errorf("%g dB: dots %v", level, got)
		}
	}
}

// A limit has no more digits than the figure that is held against it.
func TestDigitsOfLimits(t *testing.T) {
	st := &study.Study{Units: phys.Imperial}
	for want, v := range map[string]float64{"0.472\u2009in": 0.012, "0.5\u2009in": 0.0127, "12\u2009in": 0.3048} {
		if got := st.Asked(v, phys.Length); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	if got := st.Asked(31.25, phys.Frequency); got != "31.25\u2009Hz" {
		t.Errorf("%q: what is written in the same unit everywhere stays as it was written", got)
	}
}

// A study does not say whether it travels: the caution of vehicles is
// conditional, and there is none for a wall.
func TestVehicleCaution(t *testing.T) {
	for box, want := range map[string]bool{"kind: sealed, volume: 9 L": true, "kind: infinite_baffle": false} {
		text, _, _ := strings.Cut(fighting, "  opposed:")
		page := html(t, evaluated(t, strings.Replace(text, "kind: sealed, volume: 9 L", box, 1)))
		if got := strings.Contains(page, "If it travels in a vehicle"); got != want {
			t.Errorf("%s: %v", box, got)
		}
	}
}

// The sections of the page are at the scale that it states: their size is in
// millimetres, and no rule for pictures shrinks it.
func TestSectionsOfThePageKeepTheirScale(t *testing.T) {
	r := evaluated(t, strings.Replace(wrens, "brief:", "space: {width: 520 mm, height: 900 mm, depth: 420 mm}\nbrief:", 1))
	page := html(t, r)
	if !strings.Contains(page, "1 : 10 on A4") || !strings.Contains(page, ".sections .drawing svg{max-width:none}") {
		t.Error("the page does not keep to 1 : 10")
	}
	// 52 mm, with a margin of 2 px of 25.4/96 mm on either side
	if want := fmt.Sprintf(`width="%.2fmm"`, 52+4*25.4/96); strings.Count(page, want) != len(r.Candidates) {
		t.Errorf("not every section is %s wide", want)
	}
}

// The names of a plate's row are level, whatever is remarked above some of them.
func TestNamesOfAPlateAreLevel(t *testing.T) {
	f, err := NewFigure(over(t, fighting, 10, 400), "section", FigureOptions{})
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := f.Write(&b, "svg"); err != nil {
		t.Fatal(err)
	}
	at := regexp.MustCompile(`<text x="[^"]*" y="([^"]*)"[^>]*>(one|opposed|alike)</text>`).FindAllStringSubmatch(b.String(), -1)
	if len(at) != 3 || !strings.Contains(b.String(), ">WRONG") {
		t.Fatalf("names %v", at)
	}
	for _, m := range at[1:] {
		if m[1] != at[0][1] {
			t.Errorf("%s stands at %s, %s at %s", m[2], m[1], at[0][2], at[0][1])
		}
	}
}

// Candidates are shared out evenly over the page's tables.
func TestTablesAreEven(t *testing.T) {
	for n, want := range map[int]int{1: 1, 4: 4, 5: 3, 6: 3, 7: 4, 9: 3, 10: 4} {
		if got := tableOf(n); got != want {
			t.Errorf("%d candidates stand %d beside each other, want %d", n, got, want)
		}
	}
}

// A caption tells of hatching and bars only where there are some.
func TestCaptionsTellWhatIsThere(t *testing.T) {
	amplified := html(t, evaluated(t, strings.Replace(wrens, "brief:", "amplifier: {rated: {4 ohm: 200 W}}\nbrief:", 1)))
	bare := html(t, over(t, fighting, 10, 400))
	for page, want := range map[string]bool{amplified: true, bare: false} {
		if got := strings.Contains(page, "Hatched: below what the amplifier takes."); got != want {
			t.Errorf("hatched: %v, want %v", got, want)
		}
	}
	if !strings.Contains(bare, "Bars mark F3") || strings.Contains(html(t, over(t, fighting, 300, 800)), "Bars mark F3") {
		t.Error("bars at F3 are told where there are none, or not where there are")
	}
}
