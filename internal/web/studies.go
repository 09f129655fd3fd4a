package web

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/danielgtaylor/huma/v2"

	"basswright/internal/folder"
	"basswright/internal/report"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// blank is what an empty study begins as.
const blank = "study: %s\nunits: metric\n"

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
		v, err = s.opt.Folder.Create(in.Body.Name, text)
	case "study":
		v, err = s.opt.Folder.Duplicate(in.Body.Of, in.Body.Name)
	default:
		var text []byte
		if text, err = studyfile.Edit([]byte(fmt.Sprintf(blank, "A")), []studyfile.Change{{Do: "set", Path: "study", Value: studyfile.Quoted(in.Body.Name)}}); err == nil {
			v, err = s.opt.Folder.Create(in.Body.Name, text)
		}
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

// entry is what the list shows of a study.
func (s *Server) entry(e folder.Entry) ShelfEntry {
	out := ShelfEntry{Name: e.Name, File: e.File, Modified: e.Modified, Candidates: []string{}, Drivers: []string{}}
	v, err := s.opt.Folder.Read(e.Name)
	if err != nil {
		out.Note = err.Error()
		return out
	}
	st, err := studyfile.Parse(v.Text, e.File, s.opt.Folder.Beside)
	var faulty *studyfile.Error
	if errors.As(err, &faulty) {
		out.Faults = len(faulty.Faults)
		return out
	}
	out.Title, out.Note = st.Name, st.Note
	for _, c := range st.Candidates {
		out.Candidates = append(out.Candidates, c.Name)
	}
	for _, d := range st.Drivers {
		out.Drivers = append(out.Drivers, d.Driver.Name)
	}
	return out
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

// against compares two versions: their lines, and the figures of candidates of
// the same name.
func (s *Server) against(ctx context.Context, in *againstOne) (*answer[Against], error) {
	ctx, done, err := s.turn(ctx, in.Name)
	if err != nil {
		return nil, err
	}
	defer done()
	here, hereName, err := s.version(in.Name, in.Here)
	if err != nil {
		return nil, wrong(err)
	}
	other := in.Name
	if in.Study != "" {
		other = in.Study
	}
	there, thereName, err := s.version(other, in.State)
	if err != nil {
		return nil, wrong(err)
	}
	out := Against{Here: hereName, There: thereName, Lines: diff(string(here), string(there)), Rows: []AgainstRow{}}
	err = s.guarded(func() error {
		a, err := s.compute(ctx, studyfile.Open(here, hereName), Ask{})
		if err != nil {
			return err
		}
		b, err := s.compute(ctx, studyfile.Open(there, thereName), Ask{})
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

// version is a text and what it is called.
func (s *Server) version(name string, state int) (text []byte, called string, err error) {
	if state == 0 {
		v, err := s.opt.Folder.Read(name)
		return v.Text, v.File, err
	}
	text, err = s.opt.Folder.State(name, state)
	return text, fmt.Sprintf("%s, state %d", name, state), err
}

// differing are the figures that differ between two results.
func differing(a, b *study.Result) []AgainstRow {
	type place struct{ candidate, key string }
	values := func(r *study.Result) (map[place]AgainstRow, []place) {
		m, order := map[place]AgainstRow{}, []place{}
		table := report.Table(r)
		for i, o := range r.Candidates {
			for _, t := range table {
				p := place{o.Candidate.Name, t.Key}
				m[p] = AgainstRow{Candidate: o.Candidate.Name, Name: t.Name, Unit: t.Unit, Here: t.Cells[i].Text}
				order = append(order, p)
			}
		}
		return m, order
	}
	left, order := values(a)
	right, more := values(b)
	out := []AgainstRow{}
	for _, p := range order {
		l, r := left[p], right[p]
		if l.Here != r.Here {
			l.There = r.Here
			out = append(out, l)
		}
	}
	for _, p := range more {
		if _, ok := left[p]; !ok {
			r := right[p]
			out = append(out, AgainstRow{r.Candidate, r.Name, r.Unit, "", r.Here})
		}
	}
	return out
}
