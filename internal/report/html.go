package report

import (
	"bytes"
	"embed"
	"fmt"
	"html/template"
	"io"
	"strings"
	"sync"

	"basswright/internal/draw"
	"basswright/internal/note"
	"basswright/internal/phys"
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
		View                                                 string // from where they are seen
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
		Tables                                               []pageTable
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
		d.Doubts = append(d.Doubts, doubtful(f))
	}
	for _, f := range defaults {
		d.Defaults = append(d.Defaults, filled(f))
	}
	for _, c := range r.Cautions {
		d.Cautions = append(d.Cautions, pageCaution{capital(strings.ReplaceAll(c.ID, "-", " ")), begun(r, withMend(c))})
	}
	if err := d.candidates(r); err != nil {
		return nil, err
	}
	if err := d.blocks(r); err != nil {
		return nil, err
	}
	for _, c := range r.Candidates {
		if len(c.Misses) > 0 {
			d.Misses = append(d.Misses, pageMiss{c.Candidate.Name, colour(c.Look()), c.Misses})
		}
		d.Ledgers = append(d.Ledgers, ledgerData(r, c))
	}
	if err := d.figures(r); err != nil {
		return nil, err
	}
	d.tables(r)
	if err := d.compression(r.Study, o.Compression); err != nil {
		return nil, err
	}
	return d, d.distortion(r.Study, o.Distortion)
}

// begun begins a sentence with a capital, but not one that begins with the name of
// a candidate, which is written as the study has it.
func begun(r *study.Result, s string) string {
	for _, o := range r.Candidates {
		if strings.HasPrefix(s, o.Candidate.Name+" ") || strings.HasPrefix(s, o.Candidate.Name+":") {
			return s
		}
	}
	return capital(s)
}

// doubtful is a finding about the study's data for whoever reads the report: of
// what it is, and not how the file is mended.
func doubtful(f note.Finding) string {
	text := strings.TrimPrefix(f.Text, f.Where+": ")
	if of, rest, _ := strings.Cut(f.Where, "."); of == "drivers" || of == "candidates" {
		name, _, _ := strings.Cut(rest, ".")
		return name + ": " + strings.TrimPrefix(text, name+": ")
	}
	return capital(text)
}

// filled is what was filled in.
func filled(f note.Finding) string { return f.Where + ": " + f.Text }

// Account is what a result rests on: what is doubtful, as sentences that name what
// they are about, and what was filled in; each once.
func Account(r *study.Result) (doubts []note.Finding, defaults []string) {
	warnings, given := findings(r)
	for _, f := range warnings {
		f.Text = doubtful(f)
		doubts = append(doubts, f)
	}
	for _, f := range given {
		defaults = append(defaults, filled(f))
	}
	return doubts, defaults
}

// withMend is a finding with its mend, alike wherever it is told.
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

func ledgerData(r *study.Result, o *study.Outcome) pageLedger {
	u := r.Study.Units
	l := pageLedger{Name: o.Candidate.Name, Plain: o.Plain, One: singleWords(o), Colour: colour(o.Look()), Polarity: polarity(o)}
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
