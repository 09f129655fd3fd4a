package main

import (
	"io"
	"math"

	"github.com/spf13/cobra"

	"basswright/internal/report"
	"basswright/internal/study"
	"basswright/internal/wav"
)

// playing is the verb signal with its flags.
type playing struct {
	single
	sound, pressure, movement string
	volts                     voltages
	cold                      bool
}

func (a *app) signal() *cobra.Command {
	v := &playing{single: single{app: a}}
	cmd := v.command(&cobra.Command{
		Use:   "signal STUDY.yaml",
		Short: "Play a WAV through one candidate: cones, limits, heat, and something to listen to",
		Long: `Signal plays a sound file through a candidate: the study’s line-level filters, the
volts that the amplifier has, the drivers’ curves and the air of the chambers, and
coils that warm up. It tells how far each cone goes and for how long beyond its
limits, how long the air in ports is too fast and the coils take more than they are
rated for, and writes the sound pressure that follows, and the movement of the cone
that goes furthest, as WAV files.

Several channels are mixed to one. --voltage is that of a sine at full scale, rms,
before the study’s filters, as drive: {voltage: …} is in a study.
The files hold floating point with their largest value at 1; the output says what 1
stands for. To listen, use headphones that reach low, and begin quietly.`,
		Example: `  basswright signal examples/hayloft.yaml --candidate mirrored --sound piece.wav --pressure heard.wav --movement cone.wav
  basswright signal examples/camper-bench.yaml --candidate tuned --sound piece.wav --voltage 20V`,
		RunE: v.run,
	})
	f := cmd.Flags()
	f.Var(word{&v.sound, "FILE"}, "sound", "the WAV file that is played (needed); - is standard input")
	f.Var(word{&v.pressure, "FILE"}, "pressure", "write the sound pressure at the listening distance to this WAV file; - is standard output, then the text only goes to a file")
	f.Var(word{&v.movement, "FILE"}, "movement", "write the movement of a cone to this WAV file, or with - to standard output")
	f.Var(&v.volts, "voltage", "of a sine at full scale, rms before the study’s filters (default: the amplifier’s greatest, else the study’s drive)")
	f.BoolVar(&v.cold, "cold", false, "keep the coils at the temperature of the air")
	return cmd
}

func (v *playing) run(cmd *cobra.Command, args []string) error {
	switch {
	case v.sound == "":
		return usagef("say what is played: --sound FILE.wav")
	case len(v.volts) > 1:
		return usagef("a piece is played at one voltage, and --voltage names %d; give one", len(v.volts))
	}
	if err := v.files(args[0]); err != nil {
		return err
	}
	st, err := v.app.open(args[0])
	if err != nil {
		return err
	}
	i, err := oneCandidate(st, v.candidate)
	if err != nil {
		return err
	}
	sound, err := v.hear()
	if err != nil {
		return err
	}
	progress, done := v.app.watched(study.Lasting(sound.Seconds()))
	opt := study.ProgrammeOptions{Cold: v.cold, Progress: progress}
	if len(v.volts) == 1 {
		opt.Volts = v.volts[0]
	}
	p, err := st.Play(cmd.Context(), i, mixed(sound), sound.Rate, opt)
	done()
	if err != nil {
		return err
	}
	ones := map[string]float64{}
	for _, out := range []struct {
		file string
		y    []float64
	}{{v.pressure, p.Pressure}, {v.movement, p.Movement}} {
		if out.file == "" {
			continue
		}
		err := v.app.write(out.file, func(w io.Writer) error {
			samples, one := scaled(out.y)
			ones[out.file] = one
			return wav.Write(w, uint32(p.Rate), samples)
		})
		if err != nil {
			return err
		}
	}
	if v.soundAlone() {
		return nil
	}
	return v.app.write(v.out, func(w io.Writer) error {
		return report.ProgrammeText(w, st, st.Candidates[i].Name, p, report.Heard{
			Sound: v.piece(), Seconds: sound.Seconds(), Promised: sound.Promised(), Pressure: v.pressure, Pascal: ones[v.pressure], Movement: v.movement, Metre: ones[v.movement],
		}, v.app.text(v.out))
	})
}

// mixed is the mean of the channels.
func mixed(s *wav.Sound) []float64 {
	out := make([]float64, len(s.Channels[0]))
	for _, c := range s.Channels {
		for k, y := range c {
			out[k] += y / float64(len(s.Channels))
		}
	}
	return out
}

// scaled brings the largest value to 1 and says what it was; silence stays.
func scaled(y []float64) ([]float32, float64) {
	one := 0.0
	for _, v := range y {
		one = math.Max(one, math.Abs(v))
	}
	out := make([]float32, len(y))
	for k, v := range y {
		if one > 0 {
			out[k] = float32(v / one)
		}
	}
	return out, one
}
