package report

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"basswright/internal/heat"
	"basswright/internal/phys"
	"basswright/internal/study"
)

// heatRows are the moments that are told of a course, s.
var heatRows = [...]float64{0, 1, 10, 60, 300, 600, 1800, 3600}

// heatColumns are how wide its columns are: three of the whole, then those of each driver.
var heatColumns = []int{10, 10, 10, 11}

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
	p.wrapped("", "", fmt.Sprintf("Noise with equal power in every part of an octave, 20\u2009Hz to 200\u2009Hz, %s rms%s, %s; air of %s, coils of %s. Loss: by how much the mean level falls short of that of cold coils.",
		phys.Brief(c.Volts, phys.Voltage, u), st.Fed(), rest, phys.Brief(c.Air, phys.Temperature, u), wires(c)))
	p.line("")
	unit := phys.Temperature.Unit(u)
	rows := [][]string{{"", "", ""}}
	for range c.Drivers {
		rows[0] = append(rows[0], "coil, "+unit.Name, "magnet")
	}
	row := func(at string, q *study.HeatPoint) {
		line := []string{at, phys.Digits(q.Watts, 3), phys.Fixed(q.Loss, 2)}
		for k := range c.Drivers {
			line = append(line, phys.Fixed(unit.Of(q.Coil[k]), 0), phys.Fixed(unit.Of(q.Magnet[k]), 0))
		}
		rows = append(rows, line)
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
	widths := columnWidths(append([][]string{{"after", "W in all", "loss, dB"}}, rows...), heatColumns...)
	names := ranged([]string{"after", "W in all", "loss, dB"}, widths)
	for k, d := range c.Drivers {
		names += left(d, widths[3+2*k]+widths[4+2*k])
	}
	p.line("%s", names)
	for _, r := range rows {
		p.line("%s", ranged(r, widths))
	}
	p.line("")
	if o.Off > 0 {
		p.wrapped("", "", fmt.Sprintf("At its hottest, at the end of what it plays, a coil has %s.", phys.Brief(hottest, phys.Temperature, u)))
	}
	if o.Reach > 0 {
		p.wrapped("", "", reachWords(c, o, u))
	}
	p.grounds(findings)
	switch {
	case hottest > heat.GivesWay:
		p.wrapped("caution: ", "         ", "a coil that is driven so hot smokes and can set fire to what is near; do not try it, and keep to what its maker rates")
	case hottest >= hotCoil:
		p.wrapped("caution: ", "         ", fmt.Sprintf("a coil of %s burns skin and can catch fire; let it cool before you touch it, and keep to what its maker rates", phys.Brief(hottest, phys.Temperature, u)))
	}
	return p.err
}

// reachWords say when the first coil is as hot as was asked.
func reachWords(c *study.HeatCourse, o study.HeatOptions, u phys.System) string {
	asked := phys.Brief(o.Reach, phys.Temperature, u)
	switch {
	case c.Reached == 0:
		return fmt.Sprintf("The coils have %s from the beginning: the air has %s.", asked, phys.Brief(c.Air, phys.Temperature, u))
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
