package main

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"basswright/internal/export"
	"basswright/internal/note"
	"basswright/internal/phys"
	"basswright/internal/report"
	"basswright/internal/study"
)

// heating is the verb heat with its flags.
type heating struct {
	single
	volts         voltages
	on, off, span lasting
	reach         warmth
	format        *choice
	levels        bool
}

func (a *app) heat() *cobra.Command {
	v := &heating{single: single{app: a}, format: oneOf("text", "csv", "json"), span: 3600}
	cmd := v.command(&cobra.Command{
		Use:   "heat STUDY.yaml",
		Short: "How the coils of one candidate warm up, and what level that costs",
		Long: `Heat follows the coils of a candidate while it plays noise from 20 Hz to 200 Hz:
each coil gives its heat to its magnet, that to the air around, and its resistance
grows with the heat, so that it takes less. It tells the temperatures, the watts
and by how much the mean level falls. With --on and --off it rests in between;
--reach tells how long it plays until the first coil is so hot. --voltage is a
drive, as drive: {voltage: …} in a study: the study’s filters come behind it.

--levels tells power compression: for drives in steps of 3 dB up to what the amplifier
has for this group (else the study’s drive, or --voltage, which may name several) the
loss of level after 10 s, 1 min, 10 min, 1 h and in the end, and the resistance.

Where a driver has no thermal data, its circuit follows from its rated power and
coil diameter, and the output says so.`,
		Example: `  basswright heat examples/camper-bench.yaml --candidate one --voltage 20V --reach 150C
  basswright heat examples/camper-bench.yaml --candidate tuned --voltage 30V --on 20s --off 40s --for 30min
  basswright heat examples/camper-bench.yaml --candidate tuned --levels`,
		RunE: v.run,
	})
	cmd.Flags().Var(&v.volts, "voltage", "rms before the study’s filters (default: the study’s drive)")
	cmd.Flags().Var(&v.on, "on", "play so long, then rest")
	cmd.Flags().Var(&v.off, "off", "rest so long, then play again")
	cmd.Flags().Var(&v.span, "for", "follow it so long")
	cmd.Flags().Var(&v.reach, "reach", "tell when the first coil is so hot")
	cmd.Flags().BoolVar(&v.levels, "levels", false, "tell what heat costs at each drive, in place of one drive’s course")
	addChoice(cmd, v.format, "format", "how the course is written "+byName)
	return cmd
}

func (v *heating) run(cmd *cobra.Command, args []string) error {
	if err := v.format.settle(cmd, v.out); err != nil {
		return err
	}
	if v.levels {
		return v.compression(cmd, args[0])
	}
	if (v.on > 0) != (v.off > 0) {
		return usagef("a rest needs both: how long it plays and how long it rests; give --on and --off, such as --on 20s --off 40s")
	}
	if len(v.volts) > 1 {
		return usagef("heat follows one drive, and --voltage names %d; give one, or add --levels", len(v.volts))
	}
	if v.format.value == "json" {
		return usagef("one drive’s course is written as text or csv; leave json out, or add --levels")
	}
	if v.reach > 0 && v.format.value == "csv" {
		return usagef("the time to a temperature is told as text alone; leave --reach out, and read it from the course")
	}
	st, err := v.app.open(args[0])
	if err != nil {
		return err
	}
	i, err := oneCandidate(st, v.candidate)
	if err != nil {
		return err
	}
	opt := study.HeatOptions{On: float64(v.on), Off: float64(v.off), For: float64(v.span), Reach: float64(v.reach)}
	if len(v.volts) == 1 {
		opt.Volts = v.volts[0]
	}
	c, err := st.Heat(cmd.Context(), i, opt)
	if err != nil {
		return err
	}
	return v.app.write(v.out, func(w io.Writer) error {
		if v.format.value == "csv" {
			for _, f := range c.Findings {
				if f.Severity == note.Warning { // a table has no room for it
					fmt.Fprintf(v.app.err, "doubtful: %s (%s)\n", f.Text, f.Mend)
				}
			}
			return export.HeatCSV(w, c)
		}
		return report.HeatText(w, st, st.Candidates[i].Name, c, opt, v.app.text(v.out))
	})
}

// lasting is a time that things take: 20s, 5min, 2h.
type lasting float64

func (l *lasting) Set(text string) error {
	for _, u := range []struct {
		name   string
		factor float64
	}{{"min", 60}, {"h", 3600}, {"s", 1}} {
		number, ok := strings.CutSuffix(strings.TrimSpace(text), u.name)
		if !ok {
			continue
		}
		n, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
		if err != nil || !(n*u.factor >= 0.1 && n*u.factor <= 86400) {
			break
		}
		*l = lasting(n * u.factor)
		return nil
	}
	return fmt.Errorf("write a time from 0.1s to 24h, such as 20s, 5min or 2h")
}

func (l *lasting) Type() string { return "TIME" }
func (l *lasting) String() string {
	if *l == 0 {
		return ""
	}
	return strconv.FormatFloat(float64(*l)/60, 'g', -1, 64) + "min"
}

// warmth is the temperature of a coil: 150C, 300F.
type warmth float64

// hottestAsked is beyond any coil: copper melts at 1085 °C.
const hottestAsked = 1000.0

func (w *warmth) Set(text string) error {
	q, err := phys.Parse(strings.TrimSpace(text), phys.Temperature)
	if err != nil {
		return err
	}
	if !(q.SI > 0 && q.SI <= hottestAsked) {
		return fmt.Errorf("no coil is asked for that; write more than 0 C and at most %g C", hottestAsked)
	}
	*w = warmth(q.SI)
	return nil
}

func (w *warmth) Type() string { return "TEMPERATURE" }
func (w *warmth) String() string {
	if *w == 0 {
		return ""
	}
	return phys.Digits(float64(*w), 4) + "C"
}
