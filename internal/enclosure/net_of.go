package enclosure

import (
	"cmp"
	"maps"
	"slices"
)

// AsNet is a system’s enclosure as a free network: the same elements in other words.
func (s *System) AsNet() *Net {
	spec := &s.Spec
	if spec.Net != nil {
		return spec.Net.Clone()
	}
	n := &Net{Front: PlaceOutside}
	if spec.Kind.Distributed() {
		s.lineAsNet(n)
		return n
	}
	switch spec.Kind {
	case InfiniteBaffle:
		n.Rear = PlaceBehind
	case Sealed, Vented, PassiveRadiator:
		n.Rear = "box"
		n.chamber("box", "box", &spec.Rear)
	default:
		n.Front, n.Rear = "front", "rear"
		n.chamber("rear", "rear", &spec.Rear)
		n.chamber("front", "front", &spec.Front)
	}
	switch spec.Kind {
	case Vented:
		n.port("port", "box", PlaceOutside, &spec.Rear)
	case PassiveRadiator:
		n.Parts = append(n.Parts, NetPart{Name: "radiator", Kind: NetDiaphragm, A: "box", B: PlaceOutside, Radiator: spec.Radiator})
	case Bandpass:
		n.port("front.port", "front", PlaceOutside, &spec.Front)
	case BandpassParallel:
		n.port("rear.port", "rear", PlaceOutside, &spec.Rear)
		n.port("front.port", "front", PlaceOutside, &spec.Front)
	case BandpassSeries:
		n.port("rear.port", "rear", "front", &spec.Rear)
		n.port("front.port", "front", PlaceOutside, &spec.Front)
	}
	return n
}

// NetBaffle is where the parts of AsNet stand on a baffle, by their names there; nil:
// all at one place.
func (s *System) NetBaffle() *Baffle {
	f := s.Spec.Baffle
	if f == nil {
		return nil
	}
	return &Baffle{Cones: slices.Clone(f.Cones), At: maps.Clone(f.At)}
}

// chamber adds a chamber’s air with its own losses.
func (n *Net) chamber(name, at string, c *Chamber) {
	air := Chamber{Volume: c.Volume, Fill: c.Fill, Losses: c.Losses}
	air.Losses.Port = Loss{}
	n.Parts = append(n.Parts, NetPart{Name: name, Kind: NetChamber, A: at, Chamber: air})
}

// port adds a chamber’s port with its loss.
func (n *Net) port(name, from, to string, c *Chamber) {
	p := Chamber{Port: c.Port, Losses: Losses{Port: c.Losses.Port, At: c.Losses.At}}
	if c.Port.Shape == NoPort {
		p.Tuning = c.Tuning
	}
	n.Parts = append(n.Parts, NetPart{Name: name, Kind: NetPort, A: from, B: to, Chamber: p})
}

// alongDuct is the order of places along a duct; two at one place are equal.
func alongDuct(a, b NetTap) int { return cmp.Compare(a.At, b.At) }

// lineAsNet is a distributed enclosure as a network.
func (s *System) lineAsNet(n *Net) {
	l := &s.Spec.Line
	run := NetPart{Name: "duct", Kind: NetDuct, A: PlaceClosed, B: "mouth", Run: l.Run, Fills: slices.Clone(l.Fills)}
	run.Run.Points, run.Run.Taken = slices.Clone(l.Run.Points), slices.Clone(l.Run.Taken)
	for _, t := range s.Facts.Standing {
		run.Run.Taken = append(run.Run.Taken, Taken{t.From, t.To, t.Volume})
	}
	tap := func(place string, at float64) {
		if at == 0 {
			run.A = place
			return
		}
		run.Taps = append(run.Taps, NetTap{place, at})
		slices.SortStableFunc(run.Taps, alongDuct)
	}
	switch s.Spec.Kind {
	case TransmissionLine:
		n.Rear = "line"
		tap("line", l.Driver)
	case TappedWaveguide:
		n.Front, n.Rear = "front_tap", "rear_tap"
		tap("front_tap", l.Front)
		tap("rear_tap", l.Rear)
	default:
		tap("throat", 0)
		n.Rear = "throat"
		if s.Spec.Kind == FrontLoadedHorn {
			n.Front, n.Rear = "throat", "rear"
		}
	}
	n.Parts = append(n.Parts, run, NetPart{Name: "mouth", Kind: NetOpening, A: "mouth", Mouth: l.Mouth})
	if l.Throat.Volume > 0 && (s.Spec.Kind == FrontLoadedHorn || s.Spec.Kind == BackLoadedHorn) {
		n.chamber("throat_chamber", "throat", &l.Throat)
	}
	if s.Spec.Kind == FrontLoadedHorn {
		n.chamber("rear", "rear", &s.Spec.Rear)
	}
}
