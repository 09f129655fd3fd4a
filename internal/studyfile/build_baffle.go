package studyfile

import "basswright/internal/enclosure"

// baffle words where what radiates stands; nil where nobody says.
func baffle(v *value) *enclosure.Baffle {
	if v == nil {
		return nil
	}
	out := &enclosure.Baffle{At: map[string]enclosure.Spot{}}
	for _, c := range v.get("cones").list() {
		out.Cones = append(out.Cones, onBaffle(c))
	}
	for _, x := range []struct{ key, name string }{{"mouth", "mouth"}, {"port", "port"}, {"radiator", "radiator"}, {"rear_port", "rear.port"}, {"front_port", "front.port"}} {
		if at := v.get(x.key); at != nil {
			out.At[x.name] = onBaffle(at)
		}
	}
	if parts := v.get("parts"); parts != nil { // of a network
		for _, n := range parts.named {
			out.At[n.name] = onBaffle(n.value)
		}
	}
	return out
}

func onBaffle(v *value) enclosure.Spot { return enclosure.Spot{X: v.get("x").si(), Y: v.get("y").si()} }

// toward is the direction of the listener.
func toward(v *value) enclosure.Toward {
	return enclosure.Toward{Aside: v.get("aside").si(), Above: v.get("above").si()}
}
