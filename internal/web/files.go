package web

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net/url"

	"github.com/danielgtaylor/huma/v2"

	"basswright/internal/report"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// file is a download.
type file struct {
	ContentType        string `header:"Content-Type"`
	ContentDisposition string `header:"Content-Disposition"`
	Body               []byte
}

// Terms are those of the page, so that a file shows what the page shows.
type Terms struct {
	Target
	Yardstick string  `query:"yardstick" maxLength:"100"`
	From      float64 `query:"from" doc:"Hz"`
	To        float64 `query:"to" doc:"Hz"`
	Looks
}

type figureOne struct {
	Terms
	Show   FigureKey `query:"show" default:"level"`
	Format string    `query:"format" enum:"svg,png,pdf" default:"svg"`
	Size   string    `query:"size" enum:"page,slide" default:"page"`
	Theme  string    `query:"theme" enum:"page,slide,overlay" default:"page"`
	Only   []string  `query:"only" maxItems:"64" doc:"only these candidates, in this order"`

	Against string `query:"against" maxLength:"100" doc:"differences from this candidate instead of values"`

	For float64 `query:"for" minimum:"0" maximum:"86400" doc:"of heat: s that are followed, from 10; 3600"`
	On  float64 `query:"on" minimum:"0" maximum:"86400" doc:"of heat: s that it plays before it rests; 0 and off 0: no rest"`
	Off float64 `query:"off" minimum:"0" maximum:"86400"`
}

type dataOne struct {
	Terms
	Format string `path:"format" enum:"json,csv,html,yaml"`
}

func (s *Server) registerFiles(op func(id, method, path, summary string) huma.Operation) {
	huma.Register(s.api, op("figure", "GET", "/api/studies/{name}/figure", "A figure as a file"), s.figure)
	huma.Register(s.api, op("data", "GET", "/api/studies/{name}/data/{format}", "The comparison as data or as the report, or the study itself"), s.data)
}

func (s *Server) figure(ctx context.Context, in *figureOne) (*file, error) {
	if in.Show == showDistortion || in.Show == showHeat {
		return s.figureLarge(ctx, in)
	}
	data, err := s.drawn(ctx, in.Terms, true, func(w io.Writer, r *study.Result) error {
		for _, name := range in.Only {
			if _, err := r.Study.Find(name); err != nil {
				return err
			}
		}
		fig, err := report.NewFigure(r, string(in.Show), report.FigureOptions{Only: in.Only, Size: in.Size, Theme: in.Theme, Against: in.Against})
		if err != nil {
			return err
		}
		return fig.Write(w, in.Format)
	})
	if err != nil {
		return nil, err
	}
	return in.download(data), nil
}

func (in *figureOne) download(data []byte) *file {
	kind := map[string]string{"svg": "image/svg+xml", "png": "image/png", "pdf": "application/pdf"}[in.Format]
	return download(data, kind, fmt.Sprintf("%s-%s.%s", in.Name, in.Show, in.Format))
}

func (s *Server) data(ctx context.Context, in *dataOne) (*file, error) {
	if in.Format == "yaml" {
		v, err := s.opt.Folder.Read(in.Name)
		if err != nil {
			return nil, wrong(err)
		}
		return download(v.Text, "application/yaml", v.File), nil
	}
	write := map[string]func(io.Writer, *study.Result) error{
		"json": report.CompareJSON, "csv": report.CompareCSV,
		"html": func(w io.Writer, r *study.Result) error {
			heat, err := r.Study.CompressEach(ctx, study.CompressionOptions{})
			if err != nil {
				return err
			}
			return report.ReportHTML(w, r, report.HTMLOptions{Version: s.opt.Version, Compression: heat})
		},
	}[in.Format]
	data, err := s.drawn(ctx, in.Terms, in.Format == "html", write)
	if err != nil {
		return nil, err
	}
	kind := map[string]string{"json": "application/json", "csv": "text/csv; charset=utf-8", "html": "text/html; charset=utf-8"}[in.Format]
	return download(data, kind, in.Name+"."+in.Format), nil
}

// drawn evaluates what is on disk, with all that a file may show, and writes the
// file in the same turn.
func (s *Server) drawn(ctx context.Context, in Terms, time bool, write func(io.Writer, *study.Result) error) ([]byte, error) {
	ctx, done, err := s.turn(ctx, in.Name)
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
		r, err := s.compute(ctx, studyfile.Open(v.Text, v.File), Ask{Yardstick: in.Yardstick, From: in.From, To: in.To, Time: time})
		if err != nil {
			return fmt.Errorf("the study cannot be evaluated: %w", err)
		}
		in.on(r.Study)
		return write(&b, r)
	})
	var broken *brokenError
	switch {
	case err == nil:
		return b.Bytes(), nil
	case ctx.Err() != nil:
		return nil, wrong(ctx.Err())
	case errors.As(err, &broken):
		return nil, wrong(err)
	}
	return nil, huma.Error422UnprocessableEntity(err.Error())
}

// download always saves: a report opened in the page's own place would have its
// rights.
func download(data []byte, kind, name string) *file {
	return &file{kind, "attachment; filename*=UTF-8''" + url.PathEscape(name), data}
}
