package study

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"basswright/internal/enclosure"
	"basswright/internal/phys"
)

// A Fold is a duct laid to and fro in parallel legs, so that its centre line keeps the
// length. Lengths in m. The legs lie beside one another across; y runs along them,
// from the closed end of the first.
type Fold struct {
	Legs             []Leg
	Long, Wide, Deep float64    // outside, with the boards: along the legs, across them, and the third way
	Inside           float64    // the length of the legs between the end walls
	Clear            float64    // of the duct the third way
	Block            float64    // across, with their board: chambers before the duct, beside the first leg; 0: none
	Throat, Rear     float64    // of these along the legs, the throat chamber from where the first begins; 0: none
	Wood             float64    // m³ of boards; 0: of a round duct, which has none
	Stacked          float64    // what stands out before the board of the drivers
	Out              Way        // where the drivers look
	Room             [3]float64 // what the space has for Long, Wide and Deep
	Meets            bool       // there is a wall for the drivers; of a tapped waveguide, one between both places that the cone looks into
	Fits             bool       // the space holds it
	Why              string     // by how much it does not
	over             float64    // m, of all sides together
	across           [3]int     // which of Long, Wide and Deep lies along the space’s width, height and depth
}

// A Way is a direction in a fold.
type Way int

// Ways: along the legs, across them, and the third way.
const (
	AlongLegs Way = iota
	AcrossLegs
	AboveLegs
)

// A Leg is one of them: from one place of the centre line to another.
type Leg struct {
	From, To float64 // m from the duct’s start
	Axis     float64 // across, of its axis from the inside of the first leg’s outer wall
	Wide     float64 // clear, at its widest
	Turn     float64 // the clear height of the turn at its end; 0: it ends at the mouth
	Straight float64 // the length between the turns’ middles
}

// mostLegs bounds what is tried, and mostTurns the walks on end in which a leg is too short
// for its turns: it gets no longer by walking on.
const (
	mostLegs  = 12
	mostTurns = 100
)

// folded lays a duct out in the number of legs that its space asks for: the fewest
// that fit, or those that come nearest, with what sounds looking to the front if it can;
// nil without a space.
func folded(space *Space, b *Body, sys *enclosure.System, u phys.System) *Fold {
	if space == nil {
		return nil
	}
	var best *Fold
	for n := 1; n <= mostLegs; n++ {
		for _, out := range []Way{AcrossLegs, AboveLegs} {
			f := fold(n, out, b, sys)
			if f == nil {
				continue
			}
			f.meets(sys, b)
			f.into(space, u)
			if best == nil || f.before(best) {
				best = f
			}
			if b.Line.InWall || f.Out != out { // its walls say where the drivers look, or they look nowhere
				break
			}
		}
		if best != nil && best.Fits {
			break
		}
	}
	if best != nil {
		best.Wood = best.wood(b, sys)
	}
	return best
}

// before says that a fold is the better one of two.
func (f *Fold) before(g *Fold) bool {
	switch {
	case f.Meets != g.Meets:
		return f.Meets
	case math.Abs(f.over-g.over) > 1e-6:
		return f.over < g.over
	}
	return f.ToFront() && !g.ToFront()
}

// ToFront says that what sounds looks along the depth of the space.
func (f *Fold) ToFront() bool { return f.across[2] == int(f.Out) }

// meets finds out whether the fold has a wall for the drivers in which they lack no more
// than in the best one of the duct. A tapped waveguide asks for a board with both its
// places on either side, within half of the driver.
func (f *Fold) meets(sys *enclosure.System, b *Body) {
	f.Meets = true
	switch l := &sys.Spec.Line; {
	case sys.Spec.Kind == enclosure.TappedWaveguide:
		i, u := f.Place(l.Front)
		k, w := f.Place(l.Rear)
		f.Meets = (i-k)*(i-k) == 1 && math.Abs(u-w) <= b.Rows[0].Seats[0].Frame.Cutout/2
	case b.Line.InWall:
		across, above := inWalls(sys, b)
		leg, _ := f.Place(l.Driver)
		outer := leg == 0 || leg == len(f.Legs)-1
		f.Out = AboveLegs
		if outer && across <= above {
			f.Out = AcrossLegs
		}
		f.Meets = outer || above <= across
	}
}

// fold lays a duct out in n legs; nil where it is too wide for its turns, or these too
// short for what lies beside them. Drivers in a chamber beside the first leg look out of
// it the way that is given.
func fold(n int, out Way, b *Body, sys *enclosure.System) *Fold {
	length, t := sys.Facts.Line.Length, b.Panel
	f := &Fold{Legs: make([]Leg, n), Inside: length / float64(n)}
	for k, turnsOnly := 0, 0; k < 2000 && turnsOnly < mostTurns; k++ {
		last := f.Inside
		f.walk(sys, t)
		if math.Abs(f.Inside-last) < 1e-12 {
			break
		}
		if turnsOnly++; f.straight() {
			turnsOnly = 0
		}
	}
	if !f.straight() {
		return nil
	}
	const parts = 200
	for i := range parts + 1 {
		wide, _ := sys.Section(length * float64(i) / parts)
		f.Clear = math.Max(f.Clear, wide)
	}
	last := f.Legs[n-1]
	f.Long, f.Wide, f.Deep = f.Inside+t, last.Axis+last.Wide/2+2*t, f.Clear+2*t // the mouth is open
	if n > 1 {
		f.Long += t
	}
	if !f.block(b, sys, out) {
		return nil
	}
	return f
}

// straight says that every leg has something between its turns.
func (f *Fold) straight() bool {
	return !slices.ContainsFunc(f.Legs, func(l Leg) bool { return !(l.Straight > 0) })
}

// walk goes along the centre line with the leg’s length so far and makes it better.
func (f *Fold) walk(sys *enclosure.System, t float64) {
	n, at, axis := len(f.Legs), 0.0, 0.0
	turn := 0.0 // of the one before
	for i := range f.Legs {
		l := &f.Legs[i]
		l.From, l.Turn = at, 0
		l.Straight = f.Inside - turn/2
		if i < n-1 {
			_, l.Turn = sys.Section(at + l.Straight)
			l.Straight -= l.Turn / 2
		}
		at += math.Max(l.Straight, 0)
		l.Wide = 0
		const parts = 40
		for k := range parts + 1 {
			_, h := sys.Section(l.From + (at-l.From)*float64(k)/parts)
			l.Wide = math.Max(l.Wide, h)
		}
		if i == 0 {
			axis = l.Wide / 2
		} else {
			before := f.Legs[i-1]
			axis = before.Axis + before.Wide/2 + t + l.Wide/2
		}
		l.Axis = axis
		l.To = at
		if i < n-1 { // the way across, to the next leg as wide as it was in the last walk
			at += l.Wide/2 + t + f.Legs[i+1].Wide/2
		}
		turn = l.Turn
	}
	f.Inside += (sys.Facts.Line.Length - at) / float64(n)
}

// into finds the way of a fold into a space in which it stands out least, and of several
// one in which it looks to the front.
func (f *Fold) into(s *Space, u phys.System) {
	sides := [3]float64{f.Long, f.Wide, f.Deep}
	room := [3]float64{s.Width, s.Height, s.Depth}
	words := [3]string{"wide", "high", "deep"}
	f.over = math.Inf(1)
	for _, p := range [6][3]int{{0, 1, 2}, {0, 2, 1}, {1, 0, 2}, {2, 0, 1}, {1, 2, 0}, {2, 1, 0}} {
		sum, why := 0.0, []string{}
		for i, k := range p {
			need := sides[k]
			if Way(k) == f.Out {
				need += f.Stacked
			}
			if d := need - room[i]; d > slack {
				sum += d
				why = append(why, fmt.Sprintf("%s too %s", phys.Show(math.Ceil(1e3*d)/1e3, phys.Length, u), words[i]))
			}
		}
		if sum < f.over-1e-9 || sum < f.over+1e-9 && p[2] == int(f.Out) && !f.ToFront() {
			f.over, f.Why, f.across = sum, strings.Join(why, ", "), p
			for i, k := range p {
				f.Room[k] = room[i]
			}
		}
	}
	f.Fits = f.over == 0 && f.Meets
}

// Size is how large it is along the space’s width, height and depth, m.
func (f *Fold) Size() (wide, high, deep float64) {
	sides := [3]float64{f.Long, f.Wide, f.Deep}
	sides[f.Out] += f.Stacked
	return sides[f.across[0]], sides[f.across[1]], sides[f.across[2]]
}

// Upright says that its legs stand over one another, so that it is drawn from the front
// or the side and not from above.
func (f *Fold) Upright() bool { return f.across[1] != 2 }

// Centre is the length of the centre line along legs and turns, m.
func (f *Fold) Centre() float64 {
	sum := 0.0
	for i, l := range f.Legs {
		sum += l.Straight
		if i > 0 {
			sum += l.Axis - f.Legs[i-1].Axis
		}
	}
	return sum
}

// Place is where a place of the duct lies: on which leg, and how far along the legs
// from the end at which the first begins, m.
func (f *Fold) Place(x float64) (leg int, y float64) {
	leg = len(f.Legs) - 1
	for i := range f.Legs {
		if i+1 < len(f.Legs) && x > (f.Legs[i].To+f.Legs[i+1].From)/2 {
			continue
		}
		leg = i
		break
	}
	l := f.Legs[leg]
	in := math.Min(math.Max(x-l.From, 0), l.Straight)
	if leg > 0 {
		in += f.Legs[leg-1].Turn / 2
	}
	if leg%2 == 1 {
		return leg, f.Inside - in
	}
	return leg, in
}

// Half is half of the clear section of a leg at a place along the legs, m: the third way
// and across them.
func (f *Fold) Half(sys *enclosure.System, leg int, y float64) (third, across float64) {
	l := f.Legs[leg]
	if leg%2 == 1 {
		y = f.Inside - y
	}
	if leg > 0 {
		y -= f.Legs[leg-1].Turn / 2
	}
	w, h := sys.Section(l.From + math.Min(math.Max(y, 0), l.Straight))
	return w / 2, h / 2
}

// widen makes the drawing of a line as wide as that of its fold, with what stands before
// the fold and its space around it.
func (b *Body) widen() {
	f := b.Fold
	if f == nil || len(f.Legs) < 2 {
		return
	}
	before := 0.0
	if !b.Line.InWall && f.Block == 0 {
		before = b.Line.Lead
	}
	b.Width = math.Max(b.Width, before+math.Max(f.Long, f.Room[0]))
}
