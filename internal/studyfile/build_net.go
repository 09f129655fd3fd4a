package studyfile

import (
	"fmt"
	"slices"

	"basswright/internal/duct"
	"basswright/internal/enclosure"
)

// net words a network.
func (b *builder) net(v *value, path string) *enclosure.Net {
	out := &enclosure.Net{Front: v.get("front").word(), Rear: v.get("rear").word()}
	var given []string
	for _, p := range v.get("parts").list() {
		given = append(given, p.get("name").word())
	}
	of := map[string]int{}
	for i, p := range v.get("parts").list() {
		part := b.netPart(p, fmt.Sprintf("%s.parts[%d]", path, i))
		if place := p.get("at").word(); part.Name == "" && part.Kind == enclosure.NetChamber && !enclosure.Reserved(place) && !slices.Contains(given, place) {
			part.Name = place
			given = append(given, place)
		}
		if part.Name == "" {
			for part.Name == "" || slices.Contains(given, part.Name) {
				of[p.text]++
				if part.Name = p.text; of[p.text] > 1 {
					part.Name = fmt.Sprintf("%s-%d", p.text, of[p.text])
				}
			}
			given = append(given, part.Name)
		}
		out.Parts = append(out.Parts, part)
	}
	return out
}

// netPart words a part of a network.
func (b *builder) netPart(v *value, path string) enclosure.NetPart {
	p := enclosure.NetPart{Name: v.get("name").word(), A: v.get("at").word()}
	for _, k := range enclosure.NetKinds() {
		if k.String() == v.text {
			p.Kind = k
		}
	}
	if ends := v.get("between").list(); len(ends) == 2 {
		p.A, p.B = ends[0].word(), ends[1].word()
	}
	switch p.Kind {
	case enclosure.NetChamber:
		p.Chamber = enclosure.Chamber{Volume: v.get("volume").si(), Losses: losses(v.get("losses")), Fill: b.stuffing(v.get("fill"), path+".fill")}
	case enclosure.NetPort:
		p.Chamber = enclosure.Chamber{Tuning: v.get("tuning").si(), Losses: losses(v.get("losses"))}
		if port := v.get("port"); port != nil {
			p.Chamber.Port = b.port(port, path+".port")
		}
	case enclosure.NetDuct:
		p.Run = b.run(v.get("duct"), path+".duct")
		for _, x := range [][2]string{{"bodies", "write taken: a network does not know what stands in its ducts"}, {"tuning", "give its length: what a duct of a network is tuned to is not known"}} {
			if said := v.get("duct").get(x[0]); said != nil {
				b.add(said.node, "bad-enclosure", path+".duct."+x[0], x[1], "%s belongs to a transmission_line and a tapped_waveguide", x[0])
			}
		}
		for _, f := range listed(v.get("fill")) {
			p.Fills = append(p.Fills, duct.Filling{From: f.get("from").si(), To: f.get("to").si(), Fill: b.fibre(f, path+".fill")})
		}
		for _, t := range v.get("taps").list() {
			p.Taps = append(p.Taps, enclosure.NetTap{At: t.get("at").si(), Place: t.get("place").word()})
		}
	case enclosure.NetOpening:
		p.Area, p.Width = v.get("area").si(), v.get("width").si()
		p.Mouth = mouth(v.get("mouth"))
	case enclosure.NetDiaphragm:
		p.Radiator = radiator(v.get("radiator"))
	case enclosure.NetLeak, enclosure.NetAbsorber:
		p.Resist = v.get("resistance").si()
		p.Sheet = enclosure.Sheet{Resistivity: v.get("resistivity").si(), Thickness: v.get("thickness").si(), Area: v.get("area").si()}
		p.Chamber.Volume = v.get("volume").si()
	case enclosure.NetDrivers:
		p.Position = v.get("position").number(0)
	}
	return p
}

// listed is one value or those of a list.
func listed(v *value) []*value {
	switch {
	case v == nil:
		return nil
	case v.form.what == aList:
		return v.items
	}
	return []*value{v}
}

// unsaidOfNet are the defaults by which the parts of a network are read.
func (b *builder) unsaidOfNet(v *value, path string) {
	for i, p := range v.get("parts").list() {
		at := fmt.Sprintf("%s.parts[%d]", path, i)
		switch p.text {
		case "duct":
			b.unsaidOfDuct(p.get("duct"), at+".duct")
			b.unsaidOfFill(listed(p.get("fill")), at+".fill")
		case "chamber":
			b.unsaidOfFill([]*value{p.get("fill")}, at+".fill")
		}
	}
}

// unsaidOfTurned tells which way positions move that turn their rear to the listener.
func (b *builder) unsaidOfTurned(v *value, path string) {
	if v.get("group").get("polarity") != nil {
		return
	}
	for _, p := range v.get("enclosure").get("parts").list() {
		between := p.get("between").list()
		if p.text == "drivers" && len(between) == 2 && between[1].text == enclosure.PlaceOutside {
			b.study.Findings = append(b.study.Findings, b.filled("turned-polarity", path+".group.polarity",
				fmt.Sprintf("position %d turns its rear to the listener, and what drives the others outwards drives it inwards", p.get("position").number(0)),
				"write polarity to turn it round, such as polarity: [normal, reversed] for two"))
		}
	}
}
