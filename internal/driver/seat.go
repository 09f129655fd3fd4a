package driver

import "math"

// How drivers are mounted behind each other, m (common practice, no source).
const (
	LeastRing = 12e-3 // between the flanges of two cones that face each other
	Ledge     = 12e-3 // the boards of the tube that carries an inner driver
	Panel     = 18e-3 // the boards of an enclosure, where nobody says
	Clearance = 8e-3  // beside a flange or a port, in all
	Breath    = 20e-3 // behind a magnet
	Apart     = 10e-3 // between a magnet and the next part
	play      = 2e-3  // between a flange and the tube around it
)

// A Seat is where a driver of a stack stands. Depths are m, counted inwards
// from the outer face of the board that carries the stack; what stands before
// that board has negative ones.
type Seat struct {
	Facing Facing
	Frame  Frame
	Mount  float64 // the mounting face of its flange
	Ring   float64 // thickness of the ring before its cone, for one that looks in at another cone; else 0
	Tube   bool    // a tube carries it, with a ledge around its flange
	From   float64 // where that tube begins
}

// Front is the face of its flange on the cone's side.
func (s Seat) Front() float64 { return s.Mount - float64(s.Facing)*s.Frame.FlangeThickness }

// Back is the end of its magnet.
func (s Seat) Back() float64 { return s.Mount + float64(s.Facing)*s.Frame.Depth }

// Shelf is the board around its flange, nearest to the listener and farthest,
// where a tube carries it.
func (s Seat) Shelf() (near, far float64) {
	if s.Facing == Front {
		return s.Front(), s.Front() + Ledge
	}
	return s.Front() - Ledge, s.Front()
}

// A Row is the drivers of one position, from the listener inward.
type Row struct {
	Seats []Seat
	Reach float64 // m, the innermost end of all
	Ahead float64 // m, what stands out before the board
	Tube  float64 // m, inside width of the tube; 0: there is none
	Wood  float64 // m³ of the tube's boards
	High  float64 // m, inside height of the tube
	Least float64 // m, the least inside height of a box around the tube
}

// Outside is how wide the tube is with its boards, m; 0: there is none.
func (r Row) Outside() float64 {
	if r.Tube == 0 {
		return 0
	}
	return r.Tube + 2*Ledge
}

// LayRow seats the drivers of one position. A tube or ring is made long enough
// for the coupling air, and at least so long that nothing touches. The tube is as
// high as wide where the box leaves room for a top and a bottom of its own;
// else its walls stand between those of the box.
func LayRow(stack []Member, air []Coupling, panel, height float64) Row {
	r := Row{Seats: make([]Seat, len(stack))}
	widest := 0.0
	for k, m := range stack {
		r.Seats[k] = Seat{Facing: m.Facing, Frame: FrameOf(m.Driver)}
		widest = math.Max(widest, r.Seats[k].Frame.Flange)
	}
	width := widest + 2*play
	high, capped := height, 0.0
	if height >= width+2*Ledge {
		high, capped = width, 1
	}
	edge, from := 0.0, panel // the end of what is seated; where the next tube begins
	for k := range r.Seats {
		s := &r.Seats[k]
		between := 0.0
		if k > 0 && k-1 < len(air) {
			between = air[k-1].Volume
		}
		switch {
		case k == 0 && s.Facing == Front:
			s.Mount = s.Frame.FlangeThickness
		case k == 0: // on the board from outside, its magnet before the box
			if len(stack) > 1 && stack[1].Facing == Front {
				s.Ring = ringOf(stack, 0, air)
			}
			s.Mount = -s.Ring - s.Frame.FlangeThickness
			r.Ahead = -s.Back()
			edge = 0
			continue
		case s.Facing == Front && r.Seats[k-1].Facing == Rear: // cone to cone
			s.Mount = edge + s.Frame.FlangeThickness
		default:
			s.Tube, s.From = true, from
			s.Mount = seat(s, stack, k, edge, between, width*high)
		}
		if s.Facing == Rear && k+1 < len(stack) && stack[k+1].Facing == Front {
			s.Ring = ringOf(stack, k, air)
		}
		edge = math.Max(s.Front()+s.Ring, s.Back())
		if s.Tube {
			near, far := s.Shelf()
			r.Tube, r.High, r.Least = width, high, high+2*capped*Ledge
			r.Wood += 2*Ledge*(near-from)*(high+capped*(width+2*Ledge)) + Ledge*((width+2*Ledge)*r.Least-Disc(s.Frame.Cutout/2))
			from = far
		}
	}
	r.Reach = math.Max(edge, panel)
	return r
}

// seat is the mounting face of driver k in a tube of a cross-section, m²: as far in as
// the coupling air asks, at least clear of the driver before it.
func seat(s *Seat, stack []Member, k int, edge, air, area float64) float64 {
	before, _ := BodyVolume(stack[k-1].Driver)
	if stack[k-1].Facing == Rear { // it looks in: its cone is open to the tube
		before = -Hollow(stack[k-1].Driver)
		edge = math.Max(edge, s.From)
	}
	if s.Facing == Front {
		length := (air + before - Hollow(stack[k].Driver)) / area
		return math.Max(edge+Apart, s.From+length) + s.Frame.FlangeThickness
	}
	own, _ := BodyVolume(stack[k].Driver)
	length := (air + before + own) / area
	return math.Max(edge+Apart+s.Frame.Depth, s.From+length+Ledge-s.Frame.FlangeThickness)
}

// ringOf is the thickness of the ring between driver k and the next, cone to
// cone: the coupling air less the hollows of the two cones.
func ringOf(stack []Member, k int, air []Coupling) float64 {
	if k >= len(air) {
		return LeastRing
	}
	a, b := stack[k].Driver, stack[k+1].Driver
	hole := Disc(math.Min(FrameOf(a).Cutout, FrameOf(b).Cutout) / 2)
	return math.Max(LeastRing, (air[k].Volume-Hollow(a)-Hollow(b))/hole)
}

func Disc(radius float64) float64 { return math.Pi * radius * radius }
