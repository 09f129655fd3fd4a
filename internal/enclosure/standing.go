package enclosure

import (
	"fmt"
	"math"

	"basswright/internal/driver"
	"basswright/internal/duct"
	"basswright/internal/note"
)

// Standing is what stands in a duct: the bodies of drivers with the air between them
// and the boards that carry them.
type Standing struct {
	At        string  // what it belongs to: "driver", "front" or "rear" of a tapped waveguide
	From, To  float64 // m from the duct’s start
	Volume    float64 // m³ that it takes
	Left      float64 // m², the least that it leaves of the cross-section
	Crowded   bool    // it takes up a duct that has no room for it, and only half of it is counted
	Estimated bool    // the sheet does not give what the bodies take
}

// Board is the thickness of the enclosure’s boards, m.
func (s Setting) Board() float64 {
	if s.Panel > 0 {
		return s.Panel
	}
	return driver.Panel
}

// Rows are the drivers of each position as they stand on their board.
func (s *System) Rows() []driver.Row {
	var out []driver.Row
	for _, stack := range s.Group.Positions {
		out = append(out, driver.LayRow(stack, s.Group.Coupling, s.Setting.Board(), math.Inf(1)))
	}
	return out
}

// bodies are what the group puts before its board and behind it, m³, along the duct,
// m, as it stands in a side wall, and how far behind the board.
type bodies struct {
	before, behind float64
	wide, reach    float64
	estimated      bool
}

func (b *System) bodies() bodies {
	var out bodies
	coupling := 0.0
	for _, gap := range b.Group.Coupling {
		coupling += gap.Volume
	}
	for i, r := range b.Rows() {
		out.reach = math.Max(out.reach, r.Reach-b.Setting.Board())
		out.wide = math.Max(out.wide, r.Outside())
		out.behind += r.Wood
		for k, m := range b.Group.Positions[i] {
			v, estimated := driver.BodyVolume(m.Driver)
			out.estimated = out.estimated || estimated
			out.wide = math.Max(out.wide, r.Seats[k].Frame.Cutout)
			if k == 0 && r.Ahead > 0 {
				out.before += v
			} else {
				out.behind += v
			}
		}
		if r.Ahead > 0 {
			out.before += coupling
		} else {
			out.behind += coupling
		}
	}
	return out
}

// stand takes what stands in a line or a tapped waveguide off its cross-section, and
// tells it.
func (b *builder) stand(shape duct.Shape) (duct.Shape, error) {
	shape, all, err := b.narrowed(shape)
	b.Facts.Standing = all
	for _, s := range all {
		b.crowd(s)
	}
	return shape, err
}

// inTheBoard is how far a driver reaches into a duct at the most that is no deeper than its
// board is thick: the rounding of a length, m.
const inTheBoard = 1e-9

// narrowed is the duct less what stands in it.
func (b *builder) narrowed(shape duct.Shape) (duct.Shape, []Standing, error) {
	l := &b.Spec.Line
	if l.Bodies == BodiesLeftOut {
		return shape, nil, nil
	}
	body := b.bodies()
	var all []Standing
	switch b.Spec.Kind {
	case TransmissionLine:
		s := Standing{At: "driver", Volume: body.behind}
		if l.Driver == 0 { // in the closed end, along the duct: no more of it than goes through its holes as far as it reaches
			s.To, s.Volume = body.reach, math.Min(body.behind, float64(len(b.Group.Positions))*body.wide*body.wide*body.reach)
		} else {
			s.From, s.To = l.Driver-body.wide/2, l.Driver+body.wide/2
		}
		all = append(all, s)
	case TappedWaveguide:
		all = append(all,
			Standing{At: "rear", From: l.Rear - body.wide/2, To: l.Rear + body.wide/2, Volume: body.behind},
			Standing{At: "front", From: l.Front - body.wide/2, To: l.Front + body.wide/2, Volume: body.before})
	}
	var out []Standing
	for _, s := range all {
		if s.Volume == 0 || s.To-s.From < inTheBoard {
			continue
		}
		s.Estimated = body.estimated
		var err error
		if shape, err = s.into(shape); err != nil {
			return shape, nil, err
		}
		out = append(out, s)
	}
	return shape, out, nil
}

// half is the share of a duct that what stands in it takes at the most: what would
// take more lies along more of it.
const half = 0.5

// into lays it into the duct and says what it leaves.
func (s *Standing) into(shape duct.Shape) (duct.Shape, error) {
	length := shape.Length()
	for range 60 {
		if s.From < 0 {
			s.From, s.To = 0, s.To-s.From
		}
		if s.To > length {
			s.From, s.To = math.Max(0, s.From-(s.To-length)), length
		}
		room := half * shape.Between(s.From, s.To).Volume()
		if s.Volume <= room {
			break
		}
		if s.To-s.From >= length*(1-1e-9) {
			s.Crowded, s.Volume = true, room
			break
		}
		more := (s.To - s.From) * math.Min(math.Max(s.Volume/room-1, 0.01), 1) / 2
		s.From, s.To = s.From-more, s.To+more
	}
	s.Volume = math.Min(s.Volume, half*shape.Between(s.From, s.To).Volume())
	out, err := shape.Narrowed(s.From, s.To, s.Volume)
	if err != nil {
		return out, ductFault(err, "duct")
	}
	s.Left = math.Inf(1)
	const parts = 50
	for i := range parts + 1 {
		s.Left = math.Min(s.Left, out.Area(s.From+(s.To-s.From)*(1e-9+(1-2e-9)*float64(i)/parts)))
	}
	return out, nil
}

// crowd tells what was taken off, and where it is too much to be so.
func (b *builder) crowd(s Standing) {
	what := "the group"
	if b.Group.Count() == 1 {
		what = "the driver"
	}
	if s.Crowded {
		b.note(note.Warning, "duct-crowded", "duct", what+" takes up more than half of the whole duct: what it does then is no prediction", "make the duct wider, or take a smaller woofer")
		return
	}
	if b.Spec.Line.Bodies == BodiesCounted {
		return
	}
	text := fmt.Sprintf("%s takes %s off the duct from %s to %s, where it leaves %s", what, litres(s.Volume), metres(s.From), metres(s.To), area(s.Left))
	if s.Estimated {
		text += "; by its size, for want of a displacement"
	}
	b.note(note.Default, "default-bodies", "duct.bodies", text, "write bodies: left_out in duct to leave it out")
}

// Bodies is what the group puts before its board and behind it, m³: drivers, the air
// between their cones and what carries them.
func (s *System) Bodies() (before, behind float64) {
	b := s.bodies()
	return b.before, b.behind
}

// Section is the clear cross-section of the duct at a place, m from its start, the wider
// side first; of a duct whose sides change in one direction, that direction last.
func (s *System) Section(at float64) (wide, narrow float64) {
	area := s.Facts.Line.Area(at)
	w, h := s.Spec.Line.Run.sides(area)
	if w == 0 {
		d := 2 * math.Sqrt(area/math.Pi)
		return d, d
	}
	return w, h
}
