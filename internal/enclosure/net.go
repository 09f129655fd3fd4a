package enclosure

import (
	"slices"

	"basswright/internal/duct"
)

// Net is a free network as a study words it: named places joined by parts, and the
// places that the two sides of the group’s cones look into.
type Net struct {
	Front, Rear string
	Parts       []NetPart
}

// The places that every network has. All ends that are closed are apart from each
// other.
const (
	PlaceOutside = "outside" // where the listener is
	PlaceBehind  = "behind"  // outside too, but on the other side of a wall that no sound comes around
	PlaceClosed  = "closed"  // the closed end of a duct
)

// NetKind is a kind of part of a network.
type NetKind uint8

// The kinds of part.
const (
	NetChamber   NetKind = iota + 1 // air that is pressed, at a place
	NetPort                         // air that moves as one, between two places
	NetDuct                         // a duct between two places, with others along it
	NetDiaphragm                    // a passive diaphragm between two places
	NetOpening                      // where a place looks outside, with the load of a mouth
	NetLeak                         // a resistance between two places
	NetAbsorber                     // a resistance between two places, or with air of its own behind it
	NetDrivers                      // positions of the group that look elsewhere than the others
)

var netWords = [...]string{"", "chamber", "port", "duct", "diaphragm", "opening", "leak", "absorber", "drivers"}

// NetKinds lists all of them, in the order in which they are offered.
func NetKinds() []NetKind {
	var out []NetKind
	for k := NetChamber; k <= NetDrivers; k++ {
		out = append(out, k)
	}
	return out
}

// String is the kind in the words of the study file.
func (k NetKind) String() string { return netWords[k] }

// NetPart is a part of a network, between A and B; at A alone where B is empty. Of
// the other fields those count that its kind has.
type NetPart struct {
	Name     string
	Kind     NetKind
	A, B     string
	Chamber  Chamber        // NetChamber; NetPort: its port, tuning and losses, and the air that it is tuned with
	Run      Run            // NetDuct, from A to B
	Fills    []duct.Filling // NetDuct
	Taps     []NetTap       // NetDuct: other places along it, by rising distance
	Mouth    Mouth          // NetOpening
	Area     float64        // m², NetOpening; 0: that of the one duct that ends there
	Width    float64        // m, NetOpening: of a rectangular one; 0: as the duct’s, or round
	Radiator Radiator       // NetDiaphragm
	Resist   float64        // Pa·s/m³, NetLeak and NetAbsorber
	Sheet    Sheet          // NetAbsorber, in place of Resist
	Position int            // NetDrivers: from 1
	Alone    bool           // worded by the one place that it is at, though it joins two
}

// NetTap is a place along a duct.
type NetTap struct {
	Place string
	At    float64 // m from where the duct begins
}

// Sheet is a porous sheet that air is pressed through.
type Sheet struct {
	Resistivity float64 // Pa·s/m²
	Thickness   float64 // m
	Area        float64 // m²
}

// ends are the names of the places that a part joins.
func (p *NetPart) ends() []string {
	out := []string{p.A}
	if p.B != "" {
		out = append(out, p.B)
	}
	for _, t := range p.Taps {
		out = append(out, t.Place)
	}
	return out
}

// Reserved says that a place is one of those that every network has.
func Reserved(place string) bool {
	return place == PlaceOutside || place == PlaceBehind || place == PlaceClosed
}

// abroad says that a place is outside, on whichever side.
func abroad(place string) bool { return place == PlaceOutside || place == PlaceBehind }

// Clone is a network that can be changed without changing n.
func (n *Net) Clone() *Net {
	if n == nil {
		return nil
	}
	out := *n
	out.Parts = slices.Clone(n.Parts)
	for i := range out.Parts {
		p := &out.Parts[i]
		p.Run.Points, p.Run.Taken = slices.Clone(p.Run.Points), slices.Clone(p.Run.Taken)
		p.Fills = slices.Clone(p.Fills)
		p.Taps = slices.Clone(p.Taps)
	}
	return &out
}

// LookAlike says that no position of the group is said to look elsewhere than the
// others.
func (n *Net) LookAlike() bool {
	return n == nil || !slices.ContainsFunc(n.Parts, func(p NetPart) bool { return p.Kind == NetDrivers && (p.A != n.Front || p.B != n.Rear) })
}

// Places are the network’s own places in the order in which its parts name them.
func (n *Net) Places() []string {
	var out []string
	take := func(place string) {
		if !Reserved(place) && !slices.Contains(out, place) {
			out = append(out, place)
		}
	}
	take(n.Rear)
	take(n.Front)
	for i := range n.Parts {
		for _, place := range n.Parts[i].ends() {
			take(place)
		}
	}
	return out
}

// part is the part of a name; nil: there is none.
func (n *Net) part(name string) *NetPart {
	for i := range n.Parts {
		if n.Parts[i].Name == name {
			return &n.Parts[i]
		}
	}
	return nil
}

// Air is the chamber at a place; nil: there is none.
func (n *Net) Air(place string) *Chamber {
	for i := range n.Parts {
		if p := &n.Parts[i]; p.Kind == NetChamber && p.A == place {
			return &p.Chamber
		}
	}
	return nil
}

// Volume is the air of all parts, m³.
func (n *Net) Volume() float64 {
	v := 0.0
	for i := range n.Parts {
		p := &n.Parts[i]
		switch p.Kind {
		case NetChamber, NetAbsorber:
			v += p.Chamber.Volume
		case NetDuct:
			if s, err := p.Run.Shape(); err == nil {
				v += s.Volume()
			}
		}
	}
	return v
}

// Voice is the port whose tuning is told as the network’s: the one to the outside,
// where there is one alone that is tuned with a chamber; else nil.
func (n *Net) Voice() *NetPart {
	var one *NetPart
	for i := range n.Parts {
		if p := &n.Parts[i]; p.Kind == NetPort && p.B == PlaceOutside && p.Chamber.Tuning > 0 {
			if one != nil {
				return nil
			}
			one = p
		}
	}
	return one
}

// Scaled is the network with volumes and areas of ducts by a factor and every tuning
// by another: ports that have one keep their size and take their length from it.
func (n *Net) Scaled(volume, tuning float64) *Net {
	out := n.Clone()
	for i := range out.Parts {
		p := &out.Parts[i]
		switch p.Kind {
		case NetChamber, NetAbsorber:
			p.Chamber.Volume *= volume
		case NetPort:
			if p.Chamber.Tuning > 0 {
				p.Chamber.Tuning *= tuning
				p.Chamber.Port.Length = 0
			}
		case NetDuct:
			l := Line{Run: p.Run, Fills: p.Fills}.Scaled(1/tuning, volume*tuning)
			p.Run, p.Fills = l.Run, l.Fills
			for k := range p.Taps {
				p.Taps[k].At /= tuning
			}
		case NetOpening:
			p.Area *= volume * tuning
		}
	}
	return out
}

// PortChamber is the chamber that a port is tuned with and that holds its words: of a
// network the part itself.
func (s *Spec) PortChamber(f *PortFacts) *Chamber {
	if s.Kind == Network {
		if p := s.Net.part(f.Name); p != nil {
			return &p.Chamber
		}
	}
	if f.Chamber == "front" {
		return &s.Front
	}
	return &s.Rear
}

// FillChamber is the chamber of a fill.
func (s *Spec) FillChamber(f *FillFacts) *Chamber {
	switch {
	case s.Kind == Network:
		if p := s.Net.part(f.Chamber); p != nil {
			return &p.Chamber
		}
	case f.Chamber == "throat_chamber":
		return &s.Line.Throat
	case f.Chamber == "front":
		return &s.Front
	}
	return &s.Rear
}

// Apart is the spec with a network of its own, which can be changed without changing
// that of s.
func (s Spec) Apart() Spec {
	s.Net = s.Net.Clone()
	return s
}
