package study

import (
	"math"
	"slices"

	"basswright/internal/driver"
	"basswright/internal/phys"
)

// A Room is what the space of a brief holds of one kind of driver: a box that
// fills the space, with the same seats, lanes and gaps as a candidate's box.
type Room struct {
	Driver     *driver.Driver
	SideBySide int       // how many fit along the front; 0: not one
	Behind     int       // how many fit behind one another on one axis, all facing the listener
	Back       float64   // m, what stays behind the magnet of one; below 0: lacking
	TooDeep    float64   // m, what it lacks of depth with air behind the magnet; 0: nothing
	Centres    []float64 // m, the axes of those side by side, from the left outside of the space
	Why        string    // by how much it does not fit
}

// mostLanes bounds what is counted, however small a driver is in its space.
const mostLanes = 64

// Board is the thickness of the space's boards, m.
func (s *Space) Board() float64 {
	if s.Panel > 0 {
		return s.Panel
	}
	return defaultPanel
}

// Inside is the inside of a box that fills the space, m; 0 where it is all board.
func (s *Space) Inside() (width, height, depth float64) {
	wall := 2 * s.Board()
	return math.Max(s.Width-wall, 0), math.Max(s.Height-wall, 0), math.Max(s.Depth-wall, 0)
}

// Air is what such a box holds while it is empty, m³.
func (s *Space) Air() float64 {
	w, h, d := s.Inside()
	return w * h * d
}

// Rooms tells for every driver of the shortlist how often it fits the space,
// in the order of the file; nothing without a space.
func (st *Study) Rooms() []Room {
	if st.Space == nil {
		return nil
	}
	out := make([]Room, len(st.Drivers))
	for i := range st.Drivers {
		out[i] = st.Space.room(st.Drivers[i].Driver, st.Units)
	}
	return out
}

func (s *Space) room(d *driver.Driver, u phys.System) Room {
	r := Room{Driver: d}
	b := s.filled(d, 1, 1)
	f := FrameOf(d)
	r.Back = s.Depth - b.Panel - b.Rows[0].Reach
	b.Height = b.leastHeight() + 2*b.Panel
	b.Depth = b.Rows[0].Reach + breath + b.Panel
	b.Width = f.Flange + clearance + 2*b.Panel
	r.TooDeep = math.Max(b.Depth-s.Depth, 0)
	b.fit(s, u)
	if r.Why = b.Why; !b.Fits {
		return r
	}
	r.TooDeep = 0 // but for less than shows
	lane := f.Flange + clearance
	wide, height, _ := s.Inside()
	r.SideBySide = min(int(math.Floor((wide+slack)/lane)), mostLanes)
	for r.Behind = 1; r.Behind < mostLanes; r.Behind++ {
		row := driver.LayRow(stackOf(d, r.Behind+1), nil, b.Panel, height)
		if row.Reach+breath > s.Depth-b.Panel+slack || row.Outside()+clearance > wide+slack {
			break
		}
	}
	all := s.filled(d, r.SideBySide, 1)
	for _, l := range all.Lanes {
		r.Centres = append(r.Centres, l.Centre)
	}
	return r
}

// filled is a closed box as large as the space with alike drivers in its front.
func (s *Space) filled(d *driver.Driver, sideBySide, stack int) Body {
	b := Body{Group: &driver.Group{Positions: slices.Repeat([][]driver.Member{stackOf(d, stack)}, sideBySide)}, Panel: s.Board(), Fits: true, Width: s.Width}
	_, height, _ := s.Inside()
	b.layRows(height)
	b.Lanes = b.lanes(height)
	b.place(s.Width)
	return b
}

func stackOf(d *driver.Driver, n int) []driver.Member {
	return slices.Repeat([]driver.Member{{Driver: d, Facing: driver.Front, Polarity: 1}}, n)
}
