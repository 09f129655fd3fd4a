package enclosure

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"basswright/internal/network"
	"basswright/internal/note"
	"basswright/internal/radiation"
)

// Spot is a place on the baffle, m from where the listening distance begins: across, to
// the right as the listener sees it, and up.
type Spot struct{ X, Y float64 }

// Baffle is where what radiates stands on one baffle.
type Baffle struct {
	Cones []Spot          // the outer cones, by position; none: at the origin
	At    map[string]Spot // of the rest, by the names of Radiating; what is not named is at the origin
}

// Toward is the direction in which the listener is, as seen from the baffle, degrees.
type Toward struct {
	Aside float64 // to the right
	Above float64
}

// path is the way from a place to the listener against the listening distance.
type path struct {
	longer float64 // m
	weight float64 // the listening distance over the way
}

// pathOf is that of a place.
func (s Setting) pathOf(at Spot) path {
	side, up := s.Toward.Aside*math.Pi/180, s.Toward.Above*math.Pi/180
	d := s.Distance
	x, y, z := d*math.Sin(side)*math.Cos(up), d*math.Sin(up), d*math.Cos(side)*math.Cos(up)
	// the difference of two nearly equal ways, without what cancels in it
	way := math.Sqrt((x-at.X)*(x-at.X) + (y-at.Y)*(y-at.Y) + z*z)
	longer := (at.X*at.X + at.Y*at.Y - 2*(x*at.X+y*at.Y)) / (way + d)
	return path{longer: longer, weight: d / way}
}

// Share is what an element’s flow counts as at the listener, at w in rad/s: Factor, with
// the ways from where it stands. What stands for several is their mean.
func (r *Radiating) Share(w, c float64) complex128 {
	if len(r.paths) == 0 {
		return complex(r.Factor, 0)
	}
	var sum complex128
	for _, p := range r.paths {
		sin, cos := math.Sincos(-w * p.longer / c)
		sum += complex(p.weight*cos, p.weight*sin)
	}
	return sum * complex(r.Factor/float64(len(r.paths)), 0)
}

// Spread says that what radiates stands at several places.
func (s *System) Spread() bool { return s.spread }

// standsAt are the places of what radiates under a name.
func (b *builder) standsAt(name string) []Spot {
	f := b.Spec.Baffle
	if s, ok := f.At[name]; ok {
		return []Spot{s}
	}
	var spots []Spot
	for _, c := range b.Cones {
		if (c.Name == name || c.Name+" rear" == name) && len(f.Cones) > 0 {
			spots = append(spots, f.Cones[c.Position])
		}
	}
	if _, ok := b.symmetry(); ok && !b.Setting.Unreduced && len(spots) > 0 {
		return f.Cones // one position stands for all
	}
	if len(spots) == 0 {
		spots = []Spot{{}}
	}
	return spots
}

// a face is a round opening in the baffle.
type face struct {
	name, key string
	at        Spot
	radius    float64
	element   network.ElementID // an impedance; −1: none that could hear another
}

// faces lists what stands in the baffle: cones by position, then openings, then radiators.
func (b *builder) baffleFaces() []face {
	var out []face
	f := b.Spec.Baffle
	for p, stack := range b.Group.Positions {
		looks, k := b.looks(p), 0
		if looks.rear.heard {
			k = len(stack) - 1
		} else if !looks.front.heard {
			continue
		}
		c := face{name: b.coneName(p, k), key: "baffle.cones", radius: math.Sqrt(stack[k].Driver.Sd / math.Pi), element: -1}
		if len(f.Cones) > 0 {
			c.at = f.Cones[p]
		}
		for _, h := range b.heard {
			if h.position == p && !h.behind {
				c.element = h.element
			}
		}
		out = append(out, c)
	}
	for _, o := range b.Openings {
		if !b.onBaffle(o.Name) || b.Net.Element(o.Element).B != network.Outside || b.unflanged(o.Name) {
			continue
		}
		one := face{o.Name, b.placeKey(o.Name), f.At[o.Name], math.Sqrt(o.Area / math.Pi), o.Element}
		if o.Area == 0 { // an ideal mass, whose size nobody knows
			one.element = -1
		}
		out = append(out, one)
	}
	for _, r := range b.Radiators {
		if b.onBaffle(r.Name) {
			out = append(out, face{r.Name, b.placeKey(r.Name), f.At[r.Name], math.Sqrt(r.Sd / math.Pi), -1})
		}
	}
	return out
}

// unflanged says that an opening is a mouth without a flange, which stands before the
// baffle and not in it.
func (b *builder) unflanged(name string) bool {
	if b.Spec.Kind == Network {
		p := b.Spec.Net.part(name)
		return p.Kind == NetOpening && p.Mouth.End == EndFree
	}
	return name == "mouth" && b.Spec.Line.Mouth.End == EndFree
}

// checkBaffle refuses places that cannot be before anything is built.
func (b *builder) checkBaffle() error {
	f := b.Spec.Baffle
	if f == nil {
		return nil
	}
	n, outside := b.Group.SideBySide(), b.conesOutside()
	switch {
	case len(f.Cones) > 0 && outside == 0 && b.Spec.Kind == Network:
		return fault("baffle.cones", "leave cones out, or let a side of them look outside", "no cone of this network looks outside")
	case len(f.Cones) > 0 && len(f.Cones) != n:
		return fault("baffle.cones", fmt.Sprintf("list %s, one for each position", counted(n, "place")), "%s for the outer cones of %s", counted(len(f.Cones), "place"), counted(n, "position"))
	case len(f.Cones) == 0 && outside > 1:
		return fault("baffle", fmt.Sprintf("add cones with %d places", n), "the group has %d positions, which cannot all stand at one place", n)
	}
	if b.Setting.FullRadiation {
		b.Setting.Unreduced = b.Setting.Unreduced || n > 1 // each hears the others at its own distance
	}
	return nil
}

// counted is a number of things in words.
func counted(n int, thing string) string {
	if n == 1 {
		return "one " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

// conesOutside counts the positions whose cones look to where the listener is.
func (b *builder) conesOutside() int {
	switch b.Spec.Kind {
	case InfiniteBaffle, Sealed, Vented, PassiveRadiator, TransmissionLine, BackLoadedHorn:
		return b.Group.SideBySide()
	case Network:
		return b.netConesOutside()
	}
	return 0
}

// hears says that openings and cones on the baffle hear each other: with the exact load
// on each of them, because a mutual load without their own would give energy.
func (b *builder) hears() bool { return b.Spec.Baffle != nil && b.Setting.FullRadiation }

// baffle lays the ways to the listener and lets what stands in the baffle hear each
// other.
func (b *builder) baffle() error {
	if b.Spec.Baffle == nil {
		switch b.Spec.Kind {
		case TransmissionLine, BackLoadedHorn:
			b.note(note.Default, "default-baffle", "baffle", "cone and mouth count at one place, and do not hear each other", "write baffle with their places, such as baffle: {mouth: {y: −60 cm}}")
		case Network:
			b.noNetBaffle()
		}
		return nil
	}
	faces := b.baffleFaces()
	for i, one := range faces {
		for _, two := range faces[:i] {
			d, need := math.Hypot(one.at.X-two.at.X, one.at.Y-two.at.Y), one.radius+two.radius
			if d < need*(1-1e-9) {
				return fault(one.key, "put their centres at least "+mm(math.Ceil(need*1e3)/1e3)+" apart", "%s and %s overlap on the baffle: their centres are %s apart, and their radii make %s", two.name, one.name, mm(d), mm(need))
			}
		}
	}
	for _, f := range faces {
		b.Facts.Faces = append(b.Facts.Faces, Face{f.name, f.at, f.radius})
	}
	for _, o := range b.Openings {
		if b.onBaffle(o.Name) && b.unflanged(o.Name) {
			b.Facts.Faces = append(b.Facts.Faces, Face{o.Name, b.Spec.Baffle.At[o.Name], math.Sqrt(o.Area / math.Pi)})
		}
	}
	for i := range b.radiating {
		r := &b.radiating[i]
		for _, at := range b.standsAt(r.Name) {
			r.paths = append(r.paths, b.Setting.pathOf(at))
		}
	}
	b.spread = true
	if !b.hears() {
		b.note(note.Default, "baffle-unheard", "baffle", "what stands on the baffle reaches the listener on ways of its own, and no part of it hears another (radiation: classical)", "write model: {radiation: full}")
		return nil
	}
	var deaf []string
	for i, one := range faces {
		if one.element < 0 {
			deaf = append(deaf, one.name)
			continue
		}
		for _, two := range faces[:i] {
			if two.element < 0 {
				continue
			}
			b.couple(two, one, "")
		}
	}
	b.behindHears()
	if slices.ContainsFunc(b.Openings, func(o Opening) bool { return b.unflanged(o.Name) }) {
		deaf = append(deaf, "a mouth without a flange")
	}
	if len(deaf) > 0 {
		b.note(note.Warning, "baffle-deaf", "baffle", strings.Join(deaf, " and ")+" and the rest of the baffle do not hear each other: no load of theirs is known for it", "read what changes by less than a decibel with care")
	}
	return nil
}

// heard is the mutual load of two openings in a space; its images are those of small
// openings, as with their own loads.
type heard struct {
	between *radiation.Mutual
	images  float64
}

// At is the mutual impedance at w, Pa·s/m³.
func (h heard) At(w float64) complex128 {
	z := h.between.At(w)
	return complex(h.images*real(z), imag(z))
}

// heardFace is the load of a cone’s face that hears others: before the wall, or behind it.
type heardFace struct {
	position int
	element  network.ElementID
	behind   bool
	name     string
	radius   float64
}

// face is it as one in the wall, by the places of the cones.
func (h heardFace) face(cones []Spot) face {
	return face{name: h.name, at: cones[h.position], radius: h.radius, element: h.element}
}

// listens says that a face of a cone hears others: on the listener’s side of the wall all
// that stands there, and behind the wall the other cones that look there, whose places are
// known as their fronts’ are.
func (b *builder) listens(at ear) bool {
	return b.hears() && at.node == network.Outside && (at.heard || len(b.Spec.Baffle.Cones) > 1)
}

// heardFaces counts the faces of the cone at depth k of a position that hear others.
func (b *builder) heardFaces(p, k, depth int) int {
	n, at := 0, b.looks(p)
	if k == 0 && b.listens(at.front) {
		n++
	}
	if k == depth-1 && b.listens(at.rear) {
		n++
	}
	return n
}

// heardFace is a face of a cone with its exact load as a part of its own, so that it
// can hear others: the place that the cone looks into.
func (b *builder) heardFace(p int, name string, sd float64, behind bool) network.Node {
	part := name + " load"
	at := b.Net.AddNode(network.Acoustic, part)
	load := network.PistonLoad{Radius: math.Sqrt(sd / math.Pi), C: b.Setting.Air.C, Rho: b.Setting.Air.Rho, By: 1, Images: b.images()}
	b.heard = append(b.heard, heardFace{p, b.Net.AddImpedance(part, at, network.Outside, network.Triple{}, load), behind, name, load.Radius})
	return at
}

// behindHears lets the faces of cones behind the wall hear each other: they stand as far
// apart as before it.
func (b *builder) behindHears() {
	cones := b.Spec.Baffle.Cones
	for i, one := range b.heard {
		for _, two := range b.heard[:i] {
			if one.behind && two.behind {
				b.couple(two.face(cones), one.face(cones), " behind")
			}
		}
	}
}

// couple lets two faces hear each other.
func (b *builder) couple(two, one face, where string) {
	d := math.Max(math.Hypot(one.at.X-two.at.X, one.at.Y-two.at.Y), one.radius+two.radius)
	law := heard{radiation.NewMutual(one.radius, two.radius, d, b.Setting.Air.C, b.Setting.Air.Rho), b.images()}
	b.Net.AddCoupling(two.name+" and "+one.name+where, two.element, one.element, law)
}
