package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/export"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// streams is where the program reads and writes.
type streams struct {
	in       io.Reader
	out, err io.Writer
	colour   bool // of out
	width    int  // columns of out; 0: not a terminal
}

// app is one run of the program.
type app struct {
	streams
	code int // the exit code if nothing fails
}

// usageError is a fault of the command line itself.
type usageError struct{ err error }

func (e usageError) Error() string { return e.err.Error() }
func (e usageError) Unwrap() error { return e.err }

func usagef(format string, args ...any) error { return usageError{fmt.Errorf(format, args...)} }

// report writes an error for people and chooses the exit code.
func (a *app) report(err error) int {
	var (
		file      *studyfile.Error
		usage     usageError
		candidate *study.CandidateError
		box       *enclosure.Error
		group     *driver.GroupError
		refused   *export.RefusedError
	)
	switch {
	case errors.As(err, &file):
		fmt.Fprintln(a.err, file)
		return exitInput
	case errors.As(err, &candidate):
		at := candidate.Candidate.At.String()
		if at != "" {
			at += ": "
		}
		fmt.Fprintf(a.err, "%serror: %v\n", at, err)
		if errors.As(err, &box) || errors.As(err, &group) {
			return exitInput
		}
		return exitFailed
	case errors.As(err, &refused):
		fmt.Fprintf(a.err, "error: %v\n", err)
		return exitFailed
	case errors.As(err, &usage):
		fmt.Fprintf(a.err, "error: %v\n", err)
		return exitInput
	}
	var path *os.PathError
	if errors.As(err, &path) {
		fmt.Fprintf(a.err, "error: cannot %s %s: %v\n", path.Op, path.Path, path.Err)
		return exitFailed
	}
	fmt.Fprintf(a.err, "error: %v\n", err)
	return exitFailed
}

// open reads the study named on the command line; "-" is standard input.
func (a *app) open(name string) (*study.Study, error) {
	if name == "-" {
		return studyfile.Read(a.in, "standard input")
	}
	f, err := os.Open(name)
	if err != nil {
		if errors.Is(err, os.ErrNotExist) {
			return nil, usagef("there is no file %s", name)
		}
		return nil, err
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.IsDir() {
		return nil, usagef("%s is a folder; name a study in it, such as %s", name, filepath.Join(name, "camper-bench.yaml"))
	}
	return studyfile.Read(f, name)
}

// evaluate reads a study, makes sure that it has the candidates that the
// command line names, and computes all of them.
func (a *app) evaluate(ctx context.Context, file string, candidates []string, opt study.Options) (*study.Result, error) {
	st, err := a.open(file)
	if err != nil {
		return nil, err
	}
	for _, name := range candidates {
		if _, err := st.Find(name); err != nil {
			return nil, usageError{err}
		}
	}
	return study.Evaluate(ctx, st, opt)
}

// named is the list of a name that may have been left out.
func named(name string) []string {
	if name == "" {
		return nil
	}
	return []string{name}
}

// verdict sets the exit code by whether the brief is met.
func (a *app) verdict(res *study.Result) error {
	if !res.BriefMet {
		a.code = exitNotMet
	}
	return nil
}

// studies completes names of study files.
func studies(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
	if len(args) > 0 {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	return []string{"yaml", "yml"}, cobra.ShellCompDirectiveFilterFileExt
}

// candidateNames completes the names of the candidates of the study that is
// already on the command line.
func (a *app) candidateNames(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
	if len(args) == 0 {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	st, err := a.open(args[0])
	if err != nil {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	var names []string
	for i := range st.Candidates {
		names = append(names, st.Candidates[i].Name)
	}
	return names, cobra.ShellCompDirectiveNoFileComp
}
