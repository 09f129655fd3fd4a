package main

import (
	"io"

	"github.com/spf13/cobra"

	"basswright/internal/report"
	"basswright/internal/study"
)

func (a *app) compare() *cobra.Command {
	var (
		curves    span
		format    = oneOf("text", "json", "csv")
		out       string
		page      string
		yardstick string
		noPlot    bool
	)
	cmd := oneStudy(&cobra.Command{
		Use:   "compare STUDY.yaml",
		Short: "Every candidate on the same drive, side by side",
		Long: `Compare computes every candidate of a study on the study's drive and shows them
as columns: drivers, mounting, wiring, load, volumes, tuning, extension (F3, F6,
F10), reference level, peak, group delay, excursion, port air speed, watts. Below
stands what each candidate misses of the brief and the mend, and in words how it
differs from the first (or from --yardstick).

Extension is told against the candidate's own reference level: the power mean
over the octave in which that mean is largest. Port air speed and excursion are
peak values. Limits are held from limits.from up (20 Hz unless the study says).

--report writes one self-contained page for the customer: figures, section
drawings to scale, the table, the ledger and the cautions. It needs no network,
prints on A4 and reads in light and dark.

Exit code 3 says that no candidate meets the brief.`,
		Example: `  basswright compare examples/camper-bench.yaml
  basswright compare examples/camper-bench.yaml --report camper.html
  basswright compare examples/camper-bench.yaml --yardstick tuned --format csv`,
		RunE: func(cmd *cobra.Command, args []string) error {
			opt, err := curves.options()
			if err != nil {
				return err
			}
			st, err := a.open(args[0])
			if err != nil {
				return err
			}
			if yardstick != "" {
				if _, err := st.Find(yardstick); err != nil {
					return usageError{err}
				}
			}
			opt.Yardstick, opt.Time = yardstick, page != ""
			res, err := study.Evaluate(cmd.Context(), st, opt)
			if err != nil {
				return err
			}
			if page != "" {
				if err := a.write(page, func(w io.Writer) error { return report.ReportHTML(w, res, report.HTMLOptions{Version: version}) }); err != nil {
					return err
				}
				if page == "-" {
					return a.verdict(res)
				}
			}
			err = a.write(out, func(w io.Writer) error {
				switch format.value {
				case "json":
					return report.CompareJSON(w, res)
				case "csv":
					return report.CompareCSV(w, res)
				}
				return report.CompareText(w, res, report.TextOptions{Width: a.columns(), Color: a.colour && isStdout(out), Plot: !noPlot})
			})
			if err != nil {
				return err
			}
			return a.verdict(res)
		},
	})
	f := cmd.Flags()
	curves.add(f)
	addChoice(cmd, format, "format", "how the table is written")
	f.StringVarP(&out, "output", "o", "-", "file to write the table to; - is standard output")
	f.StringVar(&page, "report", "", "write the report to this HTML file; - is standard output, then without the table")
	f.StringVar(&yardstick, "yardstick", "", "candidate that the others are told against (default: the first)")
	f.BoolVar(&noPlot, "no-plot", false, "leave out the small plot")
	_ = cmd.RegisterFlagCompletionFunc("yardstick", a.candidateNames)
	return cmd
}

// verdict sets the exit code by whether the brief is met.
func (a *app) verdict(res *study.Result) error {
	if !res.BriefMet {
		a.code = exitNotMet
	}
	return nil
}

// columns is the width for text: the terminal's, within what reads well.
func (a *app) columns() int {
	if a.width == 0 {
		return 100
	}
	return max(80, min(a.width, 140))
}

func isStdout(name string) bool { return name == "" || name == "-" }
