package large

import (
	"math"

	"basswright/internal/enclosure"
	"basswright/internal/network"
	"basswright/internal/phys"
)

// Options are the study's choices for the air.
type Options struct {
	Adiabatic bool // closed chambers keep their spring down to dc; else static pressure leaks away
	LinearAir bool // the springs of the air are linear
}

// kind says what a port reads and what is put in there.
type kind uint8

const (
	position kind = iota // displacement of a node, m; a force, N
	coil                 // linkage of a motor, A; a flux, Wb, whose change is a voltage
	air                  // pressure of a chamber, Pa; a volume of air, m³, whose change is a flow
	eddy                 // flux of a motor's L2 over its value at rest, A; a flux, Wb, as in eddy.go

	kinds = iota
)

// port is a place where a remainder meets the network.
type port struct {
	kind  kind
	node  network.Node
	motor network.Motor
	eddyPort
}

// motorPart is a motor whose parameters change with displacement.
type motorPart struct {
	*enclosure.Motor
	law  motorLaw
	x, i int // its ports
	w    int // its port eddy; below 0: L2 does not change
}

// airPart is a chamber whose spring is not linear.
type airPart struct {
	law  airLaw
	port int
}

// Model is a candidate ready for large signals. It is immutable but for what it has worked out
// once, and safe for concurrent use.
type Model struct {
	Sys    *enclosure.System
	ports  []port
	motors []motorPart
	airs   []airPart
	shunts []network.Shunt // what lets the static pressure of closed chambers leak away
	grids  *grids
}

// leakCorner is the frequency, Hz, below which a closed chamber's pressure
// leaks away in the static balance: any does. In time it goes as leak.go says.
const leakCorner = 1

// staticFrequency is where the network's static answer is read, Hz. What is
// missing is its square over that of the lowest corner: 1e-7 for a leak that
// empties a soft suspension in four seconds. A suspension that creeps is read
// after about a day.
const staticFrequency = 1e-5

// New prepares a system. It should have been built with BareAir, or the
// springs of chambers with absorption are taken as linear.
func New(sys *enclosure.System, o Options) *Model {
	m := &Model{Sys: sys, grids: &grids{degree: 2}}
	at := map[network.Node]int{}
	for k := range sys.Motors {
		mt := &sys.Motors[k]
		if mt.Driver.Curves == nil {
			continue
		}
		x, ok := at[mt.Node]
		if !ok {
			x = m.add(port{kind: position, node: mt.Node})
			at[mt.Node] = x
		}
		i := m.add(port{kind: coil, motor: mt.ID})
		law := newMotorLaw(mt.Driver)
		m.grids.degree = max(m.grids.degree, law.degree)
		part := motorPart{mt, law, x, i, -1}
		if law.l2 != nil {
			part.w = m.add(port{kind: eddy, motor: mt.ID, eddyPort: newEddyPort(mt, i)})
		}
		m.motors = append(m.motors, part)
	}
	for _, a := range sys.Airs {
		if a.Compliance == 0 { // no air between two cones: no spring either
			continue
		}
		if !o.Adiabatic {
			m.shunts = append(m.shunts, network.Shunt{Node: a.Node, G: 2 * math.Pi * leakCorner * a.Compliance})
		}
		if !o.LinearAir && !a.Filled {
			p := m.add(port{kind: air, node: a.Node})
			m.airs = append(m.airs, airPart{airLaw{volume: a.Volume, compliance: a.Compliance, static: a.Volume / (a.Compliance * phys.Gamma)}, p})
		}
	}
	return m
}

func (m *Model) add(p port) int {
	m.ports = append(m.ports, p)
	return len(m.ports) - 1
}

// injections are the ports as the network knows them.
func (m *Model) injections() []network.Injection {
	out := make([]network.Injection, len(m.ports))
	for k, p := range m.ports {
		out[k] = network.Injection{Node: p.node, Motor: p.motor}
	}
	return out
}

// read is what a port sees at s = jω.
func (p port) read(in *network.Injector, s complex128) complex128 {
	switch p.kind {
	case position:
		return in.Potential(p.node) / s
	case coil:
		return in.Linkage(p.motor)
	case eddy:
		return p.filter(s) * in.Linkage(p.motor)
	}
	return in.Potential(p.node)
}

// drive is the factor from what a port is given to what enters the network.
func (p port) drive(s complex128) complex128 {
	switch p.kind {
	case position:
		return 1
	case eddy:
		return s * p.filter(s)
	}
	return s
}
