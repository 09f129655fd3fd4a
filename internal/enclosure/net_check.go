package enclosure

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"basswright/internal/note"
)

// netFault is a fault of a part, at one of its keys.
func netFault(i int, key, mend, format string, args ...any) *Error {
	at := fmt.Sprintf("parts[%d]", i)
	if key != "" {
		at += "." + key
	}
	return fault(at, mend, format, args...)
}

// where is the key that names the ends of a part.
func (p *NetPart) where() string {
	if p.B == "" || p.Alone {
		return "at"
	}
	return "between"
}

// checkNet refuses a network that cannot be one, before anything is sized.
func (b *builder) checkNet() error {
	net := b.Spec.Net
	if net == nil {
		return fault("parts", "add a part, such as {kind: chamber, at: box, volume: 28 L}", "the network has no parts")
	}
	for _, check := range []func(*Net) error{checkNames, b.checkSides, checkEnds, checkJoined, b.checkSealedOff, b.checkOnBaffle, checkAirs} {
		if err := check(net); err != nil {
			return err
		}
	}
	return nil
}

// Names that readings of the group have already.
var takenNames = []string{"driver", "source", "spl", "impedance", "earth", "frame"}

// checkNames refuses parts that cannot be told apart.
func checkNames(net *Net) error {
	for i := range net.Parts {
		p := &net.Parts[i]
		if first, _, _ := strings.Cut(p.Name, "."); slices.Contains(takenNames, first) || Reserved(p.Name) {
			return netFault(i, "name", "choose another name", "a part cannot be called %s, which stands for something else", p.Name)
		}
		for k := range i {
			if net.Parts[k].Name == p.Name {
				return netFault(i, "name", "give each a name of its own", "two parts are called %s", p.Name)
			}
		}
		for k := range net.Parts {
			piece, of := strings.CutPrefix(p.Name, net.Parts[k].Name+".")
			if n, err := strconv.Atoi(piece); of && err == nil && len(net.Parts[k].Taps) > 0 && n <= len(net.Parts[k].Taps)+1 {
				return netFault(i, "name", "choose another name", "%s is what a piece of %s is called", p.Name, net.Parts[k].Name)
			}
		}
	}
	return nil
}

// checkSides refuses cones that look nowhere, or twice into one place.
func (b *builder) checkSides(net *Net) error {
	one := func(key, front, rear string) error {
		switch {
		case front == PlaceClosed || rear == PlaceClosed:
			return fault(key, "name a place with a chamber, or outside", "a cone that looks at a closed end cannot move")
		case front == rear:
			return fault(key, "let them look into two places", "both sides of the cone look into %s, so that they cancel", front)
		}
		return nil
	}
	if net.Front == "" {
		return fault("front", "add front, such as front: outside", "it is not said what the front of the cone looks into")
	}
	if net.Rear == "" {
		return fault("rear", "add rear, such as rear: box", "it is not said what the rear of the cone looks into")
	}
	if err := one("rear", net.Front, net.Rear); err != nil {
		return err
	}
	said := map[int]bool{}
	for i := range net.Parts {
		p := &net.Parts[i]
		if p.Kind != NetDrivers {
			continue
		}
		if n := b.Group.SideBySide(); p.Position < 1 || p.Position > n {
			return netFault(i, "position", positionMend(n), "the group has no position %d: it has %s side by side", p.Position, counted(n, "position"))
		}
		if said[p.Position] {
			return netFault(i, "position", "keep one of the two", "what position %d looks into is said twice", p.Position)
		}
		said[p.Position] = true
		if err := one(fmt.Sprintf("parts[%d].between", i), p.A, p.B); err != nil {
			return err
		}
	}
	return nil
}

func positionMend(n int) string {
	if n == 1 {
		return "give 1, or add positions to the group"
	}
	return fmt.Sprintf("give 1 to %d, or add positions to the group", n)
}

// checkEnds refuses parts between places where they cannot be.
func checkEnds(net *Net) error {
	for i := range net.Parts {
		p := &net.Parts[i]
		what := "a " + p.Kind.String()
		if p.Kind == NetOpening || p.Kind == NetAbsorber {
			what = "an " + p.Kind.String()
		}
		for k, t := range p.Taps {
			if Reserved(t.Place) {
				return netFault(i, fmt.Sprintf("taps[%d].place", k), "name a place of the network’s own, such as line", "%s is no place along a duct", t.Place)
			}
		}
		for _, place := range p.ends() {
			switch {
			case p.B == "" && Reserved(place):
				return netFault(i, "at", "put it at a place of the network’s own, such as box", "%s cannot be at %s", what, place)
			case place == PlaceClosed && p.Kind != NetDuct:
				return netFault(i, p.where(), "name another place", "closed is the end of a duct, and no place for %s", what)
			case p.Kind == NetDuct && abroad(place):
				return netFault(i, p.where(), "let it end at a place of its own, such as mouth, and add {kind: opening, at: mouth}", "a duct cannot end %s without a mouth", place)
			}
		}
		if p.B == "" {
			continue
		}
		if p.A == PlaceClosed && p.B == PlaceClosed { // two ends, each with nothing behind it
			if len(p.Taps) == 0 {
				return netFault(i, p.where(), "add taps, or let it begin or end at a place", "both ends of %s are closed, and no place lies along it", p.Name)
			}
			continue
		}
		if p.A == p.B || abroad(p.A) && abroad(p.B) {
			return netFault(i, p.where(), "join two places that are apart", "%s has one and the same place at both ends", p.Name)
		}
		if other := slices.IndexFunc(p.Taps, func(t NetTap) bool { return t.Place == p.A || t.Place == p.B }); other >= 0 {
			return netFault(i, fmt.Sprintf("taps[%d].place", other), "name a place of its own for each", "%s comes past %s, where it ends, on its way", p.Name, p.Taps[other].Place)
		}
	}
	return nil
}

// checkJoined refuses places at which one thing alone is.
func checkJoined(net *Net) error {
	type use struct {
		key   string
		place string
	}
	var uses []use
	take := func(key, place string) {
		if !Reserved(place) {
			uses = append(uses, use{key, place})
		}
	}
	take("front", net.Front)
	take("rear", net.Rear)
	for i := range net.Parts {
		p := &net.Parts[i]
		take(fmt.Sprintf("parts[%d].%s", i, p.where()), p.A)
		if p.B != "" {
			take(fmt.Sprintf("parts[%d].%s", i, p.where()), p.B)
		}
		for k, t := range p.Taps {
			take(fmt.Sprintf("parts[%d].taps[%d].place", i, k), t.Place)
		}
	}
	times := map[string]int{}
	for _, u := range uses {
		times[u.place]++
	}
	// the rear and the front of the group are told last: a part’s slip is more likely
	slices.SortStableFunc(uses, func(a, b use) int { return side(a.key) - side(b.key) })
	for _, u := range uses {
		if times[u.place] > 1 {
			continue
		}
		mend := "join something to it, or name another place"
		if near := nearestPlace(u.place, net.Places(), times); near != "" {
			mend = "did you mean " + near + "?"
		}
		switch u.key {
		case "front", "rear":
			return fault(u.key, mend, "the %s of the cone looks into %s, and no part is there", u.key, u.place)
		}
		return fault(u.key, mend, "nothing else is joined to the place %s", u.place)
	}
	return nil
}

func side(key string) int {
	if key == "front" || key == "rear" {
		return 1
	}
	return 0
}

// nearestPlace is the place of the network that one may be a slip of: one that is joined
// to something, or that needs nothing.
func nearestPlace(place string, all []string, times map[string]int) string {
	all = slices.DeleteFunc(all, func(other string) bool { return other == place || times[other] == 1 })
	return note.Nearest(place, append(all, PlaceOutside, PlaceBehind, PlaceClosed))
}

// checkSealedOff refuses what no sound gets to, what no sound gets out of, and air
// that cannot give way.
func (b *builder) checkSealedOff(net *Net) error {
	places := net.Places()
	air, all := joined{}, joined{} // what air flows between; what sound gets between
	gives := map[string]bool{}
	first := map[string]string{} // by place: the key where it is named first
	seen := func(key string, places ...string) {
		for _, place := range places {
			if _, ok := first[place]; !ok {
				first[place] = key
			}
		}
	}
	out, driven := false, []string{net.Front, net.Rear}
	for i := range net.Parts {
		p := &net.Parts[i]
		key := fmt.Sprintf("parts[%d].%s", i, p.where())
		seen(key, p.ends()...)
		switch p.Kind {
		case NetChamber:
			gives[p.A] = true
		case NetOpening:
			gives[p.A], out = true, true
		case NetDuct:
			for _, place := range p.ends() {
				gives[place] = true
			}
		case NetDiaphragm:
			gives[p.A], gives[p.B] = true, true
		case NetAbsorber:
			if p.B == "" {
				gives[p.A] = true
			}
		case NetDrivers:
			driven = append(driven, p.A, p.B)
		}
		ends := slices.DeleteFunc(p.ends(), func(place string) bool { return place == PlaceClosed })
		out = out || slices.Contains(ends, PlaceOutside)
		for _, place := range ends[1:] {
			if !abroad(ends[0]) && !abroad(place) { // what is outside brings no sound from one box to another
				all.join(ends[0], place)
			}
			if p.Kind != NetDiaphragm && p.Kind != NetDrivers {
				air.join(ends[0], place)
			}
		}
	}
	if !abroad(net.Front) && !abroad(net.Rear) {
		all.join(net.Front, net.Rear)
	}
	seen("front", net.Front)
	seen("rear", net.Rear)
	if net.Front != PlaceOutside && net.Rear != PlaceOutside && !out {
		return fault("parts", "let a side of the cone look outside, or add {kind: opening, at: …} or a port to the outside", "no sound gets out: nothing of the network reaches outside")
	}
	for _, place := range places {
		if !slices.ContainsFunc(driven, func(at string) bool { return all.same(place, at) }) {
			return fault(first[place], "join it to a place that the cone looks into", "no sound gets to %s: nothing joins it to a cone", place)
		}
	}
	for _, place := range places {
		var with []string
		ok := false
		for _, other := range append(slices.Clone(places), PlaceOutside, PlaceBehind) {
			if air.same(place, other) {
				ok = ok || gives[other] || abroad(other)
				with = append(with, other)
			}
		}
		if !ok {
			return fault(first[place], "add {kind: chamber, at: "+place+", volume: …}", "%s closed off, and nothing there gives way: the cone could not move", areWords(with))
		}
	}
	return nil
}

// checkAirs refuses a second chamber at a place.
func checkAirs(net *Net) error {
	for i := range net.Parts {
		if p := &net.Parts[i]; p.Kind == NetChamber && net.Air(p.A) != &p.Chamber {
			return netFault(i, "at", "make them one chamber, or join two places by a port or a leak", "there is a chamber at %s already", p.A)
		}
	}
	return nil
}

// areWords is "a is" or "a and b are".
func areWords(words []string) string {
	if len(words) == 1 {
		return words[0] + " is"
	}
	n := len(words) - 1
	return strings.Join(words[:n], ", ") + " and " + words[n] + " are"
}

// joined are places that hang together.
type joined map[string]string

func (j joined) root(a string) string {
	for j[a] != "" {
		a = j[a]
	}
	return a
}

func (j joined) join(a, b string) {
	if a, b = j.root(a), j.root(b); a != b {
		j[a] = b
	}
}

func (j joined) same(a, b string) bool { return j.root(a) == j.root(b) }
