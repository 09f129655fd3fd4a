package enclosure

import (
	"errors"
	"fmt"
	"math"

	"basswright/internal/driver"
	"basswright/internal/duct"
	"basswright/internal/network"
	"basswright/internal/note"
	"basswright/internal/phys"
	"basswright/internal/radiation"
)

// DuctFacts is what is known of a duct of a network.
type DuctFacts struct {
	Name          string
	Length        float64 // m
	Start, Finish float64 // m², areas
	Volume        float64 // m³
	Segments      int
	Estimate      float64 // of the error of the cutting, as a share of its two-port
	Quarter       float64 // Hz, c/4L: without ends and fill
}

// netting is a network that is ready to be laid.
type netting struct {
	sides  []look                  // by position
	ducts  map[string][]*duct.Duct // by part: its pieces between taps
	shapes map[string]duct.Shape   // by part, with nothing in it
	mouths map[string]network.Law
	areas  map[string]float64 // m², of openings
}

// look is what the two sides of the cones at a position look into.
type look struct{ front, rear ear }

// ear is a place that a cone looks into; heard: where the listener is.
type ear struct {
	node  network.Node
	heard bool
}

// looks is what the cones at a position look into.
func (b *builder) looks(p int) look {
	if b.net != nil {
		return b.net.sides[p]
	}
	return look{ear{b.front, b.front == network.Outside}, ear{b.rear, b.rear == network.Outside && b.Spec.Kind != InfiniteBaffle}}
}

// lookAlike says that all positions look into the same places.
func (b *builder) lookAlike() bool {
	for p := 1; p < b.Group.SideBySide(); p++ {
		if b.looks(p) != b.looks(0) {
			return false
		}
	}
	return true
}

// symmetry is the group’s, where what is around its positions does not part them.
func (b *builder) symmetry() (s driver.Symmetry, ok bool) {
	sym, ok := b.Group.Symmetry()
	return sym, ok && b.lookAlike()
}

// sizeNet turns the words of a network into numbers.
func (b *builder) sizeNet() error {
	net := b.Spec.Net.Clone() // which is completed, and not the study’s own
	b.Spec.Net = net
	if net != nil {
		net.complete()
	}
	if err := b.checkNet(); err != nil {
		return err
	}
	b.net = &netting{ducts: map[string][]*duct.Duct{}, shapes: map[string]duct.Shape{}, mouths: map[string]network.Law{}, areas: map[string]float64{}}
	for _, size := range []func(int, *NetPart) error{b.sizeNetPort, b.sizeNetAir, b.sizeNetDuct, b.sizeNetOpening, b.sizeNetRest} {
		for i := range net.Parts {
			if err := size(i, &net.Parts[i]); err != nil {
				return err
			}
		}
	}
	return nil
}

// complete fills in the other end of parts that are at one place, and puts what lies
// outside last.
func (n *Net) complete() {
	for i := range n.Parts {
		p := &n.Parts[i]
		switch p.Kind {
		case NetPort, NetDiaphragm, NetLeak:
			if p.B == "" {
				p.B, p.Alone = PlaceOutside, true
			}
		case NetDuct:
			if p.B == "" {
				p.B, p.Alone = PlaceClosed, true
			}
		}
		if abroad(p.A) && p.B != "" && p.Kind != NetDrivers {
			p.A, p.B = p.B, p.A
			p.Chamber.Port.Inner, p.Chamber.Port.Outer = p.Chamber.Port.Outer, p.Chamber.Port.Inner
		}
	}
}

// under turns a fault of a part’s own recipe into one of the part.
func under(i int, err error) error {
	var e *Error
	if !errors.As(err, &e) {
		return err
	}
	return netFault(i, e.Key, e.Mend, "%s", e.Reason)
}

// sizeNetAir says where the losses of a chamber hold; its ports have their tunings by
// then.
func (b *builder) sizeNetAir(_ int, p *NetPart) error {
	if p.Kind != NetChamber {
		return nil
	}
	c := &p.Chamber
	if c.Losses.Leakage.State != LossGiven && c.Losses.Absorption.State != LossGiven {
		return nil
	}
	if c.Losses.At == 0 {
		c.Losses.At = b.netReference(p)
	}
	return nil
}

// netReference is where the losses of a chamber hold that do not say: at the tuning of
// the first port to it, else at the resonance of the group on it alone.
func (b *builder) netReference(p *NetPart) float64 {
	for i := range b.Spec.Net.Parts {
		if q := &b.Spec.Net.Parts[i]; q.Kind == NetPort && q.A == p.A {
			return q.Chamber.Tuning
		}
	}
	return b.closedResonance(p.Chamber.Volume)
}

// sizeNetPort completes a port with the air that it is tuned with: that of the chamber
// at its first end, else of the one at its second.
func (b *builder) sizeNetPort(i int, p *NetPart) error {
	if p.Kind != NetPort {
		return nil
	}
	net, c := b.Spec.Net, &p.Chamber
	place := p.A
	air := net.Air(p.A)
	if air == nil && !Reserved(p.B) {
		place, air = p.B, net.Air(p.B)
	}
	if air != nil {
		c.Volume, c.Fill = air.Volume, air.Fill
		return b.sizePort(p.Name, fmt.Sprintf("parts[%d].", i), place, c)
	}
	if c.Tuning > 0 {
		return netFault(i, "tuning", "give the port a size and a length, or put a chamber at one of its ends", "a tuning is that of a chamber on its port, and no chamber is at %s or %s", p.A, p.B)
	}
	if c.Losses.Port.State == LossGiven && c.Losses.At == 0 {
		return netFault(i, "losses", "add at, such as at: 30 Hz", "a loss needs the frequency at which it holds, and this port has no chamber whose tuning would say it")
	}
	return b.sizeLonePort(i, p)
}

// sizeLonePort sizes a port with no chamber at its ends: it has a mass and no tuning.
func (b *builder) sizeLonePort(i int, p *NetPart) error {
	c := &p.Chamber
	if c.Port.Length == 0 {
		return netFault(i, "port.length", "add length, such as length: 120 mm", "no chamber is at its ends that a tuning could be one of, and it has no length")
	}
	b.ends("", &c.Port)
	f := PortFacts{Name: p.Name, Gain: 1}
	flares, err := b.bore(&f, fmt.Sprintf("parts[%d].", i), &c.Port)
	if err != nil {
		return err
	}
	b.asLong(&f, &c.Port)
	b.finish(&f, &c.Port, flares)
	b.Facts.Ports = append(b.Facts.Ports, f)
	return nil
}

// sizeNetDuct makes a duct and its pieces.
func (b *builder) sizeNetDuct(i int, p *NetPart) error {
	if p.Kind != NetDuct {
		return nil
	}
	r := &p.Run
	if r.lacksLength() {
		return netFault(i, "duct.length", "give a length such as 1.8 m", "the duct has no length")
	}
	shape, err := r.Shape()
	if err != nil {
		return under(i, ductFault(err, "duct"))
	}
	length := shape.Length()
	r.Length = length
	var at []float64
	last := 0.0
	for k, t := range p.Taps {
		if !(t.At-last >= least && t.At <= length*(1-1e-6)) {
			return netFault(i, fmt.Sprintf("taps[%d].at", k), "put it inside the duct, "+metres(length)+" long, behind the one before it", "a place %s along the duct is not between its ends and behind %s", metres(t.At), metres(last))
		}
		at = append(at, t.At)
		last = t.At
	}
	if err := fillPlaces(p.Fills, length); err != nil {
		return under(i, err)
	}
	b.fillDoubts(p.Fills, fmt.Sprintf("parts[%d].fill", i))
	course, err := r.Course()
	if err != nil {
		return under(i, ductFault(err, "duct"))
	}
	pieces, err := duct.NewParts(course, b.making(r, p.Fills), at)
	if err != nil {
		return under(i, ductFault(err, "duct"))
	}
	b.net.ducts[p.Name], b.net.shapes[p.Name] = pieces, shape
	f := DuctFacts{Name: p.Name, Length: length, Start: shape.Area(0), Finish: shape.Area(length), Volume: course.Volume(), Quarter: b.Setting.Air.C / (4 * length)}
	for _, d := range pieces {
		f.Segments += d.Segments()
		f.Estimate += d.Estimate()
	}
	b.Facts.Ducts = append(b.Facts.Ducts, f)
	b.Facts.NetVolume += f.Volume
	return nil
}

// sizeNetOpening completes how a place looks outside.
func (b *builder) sizeNetOpening(i int, p *NetPart) error {
	if p.Kind != NetOpening {
		return nil
	}
	area, run := p.Area, Run{Section: duct.Section{Width: p.Width}}
	if area == 0 {
		from, n := b.ductEndingAt(p.A)
		if n != 1 {
			return netFault(i, "area", "add area, such as area: 400 cm2", "the area is missing, and %s", map[bool]string{true: "no duct ends at " + p.A, false: "several ducts end at " + p.A}[n == 0])
		}
		if p.Width > 0 {
			return netFault(i, "width", "leave it out, or add area", "a width without an area: the opening is the end of the duct")
		}
		run = from.Run
		shape := b.net.shapes[from.Name]
		area = shape.Area(0)
		if from.B == p.A {
			area = shape.Area(shape.Length())
		}
	}
	if p.Mouth.End == EndUnset || p.Mouth.Load == LoadUnset && p.Mouth.End == EndFlanged {
		b.note(note.Default, "default-mouth", fmt.Sprintf("parts[%d].mouth", i), p.Name+" is "+MouthWords(Mouth{EndFlanged, LoadPipe}), "write mouth: {end: flanged, load: pipe} or {end: flanged, load: piston}")
		p.Mouth.End = EndFlanged
	}
	p.Mouth.Load = orPipe(p.Mouth.Load)
	law, err := b.mouthLaw(p.Mouth, area, run)
	if err != nil {
		return under(i, err)
	}
	b.net.mouths[p.Name], b.net.areas[p.Name] = law, area
	return nil
}

func orPipe(l Load) Load {
	if l == LoadUnset {
		return LoadPipe
	}
	return l
}

// ductEndingAt is a duct that ends at a place, and how many do.
func (b *builder) ductEndingAt(place string) (one *NetPart, n int) {
	for i := range b.Spec.Net.Parts {
		if p := &b.Spec.Net.Parts[i]; p.Kind == NetDuct && (p.A == place || p.B == place) {
			one = p
			n++
		}
	}
	return one, n
}

// mouthLaw is the load of a mouth of an area, whose sides are those of a duct’s
// section.
func (b *builder) mouthLaw(m Mouth, area float64, run Run) (network.Law, error) {
	o := radiation.Opening{End: radiation.Piston, Area: area, Images: b.images()}
	switch {
	case m.End == EndFree && m.Load == LoadPiston:
		return nil, fault("mouth.load", "write load: pipe, or end: flanged", "the load of a piston is known in a baffle, and this mouth has none")
	case m.End == EndFree:
		// its load is into the free space, which a single wall behind it does not narrow
		o.End, o.Images = radiation.Free, math.Max(1, b.images())
	case m.Load == LoadPipe:
		o.End = radiation.Flanged
	}
	o.Width, o.Height = run.sides(area)
	law, err := radiation.New(o, b.Setting.Air.C, b.Setting.Air.Rho)
	if err != nil {
		var r *radiation.Error
		if errors.As(err, &r) {
			key := "mouth"
			if o.Width > 0 {
				key = "duct.width"
			}
			return nil, &Error{Key: key, Reason: r.Reason, Mend: r.Mend}
		}
		return nil, err
	}
	return law, nil
}

// sizeNetRest completes diaphragms and absorbers.
func (b *builder) sizeNetRest(i int, p *NetPart) error {
	switch p.Kind {
	case NetDiaphragm:
		if err := b.completeRadiator(&p.Radiator); err != nil {
			return under(i, err)
		}
		if abroad(p.B) {
			if _, err := b.radiatorAir(&p.Radiator); err != nil {
				return under(i, err)
			}
		}
	case NetAbsorber:
		if s := p.Sheet; p.Resist == 0 {
			p.Resist = s.Resistivity * s.Thickness / s.Area
		}
		b.Facts.NetVolume += p.Chamber.Volume
	case NetChamber:
		if fill := p.Chamber.Fill; fill.Share > 0 {
			if p.Chamber.Losses.Absorption.State == LossGiven {
				return netFault(i, "losses.absorption", "leave absorption out: fill has its own loss", "absorption and fill say one thing in two ways")
			}
			if sigma := fill.Resistivity; !(sigma >= duct.LeastResistivity && sigma <= duct.MostResistivity) {
				return netFault(i, "fill", "pack it otherwise, or give its resistivity, from 1 Pa·s/m² to 1 000 000 Pa·s/m²", "fill of %s Pa·s/m²", phys.Digits(sigma, 3))
			}
			b.fillDoubt(fill.Fill, fmt.Sprintf("parts[%d].fill", i))
		}
	}
	return nil
}
