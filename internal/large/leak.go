package large

import (
	"math"

	"basswright/internal/network"
)

// Leak is how the static pressure of a closed chamber gets out: through a mass and
// a resistance in series, which sound does not notice. The mass resonates with the
// chamber at a frequency far below the sound, and takes the square of their ratio
// of what the chamber's spring takes.
type Leak struct {
	Node              network.Node
	Compliance, Whole float64 // m³/Pa: of the chamber, and with that of all cones, an upper bound of what it sees of them
}

// leakAt is where the leaks of a course resonate, Hz: leakShare of 20 Hz, so that
// they take 4e-4 of what a spring takes there. A static pressure then needs about
// three seconds to get out, be it through a real box or here.
const leakAt, leakShare = 20 * leakShare, 1. / 50

// Through is the mass and the resistance of a leak that resonates with its chamber
// at a frequency, Hz: with the cones its decay is critical, or a little livelier.
func (l Leak) Through(f float64) network.Leak {
	w := 2 * math.Pi * f
	m := 1 / (w * w * l.Compliance)
	return network.Leak{Node: l.Node, M: m, R: 2 * math.Sqrt(m/l.Whole)}
}

// closed finds the chambers out of which steady air does not get, where it has
// to: none where the model keeps its static pressure.
func (m *Model) closed() (out []Leak) {
	open := open(m.Sys.Net)
	for _, a := range m.Sys.Airs {
		for _, s := range m.shunts {
			if s.Node == a.Node && !open[a.Node] {
				out = append(out, Leak{a.Node, a.Compliance, a.Compliance + cones(m.Sys.Net)})
			}
		}
	}
	return out
}

// leaks are those of a course, resonating at a frequency, Hz.
func (m *Model) leaks(at float64) (out []network.Leak) {
	for _, l := range m.closed() {
		out = append(out, l.Through(at))
	}
	return out
}

// Tight is the model with closed chambers that keep their static pressure.
func (m *Model) Tight() *Model {
	out := *m
	out.shunts = nil
	return &out
}

// open says which acoustic nodes steady air gets out of.
func open(net *network.Network) map[network.Node]bool {
	open := map[network.Node]bool{network.Outside: true}
	for grown := true; grown; {
		grown = false
		for _, e := range net.Elements() {
			passes := e.Kind == network.KindImpedance && e.Value.L == 0 || e.Kind == network.KindAdmittance && (e.Value.G != 0 || e.Value.L != 0)
			if passes && open[e.A] != open[e.B] {
				open[e.A], open[e.B], grown = true, true, true
			}
		}
	}
	return open
}

// cones is the compliance that all cones together show to the air, m³/Pa.
func cones(net *network.Network) float64 {
	stiff := map[network.Node]float64{}
	for _, e := range net.Elements() {
		if e.Kind == network.KindAdmittance {
			stiff[e.A] += e.Value.L
			if s, ok := e.Law.(network.Scaled); ok {
				if c, ok := s.Law.(network.Creep); ok {
					stiff[e.A] += s.By / c.Cms
				}
			}
		}
	}
	var sum float64
	for _, e := range net.Elements() {
		if k := stiff[e.Mech]; e.Kind == network.KindPiston && k > 0 {
			sum += e.Area * e.Area / k
		}
	}
	return sum
}
