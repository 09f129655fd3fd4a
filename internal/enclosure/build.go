package enclosure

import (
	"fmt"
	"math"

	"basswright/internal/driver"
	"basswright/internal/network"
	"basswright/internal/note"
)

// Error is an enclosure that cannot be. Key is the place below the candidate's
// enclosure, such as "rear.port.length".
type Error struct {
	Key, Reason, Mend string
}

// Error puts the three into one line.
func (e *Error) Error() string { return fmt.Sprintf("%s: %s; %s", e.Key, e.Reason, e.Mend) }

func fault(key, mend, format string, args ...any) *Error {
	return &Error{Key: key, Reason: fmt.Sprintf(format, args...), Mend: mend}
}

// builder carries what a recipe needs while it builds.
type builder struct {
	*System
	rigid    driver.Rigid // the group as rigidly coupled, to which sizing and reference frequencies refer
	findings []note.Finding
	front    network.Node          // what the outermost cones look into
	rear     network.Node          // what the innermost cones look into
	line     *laid                 // of a distributed kind
	net      *netting              // of a network
	heard    []heardFace           // of cones that hear others
	closed   [][]network.ElementID // by driver that was built: the strings of its closed coils
}

// Build makes the network of a group in an enclosure. The findings are the
// defaults that were applied and doubts about the result. The error is an
// *Error, a *driver error or a *network.SingularError.
func Build(g *driver.Group, spec Spec, set Setting) (*System, []note.Finding, error) {
	b := &builder{System: &System{Net: network.New(), Setting: set, Group: g, Spec: spec}, rigid: g.RigidSum()}
	for _, step := range []func() error{b.checkBaffle, b.size, b.recipe, b.group, b.baffle} {
		if err := step(); err != nil {
			return nil, nil, err
		}
	}
	if err := b.reference(); err != nil {
		return nil, nil, err
	}
	p, err := b.Net.Compile()
	if err != nil {
		return nil, nil, err
	}
	b.Program = p
	b.modes()
	b.imageLimit()
	return b.System, b.findings, nil
}

// recipe lays the acoustic places of the kind.
func (b *builder) recipe() error {
	if b.Spec.Kind.Distributed() {
		b.layLine()
		return nil
	}
	if b.Spec.Kind == Network {
		b.layNet()
		return nil
	}
	switch b.Spec.Kind {
	case InfiniteBaffle:
		b.front, b.rear = network.Outside, network.Outside
	case Sealed, Vented, PassiveRadiator:
		b.front = network.Outside
		b.rear = b.Net.AddNode(network.Acoustic, "box")
		b.Chambers = append(b.Chambers, Place{"box", b.rear})
	case Bandpass, BandpassParallel, BandpassSeries:
		b.rear = b.Net.AddNode(network.Acoustic, "rear")
		b.front = b.Net.AddNode(network.Acoustic, "front")
		b.Chambers = append(b.Chambers, Place{"rear", b.rear}, Place{"front", b.front})
	}
	switch b.Spec.Kind {
	case Sealed:
		b.chamber("box", "", &b.Spec.Rear, b.rear)
	case Vented:
		b.port("port", "box", &b.Spec.Rear, b.rear, network.Outside)
		b.chamber("box", "", &b.Spec.Rear, b.rear)
	case PassiveRadiator:
		b.radiator()
		b.chamber("box", "", &b.Spec.Rear, b.rear)
	case Bandpass:
		b.port("front.port", "front", &b.Spec.Front, b.front, network.Outside)
		b.chamber("rear", "rear.", &b.Spec.Rear, b.rear)
		b.chamber("front", "front.", &b.Spec.Front, b.front)
	case BandpassParallel, BandpassSeries:
		to := network.Outside
		if b.Spec.Kind == BandpassSeries {
			to = b.front
		}
		b.port("rear.port", "rear", &b.Spec.Rear, b.rear, to)
		b.port("front.port", "front", &b.Spec.Front, b.front, network.Outside)
		b.chamber("rear", "rear.", &b.Spec.Rear, b.rear)
		b.chamber("front", "front.", &b.Spec.Front, b.front)
	}
	return nil
}

// compliance is the acoustic compliance of a volume of air, m³/Pa.
func (b *builder) compliance(volume float64) float64 {
	return volume / (b.Setting.Air.Rho * b.Setting.Air.C * b.Setting.Air.C)
}

// chamber adds the air of a chamber with its losses.
func (b *builder) chamber(name, key string, c *Chamber, at network.Node) {
	w0 := 2 * math.Pi * c.Losses.At
	ca := b.compliance(c.Volume)
	b.Facts.NetVolume += c.Volume
	spring := at
	switch a := c.Losses.Absorption; {
	case c.Fill.Share > 0:
		b.Net.AddAdmittance(name+" air", at, network.Outside, network.Triple{}, b.filledAir(c))
		b.Facts.Fills = append(b.Facts.Fills, b.fillFacts(name, c))
	case a.State == LossGiven && b.Setting.BareAir:
		spring = b.Net.AddNode(network.Acoustic, name+" bare air")
		b.Net.AddAdmittance(name+" absorption", at, spring, network.Triple{G: w0 * ca * a.Q}, nil)
		b.Net.AddAdmittance(name+" air", spring, network.Outside, network.Triple{C: ca}, nil)
	case a.State == LossGiven:
		b.Net.AddAdmittance(name+" air", at, network.Outside, network.Triple{}, network.SeriesRC{R: 1 / (w0 * ca * a.Q), C: ca})
	default:
		b.Net.AddAdmittance(name+" air", at, network.Outside, network.Triple{C: ca}, nil)
	}
	b.Airs = append(b.Airs, Air{Name: name, Node: spring, Volume: c.Volume, Compliance: ca, Filled: c.Fill.Share > 0})
	if l := c.Losses.Leakage; l.State == LossGiven {
		id := b.Net.AddAdmittance(name+" leak", at, network.Outside, network.Triple{G: w0 * ca / l.Q}, nil)
		b.radiating = append(b.radiating, Radiating{name + " leak", id, 1, nil})
	}
}

// port adds a port from one place to another.
func (b *builder) port(name, chamber string, c *Chamber, from, to network.Node) {
	f := b.portFacts(name)
	z := network.Triple{C: f.Mass}
	if l := c.Losses.Port; l.State == LossGiven {
		z.G = 2 * math.Pi * c.Losses.At * f.Mass / l.Q
	}
	var law network.Law
	if b.Setting.FullRadiation && to == network.Outside && f.Area > 0 {
		law = b.portLoad(f)
	}
	id := b.Net.AddImpedance(name, from, to, z, law)
	b.Openings = append(b.Openings, Opening{name, f.Area, id})
	if to == network.Outside {
		b.radiating = append(b.radiating, Radiating{name, id, 1, nil})
	}
}

func (b *builder) portFacts(name string) *PortFacts {
	for i := range b.Facts.Ports {
		if b.Facts.Ports[i].Name == name {
			return &b.Facts.Ports[i]
		}
	}
	panic("enclosure: port " + name + " was not sized")
}

// portLoad is the radiation load of a port's outer end beyond the mass that
// its end correction already counts at low frequency.
func (b *builder) portLoad(f *PortFacts) network.Law {
	n := float64(max(f.Port.Count, 1))
	a := math.Sqrt(f.Area / n / math.Pi)
	rho := b.Setting.Air.Rho
	return network.PistonLoad{Radius: a, C: b.Setting.Air.C, Rho: rho, By: 1 / n, Less: rho * 8 / (3 * math.Pi * math.Pi * a), Images: b.images()}
}

// radiator adds the passive radiators, which move as one.
func (b *builder) radiator() {
	id := b.diaphragm("radiator", b.Spec.Radiator, b.rear, network.Outside)
	b.radiating = append(b.radiating, Radiating{"radiator", id, 1, nil})
}

// diaphragm adds passive diaphragms, which move as one, between two places.
func (b *builder) diaphragm(name string, r Radiator, from, to network.Node) network.ElementID {
	n := float64(r.Count)
	node := b.Net.AddNode(network.Mechanical, name)
	y := network.Triple{G: n * r.Rms, C: n * (r.Mms + r.AddedMass), L: n / r.Cms}
	var law network.Law
	if b.Setting.FullRadiation && to == network.Outside {
		law = b.coneLoad(r.Sd, n)
		y.C -= n * b.heldMass(r.Sd)
	}
	b.Net.AddAdmittance(name+" suspension", node, network.Frame, y, law)
	b.Radiators = append(b.Radiators, Cone{Name: name, Sd: r.Sd, Xmax: r.Xmax, Node: node, Ratio: 1})
	return b.Net.AddPiston(name, node, n*r.Sd, to, from)
}

// smallKa is how small an opening must be for its images in other walls to act
// as the resistance that images() gives.
const smallKa = 0.3

// imageLimit notes where the exact load in another space than a half space stops
// to hold.
func (b *builder) imageLimit() {
	if !b.Setting.FullRadiation || math.Abs(b.images()-1) < 1e-9 {
		return
	}
	widest := 0.0
	for _, c := range append(b.Cones[:len(b.Cones):len(b.Cones)], b.Radiators...) {
		widest = math.Max(widest, math.Sqrt(c.Sd/math.Pi))
	}
	f := smallKa * b.Setting.Air.C / (2 * math.Pi * widest)
	b.findings = append(b.findings, note.Finding{
		ID: "radiation-images", Severity: note.Warning, Where: "enclosure",
		Text: fmt.Sprintf("with full radiation the load of this space is that of a small opening and its images: it holds up to about %s (ka = 0.3)", hz(f)),
		Mend: "read the curves above with care, or listen in space: half",
	})
}

// images is how much more resistance a small opening meets than in a half
// space: its images in the walls that narrow the space.
func (b *builder) images() float64 { return 2 * math.Pi / b.Setting.Space }

// coneLoad is the mechanical radiation load of n faces of the given area.
func (b *builder) coneLoad(sd, n float64) network.Law {
	return network.PistonLoad{
		Radius: math.Sqrt(sd / math.Pi), C: b.Setting.Air.C, Rho: b.Setting.Air.Rho,
		By: n * sd * sd, Images: b.images(),
	}
}

// heldMass is the part of a moving mass that is the air load of one face in
// free air: half of (8/3)ρa³. In a baffle the load of a face is twice that at
// low frequency (Rayleigh 1896).
func (b *builder) heldMass(sd float64) float64 {
	a := math.Sqrt(sd / math.Pi)
	return b.Setting.Air.Rho * a * a * a * 4 / 3
}
