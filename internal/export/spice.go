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

// apart refuses what reaches the listener on ways of different length.
var apart = &RefusedError{"the baffle", "ways of different length to the listener are no circuit; leave baffle out for an export"}

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
	if sys.Spread() {
		return SPICEReport{}, apart
	}
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
	case network.KindTwoPort:
		part, _, _ := strings.Cut(e.Name, ".") // of the pieces that it is cut into
		return &RefusedError{part, "what is as long as a wave has no finite circuit; export touchstone, csv, wav and network have it"}
	default:
		return &RefusedError{e.Name, "it has no finite circuit; export touchstone, csv, wav and network have it"}
	}
	return nil
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
