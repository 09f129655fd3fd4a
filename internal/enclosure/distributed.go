package enclosure

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"basswright/internal/duct"
	"basswright/internal/network"
	"basswright/internal/note"
	"basswright/internal/phys"
)

// tap is a place along a duct that something is joined to.
type tap struct {
	name, key string
	at        float64 // m
}

// laid is a duct that is ready to be put into a network.
type laid struct {
	taps  []tap // by rising place; the first is where the duct begins
	parts []*duct.Duct
	load  network.Law // of the mouth, Pa·s/m³
	area  float64     // m², of the mouth
}

// sizeLine makes the duct of a distributed enclosure: its shape, what is in it, its
// parts between the places that something is joined to, and its mouth’s load.
func (b *builder) sizeLine() error {
	l := &b.Spec.Line
	if l.Run.lacksLength() && l.Run.Tuning == 0 {
		return fault("duct.length", "give a length such as 1.8 m, or of a line a tuning", "the duct has no length")
	}
	making := b.making(&l.Run, l.Fills)
	b.line = &laid{}
	asked := l.Run.Tuning
	if asked > 0 {
		l.Run.Length = 1 // so that its shape tells the mouth’s area
	}
	shape, err := l.Run.Shape()
	if err != nil {
		return ductFault(err, "duct")
	}
	if err := b.mouth(shape.Area(shape.Length())); err != nil {
		return err
	}
	if shape, err = b.sized(shape, asked, making); err != nil {
		return err
	}
	length := shape.Length()
	if err := fillPlaces(l.Fills, length); err != nil {
		return err
	}
	taps, err := b.taps(length)
	if err != nil {
		return err
	}
	b.line.taps = taps
	outer := shape
	if shape, err = l.Run.Course(); err != nil {
		return ductFault(err, "duct")
	}
	if shape, err = b.stand(shape); err != nil {
		return err
	}
	var at []float64
	for _, t := range taps[1:] {
		at = append(at, t.at)
	}
	if b.line.parts, err = duct.NewParts(shape, making, at); err != nil {
		return ductFault(err, "duct")
	}
	whole := b.line.parts[0]
	if len(at) > 0 {
		if whole, err = duct.New(shape, making); err != nil {
			return ductFault(err, "duct")
		}
	}
	b.fillDoubts(l.Fills, "fill")
	b.Facts.Line = b.lineFacts(outer, shape, making, whole)
	b.Facts.NetVolume += shape.Volume()
	return nil
}

// taps are the places along the duct, the first of them at its start.
func (b *builder) taps(length float64) ([]tap, error) {
	l := &b.Spec.Line
	start := tap{"closed_end", "", 0}
	var all []tap
	switch b.Spec.Kind {
	case TransmissionLine:
		all = []tap{{"line", "driver_at", l.Driver}}
	case TappedWaveguide:
		all = []tap{{"front_tap", "front_at", l.Front}, {"rear_tap", "rear_at", l.Rear}}
		if l.Front == l.Rear {
			return nil, fault("rear_at", "put front and rear apart along the duct", "both sides of the cone look into the duct at one place, so that they cancel")
		}
	default:
		all = []tap{{"throat", "", 0}}
	}
	for _, t := range all {
		if !(t.at >= 0 && t.at <= length*(1-1e-6)) {
			return nil, fault(t.key, "put it between the closed end and the mouth, "+metres(length)+" away", "it lies %s from the closed end of a duct of %s", apart(t.at, length), apart(length, t.at))
		}
	}
	slices.SortStableFunc(all, func(a, b tap) int { return cmp.Compare(a.at, b.at) })
	if all[0].at > 0 {
		all = append([]tap{start}, all...)
	}
	for i, t := range all[1:] {
		if gap := t.at - all[i].at; gap < least*(1-1e-9) { // less what a difference of two places rounds
			if all[i].key == "" {
				return nil, fault(t.key, "put it at the closed end itself, or farther from it", "it lies %s from the closed end: less of a duct behind it than %s is none", mm(gap), mm(least))
			}
			return nil, fault(t.key, "put them farther apart", "front and rear of the cone lie %s apart along the duct, less than %s", phys.ShowApart(gap, least, phys.Length, phys.Metric), mm(least))
		}
	}
	return all, nil
}

// fillPlaces refuses fill that lies outside the duct.
func fillPlaces(fills []duct.Filling, length float64) error {
	for _, f := range fills {
		switch {
		case f.From >= length*(1-1e-9):
			return fault("fill.from", "let it begin before the mouth, "+metres(length)+" away", "fill from %s on in a duct of %s", metres(f.From), metres(length))
		case f.To > length*(1+1e-9):
			return fault("fill.to", "let it end at the mouth, "+metres(length)+" away, or leave to out", "fill up to %s in a duct of %s", metres(f.To), metres(length))
		case f.To > 0 && f.To <= f.From:
			return fault("fill.to", "let it end behind "+metres(f.From)+", where it begins", "fill from %s to %s", metres(f.From), metres(f.To))
		}
	}
	return nil
}

// metres is a length along a duct in words.
func metres(l float64) string { return phys.Show(l, phys.Distance, phys.Metric) }

// apart is a length along a duct beside another one, told so that they differ if they do.
func apart(l, from float64) string {
	text := phys.ShowApart(l, from, phys.Distance, phys.Metric)
	if text == phys.ShowApart(from, l, phys.Distance, phys.Metric) {
		return metres(l)
	}
	return text
}

// least is the shortest part of a duct, m, that counts as one.
const least = 1e-4

// ductFault words a duct’s error as an enclosure’s.
func ductFault(err error, key string) error {
	var d *duct.Error
	if !errors.As(err, &d) {
		return err
	}
	switch d.Key {
	default:
		if strings.HasPrefix(d.Key, "taken[") {
			key += "." + d.Key
		}
	case "length", "area", "flare":
		key += "." + d.Key
	case "points":
		key += ".profile"
	case "section":
		key += ".width"
	case "fill", "resistivity":
		key = "fill"
	}
	return &Error{Key: key, Reason: d.Reason, Mend: d.Mend}
}

// mouth completes how the duct ends and prepares its load.
func (b *builder) mouth(area float64) error {
	l := &b.Spec.Line
	m := &l.Mouth
	end, load := m.End == EndUnset, m.Load == LoadUnset
	if end {
		m.End = EndFlanged
	}
	if load {
		m.Load = LoadPipe
		if b.Spec.Kind != TransmissionLine && m.End == EndFlanged {
			m.Load = LoadPiston
		}
	}
	law, err := b.mouthLaw(*m, area, l.Run)
	if err != nil {
		return err
	}
	b.line.load, b.line.area = law, area
	what := MouthWords(*m)
	switch {
	case end && load:
		b.note(note.Default, "default-mouth", "mouth", "the mouth is "+what, "write mouth to replace it")
	case load && m.End == EndFlanged:
		b.note(note.Default, "default-mouth", "mouth.load", "the mouth is "+what, "write mouth: {end: flanged, load: pipe} or {end: flanged, load: piston}")
	}
	return nil
}

// MouthWords is a mouth in words.
func MouthWords(m Mouth) string {
	switch {
	case m.End == EndFree:
		return "that of a pipe without a flange"
	case m.Load == LoadPiston:
		return "a piston in a baffle"
	}
	return "that of a pipe in a flange"
}

// lacksLength says that nothing of a duct’s words tells how long it is.
func (r *Run) lacksLength() bool {
	return r.Length == 0 && len(r.Points) == 0 && r.Flare != FlareTractrix
}

// making is what a duct is made in and with.
func (b *builder) making(r *Run, fills []duct.Filling) duct.Making {
	return duct.Making{Gas: duct.GasOf(b.Setting.Air), Walls: !b.Setting.RigidWalls, Section: r.Section, Fills: fills, Steps: !r.BareJumps}
}

// fillDoubts warns of fill whose model is asked for more than it was made for.
func (b *builder) fillDoubts(fills []duct.Filling, key string) {
	for _, f := range fills {
		b.fillDoubt(f.Fill, key)
	}
}

// fillDoubt warns of a fill’s model where bass is below its range.
func (b *builder) fillDoubt(f duct.Fill, key string) {
	from, _ := f.Fitted()
	if from <= lowBass {
		return
	}
	text := fmt.Sprintf("%s was fitted from %s up for this fill", f.Model, hz(from))
	if n := f.Negative(); n > lowBass {
		text += fmt.Sprintf(", and below %s its air has a negative density", hz(n))
	}
	b.note(note.Warning, "fill-range", key, text+": curves below it are no prediction", "leave model out for the one that holds at all frequencies")
}

// lowBass is the frequency, Hz, from which up a model of fill has to hold.
const lowBass = 5.0

// layLine puts the duct, its mouth and what belongs to it into the network and joins
// the cones.
func (b *builder) layLine() {
	ln, node := b.line, map[string]network.Node{}
	for _, t := range ln.taps {
		n := b.Net.AddNode(network.Acoustic, t.name)
		node[t.name] = n
		b.Chambers = append(b.Chambers, Place{t.name, n})
	}
	mouth := b.Net.AddNode(network.Acoustic, "mouth")
	for i, d := range ln.parts {
		from, to, name := node[ln.taps[i].name], mouth, "duct"
		if i+1 < len(ln.taps) {
			to = node[ln.taps[i+1].name]
		}
		if len(ln.parts) > 1 {
			name = fmt.Sprintf("duct.%d", i+1)
		}
		b.Net.AddTwoPort(name, from, to, d)
	}
	id := b.Net.AddImpedance("mouth", mouth, network.Outside, network.Triple{}, ln.load)
	b.Openings = append(b.Openings, Opening{"mouth", ln.area, id})
	b.radiating = append(b.radiating, Radiating{"mouth", id, 1, nil})

	b.front = network.Outside
	switch b.Spec.Kind {
	case TransmissionLine:
		b.rear = node["line"]
	case TappedWaveguide:
		b.front, b.rear = node["front_tap"], node["rear_tap"]
	case BackLoadedHorn:
		b.rear = b.throat(node["throat"])
	case FrontLoadedHorn:
		b.front = b.throat(node["throat"])
		b.rear = b.Net.AddNode(network.Acoustic, "rear")
		b.Chambers = append(b.Chambers, Place{"rear", b.rear})
		b.chamber("rear", "rear.", &b.Spec.Rear, b.rear)
	}
}

// throat is where the cones of a horn look: its throat, whose chamber, where there is
// one, is the air there.
func (b *builder) throat(at network.Node) network.Node {
	if c := &b.Spec.Line.Throat; c.Volume > 0 {
		b.chamber("throat_chamber", "throat_chamber.", c, at)
	}
	return at
}
