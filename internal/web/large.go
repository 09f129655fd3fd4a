package web

import (
	"bytes"
	"context"
	"errors"

	"github.com/danielgtaylor/huma/v2"

	"basswright/internal/draw"
	"basswright/internal/report"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// LargeAsk asks for what is worked out for one candidate when somebody wants to
// see it: it takes longer than all else that a view shows.
type LargeAsk struct {
	Candidate string  `json:"candidate" minLength:"1" maxLength:"100"`
	Points    int     `json:"points,omitempty" minimum:"0" maximum:"200" doc:"of distortion: frequencies; 53"`
	From      float64 `json:"from,omitempty" minimum:"0" doc:"of distortion, Hz; 10"`
	To        float64 `json:"to,omitempty" minimum:"0" doc:"of distortion, Hz; 200"`
	For       float64 `json:"for,omitempty" minimum:"0" maximum:"86400" doc:"of heat: s that are followed, from 10; 3600"`
	On        float64 `json:"on,omitempty" minimum:"0" maximum:"86400" doc:"of heat: s that it plays before it rests; 0 and off 0: no rest"`
	Off       float64 `json:"off,omitempty" minimum:"0" maximum:"86400"`
	Look      *int    `json:"look,omitempty" minimum:"0" maximum:"999" doc:"which colour and dash it has, from 0; its place in the file if left out"`
	Width     float64 `json:"width,omitempty" minimum:"0" maximum:"4000" doc:"px of the figure; 720"`
}

// Large is a figure of one candidate with the curves in it, as they are on disk.
type Large struct {
	Revision string  `json:"revision" doc:"of the text that it was worked out for"`
	Figure   string  `json:"figure" doc:"SVG; empty if there is nothing to draw"`
	Words    string  `json:"words" doc:"what the figure shows and rests on; or why there is none"`
	XName    string  `json:"x_name" doc:"Hz, or s"`
	X        Curve   `json:"x"`
	Unit     string  `json:"unit" doc:"of the lines"`
	Lines    []Trace `json:"lines" nullable:"false"`
}

type largeOne struct {
	Target
	Body LargeAsk
}

func (s *Server) registerLarge(op func(id, method, path, summary string) huma.Operation) {
	huma.Register(s.api, op("distortion", "POST", "/api/studies/{name}/distortion", "Harmonics of one candidate against frequency, on the study’s drive"), s.distortion)
	huma.Register(s.api, op("heat", "POST", "/api/studies/{name}/heat", "How the coils of one candidate warm up, on the study’s drive"), s.heat)
}

// The width of a figure on the page where none is asked for, px, and how high it is.
const (
	largeWidth = 720.0
	largeShare = 0.42
	largeText  = 12.0
	largeHigh  = 400.0 // at most, so that the words below are in sight too
)

func (s *Server) distortion(ctx context.Context, in *largeOne) (*answer[Large], error) {
	a := in.Body
	set := func(v *float64, standard float64) {
		if *v == 0 {
			*v = standard
		}
	}
	set(&a.From, study.DistortionFrom)
	set(&a.To, study.DistortionTo)
	if a.Points == 0 {
		a.Points = study.DistortionPlaces / 2
	}
	opt := study.Options{From: a.From, To: a.To, Points: a.Points}
	if err := opt.Sound(); err != nil {
		return nil, huma.Error422UnprocessableEntity(err.Error())
	}
	return s.large(ctx, in, func(ctx context.Context, st *study.Study, i int, out *Large) error {
		d, err := st.DistortionOver(ctx, i, study.Frequencies(a.From, a.To, a.Points), 0)
		if err != nil {
			return err
		}
		out.XName, out.X, out.Unit = "Hz", d.Frequency, "dB against the fundamental"
		for n, y := range d.Lines {
			out.Lines = append(out.Lines, Trace{report.HarmonicName(n), y})
		}
		out.Lines = append(out.Lines, Trace{"THD", d.THD})
		scene, words, err := report.DistortionScene(st, []*study.DistortionCurve{d}, screen(a.Width))
		out.draw("distortion", scene, words, err)
		return nil
	})
}

func (s *Server) heat(ctx context.Context, in *largeOne) (*answer[Large], error) {
	a := in.Body
	o, err := heatOptions(a.For, a.On, a.Off)
	if err != nil {
		return nil, err
	}
	return s.large(ctx, in, func(ctx context.Context, st *study.Study, i int, out *Large) error {
		h, err := st.Heat(ctx, i, o)
		if err != nil {
			return err
		}
		c := &st.Candidates[i]
		out.XName, out.Unit = "s", "as named"
		for _, l := range report.HeatLines(st, c, h) {
			out.X = l.X
			out.Lines = append(out.Lines, Trace{l.Name, l.Y})
		}
		scene, words, err := report.HeatScene(st, c, h, o, screen(a.Width))
		out.draw("heat", scene, words, err)
		return nil
	})
}

// screen is the place of a figure on the page.
func screen(width float64) report.Canvas {
	if width == 0 {
		width = largeWidth
	}
	width = min(max(width, 320), 4000)
	return report.Canvas{W: width, H: min(max(260, largeShare*width), largeHigh), Text: largeText, Theme: draw.Screen(), Bare: true}
}

// draw takes a figure, or why there is none.
func (l *Large) draw(prefix string, scene *draw.Scene, words string, err error) {
	if err != nil {
		l.Words = err.Error()
		return
	}
	var b bytes.Buffer
	if scene.SVG(&b, draw.SVGOptions{Inline: true, Prefix: prefix}) == nil { // a buffer takes everything
		l.Figure, l.Words = b.String(), words
	}
}

// large works out something of one candidate as it is on disk, in a turn of its
// study. What keeps it from being worked out, but for time, is said in its words.
func (s *Server) large(ctx context.Context, in *largeOne, work func(ctx context.Context, st *study.Study, i int, out *Large) error) (*answer[Large], error) {
	ctx, done, err := s.lengthy(ctx, in.Name)
	if err != nil {
		return nil, err
	}
	defer done()
	v, err := s.opt.Folder.Read(in.Name)
	if err != nil {
		return nil, wrong(err)
	}
	out := Large{Revision: v.Revision, X: Curve{}, Lines: []Trace{}}
	err = s.guarded(func() error {
		st, err := studyfile.Parse(v.Text, v.File, s.opt.Folder.Beside)
		if err != nil {
			return err
		}
		i, err := st.Find(in.Body.Candidate)
		if err != nil {
			return huma.Error404NotFound(err.Error())
		}
		if in.Body.Look != nil {
			look(&st.Candidates[i], *in.Body.Look)
		}
		return work(ctx, st, i, &out)
	})
	var (
		candidate *study.CandidateError
		faulty    *studyfile.Error
		status    huma.StatusError
	)
	switch {
	case err == nil:
		return &answer[Large]{out}, nil
	case ctx.Err() != nil:
		return nil, wrong(ctx.Err())
	case errors.As(err, &candidate):
		out.Words = candidate.Err.Error()
		return &answer[Large]{out}, nil
	case errors.As(err, &faulty):
		return nil, huma.Error422UnprocessableEntity("the study has faults; mend them first")
	case errors.As(err, &status):
		return nil, err
	}
	return nil, wrong(err)
}
