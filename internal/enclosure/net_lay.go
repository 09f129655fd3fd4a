package enclosure

import (
	"fmt"

	"basswright/internal/network"
)

// layNet puts the places and parts of a network into it, part by part.
func (b *builder) layNet() {
	net := b.Spec.Net
	at := map[string]network.Node{PlaceOutside: network.Outside, PlaceBehind: network.Outside}
	for _, place := range net.Places() {
		n := b.Net.AddNode(network.Acoustic, place)
		at[place] = n
		b.Chambers = append(b.Chambers, Place{place, n})
	}
	to := func(place string) ear { return ear{at[place], place == PlaceOutside} }
	for range b.Group.SideBySide() {
		b.net.sides = append(b.net.sides, look{to(net.Front), to(net.Rear)})
	}
	for i := range net.Parts {
		p := &net.Parts[i]
		var id network.ElementID
		switch p.Kind {
		case NetChamber:
			b.chamber(p.Name, "", &p.Chamber, at[p.A])
			continue
		case NetDrivers:
			b.net.sides[p.Position-1] = look{to(p.A), to(p.B)}
			continue
		case NetDuct:
			b.layNetDuct(p, at)
			continue
		case NetPort:
			b.netPort(p, at[p.A], at[p.B])
			continue
		case NetDiaphragm:
			id = b.diaphragm(p.Name, p.Radiator, at[p.A], at[p.B])
		case NetOpening:
			id = b.Net.AddImpedance(p.Name, at[p.A], network.Outside, network.Triple{}, b.net.mouths[p.Name])
			b.Openings = append(b.Openings, Opening{p.Name, b.net.areas[p.Name], id})
			b.radiating = append(b.radiating, Radiating{p.Name, id, 1, nil})
			continue
		case NetLeak:
			id = b.Net.AddAdmittance(p.Name, at[p.A], at[p.B], network.Triple{G: 1 / p.Resist}, nil)
		case NetAbsorber:
			if p.B == "" {
				b.cushion(p, at[p.A])
				continue
			}
			id = b.Net.AddAdmittance(p.Name, at[p.A], at[p.B], network.Triple{G: 1 / p.Resist}, nil)
		}
		if p.B == PlaceOutside {
			b.radiating = append(b.radiating, Radiating{p.Name, id, 1, nil})
		}
	}
	b.front, b.rear = at[net.Front], at[net.Rear]
}

// netPort adds a port; what goes behind the wall is not heard.
func (b *builder) netPort(p *NetPart, from, to network.Node) {
	before := len(b.radiating)
	b.port(p.Name, "", &p.Chamber, from, to)
	if p.B == PlaceBehind {
		b.radiating = b.radiating[:before]
	}
}

// layNetDuct adds a duct piece by piece.
func (b *builder) layNetDuct(p *NetPart, at map[string]network.Node) {
	node := func(place, end string) network.Node {
		if place == PlaceClosed {
			return b.Net.AddNode(network.Acoustic, "closed "+end+" of "+p.Name)
		}
		return at[place]
	}
	from := node(p.A, "start")
	pieces := b.net.ducts[p.Name]
	for k, d := range pieces {
		var to network.Node
		if k < len(p.Taps) {
			to = at[p.Taps[k].Place]
		} else {
			to = node(p.B, "end")
		}
		name := p.Name
		if len(pieces) > 1 {
			name = fmt.Sprintf("%s.%d", p.Name, k+1)
		}
		b.Net.AddTwoPort(name, from, to, d)
		from = to
	}
}

// cushion adds a resistance with air of its own behind it.
func (b *builder) cushion(p *NetPart, at network.Node) {
	ca := b.compliance(p.Chamber.Volume)
	spring := at
	if b.Setting.BareAir {
		spring = b.Net.AddNode(network.Acoustic, p.Name+" bare air")
		b.Net.AddAdmittance(p.Name, at, spring, network.Triple{G: 1 / p.Resist}, nil)
		b.Net.AddAdmittance(p.Name+" air", spring, network.Outside, network.Triple{C: ca}, nil)
	} else {
		b.Net.AddAdmittance(p.Name+" air", at, network.Outside, network.Triple{}, network.SeriesRC{R: p.Resist, C: ca})
	}
	b.Airs = append(b.Airs, Air{Name: p.Name, Node: spring, Volume: p.Chamber.Volume, Compliance: ca})
}
