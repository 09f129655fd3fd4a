package studyfile

import (
	"errors"

	"basswright/internal/duct"
	"basswright/internal/enclosure"
	"basswright/internal/phys"
)

// line words the duct of a distributed enclosure.
func (b *builder) line(v *value, path string) enclosure.Line {
	l := enclosure.Line{
		Run:    b.run(v.get("duct"), path+".duct"),
		Bodies: b.bodies(v, path), Front: v.get("front_at").si(), Rear: v.get("rear_at").si(), Mouth: mouth(v.get("mouth")),
	}
	if at := v.get("driver_at"); at.word() == "quiet" {
		l.Quiet = true
	} else {
		l.Driver = at.si()
	}
	if c := v.get("throat_chamber"); c != nil {
		l.Throat = enclosure.Chamber{Volume: c.get("volume").si(), Fill: b.stuffing(c.get("fill"), path+".throat_chamber.fill")}
	}
	fills := []*value{v.get("fill")}
	if f := fills[0]; f == nil {
		fills = nil
	} else if f.form.what == aList {
		fills = f.items
	}
	for _, f := range fills {
		l.Fills = append(l.Fills, duct.Filling{From: f.get("from").si(), To: f.get("to").si(), Fill: b.fibre(f, path+".fill")})
	}
	return l
}

// bodies says whether what stands in the duct counts; in the chambers of horns nothing
// stands in it.
func (b *builder) bodies(v *value, path string) enclosure.Bodies {
	said, stands := v.get("duct").get("bodies"), v.text == "transmission_line" || v.text == "tapped_waveguide"
	switch {
	case said != nil && !stands:
		b.add(said.node, "bad-enclosure", path+".duct.bodies", "leave bodies out", "the drivers of a %s stand before its duct: they take nothing off it", v.text)
	case said.word() == "left_out" || !stands:
	case said != nil:
		return enclosure.BodiesCounted
	default:
		return enclosure.BodiesUnset
	}
	return enclosure.BodiesLeftOut
}

// run words a duct’s course.
func (b *builder) run(v *value, path string) enclosure.Run {
	r := enclosure.Run{
		Length: v.get("length").si(), Tuning: v.get("tuning").si(), Area: v.get("area").si(), Start: v.get("start").si(), End: v.get("end").si(), T: v.get("t").si(),
		Section:   duct.Section{Width: v.get("width").si(), Aspect: v.get("aspect").si()},
		BareJumps: v.get("jumps").word() == "plain",
	}
	word := v.get("flare").word()
	if between := v.get("between"); between != nil {
		word = between.word()
	}
	for f := enclosure.FlareCone; f <= enclosure.FlareTractrix; f++ {
		if f.String() == word {
			r.Flare = f
		}
	}
	for _, p := range v.get("profile").list() {
		r.Points = append(r.Points, duct.Point{X: p.get("at").si(), Area: p.get("area").si()})
	}
	for _, t := range v.get("taken").list() {
		r.Taken = append(r.Taken, enclosure.Taken{From: t.get("from").si(), To: t.get("to").si(), Volume: t.get("volume").si()})
	}
	flare := v.get("flare")
	switch t, length := v.get("t"), v.get("length"); {
	case flare == nil:
	case r.Flare == enclosure.FlareHyperbolic && t == nil:
		b.add(flare.node, "bad-enclosure", path+".t", "add t, such as t: 0.6", "a hyperbolic flare needs its t")
	case r.Flare != enclosure.FlareHyperbolic && t != nil:
		b.add(t.node, "bad-enclosure", path+".t", "leave t out, or write flare: hyperbolic", "t belongs to a hyperbolic flare, and this one is %s", r.Flare)
	case r.Flare == enclosure.FlareTractrix && v.get("tuning") != nil:
		b.add(v.get("tuning").node, "bad-enclosure", path+".tuning", "leave tuning out, or choose another flare", "the length of a tractrix follows from its areas")
	case r.Flare == enclosure.FlareTractrix && length != nil:
		b.add(length.node, "bad-enclosure", path+".length", "leave length out, or choose another flare", "the length of a tractrix follows from its areas")
	}
	return r
}

func mouth(v *value) enclosure.Mouth {
	if v == nil {
		return enclosure.Mouth{}
	}
	if v.form.what != anObject {
		return enclosure.Mouth{End: end(v.text)}
	}
	return enclosure.Mouth{
		End:  end(v.get("end").word()),
		Load: map[string]enclosure.Load{"pipe": enclosure.LoadPipe, "piston": enclosure.LoadPiston}[v.get("load").word()],
	}
}

// stuffing words the fill of a chamber.
func (b *builder) stuffing(v *value, path string) enclosure.Stuffing {
	if v == nil {
		return enclosure.Stuffing{}
	}
	s := enclosure.Stuffing{Fill: b.fibre(v, path), Share: 1}
	if x := v.get("share"); x != nil {
		s.Share = x.si()
	}
	return s
}

// fibre words what fill is.
func (b *builder) fibre(v *value, path string) duct.Fill {
	f := duct.Fill{Resistivity: v.get("resistivity").si()}
	if v.get("model").word() == "miki" {
		f.Model = duct.Miki
	}
	packing, fibre := v.get("packing"), v.get("fibre")
	if _, faulty := v.node.find("material"); faulty && v.get("material") == nil || v.get("material") != nil && packing == nil {
		return f // which is told
	}
	if v.get("frame").word() == "limp" {
		f.Density = packing.si()
		if packing == nil {
			b.add(v.get("frame").node, "bad-enclosure", path+".packing", "add packing, such as packing: 14 kg/m3", "a limp frame moves with the air, and how heavy it is is not said")
		}
	}
	switch m := v.get("material"); {
	case m == nil && packing != nil && f.Density == 0:
		b.add(packing.node, "bad-enclosure", path+".packing", "leave packing out, or give material in place of the resistivity", "a resistivity is given, and packing says it in another way")
	case m == nil:
	case m.word() == "glass" && fibre == nil:
		b.add(m.node, "bad-enclosure", path+".fibre", "add fibre, such as fibre: 9 µm", "the resistivity of glass wool follows from its packing and the diameter of its fibres")
	case m.word() == "polyester" && fibre != nil:
		b.add(fibre.node, "bad-enclosure", path+".fibre", "leave fibre out", "the law of polyester is one of its packing alone")
	default:
		of := duct.Polyester
		if m.word() == "glass" {
			of = duct.Glass
		}
		sigma, err := of.Resistivity(packing.si(), fibre.si())
		var why *duct.Error
		if errors.As(err, &why) {
			b.add(m.node, "out-of-range", path, why.Mend, "%s", why.Reason)
		}
		f.Resistivity = sigma
		if least, most := of.Samples(); packing.si() > 0 && (packing.si() < least || packing.si() > most) {
			b.farPacked(packing, path+".packing", of)
		}
	}
	return f
}

// farPacked warns of a packing that the law of its material was not made for.
func (b *builder) farPacked(v *value, path string, of duct.Material) {
	least, most := of.Samples()
	show := func(rho float64) string { return phys.Show(rho, phys.Density, b.study.Units) }
	b.doubt("packing-beyond-samples", path, "the law from packing to resistivity was made from samples of "+show(least)+" to "+show(most)+" ("+of.Source()+"): beyond them it is a guess",
		"pack it otherwise, or give its resistivity")
}
