package main

import (
	"io"

	"github.com/spf13/cobra"

	"basswright/internal/report"
	"basswright/internal/study"
)

func (a *app) check() *cobra.Command {
	format := oneOf("text", "json")
	cmd := oneStudy(&cobra.Command{
		Use:   "check STUDY.yaml",
		Short: "Is the study sound: contradictions, limits, fit",
		Long: `Check reads a study and says what is doubtful in it: values of a datasheet that
contradict each other (with the equation and both values), polarity that makes
cones work against each other, ports that hardly are ports any more, limits that
a candidate passes, boxes that do not fit the space, and every default that was
applied. It changes nothing.

Exit code 2 says that the file cannot be used as it is; 3 that it can, and that
no candidate meets the brief.`,
		Example: `  basswright check examples/camper-bench.yaml`,
		RunE: func(cmd *cobra.Command, args []string) error {
			res, err := a.evaluate(cmd.Context(), args[0], nil, study.Options{})
			if err != nil {
				return err
			}
			err = a.write("-", func(w io.Writer) error {
				if format.value == "json" {
					return report.CheckJSON(w, res)
				}
				return report.CheckText(w, res, a.text("-"))
			})
			if err != nil {
				return err
			}
			return a.verdict(res)
		},
	})
	addChoice(cmd, format, "format", "how the findings are written")
	return cmd
}
