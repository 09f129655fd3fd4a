package main

import (
	"github.com/spf13/cobra"

	"basswright/internal/report"
	"basswright/internal/study"
)

// The figures that are worked out when they are asked for alone.
const (
	showDistortion = "distortion"
	showHeat       = "heat"

	showCompression = "compression"
)

// onDemand are the flags that those figures have of their own.
type onDemand struct {
	candidate     string
	volts         voltages
	on, off, span lasting
}

func (v *onDemand) add(a *app, cmd *cobra.Command) {
	v.span = 3600
	f := cmd.Flags()
	a.addCandidate(cmd, &v.candidate, "candidate", "of distortion, heat and compression: this candidate; distortion of one is drawn harmonic by harmonic")
	f.Var(&v.volts, "voltage", "of distortion and heat: rms before the study’s filters (default: the study’s drive); of compression: the most (default: the amplifier’s greatest)")
	f.Var(&v.on, "on", "of heat: play so long, then rest")
	f.Var(&v.off, "off", "of heat: rest so long, then play again")
	f.Var(&v.span, "for", "of heat: follow it so long")
}

// settle refuses what one of these figures, or any other, would ignore.
func (v *onDemand) settle(cmd *cobra.Command, show string, only list) error {
	heat, distortion := show == showHeat, show == showDistortion || show == showCompression
	switch {
	case !heat && !distortion:
		if idle := given(cmd, "candidate", "voltage"); idle != "" {
			return usagef("--show %s shows all candidates on the study’s drive; leave out %s, or choose some with --only", show, idle)
		}
	case given(cmd, "against") != "":
		return usagef("there are no differences of %s; leave out --against, and ask for two candidates", show)
	case v.candidate != "" && len(only) > 0:
		return usagef("--candidate and --only contradict each other; leave out one of them")
	case len(v.volts) > 1:
		return usagef("a figure shows one drive, and --voltage names %d; give one", len(v.volts))
	case heat && len(only) > 1:
		return usagef("heat is drawn of one candidate; name it with --candidate")
	}
	if idle := given(cmd, "on", "off", "for"); idle != "" && !heat {
		return usagef("--show %s does not run on; leave out %s", show, idle)
	}
	if (v.on > 0) != (v.off > 0) {
		return usagef("a rest needs both: how long it plays and how long it rests; give --on and --off, such as --on 20s --off 40s")
	}
	return nil
}

// voltage is the drive asked for, 0 for the study’s.
func (v *onDemand) voltage() float64 {
	if len(v.volts) == 0 {
		return 0
	}
	return v.volts[0]
}

// large draws one of the figures that need no comparison.
func (v *picture) large(cmd *cobra.Command, file string) (*report.Figure, error) {
	st, err := v.app.open(file)
	if err != nil {
		return nil, err
	}
	only := v.only
	if v.own.candidate != "" {
		only = list{v.own.candidate}
	}
	some, err := chosenOf(st, only)
	if err != nil {
		return nil, err
	}
	opt := report.FigureOptions{Size: v.size.value, Theme: v.theme.value}
	switch v.show.value {
	case showDistortion:
		return v.distortion(cmd, st, some, opt)
	case showCompression:
		return v.compression(cmd, st, some, opt)
	}
	if len(some) > 1 {
		if some[0], err = oneCandidate(st, ""); err != nil {
			return nil, err
		}
	}
	o := study.HeatOptions{Volts: v.own.voltage(), On: float64(v.own.on), Off: float64(v.own.off), For: float64(v.own.span), Fine: true}
	h, err := st.Heat(cmd.Context(), some[0], o)
	if err != nil {
		return nil, err
	}
	fig, err := report.HeatFigure(st, &st.Candidates[some[0]], h, o, opt)
	if err != nil {
		return nil, usageError{err}
	}
	return fig, nil
}

func (v *picture) distortion(cmd *cobra.Command, st *study.Study, some []int, o report.FigureOptions) (*report.Figure, error) {
	span := v.curves
	for _, f := range []struct {
		flag string
		set  func()
	}{
		{"from", func() { span.from = study.DistortionFrom }},
		{"to", func() { span.to = study.DistortionTo }},
		{"points", func() { span.points = study.DistortionPlaces }},
	} {
		if !cmd.Flags().Changed(f.flag) {
			f.set()
		}
	}
	at, err := span.frequencies()
	if err != nil {
		return nil, err
	}
	curves, err := st.DistortionOfEach(cmd.Context(), some, at, v.own.voltage())
	if err != nil {
		return nil, err
	}
	fig, err := report.DistortionFigure(st, curves, o)
	if err != nil {
		return nil, usageError{err}
	}
	return fig, nil
}

// compressionStep is the distance of two drives in the figure, dB.
const compressionStep = 1.5

func (v *picture) compression(cmd *cobra.Command, st *study.Study, some []int, o report.FigureOptions) (*report.Figure, error) {
	opt := study.CompressionOptions{Most: v.own.voltage(), Step: compressionStep}
	if len(some) == 1 {
		opt.After = report.CompressionTimes()
	}
	var list []*study.Compression
	for _, i := range some {
		c, err := st.Compress(cmd.Context(), i, opt)
		if err != nil {
			return nil, err
		}
		list = append(list, c)
	}
	return report.CompressionFigure(st, list, o)
}

// chosenOf are the candidates named, in this order; without names all.
func chosenOf(st *study.Study, names []string) ([]int, error) {
	out, err := st.Chosen(names)
	if err != nil {
		return nil, usageError{err}
	}
	return out, nil
}
