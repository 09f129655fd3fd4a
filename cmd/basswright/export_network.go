package main

import (
	"io"

	"github.com/spf13/cobra"
)

func (a *app) exportNetwork() *cobra.Command {
	v := &single{app: a}
	return v.command(&cobra.Command{
		Use:   "network STUDY.yaml",
		Short: "The study with the candidate’s enclosure as a network of parts",
		Long: `The whole study with this candidate alone, whose enclosure is worded as a network:
its chambers, ports, ducts, diaphragms and mouths as parts between named places.
It gives the same results. What the study words by a tuning, an alignment or a
total Q stands there as a size, with as many digits as it takes. From there on any
part can be changed, moved or added.`,
		Example: `  basswright export network examples/camper-bench.yaml --candidate tuned -o parts.yaml
  basswright export network examples/camper-bench.yaml --candidate one | basswright compare -`,
		RunE: func(cmd *cobra.Command, args []string) error {
			f, st, err := a.openFile(args[0])
			if err != nil {
				return err
			}
			i, err := oneCandidate(st, v.candidate)
			if err != nil {
				return err
			}
			sys, _, err := st.Build(i)
			if err != nil {
				return err
			}
			out, err := f.AsNetwork(cmd.Context(), st, i, sys)
			if err != nil {
				return err
			}
			return a.write(v.out, func(w io.Writer) error {
				_, err := w.Write(out.Text())
				return err
			})
		},
	})
}
