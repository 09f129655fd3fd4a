package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"reflect"

	"github.com/danielgtaylor/huma/v2"

	"basswright/internal/folder"
	"basswright/internal/studyfile"
)

// Target is a study in the path of a request.
type Target struct {
	Name string `path:"name" maxLength:"100" doc:"of the study, without extension"`
}

type (
	askOne struct {
		Target
		Body Ask
	}
	editOne struct {
		Target
		Body Edit
	}
	textOne struct {
		Target
		Body NewText
	}
	stepOne struct {
		Target
		Body struct {
			Ask
			Base string `json:"base"`
		}
	}
	answer[T any] struct{ Body T }
)

// register describes every operation; the page's client is generated from it.
func (s *Server) register() {
	op := func(id, method, path, summary string) huma.Operation {
		return huma.Operation{OperationID: id, Method: method, Path: path, Summary: summary, MaxBodyBytes: mostBody}
	}
	huma.Register(s.api, op("listStudies", "GET", "/api/studies", "List the studies of the folder"), s.list)
	huma.Register(s.api, op("createStudy", "POST", "/api/studies", "Make a study: empty, from an example, or a copy of another"), s.create)
	huma.Register(s.api, op("renameStudy", "POST", "/api/studies/{name}/rename", "Give a study another name"), s.rename)
	huma.Register(s.api, op("viewStudy", "POST", "/api/studies/{name}/view", "Evaluate a study as it is on disk"), s.view)
	huma.Register(s.api, op("tryChanges", "POST", "/api/studies/{name}/try", "Evaluate a study with changes, without saving"), s.try)
	huma.Register(s.api, clashes(s.api, op("editStudy", "POST", "/api/studies/{name}/edit", "Change a study and save it")), s.edit)
	huma.Register(s.api, clashes(s.api, op("replaceText", "PUT", "/api/studies/{name}/text", "Replace the text of a study")), s.replace)
	huma.Register(s.api, op("tryText", "POST", "/api/studies/{name}/text", "Evaluate a text without saving"), s.tryText)
	huma.Register(s.api, clashes(s.api, op("undoEdit", "POST", "/api/studies/{name}/undo", "Take back the last change")), s.undo)
	huma.Register(s.api, clashes(s.api, op("redoEdit", "POST", "/api/studies/{name}/redo", "Do again what was taken back")), s.redo)
	huma.Register(s.api, op("listPast", "GET", "/api/studies/{name}/past", "List the states of a study that are kept"), s.past)
	huma.Register(s.api, clashes(s.api, op("restoreState", "POST", "/api/studies/{name}/restore", "Take back an earlier state")), s.restore)
	huma.Register(s.api, op("compareVersions", "GET", "/api/studies/{name}/against", "Compare two versions of a study, or two studies"), s.against)
	huma.Register(s.api, op("readSheet", "POST", "/api/sheet", "Read a datasheet as pasted"), s.sheet)
	s.registerFiles(op)
	s.registerLarge(op)
}

// clashes adds to an operation's description what it answers if it meets another
// change.
func clashes(api huma.API, op huma.Operation) huma.Operation {
	schema := api.OpenAPI().Components.Schemas.Schema(reflect.TypeFor[Clash](), true, "Clash")
	op.Responses = map[string]*huma.Response{"409": {
		Description: "It meets another change, or there is nothing to take back",
		Content:     map[string]*huma.MediaType{"application/json": {Schema: schema}},
	}}
	return op
}

func (s *Server) list(ctx context.Context, _ *struct{}) (*answer[Shelf], error) {
	ctx, done, err := s.turn(ctx, "")
	if err != nil {
		return nil, err
	}
	defer done()
	l, err := s.opt.Folder.List()
	if err != nil {
		return nil, wrong(err)
	}
	out := Shelf{Folder: s.opt.Name, Version: s.opt.Version, More: l.More, Studies: []ShelfEntry{}, LeftOut: []LeftOutFile{}, Examples: s.examples()}
	for _, e := range l.Entries {
		if err := ctx.Err(); err != nil {
			return nil, wrong(err)
		}
		out.Studies = append(out.Studies, s.entry(e))
	}
	for _, f := range l.LeftOut {
		out.LeftOut = append(out.LeftOut, LeftOutFile{f.File, f.Reason})
	}
	return &answer[Shelf]{out}, nil
}

func (s *Server) view(ctx context.Context, in *askOne) (*answer[View], error) {
	ctx, done, err := s.turn(ctx, in.Name)
	if err != nil {
		return nil, err
	}
	defer done()
	v, err := s.opt.Folder.Read(in.Name)
	if err != nil {
		return nil, wrong(err)
	}
	return s.show(ctx, v, v.Text, in.Body)
}

func (s *Server) try(ctx context.Context, in *editOne) (*answer[View], error) {
	ctx, done, err := s.turn(ctx, in.Name)
	if err != nil {
		return nil, err
	}
	defer done()
	v, err := s.opt.Folder.Read(in.Name)
	if err != nil {
		return nil, wrong(err)
	}
	text, err := studyfile.Edit(v.Text, in.Body.Changes)
	if err != nil {
		return nil, wrong(err)
	}
	return s.show(ctx, v, text, in.Body.Ask)
}

// edit makes changes on what is on disk. A change says what it replaces
// (Was), so changes made by others elsewhere in the file do not hinder it; where
// they meet, the page is told both.
func (s *Server) edit(ctx context.Context, in *editOne) (*answer[View], error) {
	ctx, done, err := s.turn(ctx, in.Name)
	if err != nil {
		return nil, err
	}
	defer done()
	const tries = 5 // an editor that saves between reading and saving
	for range tries {
		v, err := s.opt.Folder.Read(in.Name)
		if err != nil {
			return nil, wrong(err)
		}
		text, err := studyfile.Edit(v.Text, in.Body.Changes)
		if err != nil {
			return nil, s.clashing(err, v, in.Body)
		}
		saved, err := s.opt.Folder.Save(in.Name, v.Revision, text, in.Body.Label)
		var conflict *folder.ConflictError
		if errors.As(err, &conflict) {
			continue
		}
		if err != nil {
			return nil, wrong(err)
		}
		return s.showSaved(ctx, saved, in.Body.Ask)
	}
	return nil, huma.Error409Conflict("another program keeps writing the file; try again")
}

func (s *Server) replace(ctx context.Context, in *textOne) (*answer[View], error) {
	ctx, done, err := s.turn(ctx, in.Name)
	if err != nil {
		return nil, err
	}
	defer done()
	saved, err := s.opt.Folder.Save(in.Name, in.Body.Base, []byte(in.Body.Text), in.Body.Label)
	var conflict *folder.ConflictError
	if errors.As(err, &conflict) {
		return nil, clash(conflict.Disk, "", "", "", []byte(in.Body.Text))
	}
	if err != nil {
		return nil, wrong(err)
	}
	return s.showSaved(ctx, saved, in.Body.Ask)
}

func (s *Server) tryText(ctx context.Context, in *textOne) (*answer[View], error) {
	ctx, done, err := s.turn(ctx, in.Name)
	if err != nil {
		return nil, err
	}
	defer done()
	v, err := s.opt.Folder.Read(in.Name)
	if err != nil {
		return nil, wrong(err)
	}
	return s.show(ctx, v, []byte(in.Body.Text), in.Body.Ask)
}

func (s *Server) undo(ctx context.Context, in *stepOne) (*answer[View], error) {
	return s.travel(ctx, in, s.opt.Folder.Undo)
}

func (s *Server) redo(ctx context.Context, in *stepOne) (*answer[View], error) {
	return s.travel(ctx, in, s.opt.Folder.Redo)
}

func (s *Server) travel(ctx context.Context, in *stepOne, to func(name, base string) (folder.Version, error)) (*answer[View], error) {
	ctx, done, err := s.turn(ctx, in.Name)
	if err != nil {
		return nil, err
	}
	defer done()
	v, err := to(in.Name, in.Body.Base)
	var conflict *folder.ConflictError
	if errors.As(err, &conflict) {
		return nil, clash(conflict.Disk, "", "", "", nil)
	}
	if err != nil {
		return nil, wrong(err)
	}
	return s.showSaved(ctx, v, in.Body.Ask)
}

func (s *Server) past(_ context.Context, in *Target) (*answer[[]Past], error) {
	states, err := s.opt.Folder.History(in.Name)
	if err != nil {
		return nil, wrong(err)
	}
	out := make([]Past, 0, len(states))
	for _, p := range states {
		out = append(out, Past{p.ID, p.Label, p.Saved, p.Revision, p.Current, p.Overtaken})
	}
	return &answer[[]Past]{out}, nil
}

// Error is the clash as an error of the interface.
func (c *Clash) Error() string { return c.Title + ": " + c.Detail }

// GetStatus says that the request met another change.
func (c *Clash) GetStatus() int { return http.StatusConflict }

// clashing turns an error of an edit into what the page is told.
func (s *Server) clashing(err error, disk folder.Version, e Edit) error {
	var meets *studyfile.ConflictError
	if !errors.As(err, &meets) {
		return wrong(err)
	}
	over := make([]studyfile.Change, len(e.Changes))
	for i, c := range e.Changes {
		c.Was = nil
		over[i] = c
	}
	yours, err := studyfile.Edit(disk.Text, over)
	if err != nil {
		yours = nil
	}
	return clash(disk, meets.Path, meets.Was, meets.Is, yours)
}

func clash(disk folder.Version, path, was, is string, yours []byte) *Clash {
	c := &Clash{Title: "The file was changed by another program", Detail: "nothing was written; choose which of the two to keep",
		Path: path, Was: was, Is: is, Yours: string(yours), Theirs: string(disk.Text), Base: disk.Revision, Lines: []Lined{}}
	if yours != nil {
		c.Lines = diff(string(disk.Text), string(yours))
	}
	return c
}

// wrong turns an error into an answer. What the person can mend keeps its words.
func wrong(err error) error {
	var (
		missing  *folder.NotFoundError
		state    *folder.NoStateError
		exists   *folder.ExistsError
		named    *folder.NameError
		kind     *folder.KindError
		large    *folder.TooLargeError
		nothing  *folder.NothingError
		busy     *folder.BusyError
		readonly *folder.ProtectedError
		edit     *studyfile.EditError
		meets    *studyfile.ConflictError
	)
	switch {
	case errors.As(err, &missing), errors.As(err, &state):
		return huma.Error404NotFound(err.Error())
	case errors.As(err, &exists), errors.As(err, &nothing), errors.As(err, &meets):
		return huma.Error409Conflict(err.Error())
	case errors.As(err, &named), errors.As(err, &kind), errors.As(err, &large), errors.As(err, &edit):
		return huma.Error422UnprocessableEntity(err.Error())
	case errors.As(err, &readonly):
		return huma.Error403Forbidden(err.Error())
	case errors.As(err, &busy):
		return huma.Error503ServiceUnavailable(err.Error())
	case errors.Is(err, context.DeadlineExceeded):
		return huma.Error503ServiceUnavailable(fmt.Sprintf("the study takes longer than the %s that one answer may", workTime))
	case errors.Is(err, context.Canceled):
		return huma.NewError(http.StatusRequestTimeout, "given up")
	}
	return huma.Error500InternalServerError(err.Error())
}
