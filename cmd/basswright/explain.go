package main

import (
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"basswright/internal/note"
	"basswright/internal/report"
	"basswright/internal/study"
)

// explanation is the verb explain with its flags.
type explanation struct {
	app       *app
	format    *choice
	out       string
	candidate string
	figure    string
}

func (a *app) explain() *cobra.Command {
	v := &explanation{app: a, format: oneOf("text", "json", "html")}
	cmd := oneStudy(&cobra.Command{
		Use:   "explain STUDY.yaml",
		Short: "The ledger: where each figure of a group comes from",
		Long: `Explain sets each candidate’s group against the single driver, parameter by
parameter: the value of one, the value of the group, and the reason in one plain
sentence with its formula. Then what the box makes of it: the volume that each
driver has as if for itself, the volume in which the group would repeat the
single driver, tuning and total Q, and for a stack how far the air between the
cones is from a rigid link, and what a stack does not give.

With --figure it tells instead where one figure of the comparison comes from: its
formula, the numbers in it, why, and the source. The figures are called as in the
columns of compare --format csv, without the unit; limits as
limit-excursion or limit-load.`,
		Example: `  basswright explain examples/camper-bench.yaml --candidate compound
  basswright explain examples/camper-bench.yaml --figure f3_hz
  basswright explain examples/camper-bench.yaml -o ledger.html`,
		RunE: v.run,
	})
	addChoice(cmd, v.format, "format", "how the ledger is written "+byName)
	addOutput(cmd.Flags(), &v.out)
	a.addCandidate(cmd, &v.candidate, "candidate", "only this candidate")
	cmd.Flags().StringVar(&v.figure, "figure", "", "only where this figure of the comparison comes from, such as f3_hz")
	return cmd
}

func (v *explanation) run(cmd *cobra.Command, args []string) error {
	if err := v.format.settle(cmd, v.out); err != nil {
		return err
	}
	if v.figure != "" && v.format.value == "html" {
		return usagef("--figure is written as text or json; leave out html")
	}
	only := named(v.candidate)
	res, err := v.app.evaluate(cmd.Context(), args[0], only, study.Options{})
	if err != nil {
		return err
	}
	if v.figure != "" {
		return v.origin(res, only)
	}
	return v.app.write(v.out, func(w io.Writer) error {
		switch v.format.value {
		case "json":
			return report.ExplainJSON(w, res, only)
		case "html":
			return report.ExplainHTML(w, res, only, report.HTMLOptions{Version: version})
		}
		return report.ExplainText(w, res, only, v.app.text(v.out))
	})
}

// origin writes where one figure comes from.
func (v *explanation) origin(res *study.Result, only []string) error {
	if have := report.OriginKeys(res); !slices.Contains(have, v.figure) {
		if near := nearestFigure(v.figure, have); near != "" {
			return usagef("no figure of this study is called %q; did you mean %s? It has %s", v.figure, near, strings.Join(have, ", "))
		}
		return usagef("no figure of this study is called %q; it has %s", v.figure, strings.Join(have, ", "))
	}
	return v.app.write(v.out, func(w io.Writer) error {
		if v.format.value == "json" {
			return report.OriginJSON(w, res, only, v.figure)
		}
		return report.OriginText(w, res, only, v.figure, v.app.text(v.out))
	})
}

// nearestFigure is the figure that a name most likely means: one with another unit, as in
// JSON, which has SI, or one that is spelled much alike; "" if there is none.
func nearestFigure(typed string, have []string) string {
	bare := bareFigure(typed)
	if k := slices.IndexFunc(have, func(h string) bool { return bareFigure(h) == bare }); k >= 0 {
		return have[k]
	}
	return note.Nearest(typed, have)
}

// bareFigure is a figure’s name without its unit.
func bareFigure(name string) string {
	for _, unit := range []string{"_m_s", "_hz", "_ohm", "_ms", "_db", "_deg", "_m3", "_kg", "_lb", "_m", "_s", "_w"} {
		if bare, ok := strings.CutSuffix(name, unit); ok {
			return bare
		}
	}
	return name
}
