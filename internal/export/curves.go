package export

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"

	"basswright/internal/phys"
	"basswright/internal/study"
	"basswright/internal/wav"
)

// column is one column of a sweep.
type column struct {
	name  string
	y     []float64
	scale float64
}

// columns are those of the contract: eight that are always there, then each
// cone's excursion and each opening's air speed by name, and the level in the plain
// space where the others are for a listener's place.
func columns(c *study.Curves) []column {
	out := []column{
		{"frequency_hz", c.Frequency, 1},
		{"spl_db", c.SPL, 1},
		{"spl_phase_deg", c.Phase, 1},
		{"group_delay_ms", c.GroupDelay, 1e3},
		{"impedance_ohm", c.Impedance, 1},
		{"impedance_phase_deg", c.ImpedancePhase, 1},
		{"excursion_peak_mm", c.ExcursionMax, 1e3},
		{"port_speed_rms_m_s", c.SpeedMax, 1},
	}
	for _, t := range c.Excursion {
		out = append(out, column{"excursion_peak_mm." + t.Name, t.Y, 1e3})
	}
	for _, t := range c.Speed {
		out = append(out, column{"speed_rms_m_s." + t.Name, t.Y, 1})
	}
	if c.Plain != nil {
		out = append(out, column{"spl_plain_db", c.Plain, 1})
	}
	return out
}

// SweepCSV writes the curves of a candidate, one row a frequency, with nine
// significant digits. What does not exist is an empty cell.
func SweepCSV(w io.Writer, c *study.Curves) error {
	cols := columns(c)
	out := csv.NewWriter(w)
	line := make([]string, len(cols))
	for i, k := range cols {
		line[i] = k.name
	}
	if err := out.Write(line); err != nil {
		return err
	}
	for k := range c.Frequency {
		for i, x := range cols {
			line[i] = ""
			if v := x.y[k] * x.scale; !math.IsNaN(v) && !math.IsInf(v, 0) {
				line[i] = strconv.FormatFloat(v, 'g', 9, 64)
			}
		}
		if err := out.Write(line); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

// SweepJSON writes the same as one object with an array for each column, and
// beyond the columns of the CSV the drive, the volume velocity of each opening,
// the sound pressure in each chamber and the power in each coil, and of the
// greatest output, which may be nil, the envelope and each bound alone: its level
// and the voltage at which it is reached. What does not exist is null.
func SweepJSON(w io.Writer, name string, c *study.Curves, g *study.Greatest) error {
	type curve struct {
		Name   string       `json:"name"`
		Values []phys.Maybe `json:"values"`
	}
	var out struct {
		Candidate string  `json:"candidate"`
		Curves    []curve `json:"curves"`
	}
	out.Candidate = name
	all := append(columns(c), column{"drive_v", c.Voltage, 1})
	for _, group := range []struct {
		unit   string
		traces []study.Trace
	}{{"volume_velocity_rms_m3_s.", c.VolumeVelocity}, {"pressure_rms_pa.", c.Pressure}, {"power_w.", c.Power}} {
		for _, t := range group.traces {
			all = append(all, column{group.unit + t.Name, t.Y, 1})
		}
	}
	if g != nil {
		all = append(all, column{"greatest_db", g.Level, 1}, column{"greatest_drive_v", g.Volts, 1}, column{"greatest_power_w", g.Watts, 1})
		for _, b := range g.Bounds {
			all = append(all, column{"greatest_db." + string(b.ID), b.Level, 1}, column{"greatest_drive_v." + string(b.ID), b.Volts, 1}, column{"greatest_power_w." + string(b.ID), b.Watts, 1})
		}
	}
	for _, x := range all {
		v := make([]phys.Maybe, len(x.y))
		for k := range v {
			v[k] = phys.Maybe(x.y[k] * x.scale)
		}
		out.Curves = append(out.Curves, curve{x.name, v})
	}
	e := json.NewEncoder(w)
	e.SetIndent("", " ")
	return e.Encode(out)
}

// Touchstone writes the impedance as a one-port file of version 1.1 of the
// Touchstone File Format Specification: Z in real and imaginary part. Version
// 1 normalises Z to the reference resistance; with R 1 the values are ohms.
func Touchstone(w io.Writer, title string, c *study.Curves) error {
	if _, err := fmt.Fprintf(w, "! %s\n! impedance at the group's terminals in ohms (normalised to 1 ohm), from basswright\n# Hz Z RI R 1\n", ascii(oneLine(title))); err != nil {
		return err
	}
	for k, f := range c.Frequency {
		re, im := c.Impedance[k], c.ImpedancePhase[k]
		sin, cos := math.Sincos(im * math.Pi / 180)
		re, im = re*cos, re*sin
		if math.IsNaN(re+im) || math.IsInf(re+im, 0) {
			return fmt.Errorf("there is no impedance at %g Hz, which a Touchstone file cannot say", f)
		}
		if _, err := fmt.Fprintf(w, "%.9g %.9g %.9g\n", f, re, im); err != nil {
			return err
		}
	}
	return nil
}

func oneLine(s string) string {
	out := []rune(s)
	for i, r := range out {
		if r == '\n' || r == '\r' {
			out[i] = ' '
		}
	}
	return string(out)
}

// ascii replaces what the Touchstone specification does not allow in a file.
func ascii(s string) string {
	out := []rune(s)
	for i, r := range out {
		if r < ' ' || r > '~' {
			out[i] = '?'
		}
	}
	return string(out)
}

// SilenceError is a response that is 0 throughout: nothing can be scaled to 1.
type SilenceError struct{}

// Error is the reason alone: what is to blame is the candidate, which the
// response does not know.
func (*SilenceError) Error() string { return "the response is silence" }

// WAV writes a time response as a mono file of 32-bit floating-point samples
// (WAVE_FORMAT_IEEE_FLOAT), all of it with what lies before t = 0, scaled so
// that its largest value is 1. It returns what 1 stands for, or a *SilenceError
// where all of it is 0. The curve's times must be evenly spaced.
func WAV(w io.Writer, c *study.TimeCurve) (scale float64, err error) {
	rate, err := sampleRate(c)
	if err != nil {
		return 0, err
	}
	y := c.Y
	for _, v := range y {
		scale = math.Max(scale, math.Abs(v))
	}
	if !(scale <= math.MaxFloat64) {
		return 0, fmt.Errorf("the response has values that are not finite")
	}
	if scale == 0 {
		return 0, &SilenceError{}
	}
	samples := make([]float32, len(y))
	for k, v := range y {
		samples[k] = float32(v / scale)
	}
	return scale, wav.Write(w, rate, samples)
}

// sampleRate is that of a curve in Hz, a whole number as a WAV file needs it.
func sampleRate(c *study.TimeCurve) (uint32, error) {
	n := len(c.T)
	if n < 2 || len(c.Y) != n {
		return 0, fmt.Errorf("a time response needs at least two samples")
	}
	step := (c.T[n-1] - c.T[0]) / float64(n-1)
	rate := math.Round(1 / step)
	if !(rate >= 1 && rate <= math.MaxUint32/4) {
		return 0, fmt.Errorf("samples %g s apart have no sampling rate that a WAV file can state", step)
	}
	for k, t := range c.T {
		if !(math.Abs(t-c.T[0]-float64(k)/rate) < 0.01/rate) {
			return 0, fmt.Errorf("the samples are not evenly spaced in time, or not by a whole sampling rate")
		}
	}
	return uint32(rate), nil
}
