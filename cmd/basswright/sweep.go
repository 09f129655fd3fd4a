package main

import (
	"io"
	"sort"

	"github.com/spf13/cobra"

	"basswright/internal/export"
	"basswright/internal/study"
)

func (a *app) sweep() *cobra.Command {
	var (
		curves    span
		at        frequencies
		format    = oneOf("csv", "json")
		out       string
		candidate string
	)
	cmd := oneStudy(&cobra.Command{
		Use:   "sweep STUDY.yaml",
		Short: "The curves of one candidate, for programs",
		Long: `Sweep writes the curves of one candidate: level, phase, group delay, impedance,
excursion and port air speed, then each driver's and radiator's excursion and
each opening's air speed by name. One header row; units are in the names; air
speed is rms here, excursion peak. What does not exist is an empty cell (null in
JSON). Phases lie in (−180, 180]; the pressure's phase includes the flight over
the listening distance, its group delay does not.`,
		Example: `  basswright sweep examples/camper-bench.yaml --candidate tuned --from 10Hz --to 400Hz --points 200
  basswright sweep examples/camper-bench.yaml --candidate one --at 20Hz,31.5Hz --format json`,
		RunE: func(cmd *cobra.Command, args []string) error {
			opt, err := curves.options()
			if err != nil {
				return err
			}
			st, err := a.open(args[0])
			if err != nil {
				return err
			}
			i, err := oneCandidate(st, candidate)
			if err != nil {
				return err
			}
			sys, _, err := st.Build(i)
			if err != nil {
				return err
			}
			f := study.Frequencies(opt.From, opt.To, opt.Points)
			if len(at) > 0 {
				f = append([]float64(nil), at...)
				sort.Float64s(f)
			}
			c, err := st.CurvesAt(cmd.Context(), sys, f, 0)
			if err != nil {
				return err
			}
			return a.write(out, func(w io.Writer) error {
				if format.value == "json" {
					return export.SweepJSON(w, st.Candidates[i].Name, c)
				}
				return export.SweepCSV(w, c)
			})
		},
	})
	fl := cmd.Flags()
	curves.add(fl)
	fl.Var(&at, "at", "these frequencies instead of a range")
	addChoice(cmd, format, "format", "how the curves are written")
	fl.StringVarP(&out, "output", "o", "-", "file to write to; - is standard output")
	fl.StringVar(&candidate, "candidate", "", "the candidate (may be left out if there is only one)")
	_ = cmd.RegisterFlagCompletionFunc("candidate", a.candidateNames)
	return cmd
}

// oneCandidate finds the candidate that a verb is about.
func oneCandidate(st *study.Study, name string) (int, error) {
	if name == "" {
		if len(st.Candidates) == 1 {
			return 0, nil
		}
		name0 := ""
		if len(st.Candidates) > 0 {
			name0 = st.Candidates[0].Name
		}
		return 0, usagef("say which candidate, such as --candidate %s", name0)
	}
	i, err := st.Find(name)
	if err != nil {
		return 0, usageError{err}
	}
	return i, nil
}
