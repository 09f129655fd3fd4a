package study

import (
	"math"

	"basswright/internal/enclosure"
)

// standing is what the drivers of a group ask of a chamber, m: behind the inside of their
// board, before its outside, and for each between the walls.
type standing struct {
	deep, ahead, wide float64
	n                 int
}

func (b *Body) standing() standing {
	s := standing{n: len(b.Rows)}
	for _, r := range b.Rows {
		s.deep = math.Max(s.deep, r.Reach-b.Panel+breath)
		s.wide = math.Max(s.wide, math.Max(flangeIn(r), r.Outside()))
		if r.Ahead > 0 {
			s.ahead = math.Max(s.ahead, r.Ahead+breath)
		}
	}
	return s
}

// side is how many stand side by side in a width that holds at least one, and in how many
// rows.
func (s standing) side(width float64) (per, rows float64) {
	per = math.Min(math.Max(1, math.Floor(width/s.wide+1e-9)), float64(s.n))
	return per, math.Ceil(float64(s.n) / per)
}

// block lays a horn’s chambers out beside the first leg, with the drivers in them, and
// says where these look and what stands out of the enclosure: out of a back-loaded horn’s
// the way that is asked for; it tells whether the legs are long enough for it.
func (f *Fold) block(b *Body, sys *enclosure.System, out Way) bool {
	s := &sys.Spec
	before, behind := sys.Bodies()
	f.Stacked = b.InFront
	switch {
	case s.Kind == enclosure.FrontLoadedHorn:
		f.Stacked = 0
		if s.Line.Throat.Volume > 0 {
			return f.inside(b, s.Line.Throat.Volume+before, s.Rear.Volume+behind)
		}
		return f.beside(b, &f.Rear, s.Rear.Volume+behind, AcrossLegs)
	case s.Kind == enclosure.TappedWaveguide:
		f.Stacked = 0
	case s.Kind == enclosure.BackLoadedHorn && s.Line.Throat.Volume > 0:
		return f.beside(b, &f.Throat, s.Line.Throat.Volume+behind, out)
	}
	return true
}

// inside lays out a throat chamber and a rear chamber one after the other, with the board
// of the drivers between them, so that these look along the legs to where the first
// begins: as wide as the drivers ask, and wider where the legs are short for the air.
func (f *Fold) inside(b *Body, throat, rear float64) bool {
	t, d := b.Panel, b.standing()
	per, rows := d.side(f.Clear)
	third := math.Max(f.Clear, per*d.wide)
	room := f.Inside - t
	if room < d.ahead+d.deep+slack {
		return false
	}
	across := math.Max(rows*d.wide, (throat+rear)/(room*third))
	across = math.Max(across, math.Max(throat/((room-d.deep)*third), rear/((room-d.ahead)*third)))
	f.Throat, f.Rear = math.Max(throat/(across*third), d.ahead), math.Max(rear/(across*third), d.deep)
	f.grow(across+t, third+2*t)
	return true
}

// beside lays out one chamber whose drivers look out of it across the legs, or above them.
func (f *Fold) beside(b *Body, long *float64, air float64, out Way) bool {
	d := b.standing()
	per, rows := d.side(f.Clear)
	third, across := math.Max(f.Clear, per*d.wide), d.deep
	if out == AboveLegs {
		rows, third, across = float64(d.n), math.Max(f.Clear, d.deep), d.wide
	}
	if f.Inside < rows*d.wide {
		return false
	}
	across = math.Max(across, air/(f.Inside*third))
	*long, f.Out = math.Max(air/(across*third), rows*d.wide), out
	f.grow(across+b.Panel, third+2*b.Panel)
	return true
}

// grow adds a block beside the first leg.
func (f *Fold) grow(block, deep float64) {
	f.Block, f.Deep = block, math.Max(f.Deep, deep)
	f.Wide += block
}

// wood is the volume of a fold’s boards, m³: its outside but for the mouth, the walls of
// its legs and of its chambers. Where a leg narrows, a board of the same thickness stands
// along its edge, or as much of it as the dead space behind has room for.
func (f *Fold) wood(b *Body, sys *enclosure.System) float64 {
	if s := sys.Spec.Line.Run.Section; s.Width == 0 && s.Aspect == 0 {
		return 0
	}
	t, n := b.Panel, len(f.Legs)
	third := f.Deep - 2*t
	flat := 2*f.Long + f.Wide - 2*t // of the boards that stand around the outside
	if n > 1 {
		w, h := sys.Section(sys.Facts.Line.Length)
		flat += f.Wide - 2*t - w*h/third
	}
	v := 2*t*f.Long*f.Wide + t*third*flat + b.Boards
	const parts = 400
	du := f.Inside / parts
	for i, l := range f.Legs {
		for k := range parts {
			y := (float64(k) + 0.5) * du
			w, h := f.Half(sys, i, y)
			v += math.Min(third-2*w, t) * 2 * h * du
			dead := l.Wide/2 - h
			if i == 0 || i == n-1 {
				v += math.Min(dead, t) * third * du
			}
			if n == 1 { // both of its walls are outer ones
				v += math.Min(dead, t) * third * du
			}
			if i == n-1 || f.turns(i, y) {
				continue
			}
			_, next := f.Half(sys, i+1, y)
			v += math.Min(dead+t+f.Legs[i+1].Wide/2-next, 2*t) * third * du
		}
	}
	return v + f.blockWood(b, sys)
}

// turns says that the duct goes from one leg to the next at a place along them.
func (f *Fold) turns(leg int, y float64) bool {
	if leg%2 == 1 {
		return y < f.Legs[leg].Turn
	}
	return y > f.Inside-f.Legs[leg].Turn
}

// blockWood is that of the boards between the chambers and between these and the first leg.
func (f *Fold) blockWood(b *Body, sys *enclosure.System) float64 {
	if f.Block == 0 {
		return 0
	}
	t := b.Panel
	third, across, end := f.Deep-2*t, f.Block-t, f.Throat+f.Rear
	_, open := f.Half(sys, 0, 0)
	v := (f.Inside - math.Min(2*open, f.Throat)) * t * third
	if f.Throat > 0 && f.Rear > 0 {
		v += t * across * third
		end += t
	}
	return v + math.Min(math.Max(f.Inside-end, 0), t)*across*third
}
