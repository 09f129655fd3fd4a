package main

import (
	"bytes"
	"errors"
	"io/fs"
	"testing"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/export"
	"basswright/internal/study"
)

// A reader of a study file finds most faults itself; what is found only when
// a candidate is built is still the input's fault, and anything else is not.
func TestReportChoosesTheExitCode(t *testing.T) {
	at := func(err error) error {
		return &study.CandidateError{Candidate: &study.Candidate{Name: "four"}, Err: err}
	}
	for _, c := range []struct {
		err  error
		code int
		says string
	}{
		{at(&driver.GroupError{Key: "wiring", Reason: "no string", Mend: "write 2"}), exitInput, "error: candidates.four: wiring: no string; write 2\n"},
		{at(&enclosure.Error{Key: "volume", Reason: "no room", Mend: "write more"}), exitInput, ""},
		{at(errors.New("singular")), exitFailed, "error: candidates.four: singular\n"},
		{&export.RefusedError{}, exitFailed, ""},
		{usagef("no flag"), exitInput, "error: no flag\n"},
		{errors.New("full"), exitFailed, "error: full\n"},
		{&fs.PathError{Op: "open", Path: "s.yaml", Err: fs.ErrPermission}, exitFailed, "error: cannot open s.yaml: permission denied; allow it, or name another\n"},
		{&fs.PathError{Op: "read", Path: "s.yaml", Err: errors.New("bad disk")}, exitFailed, "error: cannot read s.yaml: bad disk; name another\n"},
		{&fs.PathError{Op: "statat", Path: "s.yaml", Err: errors.New("bad disk")}, exitFailed, "error: cannot open s.yaml: bad disk; name another\n"},
		{&fs.PathError{Op: "open", Path: "s.yaml", Err: fs.ErrNotExist}, exitFailed, "error: there is no s.yaml; check its name\n"},
	} {
		var told bytes.Buffer
		a := app{streams: streams{err: &told}}
		if code := a.report(c.err); code != c.code {
			t.Errorf("%v: exit code %d, want %d", c.err, code, c.code)
		}
		if got := told.String(); c.says != "" && got != c.says {
			t.Errorf("told %q, want %q", got, c.says)
		}
	}
}
