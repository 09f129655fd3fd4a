package main

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"basswright/internal/export"
)

// netlisting is the verb export spice with its flags.
type netlisting struct {
	ranged
	large bool
	at    frequencies
	volts voltages
	steps count
}

// largeFlags are the flags that only a large-signal netlist has.
var largeFlags = []string{"at", "voltage", "steps"}

func (a *app) exportSPICE() *cobra.Command {
	v := &netlisting{ranged: ranged{single: single{app: a}}, steps: export.UsualSteps}
	cmd := v.command(&cobra.Command{
		Use:   "spice STUDY.yaml",
		Short: "The network as a SPICE netlist",
		Long: `The netlist holds every element of the candidate’s network: voltages are volts,
velocities and pressures, currents are amperes, forces and volume velocities, as
its comments say. It runs unchanged: ngspice -b FILE prints level and excursion for
1 V at the source, and impedance. Creep and the power law of a voice coil are written as ladders whose
error stands in the file and is told; what no causal circuit can express is
refused.

With --large the netlist has all that is not linear too: the force factor,
stiffness and inductance of each driver over its displacement, and the air of the
chambers as an adiabatic spring, as behavioural sources beside the linear parts. It
follows a sine in time until it repeats itself, and prints the mean and the
harmonics of the displacements, in mm peak, and of the sound pressure, in Pa peak.
Its error goes with the square of the step.`,
		Example: `  basswright export spice examples/camper-bench.yaml --candidate compound -o compound.cir
  basswright export spice examples/hayloft.yaml --candidate mirrored --large --at 40Hz --voltage 10V -o mirrored.cir`,
		RunE: v.run,
	})
	cmd.Flags().BoolVar(&v.large, "large", false, "with all that is not linear, followed in time")
	cmd.Flags().Var(&v.at, "at", "with --large: the frequency of the sine")
	cmd.Flags().Var(&v.volts, "voltage", "with --large: the drive, rms before the study’s filters (default: the study’s drive)")
	cmd.Flags().Var(&v.steps, "steps", "with --large: steps a period")
	return cmd
}

func (v *netlisting) run(cmd *cobra.Command, args []string) error {
	if !v.large {
		if idle := given(cmd, largeFlags...); idle != "" {
			return usagef("a netlist for small signals has no use for %s; leave it out, or add --large", idle)
		}
		return v.spice(args[0])
	}
	if idle := given(cmd, spanFlags...); idle != "" {
		return usagef("--large follows one sine, and a range would be ignored; leave out %s", idle)
	}
	return v.transient(args[0])
}

func (v *netlisting) spice(file string) error {
	opt, err := v.curves.options()
	if err != nil {
		return err
	}
	b, err := v.build(file)
	if err != nil {
		return err
	}
	return v.app.write(v.out, func(w io.Writer) error {
		rep, err := export.SPICE(w, b.sys, export.SPICEOptions{Title: b.title(), From: opt.From, To: opt.To, Points: opt.Points})
		if err != nil {
			return b.fault(err)
		}
		v.tell(rep)
		return nil
	})
}

// transient writes the large-signal netlist.
func (v *netlisting) transient(file string) error {
	switch {
	case len(v.at) != 1:
		return usagef("--large follows one sine; write its frequency, such as --at 40Hz")
	case len(v.volts) > 1:
		return usagef("--large follows one sine; write one voltage, such as --voltage 10V")
	case v.steps < export.LeastSteps:
		return usagef("--steps %d is too coarse for harmonics; write %d or more", v.steps, export.LeastSteps)
	}
	b, err := v.build(file)
	if err != nil {
		return err
	}
	i, err := b.study.Find(b.Name)
	if err != nil {
		return err
	}
	m, err := b.study.LargeModel(i)
	if err != nil {
		return err
	}
	o := export.TransientOptions{Title: b.title(), Frequency: v.at[0], Steps: int(v.steps)}
	if len(v.volts) == 1 {
		o.Volts = b.study.LeftOf(v.volts[0], o.Frequency)
	} else if o.Volts, err = b.study.DriveAt(i, m, o.Frequency); err != nil {
		return err
	}
	if len(b.study.Filters) > 0 {
		fmt.Fprintf(v.app.err, "the sine has %.4g V rms at the source%s; the filters themselves are not in the netlist\n", o.Volts, b.study.Left())
	}
	return v.app.write(v.out, func(w io.Writer) error {
		rep, err := export.Transient(w, m, o)
		if err != nil {
			return b.fault(err)
		}
		if len(m.Parts().Motors) == 0 {
			fmt.Fprintln(v.app.err, "its drivers have no curves: what is not linear comes from the air of the chambers alone")
		}
		v.tell(rep)
		return nil
	})
}

// tell says what a netlist does not hold exactly.
func (v *netlisting) tell(rep export.SPICEReport) {
	for _, l := range rep.Ladders {
		fmt.Fprintln(v.app.err, l.String())
	}
	if rep.Unsettled {
		fmt.Fprintln(v.app.err, export.Unsettled)
	}
}
