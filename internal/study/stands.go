package study

import (
	"math"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
)

// Stands says whether a system fits the study’s space, as far as there is one, and its
// drivers the duct that they stand in: what the checks of a candidate hold it to. A
// network fits where its air does.
func (st *Study) Stands(sys *enclosure.System) bool { return st.Unfit(sys) == "" }

// Unfit says in words why a system does not stand; empty if it does. That no fold was found
// is told apart: one by hand may fit.
func (st *Study) Unfit(sys *enclosure.System) string {
	const unfit = "it does not fit the space"
	room, spaced := st.Inside()
	switch {
	case sys.Spec.Net != nil && spaced && sys.Facts.NetVolume > room.Air():
		return unfit
	case sys.Spec.Net != nil:
		return ""
	case sys.Facts.Line != nil && spaced && airAndBodies(sys) > room.Air():
		return unfit // however it is folded
	}
	b := layBody(st.Space, sys, st.Units)
	if sys.Facts.Line == nil {
		if !b.Fits {
			return unfit
		}
		return ""
	}
	switch f := fitOf(sys, &b); {
	case f.some && f.worst.by() > slack:
		return "what stands in its duct does not fit it"
	case st.Space != nil && (b.Fold == nil || !b.Fold.Fits):
		return "no fold in parallel legs fits the space"
	}
	return ""
}

// Inner is what a space has inside the boards of an enclosure that fills it, m.
type Inner struct{ Width, Height, Depth float64 }

// Air is its volume, m³.
func (r Inner) Air() float64 { return r.Width * r.Height * r.Depth }

// Inside is the study’s; none without a space.
func (st *Study) Inside() (Inner, bool) {
	s := st.Space
	if s == nil {
		return Inner{}, false
	}
	t := 2 * st.Boards()
	return Inner{max(0, s.Width-t), max(0, s.Height-t), max(0, s.Depth-t)}, true
}

// Boards is the thickness of the boards that enclosures are laid out with, m.
func (st *Study) Boards() float64 {
	if st.Space != nil && st.Space.Panel > 0 {
		return st.Space.Panel
	}
	return defaultPanel
}

// A Seating is what the drivers of a group ask of the wall of a duct that they stand in.
type Seating struct {
	Wall   float64 // m, the clear width that frame or tube needs
	Across float64 // m, the clear depth of the duct, with the air behind a magnet
}

// SeatingOf is that of a group. between says that the wall lies between two legs, in
// which the whole flange needs room, and drivers reach into both.
func (st *Study) SeatingOf(g *driver.Group, between bool) Seating {
	b := Body{Group: g, Panel: st.Boards(), Spec: enclosure.Spec{Kind: enclosure.TransmissionLine}}
	b.layRows(math.Inf(1))
	f := ductFit{panel: b.Panel}
	var out Seating
	for _, r := range b.Rows {
		frame, reach := f.flangeOn(r), r.Reach-b.Panel
		if between {
			frame, reach = flangeIn(r), max(reach, r.Ahead)
		}
		out.Wall = max(out.Wall, frame, r.Outside())
		out.Across = max(out.Across, behind(reach))
	}
	return out
}
