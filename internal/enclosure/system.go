package enclosure

import (
	"basswright/internal/driver"
	"basswright/internal/network"
	"basswright/internal/phys"
)

// Setting is what surrounds every candidate of a study.
type Setting struct {
	Air           phys.Air
	Source        float64 // Ω, cable and output resistance in series with what each channel drives
	Parts         []Part  // passive parts behind it, from the amplifier on, of each channel
	Space         float64 // solid angle, sr: 4π free, 2π half, π quarter, π/2 eighth
	Distance      float64 // m
	Toward        Toward  // where the listener is, for what stands on a baffle
	FullRadiation bool    // faces that look outside carry the exact piston load
	Panel         float64 // m, of the boards; 0: the usual thickness
	RigidWalls    bool    // ducts without the loss of air at their walls
	Unreduced     bool    // give every position its own elements, even where one could stand for all
	BareAir       bool    // give the air of a chamber with absorption a node of its own, so that its spring can be read
}

// System is a candidate's network with the names of what can be read from it.
type System struct {
	Net     *network.Network
	Program *network.Program
	Setting Setting
	Group   *driver.Group
	Spec    Spec // resolved: every volume, tuning, length and loss that the network uses

	Cones     []Cone // the drivers in member order
	Radiators []Cone
	Openings  []Opening
	Chambers  []Place
	Coils     []Coil    // driver by driver, in member order
	Channels  []Channel // of the amplifier, one or more
	Parted    []PartAt  // the passive parts, channel by channel
	Motors    []Motor
	Airs      []Air
	Facts     Facts

	radiating []Radiating
	spread    bool                // what radiates stands at several places
	strings   []network.ElementID // the strings of all channels
	pushes    []push              // of rigid stacks whose cones fight, by node; else empty
}

// push is the force of a string of coils on a cone: factor times its current.
type push struct {
	node    network.Node
	element network.ElementID
	factor  float64
}

// Cone is a moving diaphragm whose excursion can be read.
type Cone struct {
	Name     string  // its place in the study: "driver", "driver.1.2" (position, depth), "radiator"
	Position int     // from 0; for drivers
	Depth    int     // from 0 at the listener; for drivers
	Sd       float64 // m²
	Xmax     float64 // m, 0: not known
	Node     network.Node
	Ratio    float64 // its velocity over the node's
}

// Opening is a port whose volume velocity and air speed can be read.
type Opening struct {
	Name    string  // "port", "rear.port", "front.port"
	Area    float64 // m², all ports of the opening together; 0: not known
	Element network.ElementID
}

// Place is a chamber whose pressure can be read: "box", "rear", "front",
// "coupling.1.2" (position, gap).
type Place struct {
	Name string
	Node network.Node
}

// Coil is one voice coil of a group that carries a current: a driven one, or
// one that is not driven but closed.
type Coil struct {
	Name    string  // "driver.1.2", with ".coil1" where several of a driver carry a current; the driven ones come first
	Driver  int     // index into System.Cones
	Re      float64 // Ω
	Element network.ElementID
	Share   float64 // its current over the element's
}

// Motor is a magnet system of the network with the driver that it stands for,
// and the factors from that driver to the network: where one position stands
// for several, or rigid air joins unlike cones, they are not 1.
type Motor struct {
	ID      network.Motor
	Driver  *driver.Driver
	Facing  driver.Facing
	Cones   []int        // into System.Cones: those for which it stands
	Node    network.Node // what moves
	Ratio   float64      // the cone's velocity over the node's
	Current float64      // the current in one driver's coils over that in the network's
	Voltage float64      // the network's voltage in a coil over one driver's
	Times   float64      // the drivers whose forces add on the node
}

// Air is the air of a chamber or between cones as a spring to the outside's
// static pressure.
type Air struct {
	Name       string
	Node       network.Node
	Volume     float64 // m³, of all the places that it stands for
	Compliance float64 // m³/Pa, of the same without fill
	Filled     bool    // its spring is that of fill, which is neither adiabatic nor of one law
}

// Radiating is an element whose flow moves air outside. The far field is the
// sum of Factor·flow.
type Radiating struct {
	Name    string
	Element network.ElementID
	Factor  float64 // +1 or −1: turns the element's flow into a volume velocity outwards
	paths   []path  // to the listener; none: the listening distance
}

// Radiating lists everything that moves air outside, in a fixed order.
func (s *System) Radiating() []Radiating { return s.radiating }

// PortFacts is what is known of a port once it is sized.
type PortFacts struct {
	Name               string
	Chamber            string  // "rear" or "front"; of a network the place whose air it is tuned with, "" for none
	Port               Port    // with its length
	Sized              bool    // false: an ideal mass, no size was given
	Mass               float64 // kg/m⁴, acoustic mass of all alike ports together
	Area               float64 // m², all together
	Effective          float64 // m, length with end corrections
	InnerEnd, OuterEnd float64 // m, the two end corrections
	PipeMode           float64 // Hz, first mode along the port: c/(2·effective length); 0: not known
	Tuning             float64 // Hz, with the compliance of its own chamber alone
	Volume             float64 // m³ of air in the ports
	Gain               float64 // apparent volume of the chamber at the tuning over its volume: 1 without fill
}

// FillFacts is what fill makes of the air of a chamber.
type FillFacts struct {
	Chamber string
	At      float64 // Hz, the chamber’s reference frequency
	Gain    float64 // apparent volume there over the volume: from 1, adiabatic, to γ, isothermal
	Q       float64 // of the spring there: its reactance over its resistance
}

// Face is an opening on a baffle.
type Face struct {
	Name   string
	At     Spot
	Radius float64 // m, of a round one of its area; 0: not known
}

// Facts is what the recipe worked out while it built the network.
type Facts struct {
	Ports          []PortFacts
	SealedFc       float64     // Hz, resonance of the rigid composite on the closed rear chamber; 0 where it has no meaning
	SealedQtc      float64     // total Q of the same, with the source's resistance and the stated losses; 0 where it has no meaning
	RadiatorFb     float64     // Hz, the radiator's tuning
	NetVolume      float64     // m³, all chambers; 0 for an infinite baffle
	CouplingVolume float64     // m³, all positions
	CouplingMass   []float64   // kg, by gap: the air that moves with the cones at one position; NaN where no length was given
	Line           *LineFacts  // nil: no duct
	Ducts          []DuctFacts // of a network
	Standing       []Standing  // in the duct
	Fills          []FillFacts // of the chambers with fill
	Faces          []Face      // on the baffle; none: all at one place
	CouplingModes  []float64   // Hz, rising: the cones of a stack move against each other
}

// Moving lists the drivers' cones in member order, then the radiators.
func (s *System) Moving() []Cone {
	return append(s.Cones[:len(s.Cones):len(s.Cones)], s.Radiators...)
}
