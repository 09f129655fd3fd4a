package variant

import (
	"fmt"

	"basswright/internal/enclosure"
	"basswright/internal/phys"
)

// scaleLine makes the section of a duct k times as large, all along: what a group in
// another mounting needs of it.
func (d *draft) scaleLine(k float64) {
	if k == 1 {
		return
	}
	r := &d.box.Line.Run
	for _, x := range []struct {
		key  string
		area *float64
	}{{"area", &r.Area}, {"start", &r.Start}, {"end", &r.End}} {
		if *x.area > 0 {
			*x.area = d.quantity("enclosure.duct."+x.key, *x.area*k, phys.Area)
		}
	}
	points := append(r.Points[:0:0], r.Points...) // those of the draft that this one comes from stay
	for i := range points {
		points[i].Area = d.quantity(fmt.Sprintf("enclosure.duct.profile[%d].area", i), points[i].Area*k, phys.Area)
	}
	r.Points = points
}

// hornChambers are the chambers of a horn.
func (d *draft) hornChambers() []chamber {
	s, made := &d.box, &d.sys.Spec
	var out []chamber
	if s.Kind == enclosure.FrontLoadedHorn {
		out = append(out, chamber{&s.Rear, "enclosure.rear.", &made.Rear})
	}
	if s.Line.Throat.Volume > 0 {
		out = append(out, chamber{&s.Line.Throat, "enclosure.throat_chamber.", &made.Line.Throat})
	}
	return out
}

// lineWords are a duct’s length and its section, as they follow other words.
func lineWords(s enclosure.Spec, u phys.System) string {
	if s.Line.Run.Tuning > 0 {
		return ", with a duct tuned to " + phys.Show(s.Line.Run.Tuning, phys.Frequency, u)
	}
	shape, err := s.Line.Run.Shape()
	if err != nil { // one that was not built
		return ""
	}
	length := shape.Length()
	from, to := phys.Show(shape.Area(0), phys.Area, u), phys.Show(shape.Area(length), phys.Area, u)
	if from != to {
		from += " to " + to
	}
	return ", with a duct of " + phys.Show(length, phys.Distance, u) + " and " + from
}
