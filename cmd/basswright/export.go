package main

import (
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"basswright/internal/export"
	"basswright/internal/study"
)

func (a *app) export() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "export",
		Short: "A candidate as a SPICE netlist, Touchstone, CSV or WAV",
		Long: `Export writes one candidate in a form that other programs read: its whole network
as a SPICE netlist that runs unchanged and gives the same answer, its impedance
as Touchstone, its curves as CSV, its impulse response as WAV.`,
		Args: unknown("format"),
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.AddCommand(a.exportSPICE(), a.exportTouchstone(), a.exportCSV(), a.exportWAV())
	return cmd
}

func (a *app) exportSPICE() *cobra.Command {
	e := single{app: a}
	var curves span
	cmd := e.command(&cobra.Command{
		Use:   "spice STUDY.yaml",
		Short: "The network as a SPICE netlist",
		Long: `The netlist holds every element of the candidate's network: voltages are volts,
velocities and pressures, currents are amperes, forces and volume velocities, as
its comments say. It runs unchanged: ngspice -b FILE prints level, impedance and
excursion. Creep and the power law of a voice coil are written as ladders whose
error stands in the file; what no causal circuit can express is refused.`,
		Example: `  basswright export spice examples/camper-bench.yaml --candidate compound -o compound.cir`,
		RunE: func(_ *cobra.Command, args []string) error {
			opt, err := curves.options()
			if err != nil {
				return err
			}
			b, err := e.build(args[0])
			if err != nil {
				return err
			}
			return a.write(e.out, func(w io.Writer) error {
				rep, err := export.SPICE(w, b.sys, export.SPICEOptions{Title: b.title(), From: opt.From, To: opt.To, Points: opt.Points})
				for _, l := range rep.Ladders {
					fmt.Fprintln(a.err, l.String())
				}
				return err
			})
		},
	})
	curves.add(cmd.Flags())
	return cmd
}

func (a *app) exportTouchstone() *cobra.Command {
	e := single{app: a}
	var curves span
	cmd := e.command(&cobra.Command{
		Use:     "touchstone STUDY.yaml",
		Short:   "The impedance as Touchstone",
		Long:    `The impedance at the group's terminals as a one-port Touchstone 1.1 file of Z in real and imaginary parts, in ohms.`,
		Example: `  basswright export touchstone examples/camper-bench.yaml --candidate one -o one.z1p`,
		RunE: func(cmd *cobra.Command, args []string) error {
			at, err := curves.frequencies()
			if err != nil {
				return err
			}
			b, c, err := e.curves(cmd.Context(), args[0], at)
			if err != nil {
				return err
			}
			return a.write(e.out, func(w io.Writer) error { return export.Touchstone(w, b.title(), c) })
		},
	})
	curves.add(cmd.Flags())
	return cmd
}

func (a *app) exportCSV() *cobra.Command {
	e := single{app: a}
	var curves span
	cmd := e.command(&cobra.Command{
		Use:     "csv STUDY.yaml",
		Short:   "The curves as CSV",
		Long:    `The same columns as basswright sweep writes.`,
		Example: `  basswright export csv examples/camper-bench.yaml --candidate one -o one.csv`,
		RunE: func(cmd *cobra.Command, args []string) error {
			at, err := curves.frequencies()
			if err != nil {
				return err
			}
			_, c, err := e.curves(cmd.Context(), args[0], at)
			if err != nil {
				return err
			}
			return a.write(e.out, func(w io.Writer) error { return export.SweepCSV(w, c) })
		},
	})
	curves.add(cmd.Flags())
	return cmd
}

func (a *app) exportWAV() *cobra.Command {
	e := single{app: a}
	seconds := 1.0
	cmd := e.command(&cobra.Command{
		Use:   "wav STUDY.yaml",
		Short: "The impulse response as WAV",
		Long: `The pressure at the listening distance after an impulse, sampled at 48 kHz in
32-bit floating point, without the flight, scaled so that its largest value is 1
(the factor is told). It is faded out without phase from 5 kHz to 10 kHz, which
spreads it to both sides: the impulse itself is 10 ms into the file.`,
		Example: `  basswright export wav examples/camper-bench.yaml --candidate one -o one.wav`,
		RunE: func(cmd *cobra.Command, args []string) error {
			if !(seconds >= 0.01 && seconds <= 5) {
				return usagef("--seconds takes 0.01 to 5")
			}
			b, err := e.build(args[0])
			if err != nil {
				return err
			}
			const rate, band, lead = 48000, 5000, 10e-3
			_, impulse, err := study.Transients(cmd.Context(), b.sys, rate, band, lead, seconds)
			if err != nil {
				return err
			}
			return a.write(e.out, func(w io.Writer) error {
				peak, err := export.WAV(w, impulse)
				var silence *export.SilenceError
				switch {
				case errors.As(err, &silence):
					return &study.CandidateError{Candidate: b.Candidate, Err: study.Silence(b.sys)}
				case err != nil:
					return err
				}
				fmt.Fprintf(a.err, "1.0 in the file is %.6g Pa/s per volt; the impulse is at sample %d\n", peak, int(lead*rate))
				return nil
			})
		},
	})
	cmd.Flags().Float64Var(&seconds, "seconds", seconds, "length in seconds")
	return cmd
}
