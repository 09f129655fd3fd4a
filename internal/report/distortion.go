package report

import (
	"fmt"
	"io"
	"math"
	"math/cmplx"
	"slices"
	"strings"

	"basswright/internal/large"
	"basswright/internal/phys"
	"basswright/internal/study"
)

// The widths of the columns of steady states.
const (
	stateFirst = 10
	stateEach  = 8
)

// quietest is how far below the fundamental a harmonic is still told, dB: what
// lies lower is rounding.
const quietest = -160.0

// DistortionText writes a candidate's steady states for a terminal, and what
// mirroring its stack buys, which may be nil.
func DistortionText(w io.Writer, st *study.Study, name string, d *study.Distortion, mirror *study.Mirror, o TextOptions) error {
	p := newPrinter(w, o)
	p.line("%s", p.strong(st.Name+": "+name))
	rest := p.polarity(d.Findings)
	p.wrapped("", "", "Steady states under sines; voltages at the source, rms"+st.Left()+"; swing and shift of "+d.Points[0].Cones[0].Name+
		", one way, peak; level at "+phys.Brief(st.Listening.Distance, phys.Distance, st.Units)+st.Surrounded()+", harmonics against the fundamental; loss: by how much the fundamental falls short of what small signals promise.")
	p.line("")
	length := phys.Length.Unit(st.Units)
	head := []string{"at, Hz", "drive", "swing", "shift", "level", "2nd", "3rd", "4th", "5th", "THD", "loss"}
	unit := []string{"", "V", length.Name, length.Name, "dB", "dB", "dB", "dB", "dB", "%", "dB"}
	rows, tails := [][]string{head, unit}, []string{"", ""}
	last := math.NaN()
	for k := range d.Points {
		q := &d.Points[k]
		if k > 0 && q.Frequency != last && len(d.Points) > 1 && d.Points[k-1].Frequency == last && repeats(d) {
			rows, tails = append(rows, nil), append(tails, "")
		}
		last = q.Frequency
		rows, tails = append(rows, stateRow(q, length)), append(tails, stands(q))
	}
	p.columns(rows, tails, stateFirst, stateEach)
	p.line("")
	for _, c := range d.Points[0].Cones[1:] {
		worst := worstSwing(d, c.Name)
		if worst.at == 0 { // no state was found
			continue
		}
		p.wrapped("  ", "    ", c.Name+" swings "+phys.Show(worst.swing, phys.Length, st.Units)+" at most, at "+phys.Brief(worst.at, phys.Frequency, st.Units)+" and "+phys.Brief(worst.volts, phys.Voltage, st.Units))
	}
	if mirror != nil {
		p.mirror(mirror, st.Units)
	}
	p.grounds(rest)
	return p.err
}

// mirror tells what mirroring buys: the even lines side by side, then in words.
func (p *printer) mirror(m *study.Mirror, units phys.System) {
	p.line("")
	p.line("%s", p.strong("What mirroring buys"))
	if len(m.Rows) > 0 {
		p.mirrorRows(m, units)
	}
	for _, w := range m.Words {
		p.wrapped("  ", "  ", w)
	}
	p.line("")
}

// mirrorRows are the even lines of the variants side by side.
func (p *printer) mirrorRows(m *study.Mirror, units phys.System) {
	p.wrapped("", "", "The second and the fourth harmonic against the fundamental, dB: turned the same way; mirrored, with the air that it has; and of a perfect mirror (rigid coupling, linear air, alike drivers) what each thing alone takes back.")
	p.line("")
	names := []string{"same way", "mirrored", "perfect", "box air"}
	if m.Coupled {
		names = append(names, "gap air")
	}
	names = append(names, "unlike")
	lines := []string{""}
	for range names {
		lines = append(lines, "2nd", "4th")
	}
	rows, off := [][]string{lines}, []string{}
	for k := range m.Rows {
		r := &m.Rows[k]
		if len(r.Off) > 0 {
			off = append(off, fmt.Sprintf("At %s and %s left out, because no state was found, or it has jumped or does not last: %s.",
				phys.Brief(r.Frequency, phys.Frequency, units), phys.Brief(r.Volts, phys.Voltage, units), strings.Join(r.Off, ", ")))
		}
		row := []string{phys.Digits(r.Frequency, 4)}
		add := func(v [2]phys.Maybe) {
			for _, x := range v {
				row = append(row, phys.Fixed(float64(x), 1))
			}
		}
		add(r.SameWay)
		add(r.Facing)
		add(r.Tight)
		add(r.BoxAir)
		if m.Coupled {
			add(r.GapAir)
		}
		add(r.Unlike)
		rows = append(rows, row)
	}
	widths := columnWidths(rows, stateFirst, stateEach)
	head := left("at, Hz", widths[0])
	for k, n := range names {
		head += left(n, widths[1+2*k]+widths[2+2*k])
	}
	p.line("%s", head)
	p.columns(rows, nil, stateFirst, stateEach)
	for _, text := range off {
		p.wrapped("  ", "    ", text)
	}
	p.line("")
}

// repeats says that there are several drives at each frequency.
func repeats(d *study.Distortion) bool {
	return len(d.Points) > 1 && d.Points[0].Frequency == d.Points[1].Frequency
}

// stateRow is one steady state in the order of the head.
func stateRow(q *study.DistortionPoint, length phys.Unit) []string {
	if q.Lost != "" {
		row := []string{phys.Digits(q.Frequency, 4), phys.Digits(q.Volts, 3)}
		return append(row, slices.Repeat([]string{"–"}, study.DistortionLines+4)...)
	}
	x := &q.Cones[0]
	first := study.LineLevel(q.Pressure, 1)
	row := []string{
		phys.Digits(q.Frequency, 4), phys.Digits(q.Volts, 3),
		phys.Digits(length.Of(math.Max(x.Max, -x.Min)), 3), phys.Fixed(length.Of(x.Lines.Mean), 3),
		phys.Fixed(float64(first), 1),
	}
	for n := 2; n <= study.DistortionLines; n++ {
		l := study.LineLevel(q.Pressure, n)
		if below := float64(l - first); l.OK() && below > quietest {
			row = append(row, phys.Fixed(below, 1))
		} else {
			row = append(row, "–")
		}
	}
	thd := "–"
	if v := study.THD(q.Pressure); v.OK() {
		thd = phys.Digits(100*float64(v), 3)
	}
	return append(row, thd, phys.Fixed(float64(q.Compression), 1))
}

// stands is what stands behind a state that is not what it seems.
func stands(q *study.DistortionPoint) string {
	switch s := q.Standing; {
	case q.Lost != "":
		return "  no steady state"
	case s.Lasting == large.Unstable:
		return "  does not last"
	case s.Jumped:
		return "  after a jump"
	}
	return ""
}

// swing is how far a cone swings, and where.
type swing struct{ swing, at, volts float64 }

// worstSwing is a cone's farthest swing over all states.
func worstSwing(d *study.Distortion, name string) swing {
	var worst swing
	for k := range d.Points {
		for _, c := range d.Points[k].Cones {
			if s := math.Max(c.Max, -c.Min); c.Name == name && s > worst.swing {
				worst = swing{s, d.Points[k].Frequency, d.Points[k].Volts}
			}
		}
	}
	return worst
}

// ModulationText writes what two tones make of each other.
func ModulationText(w io.Writer, st *study.Study, list []study.Modulation, o TextOptions) error {
	p := newPrinter(w, o)
	u := st.Units
	t := list[0].TwoTone
	p.line("")
	p.line("%s", p.strong("Two tones"))
	p.wrapped("", "", fmt.Sprintf("%s and %s together, the high one with a quarter of the %s; side tones against the high one.",
		phys.Brief(t.Low, phys.Frequency, u), phys.Brief(t.High, phys.Frequency, u), tonesDrive(st, &list[0])))
	p.line("")
	head := []string{"drive, V", "level, dB"}
	for _, f := range []float64{t.High - 2*t.Low, t.High - t.Low, t.High + t.Low, t.High + 2*t.Low} {
		head = append(head, phys.Brief(f, phys.Frequency, u))
	}
	rows := [][]string{append(head, "in all, %")}
	for _, m := range list {
		if m.Lost != "" {
			rows = append(rows, []string{phys.Digits(m.LowVolts, 3), "–", "–", "–", "–", "–", "–"})
			continue
		}
		row := []string{phys.Digits(m.LowVolts, 3), phys.Fixed(20*math.Log10(m.Level/math.Sqrt2/20e-6), 1)}
		for _, v := range []complex128{m.Below[1], m.Below[0], m.Above[0], m.Above[1]} {
			d := phys.None()
			if a := cmplx.Abs(v) / m.Level; 20*math.Log10(a) > quietest {
				d = phys.Maybe(20 * math.Log10(a))
			}
			row = append(row, phys.Fixed(float64(d), 1))
		}
		rows = append(rows, append(row, phys.Digits(100*m.Share(), 3)))
	}
	p.columns(rows, nil, stateFirst, 11)
	for _, m := range list {
		if m.Lost != "" {
			p.line("")
			p.wrapped("", "", phys.Brief(m.LowVolts, phys.Voltage, u)+": "+m.Lost+".")
		}
	}
	return p.err
}

// tonesDrive is what the high tone has a quarter of: "voltage", or where there are
// filters the drive, and what they leave of that quarter.
func tonesDrive(st *study.Study, m *study.Modulation) string {
	if len(st.Filters) == 0 {
		return "voltage"
	}
	return fmt.Sprintf("drive%s (%s at the source)", st.Fed(), phys.Brief(m.HighVolts, phys.Voltage, st.Units))
}
