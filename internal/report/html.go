package report

import (
	"bytes"
	"embed"
	"fmt"
	"html/template"
	"io"
	"math"
	"slices"
	"strings"
	"sync"

	"basswright/internal/draw"
	"basswright/internal/note"
	"basswright/internal/phys"
	"basswright/internal/section"
	"basswright/internal/study"
)

//go:embed page
var files embed.FS

// page parses the templates when they are first needed: most runs need none.
var page = sync.OnceValue(func() *template.Template {
	return template.Must(template.ParseFS(files, "page/report.html"))
})

// HTMLOptions are the settings of pages.
type HTMLOptions struct {
	Version    string
	Distortion []*study.DistortionCurve // of the candidates; nil leaves it out

	Compression []*study.Compression // of candidates of which heat is told; nil leaves it out
}

// The data of the templates. Everything is text or a finished drawing.
type (
	pageData struct {
		Title, Study, Subtitle, Lead, Brief, Yardstick, Foot string
		LengthUnit, LimitsFrom                               string
		Scale                                                int
		Column                                               string // of the sections, in CSS
		HasSpace, Against                                    bool
		CSS                                                  template.CSS
		Doubts, Defaults                                     []string
		Candidates                                           []pageCandidate
		Blocks                                               []pageBlock
		Wrong                                                []pageWrong
		Misses                                               []pageMiss
		Cautions                                             []pageCaution
		Figures                                              []pageFigure
		Ledgers                                              []pageLedger
	}
	pageCandidate struct {
		Name, Plain, Summary, Verdict string
		Colour                        int
		Wrong                         bool // polarity
		Sample, Section               template.HTML
	}
	pageBlock struct {
		Names  []pageCandidate
		Key    []pageRow
		Rows   []pageRow
		Limits []pageRow
		Span   int
	}
	pageRow struct {
		Group, Name, Unit string
		Span              int
		Cells             []pageCell
	}
	pageCell struct {
		Text, At, Asked string
		Bad             bool
		Gauge           template.HTML
	}
	pageWrong struct{ Name, Text string }
	pageMiss  struct {
		Name   string
		Colour int
		Items  []study.Miss
	}
	pageCaution struct{ Head, Text string }
	pageFigure  struct {
		Number         int
		Title, Caption string
		Wide           bool
		SVG, Narrow    template.HTML // Narrow: for a telephone, where it is not the same
	}
	pageLedger struct {
		Name, Plain, One, Polarity string
		Colour                     int
		Steps                      []pageStep
		Cones                      []string
	}
	pageStep struct{ Name, Unit, Single, Value, Rule, Why, Formula, Source string }
)

// ReportHTML writes the report: one self-contained page for the customer.
func ReportHTML(w io.Writer, r *study.Result, o HTMLOptions) error {
	d, err := reportData(r, o)
	if err != nil {
		return err
	}
	return render(w, "report", d)
}

// ExplainHTML writes the ledgers as a page.
func ExplainHTML(w io.Writer, r *study.Result, names []string, o HTMLOptions) error {
	d, err := base(r, o)
	if err != nil {
		return err
	}
	d.Title = r.Study.Name + ": ledger"
	for _, c := range chosen(r, names) {
		d.Ledgers = append(d.Ledgers, ledgerData(r, c))
	}
	return render(w, "explain", d)
}

// render writes a page. Between a number and its unit it has the thin space at
// which browsers do not break a line.
func render(w io.Writer, name string, d *pageData) error {
	var b bytes.Buffer
	if err := page().ExecuteTemplate(&b, name, d); err != nil {
		return err
	}
	_, err := w.Write(bytes.ReplaceAll(b.Bytes(), []byte("\u2009"), []byte("\u202f")))
	return err
}

func base(r *study.Result, o HTMLOptions) (*pageData, error) {
	css, err := files.ReadFile("page/report.css")
	if err != nil {
		return nil, err
	}
	return &pageData{Study: r.Study.Name, CSS: template.CSS(css), Foot: foot(r, o)}, nil //nolint:gosec // our own file
}

func colour(i int) int { return i%draw.Candidates + 1 }

// mostBeside is how many candidates stand beside each other in a table of A4
// width.
const mostBeside = 4

// tableOf shares n candidates out evenly over as few tables as hold them.
func tableOf(n int) int {
	tables := (n + mostBeside - 1) / mostBeside
	return (n + tables - 1) / tables
}

func reportData(r *study.Result, o HTMLOptions) (*pageData, error) {
	d, err := base(r, o)
	if err != nil {
		return nil, err
	}
	u := r.Study.Units
	d.Title = fmt.Sprintf("%s: %s compared", r.Study.Name, plural(len(r.Candidates), "loading"))
	d.Subtitle = fmt.Sprintf("%s compared %s: %s", capital(plural(len(r.Candidates), "loading")), r.Study.Drive.Same(), r.Study.Terms())
	d.Lead, d.Brief = r.Lead, r.Study.BriefWords()
	d.Yardstick, d.Against = r.Candidates[r.Yardstick].Candidate.Name, len(r.Candidates) > 1
	d.LengthUnit = unitWord(phys.Length, u)
	d.HasSpace = r.Study.Space != nil
	d.LimitsFrom = "from " + phys.Brief(r.Study.LimitsFrom(), phys.Frequency, u) + " up"
	warnings, defaults := findings(r)
	for _, f := range warnings {
		if o := wrongly(r, f); o != nil {
			d.Wrong = append(d.Wrong, pageWrong{o.Candidate.Name, capital(withMend(f))})
			continue
		}
		d.Doubts = append(d.Doubts, withMend(f))
	}
	for _, f := range defaults {
		d.Defaults = append(d.Defaults, f.Where+": "+f.Text)
	}
	for _, c := range r.Cautions {
		d.Cautions = append(d.Cautions, pageCaution{capital(strings.ReplaceAll(c.ID, "-", " ")), capital(cautionWords(c))})
	}
	if err := d.candidates(r); err != nil {
		return nil, err
	}
	if err := d.blocks(r); err != nil {
		return nil, err
	}
	for _, c := range r.Candidates {
		if len(c.Misses) > 0 {
			d.Misses = append(d.Misses, pageMiss{c.Candidate.Name, colour(c.Index), c.Misses})
		}
		d.Ledgers = append(d.Ledgers, ledgerData(r, c))
	}
	if err := d.figures(r); err != nil {
		return nil, err
	}
	if err := d.compression(r.Study, o.Compression); err != nil {
		return nil, err
	}
	return d, d.distortion(r.Study, o.Distortion)
}

// withMend is a finding with its mend.
func withMend(f note.Finding) string {
	if f.Mend == "" {
		return f.Text
	}
	return f.Text + "; " + f.Mend
}

// wrongly is the candidate whose wrong polarity a finding tells; nil if it
// tells something else.
func wrongly(r *study.Result, f note.Finding) *study.Outcome {
	for _, o := range r.Candidates {
		if o.WrongPolarity() && strings.HasPrefix(f.Where, "candidates."+o.Candidate.Name+".") && strings.HasSuffix(f.Where, ".polarity") {
			return o
		}
	}
	return nil
}

// leastColumn is the room for the words below a section, mm on paper.
const leastColumn = 40.0

// pxPerMM is the size of a millimetre on paper in CSS pixels.
const pxPerMM = 96 / 25.4

// scales are the usual ones for drawings (ISO 5455), as far as they fit.
var scales = []int{5, 10, 20, 50, 100}

// sectionScale is the largest usual scale at which every section takes no more
// than a third of the page's width.
func sectionScale(r *study.Result) int {
	const column = 58.0 // mm on paper
	widest := 0.0
	for _, o := range r.Candidates {
		w := o.Body.Width
		if s := r.Study.Space; s != nil {
			w = max(w, s.Width)
		}
		widest = max(widest, w*1e3)
	}
	for _, s := range scales {
		if widest/float64(s) <= column {
			return s
		}
	}
	return scales[len(scales)-1]
}

func (d *pageData) candidates(r *study.Result) error {
	d.Scale = sectionScale(r)
	widest := 0.0
	for _, o := range r.Candidates {
		c := pageCandidate{
			Name: o.Candidate.Name, Plain: o.Plain, Colour: colour(o.Index), Wrong: o.WrongPolarity(),
			Summary: small(strings.Join(o.Summary[:], ". ")) + ".", Verdict: strings.Join(o.Verdict, "; "),
		}
		var err error
		if c.Sample, err = lineSample(o.Index); err != nil {
			return err
		}
		s := section.Draw(o, section.Options{
			Scale: pxPerMM / float64(d.Scale), Theme: draw.Screen(), Space: r.Study.Space, Units: r.Study.Units, Dims: true, Size: 11,
		})
		widest = math.Max(widest, s.W/pxPerMM)
		if c.Section, err = inline(s, fmt.Sprintf("s%d", o.Index), s.W/pxPerMM); err != nil {
			return err
		}
		d.Candidates = append(d.Candidates, c)
	}
	d.Column = fmt.Sprintf("%.1fmm", math.Max(widest, leastColumn))
	return nil
}

// inline is a scene as SVG inside the page.
func inline(s *draw.Scene, prefix string, mm float64) (template.HTML, error) {
	var b bytes.Buffer
	if err := s.SVG(&b, draw.SVGOptions{Inline: true, Prefix: prefix, WidthMM: mm}); err != nil {
		return "", err
	}
	return template.HTML(b.String()), nil //nolint:gosec // written and escaped by draw
}

// lineSample is a piece of a candidate's line.
func lineSample(i int) (template.HTML, error) {
	s := draw.NewScene(36, 8, draw.Screen())
	s.Line(0, 4, 36, 4, draw.Style{Stroke: draw.Line(i), Width: 2, Dash: draw.Dash(i), Round: draw.Dotted(i)})
	var b bytes.Buffer
	if err := s.SVG(&b, draw.SVGOptions{Inline: true, Prefix: fmt.Sprintf("l%d", i), WidthMM: 36 / pxPerMM}); err != nil {
		return "", err
	}
	return template.HTML(b.String()), nil //nolint:gosec // written by draw
}

// gaugeSVG is a track that ends at a wall.
func gaugeSVG(fill float64, prefix string) (template.HTML, error) {
	const w, wall = 64.0, 52.0
	s := draw.NewScene(w, 12, draw.Screen())
	s.Line(0, 6.5, wall, 6.5, draw.Style{Stroke: draw.Hair, Width: 3})
	s.Path(new(draw.Path).Box(wall, 1, 8, 11), draw.Style{Hatch: draw.Hatch{Role: draw.Soft, Pitch: 3, Width: 1.1}})
	s.Line(wall, 1, wall, 12, draw.Style{Stroke: draw.Soft, Width: 1.4})
	role := draw.Ink
	if fill > 1+1e-9 {
		role = draw.Stop
	}
	s.Line(0, 6.5, math.Min(fill, 1.2)*wall, 6.5, draw.Style{Stroke: role, Width: 3})
	return inline(s, prefix, w/pxPerMM)
}

// key lists the rows that stand on the first page.
var key = map[string]bool{
	"drivers": true, "mounting": true, "wiring": true, "polarity": true, "net_volume": true, "outside": true, "f3_hz": true, "f10_hz": true,
	"reference_level_db": true, "level_asked_db": true, "lowest_impedance_ohm": true, "price": true, "weight_kg": true, "weight_lb": true,
}

func (d *pageData) blocks(r *study.Result) error {
	list := rows(r)
	perBlock := tableOf(len(r.Candidates))
	for from := 0; from < len(r.Candidates); from += perBlock {
		some := r.Candidates[from:min(len(r.Candidates), from+perBlock)]
		b := pageBlock{Names: d.Candidates[from : from+len(some)], Span: len(some) + 1}
		for _, w := range list {
			line := pageRow{Group: w.group, Name: w.name, Unit: w.unit, Span: b.Span}
			for _, o := range some {
				c := w.cell(o)
				missed := askedOf(r, o, w.key)
				line.Cells = append(line.Cells, pageCell{Text: c.text, At: c.at, Asked: missed, Bad: c.bad || missed != ""})
			}
			line.Name = capital(line.Name)
			b.Rows = append(b.Rows, line)
			if key[w.key] {
				b.Key = append(b.Key, line)
			}
		}
		if r.HasBrief {
			line := pageRow{Name: "Against the brief"}
			for _, o := range some {
				line.Cells = append(line.Cells, against(o))
			}
			b.Key = append(b.Key, line)
		}
		if err := b.limits(r, some); err != nil {
			return err
		}
		d.Blocks = append(d.Blocks, b)
	}
	return nil
}

// against is what a candidate misses, in a few words.
func against(o *study.Outcome) pageCell {
	if len(o.Misses) == 0 {
		return pageCell{Text: "inside every limit"}
	}
	var parts []string
	seen := map[string]bool{}
	for _, m := range o.Misses {
		if !seen[m.Short] {
			seen[m.Short] = true
			parts = append(parts, m.Short)
		}
	}
	return pageCell{Text: strings.Join(parts, "; "), Bad: true}
}

func (b *pageBlock) limits(r *study.Result, some []*study.Outcome) error {
	for _, k := range checksOf(r) {
		line := pageRow{Name: capital(k.Name)}
		for _, o := range some {
			c, ok := checkOf(o, k.ID)
			if !ok || !c.Fill.OK() {
				line.Cells = append(line.Cells, pageCell{Text: "–"})
				continue
			}
			g, err := gaugeSVG(float64(c.Fill), fmt.Sprintf("g%d%s", o.Index, c.ID))
			if err != nil {
				return err
			}
			line.Cells = append(line.Cells, pageCell{Text: checkValue(c, r.Study.Units), At: strings.TrimSpace(ownLimit(k, c) + " " + at(study.Peak{At: c.At}, r.Study.Units)), Bad: !c.Passed, Gauge: g})
		}
		b.Limits = append(b.Limits, line)
	}
	return nil
}

// captions says what each figure of the report shows.
var captions = map[string]string{
	"level":       "dB re 20 µPa at the listening distance, against Hz.",
	"plain-level": "dB re 20 µPa at the same distance without what surrounds the listener, against Hz; extension and reference level are told for it.",
	"excursion":   "peak, the largest of each candidate’s drivers.",
	"impedance":   "at the group’s terminals.",
	"group-delay": "without the flight over the listening distance.",
	"port-speed":  "peak, the fastest of each candidate’s openings.",
	"step":        "the pressure after a step of voltage, over its peak, against ms, as it is below 2 kHz.",
}

// Sizes of the page's figures, px: across the page, half of it, and a
// telephone.
const (
	widePx   = 722.0
	halfPx   = 345.0
	halfHigh = 172.0
	phoneSVG = 350.0
)

func (d *pageData) figures(r *study.Result) error {
	names := []string{"level", "excursion", "impedance", "group-delay", "port-speed", "step"}
	if r.Study.InPlace() {
		names = slices.Insert(names, 1, "plain-level")
	}
	for _, name := range names {
		s, _ := subjectNamed(name)
		f := pageFigure{Number: len(d.Figures) + 1, Title: s.title, Caption: captions[name], Wide: s.level}
		if name == "level" && r.Study.InPlace() {
			f.Caption = "dB re 20 µPa at the listener’s place (" + r.Study.PlaceWords() + "), against Hz."
		}
		w := halfPx
		if f.Wide {
			w = widePx
		}
		svg, told, err := s.onPage(r, w, "f-"+name)
		switch {
		case err != nil:
			return err
		case svg == "":
			continue
		}
		f.SVG = svg
		if len(told) > 0 {
			f.Caption += " " + capital(strings.Join(told, "; ")) + "."
		}
		if f.Wide {
			if f.Narrow, _, err = s.onPage(r, phoneSVG, "p-"+name); err != nil {
				return err
			}
		}
		d.Figures = append(d.Figures, f)
	}
	return nil
}

// onPage is a figure of the page, with what is to be told of it below; nothing
// to draw is an empty one.
func (s subject) onPage(r *study.Result, w float64, prefix string) (template.HTML, []string, error) {
	p, ok := s.plot(r, r.Candidates, w, halfHigh, 11)
	if !ok {
		return "", nil, nil
	}
	p.Stroke = 1.6
	p.X.Name, p.Y.Name = "", strings.TrimSuffix(p.Y.Name, " re 20 µPa")
	if w == widePx {
		p.Size, p.Stroke = 12, 2
	}
	if s.level {
		if err := drawable(p.X, r.Study.Units); err != nil {
			return "", nil, err
		}
		p.Plot = p.Proportioned(perDecade, flattest*w, tallest*w)
	}
	var told []string
	if len(p.Marks) > 0 {
		told = append(told, "bars mark F3")
	}
	if s.wall != "" && len(p.Limits) > 0 {
		told = append(told, s.wall)
	}
	scene := draw.NewScene(p.W, p.H, draw.Screen())
	scene.Title, scene.Desc = describe(r, s, r.Candidates)
	p.Draw(scene, 0, 0)
	svg, err := inline(scene, prefix, 0)
	return svg, append(told, p.unseen()...), err
}

func ledgerData(r *study.Result, o *study.Outcome) pageLedger {
	u := r.Study.Units
	l := pageLedger{Name: o.Candidate.Name, Plain: o.Plain, One: singleWords(o), Colour: colour(o.Index), Polarity: polarity(o)}
	steps := o.BoxLedger
	if o.System.Group.Count() > 1 || !o.Figures.NetVolume.OK() { // of one driver all that is to be told is what the box makes of it
		steps = append(o.Ledger[:len(o.Ledger):len(o.Ledger)], steps...)
	}
	for _, s := range steps {
		name := strings.TrimSuffix(stepName(s, u), ", "+s.Kind.Unit(u).Name)
		f := s.Formula
		if f != "" && s.Numbers != "" {
			f += " = " + s.Numbers
		}
		l.Steps = append(l.Steps, pageStep{name, s.Kind.Unit(u).Name, stepValue(s.Single, s.Kind, u), stepValue(s.Value, s.Kind, u), s.Rule, s.Why, f, s.Source})
	}
	for _, s := range o.Coupling {
		l.Cones = append(l.Cones, coneWords(s, u))
	}
	return l
}

// foot says under which air and model the figures hold, and of which study.
func foot(r *study.Result, o HTMLOptions) string {
	a := r.Study.Air
	air := "Air"
	if !a.Stated {
		air = fmt.Sprintf("Air %s °C, %s %%, %s kPa", phys.Digits(a.Temperature, 3), phys.Digits(100*a.Humidity, 2), phys.Digits(a.Pressure/1e3, 6))
	}
	radiation := "classical: cones and ports carry no radiation resistance"
	if r.Study.Model.FullRadiation {
		radiation = "full: every face that looks outside carries the load of a baffled piston"
	}
	s := fmt.Sprintf("%s: %s m/s, %s kg/m³. Radiation %s.", air, phys.Digits(a.C, 4), phys.Digits(a.Rho, 4), radiation)
	if r.Study.File != "" {
		s += " Study " + r.Study.File
		if len(r.Study.Digest) >= 16 {
			s += ", SHA-256 " + r.Study.Digest[:16]
		}
		s += "."
	}
	if o.Version != "" {
		s += " basswright " + o.Version + "."
	}
	return s + " The same study gives this same page."
}
