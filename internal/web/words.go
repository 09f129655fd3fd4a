package web

import (
	"fmt"
	"net/http"
	"strconv"
	"strings"

	"github.com/danielgtaylor/huma/v2"
)

// sayings turn what the checks of a request say into the words of this program;
// %s takes what the check names.
var sayings = [...]struct{ check, says string }{
	{"unexpected property", "is not known here; leave it out"},
	{"expected required property ", "%s is missing"},
	{"expected value to be one of ", "must be one of %s"},
	{"expected number >= ", "must be at least %s"},
	{"expected number <= ", "must be at most %s"},
	{"expected length >= ", "needs at least %s signs"},
	{"expected length <= ", "has at most %s signs"},
	{"expected array length <= ", "has at most %s items"},
	{"expected array length >= ", "needs at least %s items"},
	{"expected boolean", "must be true or false"},
	{"expected integer", "must be a whole number"},
	{"expected number", "must be a number"},
	{"expected string", "must be a text"},
	{"expected array", "must be a list"},
	{"expected object", "must be an object"},
	{"invalid integer", "must be a whole number"},
	{"invalid float", "must be a number"},
	{"invalid boolean", "must be true or false"},
	{"required path parameter is missing", "is missing"},
	{"required query parameter is missing", "is missing"},
}

// say tells a check's message at its place: "body.points must be at most 2000".
func say(d *huma.ErrorDetail) string {
	place := d.Location
	if place == "" {
		place = "the body"
	}
	for _, s := range sayings {
		rest, ok := strings.CutPrefix(d.Message, s.check)
		if !ok {
			continue
		}
		if !strings.Contains(s.says, "%s") {
			return place + " " + s.says
		}
		return place + " " + fmt.Sprintf(s.says, strings.TrimSuffix(strings.Trim(rest, `"`), " to be present"))
	}
	if place == "body" {
		return "the body is no sound JSON: " + d.Message
	}
	return place + ": " + d.Message
}

// ownWords is what an error says of a request that was not understood. Errors of
// operations have their words already.
func ownWords(_ huma.Context, _ string, v any) (any, error) {
	e, ok := v.(*huma.ErrorModel)
	if !ok {
		return v, nil
	}
	out := *e
	switch {
	case e.Status == http.StatusRequestEntityTooLarge:
		out.Detail = fmt.Sprintf("a request has at most %d bytes (%d MiB), and this one has more", mostBody, mostBody>>20)
	case e.Status == http.StatusUnsupportedMediaType:
		out.Detail, out.Errors = "the body must be JSON, sent as application/json", nil
	case e.Status == http.StatusRequestTimeout && strings.Contains(e.Detail, "timeout"):
		out.Detail = "the body of the request came too slowly"
	case len(e.Errors) > 0:
		out.Detail = "the request is not as it should be"
	case e.Detail == "request body is required":
		out.Detail = "the request needs a body"
	}
	out.Errors = make([]*huma.ErrorDetail, 0, len(e.Errors))
	if out.Status == http.StatusUnsupportedMediaType {
		return &out, nil
	}
	for _, d := range e.Errors {
		if d != nil {
			out.Errors = append(out.Errors, &huma.ErrorDetail{Message: say(d), Location: d.Location, Value: brief(d.Value)})
		}
	}
	return &out, nil
}

// brief is a value as it is told back: whole texts and bodies are known to the
// one who sent them.
func brief(v any) any {
	switch v := v.(type) {
	case nil, bool, float64, int:
		return v
	case string:
		if len(v) > 80 {
			return strconv.Itoa(len(v)) + " bytes"
		}
		return v
	}
	return nil
}
