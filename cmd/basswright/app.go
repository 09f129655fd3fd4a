package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/folder"
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
	study string // the file that was read, which must not be written over; "" if none was
	code  int    // the exit code if nothing fails
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
	}
	fmt.Fprintf(a.err, "error: %v\n", told(err))
	if errors.As(err, &usage) {
		return exitInput
	}
	return exitFailed
}

// told is an error of the system's in words with a mend; other errors have
// their own.
func told(err error) error {
	var path *fs.PathError
	switch {
	case !errors.As(err, &path):
		return err
	case errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("there is no %s; check its name", path.Path)
	case errors.Is(err, fs.ErrPermission):
		return fmt.Errorf("cannot %s %s: %w; allow it, or name another", does(path.Op), path.Path, path.Err)
	}
	return fmt.Errorf("cannot %s %s: %w; name another", does(path.Op), path.Path, path.Err)
}

// does is what the system did, in a word of ours.
func does(op string) string {
	switch op {
	case "stat", "lstat", "openat", "statat":
		return "open"
	}
	return op
}

// open reads the study named on the command line; "-" is standard input.
func (a *app) open(name string) (*study.Study, error) {
	_, st, err := a.openFile(name)
	return st, err
}

// openFile reads a study and keeps its text.
func (a *app) openFile(name string) (*studyfile.File, *study.Study, error) {
	if name == "-" {
		return understood(studyfile.Read(a.in, "standard input"))
	}
	a.study = name
	f, err := os.Open(name)
	if err != nil {
		if errors.Is(err, os.ErrNotExist) {
			return nil, nil, usagef("there is no file %s; check its name, or copy a study from examples/", name)
		}
		return nil, nil, err
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.IsDir() {
		return nil, nil, usagef("%s is a folder; name a study in it, such as %s", name, filepath.Join(name, "camper-bench.yaml"))
	}
	beside := func(file string) ([]byte, error) { return folder.ReadBeside(filepath.Dir(name), file) }
	text, err := studyfile.Read(f, name)
	return understood(text, err, beside)
}

// understood is a file that was read with what it says.
func understood(f *studyfile.File, err error, beside ...studyfile.Beside) (*studyfile.File, *study.Study, error) {
	if err != nil {
		return nil, nil, err
	}
	st, err := f.Study(beside...)
	return f, st, err
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

// verdict sets the exit code by whether the brief is met.
func (a *app) verdict(res *study.Result) {
	if !res.BriefMet {
		a.code = exitNotMet
	}
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
	return names(st), cobra.ShellCompDirectiveNoFileComp
}
