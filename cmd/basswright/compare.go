package main

import (
	"io"
	"slices"

	"github.com/spf13/cobra"

	"basswright/internal/report"
	"basswright/internal/study"
)

// comparison is the verb compare with its flags.
type comparison struct {
	app       *app
	curves    span
	format    *choice
	out       string
	page      string
	yardstick string
	noPlot    bool

	distortion bool
}

func (a *app) compare() *cobra.Command {
	v := &comparison{app: a, format: oneOf("text", "json", "csv")}
	cmd := oneStudy(&cobra.Command{
		Use:   "compare STUDY.yaml",
		Short: "Every candidate on the same drive, side by side",
		Long: `Compare computes every candidate of a study on the study’s drive and shows them
as columns: drivers, mounting, wiring, load, volumes, tuning, extension (F3, F6,
F10), reference level, peak, group delay, excursion, port air speed, watts. Below
stands what each candidate misses of the brief and the mend, and in words how it
differs from the first (or from --yardstick).

Extension is told against the candidate’s own reference level: the power mean
over the octave in which that mean is largest. Port air speed and excursion are
peak values. Limits are held from limits.from up (20 Hz unless the study says).

--report writes one self-contained page for the customer: figures, section
drawings to scale, the table, the ledger and the cautions; with an amplifier or
thermal data also what the heat of the coils costs. It needs no network, prints on
A4 and reads in light and dark.

Exit code 3 says that no candidate meets the brief.`,
		Example: `  basswright compare examples/camper-bench.yaml
  basswright compare examples/camper-bench.yaml --report camper.html
  basswright compare examples/camper-bench.yaml --yardstick tuned --format json -o camper.json`,
		RunE: v.run,
	})
	f := cmd.Flags()
	v.curves.add(f)
	addChoice(cmd, v.format, "format", "how the table is written "+byName)
	addOutput(f, &v.out)
	f.Var(word{&v.page, "FILE"}, "report", "write the report to this HTML file; - is standard output, then the table only goes to a file")
	f.BoolVar(&v.distortion, "distortion", false, "with --report: the figures of distortion too, which take longer")
	a.addCandidate(cmd, &v.yardstick, "yardstick", "candidate that the others are told against (default: the first)")
	f.BoolVar(&v.noPlot, "no-plot", false, "leave out the small plot of the text")
	return cmd
}

func (v *comparison) run(cmd *cobra.Command, args []string) error {
	if err := v.sound(cmd); err != nil {
		return err
	}
	opt, err := v.curves.options()
	if err != nil {
		return err
	}
	opt.Yardstick, opt.Time = v.yardstick, v.page != ""
	res, err := v.app.evaluate(cmd.Context(), args[0], named(v.yardstick), opt)
	if err != nil {
		return err
	}
	var curves []*study.DistortionCurve
	if v.distortion {
		every, err := chosenOf(res.Study, nil)
		if err != nil {
			return err
		}
		if curves, err = res.Study.DistortionOfEach(cmd.Context(), every, study.Frequencies(study.DistortionFrom, study.DistortionTo, study.DistortionPlaces/2), 0); err != nil {
			return err
		}
	}
	var heat []*study.Compression
	if v.page != "" {
		if heat, err = res.Study.CompressEach(cmd.Context(), study.CompressionOptions{}); err != nil {
			return err
		}
	}
	if err := v.write(res, report.HTMLOptions{Version: version, Distortion: curves, Compression: heat}); err != nil {
		return err
	}
	v.app.verdict(res)
	return nil
}

// write writes the report and the table, as far as each is wanted.
func (v *comparison) write(res *study.Result, o report.HTMLOptions) error {
	if v.page != "" {
		err := v.app.write(v.page, func(w io.Writer) error {
			return report.ReportHTML(w, res, o)
		})
		if err != nil {
			return err
		}
	}
	if v.pageAlone() {
		return nil
	}
	return v.app.write(v.out, func(w io.Writer) error { return v.table(w, res) })
}

// otherFormats are the ends of names that promise something else than a page.
var otherFormats = []string{"csv", "json", "pdf", "png", "svg", "yaml", "yml"}

// pageAlone says whether the report takes the place of the table.
func (v *comparison) pageAlone() bool { return v.page == "-" && isStdout(v.out) }

// sound refuses flags that would be ignored or write over each other.
func (v *comparison) sound(cmd *cobra.Command) error {
	if v.distortion && v.page == "" {
		return usagef("--distortion adds figures to the report; add --report FILE, or draw one with figure --show distortion")
	}
	if ext := extension(v.page); slices.Contains(otherFormats, ext) {
		return usagef("the report is a page, and %s would not be read as one; name it .html", v.page)
	}
	if v.pageAlone() {
		if idle := given(cmd, "output", "format", "no-plot"); idle != "" {
			return usagef("--report - writes the report in place of the table; leave out %s, or write the table to a file with -o", idle)
		}
		return nil
	}
	if v.page != "" && sameFile(v.page, v.out) {
		return usagef("the table and the report would both be written to %s; name two files", v.page)
	}
	if err := v.format.settle(cmd, v.out); err != nil {
		return err
	}
	if v.format.value != "text" && v.noPlot {
		return usagef("the table as %s has no plot; leave out --no-plot", v.format.value)
	}
	if v.format.value == "csv" && v.page == "" {
		if idle := given(cmd, append([]string{"yardstick"}, spanFlags...)...); idle != "" {
			return usagef("the table as csv has no curves and tells no candidate against another; leave out %s, or write it as json", idle)
		}
	}
	return nil
}

func (v *comparison) table(w io.Writer, res *study.Result) error {
	switch v.format.value {
	case "json":
		return report.CompareJSON(w, res)
	case "csv":
		return report.CompareCSV(w, res)
	}
	opt := v.app.text(v.out)
	opt.Plot = !v.noPlot
	return report.CompareText(w, res, opt)
}
