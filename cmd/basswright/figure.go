package main

import (
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"basswright/internal/report"
	"basswright/internal/study"
)

func (a *app) figure() *cobra.Command {
	var (
		curves span
		show   = oneOf(report.FigureNames()...)
		size   = oneOf("page", "slide")
		theme  = oneOf("page", "slide", "overlay")
		format = oneOf("svg", "png", "pdf")
		out    string
		only   []string
	)
	cmd := oneStudy(&cobra.Command{
		Use:   "figure STUDY.yaml",
		Short: "One picture, fit to print or to project",
		Long: `Figure draws one picture of all candidates (or of --only some): the curves named
by --show on a frequency axis with the preferred third-octave frequencies of
ISO 266, each curve named at its end; or their sections to scale.

--theme page is dark on white, slide light on dark, overlay has no ground, for
laying over a film. --size page is 160 mm wide, slide 1600 × 900 pixels. In a
level figure 50 dB are as tall as one decade is wide (IEC 60263), so that slopes
look alike in every figure.`,
		Example: `  basswright figure examples/camper-bench.yaml --show level -o level.svg
  basswright figure examples/camper-bench.yaml --show excursion --size slide --theme slide -o excursion.png
  basswright figure examples/camper-bench.yaml --show section --only one,compound -o sections.pdf`,
		RunE: func(cmd *cobra.Command, args []string) error {
			opt, err := curves.options()
			if err != nil {
				return err
			}
			if ext := strings.TrimPrefix(filepath.Ext(out), "."); ext != "" && !cmd.Flags().Changed("format") {
				if err := format.Set(strings.ToLower(ext)); err != nil {
					return usagef("the file %s: %v", out, err)
				}
			}
			if size.value == "slide" && !cmd.Flags().Changed("theme") {
				theme.value = "slide"
			}
			st, err := a.open(args[0])
			if err != nil {
				return err
			}
			for _, n := range only {
				if _, err := st.Find(n); err != nil {
					return usageError{err}
				}
			}
			opt.Time = true
			res, err := study.Evaluate(cmd.Context(), st, opt)
			if err != nil {
				return err
			}
			fig, err := report.NewFigure(res, show.value, report.FigureOptions{Only: only, Size: size.value, Theme: theme.value})
			if err != nil {
				return usageError{err}
			}
			return a.write(out, func(w io.Writer) error { return fig.Write(w, format.value) })
		},
	})
	f := cmd.Flags()
	curves.add(f)
	addChoice(cmd, show, "show", "what is drawn")
	addChoice(cmd, size, "size", "for a page or a slide")
	addChoice(cmd, theme, "theme", "colours")
	addChoice(cmd, format, "format", "file format (default: by the file's name)")
	f.StringVarP(&out, "output", "o", "-", "file to write to; - is standard output")
	f.StringSliceVar(&only, "only", nil, "only these candidates, in this order")
	_ = cmd.RegisterFlagCompletionFunc("only", a.candidateNames)
	return cmd
}
