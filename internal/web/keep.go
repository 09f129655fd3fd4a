package web

import "context"

// Keep is a text that is not saved, because the file has some of its lines
// otherwise by now.
type Keep struct {
	Text  string `json:"text" maxLength:"1048576"`
	Label string `json:"label,omitempty" maxLength:"200"`
}

// Kept tells where in the history it is.
type Kept struct {
	ID int `json:"id"`
}

type keepOne struct {
	Target
	Body Keep
}

// keep takes a text into the history that the page is about to let a person take
// apart: whichever lines are chosen, what was written is still there.
func (s *Server) keep(_ context.Context, in *keepOne) (*answer[Kept], error) {
	id, err := s.opt.Folder.Refused(in.Name, []byte(in.Body.Text), in.Body.Label)
	if err != nil {
		return nil, wrong(err)
	}
	return &answer[Kept]{Kept{id}}, nil
}
