package main

import (
	"bufio"
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

// write sends what fn writes to a file, whole or not at all, or to standard
// output if name is "-" or empty.
func (a *app) write(name string, fn func(io.Writer) error) (err error) {
	if name == "" || name == "-" {
		w := bufio.NewWriterSize(a.out, 1<<16)
		if err := fn(w); err != nil {
			return err
		}
		return w.Flush()
	}
	f, err := os.CreateTemp(filepath.Dir(name), ".basswright-*")
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			f.Close()
			os.Remove(f.Name())
		}
	}()
	w := bufio.NewWriterSize(f, 1<<16)
	if err := fn(w); err != nil {
		return err
	}
	if err := w.Flush(); err != nil {
		return err
	}
	if err := f.Chmod(0o644); err != nil {
		return err
	}
	if err := f.Close(); err != nil {
		return err
	}
	return os.Rename(f.Name(), name)
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
