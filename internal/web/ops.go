package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"reflect"
	"slices"
	"strings"

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
	tryOne struct {
		Target
		Body Try
	}
	textOne struct {
		Target
		Body NewText
	}
	tryTextOne struct {
		Target
		Body TryText
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
	huma.Register(s.api, op("keepText", "POST", "/api/studies/{name}/keep", "Keep a text in the history without saving it"), s.keep)
	huma.Register(s.api, clashes(s.api, op("undoEdit", "POST", "/api/studies/{name}/undo", "Take back the last change")), s.undo)
	huma.Register(s.api, clashes(s.api, op("redoEdit", "POST", "/api/studies/{name}/redo", "Do again what was taken back")), s.redo)
	huma.Register(s.api, op("listPast", "GET", "/api/studies/{name}/past", "List the states of a study that are kept"), s.past)
	huma.Register(s.api, clashes(s.api, op("restoreState", "POST", "/api/studies/{name}/restore", "Take back an earlier state")), s.restore)
	huma.Register(s.api, op("compareVersions", "GET", "/api/studies/{name}/against", "Compare two versions of a study, or two studies"), s.against)
	huma.Register(s.api, op("readSheet", "POST", "/api/sheet", "Read a datasheet as pasted"), s.sheet)
	s.registerFiles(op)
	s.describeEvents()
	s.describeTries()
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
	return s.show(ctx, v, studyfile.Open(v.Text, v.File), in.Body)
}

func (s *Server) try(ctx context.Context, in *tryOne) (*answer[View], error) {
	ctx, done, err := s.turn(ctx, in.Name)
	if err != nil {
		return nil, err
	}
	defer done()
	v, err := s.opt.Folder.Glance(in.Name)
	if err != nil {
		return nil, wrong(err)
	}
	was := s.held.take(v)
	next, err := was.Try(ctx, in.Body.Changes)
	s.held.give(v, was)
	if err != nil {
		return nil, wrong(err)
	}
	return s.show(ctx, v, next, in.Body.Ask)
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
	for try := 1; ; try++ {
		v, err := s.opt.Folder.Read(in.Name)
		if err != nil {
			return nil, wrong(err)
		}
		next, err := studyfile.Open(v.Text, v.File).Edit(ctx, in.Body.Changes)
		if err != nil {
			return nil, s.clashing(ctx, err, v, in.Body)
		}
		saved, err := s.opt.Folder.Save(in.Name, v.Revision, next.Text(), in.Body.Label)
		var conflict *folder.ConflictError
		switch {
		case err == nil:
			return s.showSaved(ctx, saved, next, in.Body.Ask)
		case !errors.As(err, &conflict):
			return nil, wrong(err)
		case try == tries: // another program keeps writing
			return nil, s.clash(conflict.Disk, &Clash{Yours: string(next.Text())}, in.Body.Label)
		}
	}
}

func (s *Server) replace(ctx context.Context, in *textOne) (*answer[View], error) {
	ctx, done, err := s.turn(ctx, in.Name)
	if err != nil {
		return nil, err
	}
	defer done()
	saved, err := s.put(in.Name, in.Body)
	var conflict *folder.ConflictError
	if errors.As(err, &conflict) {
		return nil, s.clash(conflict.Disk, &Clash{Yours: in.Body.Text}, in.Body.Label)
	}
	if err != nil {
		return nil, wrong(err)
	}
	return s.showSaved(ctx, saved, studyfile.Open(saved.Text, saved.File), in.Body.Ask)
}

func (s *Server) tryText(ctx context.Context, in *tryTextOne) (*answer[View], error) {
	ctx, done, err := s.turn(ctx, in.Name)
	if err != nil {
		return nil, err
	}
	defer done()
	v, err := s.opt.Folder.Read(in.Name)
	if err != nil {
		return nil, wrong(err)
	}
	return s.show(ctx, v, studyfile.Open([]byte(in.Body.Text), v.File), in.Body.Ask)
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
		// there is nothing to choose between: neither of the two is the person's
		return nil, huma.Error409Conflict("nothing was taken back or done again: the file was changed elsewhere since; look at what it is now, and press it again if you still want it")
	}
	if err != nil {
		return nil, wrong(err)
	}
	return s.showSaved(ctx, v, studyfile.Open(v.Text, v.File), in.Body.Ask)
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
func (s *Server) clashing(ctx context.Context, err error, disk folder.Version, e Edit) error {
	var meets *studyfile.ConflictError
	c := &Clash{}
	if errors.As(err, &meets) {
		c.Path, c.Was, c.Is = meets.Path, meets.Was, meets.Is
		over := make([]studyfile.Change, len(e.Changes))
		for i, c := range e.Changes {
			c.Was = nil
			over[i] = c
		}
		now := studyfile.Open(disk.Text, "")
		if yours, err := now.Edit(ctx, over); err == nil && holds(now, meets.Path) {
			c.Yours = string(yours.Text())
		}
	} else if e.Base == disk.Revision {
		return wrong(err)
	}
	if c.Yours == "" {
		// It cannot be made on what is on disk: the place is gone, or has another name.
		// On the text that the page had it can.
		yours, failed := studyfile.Open(s.opt.Folder.Text(disk.Name, e.Base), "").Edit(ctx, e.Changes)
		switch {
		case failed == nil:
			c.Yours = string(yours.Text())
		case meets == nil:
			return wrong(err)
		}
	}
	return s.clash(disk, c, e.Label)
}

// holds tells whether that stands in a file in which the place is, or would be.
func holds(f *studyfile.File, path string) bool {
	in := path[:max(0, strings.LastIndexAny(path, ".["))]
	return in == "" || slices.ContainsFunc(f.Fields(), func(f studyfile.Field) bool { return f.Path == in && f.Present })
}

// clash completes what the page is told, and sees that what was not saved is kept
// before it is refused.
func (s *Server) clash(disk folder.Version, c *Clash, label string) *Clash {
	c.Title, c.Detail = "The file was changed elsewhere meanwhile", "nothing was written; choose which of the two to keep"
	c.Theirs, c.Base, c.Lines = string(disk.Text), disk.Revision, []Lined{}
	if c.Yours == "" {
		return c
	}
	c.Lines = diff(c.Theirs, c.Yours)
	var err error
	if c.Kept, err = s.opt.Folder.Refused(disk.Name, []byte(c.Yours), label); err != nil {
		c.Detail += "; yours is only here, as the history cannot take it in: " + err.Error()
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
		held     *folder.BusyError
		readonly *folder.ProtectedError
		edit     *studyfile.EditError
		meets    *studyfile.ConflictError
	)
	switch {
	case errors.As(err, &missing), errors.As(err, &state):
		return huma.Error404NotFound(err.Error())
	case errors.As(err, &exists), errors.As(err, &nothing), errors.As(err, &meets):
		return huma.Error409Conflict(err.Error())
	case errors.As(err, &named), errors.As(err, &kind), errors.As(err, &large):
		return huma.Error422UnprocessableEntity(err.Error())
	case errors.As(err, &edit):
		return huma.Error422UnprocessableEntity(edit.Words())
	case errors.As(err, &readonly):
		return huma.Error403Forbidden(err.Error())
	case errors.As(err, &held), errors.Is(err, errYielded):
		return busy(err.Error())
	case errors.Is(err, context.DeadlineExceeded):
		return busy(fmt.Sprintf("the study takes longer than the %s that one answer may", workTime))
	case errors.Is(err, context.Canceled):
		return huma.NewError(http.StatusRequestTimeout, "given up")
	}
	return huma.Error500InternalServerError(err.Error())
}
