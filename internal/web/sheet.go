package web

import (
	"context"

	"basswright/internal/datasheet"
	"basswright/internal/phys"
	"basswright/internal/report"
	"basswright/internal/studyfile"
)

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

// sheet reads a datasheet as it was pasted.
func (s *Server) sheet(ctx context.Context, in *sheetOne) (*answer[Sheet], error) {
	_, done, err := s.turn(ctx, "")
	if err != nil {
		return nil, err
	}
	defer done()
	name, fault := in.Body.Name, ""
	if name == "" {
		name = "woofer"
	} else if why, mend := studyfile.NameFault(name, "driver"); why != "" {
		fault = why + "; " + mend
	}
	answers := map[int]string{}
	for _, a := range in.Body.Answers {
		answers[a.Line] = a.Choice
	}
	r := datasheet.Read(in.Body.Text, name, answers)
	out := Sheet{Lines: make([]SheetLine, 0, len(r.Lines)), Numbers: r.Numbers, Open: r.Open, Driver: r.Driver,
		Steps: steps(report.Lines(r.Steps, phys.Metric)), Findings: findings(r.Findings), Name: fault}
	for _, l := range r.Lines {
		out.Lines = append(out.Lines, SheetLine{l.Number, l.Text, l.Key, l.Value, l.How, l.Doubt, texts(l.Choices), l.Ignored})
	}
	return &answer[Sheet]{out}, nil
}
