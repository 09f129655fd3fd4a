package network

import (
	"context"
	"errors"
	"math"
	"math/cmplx"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// randomNetwork draws a network of any topology: several drivers, chambers and
// ports joined at random, always with a path to the references.
func randomNetwork(t *rapid.T) *Network {
	n := New()
	src := n.AddSource("source")
	logf := func(name string, lo, hi float64) float64 {
		return math.Exp(rapid.Float64Range(math.Log(lo), math.Log(hi)).Draw(t, name))
	}
	places := []Node{Outside}
	chambers := rapid.IntRange(1, 5).Draw(t, "chambers")
	for range chambers {
		p := n.AddNode(Acoustic, nodeName(n, "place"))
		c := logf("volume", 0.5e-3, 0.3) / (1.2041 * 343.2 * 343.2)
		n.AddAdmittance(nodeName(n, "air"), p, Outside, Triple{C: c, G: c * logf("leak", 0.01, 100)}, nil)
		places = append(places, p)
	}
	place := func(name string) Node { return places[rapid.IntRange(0, len(places)-1).Draw(t, name)] }
	for range rapid.IntRange(0, 4).Draw(t, "ports") {
		a, b := place("from"), place("to")
		if a != b {
			n.AddImpedance(nodeName(n, "port"), a, b, Triple{C: logf("mass", 5, 500), G: logf("loss", 1, 1e4)}, nil)
		}
	}
	for range rapid.IntRange(1, 5).Draw(t, "drivers") {
		cone := n.AddNode(Mechanical, nodeName(n, "cone"))
		n.AddAdmittance(nodeName(n, "suspension"), cone, Frame, Triple{G: logf("rms", 0.3, 10), C: logf("mms", 0.01, 0.3), L: 1 / logf("cms", 1e-4, 2e-3)}, nil)
		var law Law
		if rapid.Bool().Draw(t, "eddy") {
			law = ParallelRL{L: 1e-3, R: 4}
		}
		m := n.AddMotor(MotorData{Name: nodeName(n, "motor"), Mech: cone, Bl: logf("bl", 3, 30), Value: Triple{C: logf("le", 1e-5, 5e-3)}, Law: law})
		for range rapid.IntRange(1, 2).Draw(t, "coils") {
			n.AddString(nodeName(n, "coil"), src, Earth, Triple{G: logf("re", 1, 16)}, Turn{m, rapid.SampledFrom([]int{-1, 1, 2}).Draw(t, "turns")})
		}
		front, rear := place("front"), place("rear")
		if front != rear {
			n.AddPiston(nodeName(n, "face"), cone, logf("sd", 5e-3, 0.2), front, rear)
		}
	}
	if rapid.Bool().Draw(t, "duct") && chambers > 1 {
		n.AddTwoPort("duct", places[1], places[2], randomDuct)
	}
	return n
}

func nodeName(n *Network, what string) string {
	return what + " " + string(rune('a'+len(n.elements))) + string(rune('a'+len(n.nodes)))
}

var randomDuct = losslessDuct{area: 0.01, length: 1.3}

// losslessDuct is a plane-wave duct in admittance form.
type losslessDuct struct{ area, length float64 }

func (d losslessDuct) At(w float64) (y11, y12, y22 complex128) {
	y0, kl := d.area/(1.2041*343.2), w/343.2*d.length
	y11 = complex(0, -y0/math.Tan(kl))
	return y11, complex(0, y0/math.Sin(kl)), y11
}

// The compiled elimination and the pivoted solve are two routes to the same
// answer. Both solve the equations to rounding; what they may differ by is the
// rounding times the condition of the equations, hence a bound on the residual
// and not on the answer: what the solver's own watch lets pass. In 40 000
// networks the worst was 4e-12.
func TestCompiledSolvesAnyTopology(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := randomNetwork(t)
		p, err := n.Compile()
		if err != nil {
			t.Fatalf("compile: %v", err)
		}
		s := p.NewSolver()
		for f := 2.0; f < 3000; f *= 2.3 {
			if err := s.Solve(2 * math.Pi * f); err != nil {
				t.Fatalf("%g Hz: %v", f, err)
			}
			if r := residual(p.sys, s); r > residualLimit {
				t.Fatalf("%g Hz: an equation is off by %.3g of its terms (pivoted %d times)", f, r, s.Pivoted)
			}
		}
	})
}

// residual is the worst equation's sum over the size of the terms that pass
// through it when the equations are eliminated, rows with partial pivoting: an
// equation takes up the rounding of those before it, and where motors push
// against each other all of its own terms may be no more than that.
func residual(sys *system, s *Solver) float64 {
	plain, m := sys.matrix(s.w), sys.matrix(s.w)
	passed := make([][]float64, sys.n)
	for i, row := range m {
		passed[i] = make([]float64, sys.n)
		for j := range passed[i] {
			passed[i][j] = cmplx.Abs(row[j])
		}
	}
	for k := range sys.n {
		best := k
		for i := k; i < sys.n; i++ {
			if cmplx.Abs(m[i][k]) > cmplx.Abs(m[best][k]) {
				best = i
			}
		}
		plain[k], plain[best] = plain[best], plain[k]
		m[k], m[best], passed[k], passed[best] = m[best], m[k], passed[best], passed[k]
		for i := k + 1; i < sys.n; i++ {
			f := m[i][k] / m[k][k]
			for j := k; j < sys.n; j++ {
				passed[i][j] += cmplx.Abs(f * m[k][j])
				m[i][j] -= f * m[k][j]
			}
		}
	}
	worst := 0.0
	for i, row := range plain {
		sum, size := -row[sys.n], cmplx.Abs(row[sys.n])
		for j := range sys.n {
			v := s.unknown(j)
			sum += row[j] * v
			size += passed[i][j] * cmplx.Abs(v)
		}
		if size > 0 {
			worst = max(worst, cmplx.Abs(sum)/size)
		}
	}
	return worst
}

// What the source gives is turned into heat in the resistances or leaves as
// work on nothing else: Re(V·I*) equals the sum of losses (Tellegen). Checked
// on the elements, not on the equations. In 20 000 networks the worst
// difference was 7e-13; the bound leaves room for worse conditions.
func TestPowerIsConserved(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := randomNetwork(t)
		p, err := n.Compile()
		if err != nil {
			t.Fatal(err)
		}
		s := p.NewSolver()
		for _, f := range []float64{7, 31, 120, 900} {
			if err := s.Solve(2 * math.Pi * f); err != nil {
				t.Fatal(err)
			}
			given, lost := 0.0, 0.0
			flux := make([]complex128, len(n.motors))
			for i, e := range n.elements {
				u := s.Flow(ElementID(i))
				drop := s.Potential(e.A) - s.Potential(e.B)
				switch e.Kind {
				case KindString:
					given += real(drop * cmplx.Conj(u))
					lost += e.Value.G * sqAbs(u)
					for _, turn := range e.Turns {
						flux[turn.Motor] += complex(float64(turn.N), 0) * u
					}
				case KindImpedance:
					lost += e.Value.G * sqAbs(u)
				case KindAdmittance:
					lost += e.Value.G * sqAbs(drop)
				case KindTwoPort, KindPiston:
				}
			}
			for i, m := range n.motors {
				if m.Law != nil {
					lost += real(m.Law.At(s.w)) * sqAbs(flux[i])
				}
			}
			if math.Abs(given-lost) > 1e-10*given {
				t.Fatalf("%g Hz: the coils take %.12g W, the losses are %.12g W", f, given, lost)
			}
		}
	})
}

func sqAbs(z complex128) float64 { return real(z)*real(z) + imag(z)*imag(z) }

// A chamber's answer to a volume velocity elsewhere is the same with the two
// places exchanged (reciprocity), read through two drivers of one coil each:
// voltage on one, short-circuit current in the other.
func TestReciprocity(t *testing.T) {
	build := func(first bool) (complex128, error) {
		n := New()
		src := n.AddSource("source")
		box := n.AddNode(Acoustic, "box")
		n.AddAdmittance("air", box, Outside, Triple{C: 2e-7, G: 1e-6}, nil)
		var ids [2]ElementID
		for i, bl := range []float64{7, 13} {
			cone := n.AddNode(Mechanical, []string{"one", "two"}[i])
			n.AddAdmittance(n.NodeName(cone)+" suspension", cone, Frame, Triple{G: 1 + bl/10, C: 0.03 * bl, L: 900}, nil)
			m := n.AddMotor(MotorData{Name: n.NodeName(cone), Mech: cone, Bl: bl, Value: Triple{C: 1e-3}})
			from := Earth
			if (i == 0) == first {
				from = src
			}
			ids[i] = n.AddString(n.NodeName(cone)+" coil", from, Earth, Triple{G: 4 + bl/9}, Turn{m, 1})
			n.AddPiston(n.NodeName(cone)+" face", cone, 0.01*bl, Outside, box)
		}
		p, err := n.Compile()
		if err != nil {
			return 0, err
		}
		s := p.NewSolver()
		if err := s.Solve(2 * math.Pi * 47); err != nil {
			return 0, err
		}
		if first {
			return s.Flow(ids[1]), nil
		}
		return s.Flow(ids[0]), nil
	}
	a, err := build(true)
	if err != nil {
		t.Fatal(err)
	}
	b, err := build(false)
	if err != nil {
		t.Fatal(err)
	}
	if !near(a, b, 1e-14) { // rounding: 2e-17 measured
		t.Errorf("transfer admittance %v one way, %v the other", a, b)
	}
}

// A lossless duct that is closed by a piston and open at the other end is a
// classical result: the ratio of the flows is 1/cos(kL).
func TestTwoPortQuarterWave(t *testing.T) {
	n := New()
	src := n.AddSource("source")
	cone := n.AddNode(Mechanical, "cone")
	in := n.AddNode(Acoustic, "closed end")
	n.AddAdmittance("suspension", cone, Frame, Triple{G: 1, C: 0.02, L: 1000}, nil)
	m := n.AddMotor(MotorData{Name: "motor", Mech: cone, Bl: 8})
	n.AddString("coil", src, Earth, Triple{G: 6}, Turn{m, 1})
	face := n.AddPiston("face", cone, 0.02, Outside, in)
	duct := n.AddTwoPort("duct", in, Outside, losslessDuct{0.01, 1.3})
	p, err := n.Compile()
	if err != nil {
		t.Fatal(err)
	}
	s := p.NewSolver()
	for _, f := range []float64{10, 50, 66.5, 100, 333} {
		w := 2 * math.Pi * f
		if err := s.Solve(w); err != nil {
			t.Fatal(err)
		}
		got := s.FlowOut(duct) / -s.Flow(face)
		want := complex(1/math.Cos(w/343.2*1.3), 0)
		if !near(got, want, 1e-14) { // rounding: 2e-16 measured
			t.Errorf("%g Hz: mouth over closed end %v, theory %v", f, got, want)
		}
	}
}

// Coils of one driver share their flux: in series four times the inductance.
func TestCoilsOfOneDriverAreCoupled(t *testing.T) {
	current := func(turns int, bl float64, le float64, re float64) complex128 {
		n := New()
		src := n.AddSource("source")
		cone := n.AddNode(Mechanical, "cone")
		n.AddAdmittance("suspension", cone, Frame, Triple{G: 1, C: 0.02, L: 1000}, nil)
		m := n.AddMotor(MotorData{Name: "motor", Mech: cone, Bl: bl, Value: Triple{C: le}})
		id := n.AddString("coil", src, Earth, Triple{G: re}, Turn{m, turns})
		p, err := n.Compile()
		if err != nil {
			t.Fatal(err)
		}
		s := p.NewSolver()
		if err := s.Solve(2 * math.Pi * 200); err != nil {
			t.Fatal(err)
		}
		return s.Flow(id)
	}
	if a, b := current(2, 5, 1e-3, 8), current(1, 10, 4e-3, 8); !near(a, b, 1e-14) {
		t.Errorf("two coils in series carry %v, one with twice the force factor and four times the inductance %v", a, b)
	}
}

func TestSingularNetworksNameThePart(t *testing.T) {
	free := New()
	free.AddSource("source")
	free.AddNode(Acoustic, "attic") // nothing is joined to it
	loop := New()
	src := loop.AddSource("source")
	a := loop.AddNode(Electrical, "terminal")
	loop.AddImpedance("first wire", src, a, Triple{}, nil)
	loop.AddImpedance("second wire", src, a, Triple{}, nil) // beside each other without resistance: the split is open
	loop.AddImpedance("load", a, Earth, Triple{G: 4}, nil)
	for _, c := range []struct {
		net  *Network
		part string
	}{{free, "attic"}, {loop, "wire"}} {
		_, err := c.net.Compile()
		var s *SingularError
		if !errors.As(err, &s) || !strings.Contains(s.Part, c.part) {
			t.Errorf("got %v, want a singular network at %q", err, c.part)
		}
	}
}

// A lossless circuit driven at its own resonance has no finite answer there,
// and only there.
func TestSingularAtOneFrequency(t *testing.T) {
	n := New()
	src := n.AddSource("source")
	a := n.AddNode(Electrical, "tank")
	w0 := 2 * math.Pi * 50.0
	n.AddImpedance("feed", src, a, Triple{C: 1}, nil)
	n.AddAdmittance("tank parts", a, Earth, Triple{C: 2 / (w0 * w0), L: 1}, nil) // resonates with the feed at w0
	p, err := n.Compile()
	if err != nil {
		t.Fatal(err)
	}
	s := p.NewSolver()
	if err := s.Solve(w0 * 1.01); err != nil {
		t.Errorf("beside the resonance: %v", err)
	}
	err = s.Solve(w0)
	var sing *SingularError
	if !errors.As(err, &sing) || sing.Part == "" || math.Abs(sing.Frequency-50) > 1e-9 {
		t.Errorf("at the resonance: got %v, want a singular network at 50 Hz", err)
	}
}

// Where the planned pivot vanishes at one frequency the watch on the residual
// must hand over to the pivoted solve, and the answer must be right.
func TestPivotedTakesOver(t *testing.T) {
	n := New()
	src := n.AddSource("source")
	a, b := n.AddNode(Electrical, "a"), n.AddNode(Electrical, "b")
	w0 := 2 * math.Pi * 40.0
	n.AddImpedance("feed", src, a, Triple{G: 2}, nil)
	n.AddAdmittance("trap", a, Earth, Triple{C: 1 / (w0 * w0), L: 1}, nil) // no admittance at w0
	n.AddAdmittance("bridge", a, b, Triple{C: 1e-3, G: 1e-2}, nil)
	n.AddAdmittance("sink", b, Earth, Triple{C: -1e-3, G: -1e-2}, nil) // b alone has none either
	p, err := n.Compile()
	if err != nil {
		t.Fatal(err)
	}
	s := p.NewSolver()
	for _, w := range []float64{w0, w0 * 1.0000001, w0 / 2} {
		if err := s.Solve(w); err != nil {
			t.Fatal(err)
		}
		if r := residual(p.sys, s); r > 1e-14 { // rounding: 5e-17 measured
			t.Errorf("residual %.3g at %g rad/s", r, w)
		}
	}
	// force the hand-over: an answer that is not one must not pass the watch
	if err := s.Solve(w0); err != nil {
		t.Fatal(err)
	}
	if s.x == nil {
		s.slots[p.plan.x[0]] += 1e-6
		if s.sound() {
			t.Error("a wrong answer passed the watch on the residual")
		}
		if err := s.pivoted(); err != nil {
			t.Fatal(err)
		}
	}
	if r := residual(p.sys, s); r > 1e-14 || s.Pivoted == 0 {
		t.Errorf("after the pivoted solve the residual is %.3g", r)
	}
}

// Every unknown's error must show in the check equation.
func TestWatchSeesEveryUnknown(t *testing.T) {
	n, _ := ventedBox()
	p, err := n.Compile()
	if err != nil {
		t.Fatal(err)
	}
	for i := range p.sys.n {
		s := p.NewSolver()
		if err := s.Solve(250); err != nil {
			t.Fatal(err)
		}
		s.slots[p.plan.x[i]] *= 1 + 1e-6
		if s.sound() {
			t.Errorf("an error of 1e-6 in %s passes the watch", p.sys.names[i])
		}
	}
}

func TestSweepIsTheSameForAnyWorkers(t *testing.T) {
	n, port := ventedBox()
	p, err := n.Compile()
	if err != nil {
		t.Fatal(err)
	}
	ws := make([]float64, 1000)
	for k := range ws {
		ws[k] = 10 + float64(k)
	}
	sweep := func(workers int) []complex128 {
		out := make([]complex128, len(ws))
		if err := p.Sweep(context.Background(), ws, workers, func(k int, s *Solver) error {
			out[k] = s.Flow(port)
			return nil
		}); err != nil {
			t.Fatal(err)
		}
		return out
	}
	one := sweep(1)
	for _, workers := range []int{2, 7} {
		for k, v := range sweep(workers) {
			if v != one[k] {
				t.Fatalf("%d workers: point %d is %v, with one %v", workers, k, v, one[k])
			}
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if err := p.Sweep(ctx, ws, 2, func(int, *Solver) error { return nil }); !errors.Is(err, context.Canceled) {
		t.Errorf("a cancelled sweep gave %v", err)
	}
}

func TestAssemblyFaults(t *testing.T) {
	for name, build := range map[string]func(n *Network){
		"no source":   func(*Network) {},
		"two sources": func(n *Network) { n.AddSource("a"); n.AddSource("b") },
		"same name": func(n *Network) {
			s := n.AddSource("a")
			n.AddImpedance("x", s, Earth, one, nil)
			n.AddImpedance("x", s, Earth, one, nil)
		},
		"mixed domains":  func(n *Network) { n.AddImpedance("x", n.AddSource("a"), Outside, one, nil) },
		"not a number":   func(n *Network) { n.AddImpedance("x", n.AddSource("a"), Earth, Triple{G: math.NaN()}, nil) },
		"no such motor":  func(n *Network) { n.AddString("x", n.AddSource("a"), Earth, one, Turn{3, 1}) },
		"wrong piston":   func(n *Network) { n.AddSource("a"); n.AddPiston("x", Outside, 1, Outside, Outside) },
		"no such place":  func(n *Network) { n.AddImpedance("x", n.AddSource("a"), 77, one, nil) },
		"wrong coil end": func(n *Network) { n.AddSource("a"); n.AddString("x", Frame, Earth, one) },
	} {
		n := New()
		build(n)
		if _, err := n.Compile(); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}
