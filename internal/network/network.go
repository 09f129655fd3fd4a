// Package network is the one physical model: a net of lumped and distributed
// elements in three domains, assembled once, compiled to a list of operations
// and run over frequencies.
//
// # Conventions
//
// Phasors are rms with time factor exp(+jωt). Every node has a potential and
// every element a flow, counted from its node A to its node B:
//
//	domain      potential          flow                   reference (potential 0)
//	Electrical  voltage, V         current, A             Earth
//	Mechanical  velocity, m/s      force, N               Frame
//	Acoustic    sound pressure, Pa volume velocity, m³/s  Outside
//
// The mechanical domain is in mobility form: a mass is an admittance jωM to
// Frame, a compliance 1/(jωC), a resistance R. Two cones that are rigidly
// coupled share one node. A velocity is positive towards the listener.
//
// The flows that leave a node through its elements sum to zero. There is one
// source, a node whose potential is 1; the answer to any drive follows by
// scaling, because the network is linear.
package network

import (
	"fmt"
	"math"
)

// Domain is one of the three physical domains.
type Domain uint8

// The domains.
const (
	Electrical Domain = iota
	Mechanical
	Acoustic
)

// String names the domain.
func (d Domain) String() string { return [...]string{"electrical", "mechanical", "acoustic"}[d] }

// Node is a place in a network. The zero value is Earth.
type Node int

// The reference nodes, one a domain, whose potential is zero.
const (
	Earth Node = iota
	Frame
	Outside
	firstFree
)

// Triple is the rational part of an immittance: G + jωC + L/(jω). Read as an
// admittance it is a conductance beside a capacitance and a reciprocal
// inductance; read as an impedance, a resistance in series with an inductance
// C and a reciprocal capacitance L.
type Triple struct {
	G float64 // real, independent of frequency
	C float64 // factor of jω
	L float64 // factor of 1/(jω)
}

func (t Triple) at(w float64) complex128 { return complex(t.G, w*t.C-t.L/w) }

func (t Triple) zero() bool { return t == Triple{} }

func (t Triple) finite() bool {
	s := t.G + t.C + t.L
	return !math.IsNaN(s) && !math.IsInf(s, 0)
}

// Law is the part of an immittance that no Triple expresses, as a function of
// ω in rad/s. It must be finite for ω > 0 and must not allocate.
type Law interface {
	At(w float64) complex128
}

// TwoPortLaw is a reciprocal distributed two-port in admittance form: the
// flows into it are y11·pA + y12·pB at A and y12·pA + y22·pB at B.
type TwoPortLaw interface {
	At(w float64) (y11, y12, y22 complex128)
}

// ElementKind tells the elements apart.
type ElementKind uint8

// The kinds of element.
const (
	KindAdmittance ElementKind = iota // flow = Y (pA − pB)
	KindImpedance                     // pA − pB = Z flow; the flow is an unknown
	KindString                        // voice coils in series; see AddString
	KindPiston                        // a moving face; see AddPiston
	KindTwoPort                       // a distributed two-port between A and B
	KindCoupling                      // two impedances that hear each other; see AddCoupling
)

// An Element is one part of a network, as it was added. Exporters read it.
type Element struct {
	Kind  ElementKind
	Name  string // the part's name in the study's words, unique
	A, B  Node
	Value Triple       // KindAdmittance: Y; KindImpedance and KindString: Z
	Law   Law          // added to Value; nil if there is none
	Ports TwoPortLaw   // KindTwoPort
	Turns []Turn       // KindString
	Mech  Node         // KindPiston: the node that moves with it
	Area  float64      // KindPiston, m²
	Pair  [2]ElementID // KindCoupling: the two impedances
}

// A Turn is a motor that a string of coils runs through: N coils of it, each
// with the motor's force factor; a negative N is a reversed polarity.
type Turn struct {
	Motor Motor
	N     int
}

// Motor names a magnet system: the place where coils on one former meet a
// moving mass.
type Motor int

// MotorData is what a motor is made of. Every coil on the former has force
// factor Bl, and all coils share the flux of the blocked impedance Value + Law
// (of one coil): they are fully coupled.
type MotorData struct {
	Name  string
	Mech  Node
	Bl    float64 // T m, one coil
	Value Triple  // Ω, one coil, without Re
	Law   Law
}

// ElementID names an element of a network.
type ElementID int

// Network collects nodes and elements. The zero value is not ready: use New.
type Network struct {
	nodes    []nodeData
	elements []Element
	motors   []MotorData
	names    map[string]bool
	source   Node
	err      error // the first fault of assembly, told by Compile
}

type nodeData struct {
	name   string
	domain Domain
}

// New returns an empty network with its three reference nodes.
func New() *Network {
	return &Network{
		nodes: []nodeData{{"earth", Electrical}, {"frame", Mechanical}, {"outside", Acoustic}},
		names: map[string]bool{},
	}
}

// AddNode adds a place. Its name is used in messages and exports.
func (n *Network) AddNode(d Domain, name string) Node {
	n.nodes = append(n.nodes, nodeData{name, d})
	return Node(len(n.nodes) - 1)
}

// AddSource adds the one electrical node whose potential is 1 V.
func (n *Network) AddSource(name string) Node {
	if n.source != 0 {
		n.fail("a network has one source, and %q is a second one", name)
	}
	n.source = n.AddNode(Electrical, name)
	return n.source
}

// Source is the node of the source; 0 if there is none yet.
func (n *Network) Source() Node { return n.source }

// AddAdmittance joins a and b by flow = (y + law)·(pA − pB). law may be nil.
func (n *Network) AddAdmittance(name string, a, b Node, y Triple, law Law) ElementID {
	return n.add(Element{Kind: KindAdmittance, Name: name, A: a, B: b, Value: y, Law: law})
}

// AddImpedance joins a and b by pA − pB = (z + law)·flow; the flow becomes an
// unknown, so z may be zero. law may be nil.
func (n *Network) AddImpedance(name string, a, b Node, z Triple, law Law) ElementID {
	return n.add(Element{Kind: KindImpedance, Name: name, A: a, B: b, Value: z, Law: law})
}

// AddMotor adds a magnet system that moves the mechanical node mech.
func (n *Network) AddMotor(m MotorData) Motor {
	n.domain(m.Name, m.Mech, Mechanical)
	if math.IsNaN(m.Bl) || math.IsInf(m.Bl, 0) || !m.Value.finite() {
		n.fail("%s has a value that is not finite", m.Name)
	}
	n.motors = append(n.motors, m)
	return Motor(len(n.motors) - 1)
}

// AddString joins the electrical nodes a and b by voice coils in series with z
// (their resistances Re and anything else in the same wire). With i the
// string's current, v a motor's velocity and Zm its blocked impedance,
//
//	eA − eB = z·i + Σ N·(Bl·v + Zm·Σ' N'·i')
//
// where Σ' runs over all strings through the same motor. The force on a motor
// is Σ' N'·Bl·i'.
func (n *Network) AddString(name string, a, b Node, z Triple, turns ...Turn) ElementID {
	n.domain(name, a, Electrical)
	n.domain(name, b, Electrical)
	for _, t := range turns {
		if t.Motor < 0 || int(t.Motor) >= len(n.motors) {
			n.fail("%s runs through a motor that does not exist", name)
			return -1
		}
	}
	return n.add(Element{Kind: KindString, Name: name, A: a, B: b, Value: z, Turns: append([]Turn(nil), turns...)})
}

// AddPiston couples the velocity v of mech to the air: a face of the given
// area, in m², sends area·v into front and takes it from rear, and the pressures push
// back with area·(pFront − pRear). Its flow is the volume velocity area·v.
func (n *Network) AddPiston(name string, mech Node, area float64, front, rear Node) ElementID {
	n.domain(name, mech, Mechanical)
	n.domain(name, front, Acoustic)
	n.domain(name, rear, Acoustic)
	return n.add(Element{Kind: KindPiston, Name: name, A: front, B: rear, Mech: mech, Area: area})
}

// AddTwoPort joins a and b by a distributed two-port.
func (n *Network) AddTwoPort(name string, a, b Node, law TwoPortLaw) ElementID {
	return n.add(Element{Kind: KindTwoPort, Name: name, A: a, B: b, Ports: law})
}

// AddCoupling couples two impedances that were added before: the flow of each adds
// law times itself to the difference of potentials at the other, as openings in one
// baffle do. It has no flow of its own.
func (n *Network) AddCoupling(name string, one, two ElementID, law Law) ElementID {
	for _, id := range []ElementID{one, two} {
		if id < 0 || int(id) >= len(n.elements) || n.elements[id].Kind != KindImpedance {
			n.fail("%s couples a part that is no impedance", name)
			return -1
		}
	}
	a, b := n.elements[one], n.elements[two]
	if one == two || n.nodes[a.A].domain != n.nodes[b.A].domain {
		n.fail("%s needs two impedances of one domain", name)
		return -1
	}
	return n.add(Element{Kind: KindCoupling, Name: name, A: a.A, B: b.A, Law: law, Pair: [2]ElementID{one, two}})
}

// Elements lists the elements in the order in which they were added. The
// caller must not change them.
func (n *Network) Elements() []Element { return n.elements }

// Element returns one element.
func (n *Network) Element(id ElementID) Element { return n.elements[id] }

// Motors lists the motors in the order in which they were added.
func (n *Network) Motors() []MotorData { return n.motors }

// NodeName is the name given to a node.
func (n *Network) NodeName(a Node) string { return n.nodes[a].name }

// NodeDomain is the domain of a node.
func (n *Network) NodeDomain(a Node) Domain { return n.nodes[a].domain }

// NodeCount is the number of nodes, with the three reference nodes.
func (n *Network) NodeCount() int { return len(n.nodes) }

func (n *Network) add(e Element) ElementID {
	switch {
	case n.names[e.Name]:
		n.fail("two parts are called %q", e.Name)
	case e.A < 0 || e.B < 0 || int(e.A) >= len(n.nodes) || int(e.B) >= len(n.nodes):
		n.fail("%s is joined to a place that does not exist", e.Name)
	case n.nodes[e.A].domain != n.nodes[e.B].domain:
		n.fail("%s joins an %s place to an %s one", e.Name, n.nodes[e.A].domain, n.nodes[e.B].domain)
	case !e.Value.finite() || math.IsNaN(e.Area) || math.IsInf(e.Area, 0):
		n.fail("%s has a value that is not finite", e.Name)
	}
	n.names[e.Name] = true
	n.elements = append(n.elements, e)
	return ElementID(len(n.elements) - 1)
}

func (n *Network) domain(name string, a Node, want Domain) {
	if a < 0 || int(a) >= len(n.nodes) || n.nodes[a].domain != want {
		n.fail("%s needs an %s place", name, want)
	}
}

func (n *Network) fail(format string, args ...any) {
	if n.err == nil {
		n.err = fmt.Errorf(format, args...)
	}
}
