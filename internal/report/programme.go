package report

import (
	"fmt"
	"io"

	"basswright/internal/phys"
	"basswright/internal/study"
)

// Heard names the files of a piece that was played, and what 1 stands for in
// those that were written.
type Heard struct {
	Sound    string
	Seconds  float64
	Promised float64 // s, by the file’s header; 0 or as many as Seconds: it is whole
	Pressure string  // "": not written
	Pascal   float64
	Movement string // "": not written
	Metre    float64
}

// ProgrammeText writes for a terminal what a piece of sound does to a candidate.
func ProgrammeText(w io.Writer, st *study.Study, name string, g *study.Programme, h Heard, o TextOptions) error {
	p := newPrinter(w, o)
	u := st.Units
	p.line("%s", p.strong(st.Name+": "+name))
	findings := p.polarity(g.Findings)
	p.wrapped("", "", fmt.Sprintf("%s, %s at %s, played so that a sine at full scale is %s rms%s.",
		h.Sound, study.Lasting(h.Seconds), phys.Brief(float64(g.Rate), phys.Frequency, u), phys.Brief(g.Volts, phys.Voltage, u), st.Fed()))
	if h.Promised > h.Seconds {
		p.wrapped("doubtful: ", "          ", fmt.Sprintf("%s is cut short: it ends after %s, and its header promises %s (copy or export it again; what is told is of the part that is there)",
			h.Sound, study.Lasting(h.Seconds), study.Lasting(h.Promised)))
	}
	where := phys.Brief(st.Listening.Distance, phys.Distance, u) + st.Surrounded()
	p.line("")
	p.line("  level: %s\u2009dB in the mean, %s\u2009dB as a sine of its largest pressure, at %s",
		phys.Fixed(g.Level, 1), phys.Fixed(g.Peak, 1), where)
	for k := range g.Cones {
		p.wrapped("  ", "    ", g.Cones[k].Words(phys.Length, u))
	}
	for k := range g.Ports {
		p.wrapped("  ", "    ", g.Ports[k].Words(phys.Speed, u))
	}
	for k := range g.Chambers {
		p.wrapped("  ", "    ", "air in "+g.Chambers[k].Words(phys.Pressure, u))
	}
	if g.Lacking > 0 {
		p.wrapped("  ", "    ", fmt.Sprintf("the amplifier’s amperes are not enough for %s: it is played as if it gave them", study.Lasting(g.Lacking)))
	}
	if g.Clipped > 0 {
		p.wrapped("  ", "    ", fmt.Sprintf("the amplifier’s volts are not enough for %s: the peaks are cut off", study.Lasting(g.Clipped)))
	}
	p.line("  the warmest coil reaches %s", phys.Brief(g.Warmest, phys.Temperature, u))
	p.line("")
	if h.Pressure != "" {
		p.wrapped("  ", "    ", fmt.Sprintf("%s: the sound pressure; 1 is %s", h.Pressure, phys.Show(h.Pascal, phys.Pressure, u)))
	}
	if h.Movement != "" {
		p.wrapped("  ", "    ", fmt.Sprintf("%s: the movement of %s, out is positive; 1 is %s", h.Movement, g.Moving, phys.Show(h.Metre, phys.Length, u)))
	}
	p.grounds(findings)
	if h.Pressure != "" {
		p.wrapped("caution: ", "         ", "begin quietly on headphones: "+h.Pressure+" is as loud as they are turned up")
	}
	return p.err
}
