package airflow

import (
	"math"

	"basswright/internal/phys"
)

// Need is what ports have to do together.
type Need struct {
	Flow      float64 // m³/s, the peak volume velocity of all ports
	Frequency float64 // Hz, where it has that
	Count     int     // ports side by side, 1 to 100
	Slot      bool    // of a slot of Width; else round
	Width     float64 // m, 2 mm to 5 m: how wide a slot can be; 0: no slot is looked at

	Inner, Outer End
	Air          phys.Air
	Speed        float64 // m/s, peak, that is allowed at every size; 0: what Port.Limit allows

	// The mass of air that tunes the box, of all ports together: outright, or by
	// the volume of their chamber and its tuning, ρc²/(ω²V).
	Mass   float64 // kg/m⁴; 0: by the two below
	Volume float64 // m³
	Tuning float64 // Hz; with a Mass, 0 stands for Frequency

	Depth float64 // m, the longest that a straight port may be; 0: it does not matter
	Room  float64 // m³, that ports may take; 0: it does not matter
}

// Fit is the least ports that do what is needed.
type Fit struct {
	Section   Section
	Area      float64 // m², of all ports
	Speed     float64 // m/s, peak
	Limit     float64 // m/s, what is allowed; above Speed only where Basis is ShortPort, or the smallest bore is wide enough
	Basis     Basis   // what decided the size
	Length    float64 // m, of each port, its flares included
	Effective float64 // m, the length of bore that holds the mass: with both ends’ corrections
	PipeMode  float64 // Hz, c/(2·Effective), where the port is half a wave long
	Taken     float64 // m³, of all ports, flares included
	Troubles  []Trouble
	Remedies  []Remedy // what else to do about the troubles, each worked out
}

// Trouble is why ports do not fit.
type Trouble uint8

// The troubles.
const (
	TooLong      Trouble = iota + 1 // Length is above Depth
	TooBig                          // Taken is above Room
	PipeModeNear                    // the pipe mode lies below twice the tuning, where enclosures refuse a port
)

// Kind is the kind of a remedy.
type Kind uint8

// The kinds of remedies.
const (
	Flare     Kind = iota + 1 // round the edges of both ends by Edge: the port of Section and Length then fits
	Fold                      // lead the port around a corner: its Length, along its middle, has room otherwise
	ToSlot                    // a slot of Section and Length along a wall, led around a corner
	LessPower                 // the port of Section and Length fits and holds the power times Power
	Radiator                  // a passive radiator that displaces Displacement
)

// Remedy is something else to do when ports do not fit.
type Remedy struct {
	Kind         Kind
	Section      Section
	Length       float64 // m
	Edge         float64 // m
	Power        float64 // 0 to 1, of the power that makes Flow; volume velocity goes with its root
	Displacement float64 // m³, peak: Flow/ω
}

// Least finds the smallest equal ports whose air stays within Port.Limit, and the
// length that gives them the mass: ρ·effective/S, where the ends are those of phys
// and flares hold what a flat front of air through them has. A port that would
// have no length at all is made wider. Whether it fits is a matter of Troubles;
// the error is a *PortError, for needs that make no sense or that no port meets.
//
// What stands in the port’s way inside (a free end wants about a diameter of room
// before a wall: common practice, no source) is for the caller to take off Depth.
func Least(n Need) (Fit, error) {
	if err := n.check(); err != nil {
		return Fit{}, err
	}
	f, err := n.size()
	if err != nil {
		return Fit{}, err
	}
	if f.Troubles = n.troubles(f); len(f.Troubles) > 0 {
		f.Remedies = n.remedies(f)
	}
	return f, nil
}

// size is Least without troubles and remedies.
func (n Need) size() (Fit, error) {
	low, high := n.bounds()
	if n.capacity(high) < n.Flow {
		return Fit{}, &PortError{"need", "no port is wide enough for this much air", "take more ports, or a passive radiator"}
	}
	size := least(low, high, func(x float64) bool { return n.capacity(x) >= n.Flow })
	f := n.fit(size)
	if f.Length < f.ends(n) {
		if full := n.fit(high); full.Length < full.ends(n) {
			return Fit{}, &PortError{"need", "the tuning is so high that no port is short enough for it", "tune lower, or take fewer ports"}
		}
		f = n.fit(least(size, high, func(x float64) bool { f := n.fit(x); return f.Length >= f.ends(n) }))
		f.Basis = ShortPort
	}
	return f, nil
}

func (n Need) check() error {
	positive := func(x float64) bool { return x > 0 && !math.IsInf(x, 1) }
	orNone := func(x float64) bool { return x == 0 || positive(x) }
	say := func(reason, mend string) error { return &PortError{"need", reason, mend} }
	switch {
	case !positive(n.Flow) || !positive(n.Frequency):
		return say("the flow and its frequency have to be above zero", "give both")
	case n.Count < 1 || n.Count > 100:
		return say("the number of ports does not lie between 1 and 100", "give one that does")
	case n.Slot && n.Width == 0:
		return say("a slot has to have a width", "give it, or take a round port")
	case n.Width != 0 && !(n.Width >= smallestSide && n.Width <= largestSide):
		return say("the width of a slot does not lie between 2 mm and 5 m", "give one that does")
	case !orNone(n.Mass) || !orNone(n.Volume) || !orNone(n.Tuning):
		return say("the mass, the volume and the tuning may not be below zero", "leave out what is not known")
	case n.Mass == 0 && (n.Volume == 0 || n.Tuning == 0):
		return say("nothing tells the mass of the air", "give it, or the chamber’s volume and tuning")
	case !orNone(n.Depth) || !orNone(n.Room) || !orNone(n.Speed):
		return say("the depth, the room and the speed may not be below zero", "leave out what does not matter")
	}
	low, _ := n.bounds()
	if _, err := New(n.section(low), n.Inner, n.Outer, n.Air); err != nil {
		return err
	}
	if m := n.mass(); !positive(m) || m > 1e9 || m < 1e-3 {
		return say("the mass of the air does not lie between 0.001 and 10⁹ kg/m⁴", "look at the volume and the tuning")
	}
	return nil
}

// bounds are what the size that is looked for lies between: a diameter or a
// slot’s height, m.
func (n Need) bounds() (low, high float64) {
	if n.Slot {
		return smallestSide, largestSide
	}
	return smallest, largest
}

func (n Need) section(size float64) Section {
	if n.Slot {
		return Section{Width: n.Width, Height: size}
	}
	return Section{Diameter: size}
}

func (n Need) mass() float64 {
	if n.Mass > 0 {
		return n.Mass
	}
	w := omega(n.Tuning)
	return n.Air.Rho * n.Air.C * n.Air.C / (w * w * n.Volume)
}

// capacity is the flow, m³/s, that ports of a size may have; it rises with the size.
func (n Need) capacity(size float64) float64 {
	p := build(n.section(size), n.Inner, n.Outer, n.Air)
	speed, _ := n.limit(p)
	return speed * p.area * float64(n.Count)
}

// limit is the speed that is allowed in a port and what it rests on.
func (n Need) limit(p Port) (speed float64, by Basis) {
	if n.Speed > 0 {
		return n.Speed, Stated
	}
	return p.Limit(n.Frequency)
}

// fit is what ports of a size come to.
func (n Need) fit(size float64) Fit {
	p := build(n.section(size), n.Inner, n.Outer, n.Air)
	count := float64(n.Count)
	f := Fit{Section: p.section, Area: p.area * count}
	f.Speed = n.Flow / f.Area
	f.Limit, f.Basis = n.limit(p)
	f.Effective = n.mass() * f.Area / n.Air.Rho
	straight := f.Effective - p.inner.mass - p.outer.mass
	f.Length = straight + p.inner.axial + p.outer.axial
	f.PipeMode = n.Air.C / (2 * f.Effective)
	f.Taken = count * (p.area*straight + p.inner.room + p.outer.room)
	return f
}

// ends is how long a port’s flares are without any bore between them, m.
func (f Fit) ends(n Need) float64 {
	return n.Inner.stream(f.Section).axial + n.Outer.stream(f.Section).axial
}

func (n Need) troubles(f Fit) []Trouble {
	tuning := n.Tuning
	if tuning == 0 {
		tuning = n.Frequency
	}
	var out []Trouble
	if n.Depth > 0 && f.Length > n.Depth {
		out = append(out, TooLong)
	}
	if n.Room > 0 && f.Taken > n.Room {
		out = append(out, TooBig)
	}
	if f.PipeMode < 2*tuning {
		out = append(out, PipeModeNear)
	}
	return out
}

// least is the smallest x between two bounds for which ok holds, which holds from
// there on, to 1e-12 of itself and never below; it has to hold for the upper one.
func least(low, high float64, ok func(x float64) bool) float64 {
	if ok(low) {
		return low
	}
	for high-low > 1e-12*high {
		middle := (low + high) / 2
		if middle <= low || middle >= high {
			break
		}
		if ok(middle) {
			high = middle
		} else {
			low = middle
		}
	}
	return high
}
