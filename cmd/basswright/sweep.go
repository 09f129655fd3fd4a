package main

import (
	"io"
	"slices"

	"github.com/spf13/cobra"

	"basswright/internal/export"
)

// sweeping is the verb sweep with its flags.
type sweeping struct {
	single
	curves span
	at     frequencies
	format *choice
}

func (a *app) sweep() *cobra.Command {
	v := &sweeping{single: single{app: a}, format: oneOf("csv", "json")}
	cmd := v.command(&cobra.Command{
		Use:   "sweep STUDY.yaml",
		Short: "The curves of one candidate, for programs",
		Long: `Sweep writes the curves of one candidate: level, phase, group delay, impedance,
excursion and port air speed, then each driver’s and radiator’s excursion and
each opening’s air speed by name. One header row; units are in the names; air
speed is rms here, excursion peak. What does not exist is an empty cell (null in
JSON). Phases lie in (−180, 180]; the pressure’s phase includes the flight over
the listening distance, its group delay does not.`,
		Example: `  basswright sweep examples/camper-bench.yaml --candidate tuned --from 10Hz --to 400Hz --points 200
  basswright sweep examples/camper-bench.yaml --candidate one --at 20Hz,31.5Hz --format json`,
		RunE: v.run,
	})
	v.curves.add(cmd.Flags())
	cmd.Flags().Var(&v.at, "at", "these frequencies instead of a range")
	addChoice(cmd, v.format, "format", "how the curves are written "+byName)
	return cmd
}

func (v *sweeping) run(cmd *cobra.Command, args []string) error {
	if err := v.format.settle(cmd, v.out); err != nil {
		return err
	}
	at, err := v.frequencies(cmd)
	if err != nil {
		return err
	}
	b, c, err := v.single.curves(cmd.Context(), args[0], at)
	if err != nil {
		return err
	}
	return v.app.write(v.out, func(w io.Writer) error {
		if v.format.value == "json" {
			return export.SweepJSON(w, b.Name, c, b.study.GreatestOf(b.sys, at))
		}
		return export.SweepCSV(w, c)
	})
}

// frequencies lists those of --at, or else those of the range.
func (v *sweeping) frequencies(cmd *cobra.Command) ([]float64, error) {
	if len(v.at) == 0 {
		return v.curves.frequencies()
	}
	if idle := given(cmd, spanFlags...); idle != "" {
		return nil, usagef("--at names the frequencies, and a range would be ignored; leave out %s", idle)
	}
	return slices.Sorted(slices.Values(v.at)), nil
}
