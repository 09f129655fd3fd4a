package studyfile

import (
	"errors"
	"strconv"
	"strings"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/note"
	"basswright/internal/phys"
	"basswright/internal/study"
)

// builder turns checked values into a study.
type builder struct {
	*faults
	root    *value // nil: the file is no map
	study   *study.Study
	drivers map[string]*driver.Driver // nil: faulty, and told
	names   []string                  // of the drivers, in the order of the file
	unnamed bool                      // some drivers' names are faulty, and told
	prices  currencies

	wallsTold bool         // that ducts lose energy at their walls
	around    surroundings // of the candidates
	made      []making     // of each candidate that was made here: of all, where was is nil

	alone    bool                          // of the tree alone: no box is tried, and nothing read beside it
	was      *builder                      // of the file that this one was tried from; nil: nothing is known of it
	beside   Beside                        // nil: the study lies in no folder
	measured string                        // digest of the table that was read beside it
	box      func(*study.Study, int) error // see [File.Make]
}

func newBuilder(f *faults, root *value) *builder {
	return &builder{faults: f, root: root, study: &study.Study{File: f.file}}
}

func (b *builder) build() {
	if b.root == nil {
		return
	}
	v, st := b.root, b.study
	st.Name, st.Note = v.get("study").word(), v.get("note").word()
	if v.get("units").word() == "imperial" {
		st.Units = phys.Imperial
	}
	st.Air = b.airHere(v.get("air"), v.get("listening").get("cabin"))
	b.source(v.get("source"))
	model := v.get("model")
	st.Model = study.Model{
		FullRadiation: model.get("radiation").word() == "full",
		RigidWalls:    model.get("wall_loss").word() == "false",
		LinearAir:     model.get("chamber_air").word() == "linear",
		AdiabaticAir:  model.get("static_air").word() == "adiabatic",
		Mismatch:      mismatch(model.get("mismatch")),
	}
	b.listening(v.get("listening"))
	b.amplifier(v.get("amplifier"))
	b.drive(v.get("drive"))
	b.filters(v.get("filters"))
	b.parts(v.get("parts"))
	b.space(v.get("space"))
	b.reference(v.get("reference"))
	b.brief(v.get("brief"))
	b.unsaid(v)
	b.allDrivers(v.get("drivers"))
	b.allCandidates(v.get("candidates"))
	b.contradictions()
	b.prices.check(b.faults)
}

// air is the air that was stated, or the standard.
func (b *builder) air(v *value, path string) phys.Air {
	standard := phys.StandardAir()
	if v == nil {
		return standard
	}
	var air phys.Air
	var err error
	if c := v.get("speed_of_sound"); c != nil {
		air, err = phys.AirOf(c.si(), v.get("density").si())
	} else {
		t, h, p := standard.Temperature, standard.Humidity, standard.Pressure
		for key, to := range map[string]*float64{"temperature": &t, "humidity": &h, "pressure": &p} {
			if x := v.get(key); x != nil {
				*to = x.si()
			}
		}
		if t == standard.Temperature && h == standard.Humidity && p == standard.Pressure {
			return standard
		}
		air, err = phys.NewAir(t, h, p)
	}
	if err != nil && b.count() == 0 { // a fault of one of the keys says more
		b.add(v.node, "bad-air", path, "correct it, or leave air out for the standard", "%s", err)
	}
	return air
}

// defaultDrive is what every candidate is fed where the study does not say.
const defaultDrive = 2.83

func (b *builder) drive(v *value) {
	b.signal(v.get("signal"))
	d := &b.study.Drive
	switch {
	case v.get("voltage") != nil:
		*d = study.Drive{Kind: study.DriveVoltage, Value: v.get("voltage").si()}
	case v.get("power") != nil:
		*d = study.Drive{Kind: study.DrivePower, Value: v.get("power").si()}
	case v.get("power_per_driver") != nil:
		*d = study.Drive{Kind: study.DrivePowerPerDriver, Value: v.get("power_per_driver").si()}
	case v.get("amplifier") != nil:
		*d = study.Drive{Kind: study.DriveAmplifierFull}
		if _, ok := b.root.node.find("amplifier"); !ok {
			b.add(v.get("amplifier").node, "missing-key", "drive.amplifier", "add amplifier: {rated: {4 ohm: 260 W}}, or drive with a voltage", "the study describes no amplifier to drive with")
		}
	default:
		*d = study.Drive{Kind: study.DriveVoltage, Value: defaultDrive}
		b.fill("drive", "drive", "every candidate is driven with "+phys.Brief(defaultDrive, phys.Voltage, b.study.Units), "write drive to replace it")
	}
}

func (b *builder) space(v *value) {
	if v == nil {
		return
	}
	s := &study.Space{
		Width: v.get("width").si(), Height: v.get("height").si(), Depth: v.get("depth").si(),
		Panel: v.get("panel").si(), Material: v.get("material").word(),
	}
	b.study.Space = s
	for _, side := range []string{"width", "height", "depth"} {
		if x := v.get(side); x != nil && x.si() <= 2*s.Panel {
			b.add(x.node, "out-of-range", "space."+side, "correct the "+side+" or the panel: space holds the outer measures of the box",
				"a %s of %s is all panel", side, x.node.text)
		}
	}
}

func (b *builder) reference(v *value) {
	from, to := v.get("from"), v.get("to")
	if from == nil || to == nil {
		return
	}
	if from.si() >= to.si() {
		b.add(to.node, "out-of-range", "reference.to", "give the lower frequency as from, the higher one as to", "the band ends at %s, and begins at %s", to.node.text, from.node.text)
	}
	b.study.Reference = &study.Band{From: from.si(), To: to.si()}
}

func (b *builder) brief(v *value) {
	out := &b.study.Brief
	e := v.get("extension")
	out.Extension = study.Extension{F3: e.get("f3").si(), F6: e.get("f6").si(), F10: e.get("f10").si()}
	out.LevelAt, out.Level = v.get("level").get("at").si(), v.get("level").get("spl").si()
	l := v.get("limits")
	x := l.get("excursion")
	out.Limits = study.Limits{
		From: l.get("from").si(), Excursion: x.si(), ExcursionXmax: x.word() == "xmax",
		PortSpeed: l.get("port_speed").si(), Pressure: l.get("chamber_pressure").si(), GroupDelay: l.get("group_delay").si(),
		Mass: l.get("mass").si(), Price: l.get("price").si(),
	}
	out.Limits.Currency = b.prices.take(l.get("price"), "brief.limits.price")
}

// currencies sees to it that all prices of a study can be added.
type currencies struct{ seen []pricedAt }

type pricedAt struct {
	currency, where string
	node            *node
}

// take is the currency of a price, "" where there is none.
func (c *currencies) take(v *value, where string) string {
	if v == nil {
		return ""
	}
	text := v.q.Currency()
	c.seen = append(c.seen, pricedAt{text, where, v.node})
	return text
}

func (c *currencies) check(f *faults) {
	for _, p := range c.seen {
		if p.currency != c.seen[0].currency {
			f.add(p.node, "two-currencies", p.where, "give all prices of a study in one currency", "this price is in %s, and others are in %s", p.currency, c.seen[0].currency)
		}
	}
}

// nearby is the deepest node or key that a path leads to from a value's node. A key that
// stands there is taken over the dots in it.
func nearby(n *node, path string) place {
	p := n.pos
	for path != "" {
		key, rest, _ := strings.Cut(path, ".")
		for _, e := range n.entries {
			if after, is := strings.CutPrefix(path, e.key); is && len(e.key) > len(key) && (after == "" || after[0] == '.') {
				key, rest = e.key, strings.TrimPrefix(after, ".")
			}
		}
		key, item, listed := strings.Cut(key, "[")
		e, ok := n.find(key)
		if !ok {
			break
		}
		n, path = e.value, rest
		p = e.pos
		if k, err := strconv.Atoi(strings.TrimSuffix(item, "]")); listed && err == nil && k >= 0 && k < len(n.items) {
			n = n.items[k]
			p = n.pos
		}
		if n.shape == shapeScalar {
			p = n.pos
		}
	}
	return p
}

// place gives findings that tell their path a position.
func (b *builder) place(found []note.Finding) []note.Finding {
	for i := range found {
		if found[i].At.Line == 0 {
			found[i].At = b.position(nearby(b.root.node, found[i].Where))
		}
	}
	return found
}

// refused tells a driver's, group's or enclosure's own error at the nearest
// key below path.
func (b *builder) refused(err error, n *node, path string) {
	var sheet *driver.SheetError
	var group *driver.GroupError
	var box *enclosure.Error
	switch {
	case errors.As(err, &sheet):
		b.at(b.nearest(n, sheet.About), "bad-sheet", path, sheet.Mend, "%s: %s", sheet.Driver, sheet.Reason)
	case errors.As(err, &group):
		b.at(nearby(n, group.Key), "bad-group", under(path, group.Key), group.Mend, "%s: %s", group.Key, group.Reason)
	case errors.As(err, &box):
		b.at(nearby(n, box.Key), "bad-enclosure", under(path, box.Key), box.Mend, "%s: %s", box.Key, box.Reason)
	default: // a network that cannot be solved: told with the candidate when it is computed
	}
}

// nearest is where the first of a sheet's symbols stands, or the sheet.
func (b *builder) nearest(n *node, symbols []driver.Symbol) place {
	for _, s := range symbols {
		if e, ok := n.find(string(s)); ok {
			return e.value.pos
		}
	}
	return n.pos
}
