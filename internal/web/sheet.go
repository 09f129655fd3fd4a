package web

import "context"

// Answer is what a person decided about a line of a sheet.
type Answer struct {
	Line   int    `json:"line"`
	Choice string `json:"choice" maxLength:"200"`
}

type sheetOne struct {
	Body struct {
		Text    string   `json:"text" maxLength:"65536"`
		Name    string   `json:"name,omitempty" maxLength:"100" doc:"of the woofer"`
		Answers []Answer `json:"answers,omitempty" maxItems:"500" nullable:"false"`
	}
}

func (s *Server) sheet(ctx context.Context, in *sheetOne) (*answer[Sheet], error) {
	return &answer[Sheet]{}, nil
}
