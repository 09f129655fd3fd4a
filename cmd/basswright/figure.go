package main

import (
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"basswright/internal/report"
)

// picture is the verb figure with its flags.
type picture struct {
	app    *app
	curves span
	show   *choice
	size   *choice
	theme  *choice
	format *choice
	out    string
	only   list

	against string
	own     onDemand
}

// withoutFrequencies are the figures on no frequency axis.
var withoutFrequencies = []string{"step", "impulse", "section", "schematic", showHeat, showCompression}

func (a *app) figure() *cobra.Command {
	v := &picture{
		app:    a,
		show:   oneOf(append(report.FigureNames(), showDistortion, showHeat, showCompression)...),
		size:   oneOf("page", "slide"),
		theme:  oneOf("page", "slide", "overlay"),
		format: oneOf("svg", "png", "pdf"),
	}
	cmd := oneStudy(&cobra.Command{
		Use:   "figure STUDY.yaml",
		Short: "One picture, fit to print or to project",
		Long: `Figure draws one picture of all candidates (or of --only some): the curves named
by --show on a frequency axis with the preferred third-octave frequencies of
ISO 266, each curve named at its end; or their sections to scale, or the network
of each as a schematic.

--theme page is dark on white, slide light on dark, overlay has no ground, for
laying over a film. --size page is 160 mm wide, slide 1600 × 900 pixels, in the
slide theme unless --theme says otherwise. In a level figure 50 dB are as tall as
one decade is wide (IEC 60263), so that slopes look alike in every figure.

--show distortion draws the harmonics of one --candidate, or of several the whole
of them (THD), in dB against the fundamental, from 10 Hz to 200 Hz unless --from
and --to say otherwise. --show heat draws coil and magnet of one --candidate under
noise against time, and below by how much the level falls. --show compression draws
that loss against the drive: of one --candidate after several times, of several in
the end.`,
		Example: `  basswright figure examples/camper-bench.yaml --show level -o level.svg
  basswright figure examples/camper-bench.yaml --show excursion --size slide -o excursion.png
  basswright figure examples/camper-bench.yaml --show level --against one -o differences.svg
  basswright figure examples/camper-bench.yaml --show section --only one,compound -o sections.pdf
  basswright figure examples/camper-bench.yaml --show schematic --only band -o parts.svg
  basswright figure examples/hayloft.yaml --show distortion --candidate mirrored -o harmonics.svg
  basswright figure examples/camper-bench.yaml --show heat --candidate one --voltage 20V -o heat.svg`,
		RunE: v.run,
	})
	f := cmd.Flags()
	v.curves.add(f)
	addChoice(cmd, v.show, "show", "what is drawn")
	addChoice(cmd, v.size, "size", "for a page or a slide")
	addChoice(cmd, v.theme, "theme", "colours")
	addChoice(cmd, v.format, "format", "file format "+byName)
	addOutput(f, &v.out)
	f.Var(&v.only, "only", "only these candidates, in this order")
	complete(cmd, "only", a.candidateNames)
	a.addCandidate(cmd, &v.against, "against", "draw the differences from this candidate instead of values")
	v.own.add(a, cmd)
	return cmd
}

func (v *picture) run(cmd *cobra.Command, args []string) error {
	if err := v.settle(cmd); err != nil {
		return err
	}
	if v.show.value == showDistortion || v.show.value == showHeat || v.show.value == showCompression {
		fig, err := v.large(cmd, args[0])
		if err != nil {
			return err
		}
		return v.save(fig)
	}
	opt, err := v.curves.options()
	if err != nil {
		return err
	}
	opt.Time = true
	some := v.only
	if v.against != "" && len(some) > 0 && !slices.Contains(some, v.against) {
		some = append(slices.Clone(some), v.against)
	}
	res, err := v.app.evaluate(cmd.Context(), args[0], some, opt)
	if err != nil {
		return err
	}
	fig, err := report.NewFigure(res, v.show.value, report.FigureOptions{Only: v.only, Size: v.size.value, Theme: v.theme.value, Against: v.against})
	if err != nil {
		return usageError{err}
	}
	return v.save(fig)
}

func (v *picture) save(fig *report.Figure) error {
	return v.app.write(v.out, func(w io.Writer) error {
		// Nothing is written to a file here: what fails is what was asked for,
		// such as a range too narrow to draw.
		if err := fig.Write(w, v.format.value); err != nil {
			return usageError{err}
		}
		return nil
	})
}

// settle fills in the flags that follow from others and refuses those that
// would be ignored.
func (v *picture) settle(cmd *cobra.Command) error {
	if slices.Contains(withoutFrequencies, v.show.value) {
		if idle := given(cmd, spanFlags...); idle != "" {
			return usagef("--show %s has no frequency axis, and a range would be ignored; leave out %s", v.show.value, idle)
		}
	}
	if err := v.own.settle(cmd, v.show.value, v.only); err != nil {
		return err
	}
	if v.size.value == "slide" && !cmd.Flags().Changed("theme") {
		v.theme.value = "slide"
	}
	if ext := extension(v.out); ext != "" && !cmd.Flags().Changed("format") && !slices.Contains(v.format.words, ext) {
		return usagef("a picture is not written as %s; end the name %s in one of %s, or add --format", ext, v.out, strings.Join(v.format.words, ", "))
	}
	return v.format.settle(cmd, v.out)
}
