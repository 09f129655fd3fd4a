package report

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"basswright/internal/phys"
	"basswright/internal/study"
)

// heatRows are the moments that are told of a course, s.
var heatRows = [...]float64{0, 1, 10, 60, 300, 600, 1800, 3600}

// hotCoil is the temperature from which the caution is given, °C: skin burns at
// far less.
const hotCoil = 120.0

// HeatText writes for a terminal how a candidate's coils warm up.
func HeatText(w io.Writer, st *study.Study, name string, c *study.HeatCourse, o study.HeatOptions, t TextOptions) error {
	p := newPrinter(w, t)
	u := st.Units
	p.line("%s", p.strong(st.Name+": "+name))
	findings := p.polarity(c.Findings)
	rest := "without a rest"
	if o.Off > 0 {
		rest = fmt.Sprintf("%s of it, then %s of rest, over and over", study.Lasting(o.On), study.Lasting(o.Off))
	}
	p.wrapped("", "", fmt.Sprintf("Noise with equal power in every part of an octave, 20 Hz to 200 Hz, %s rms at the source%s, %s; air of %s, coils of %s. Loss: by how much the mean level falls short of that of cold coils.",
		phys.Brief(c.Volts, phys.Voltage, u), st.Through(), rest, phys.Brief(c.Air, phys.Temperature, u), wires(c)))
	p.line("")
	unit := phys.Temperature.Unit(u)
	names := left("after", 10) + left("W in all", 10) + left("loss, dB", 10)
	for _, d := range c.Drivers {
		names += left(d, 22)
	}
	p.line("%s", names)
	p.line("%s", pad("", 30)+strings.Repeat(left("coil, "+unit.Name, 11)+left("magnet", 11), len(c.Drivers)))
	row := func(at string, q *study.HeatPoint) {
		line := left(at, 10) + left(phys.Digits(q.Watts, 3), 10) + left(phys.Fixed(q.Loss, 2), 10)
		for k := range c.Drivers {
			line += left(phys.Fixed(unit.Of(q.Coil[k]), 0), 11) + left(phys.Fixed(unit.Of(q.Magnet[k]), 0), 11)
		}
		p.line("%s", line)
	}
	next := 0
	for k := range c.Points {
		q := &c.Points[k]
		last := k == len(c.Points)-1
		if next < len(heatRows) && q.At >= heatRows[next]*0.999 || last {
			row(study.Lasting(q.At), q)
			for next < len(heatRows) && heatRows[next] <= q.At*1.001 {
				next++
			}
		}
	}
	hottest := slices.Max(c.Hottest)
	if c.Steady != nil {
		row("in the end", c.Steady)
		hottest = max(hottest, slices.Max(c.Steady.Coil))
	}
	p.line("")
	if o.Off > 0 {
		p.wrapped("", "", fmt.Sprintf("At its hottest, at the end of what it plays, a coil has %s.", phys.Brief(hottest, phys.Temperature, u)))
	}
	if o.Reach > 0 {
		p.wrapped("", "", reachWords(c, o, u))
	}
	for _, f := range findings {
		p.wrapped("rests on: ", "          ", f.Text+" ("+f.Mend+")")
	}
	if hottest >= hotCoil {
		p.wrapped("caution: ", "         ", fmt.Sprintf("a coil of %s burns skin and can catch fire; let it cool before you touch it, and keep to what its maker rates", phys.Brief(hottest, phys.Temperature, u)))
	}
	return p.err
}

// reachWords say when the first coil is as hot as was asked.
func reachWords(c *study.HeatCourse, o study.HeatOptions, u phys.System) string {
	asked := phys.Brief(o.Reach, phys.Temperature, u)
	switch {
	case c.Reached == 0:
		return "The coils are as warm as " + asked + " from the beginning."
	case c.Reached > 0:
		return fmt.Sprintf("The first coil has %s after %s.", asked, study.Lasting(c.Reached))
	case c.Steady != nil && slices.Max(c.Steady.Coil) <= o.Reach:
		return fmt.Sprintf("No coil ever has %s.", asked)
	}
	return fmt.Sprintf("No coil has %s within %s.", asked, study.Lasting(o.For))
}

// wires are the metals of the coils: "copper", "copper and aluminium".
func wires(c *study.HeatCourse) string {
	var names []string
	for _, w := range c.Wires {
		names = append(names, w.String())
	}
	return strings.Join(names, " and ")
}
