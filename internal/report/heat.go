package report

import (
	"fmt"
	"io"
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
	rest := "without a rest"
	if o.Off > 0 {
		rest = fmt.Sprintf("%s of it, then %s of rest, over and over", study.Lasting(o.On), study.Lasting(o.Off))
	}
	p.wrapped("", "", fmt.Sprintf("Noise with equal power in every part of an octave, 20 Hz to 200 Hz, %s rms at the source%s, %s; air of %s. Loss: by how much the mean level falls short of that of cold coils.",
		phys.Brief(c.Volts, phys.Voltage, u), st.Through(), rest, phys.Brief(st.Air.Temperature, phys.Temperature, u)))
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
	hottest, next := 0.0, 0
	for k := range c.Points {
		q := &c.Points[k]
		for _, v := range q.Coil {
			hottest = max(hottest, v)
		}
		last := k == len(c.Points)-1
		if next < len(heatRows) && q.At >= heatRows[next]*0.999 || last {
			row(study.Lasting(q.At), q)
			for next < len(heatRows) && heatRows[next] <= q.At*1.001 {
				next++
			}
		}
	}
	if c.Steady != nil {
		row("in the end", c.Steady)
		for _, v := range c.Steady.Coil {
			hottest = max(hottest, v)
		}
	}
	p.line("")
	for _, f := range c.Findings {
		p.wrapped("rests on: ", "          ", f.Text+" ("+f.Mend+")")
	}
	if hottest >= hotCoil {
		p.wrapped("caution: ", "         ", fmt.Sprintf("a coil of %s burns skin and can catch fire; let it cool before you touch it, and keep to what its maker rates", phys.Brief(hottest, phys.Temperature, u)))
	}
	return p.err
}
