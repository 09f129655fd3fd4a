package export

import (
	"bytes"
	"fmt"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"strings"
	"testing"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/network"
)

// Random systems, in full and reduced, and what only the core of the writer
// shows: every potential and every sensed flow of a network, as complex numbers.

// between draws a value evenly on a log scale.
func between(r *rand.Rand, lo, hi float64) float64 { return lo * math.Pow(hi/lo, r.Float64()) }

func randomDriver(r *rand.Rand) *driver.Driver {
	d := &driver.Driver{
		Name: "wren-6", Re: between(r, 1.5, 12), Bl: between(r, 5, 30), Mms: between(r, 0.015, 0.4), Cms: between(r, 5e-5, 1.5e-3),
		Rms: between(r, 0.5, 12), Sd: between(r, 8e-3, 0.15), Coils: driver.Coils{Count: 1 + r.IntN(2)},
	}
	switch r.IntN(3) {
	case 1:
		d.Coil = driver.VoiceCoil{Le: between(r, 1e-4, 4e-3)}
	case 2:
		d.Coil = driver.VoiceCoil{Model: driver.CoilLR2, Le: between(r, 1e-4, 2e-3), L2: between(r, 1e-4, 4e-3), R2: between(r, 0.5, 20)}
	}
	if d.Coils.Count == 2 && r.IntN(2) == 0 {
		d.Coils.Driven = 1
		d.Coils.Other = []driver.Other{driver.OtherOpen, driver.OtherShorted, driver.OtherLoaded}[r.IntN(3)]
		d.Coils.Load = between(r, 0.5, 50)
	}
	return d
}

// randomGroup is of 1 to 3 positions of stacks of 1 to 3, rigid or with air,
// wired in any way that divides.
func randomGroup(t *testing.T, r *rand.Rand, d *driver.Driver) *driver.Group {
	t.Helper()
	gs := driver.GroupSpec{Driver: d, SideBySide: 1 + r.IntN(3), Stack: 1 + r.IntN(3)}
	if gs.Stack > 1 {
		gs.Arrangement = driver.Tandem
		if gs.Stack == 2 {
			gs.Arrangement = []driver.Arrangement{driver.Tandem, driver.Clamshell, driver.BackToBack}[r.IntN(3)]
		}
		if r.IntN(3) > 0 {
			gs.Coupling, gs.AllGaps = []driver.Coupling{{Volume: between(r, 2e-3, 2e-2)}}, true
		}
	}
	driven := d.Coils.Count
	if d.Coils.Driven > 0 {
		driven = d.Coils.Driven
	}
	coils := gs.SideBySide * gs.Stack * driven
	n := 1 + r.IntN(coils)
	for coils%n != 0 {
		n--
	}
	gs.Wiring = driver.Wiring{Way: driver.WiringStrings, N: n}
	g, _, err := driver.NewGroup(gs)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

func randomBox(r *rand.Rand) enclosure.Spec {
	loss := func(lo, hi float64) enclosure.Loss {
		if r.IntN(3) == 0 {
			return enclosure.Loss{State: enclosure.LossNone}
		}
		return enclosure.Loss{State: enclosure.LossGiven, Q: between(r, lo, hi)}
	}
	chamber := func(lo, hi float64) enclosure.Chamber {
		return enclosure.Chamber{
			Volume: between(r, 5e-3, 0.3), Tuning: between(r, lo, hi),
			Losses: enclosure.Losses{Leakage: loss(3, 50), Absorption: loss(10, 100), Port: loss(10, 100)},
		}
	}
	s := enclosure.Spec{Kind: enclosure.Kind(1 + r.IntN(int(enclosure.BandpassSeries))), Rear: chamber(18, 60), Front: chamber(40, 110)}
	switch s.Kind {
	case enclosure.Sealed, enclosure.Bandpass:
		s.Rear.Tuning = 0
	case enclosure.PassiveRadiator:
		s.Rear.Tuning = 0
		s.Radiator = enclosure.Radiator{Sd: between(r, 0.01, 0.1), Mms: between(r, 0.02, 0.3), Cms: between(r, 1e-4, 1e-3), Rms: between(r, 0.5, 5), Count: 1 + r.IntN(2)}
	}
	if s.Kind < enclosure.Bandpass {
		s.Front = enclosure.Chamber{}
	}
	return s
}

// A few systems with fixed seeds, each in full and with one position that stands
// for all.
func TestRandomSystemsInNgspice(t *testing.T) {
	for seed := range uint64(24) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			r := rand.New(rand.NewPCG(seed, 7))
			g, box, set := randomGroup(t, r, randomDriver(r)), randomBox(r), setting(t)
			for _, set.Unreduced = range []bool{false, true} {
				sys, _, err := enclosure.Build(g, box, set)
				if err != nil {
					t.Fatal(err)
				}
				agrees(t, sys, 0)
			}
		})
	}
}

// phasors are the answers of a solver and of ngspice at the same frequency.
type phasors struct {
	name         string
	pressure     bool // a potential in the acoustic domain
	ours, theirs complex128
}

// phasorsOf runs the bare elements of a network in ngspice at f and returns
// every potential and every flow that the writer senses.
func phasorsOf(t *testing.T, net *network.Network, f float64) []phasors {
	t.Helper()
	p, err := net.Compile()
	if err != nil {
		t.Fatal(err)
	}
	s := p.NewSolver()
	if err := s.Solve(2 * math.Pi * f); err != nil {
		t.Fatal(err)
	}
	var out []phasors
	var vectors []string
	for k := 3; k < net.NodeCount(); k++ {
		a := network.Node(k)
		out = append(out, phasors{name: net.NodeName(a), pressure: net.NodeDomain(a) == network.Acoustic, ours: s.Potential(a)})
		vectors = append(vectors, fmt.Sprintf("v(n%d)", k))
	}
	for i, e := range net.Elements() {
		if e.Kind == network.KindImpedance || e.Kind == network.KindString {
			out = append(out, phasors{name: e.Name, ours: s.Flow(network.ElementID(i))})
			vectors = append(vectors, fmt.Sprintf("i(vf%d)", i))
		}
	}
	var b bytes.Buffer
	b.WriteString("* elements alone\n")
	if _, err := Netlist(&b, net); err != nil {
		t.Fatal(err)
	}
	fmt.Fprintf(&b, ".control\nset numdgt=15\nac lin 1 %s %s\n", num(f), num(f))
	for i, v := range vectors {
		fmt.Fprintf(&b, "let re%d = real(%s)\nlet im%d = imag(%s)\nprint re%d im%d\n", i, v, i, v, i, i)
	}
	b.WriteString("quit\n.endc\n.end\n")
	got := map[string]float64{}
	for _, line := range strings.Split(ngspice(t, b.String()), "\n") {
		var name string
		var x float64
		if n, _ := fmt.Sscanf(line, "%s = %g", &name, &x); n == 2 {
			got[name] = x
		}
	}
	if len(got) != 2*len(out) {
		t.Fatalf("ngspice printed %d of %d values", len(got), 2*len(out))
	}
	for i := range out {
		out[i].theirs = complex(got[fmt.Sprintf("re%d", i)], got[fmt.Sprintf("im%d", i)])
	}
	return out
}

// Every potential and flow of the elements alone. Both sides solve in double
// precision and ngspice prints 15 digits, so what is left is rounding, amplified
// near a resonance: 1e-9 of the value. Where cones that move alike leave the air
// between them at rest the pressure is nothing but rounding: 1e-12 of the
// pressure Bl/(Re·Sd) of a cone that is held at 1 V.
func TestElementsAloneInNgspice(t *testing.T) {
	worst := 0.0
	for seed := range uint64(8) {
		r := rand.New(rand.NewPCG(seed, 11))
		d := randomDriver(r)
		g, box, set := randomGroup(t, r, d), randomBox(r), setting(t)
		set.Unreduced = seed%2 == 0
		atRest := 1e-12 * d.Bl / (d.Re * d.Sd)
		sys, _, err := enclosure.Build(g, box, set)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range []float64{7, 41, 620} {
			for _, p := range phasorsOf(t, sys.Net, f) {
				off := cmplx.Abs(p.ours - p.theirs)
				if p.pressure && off < atRest {
					continue
				}
				worst = math.Max(worst, off/cmplx.Abs(p.ours))
				if !(off <= 1e-9*cmplx.Abs(p.ours)) {
					t.Errorf("seed %d, %g Hz, %s: %.12g, ngspice %.12g", seed, f, p.name, p.ours, p.theirs)
				}
			}
		}
	}
	t.Logf("the largest difference is %.2g of the value", worst)
}
