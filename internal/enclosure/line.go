package enclosure

import (
	"fmt"
	"math"
	"slices"

	"basswright/internal/duct"
)

// Line is the duct of a distributed enclosure as a study words it, from its closed
// end or its throat to its mouth, and what it is joined to.
type Line struct {
	Run    Run
	Driver float64 // m from the closed end: where the cone of a transmission line looks into it
	Quiet  bool    // in place of that: where the cone excites the three-quarter wave through losses alone
	Front  float64 // m, tapped waveguide: the front of the cone
	Rear   float64 // m, tapped waveguide: its rear
	Throat Chamber // horns: the air between cone and throat; without a volume none
	Mouth  Mouth
	Fills  []duct.Filling
	Bodies Bodies
}

// Bodies says whether what stands in the duct of a line or a tapped waveguide takes its
// volume off it.
type Bodies uint8

// What there is to say.
const (
	BodiesLeftOut Bodies = iota
	BodiesUnset          // counted, and told as what nobody asked for
	BodiesCounted
)

// Run is the course of a duct’s cross-section: straight with Area, from Start to End
// by Flare, or through Points.
type Run struct {
	Length     float64 // m; of a tractrix and of points it follows
	Tuning     float64 // Hz, the quarter wave, in place of a length
	Area       float64 // m²
	Start, End float64 // m²
	Flare      Flare   // between Start and End, or between points
	T          float64 // Hyperbolic
	Points     []duct.Point
	Section    duct.Section
	Taken      []Taken // what stands in it, beside the drivers of the kind
	BareJumps  bool    // without the mass of the air that flows together where the area jumps
}

// Taken is what takes a volume off a duct, m³, from one place to another, m.
type Taken struct{ From, To, Volume float64 }

// Flare is how the cross-section goes from one area to another.
type Flare uint8

// The flares.
const (
	FlareCone Flare = iota // the width in proportion to the distance
	FlareParabolic
	FlareExponential
	FlareHyperbolic
	FlareTractrix
)

// String is the flare in the words of the study file.
func (f Flare) String() string {
	return [...]string{"cone", "parabolic", "exponential", "hyperbolic", "tractrix"}[f]
}

// Mouth is how a duct ends.
type Mouth struct {
	End  End
	Load Load
}

// Load is how the air in a mouth moves.
type Load uint8

// The loads.
const (
	LoadUnset  Load = iota // LoadPiston for horns and tapped waveguides, LoadPipe for lines
	LoadPipe               // as in a pipe, faster at the rim
	LoadPiston             // as one
)

// Shape is the duct’s.
func (r Run) Shape() (duct.Shape, error) {
	flare := func(length, from, to float64) (duct.Shape, error) {
		switch r.Flare {
		case FlareParabolic:
			return duct.Parabolic(length, from, to)
		case FlareExponential:
			return duct.Exponential(length, from, to)
		case FlareHyperbolic:
			return duct.Hyperbolic(length, from, to, r.T)
		case FlareTractrix:
			return duct.Tractrix(from, to)
		}
		return duct.Cone(length, from, to)
	}
	switch {
	case len(r.Points) > 0 && r.Flare == FlareCone:
		return duct.Points(r.Points)
	case len(r.Points) > 0:
		return duct.Profile(r.Points, flare)
	case r.Start > 0:
		return flare(r.Length, r.Start, r.End)
	}
	return duct.Cylinder(r.Length, r.Area)
}

// Course is the duct’s shape less what is taken off it.
func (r Run) Course() (duct.Shape, error) {
	shape, err := r.Shape()
	for i, t := range r.Taken {
		if err != nil {
			break
		}
		shape, err = r.less(shape, i, t)
	}
	return shape, err
}

// less is a shape less the i-th of what is taken off it.
func (r Run) less(shape duct.Shape, i int, t Taken) (duct.Shape, error) {
	key, length := fmt.Sprintf("taken[%d]", i), shape.Length()
	switch {
	case !(t.To-t.From >= least):
		return shape, &duct.Error{Key: key + ".to", Reason: fmt.Sprintf("something from %s to %s", metres(t.From), apart(t.To, t.From)), Mend: "let it end behind " + metres(t.From) + ", where it begins"}
	case !(t.To <= length*(1+1e-9)):
		return shape, &duct.Error{Key: key + ".to", Reason: fmt.Sprintf("something from %s to %s in a duct of %s", metres(t.From), apart(t.To, length), apart(length, t.To)), Mend: "let it end inside the duct"}
	}
	if air := shape.Between(t.From, t.To).Volume(); !(t.Volume <= duct.MostTaken*air) {
		left := ""
		if slices.ContainsFunc(r.Taken[:i], func(o Taken) bool { return o.From < t.To && t.From < o.To }) {
			left = "that what overlaps it leaves "
		}
		return shape, &duct.Error{Key: key + ".volume", Reason: fmt.Sprintf("%s of the %s of air %sfrom %s to %s are taken up", litres(t.Volume), litres(air), left, metres(t.From), metres(t.To)), Mend: "make the duct wider there, or what stands in it smaller"}
	}
	return shape.Narrowed(t.From, t.To, t.Volume)
}

// tried is the course at a length that is only tried: what reaches beyond it is taken
// off in part, so that the course changes without a jump from one length to the next.
func (r Run) tried() (duct.Shape, error) {
	shape, err := r.Shape()
	if err != nil {
		return shape, err
	}
	length := shape.Length()
	for _, t := range r.Taken {
		to := math.Min(t.To, length)
		if err != nil || to-t.From < least {
			continue // what ends before it begins is told of the length that is found
		}
		part := shape.Between(t.From, to).Volume()
		shape, err = shape.Narrowed(t.From, to, math.Min(t.Volume*(to-t.From)/(t.To-t.From), duct.MostTaken*(1-1e-9)*part))
	}
	return shape, err
}

// sides are those of a rectangular cross-section of an area, m; 0 for a round one.
func (r Run) sides(area float64) (w, h float64) {
	switch s := r.Section; {
	case s.Width > 0:
		return s.Width, area / s.Width
	case s.Aspect > 0:
		h = math.Sqrt(area / s.Aspect)
		return area / h, h
	}
	return 0, 0
}

// Scaled is the line with its lengths and its areas by factors. What stands in it
// beside the drivers stays: it is no part of the duct.
func (l Line) Scaled(long, area float64) Line {
	l.Run.Length *= long
	l.Run.Tuning /= long
	l.Run.Area *= area
	l.Run.Start *= area
	l.Run.End *= area
	l.Run.Points = slices.Clone(l.Run.Points)
	for i := range l.Run.Points {
		l.Run.Points[i].X *= long
		l.Run.Points[i].Area *= area
	}
	l.Driver, l.Front, l.Rear = l.Driver*long, l.Front*long, l.Rear*long
	l.Throat.Volume *= area
	l.Fills = slices.Clone(l.Fills)
	for i := range l.Fills {
		l.Fills[i].From *= long
		l.Fills[i].To *= long
	}
	return l
}
