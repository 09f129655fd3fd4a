package main

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"basswright/internal/export"
	"basswright/internal/phys"
	"basswright/internal/report"
	"basswright/internal/study"
)

// distorting is the verb distortion with its flags.
type distorting struct {
	single
	at     frequencies
	volts  voltages
	tones  frequencies
	format *choice
}

func (a *app) distortion() *cobra.Command {
	v := &distorting{single: single{app: a}, format: oneOf("text", "csv", "json")}
	cmd := v.command(&cobra.Command{
		Use:   "distortion STUDY.yaml",
		Short: "Harmonics, dc shift and compression of one candidate",
		Long: `Distortion finds the steady state under sines with all that is not linear: the
force factor, stiffness and inductance of each driver over its displacement
(drivers.NAME.curves), and the air of the chambers as an adiabatic spring. For
each frequency and drive it tells the swing of the outermost cone and the shift of
its mean, the sound pressure of the fundamental and of the harmonics against it,
and by how much the fundamental falls short of what small signals promise.

A state is the one that a drive rising from nothing leads to. Where it does not
last, or the system has jumped to another, that is said behind it, and as CSV and
JSON in the columns lasts and jumped. Where none was found, the others are told all
the same, and the column lost says why.

--voltage is a drive, rms, as drive: {voltage: …} in a study: the study’s filters
come behind it, and each state tells the volts that they leave at the source. As
CSV and JSON each state has the phasors too, for √2·V·sin(ωt) at the source:
displacements are peak and positive towards
the listener, pressures at the listening distance without the flight.`,
		Example: `  basswright distortion examples/hayloft.yaml --candidate mirrored --at 20Hz,40Hz --voltage 2V,10V
  basswright distortion examples/hayloft.yaml --candidate mirrored --tones 30Hz,200Hz --voltage 10V
  basswright distortion examples/hayloft.yaml --candidate same-way --voltage 10V --format csv`,
		RunE: v.run,
	})
	cmd.Flags().Var(&v.at, "at", "these frequencies (default: 20 Hz to 80 Hz in third octaves)")
	cmd.Flags().Var(&v.volts, "voltage", "these drives, rms before the study’s filters (default: the study’s drive)")
	cmd.Flags().Var(&v.tones, "tones", "two tones at once, the high one with a quarter of the voltage: their side tones too")
	addChoice(cmd, v.format, "format", "how the states are written "+byName)
	return cmd
}

func (v *distorting) run(cmd *cobra.Command, args []string) error {
	if err := v.format.settle(cmd, v.out); err != nil {
		return err
	}
	switch {
	case len(v.tones) != 0 && len(v.tones) != 2:
		return usagef("--tones takes two frequencies, and got %d; for example --tones 30Hz,200Hz", len(v.tones))
	case len(v.tones) == 2 && v.format.value == "csv":
		return usagef("as CSV there are only the states of single tones; leave --tones out, or write it as json")
	}
	low, high := v.pair()
	if len(v.tones) == 2 {
		if err := study.FitTones(low, high); err != nil {
			return usagef("--tones %s,%s: %w", phys.Brief(low, phys.Frequency, phys.Metric), phys.Brief(high, phys.Frequency, phys.Metric), err)
		}
	}
	st, err := v.app.open(args[0])
	if err != nil {
		return err
	}
	i, err := oneCandidate(st, v.candidate)
	if err != nil {
		return err
	}
	at := sorted(v.at)
	if len(at) == 0 {
		at = study.LevelFrequencies()
	}
	done := v.app.busy("finding steady states")
	d, err := st.Distort(cmd.Context(), i, at, sorted(v.volts))
	if done(); err != nil {
		return err
	}
	var tones []study.Modulation
	if len(v.tones) == 2 {
		progress, done := v.app.watched("the longest wait for two tones")
		tones, err = st.Modulate(cmd.Context(), i, low, high, sorted(v.volts), progress)
		if done(); err != nil {
			return err
		}
		d.Findings = append(st.WholeRatio(low, high), d.Findings...)
	}
	name := st.Candidates[i].Name
	var mirror *study.Mirror
	if v.format.value == "text" {
		done := v.app.busy("finding what mirroring buys")
		mirror, err = st.Mirror(cmd.Context(), i, at, sorted(v.volts))
		if done(); err != nil {
			return err
		}
	}
	return v.app.write(v.out, func(w io.Writer) error {
		switch v.format.value {
		case "csv":
			return export.DistortionCSV(w, d)
		case "json":
			return export.DistortionJSON(w, name, d, tones)
		}
		if err := report.DistortionText(w, st, name, d, mirror, v.app.text(v.out)); err != nil || len(tones) == 0 {
			return err
		}
		return report.ModulationText(w, st, tones, v.app.text(v.out))
	})
}

// pair are the two tones, the low one first; 0 where there are not two.
func (v *distorting) pair() (low, high float64) {
	if len(v.tones) != 2 {
		return 0, 0
	}
	return min(v.tones[0], v.tones[1]), max(v.tones[0], v.tones[1])
}

// sorted is a list rising, each value once.
func sorted[T ~[]float64](list T) []float64 {
	return slices.Compact(slices.Sorted(slices.Values(list)))
}

// voltages is a list of voltages: 2V,10V.
type voltages []float64

func (l *voltages) Set(text string) error {
	for _, part := range strings.Split(text, ",") {
		q, err := phys.Parse(strings.TrimSpace(part), phys.Voltage)
		if err != nil {
			return err
		}
		if !(q.SI > 0 && q.SI <= mostVolts) {
			return fmt.Errorf("outside what can be computed; write more than 0 V and at most %g V", mostVolts)
		}
		*l = append(*l, q.SI)
	}
	return nil
}

// mostVolts is the largest drive, as in a study.
const mostVolts = 1000.0

func (l *voltages) Type() string { return "VOLTAGES" }
func (l *voltages) String() string {
	var s []string
	for _, v := range *l {
		s = append(s, phys.Digits(v, 4)+" V")
	}
	return strings.Join(s, ",")
}
