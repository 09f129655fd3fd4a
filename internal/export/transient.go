package export

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strings"

	"basswright/internal/enclosure"
	"basswright/internal/large"
	"basswright/internal/network"
)

// TransientOptions are the settings of a large-signal netlist: a sine at the
// source, and how it is followed in time.
type TransientOptions struct {
	Title     string
	Frequency float64 // Hz
	Volts     float64 // V rms at the source
	Steps     int     // a period, at least LeastSteps
	Periods   int     // until what is printed; 0: as many as it takes to come to rest
}

// How a sine is followed where nothing else is asked, and how coarsely it may be.
const (
	UsualSteps = 400
	LeastSteps = 50
)

// lines is how many harmonics are printed.
const lines = 9

// Transient writes the network of a model with its remainders as behavioural
// sources, as a netlist that runs unchanged in batch: it follows a sine that is
// turned up over rampPeriods until it repeats itself, and prints the harmonics of
// the last period. Errors are as in SPICE.
func Transient(w io.Writer, m *large.Model, o TransientOptions) (SPICEReport, error) {
	if !(o.Frequency > 0 && o.Frequency <= math.MaxFloat64 && o.Volts > 0 && o.Volts <= math.MaxFloat64) || o.Steps < LeastSteps {
		return SPICEReport{}, fmt.Errorf("a sine has a frequency and a voltage above 0 and is followed in %d steps a period or more; this asks for %g Hz, %g V and %d steps", LeastSteps, o.Frequency, o.Volts, o.Steps)
	}
	sys := m.Sys
	n := &netlist{net: sys.Net, radiating: map[network.ElementID]float64{}, sensed: map[network.ElementID]bool{}, emf: map[network.Motor]bool{}, across: map[network.Motor]string{}}
	if sys.Spread() {
		return SPICEReport{}, apart
	}
	for _, r := range sys.Radiating() {
		n.radiating[r.Element] += r.Factor
	}
	parts := m.Parts()
	airs, err := n.airElements(parts.Airs)
	if err != nil {
		return SPICEReport{}, err
	}
	for i := range parts.Motors {
		m := &parts.Motors[i]
		n.emf[m.ID] = m.Bl.Curve != nil || m.Le.Curve != nil || m.L2.Curve != nil
	}
	n.drive = fmt.Sprintf("bdrive %s 0 v=%s*sin(%s*time)*(time < %s ? time/%s : 1)", n.node(sys.Net.Source()),
		num(math.Sqrt2*o.Volts), num(2*math.Pi*o.Frequency), num(rampPeriods/o.Frequency), num(rampPeriods/o.Frequency))
	if _, err = n.body(); err != nil {
		return SPICEReport{}, err
	}
	n.displacements(sys)
	for i := range parts.Motors {
		if err := n.motorRemainder(&parts.Motors[i]); err != nil {
			return SPICEReport{}, err
		}
	}
	for i, a := range parts.Airs {
		n.airRemainder(i, a, airs[i])
	}
	leak := n.leaks(parts.Leaks, o.Frequency)
	if o.Periods == 0 {
		calm, unsettled, err := settling(m, o)
		if err != nil {
			return SPICEReport{}, err
		}
		n.report.Unsettled = unsettled
		o.Periods = max(leak, calm)
	}
	b := bufio.NewWriter(w)
	transientHead(b, n, o)
	b.WriteString(n.b.String())
	fmt.Fprintln(b, "* the far field: V(far) is the volume velocity in m3/s of all that moves air outside")
	fmt.Fprintln(b, "rfar far 0 1")
	for _, l := range n.farSide {
		fmt.Fprintln(b, l)
	}
	transientControl(b, n, sys, o)
	return n.report, b.Flush()
}

// airElements finds the elements whose springs the remainders go beside.
func (n *netlist) airElements(airs []large.AirPart) ([]network.ElementID, error) {
	ids := make([]network.ElementID, len(airs))
	for i, a := range airs {
		ids[i] = -1
		for k, e := range n.net.Elements() {
			if e.Kind == network.KindAdmittance && e.A == a.Node && e.B == network.Outside && e.Value.C == a.Compliance {
				ids[i] = network.ElementID(k)
			}
		}
		if ids[i] < 0 {
			return nil, &RefusedError{n.net.NodeName(a.Node), "its spring has no element of its own beside which the law of the gas could stand"}
		}
		n.sensed[ids[i]] = true
	}
	return ids, nil
}

// displacements integrates the velocity of all that is a cone.
func (n *netlist) displacements(sys *enclosure.System) {
	done := map[network.Node]bool{}
	for _, c := range sys.Moving() {
		if done[c.Node] {
			continue
		}
		done[c.Node] = true
		n.line("* d%d is the displacement of n%d, m", c.Node, c.Node)
		n.line("gd%d 0 d%d %s 0 1", c.Node, c.Node, n.node(c.Node))
		n.line("cd%d d%d 0 1", c.Node, c.Node)
	}
}

// motorRemainder writes what a motor and its suspension do beyond their linear
// parts. The flux Φ(x, i) is not differentiated by the simulator: its rate is
// Φx·v + Φi·di/dt, and both rates are voltages of the circuit, v at the cone and
// di/dt at the coil's inductance.
func (n *netlist) motorRemainder(m *large.MotorPart) error {
	id, facing := int(m.ID), float64(m.Facing)
	own := facing * m.Ratio // the driver's displacement over the node's
	cur := facing * m.Current
	n.line("* %s beyond its linear part. x%d: m towards its own front; i%d: A", n.net.Motors()[id].Name, id, id)
	n.line("ex%d x%d 0 d%d 0 %s", id, id, m.Node, num(own))
	n.line("bi%d i%d 0 v=%s", id, id, times(cur, "("+n.linkage(m.ID)+")"))
	var flux, force []string // terms of Φx and of the force
	x := fmt.Sprintf("v(x%d)", id)
	shape := func(name, what string, s large.Shape, slope bool) string {
		n.line("* %s%d: %s", name, id, what)
		n.line("b%s%d %s%d 0 v=%s", name, id, name, id, times(s.Per, formula(s.Curve.Form(), x, slope)))
		return fmt.Sprintf("v(%s%d)", name, id)
	}
	rate := ""
	if s := m.Bl; s.Curve != nil {
		bl := shape("bl", "force factor, T m", s, false)
		flux = append(flux, fmt.Sprintf("%s-%s", bl, num(s.Rest)))
		force = append(force, fmt.Sprintf("(%s-%s)*v(i%d)", bl, num(s.Rest), id))
	}
	if s := m.Le; s.Curve != nil {
		across, ok := n.across[m.ID]
		if !ok {
			return &RefusedError{n.net.Motors()[id].Name, "its inductance has no element of its own beside which Le(x) could stand"}
		}
		le, slope := shape("le", "inductance, H", s, false), shape("sl", "its slope, H/m", s, true)
		flux = append(flux, fmt.Sprintf("%s*v(i%d)", slope, id))
		force = append(force, fmt.Sprintf("0.5*v(i%d)*v(i%d)*%s", id, id, slope))
		rate = fmt.Sprintf("+(%s-%s)*%s", le, num(s.Rest), times(cur/n.net.Motors()[id].Value.C, "v("+across+")"))
	}
	if s := m.Kms; s.Curve != nil {
		k := shape("k", "stiffness, N/m", s, false)
		force = append(force, fmt.Sprintf("(%s-%s)*(-%s)", k, num(s.Rest), x))
	}
	var emfs []string
	if len(flux) > 0 {
		emf := fmt.Sprintf("(%s)*%s%s", strings.Join(flux, "+"), times(own, "v("+n.node(m.Node)+")"), rate)
		emfs = append(emfs, times(m.Voltage*facing, "("+emf+")"))
	}
	if s := m.L2; s.Curve != nil {
		l2, slope := shape("l2x", "inductance L2, H", s, false), shape("s2x", "its slope, H/m", s, true)
		emfs = append(emfs, n.eddy(m, l2))
		force = append(force, fmt.Sprintf("0.5*%s*v(ie%d)*v(ie%d)*%s", num(cur*cur), id, id, slope))
	}
	if len(emfs) > 0 {
		n.line("bem%d em%d 0 v=%s", id, id, strings.Join(emfs, "+"))
	}
	if len(force) > 0 {
		n.line("bfo%d 0 %s i=%s", id, n.node(m.Node), times(m.Times*own, "("+strings.Join(force, "+")+")"))
	}
	return nil
}

// eddy writes the flux of an L2 that changes, and gives the voltage in the coils
// that the network at rest does not have: with w = Φ₂/L2₀ and j the current of the L2
// at rest, both behind the time constant of L2₀ and R2, the current in L2 is i₂ =
// w·L2₀/L2(x), and w + τ·dw/dt = i + (w − i₂). The voltage is R2·(j − i₂).
func (n *netlist) eddy(m *large.MotorPart, l2 string) string {
	id, coil := int(m.ID), m.Driver.Coil
	n.line("* ie%d: the current in L2, A; w%d: its flux over that at rest; j%d: the current of L2 at rest", id, id, id)
	for _, name := range []string{"w", "j"} {
		n.line("r%s%d %s%d 0 1", name, id, name, id)
		n.line("c%s%d %s%d 0 %s", name, id, name, id, num(coil.L2/coil.R2))
	}
	i := "(" + n.linkage(m.ID) + ")"
	n.line("bie%d ie%d 0 v=v(w%d)*%s/%s", id, id, id, num(m.L2.Rest), l2)
	n.line("bw%d 0 w%d i=%s+v(w%d)-v(ie%d)", id, id, i, id, id)
	n.line("bj%d 0 j%d i=%s", id, id, i)
	return times(m.Voltage*m.Current*coil.R2, fmt.Sprintf("(v(j%d)-v(ie%d))", id, id))
}

// linkage is the sum of the currents that a motor's force factor sees.
func (n *netlist) linkage(m network.Motor) string {
	var terms []string
	for i, e := range n.net.Elements() {
		for _, t := range e.Turns {
			if t.Motor == m {
				terms = append(terms, times(float64(t.N), fmt.Sprintf("i(vf%d)", i)))
			}
		}
	}
	if len(terms) == 0 { // no coil of it is closed
		return "0"
	}
	return strings.Join(terms, "+")
}

// airRemainder writes what a chamber takes in beyond its linear spring: the
// spring's own flow C·dp/dt, times what the spring gives way less.
func (n *netlist) airRemainder(i int, a large.AirPart, spring network.ElementID) {
	at := n.node(a.Node)
	u := fmt.Sprintf("1+v(%s)/%s", at, num(a.Static))
	n.line("* %s as the gas has it", n.net.NodeName(a.Node))
	n.line("ba%d 0 %s i=i(vc%d)*(1-exp(-%s*ln(%s > %s ? %s : %s)))", i, at, spring, num(a.Power), u, num(a.Thinnest), u, num(a.Thinnest))
}
