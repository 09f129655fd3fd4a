package main

import (
	"io"

	"github.com/spf13/cobra"

	"basswright/internal/report"
	"basswright/internal/study"
)

func (a *app) explain() *cobra.Command {
	var (
		format    = oneOf("text", "json", "html")
		out       string
		candidate string
	)
	cmd := oneStudy(&cobra.Command{
		Use:   "explain STUDY.yaml",
		Short: "The ledger: where each figure of a group comes from",
		Long: `Explain sets each candidate's group against the single driver, parameter by
parameter: the value of one, the value of the group, and the reason in one plain
sentence with its formula. Then what the box makes of it: the volume that each
driver has as if for itself, the volume in which the group would repeat the
single driver, tuning and total Q, and for a stack how far the air between the
cones is from a rigid link, and what a stack does not give.`,
		Example: `  basswright explain examples/camper-bench.yaml --candidate compound
  basswright explain examples/camper-bench.yaml --format html -o ledger.html`,
		RunE: func(cmd *cobra.Command, args []string) error {
			st, err := a.open(args[0])
			if err != nil {
				return err
			}
			var names []string
			if candidate != "" {
				if _, err := st.Find(candidate); err != nil {
					return usageError{err}
				}
				names = []string{candidate}
			}
			res, err := study.Evaluate(cmd.Context(), st, study.Options{})
			if err != nil {
				return err
			}
			return a.write(out, func(w io.Writer) error {
				switch format.value {
				case "json":
					return report.ExplainJSON(w, res, names)
				case "html":
					return report.ExplainHTML(w, res, names, report.HTMLOptions{Version: version})
				}
				return report.ExplainText(w, res, names, report.TextOptions{Width: a.columns(), Color: a.colour && isStdout(out)})
			})
		},
	})
	f := cmd.Flags()
	addChoice(cmd, format, "format", "how the ledger is written")
	f.StringVarP(&out, "output", "o", "-", "file to write to; - is standard output")
	f.StringVar(&candidate, "candidate", "", "only this candidate")
	_ = cmd.RegisterFlagCompletionFunc("candidate", a.candidateNames)
	return cmd
}
