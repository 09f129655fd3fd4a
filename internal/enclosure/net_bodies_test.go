package enclosure

import (
	"math"
	"math/cmplx"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/driver"
	"basswright/internal/duct"
	"basswright/internal/network"
)

// A body in a straight duct leaves a narrower duct there, between two jumps: worded as
// such a profile the network is the same, its air and what it sends out.
func TestBodyIsANarrowerStretch(t *testing.T) {
	set := lineSetting(t)
	g := groupOf(t, driver.GroupSpec{Driver: of(t, 30, 0.4, 80, 5), SideBySide: 1, Stack: 1})
	rapid.Check(t, func(rt *rapid.T) {
		r := func(lo, hi float64, name string) float64 { return rapid.Float64Range(lo, hi).Draw(rt, name) }
		length, s := r(1, 3, "length"), r(0.01, 0.06, "area")
		from := length * r(0.1, 0.5, "from")
		to := from + length*r(0.05, 0.4, "long")
		taken := r(0.05, 0.9, "taken")
		net := func(run Run, bodies ...Body) Spec {
			return Spec{Kind: Network, Net: &Net{Front: PlaceOutside, Rear: "line", Parts: []NetPart{
				{Name: "duct", Kind: NetDuct, A: PlaceClosed, B: "mouth", Run: run, Bodies: bodies, Taps: []NetTap{{"line", from / 2}}},
				{Name: "mouth", Kind: NetOpening, A: "mouth", Mouth: Mouth{EndFlanged, LoadPipe}},
			}}}
		}
		left := s * (1 - taken)
		one, a := built(t, g, net(Run{Length: length, Area: s}, Body{from, to, taken * s * (to - from)}), set)
		two, b := built(t, g, net(Run{Points: []duct.Point{{X: 0, Area: s}, {X: from, Area: s}, {X: from, Area: left}, {X: to, Area: left}, {X: to, Area: s}, {X: length, Area: s}}}), set)
		if v, w := one.Facts.NetVolume, two.Facts.NetVolume; math.Abs(v/w-1) > 1e-12 { // rounding
			rt.Fatalf("%g m³ of air, by the profile %g m³", v, w)
		}
		if d := one.Facts.Ducts[0].Standing; len(d) != 1 || math.Abs(d[0].Left/left-1) > 1e-12 {
			rt.Fatalf("it leaves %+v of %g m²", d, left)
		}
		for f := 12.0; f < 500; f *= 1.3 {
			w := 2 * math.Pi * f
			if a.Solve(w) != nil || b.Solve(w) != nil {
				rt.Fatal("not solved")
			}
			// rounding, of sums over six stretches instead of three
			if p, q := one.Pressure(a), two.Pressure(b); cmplx.Abs(p-q) > 1e-9*cmplx.Abs(q) {
				rt.Fatalf("%g Hz: %v, by the profile %v", f, p, q)
			}
		}
	})
}

// A cone that turns its rear to the listener, fed the other way round, is one that does
// not: on a baffle it has its own way, its own load, and hears the others.
func TestRearsOnABaffle(t *testing.T) {
	set := lineSetting(t)
	set.Toward = Toward{Aside: 30}
	d := of(t, 30, 0.4, 80, 5)
	net := Net{Front: PlaceOutside, Rear: "box", Parts: []NetPart{
		{Name: "box", Kind: NetChamber, A: "box", Chamber: Chamber{Volume: 0.05}},
		{Name: "port", Kind: NetPort, A: "box", B: PlaceOutside, Chamber: Chamber{Port: Port{Shape: Round, Diameter: 0.08, Length: 0.1}}},
		{Name: "inner", Kind: NetPort, A: "box", B: PlaceBehind, Chamber: Chamber{Port: Port{Shape: Round, Diameter: 0.05, Length: 0.1}}},
	}}
	on := &Baffle{Cones: []Spot{{-0.3, 0}, {0.2, 0.1}}, At: map[string]Spot{"port": {0, -0.4}}}
	turned := net.Clone()
	turned.Parts = append(turned.Parts, NetPart{Kind: NetDrivers, Position: 2, A: "box", B: PlaceOutside})
	straight := driver.GroupSpec{Members: [][]*driver.Driver{{d}, {d}}}
	reversed := straight
	reversed.Polarity = []int{1, -1}
	for _, full := range []bool{false, true} {
		set.FullRadiation = full
		set.Unreduced = true // the turned one cannot stand for both
		one, a := built(t, groupOf(t, straight), Spec{Kind: Network, Net: &net, Baffle: on}, set)
		two, b := built(t, groupOf(t, reversed), Spec{Kind: Network, Net: turned, Baffle: on}, set)
		couplings := 0
		for _, e := range two.Net.Elements() {
			if e.Kind == network.KindCoupling {
				couplings++
			}
		}
		if want := map[bool]int{true: 3, false: 0}[full]; couplings != want { // two cones and a port hear each other, and what is behind the wall does not
			t.Errorf("full %v: %d couplings, want %d", full, couplings, want)
		}
		for f := 12.0; f < 500; f *= 1.3 {
			w := 2 * math.Pi * f
			if a.Solve(w) != nil || b.Solve(w) != nil {
				t.Fatal("not solved")
			}
			p, q := one.Pressure(a), two.Pressure(b)
			if cmplx.Abs(p-q) > 1e-12*cmplx.Abs(p) || cmplx.Abs(one.Impedance(a)/two.Impedance(b)-1) > 1e-12 { // rounding
				t.Fatalf("full %v, %g Hz: %v, turned %v", full, f, p, q)
			}
		}
	}
}

// A port without a size has no load that others could hear, which is told.
func TestIdealPortsHearNobody(t *testing.T) {
	set := lineSetting(t)
	set.FullRadiation = true
	spec := Spec{Kind: Vented, Rear: Chamber{Volume: 0.05, Tuning: 30}, Baffle: &Baffle{At: map[string]Spot{"port": {0, -0.4}}}}
	_, findings, err := Build(groupOf(t, driver.GroupSpec{Driver: of(t, 30, 0.4, 80, 5), SideBySide: 1, Stack: 1}), spec, set)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range findings {
		if f.ID == "baffle-deaf" {
			return
		}
	}
	t.Errorf("nobody says so: %v", findings)
}
