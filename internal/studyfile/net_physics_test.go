package studyfile

import (
	"fmt"
	"math"
	"math/cmplx"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/enclosure"
	"basswright/internal/network"
)

// joins is a random part between two places, or from one to the outside.
func (d drawn) joins(a, b string) string {
	between := fmt.Sprintf("between: [%s, %s]", a, b)
	switch d.one("part", "port", "duct", "leak", "absorber", "diaphragm") {
	case "port":
		return "{kind: port, " + between + ", port: {diameter: " + d.num("bore", 40, 160) + " mm, length: " + d.num("length", 30, 300) + " mm}}"
	case "duct":
		if b == "outside" {
			return "{kind: opening, at: " + a + ", area: " + d.num("area", 30, 900) + " cm2" + d.one("mouth", "", ", mouth: free", ", mouth: {end: flanged, load: piston}", ", width: 400 mm") + "}"
		}
		return "{kind: duct, " + between + ", duct: {length: " + d.num("long", 0.3, 2.5) + " m, start: " + d.num("from", 40, 400) + " cm2, end: " + d.num("to", 40, 400) + " cm2" + d.one("taken", "", ", taken: [{from: 0.1 m, to: 0.25 m, volume: "+d.num("body", 0.05, 0.5)+" L}, {from: 0.2 m, to: 0.3 m, volume: 0.04 L}]") + "}" + d.fill() + "}"
	case "leak":
		return "{kind: leak, " + between + ", resistance: " + d.num("leak", 1e4, 1e6) + " Pa s/m3}"
	case "absorber":
		return "{kind: absorber, " + between + ", resistivity: " + d.num("sheet", 500, 20000) + " Pa s/m2, thickness: 20 mm, area: 150 cm2}"
	}
	return "{kind: diaphragm, " + between + ", radiator: {sd: 300 cm2, mms: " + d.num("mms", 40, 200) + " g, fs: 22 Hz, qms: 6}}"
}

// network is a random one of up to twelve parts.
func (d drawn) network() string {
	n := rapid.IntRange(1, 4).Draw(d.t, "places")
	place := func(k int) string { return fmt.Sprintf("room-%d", k+1) }
	var parts []string
	for k := range n {
		if k == 0 || d.one("room", "y", "y", "n") == "y" {
			parts = append(parts, "{kind: chamber, at: "+place(k)+", volume: "+d.num("volume", 3, 90)+" L"+d.fill(", share: 50 %")+"}")
		}
		if k > 0 {
			parts = append(parts, d.joins(place(rapid.IntRange(0, k-1).Draw(d.t, "back")), place(k)))
		}
	}
	for range rapid.IntRange(0, 2).Draw(d.t, "more") {
		a, b := rapid.IntRange(0, n-1).Draw(d.t, "a"), rapid.IntRange(0, n-1).Draw(d.t, "b")
		if a != b {
			parts = append(parts, d.joins(place(a), place(b)))
		}
	}
	for range rapid.IntRange(1, 3).Draw(d.t, "ways out") {
		parts = append(parts, d.joins(place(rapid.IntRange(0, n-1).Draw(d.t, "from")), "outside"))
	}
	if d.one("branch", "y", "n") == "y" {
		parts = append(parts, "{kind: duct, at: "+place(n-1)+", duct: {length: "+d.num("branch", 0.3, 1.5)+" m, area: 60 cm2}}")
	}
	if d.one("cushion", "y", "n") == "y" {
		parts = append(parts, "{kind: absorber, at: "+place(0)+", resistance: "+d.num("cushion", 1e3, 1e5)+" Pa s/m3, volume: 4 L}")
	}
	front := d.one("front", "outside", "behind", place(n-1))
	if n == 1 && front == place(0) {
		front = "outside"
	}
	return "      kind: network\n      front: " + front + "\n      rear: " + place(0) + "\n      parts: [" + strings.Join(parts, ", ") + "]\n"
}

// networkBaffle puts what reaches outside on a baffle, each far enough from the others,
// or leaves all at one place.
func (d drawn) networkBaffle(net *enclosure.Net, positions int) string {
	if d.one("baffle", "y", "n") == "n" {
		return ""
	}
	out := ""
	if net.Front == "outside" {
		var cones []string
		for p := range positions {
			cones = append(cones, fmt.Sprintf("{x: %s cm}", d.num("cone", 40*float64(p)+20, 40*float64(p)+38)))
		}
		out += "        cones: [" + strings.Join(cones, ", ") + "]\n"
	}
	parts := ""
	for i := range net.Parts {
		if p := &net.Parts[i]; p.B == "outside" || p.Kind == enclosure.NetOpening {
			parts += fmt.Sprintf("          %s: {x: -%s cm, y: %s cm}\n", p.Name, d.num("part", 90*float64(i)+60, 90*float64(i)+85), d.num("up", 1, 40))
		}
	}
	if parts != "" {
		out += "        parts:\n" + parts
	}
	if out == "" {
		return ""
	}
	return "      baffle:\n" + out
}

// built is a random network; nil: some of them cannot be.
func (d drawn) built(t *rapid.T) *enclosure.System {
	group, n := d.group()
	text := "study: Any\nmodel: {radiation: " + d.one("radiation", "classical", "full") + "}\n" + equalDrivers + "candidates:\n  any:\n    group: " + group + "\n    enclosure:\n" + d.network()
	st, err := Parse([]byte(text), "one.yaml")
	if err != nil {
		return nil
	}
	text += d.networkBaffle(st.Candidates[0].Enclosure.Net, n)
	if st, err = Parse([]byte(text), "one.yaml"); err != nil {
		t.Fatalf("on a baffle: %v\n%s", err, text)
	}
	sys, _, err := st.Build(0)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return sys
}

// dissipated is the power that an element turns into heat, or sends out as sound, by
// its own law and what goes through it.
func dissipated(sys *enclosure.System, s *network.Solver, id network.ElementID, w float64) float64 {
	e := sys.Net.Element(id)
	square := func(z complex128) float64 { return real(z)*real(z) + imag(z)*imag(z) }
	law := func(l network.Law) float64 {
		if l == nil {
			return 0
		}
		return real(l.At(w))
	}
	switch e.Kind {
	case network.KindCoupling: // what each does to the other, together
		return 2 * law(e.Law) * real(s.Flow(e.Pair[0])*cmplx.Conj(s.Flow(e.Pair[1])))
	case network.KindAdmittance:
		return (e.Value.G + law(e.Law)) * square(s.Potential(e.A)-s.Potential(e.B))
	case network.KindImpedance, network.KindString:
		return (e.Value.G + law(e.Law)) * square(s.Flow(id))
	case network.KindTwoPort:
		y11, y12, y22 := e.Ports.At(w)
		a, b := s.Potential(e.A), s.Potential(e.B)
		return real(y11)*square(a) + real(y22)*square(b) + 2*real(y12)*real(a*cmplx.Conj(b))
	}
	return 0
}

// Whatever is joined to whatever, a network takes power and gives none: Re Z is not
// below zero, no element gives power, nor do all that hear each other on a baffle
// together, and what goes in is what all of them take, as heat or as sound. To 1e-9 of what goes in: sums over up to fifty elements, whose
// parts cancel where a resonance carries much more power to and fro than it loses.
func TestNetworksArePassive(t *testing.T) {
	built, onBaffle, worst := 0, 0, 0.0
	rapid.Check(t, func(t *rapid.T) {
		sys := drawn{t}.built(t)
		if sys == nil {
			return
		}
		built++
		s := sys.Program.NewSolver()
		for k := range 12 {
			w := 2 * math.Pi * 8 * math.Pow(60, float64(k)/11)
			if err := s.Solve(w); err != nil {
				t.Fatal(err)
			}
			if z := sys.Impedance(s); !(real(z) >= 0) {
				t.Fatalf("%.4g Hz: Z is %v", w/2/math.Pi, z)
			}
			in, out, between := sys.Drawn(s), 0.0, 0.0
			var heard []network.ElementID
			for id := range sys.Net.Elements() {
				p, e := dissipated(sys, s, network.ElementID(id), w), sys.Net.Element(network.ElementID(id))
				out += p
				if e.Kind == network.KindCoupling { // one may take from another, and all together may not give
					heard = append(heard, e.Pair[0], e.Pair[1])
					between += p
				} else if !(p >= -1e-12*in) {
					t.Fatalf("%.4g Hz: %s gives %g W of %g W", w/2/math.Pi, e.Name, -p, in)
				}
			}
			slices.Sort(heard)
			for _, id := range slices.Compact(heard) {
				between += dissipated(sys, s, id, w)
			}
			if !(between >= -1e-12*in) {
				t.Fatalf("%.4g Hz: what stands on the baffle gives %g W of %g W", w/2/math.Pi, -between, in)
			}
			if len(heard) > 0 && k == 0 {
				onBaffle++
			}
			for i, m := range sys.Net.Motors() { // what eddy currents take
				if m.Law != nil {
					l := s.Linkage(network.Motor(i))
					out += real(m.Law.At(w)) * (real(l)*real(l) + imag(l)*imag(l))
				}
			}
			worst = max(worst, math.Abs(in-out)/in)
			if !(math.Abs(in-out) <= 1e-9*in) {
				t.Fatalf("%.4g Hz: %g W go in, %g W are taken", w/2/math.Pi, in, out)
			}
		}
	})
	t.Logf("%d networks, in %d openings hear each other, worst %.2g", built, onBaffle, worst)
	if built < 40 || onBaffle == 0 {
		t.Errorf("only %d of the networks drawn could be built, and %d on a baffle", built, onBaffle)
	}
}

// What a volume velocity at one place makes of the pressure at another is what one at
// the other makes at the first (Rayleigh 1873), through cones and coils too: to 1e-9
// of the geometric mean of the pressures at the two places themselves.
func TestNetworksAreReciprocal(t *testing.T) {
	built, worst := 0, 0.0
	rapid.Check(t, func(t *rapid.T) {
		sys := drawn{t}.built(t)
		if sys == nil {
			return
		}
		built++
		var at []network.Injection
		for _, c := range sys.Chambers {
			at = append(at, network.Injection{Node: c.Node})
		}
		in := sys.Program.NewInjector(at)
		for k := range 8 {
			w := 2 * math.Pi * 8 * math.Pow(60, float64(k)/7)
			if err := in.Factor(w); err != nil {
				t.Fatal(err)
			}
			z := make([][]complex128, len(at))
			for a := range at {
				in.Inject(a)
				for b := range at {
					z[a] = append(z[a], in.Potential(at[b].Node))
				}
			}
			for a := range at {
				for b := range a {
					scale := math.Sqrt(cmplx.Abs(z[a][a]) * cmplx.Abs(z[b][b]))
					d := cmplx.Abs(z[a][b]-z[b][a]) / scale
					worst = max(worst, d)
					if !(d <= 1e-9) {
						t.Fatalf("%.4g Hz: %v and %v between %s and %s", w/2/math.Pi, z[a][b], z[b][a], sys.Chambers[a].Name, sys.Chambers[b].Name)
					}
				}
			}
		}
	})
	t.Logf("%d networks, worst %.2g", built, worst)
	if built < 40 {
		t.Errorf("only %d of the networks drawn could be built", built)
	}
}
