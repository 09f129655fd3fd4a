package web

import (
	"bytes"
	"context"
	"errors"
	"fmt"

	"github.com/danielgtaylor/huma/v2"

	"basswright/internal/report"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// The figures that are worked out when they are asked for alone.
const (
	showDistortion = "distortion"
	showHeat       = "heat"
)

// figureWords are all figures that can be had as files.
func figureWords() []FigureWords {
	var out []FigureWords
	for _, n := range report.CurveNames() {
		out = append(out, FigureWords{FigureKey(n.Key), n.Title})
	}
	return append(out, FigureWords{showDistortion, "Distortion"}, FigureWords{showHeat, "Heat"})
}

func heatOptions(span, on, off float64) (study.HeatOptions, error) {
	if span == 0 {
		span = 3600
	}
	if (on > 0) != (off > 0) {
		return study.HeatOptions{}, huma.Error422UnprocessableEntity("a rest needs both: how long it plays and how long it rests")
	}
	return study.HeatOptions{On: on, Off: off, For: span, Fine: true}, nil
}

// figureLarge draws distortion or heat on the study's drive, as the command line
// does: of one candidate its harmonics, of several each as a whole; heat of one.
func (s *Server) figureLarge(ctx context.Context, in *figureOne) (*file, error) {
	heat, err := heatOptions(in.For, in.On, in.Off)
	if err != nil {
		return nil, err
	}
	ctx, done, err := s.lengthy(ctx, in.Name)
	if err != nil {
		return nil, err
	}
	defer done()
	v, err := s.opt.Folder.Read(in.Name)
	if err != nil {
		return nil, wrong(err)
	}
	var b bytes.Buffer
	err = s.guarded(func() error {
		st, err := studyfile.Parse(v.Text, v.File, s.opt.Folder.Beside)
		if err != nil {
			return fmt.Errorf("the study cannot be evaluated: %w", err)
		}
		in.on(st)
		fig, err := drawLarge(ctx, st, in, heat)
		if err != nil {
			return err
		}
		return fig.Write(&b, in.Format)
	})
	var broken *brokenError
	switch {
	case err == nil:
		return in.download(b.Bytes()), nil
	case ctx.Err() != nil:
		return nil, wrong(ctx.Err())
	case errors.As(err, &broken):
		return nil, wrong(err)
	}
	return nil, huma.Error422UnprocessableEntity(err.Error())
}

func drawLarge(ctx context.Context, st *study.Study, in *figureOne, heat study.HeatOptions) (*report.Figure, error) {
	if in.Against != "" {
		return nil, fmt.Errorf("there are no differences of %s; ask for two candidates", in.Show)
	}
	some, err := st.Chosen(in.Only)
	if err != nil {
		return nil, err
	}
	opt := report.FigureOptions{Size: in.Size, Theme: in.Theme}
	if in.Show == showHeat {
		if len(some) != 1 {
			return nil, errors.New("heat is drawn of one candidate; choose one")
		}
		h, err := st.Heat(ctx, some[0], heat)
		if err != nil {
			return nil, err
		}
		return report.HeatFigure(st, &st.Candidates[some[0]], h, heat, opt)
	}
	at := study.Frequencies(study.DistortionFrom, study.DistortionTo, study.DistortionPlaces)
	curves, err := st.DistortionOfEach(ctx, some, at, 0)
	if err != nil {
		return nil, err
	}
	return report.DistortionFigure(st, curves, opt)
}
