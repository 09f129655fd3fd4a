package main

import (
	"context"
	"strings"

	"github.com/spf13/cobra"

	"basswright/internal/enclosure"
	"basswright/internal/study"
)

// single is what the verbs about one candidate have in common.
type single struct {
	app            *app
	out, candidate string
}

// command gives a verb its study and its flags.
func (s *single) command(cmd *cobra.Command) *cobra.Command {
	addOutput(oneStudy(cmd).Flags(), &s.out)
	s.app.addCandidate(cmd, &s.candidate, "candidate", "the candidate (may be left out if there is only one)")
	return cmd
}

// built is a candidate of a study with its network.
type built struct {
	study *study.Study
	*study.Candidate
	sys *enclosure.System
}

func (b *built) title() string { return b.study.Name + ": " + b.Name }

// fault is an error that is the candidate's own.
func (b *built) fault(err error) error {
	return &study.CandidateError{Candidate: b.Candidate, Err: err}
}

// build makes the network of the candidate named on the command line.
func (s *single) build(file string) (*built, error) {
	st, err := s.app.open(file)
	if err != nil {
		return nil, err
	}
	i, err := oneCandidate(st, s.candidate)
	if err != nil {
		return nil, err
	}
	sys, _, err := st.Build(i)
	if err != nil {
		return nil, err
	}
	return &built{st, &st.Candidates[i], sys}, nil
}

// curves computes the candidate's curves at some frequencies.
func (s *single) curves(ctx context.Context, file string, at []float64) (*built, *study.Curves, error) {
	b, err := s.build(file)
	if err != nil {
		return nil, nil, err
	}
	c, err := b.study.CurvesAt(ctx, b.sys, at, 0)
	if err != nil {
		return nil, nil, b.fault(err)
	}
	return b, c, nil
}

// oneCandidate finds the candidate that a verb is about.
func oneCandidate(st *study.Study, name string) (int, error) {
	if name == "" && len(st.Candidates) == 1 {
		return 0, nil
	}
	if name == "" {
		return 0, usagef("say which candidate, such as --candidate %s; the study has %s", st.Candidates[0].Name, strings.Join(names(st), ", "))
	}
	i, err := st.Find(name)
	if err != nil {
		return 0, usageError{err}
	}
	return i, nil
}

// names are those of a study's candidates.
func names(st *study.Study) []string {
	var out []string
	for i := range st.Candidates {
		out = append(out, st.Candidates[i].Name)
	}
	return out
}

// named is the list of a name that may have been left out.
func named(name string) []string {
	if name == "" {
		return nil
	}
	return []string{name}
}
