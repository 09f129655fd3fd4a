package report

import (
	"fmt"
	"io"

	"basswright/internal/phys"
	"basswright/internal/study"
)

// CompressionTimes are the times after which power compression is told, s.
func CompressionTimes() []float64 { return []float64{10, 60, 600, 3600} }

// CompressionText writes for a terminal what the heat of its coils costs a
// candidate at each drive.
func CompressionText(w io.Writer, st *study.Study, c *study.Compression, t TextOptions) error {
	p := newPrinter(w, t)
	u := st.Units
	p.line("%s", p.strong(st.Name+": "+c.Candidate.Name))
	p.wrapped("", "", fmt.Sprintf("Power compression against level and time: noise with equal power in every part of an octave, 20 Hz to 200 Hz, at the source, rms%s, without a rest; air of %s, coils of %s. Loss: by how much the mean level falls short of that of cold coils. The end: where it leads. Re: of the hottest coil, over that in the air around it.",
		st.Through(), phys.Brief(c.Air, phys.Temperature, u), wires(&study.HeatCourse{Wires: c.Wires})))
	p.line("")
	unit := phys.Temperature.Unit(u)
	const each = 9
	head := left("drive", 8) + left("", 8) + left("all coils", 10)
	under := left("V", 8) + left("dB", 8) + left("cold, W", 10)
	for i, at := range c.After {
		name := ""
		if i == 0 {
			name = "loss, dB"
		}
		head += left(name, each+1)
		under += left(study.Lasting(at), each+1)
	}
	p.line("%s", head+left("in the", each)+left("", each)+left("Re over", each)+left("coil,", each))
	p.line("%s", under+left("end", each)+left("W", each)+left("cold", each)+left(unit.Name, each))
	for i := range c.Points {
		q := &c.Points[i]
		line := left(phys.Digits(q.Volts, 3), 8) + left(phys.Fixed(q.Drive, 1), 8) + left(phys.Digits(q.Cold, 3), 10)
		for _, a := range q.After {
			line += left(phys.Fixed(a.Loss, 2), each+1)
		}
		line += left(phys.Fixed(q.End.Loss, 2), each) + left(phys.Digits(q.End.Watts, 3), each) +
			left(phys.Fixed(q.End.Rise, 2), each) + left(phys.Fixed(unit.Of(q.End.Coil), 0), each)
		p.line("%s", line)
	}
	p.line("")
	if n := len(c.Points); n > 1 {
		a, b := &c.Points[n-2], c.Top()
		p.wrapped("", "", fmt.Sprintf("The last %s dB of drive bring %s dB of level in the end: what is missing is heat.",
			phys.Fixed(b.Drive-a.Drive, 1), phys.Fixed(b.Drive-a.Drive-(b.End.Loss-a.End.Loss), 1)))
	}
	p.grounds(c.Findings)
	if hot := c.Hottest(); hot >= hotCoil {
		p.wrapped("caution: ", "         ", fmt.Sprintf("a coil of %s burns skin and can catch fire; let it cool before you touch it, and keep to what its maker rates", phys.Brief(hot, phys.Temperature, u)))
	}
	return p.err
}
