package main

import (
	"io"

	"github.com/spf13/cobra"

	"basswright/internal/report"
	"basswright/internal/study"
)

// soundness is the verb check with its flags.
type soundness struct {
	app    *app
	format *choice
	out    string
}

func (a *app) check() *cobra.Command {
	v := &soundness{app: a, format: oneOf("text", "json")}
	cmd := oneStudy(&cobra.Command{
		Use:   "check STUDY.yaml",
		Short: "Is the study sound: contradictions, limits, fit",
		Long: `Check reads a study and says what is doubtful in it: values of a datasheet that
contradict each other (with the equation and both values), polarity that makes
cones work against each other, ports that hardly are ports any more, limits that
a candidate goes beyond, boxes that do not fit the space, and every default that was
applied. It changes nothing.

Exit code 2 says that the file cannot be used as it is; 3 that it can, and that
no candidate meets the brief.`,
		Example: `  basswright check examples/camper-bench.yaml`,
		RunE:    v.run,
	})
	addChoice(cmd, v.format, "format", "how the findings are written "+byName)
	addOutput(cmd.Flags(), &v.out)
	return cmd
}

func (v *soundness) run(cmd *cobra.Command, args []string) error {
	if err := v.format.settle(cmd, v.out); err != nil {
		return err
	}
	res, err := v.app.evaluate(cmd.Context(), args[0], nil, study.Options{})
	if err != nil {
		return err
	}
	err = v.app.write(v.out, func(w io.Writer) error {
		if v.format.value == "json" {
			return report.CheckJSON(w, res)
		}
		return report.CheckText(w, res, v.app.text(v.out))
	})
	if err != nil {
		return err
	}
	v.app.verdict(res)
	return nil
}
