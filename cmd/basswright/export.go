package main

import (
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"basswright/internal/export"
	"basswright/internal/filter"
	"basswright/internal/phys"
	"basswright/internal/study"
)

func (a *app) export() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "export",
		Short: "A candidate as a SPICE netlist, a network, Touchstone, CSV or WAV",
		Long: `Export writes one candidate in a form that other programs read: its whole network
as a SPICE netlist that runs unchanged and gives the same answer, its impedance
as Touchstone, its curves as CSV, its impulse response as WAV; or as a study of its
own in which the enclosure is worded part by part.`,
		Args: unknown("export"),
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	cmd.AddCommand(a.exportSPICE(), a.exportTouchstone(), a.exportCSV(), a.exportWAV(), a.exportBiquads(), a.exportNetwork())
	return cmd
}

// ranged is an export over a range of frequencies.
type ranged struct {
	single
	curves span
}

func (e *ranged) command(cmd *cobra.Command) *cobra.Command {
	e.curves.add(e.single.command(cmd).Flags())
	return cmd
}

// write computes the curves of the candidate and writes them in some form.
func (e *ranged) write(cmd *cobra.Command, file string, form func(io.Writer, *built, *study.Curves) error) error {
	at, err := e.curves.frequencies()
	if err != nil {
		return err
	}
	b, c, err := e.single.curves(cmd.Context(), file, at)
	if err != nil {
		return err
	}
	return e.app.write(e.out, func(w io.Writer) error { return form(w, b, c) })
}

func (a *app) exportTouchstone() *cobra.Command {
	e := &ranged{single: single{app: a}}
	return e.command(&cobra.Command{
		Use:     "touchstone STUDY.yaml",
		Short:   "The impedance as Touchstone",
		Long:    `The impedance at the group’s terminals as a one-port Touchstone 1.1 file of Z in real and imaginary parts, in ohms.`,
		Example: `  basswright export touchstone examples/camper-bench.yaml --candidate one -o one.z1p`,
		RunE: func(cmd *cobra.Command, args []string) error {
			return e.write(cmd, args[0], func(w io.Writer, b *built, c *study.Curves) error { return export.Touchstone(w, b.title(), c) })
		},
	})
}

func (a *app) exportCSV() *cobra.Command {
	e := &ranged{single: single{app: a}}
	return e.command(&cobra.Command{
		Use:     "csv STUDY.yaml",
		Short:   "The curves as CSV",
		Long:    `The same columns as basswright sweep writes.`,
		Example: `  basswright export csv examples/camper-bench.yaml --candidate one -o one.csv`,
		RunE: func(cmd *cobra.Command, args []string) error {
			return e.write(cmd, args[0], func(w io.Writer, _ *built, c *study.Curves) error { return export.SweepCSV(w, c) })
		},
	})
}

// recording is the verb export wav with its flags.
type recording struct {
	single
	length seconds
}

// How an impulse response is computed, as the help says.
const (
	wavRate = 48000 // Hz
	wavBand = 5000  // Hz, complete below
	wavLead = 10e-3 // s before the impulse
)

func (a *app) exportWAV() *cobra.Command {
	e := &recording{single{app: a}, 1}
	cmd := e.command(&cobra.Command{
		Use:   "wav STUDY.yaml",
		Short: "The impulse response as WAV",
		Long: `The pressure at the listening distance after an impulse, sampled at 48 kHz in
32-bit floating point, without the flight, scaled so that its largest value is 1
(the factor is told). It is faded out without phase from 5 kHz to 10 kHz, which
spreads it to both sides: the impulse itself is 10 ms into the file. A candidate
that gives no sound is refused.`,
		Example: `  basswright export wav examples/camper-bench.yaml --candidate one -o one.wav`,
		RunE:    e.run,
	})
	cmd.Flags().Var(&e.length, "seconds", "length after the impulse, 0.01 to 5")
	return cmd
}

func (e *recording) run(cmd *cobra.Command, args []string) error {
	b, err := e.build(args[0])
	if err != nil {
		return err
	}
	_, impulse, err := study.Transients(cmd.Context(), b.sys, &b.study.Chain, wavRate, wavBand, wavLead, float64(e.length))
	if err != nil {
		return b.fault(err)
	}
	return e.app.write(e.out, func(w io.Writer) error {
		peak, err := export.WAV(w, impulse)
		var silence *export.SilenceError
		switch {
		case errors.As(err, &silence):
			return b.fault(study.Silence(b.sys))
		case err != nil:
			return err
		}
		fmt.Fprintf(e.app.err, "1.0 in the file is %.6g Pa/s per volt; the impulse is at sample %d\n", peak, int(wavLead*wavRate))
		return nil
	})
}

// biquads is the export of filters.
type biquads struct {
	app    *app
	out    string
	rate   rate
	format *choice
	single string
}

func (a *app) exportBiquads() *cobra.Command {
	v := &biquads{app: a, rate: 48000, format: oneOf("csv", "json")}
	cmd := oneStudy(&cobra.Command{
		Use:   "biquads STUDY.yaml",
		Short: "The line-level filters as coefficients for a signal processor",
		Long: `The study’s filters as second-order sections for a sampling rate, by the bilinear
transform with each corner where it is asked. With --protect the high-pass is
added that keeps a candidate inside its limits of movement at all that the
amplifier gives. Each section has the name of the filter that it is part of,
“protection” that of the added one. The first lines of the file say which sign the a coefficients
have: processors differ in it.`,
		Example: `  basswright export biquads study.yaml --rate 48kHz -o filters.csv
  basswright export biquads examples/camper-bench.yaml --protect tuned --rate 96kHz -o protect.json`,
		RunE: v.run,
	})
	cmd.Flags().Var(&v.rate, "rate", "sampling rate: 44.1kHz, 48kHz, 96kHz or another")
	a.addCandidate(cmd, &v.single, "protect", "add the high-pass that protects this candidate")
	addChoice(cmd, v.format, "format", "how the coefficients are written "+byName)
	addOutput(cmd.Flags(), &v.out)
	return cmd
}

func (v *biquads) run(cmd *cobra.Command, args []string) error {
	if err := v.format.settle(cmd, v.out); err != nil {
		return err
	}
	st, err := v.app.open(args[0])
	if err != nil {
		return err
	}
	chain := st.Chain
	if v.single != "" {
		if chain, err = v.protected(cmd, args[0]); err != nil {
			return err
		}
	}
	if chain.Idle() {
		return usagef("the study has no filters to export; give it some, such as filters: {subsonic: {kind: highpass, at: 24 Hz, order: 4, family: butterworth}}, or add --protect CANDIDATE")
	}
	d, err := chain.Digital(float64(v.rate))
	if err != nil {
		return usageError{err}
	}
	d.Names = st.SectionNames(&chain, "protection")
	return v.app.write(v.out, func(w io.Writer) error {
		if v.format.value == "csv" {
			_, err := io.WriteString(w, d.CSV())
			return err
		}
		data, err := d.JSON()
		if err != nil {
			return err
		}
		_, err = w.Write(append(data, '\n'))
		return err
	})
}

// protected is the study's filters and the high-pass that a candidate needs.
func (v *biquads) protected(cmd *cobra.Command, file string) (filter.Chain, error) {
	res, err := v.app.evaluate(cmd.Context(), file, named(v.single), study.Options{})
	if err != nil {
		return filter.Chain{}, err
	}
	i, err := res.Study.Find(v.single)
	if err != nil {
		return filter.Chain{}, err
	}
	switch p := res.Candidates[i].Protection; {
	case p == nil:
		return filter.Chain{}, usagef("nothing can be said of protection: the study gives no amplifier, or %s no limit of movement", v.single)
	case !p.Needed:
		return filter.Chain{}, usagef("%s needs no protection from this amplifier; leave out --protect", v.single)
	case !p.Possible:
		return filter.Chain{}, usagef("no high-pass protects %s from this amplifier; turn its level down", v.single)
	default:
		return p.Chain(res.Study.Chain)
	}
}

// rate is a sampling rate.
type rate float64

// The sampling rates at which sound is played, Hz.
const lowestRate, highestRate = 8000.0, 768e3

func (r *rate) Set(text string) error {
	q, err := phys.Parse(text, phys.Frequency)
	if err != nil {
		return err
	}
	if q.SI < lowestRate || q.SI > highestRate {
		return fmt.Errorf("no sampling rate of sound; write %g kHz to %g kHz, such as 44.1kHz, 48kHz or 96kHz", lowestRate/1000, highestRate/1000)
	}
	*r = rate(q.SI)
	return nil
}

func (r *rate) Type() string   { return "FREQUENCY" }
func (r *rate) String() string { return phys.Digits(float64(*r)/1000, 3) + " kHz" }
