// Package export writes a candidate in forms that other programs read: its
// network as a SPICE netlist, its curves as CSV and JSON, its impedance as
// Touchstone, its impulse response as WAV.
package export

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"basswright/internal/enclosure"
	"basswright/internal/network"
)

// SPICEOptions are the settings of a netlist.
type SPICEOptions struct {
	Title    string
	From, To float64 // Hz, of its analysis
	Points   int     // of its analysis
}

// SPICEReport says what the netlist does not hold exactly.
type SPICEReport struct {
	Ladders   []Ladder
	Unsettled bool // a sine that is followed in time had not come to rest after the most periods that are tried
}

// RefusedError is a part that no netlist can express, and why.
type RefusedError struct {
	Part, Reason string
}

// Error is the part and the reason.
func (e *RefusedError) Error() string {
	return fmt.Sprintf("%s cannot be written as a circuit: %s", e.Part, e.Reason)
}

// SPICE writes the network of a system as a netlist that runs unchanged in
// batch and prints level, impedance and excursions. Voltages stand for volts,
// m/s and Pa, currents for A, N and m³/s. Laws that no finite circuit has
// exactly are written as ladders, whose error the file and the report state;
// what no causal circuit has is a *RefusedError.
func SPICE(w io.Writer, sys *enclosure.System, o SPICEOptions) (SPICEReport, error) {
	if !(o.From > 0 && o.To > o.From && o.To <= math.MaxFloat64 && o.Points >= 2) {
		return SPICEReport{}, fmt.Errorf("a netlist runs from a frequency above 0 Hz to a higher one in 2 points or more; this asks for %g Hz to %g Hz in %d", o.From, o.To, o.Points)
	}
	n := &netlist{net: sys.Net, radiating: map[network.ElementID]float64{}}
	for _, r := range sys.Radiating() {
		n.radiating[r.Element] += r.Factor
	}
	body, err := n.body()
	if err != nil {
		return SPICEReport{}, err
	}
	b := bufio.NewWriter(w)
	head(b, sys, o, n.report)
	b.WriteString(body)
	n.far(b, sys)
	control(b, sys, n, o)
	return n.report, b.Flush()
}

// Netlist writes the elements of a network alone, without analysis or output:
// node k of the network is the circuit's node "n<k>", and the flow of element i
// is the current of the source "vf<i>" where it has one (impedances and strings).
func Netlist(w io.Writer, net *network.Network) (SPICEReport, error) {
	n := &netlist{net: net, radiating: map[network.ElementID]float64{}}
	body, err := n.body()
	if err != nil {
		return SPICEReport{}, err
	}
	_, err = io.WriteString(w, body)
	return n.report, err
}

// netlist is one run of the exporter.
type netlist struct {
	net       *network.Network
	radiating map[network.ElementID]float64
	b         strings.Builder
	aux       int
	farSide   []string // lines that inject what radiates into the far field
	report    SPICEReport

	// of a large-signal netlist
	drive  string                     // the source, where it is not 1 V
	sensed map[network.ElementID]bool // admittances of which C's flow is read, as i(vc<id>)
	emf    map[network.Motor]bool     // in whose coils v(em<motor>) stands too
	across map[network.Motor]string   // the node whose voltage is that of the motor's inductance alone
}

// node is a network node's name in the circuit.
func (n *netlist) node(a network.Node) string {
	switch a {
	case network.Earth, network.Frame, network.Outside:
		return "0"
	}
	return fmt.Sprintf("n%d", a)
}

func (n *netlist) fresh() string { n.aux++; return fmt.Sprintf("a%d", n.aux) }

func (n *netlist) line(format string, args ...any) { fmt.Fprintf(&n.b, format+"\n", args...) }

// num writes a value as SPICE reads it, with as many digits as tell it from its
// neighbours.
func num(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

func (n *netlist) body() (string, error) {
	// The operating point is left out: the circuit is linear and needs none, and
	// it would often be singular (a chamber has no path for dc, and the
	// compliances of a rigid stack are coils side by side).
	n.line(".options noopac")
	if n.drive == "" {
		n.line("* the source: 1 V")
		n.line("vsource %s 0 dc 0 ac 1", n.node(n.net.Source()))
	} else {
		n.line("* the source")
		n.line("%s", n.drive)
	}
	for i := range n.net.Motors() {
		if err := n.flux(i); err != nil {
			return "", err
		}
	}
	for i, e := range n.net.Elements() {
		n.line("* %s", e.Name)
		if err := n.element(network.ElementID(i), e); err != nil {
			return "", err
		}
	}
	return n.b.String(), nil
}

func (n *netlist) element(id network.ElementID, e network.Element) error {
	a, b := n.node(e.A), n.node(e.B)
	switch e.Kind {
	case network.KindAdmittance:
		return n.admittance(id, e, a, b)
	case network.KindImpedance:
		return n.impedance(id, e, a, b)
	case network.KindString:
		n.coils(id, e, a, b)
	case network.KindPiston:
		n.piston(id, e, a, b)
	default:
		return &RefusedError{e.Name, "a distributed part has no finite circuit; this version does not write ladders for it"}
	}
	return nil
}

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
	if _, ok := law.(network.PistonLoad); ok {
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

// far writes the far field: all that moves air outside flows as a current into
// an inductance ρ/(Ω r), whose voltage jωρU/(Ω r) is the sound pressure.
func (n *netlist) far(w io.Writer, sys *enclosure.System) {
	fmt.Fprintf(w, "* the far field: V(far) is the sound pressure in Pa at %.4g m, without the flight\n", sys.Setting.Distance)
	fmt.Fprintf(w, "lfar far 0 %s\n", num(sys.Setting.Air.Rho/(sys.Setting.Space*sys.Setting.Distance)))
	for _, l := range n.farSide {
		fmt.Fprintln(w, l)
	}
}

func head(w io.Writer, sys *enclosure.System, o SPICEOptions, r SPICEReport) {
	title := strings.NewReplacer("\n", " ", "\r", " ").Replace(o.Title)
	fmt.Fprintf(w, "* %s\n", title)
	fmt.Fprintln(w, "* Voltages: V, m/s (mechanical places), Pa (acoustic places). Currents: A, N, m3/s. SI throughout.")
	fmt.Fprintln(w, "* A mass is a capacitance, a compliance an inductance, a mechanical resistance r a resistor 1/r;")
	fmt.Fprintln(w, "* a chamber is a capacitance, a port an inductance. Run: ngspice -b FILE")
	for k := range sys.Net.NodeCount() {
		if k > 2 {
			fmt.Fprintf(w, "* n%d is %s (%s)\n", k, sys.Net.NodeName(network.Node(k)), sys.Net.NodeDomain(network.Node(k)))
		}
	}
	for _, l := range r.Ladders {
		fmt.Fprintf(w, "* %s\n", l)
	}
}

// control writes the analysis and the vectors that it prints, each with what it
// is.
func control(w io.Writer, sys *enclosure.System, n *netlist, o SPICEOptions) {
	per := max(1, int(math.Ceil(float64(o.Points-1)/math.Log10(o.To/o.From))))
	fmt.Fprintf(w, ".control\nset nobreak\nset nopage\nset width=240\nset numdgt=12\nac dec %d %s %s\n", per, num(o.From), num(o.To))
	fmt.Fprintln(w, "* All that is printed is for 1 V rms at the source: for E volts add 20 log10(E) dB, and")
	fmt.Fprintln(w, "* multiply excursions by E. level_db is the level in dB re 20 uPa rms, z_ohm and z_deg are the")
	fmt.Fprintln(w, "* impedance at the group's terminals in ohm and degrees"+channelWords(sys)+".")
	fmt.Fprintf(w, "let level_db = db(v(far)) + %s\n", num(-20*math.Log10(20e-6)))
	vectors := []string{"level_db"}
	for k := range sys.Channels { // of several each has an impedance of its own: z2_ohm
		at := n.node(sys.Channels[k].Terminal)
		of, z := "", fmt.Sprintf("-v(%s)/i(vsource)", at)
		if len(sys.Channels) > 1 {
			of, z = fmt.Sprint(k+1), fmt.Sprintf("v(%s)/(%s)", at, channelCurrent(sys, k))
		}
		fmt.Fprintf(w, "let z%s = %s\nlet z%s_ohm = mag(z%s)\nlet z%s_deg = 180/pi*ph(z%s)\n", of, z, of, of, of, of)
		vectors = append(vectors, "z"+of+"_ohm", "z"+of+"_deg")
	}
	excursion := func(name string, c *enclosure.Cone) {
		fmt.Fprintf(w, "* %s is the excursion of %s in mm peak\n", name, c.Name)
		fmt.Fprintf(w, "let %s = mag(v(%s))*%s/abs(frequency)\n", name, n.node(c.Node), num(1e3*math.Sqrt2*math.Abs(c.Ratio)/(2*math.Pi)))
		vectors = append(vectors, name)
	}
	for i := range sys.Cones {
		excursion(fmt.Sprintf("x%d_mm", i+1), &sys.Cones[i])
	}
	for i := range sys.Radiators {
		excursion(fmt.Sprintf("xr%d_mm", i+1), &sys.Radiators[i])
	}
	for _, v := range vectors {
		fmt.Fprintf(w, "print %s\n", v)
	}
	fmt.Fprint(w, "quit\n.endc\n.end\n")
}

// channelCurrent is the sum of the sensed currents of a channel.
func channelCurrent(sys *enclosure.System, k int) string {
	var parts []string
	for _, id := range sys.Channels[k].Feeds() {
		parts = append(parts, fmt.Sprintf("i(vf%d)", id))
	}
	return strings.Join(parts, "+")
}

func channelWords(sys *enclosure.System) string {
	switch {
	case len(sys.Channels) > 1:
		return ", those of channel 2 are z2_ohm and z2_deg"
	case len(sys.Setting.Parts) > 0:
		return ", before the parts"
	}
	return ""
}
