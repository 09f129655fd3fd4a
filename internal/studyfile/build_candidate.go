package studyfile

import (
	"slices"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/note"
	"basswright/internal/study"
)

// allCandidates builds every candidate, in the order of the file.
func (b *builder) allCandidates(v *value) {
	if v == nil {
		return
	}
	b.around = b.surroundings()
	again := b.groupsAgain()
	b.study.Candidates = make([]study.Candidate, 0, len(v.named))
	b.made = make([]making, 0, len(v.named))
	for k, n := range v.named {
		path := "candidates." + n.name
		if again && b.candidateAgain(k) || n.value != nil && b.candidate(n, path) {
			b.tryBox(n.value.get("enclosure"), path+".enclosure")
		}
	}
}

// candidate makes a candidate but for its box; false if a fault was told.
func (b *builder) candidate(n namedValue, path string) bool {
	told, from := b.wallsTold, len(b.study.Findings)
	c := study.Candidate{Name: n.name, Note: n.value.get("note").word(), At: b.position(n.pos)}
	group := b.group(&c, n.value.get("group"), n.value.get("enclosure"), path+".group")
	box := b.enclosure(&c, n.value.get("enclosure"), path+".enclosure")
	if !group || !box {
		return false
	}
	own := digestsOf(&c, n.value.node)
	b.around.digests(&c, own)
	b.study.Candidates = append(b.study.Candidates, c)
	b.unsaidOfLine(n.value.get("enclosure"), path+".enclosure")
	b.unsaidOfTurned(n.value, path)
	b.made = append(b.made, making{[2]bool{told, b.wallsTold}, from, len(b.study.Findings), own})
	return true
}

// tryBox makes the last candidate's enclosure, so that a box that cannot be is told with
// the key that is to blame and beside all other faults of the file.
func (b *builder) tryBox(v *value, path string) {
	if b.alone || b.study.Air.C == 0 { // nobody asks, or it is faulty, and told
		return
	}
	build := b.box
	if build == nil || b.count() > 0 { // nobody waits for it, or it will not be evaluated
		build = func(st *study.Study, i int) error { _, _, err := st.Build(i); return err }
	}
	if err := build(b.study, len(b.study.Candidates)-1); err != nil {
		b.refused(err, v.node, path)
	}
}

// group builds a candidate's group; false if it cannot be built, which is told.
func (b *builder) group(c *study.Candidate, v, box *value, path string) bool {
	if v == nil {
		return false
	}
	spec := driver.GroupSpec{
		Where: path, Wiring: wiring(v.get("wiring")), Coupling: coupling(v.get("coupling")),
		AllGaps:     v.get("coupling").list() == nil, // what stands without brackets is meant for all
		Arrangement: arrangement(v.get("arrangement").word()),
		Split:       map[string]driver.Split{"driver": driver.ByDriver, "coil": driver.ByCoil}[v.get("split").word()], Outputs: b.outputs(),
	}
	for _, p := range box.get("parts").list() {
		spec.Elsewhere = spec.Elsewhere || p.text == "drivers"
	}
	known := b.members(&spec, v, path)
	if !known || !b.sound(path) {
		return false
	}
	for _, f := range v.get("facing").list() {
		spec.Facing = append(spec.Facing, map[string]driver.Facing{"front": driver.Front, "rear": driver.Rear}[f.text])
	}
	for _, p := range v.get("polarity").list() {
		spec.Polarity = append(spec.Polarity, map[string]int{"normal": +1, "reversed": -1}[p.text])
	}
	g, found, err := driver.NewGroup(spec)
	if err != nil {
		b.refused(err, v.node, path)
		return false
	}
	b.study.Findings = append(b.study.Findings, b.place(found)...)
	c.Group, c.GroupSpec = g, spec
	c.Axis = study.Axis(max(0, slices.Index(study.Axes(), v.get("axis").word())))
	return true
}

// members finds the drivers of a group; false if one is unknown or faulty.
func (b *builder) members(spec *driver.GroupSpec, v *value, path string) bool {
	m := v.get("members")
	if m == nil {
		d, ok := b.named(v.get("driver"), path+".driver")
		spec.Driver = d
		spec.SideBySide, spec.Stack = v.get("side_by_side").number(1), v.get("stack").number(1)
		return ok
	}
	all := true
	for _, position := range m.items {
		var stack []*driver.Driver
		for _, name := range position.items {
			d, ok := b.named(name, path+".members")
			stack = append(stack, d)
			all = all && ok
		}
		spec.Members = append(spec.Members, stack)
	}
	return all
}

// named is the driver of a name; false if there is none, or a faulty one.
func (b *builder) named(v *value, path string) (*driver.Driver, bool) {
	if v == nil {
		return nil, false
	}
	d, ok := b.drivers[v.text]
	if !ok && !b.unnamed {
		mend, instead := "the study’s drivers are "+joined(b.names, "and"), b.names
		if near := note.Nearest(v.text, b.names); near != "" {
			mend, instead = "did you mean "+near+"?", []string{near}
		}
		b.add(v.node, "unknown-driver", path, mend, "the study has no driver %s", shown(v.text)).Instead = instead
	}
	return d, d != nil
}

func arrangement(word string) driver.Arrangement {
	for _, a := range []driver.Arrangement{driver.Tandem, driver.Clamshell, driver.BackToBack} {
		if a.String() == word {
			return a
		}
	}
	return driver.Single
}

func wiring(v *value) driver.Wiring {
	switch {
	case v == nil:
		return driver.Wiring{}
	case v.text == "series":
		return driver.Wiring{Way: driver.WiringSeries}
	case v.text == "parallel":
		return driver.Wiring{Way: driver.WiringParallel}
	}
	return driver.Wiring{Way: driver.WiringStrings, N: v.get("in_series").number(0)}
}

// coupling is one gap's air, or a list of several.
func coupling(v *value) []driver.Coupling {
	if v == nil {
		return nil
	}
	gaps := []*value{v}
	if v.form.what == aList {
		gaps = v.items
	}
	var out []driver.Coupling
	for _, g := range gaps {
		if g.form.what == anObject {
			out = append(out, driver.Coupling{Volume: g.get("volume").si(), Length: g.get("length").si()})
		} else {
			out = append(out, driver.Coupling{Volume: g.si()})
		}
	}
	return out
}

// enclosure words a candidate's enclosure; false if a fault was told.
func (b *builder) enclosure(c *study.Candidate, v *value, path string) bool {
	if v == nil {
		return false
	}
	s := enclosure.Spec{
		Losses:    losses(v.get("losses")),
		Alignment: enclosure.Alignment{Family: v.get("alignment").get("family").word(), Ripple: v.get("alignment").get("ripple").si()},
	}
	for _, k := range enclosure.Kinds() {
		if k.String() == v.text {
			s.Kind = k
		}
	}
	switch s.Kind {
	case enclosure.Bandpass, enclosure.BandpassParallel, enclosure.BandpassSeries:
		s.Rear = b.chamber(v.get("rear"), path+".rear")
		s.Front = b.chamber(v.get("front"), path+".front")
	case enclosure.TransmissionLine, enclosure.TappedWaveguide, enclosure.FrontLoadedHorn, enclosure.BackLoadedHorn:
		s.Line = b.line(v, path)
		if r := v.get("rear"); r != nil {
			s.Rear = b.chamber(r, path+".rear")
		}
	case enclosure.Network:
		s.Net = b.net(v, path)
	default: // one box, whose losses are those of the enclosure
		s.Rear = b.chamber(v, path)
		s.Rear.Losses = enclosure.Losses{}
		s.Rear.SystemQ = v.get("system_q").si()
	}
	s.Radiator = radiator(v.get("radiator"))
	if r := v.get("radiator"); r.get("added_mass") != nil && v.get("tuning") != nil {
		b.add(v.get("tuning").node, "said-twice", path+".tuning", "keep one of them", "tuning and the radiator’s added_mass say one thing in two ways")
	}
	s.Baffle = baffle(v.get("baffle"))
	c.Enclosure = s
	return b.sound(path)
}

func (b *builder) chamber(v *value, path string) enclosure.Chamber {
	c := enclosure.Chamber{Volume: v.get("volume").si(), Tuning: v.get("tuning").si(), Losses: losses(v.get("losses")), Fill: b.stuffing(v.get("fill"), path+".fill")}
	if p := v.get("port"); p != nil {
		c.Port = b.port(p, path+".port")
	}
	return c
}

func (b *builder) port(v *value, path string) enclosure.Port {
	p := enclosure.Port{
		Diameter: v.get("diameter").si(), Width: v.get("width").si(), Height: v.get("height").si(), Area: v.get("area").si(),
		Length: v.get("length").si(), Count: v.get("count").number(1),
		Inner: end(v.get("inner_end").word()), Outer: end(v.get("outer_end").word()), Flare: v.get("flare").si(),
	}
	switch {
	case v.get("diameter") != nil:
		p.Shape = enclosure.Round
	case v.get("width") != nil:
		p.Shape = enclosure.Slot
	case v.get("area") != nil:
		p.Shape = enclosure.AreaOnly
	}
	switch shape := v.get("shape"); {
	case shape.word() == "round" && p.Shape == enclosure.Slot:
		b.add(shape.node, "said-twice", path+".shape", "give its diameter, or shape: slot", "a round port has no width and height")
	case shape.word() == "slot" && p.Shape == enclosure.Round:
		b.add(shape.node, "said-twice", path+".shape", "give its width and height, or shape: round", "a slot has no diameter")
	}
	return p
}

func end(word string) enclosure.End {
	return map[string]enclosure.End{"free": enclosure.EndFree, "flanged": enclosure.EndFlanged}[word]
}

func losses(v *value) enclosure.Losses {
	return enclosure.Losses{Leakage: lossOf(v.get("leakage")), Absorption: lossOf(v.get("absorption")), Port: lossOf(v.get("port")), At: v.get("at").si()}
}

func lossOf(v *value) enclosure.Loss {
	switch {
	case v == nil:
		return enclosure.Loss{}
	case v.text == "none":
		return enclosure.Loss{State: enclosure.LossNone}
	}
	return enclosure.Loss{State: enclosure.LossGiven, Q: v.si()}
}

func radiator(v *value) enclosure.Radiator {
	return enclosure.Radiator{
		Sd: v.get("sd").si(), Mms: v.get("mms").si(), Cms: v.get("cms").si(), Fs: v.get("fs").si(), Vas: v.get("vas").si(),
		Rms: v.get("rms").si(), Qms: v.get("qms").si(), Count: v.get("count").number(0), Xmax: v.get("xmax").si(),
		AddedMass: v.get("added_mass").si(), Depth: v.get("mounting_depth").si(),
	}
}
