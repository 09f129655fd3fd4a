package driver

// Arrangement names how the two drivers of a stack face each other.
type Arrangement uint8

// The arrangements of a stack.
const (
	Single      Arrangement = iota // no stack
	Tandem                         // all the same way
	Clamshell                      // cone to cone
	BackToBack                     // magnet to magnet
	MixedFacing                    // deeper than two, facing given driver by driver
)

// String is the arrangement in the words of the study file.
func (a Arrangement) String() string {
	return [...]string{"single", "tandem", "clamshell", "back_to_back", "mixed"}[a]
}

// Facing says which side a driver turns to the listener.
type Facing int8

// The two ways to face. A driver that faces Front radiates from its front.
const (
	Front Facing = +1
	Rear  Facing = -1
)

// String is the facing in the words of the study file.
func (f Facing) String() string {
	if f == Rear {
		return "rear"
	}
	return "front"
}

// A Member is one driver in its place in a group.
type Member struct {
	Driver   *Driver
	Facing   Facing
	Polarity int // +1 normal, −1 reversed at its terminals
}

// Direction is the way in which the cone moves for a positive voltage at the
// group: +1 towards the listener, −1 away.
func (m Member) Direction() int { return m.Polarity * int(m.Facing) }

// Coupling is the air between two neighbouring cones of a stack.
type Coupling struct {
	Volume float64 // m³; 0: rigidly coupled
	Length float64 // m; 0: the air is a spring without mass
}

// A Group is the drivers of a candidate, with their mounting and wiring.
// Positions[p][k] is the k-th driver from the listener inward at position p.
// All positions are equally deep.
type Group struct {
	Positions   [][]Member
	Arrangement Arrangement
	Coupling    []Coupling // len = depth−1, the same at every position; empty: rigid
	InSeries    int        // driven coils per string; the strings are in parallel
	Split       Split      // over the channels of an amplifier
	Channels    int        // that drive it; 0 or 1: one drives the whole group
	Unlike      bool       // members differ (or were given one by one)
	Elsewhere   bool       // positions of a network look elsewhere than each other
}

// SideBySide is the number of radiating positions.
func (g *Group) SideBySide() int { return len(g.Positions) }

// Depth is the number of drivers in each stack.
func (g *Group) Depth() int { return len(g.Positions[0]) }

// Count is the number of drivers.
func (g *Group) Count() int { return g.SideBySide() * g.Depth() }

// NeededPolarity is the polarity of each driver, in member order, that makes
// every cone move towards the listener for a positive voltage at the group: a
// driver that turns its rear to the listener takes reversed leads.
func (g *Group) NeededPolarity() []int {
	out := make([]int, 0, g.Count())
	for _, p := range g.Positions {
		for _, m := range p {
			out = append(out, int(m.Facing))
		}
	}
	return out
}

// StackMovesTogether reports whether all cones at position p move the same
// way.
func (g *Group) StackMovesTogether(p int) bool {
	for _, m := range g.Positions[p] {
		if m.Direction() != g.Positions[p][0].Direction() {
			return false
		}
	}
	return true
}

// MovesTogether reports whether all cones of the group move the same way; where
// positions look elsewhere than each other, those of each.
func (g *Group) MovesTogether() bool {
	for p := range g.Positions {
		if !g.StackMovesTogether(p) || !g.Elsewhere && g.Positions[p][0].Direction() != g.Positions[0][0].Direction() {
			return false
		}
	}
	return true
}

// Alike reports whether all members are one kind of driver.
func (g *Group) Alike() bool {
	for _, p := range g.Positions {
		for _, m := range p {
			if !m.Driver.same(g.Positions[0][0].Driver) {
				return false
			}
		}
	}
	return true
}

// same reports whether two drivers act alike; their names and prices may
// differ.
func (d *Driver) same(e *Driver) bool {
	if d == e {
		return true
	}
	a, b := *d, *e
	a.Name, b.Name = "", ""
	a.Data, b.Data = Data{}, Data{}
	a.Coils.Quoted, b.Coils.Quoted = 0, 0 // how the sheet spoke, not what it is
	return a == b
}
