package export

import (
	"fmt"

	"basswright/internal/enclosure"
	"basswright/internal/network"
)

// admittance is a conductance, a capacitance and an inductance beside each other.
func (n *netlist) admittance(id network.ElementID, e network.Element, a, b string) error {
	if f, ok := n.radiating[id]; ok { // its current is sensed for the far field
		s := n.fresh()
		n.line("vf%d %s %s dc 0", id, a, s)
		n.farSide = append(n.farSide, fmt.Sprintf("ffar%d 0 far vf%d %s", id, id, num(f)))
		a = s
	}
	if e.Value.G != 0 {
		n.line("rg%d %s %s %s", id, a, b, num(1/e.Value.G))
	}
	if e.Value.C != 0 {
		at := a
		if n.sensed[id] {
			at = n.fresh()
			n.line("vc%d %s %s dc 0", id, a, at)
		}
		n.line("cc%d %s %s %s", id, at, b, num(e.Value.C))
	}
	if e.Value.L != 0 {
		n.line("ll%d %s %s %s", id, a, b, num(1/e.Value.L))
	}
	switch law := e.Law.(type) {
	case nil:
		return nil
	case network.SeriesRC:
		m := n.fresh()
		n.line("rs%d %s %s %s", id, a, m, num(law.R))
		n.line("cs%d %s %s %s", id, m, b, num(law.C))
		return nil
	case network.Creep:
		return n.creep(id, e.Name, law, 1, a, b)
	case network.Scaled:
		if c, ok := law.Law.(network.Creep); ok {
			return n.creep(id, e.Name, c, law.By, a, b)
		}
	}
	return refuse(e.Name, e.Law)
}

func refuse(name string, law network.Law) error {
	switch law.(type) {
	case enclosure.FilledAir:
		return &RefusedError{name, "the air in fill has no finite circuit; leave fill out, or write losses: {absorption: …} for an export"}
	case network.PistonLoad:
		return &RefusedError{name, "the exact load of a piston has no finite circuit; use model: {radiation: classical} for an export"}
	}
	return &RefusedError{name, fmt.Sprintf("its law (%T) has no circuit", law)}
}

// creep writes a compliance with creep as a chain of inductances: v/F = jωC(ω)/by.
func (n *netlist) creep(id network.ElementID, name string, c network.Creep, by float64, a, b string) error {
	if c.Real {
		return &RefusedError{name, "the creep of form: real is a magnitude law without the loss that goes with it; no causal circuit has it"}
	}
	l := fit(name, func(w float64) complex128 { return 1 / (complex(by, 0) * c.At(w)) }) // velocity over force: jωC(ω)/by
	n.report.Ladders = append(n.report.Ladders, l)
	n.chain(fmt.Sprintf("k%d", id), l, a, b)
	return nil
}

// chain writes a ladder between two nodes: an inductance, then inductances each
// with a resistance beside it, in series.
func (n *netlist) chain(name string, l Ladder, a, b string) {
	at := a
	for i, s := range l.Sections {
		to := n.fresh()
		if i == len(l.Sections)-1 {
			to = b
		}
		n.line("l%s_%d %s %s %s", name, i, at, to, num(s.L))
		if s.R > 0 {
			n.line("r%s_%d %s %s %s", name, i, at, to, num(s.R))
		}
		at = to
	}
}

// impedance is a resistance, an inductance and a capacitance in series behind a
// source of 0 V that senses the flow.
func (n *netlist) impedance(id network.ElementID, e network.Element, a, b string) error {
	if e.Law != nil {
		return refuse(e.Name, e.Law)
	}
	at := n.fresh()
	n.line("vf%d %s %s dc 0", id, a, at)
	if f, ok := n.radiating[id]; ok {
		n.farSide = append(n.farSide, fmt.Sprintf("ffar%d 0 far vf%d %s", id, id, num(f)))
	}
	n.series(fmt.Sprintf("z%d", id), e.Value, at, b)
	return nil
}

// series writes z between two nodes; where it is nothing, a wire.
func (n *netlist) series(name string, z network.Triple, a, b string) {
	var parts []string
	if z.G != 0 {
		parts = append(parts, "r%s %s %s "+num(z.G))
	}
	if z.C != 0 {
		parts = append(parts, "l%s %s %s "+num(z.C))
	}
	if z.L != 0 {
		parts = append(parts, "c%s %s %s "+num(1/z.L))
	}
	if len(parts) == 0 {
		n.line("vw%s %s %s dc 0", name, a, b)
		return
	}
	at := a
	for i, p := range parts {
		to := b
		if i < len(parts)-1 {
			to = n.fresh()
		}
		n.line(p, name, at, to)
		at = to
	}
}

// flux is the blocked impedance that all coils of a motor share: the sum of
// their turns' currents flows through it, and its voltage stands in each coil.
func (n *netlist) flux(i int) error {
	m := n.net.Motors()[i]
	if m.Value == (network.Triple{}) && m.Law == nil {
		return nil
	}
	n.line("* %s: what its coils share", m.Name)
	at := fmt.Sprintf("phi%d", i)
	if m.Law == nil {
		n.inductance(i, at)
		n.series(fmt.Sprintf("m%d", i), m.Value, at, "0")
		return nil
	}
	mid := "0"
	if m.Value != (network.Triple{}) {
		mid = n.fresh()
		n.inductance(i, mid)
		n.series(fmt.Sprintf("m%d", i), m.Value, mid, "0")
	}
	switch law := m.Law.(type) {
	case network.ParallelRL:
		n.line("lm2%d %s %s %s", i, at, mid, num(law.L))
		n.line("rm2%d %s %s %s", i, at, mid, num(law.R))
	case network.PowerLaw:
		l := fit(m.Name, law.At)
		n.report.Ladders = append(n.report.Ladders, l)
		n.chain(fmt.Sprintf("m%d", i), l, at, mid)
	default:
		return refuse(m.Name, m.Law)
	}
	return nil
}

// inductance notes where the voltage of a motor's inductance can be read: at a
// node, if the motor's impedance there is nothing else.
func (n *netlist) inductance(i int, at string) {
	if v := n.net.Motors()[i].Value; n.across != nil && v.C > 0 && v.G == 0 && v.L == 0 {
		n.across[network.Motor(i)] = at
	}
}

// coils is a string: sense, resistance, and for each motor the emf of its
// velocity and of the shared flux; the string's current pushes each motor and
// adds to its flux.
func (n *netlist) coils(id network.ElementID, e network.Element, a, b string) {
	at := n.fresh()
	n.line("vf%d %s %s dc 0", id, a, at)
	for k, t := range e.Turns {
		m := n.net.Motors()[t.Motor]
		turns := float64(t.N)
		mech := n.node(m.Mech)
		to := n.fresh()
		n.line("eb%d_%d %s %s %s 0 %s", id, k, at, to, mech, num(turns*m.Bl))
		n.line("fb%d_%d 0 %s vf%d %s", id, k, mech, id, num(turns*m.Bl))
		at = to
		if m.Value != (network.Triple{}) || m.Law != nil {
			to = n.fresh()
			n.line("ep%d_%d %s %s phi%d 0 %s", id, k, at, to, t.Motor, num(turns))
			n.line("fp%d_%d 0 phi%d vf%d %s", id, k, t.Motor, id, num(turns))
			at = to
		}
		if n.emf[t.Motor] {
			to = n.fresh()
			n.line("el%d_%d %s %s em%d 0 %s", id, k, at, to, t.Motor, num(turns))
			at = to
		}
	}
	n.series(fmt.Sprintf("z%d", id), e.Value, at, b)
}

// piston couples a velocity to the air on both sides.
func (n *netlist) piston(id network.ElementID, e network.Element, front, rear string) {
	v, area := n.node(e.Mech), num(e.Area)
	if front != "0" {
		n.line("gf%d 0 %s %s 0 %s", id, front, v, area)
	}
	if rear != "0" {
		n.line("gr%d %s 0 %s 0 %s", id, rear, v, area)
	}
	if front != rear {
		n.line("gp%d %s 0 %s %s %s", id, v, front, rear, area)
	}
	if f, ok := n.radiating[id]; ok {
		n.farSide = append(n.farSide, fmt.Sprintf("gfar%d 0 far %s 0 %s", id, v, num(f*e.Area)))
	}
}
