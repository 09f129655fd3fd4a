package export

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"math/cmplx"
	"testing"

	"basswright/internal/duct"
	"basswright/internal/enclosure"
	"basswright/internal/network"
	"basswright/internal/studyfile"
)

// rooms is a network with two ducts and nothing else that is no lump: one with a
// place along it, and one that is closed at its end.
const rooms = `study: Rooms
air: {speed_of_sound: 343.2 m/s, density: 1.2041 kg/m3}
model: {wall_loss: false}
source: {resistance: 0.1 ohm}
drivers:
  heron-8: {fs: 34 Hz, qms: 4.6, qes: 0.44, vas: 52 L, sd: 220 cm2, re: 5.6 ohm, le: 0.6 mH}
candidates:
  rooms:
    group: {driver: heron-8, stack: 2, arrangement: clamshell, coupling: 3 L}
    enclosure:
      kind: network
      front: hall
      rear: cellar
      parts:
        - {kind: chamber, at: cellar, volume: 22 L, losses: {absorption: 30, at: 40 Hz}}
        - {kind: chamber, at: hall, volume: 16 L}
        - {kind: chamber, at: loft, volume: 25 L}
        - {kind: duct, name: stairs, between: [hall, loft], duct: {length: 1.4 m, start: 90 cm2, end: 260 cm2}, taps: [{at: 0.5 m, place: landing}]}
        - {kind: leak, at: landing, resistance: 90000 Pa s/m3}
        - {kind: duct, name: chimney, at: cellar, duct: {length: 1.1 m, area: 70 cm2}}
        - {kind: port, name: window, between: [loft, outside], port: {diameter: 120 mm, length: 90 mm}, losses: {port: 40}}
        - {kind: diaphragm, name: drum, between: [cellar, outside], radiator: {sd: 300 cm2, mms: 140 g, fs: 18 Hz, qms: 5}}
`

// sectioned is a system whose ducts are ladders of inductances and capacitances: all
// other elements stand where they stood, so that what is read of it is read alike.
// shapes are those of the pieces of ducts, in their order.
func sectioned(t *testing.T, sys *enclosure.System, shapes []duct.Shape, sections int) *enclosure.System {
	t.Helper()
	net := network.New()
	for k := 3; k < sys.Net.NodeCount(); k++ {
		switch n := network.Node(k); {
		case n == sys.Net.Source():
			net.AddSource(sys.Net.NodeName(n))
		default:
			net.AddNode(sys.Net.NodeDomain(n), sys.Net.NodeName(n))
		}
	}
	for _, m := range sys.Net.Motors() {
		net.AddMotor(m)
	}
	var ducts []network.Element
	for _, e := range sys.Net.Elements() {
		switch e.Kind {
		case network.KindAdmittance:
			net.AddAdmittance(e.Name, e.A, e.B, e.Value, e.Law)
		case network.KindImpedance:
			net.AddImpedance(e.Name, e.A, e.B, e.Value, e.Law)
		case network.KindString:
			net.AddString(e.Name, e.A, e.B, e.Value, e.Turns...)
		case network.KindPiston:
			net.AddPiston(e.Name, e.Mech, e.Area, e.A, e.B)
		case network.KindTwoPort:
			ducts = append(ducts, e)
			net.AddAdmittance(e.Name, e.A, network.Outside, network.Triple{C: 1e-30}, nil) // keeps its place
		default:
			t.Fatalf("%s is of a kind that is not copied", e.Name)
		}
	}
	if len(ducts) != len(shapes) {
		t.Fatalf("%d pieces of duct, %d shapes", len(ducts), len(shapes))
	}
	air := sys.Setting.Air
	for i, e := range ducts {
		s := shapes[i]
		dx := s.Length() / float64(sections)
		at := e.A
		for k := range sections {
			area := s.Area((float64(k) + 0.5) * dx)
			half := network.Triple{C: area * dx / (2 * air.Rho * air.C * air.C)}
			to := e.B
			if k < sections-1 {
				to = net.AddNode(network.Acoustic, fmt.Sprintf("%s after section %d", e.Name, k+1))
			}
			net.AddAdmittance(fmt.Sprintf("%s air before %d", e.Name, k), at, network.Outside, half, nil)
			net.AddImpedance(fmt.Sprintf("%s mass %d", e.Name, k), at, to, network.Triple{C: air.Rho * dx / area}, nil)
			net.AddAdmittance(fmt.Sprintf("%s air after %d", e.Name, k), to, network.Outside, half, nil)
			at = to
		}
	}
	out := *sys
	out.Net = net
	out.Program = nil // it is not solved here
	return &out
}

// A network of the study file with its ducts as ladders of 200 sections, exported and
// run in ngspice, against the same network with its ducts whole: level, |Z|, and the
// excursion of cones and diaphragm within 0.1 dB up to the ladders’ own limit. Waves in
// a ladder of sections dx are slower by (k·dx)²/24, so that its answer at f is that at
// f·(1 + (k·dx)²/24); with as much again for the steps of the area, what such a shift
// changes by more than 0.1 dB is beyond it. It must not be below 300 Hz. The chimney has
// no loss, and shorts the cellar where it is a quarter of a wave long: decibels are
// those over a floor of a thousandth of the largest reading in the band, below which a
// notch is as deep as its frequency is met.
func TestNetworkWithLaddersInNgspice(t *testing.T) {
	st, err := studyfile.Parse([]byte(rooms), "rooms.yaml")
	if err != nil {
		t.Fatal(err)
	}
	sys, _, err := st.Build(0)
	if err != nil {
		t.Fatal(err)
	}
	var whole bytes.Buffer
	var refused *RefusedError
	if _, err := SPICE(&whole, sys, SPICEOptions{Title: "whole", From: 10, To: 1000, Points: 10}); !errors.As(err, &refused) {
		t.Errorf("ducts have no finite circuit, and their netlist is %v", err)
	}
	stairs, err := duct.Cone(1.4, 0.009, 0.026)
	if err != nil {
		t.Fatal(err)
	}
	chimney, err := duct.Cylinder(1.1, 0.007)
	if err != nil {
		t.Fatal(err)
	}
	const sections = 200
	longest := 1.1 / sections
	lumped := sectioned(t, sys, []duct.Shape{stairs.Between(0, 0.5), stairs.Between(0.5, 1.4), chimney}, sections)
	var b bytes.Buffer
	if _, err := SPICE(&b, lumped, SPICEOptions{Title: "ladders", From: 10, To: 500, Points: 69}); err != nil {
		t.Fatal(err)
	}
	f, v := printed(t, b.String())
	s := sys.Program.NewSolver()
	names := []string{"level_db", "z_ohm", "x1_mm", "x2_mm", "xr1_mm"}
	answer := func(hz float64) (out [5]float64) {
		if err := s.Solve(2 * math.Pi * hz); err != nil {
			t.Fatal(err)
		}
		db := func(x float64) float64 { return 20 * math.Log10(x) }
		return [5]float64{
			db(cmplx.Abs(sys.Pressure(s)) / 20e-6), db(cmplx.Abs(sys.Impedance(s))),
			db(1e3 * sys.Excursion(s, &sys.Cones[0])), db(1e3 * sys.Excursion(s, &sys.Cones[1])), db(1e3 * sys.Excursion(s, &sys.Radiators[0])),
		}
	}
	most := [5]float64{}
	for i := range most {
		most[i] = math.Inf(-1)
	}
	for _, hz := range f {
		for j, x := range answer(hz) {
			most[j] = max(most[j], x)
		}
	}
	over := func(j int, x float64) float64 {
		return 20 * math.Log10(math.Hypot(math.Pow(10, x/20), 1e-3*math.Pow(10, most[j]/20)))
	}
	limit, worst := f[len(f)-1]*1.001, 0.0
	for i, hz := range f {
		kdx := 2 * math.Pi * hz / sys.Setting.Air.C * longest
		shift := 2*kdx*kdx/24 + 1e-5
		here, below, above := answer(hz), answer(hz*(1-shift)), answer(hz*(1+shift))
		for j, name := range names {
			theirs := v[name][i]
			if name != "level_db" {
				theirs = 20 * math.Log10(theirs)
			}
			ours := over(j, here[j])
			if max(math.Abs(over(j, above[j])-ours), math.Abs(over(j, below[j])-ours)) > 0.1 {
				limit = min(limit, hz)
			}
			if hz < limit {
				worst = max(worst, math.Abs(over(j, theirs)-ours))
			}
		}
	}
	t.Logf("within %.4f dB up to %.0f Hz", worst, limit)
	if worst > 0.1 || limit < 300 {
		t.Errorf("%.3f dB off below the ladders’ limit of %.0f Hz", worst, limit)
	}
}
