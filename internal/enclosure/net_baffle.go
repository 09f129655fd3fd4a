package enclosure

import (
	"maps"
	"slices"
	"strings"

	"basswright/internal/note"
)

// In a network any part that reaches outside can stand on the baffle, under its name,
// and a cone there may turn its rear to the listener.

// netConesOutside counts the positions whose cones look outside. It is asked before the
// network is checked.
func (b *builder) netConesOutside() int {
	net := b.Spec.Net
	if net == nil {
		return 0
	}
	looks := make([]bool, b.Group.SideBySide())
	for p := range looks {
		looks[p] = net.Front == PlaceOutside || net.Rear == PlaceOutside
	}
	for i := range net.Parts {
		if p := &net.Parts[i]; p.Kind == NetDrivers && p.Position >= 1 && p.Position <= len(looks) {
			looks[p.Position-1] = p.A == PlaceOutside || p.B == PlaceOutside
		}
	}
	n := 0
	for _, out := range looks {
		if out {
			n++
		}
	}
	return n
}

// checkOnBaffle refuses places on the baffle of what does not stand there.
func (b *builder) checkOnBaffle(net *Net) error {
	f := b.Spec.Baffle
	if f == nil {
		return nil
	}
	var all []string
	for i := range net.Parts {
		if net.Parts[i].outside() {
			all = append(all, net.Parts[i].Name)
		}
	}
	mend := "name a part that reaches outside: " + strings.Join(all, ", ")
	if len(all) == 0 {
		mend = "leave parts out: no part of this network reaches outside"
	}
	for _, name := range slices.Sorted(maps.Keys(f.At)) {
		p := net.part(name)
		near := note.Nearest(name, all)
		switch key := "baffle.parts." + name; {
		case p == nil && near != "":
			return fault(key, "did you mean "+near+"?", "no part is called %s", name)
		case p == nil:
			return fault(key, mend, "no part is called %s", name)
		case !p.outside():
			return fault(key, mend, "%s does not reach outside, where the baffle is", name)
		}
	}
	return nil
}

// outside says that a part reaches to where the listener is.
func (p *NetPart) outside() bool {
	switch p.Kind {
	case NetOpening:
		return true
	case NetPort, NetDiaphragm, NetLeak, NetAbsorber:
		return p.B == PlaceOutside
	}
	return false
}

// onBaffle says that an opening or a radiator is on the listener’s side of the wall, as
// all are but some of a network.
func (b *builder) onBaffle(name string) bool {
	return b.Spec.Kind != Network || b.Spec.Net.part(name).outside()
}

// placeKey is the key of a place on the baffle.
func (b *builder) placeKey(name string) string {
	if _, ok := b.Spec.Baffle.At[name]; ok && b.Spec.Kind == Network {
		return "baffle.parts." + name
	}
	return "baffle"
}

// noNetBaffle tells that a mouth and what else radiates count at one place.
func (b *builder) noNetBaffle() {
	mouth := ""
	for _, o := range b.Openings {
		if mouth == "" && b.Spec.Net.part(o.Name).Kind == NetOpening {
			mouth = o.Name
		}
	}
	if mouth != "" && len(b.radiating) > 1 {
		b.note(note.Default, "default-baffle", "baffle", "all that radiates counts at one place, and no part of it hears another", "write baffle with their places, such as baffle: {parts: {"+mouth+": {y: −60 cm}}}")
	}
}
