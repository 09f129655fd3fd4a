package variant

import (
	"math"

	"basswright/internal/enclosure"
	"basswright/internal/phys"
)

// The horns that are begun with (common practice, no source): exponential, as long as a
// quarter wave of their cut-off, so that the mouth is e^π times the throat, and shorter
// with a narrower throat where the space asks for it. Cones of no more than four times
// the throat; a throat chamber whose air closes the throat three octaves above the
// cut-off.
const (
	hornCutoff  = 0.7  // of the goal: the flare’s resonances carry what is above
	hornCloses  = 8.0  // times the cut-off
	leastThroat = 0.26 // of the cones
	leastLength = 0.4  // of a quarter wave of the cut-off
)

// A flare is a horn to be tried: its throat over the cones, its length over the quarter
// wave of the cut-off, its width in m.
type flare struct{ throat, length, width float64 }

// flares are the largest first.
func (d draft) flares() []flare {
	widths := []float64{up(d.st.SeatingOf(d.sys.Group, false).Wall, d.st.Units)}
	if in, ok := d.st.Inside(); ok {
		widths = []float64{down(in.Depth), down(in.Height), down(in.Width)}
	}
	var out []flare
	for _, f := range [...][2]float64{{0.5, 1}, {0.35, 1}, {leastThroat, 1}, {0.35, 0.85}, {leastThroat, 0.85}, {leastThroat, 0.7}, {leastThroat, 0.55}, {leastThroat, leastLength}} {
		for _, w := range widths {
			out = append(out, flare{f[0], f[1], w})
		}
	}
	return out
}

func (d draft) startFrontHorn() (draft, string, bool) {
	if rear, ok := d.closed(); ok {
		return d.startHorn(enclosure.FrontLoadedHorn, rear.Spec.Rear.Volume, "behind the cone the chamber of a closed box of total Q "+phys.Digits(rear.Facts.SealedQtc, 2))
	}
	if e, why, ok := d.asCompliant(); ok {
		return d.startHorn(enclosure.FrontLoadedHorn, e.box.Rear.Volume, "behind the cone a closed chamber "+why)
	}
	return d.startHorn(enclosure.FrontLoadedHorn, d.frontChamber(), "behind the cones a closed chamber of 2\u2009Qts²·Vas of each")
}

func (d draft) startBackHorn() (draft, string, bool) {
	return d.startHorn(enclosure.BackLoadedHorn, 0, "")
}

func (d draft) startHorn(kind enclosure.Kind, behind float64, of string) (draft, string, bool) {
	goal, what := d.goal()
	cutoff := hornCutoff * goal
	in, spaced := d.st.Inside()
	e, f, ok := standing(d, d.flares(), func(f flare) (draft, bool) {
		e := d.horn(kind, cutoff, behind, f)
		if !spaced || f.throat == leastThroat && f.length == leastLength { // the smallest is told however large it is
			return e, true
		}
		shape, err := e.box.Line.Run.Shape()
		return e, err == nil && shape.Volume()+behind < in.Air()
	})
	if !ok {
		return d, "", false
	}
	sys, ok := e.build()
	if !ok {
		return d, "", false
	}
	why := "cut-off at " + phys.Show(sys.Facts.Line.Cutoff, phys.Frequency, d.st.Units) + ", seven tenths of " + what + "; " +
		d.coneWords(e.box.Line.Run.Start) + " at the throat; as long as " + share(f.length) + "a quarter wave of the cut-off"
	if of != "" {
		why += "; " + of
	}
	return e, why, true
}

// share is how much of something there is, before it: “0.85 of ”.
func share(k float64) string {
	if k == 1 {
		return ""
	}
	return phys.Digits(k, 2) + " of "
}

func (d draft) horn(kind enclosure.Kind, cutoff, behind float64, f flare) draft {
	box := enclosure.Spec{Kind: kind}
	k, run, throat := words{u: d.st.Units}, words{u: d.st.Units}, words{u: d.st.Units}
	area := d.section(f.throat, 4)
	length := f.length * d.st.Air.C / (4 * cutoff)
	r := &box.Line.Run
	r.Length = run.size("length", length, phys.Distance)
	r.Start = run.size("start", area, phys.Area)
	r.End = run.size("end", area*math.Exp(math.Pi*f.length), phys.Area)
	r.Flare = enclosure.FlareExponential
	run.word("flare", r.Flare.String())
	r.Section.Width = run.size("width", f.width, phys.Length)
	k.in("duct", run)
	if kind == enclosure.FrontLoadedHorn {
		rear := words{u: d.st.Units}
		box.Rear.Volume = rear.size("volume", behind, phys.Volume)
		k.in("rear", rear)
	}
	box.Line.Throat.Volume = throat.size("volume", d.st.Air.C*area/(2*math.Pi*hornCloses*cutoff), phys.Volume)
	k.in("throat_chamber", throat)
	return d.boxed(box, k)
}
