package variant

import (
	"basswright/internal/duct"
	"basswright/internal/enclosure"
	"basswright/internal/phys"
)

// The line that is begun with (common practice, no source): its section in areas of the
// cones, polyester of a common packing over the first third and a bit of its length, as
// fill there takes more of the upper waves than of the bass.
const (
	linePacking = 12.0 // kg/m³
	lineFilled  = 0.36 // of a quarter wave in plain air
	lineTuning  = 0.9  // of the extension asked for: fill takes some of the lowest octave
	mostFilled  = 0.8  // of a quarter wave in plain air: shorter is no line begun with
)

// sections are the areas that are tried: the widest that the space holds, a middle one
// where there is no space to say, and more where drivers leave nothing of that.
func (d draft) sections() []float64 {
	times := []float64{2, 1.5, 1, 0.75}
	if d.st.Space == nil {
		times = []float64{1.5, 2, 3}
	}
	for i := range times {
		times[i] = d.section(times[i], 2)
	}
	return times
}

// far says that a duct of an area is far too long for the space, as wide as it is: its
// length is not worth finding.
func (d draft) far(w, least want, length float64) bool {
	in, ok := d.st.Inside()
	return ok && w.area > least.area && w.area*length > in.Air()
}

// startLine is a line whose quarter wave follows the goal, with its cone where it
// excites the three-quarter wave through losses alone.
func (d draft) startLine() (draft, string, bool) {
	goal, of := d.goal()
	tuning, why := lineTuning*goal, "its quarter wave at nine tenths of "+of+", as fill takes of the lowest octave"
	if _, asked := d.askedF3(); !asked {
		tuning, why = goal, "its quarter wave at "+of
	}
	seats := d.st.SeatingOf(d.sys.Group, false)
	lengths := map[float64]*enclosure.System{} // by area: to find a length takes long, and the width moves it little
	wants := d.wants(d.sections(), seats)
	_, w, ok := standing(d, wants, func(w want) (draft, bool) {
		e := d.line(tuning, w)
		if d.far(w, wants[len(wants)-1], mostFilled*d.st.Air.C/(4*tuning)) {
			return e, false
		}
		made, tried := lengths[w.area]
		if !tried {
			made, _ = e.build()
			lengths[w.area] = made
		}
		if made == nil {
			return e, false
		}
		l := &e.box.Line
		l.Run.Tuning, l.Run.Length, l.Quiet, l.Driver = 0, made.Spec.Line.Run.Length, false, made.Spec.Line.Driver
		return e, true
	})
	if !ok {
		return d, "", false
	}
	e := d.line(tuning, w) // with a tuning and the quiet place again, to be turned as such
	to := phys.Show(e.box.Line.Fills[0].To, phys.Distance, d.st.Units)
	return e, why + "; " + d.coneWords(e.box.Line.Run.Area) + "; the cone where it excites the three-quarter wave through losses alone; polyester of 12\u2009kg/m³ over the first " + to, true
}

func (d draft) line(tuning float64, w want) draft {
	box := enclosure.Spec{Kind: enclosure.TransmissionLine}
	k, run, fill := words{u: d.st.Units}, words{u: d.st.Units}, words{u: d.st.Units}
	r := &box.Line.Run
	r.Tuning = run.size("tuning", tuning, phys.Frequency)
	r.Area = run.size("area", w.area, phys.Area)
	r.Section.Width = run.size("width", w.width, phys.Length)
	k.in("duct", run)
	box.Line.Quiet = true
	k.word("driver_at", "quiet")
	fill.word("material", "polyester")
	fill.word("packing", "12 kg/m3")
	to := fill.size("to", lineFilled*d.st.Air.C/(4*r.Tuning), phys.Distance)
	k.in("fill", fill)
	sigma, _ := duct.Polyester.Resistivity(linePacking, 0)
	box.Line.Fills = []duct.Filling{{To: to, Fill: duct.Fill{Resistivity: sigma}}}
	box.Line.Bodies = enclosure.BodiesUnset
	return d.boxed(box, k)
}
