package web

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"github.com/danielgtaylor/huma/v2"

	"basswright/internal/folder"
	"basswright/internal/phys"
	"basswright/internal/report"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// blank is what an empty study begins as.
const blank = "study: A\nunits: metric\n"

// titled is a study's text with another title. A text that cannot be read, or a
// name that is longer than a title may be, leaves it as it is.
func titled(text []byte, title string) []byte {
	next, err := studyfile.Edit(text, []studyfile.Change{{Do: "set", Path: "study", Value: studyfile.Quoted(title)}})
	if err != nil {
		return text
	}
	return next
}

type createOne struct {
	Body struct {
		Name string `json:"name" minLength:"1" maxLength:"100"`
		From string `json:"from" enum:"empty,example,study" doc:"what it begins from"`
		Of   string `json:"of,omitempty" maxLength:"100" doc:"name of the example or the study"`
	}
}

// Made is a study that was made or renamed.
type Made struct {
	Name string `json:"name"`
	File string `json:"file"`
}

func (s *Server) create(_ context.Context, in *createOne) (*answer[Made], error) {
	var (
		v   folder.Version
		err error
	)
	switch in.Body.From {
	case "example":
		text, ok := s.opt.Examples[in.Body.Of]
		if !ok {
			return nil, huma.Error404NotFound(fmt.Sprintf("there is no example %q", in.Body.Of))
		}
		if in.Body.Name != in.Body.Of {
			text = titled(text, in.Body.Name)
		}
		v, err = s.opt.Folder.Create(in.Body.Name, text)
	case "study":
		v, err = s.opt.Folder.Duplicate(in.Body.Of, in.Body.Name, func(text []byte) []byte { return titled(text, in.Body.Name) })
	default:
		v, err = s.opt.Folder.Create(in.Body.Name, titled([]byte(blank), in.Body.Name))
	}
	if err != nil {
		return nil, wrong(err)
	}
	return &answer[Made]{Made{v.Name, v.File}}, nil
}

type renameOne struct {
	Target
	Body struct {
		To string `json:"to" minLength:"1" maxLength:"100"`
	}
}

func (s *Server) rename(_ context.Context, in *renameOne) (*answer[Made], error) {
	v, err := s.opt.Folder.Rename(in.Name, in.Body.To)
	if err != nil {
		return nil, wrong(err)
	}
	return &answer[Made]{Made{v.Name, v.File}}, nil
}

func (s *Server) examples() []Example {
	out := []Example{}
	for name, text := range s.opt.Examples {
		e := Example{Name: name}
		if st, err := studyfile.Parse(text, name); err == nil {
			e.Title, e.Note = st.Name, st.Note
		}
		out = append(out, e)
	}
	slices.SortFunc(out, func(a, b Example) int { return strings.Compare(a.Name, b.Name) })
	return out
}

type restoreOne struct {
	Target
	Body struct {
		Ask
		Base string `json:"base"`
		ID   int    `json:"id" doc:"of the state of the history"`
		Anew bool   `json:"anew,omitempty" doc:"write the file anew if it is gone"`
	}
}

// restore saves the text of an earlier state, to the byte.
func (s *Server) restore(ctx context.Context, in *restoreOne) (*answer[View], error) {
	text, err := s.opt.Folder.State(in.Name, in.Body.ID)
	if err != nil {
		return nil, wrong(err)
	}
	return s.replace(ctx, &textOne{in.Target, NewText{Ask: in.Body.Ask, Base: in.Body.Base, Text: string(text), Label: "an earlier version taken back", Anew: in.Body.Anew}})
}

type againstOne struct {
	Target
	Here  int    `query:"here" doc:"id of a state of its history; 0: as it is on disk"`
	State int    `query:"state" doc:"id of the state that it is compared with"`
	Study string `query:"study" maxLength:"100" doc:"or another study"`
}

// against compares two versions, the older with the newer: their lines, and the
// figures of candidates of the same name.
func (s *Server) against(ctx context.Context, in *againstOne) (*answer[Against], error) {
	ctx, done, err := s.turn(ctx, in.Name)
	if err != nil {
		return nil, err
	}
	defer done()
	is, was := Side{in.Name, in.Here}, Side{in.Name, in.State}
	switch {
	case in.Study != "":
		was.Study = in.Study
	case is.State != 0 && (was.State == 0 || was.State > is.State): // from the older to the newer
		is, was = was, is
	}
	older, err := s.version(was)
	if err != nil {
		return nil, wrong(err)
	}
	newer, err := s.version(is)
	if err != nil {
		return nil, wrong(err)
	}
	out := Against{Was: was, Is: is, Lines: diff(string(older), string(newer)), Rows: []AgainstRow{}}
	err = s.guarded(func() error {
		a, err := s.compute(ctx, studyfile.Open(older, was.Study), Ask{})
		if err != nil {
			return err
		}
		b, err := s.compute(ctx, studyfile.Open(newer, is.Study), Ask{})
		if err != nil {
			return err
		}
		out.Rows = differing(a, b)
		return nil
	})
	switch {
	case ctx.Err() != nil:
		return nil, wrong(ctx.Err())
	case err != nil:
		out.Note = "one of the two cannot be evaluated, so only the texts are compared"
	}
	return &answer[Against]{out}, nil
}

// version is the text of a side.
func (s *Server) version(of Side) ([]byte, error) {
	if of.State == 0 {
		v, err := s.opt.Folder.Read(of.Study)
		return v.Text, err
	}
	return s.opt.Folder.State(of.Study, of.State)
}

// differing are the figures that differ between two results, in one system of
// units, and the candidates that only one of them has.
func differing(was, is *study.Result) []AgainstRow {
	is = inUnits(is, was.Study.Units)
	before, after := report.NewTable(was), report.NewTable(is)
	out := []AgainstRow{}
	for _, o := range was.Candidates {
		name := o.Candidate.Name
		k := slices.IndexFunc(is.Candidates, func(o *study.Outcome) bool { return o.Candidate.Name == name })
		if k < 0 {
			out = append(out, AgainstRow{Candidate: name, Only: "was"})
			continue
		}
		older, newer := before.Column(o), after.Column(is.Candidates[k])
		for i, l := range before.Rows {
			there := ""
			if j := rowOf(after, l.Key); j >= 0 {
				there = figure(newer[j].Text)
			}
			out = addDiffering(out, AgainstRow{Candidate: name, Name: l.Name, Unit: l.Unit, Was: figure(older[i].Text), Is: there})
		}
		for j, l := range after.Rows { // rows that only the newer has
			if rowOf(before, l.Key) < 0 {
				out = addDiffering(out, AgainstRow{Candidate: name, Name: l.Name, Unit: l.Unit, Is: figure(newer[j].Text)})
			}
		}
	}
	for _, o := range is.Candidates {
		if _, err := was.Study.Find(o.Candidate.Name); err != nil {
			out = append(out, AgainstRow{Candidate: o.Candidate.Name, Only: "is"})
		}
	}
	return out
}

func addDiffering(to []AgainstRow, r AgainstRow) []AgainstRow {
	if r.Was == r.Is {
		return to
	}
	return append(to, r)
}

// inUnits is a result that is shown in other units.
func inUnits(r *study.Result, u phys.System) *study.Result {
	if r.Study.Units == u {
		return r
	}
	shown, st := *r, *r.Study
	st.Units, shown.Study = u, &st
	return &shown
}

// rowOf is where a row stands, -1 if the table has none of that key.
func rowOf(t *report.Table, key string) int {
	return slices.IndexFunc(t.Rows, func(r report.TableRow) bool { return r.Key == key })
}

// figure is a cell's text; a dash says that there is nothing, as no text does.
func figure(text string) string {
	if text == "–" {
		return ""
	}
	return text
}
