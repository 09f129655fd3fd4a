package study

import (
	"fmt"
	"math"

	"basswright/internal/enclosure"
	"basswright/internal/note"
	"basswright/internal/phys"
)

// farthest are the two openings of a baffle whose centres are farthest from each other.
func farthest(faces []enclosure.Face) (one, two string, d float64) {
	for i, a := range faces {
		for _, b := range faces[:i] {
			if far := math.Hypot(a.At.X-b.At.X, a.At.Y-b.At.Y); far > d {
				one, two, d = b.Name, a.Name, far
			}
		}
	}
	return one, two, d
}

// span is the rectangle that openings take on their baffle, m.
func span(faces []enclosure.Face) (wide, high float64) {
	var lo, hi [2]float64
	for i, f := range faces {
		for k, at := range [2]float64{f.At.X, f.At.Y} {
			if i == 0 || at-f.Radius < lo[k] {
				lo[k] = at - f.Radius
			}
			if i == 0 || at+f.Radius > hi[k] {
				hi[k] = at + f.Radius
			}
		}
	}
	return hi[0] - lo[0], hi[1] - lo[1]
}

// holds says that a side of the space is as large as a rectangle, either way round.
func (s *Space) holds(wide, high float64) bool {
	for _, side := range [3][2]float64{{s.Width, s.Height}, {s.Width, s.Depth}, {s.Depth, s.Height}} {
		a, b := math.Max(side[0], side[1]), math.Min(side[0], side[1])
		if math.Max(wide, high) <= a+slack && math.Min(wide, high) <= b+slack {
			return true
		}
	}
	return false
}

// baffleFindings doubt places on a baffle that are far apart: where the reference level is
// read, ways that differ by half a wave add up or cancel with the direction, and one
// direction no longer stands for the rest; and no box has a side that its space has not.
func (st *Study) baffleFindings(o *Outcome) []note.Finding {
	faces := o.System.Facts.Faces
	one, two, d := farthest(faces)
	if d == 0 {
		return nil
	}
	where := "candidates." + o.Candidate.Name + ".enclosure.baffle"
	far := func(x float64) string { return phys.Show(x, phys.Distance, st.Units) }
	var out []note.Finding
	warn := func(id, text, mend string) {
		out = append(out, note.Finding{ID: id, Severity: note.Warning, Where: where, At: o.Candidate.At, Text: where + ": " + text, Mend: mend})
	}
	half := o.System.Setting.Air.C / (2 * d)
	if band := o.Figures.ReferenceBand; !o.silent() && half < band.To*(1-1e-9) {
		warn("baffle-far", fmt.Sprintf("%s and %s are %s apart, half a wave at %s, and the reference band goes to %s: from there up they add up in one direction and cancel in another, and what is told holds at the place of the listener alone", one, two, far(d), phys.Show(half, phys.Frequency, st.Units), phys.Show(band.To, phys.Frequency, st.Units)),
			fmt.Sprintf("put them no more than %s apart, cross over below %s, or look at other places with listening: {aside, above}", far(math.Floor(1e3*o.System.Setting.Air.C/(2*band.To))/1e3), phys.Show(half, phys.Frequency, st.Units)))
	}
	if s := st.Space; s != nil && o.System.Spec.Kind != enclosure.InfiniteBaffle {
		if wide, high := span(faces); !s.holds(wide, high) {
			warn("baffle-beyond-space", fmt.Sprintf("what stands there takes %s by %s, and no side of the space is so large", far(wide), far(high)), "put them closer together, or give another space")
		}
	}
	return out
}
