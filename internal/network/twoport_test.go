package network

import (
	"errors"
	"fmt"
	"math"
	"math/cmplx"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/duct"
	"basswright/internal/phys"
	"basswright/internal/radiation"
)

var air = phys.StandardAir()

// drawDuct draws a duct of some flare, with loss at its walls, fill, or neither.
func drawDuct(t *rapid.T) *duct.Duct {
	logf := func(name string, lo, hi float64) float64 {
		return math.Exp(rapid.Float64Range(math.Log(lo), math.Log(hi)).Draw(t, name))
	}
	length, from := logf("length", 0.1, 4), logf("from", 2e-3, 0.1)
	to := from * logf("widening", 0.3, 20)
	flare := rapid.SampledFrom([]func(length, from, to float64) (duct.Shape, error){duct.Cone, duct.Exponential, duct.Parabolic}).Draw(t, "flare")
	s, err := flare(length, from, to)
	if err != nil {
		t.Fatal(err)
	}
	m := duct.Making{Gas: duct.GasOf(air), Walls: rapid.Bool().Draw(t, "walls")}
	if rapid.Bool().Draw(t, "filled") {
		m.Fills = []duct.Filling{{From: length / 3, Fill: duct.Fill{Resistivity: logf("resistivity", 100, 2e4)}}}
	}
	d, err := duct.New(s, m)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// ducted is a random network of two drivers, ducts between random places, and mouths
// on one baffle that hear each other.
type ducted struct {
	net           *Network
	coils         [2]ElementID
	ducts, mouths []ElementID
	mutual        []ElementID
	places        []Node
	resistances   []ElementID // beside the mouths
}

// drawDucted drives the first driver, or the second; all else is the same.
func drawDucted(t *rapid.T) func(first bool) *ducted {
	places := rapid.IntRange(2, 5).Draw(t, "places")
	var laws []*duct.Duct
	var ends [][2]int
	for i := range rapid.IntRange(places-1, places+2).Draw(t, "ducts") {
		laws = append(laws, drawDuct(t))
		// The first ones join every place to one before it, so that none stands alone.
		a, b := rapid.IntRange(0, places-1).Draw(t, "from"), rapid.IntRange(0, places-1).Draw(t, "to")
		if i+1 < places {
			a, b = i+1, rapid.IntRange(0, i).Draw(t, "before")
		}
		if a == b {
			b = (a + 1) % places
		}
		ends = append(ends, [2]int{a, b})
	}
	radii := rapid.SliceOfN(rapid.Float64Range(0.03, 0.2), 1, 3).Draw(t, "mouths")
	at := rapid.SliceOfN(rapid.IntRange(0, places-1), len(radii), len(radii)).Draw(t, "mouths at")
	apart := rapid.Float64Range(1.05, 4).Draw(t, "apart")
	sides := rapid.SliceOfN(rapid.IntRange(-1, places-1), 4, 4).Draw(t, "faces")
	bl := rapid.SliceOfN(rapid.Float64Range(4, 20), 2, 2).Draw(t, "bl")
	return func(first bool) *ducted {
		n := New()
		src := n.AddSource("source")
		d := &ducted{net: n}
		for i := range places {
			d.places = append(d.places, n.AddNode(Acoustic, fmt.Sprint("place ", i)))
		}
		for i, law := range laws {
			d.ducts = append(d.ducts, n.AddTwoPort(fmt.Sprint("duct ", i), d.places[ends[i][0]], d.places[ends[i][1]], law))
		}
		// Mouths in a row, with a gap between neighbours.
		centre := make([]float64, len(radii))
		for i, r := range radii {
			if i > 0 {
				centre[i] = centre[i-1] + (radii[i-1]+r)*apart
			}
			load, err := radiation.New(radiation.Opening{Area: math.Pi * r * r}, air.C, air.Rho)
			if err != nil {
				t.Fatal(err)
			}
			d.mouths = append(d.mouths, n.AddImpedance(fmt.Sprint("mouth ", i), d.places[at[i]], Outside, Triple{}, load))
			for k := range i {
				m := radiation.NewMutual(radii[k], r, centre[i]-centre[k], air.C, air.Rho)
				d.mutual = append(d.mutual, n.AddCoupling(fmt.Sprint("coupling ", k, i), d.mouths[k], d.mouths[i], m))
			}
		}
		for i := range 2 {
			cone := n.AddNode(Mechanical, fmt.Sprint("cone ", i))
			d.resistances = append(d.resistances, n.AddAdmittance(fmt.Sprint("suspension ", i), cone, Frame, Triple{G: 1.5, C: 0.03 + 0.01*float64(i), L: 1100}, nil))
			m := n.AddMotor(MotorData{Name: fmt.Sprint("motor ", i), Mech: cone, Bl: bl[i], Value: Triple{C: 1e-3}})
			from := Earth
			if (i == 0) == first {
				from = src
			}
			d.coils[i] = n.AddString(fmt.Sprint("coil ", i), from, Earth, Triple{G: 5}, Turn{m, 1})
			d.resistances = append(d.resistances, d.coils[i])
			front, rear := Outside, Outside
			if k := sides[2*i]; k >= 0 {
				front = d.places[k]
			}
			if k := sides[2*i+1]; k >= 0 {
				rear = d.places[k]
			}
			if front != rear {
				n.AddPiston(fmt.Sprint("face ", i), cone, 0.02+0.01*float64(i), front, rear)
			}
		}
		return d
	}
}

func (d *ducted) solver(t *rapid.T, w float64) *Solver {
	p, err := d.net.Compile()
	if err != nil {
		t.Fatal(err)
	}
	s := p.NewSolver()
	if err := s.Solve(w); err != nil {
		t.Fatal(err)
	}
	return s
}

// Networks of ducts and mouths are reciprocal: the current in one coil for a voltage at
// the other is the same the other way round. They are passive: every duct takes power,
// and what the source gives is lost in coils, suspensions and ducts or radiated. Both to
// 1e-9 of what passes: of the current that the source gives, and of its power with that
// which the ducts hand on.
func TestDuctsAreReciprocalAndPassive(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		build := drawDucted(t)
		w := 2 * math.Pi * math.Exp(rapid.Float64Range(math.Log(6), math.Log(700)).Draw(t, "log f"))
		one, two := build(true), build(false)
		s, r := one.solver(t, w), two.solver(t, w)
		if a, b := s.Flow(one.coils[1]), r.Flow(two.coils[0]); !(cmplx.Abs(a-b) <= 1e-9*cmplx.Abs(s.Flow(one.coils[0]))) {
			t.Fatalf("transfer admittance %v one way, %v the other", a, b)
		}
		given := real(cmplx.Conj(s.Flow(one.coils[0])))
		lost, passed := 0.0, given
		for _, id := range one.resistances {
			e := one.net.Element(id)
			if e.Kind == KindString {
				lost += e.Value.G * sqAbs(s.Flow(id))
			} else {
				lost += e.Value.G * sqAbs(s.Potential(e.A))
			}
		}
		for _, id := range one.ducts {
			e := one.net.Element(id)
			in := real(s.Potential(e.A) * cmplx.Conj(s.Flow(id)))
			out := real(s.Potential(e.B) * cmplx.Conj(s.FlowOut(id)))
			through := cmplx.Abs(s.Potential(e.A)*s.Flow(id)) + cmplx.Abs(s.Potential(e.B)*s.FlowOut(id))
			if !(in-out >= -1e-9*through) {
				t.Fatalf("%s gives %g W, of %g W that go through it", e.Name, out-in, through)
			}
			lost += in - out
			passed += through
		}
		radiated := 0.0
		for _, id := range one.mouths {
			radiated += real(s.Potential(one.net.Element(id).A) * cmplx.Conj(s.Flow(id)))
		}
		// What leaves the mouths is the form of their loads and of what they do to each
		// other; together never less than nothing.
		form := 0.0
		for _, id := range one.mouths {
			form += real(one.net.Element(id).Law.At(w)) * sqAbs(s.Flow(id))
		}
		for _, id := range one.mutual {
			e := one.net.Element(id)
			form += 2 * real(e.Law.At(w)) * real(s.Flow(e.Pair[0])*cmplx.Conj(s.Flow(e.Pair[1])))
		}
		if !(math.Abs(given-lost-radiated) <= 1e-9*passed) || !(math.Abs(form-radiated) <= 1e-9*passed) || !(radiated >= -1e-9*passed) {
			t.Fatalf("given %.12g W, lost %.12g W, radiated %.12g W, by the loads %.12g W, of %g W in all", given, lost, radiated, form, passed)
		}
	})
}

// Two mouths as a pair of admittances and as two impedances with a coupling are the
// same; without the coupling they are not.
func TestCouplingEqualsPair(t *testing.T) {
	const f = 120.0
	load := func(area float64) *radiation.Load {
		l, err := radiation.New(radiation.Opening{Area: area}, air.C, air.Rho)
		if err != nil {
			t.Fatal(err)
		}
		return l
	}
	first, second := load(0.03), load(0.08)
	between := radiation.NewMutual(first.Radius(), second.Radius(), 0.35, air.C, air.Rho)
	solve := func(how string) complex128 {
		n := New()
		src := n.AddSource("source")
		cone := n.AddNode(Mechanical, "cone")
		front, rear := n.AddNode(Acoustic, "front"), n.AddNode(Acoustic, "rear")
		n.AddAdmittance("suspension", cone, Frame, Triple{G: 1, C: 0.02, L: 1000}, nil)
		m := n.AddMotor(MotorData{Name: "motor", Mech: cone, Bl: 8})
		coil := n.AddString("coil", src, Earth, Triple{G: 6}, Turn{m, 1})
		n.AddPiston("face", cone, 0.02, front, rear)
		if how == "pair" {
			n.AddTwoPort("mouths", front, rear, &radiation.Pair{One: first, Two: second, Between: between})
		} else {
			a := n.AddImpedance("mouth one", front, Outside, Triple{}, first)
			b := n.AddImpedance("mouth two", rear, Outside, Triple{}, second)
			if how == "coupled" {
				n.AddCoupling("between", a, b, between)
			}
		}
		p, err := n.Compile()
		if err != nil {
			t.Fatal(err)
		}
		var infinite *InfiniteError
		if _, err := p.NewStepper(1e-4, nil, nil); !errors.As(err, &infinite) {
			t.Errorf("%s, in time: %v", how, err)
		}
		s := p.NewSolver()
		if err := s.Solve(2 * math.Pi * f); err != nil {
			t.Fatal(err)
		}
		for i, e := range n.Elements() {
			if e.Kind == KindCoupling && s.Flow(ElementID(i)) != 0 {
				t.Error("a coupling has a flow of its own")
			}
		}
		return s.Flow(coil)
	}
	pair, coupled, apart := solve("pair"), solve("coupled"), solve("apart")
	if !near(coupled, pair, 1e-12) {
		t.Errorf("coupled %v, as a pair %v: more than rounding apart", coupled, pair)
	}
	if near(apart, pair, 1e-6) {
		t.Errorf("the coupling changes nothing: %v", pair)
	}
	for name, build := range map[string]func(n *Network, a, b ElementID){
		"itself":       func(n *Network, a, _ ElementID) { n.AddCoupling("x", a, a, between) },
		"no such part": func(n *Network, a, _ ElementID) { n.AddCoupling("x", a, 99, between) },
		"admittance": func(n *Network, a, _ ElementID) {
			n.AddCoupling("x", a, n.AddAdmittance("y", Outside, n.AddNode(Acoustic, "z"), one, nil), between)
		},
		"two domains": func(n *Network, a, _ ElementID) {
			n.AddCoupling("x", a, n.AddImpedance("y", n.Source(), Earth, one, nil), between)
		},
	} {
		n := New()
		n.AddSource("source")
		at := n.AddNode(Acoustic, "at")
		a := n.AddImpedance("a", at, Outside, one, nil)
		build(n, a, a)
		if _, err := n.Compile(); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

// A coupling by a law that a circuit has is not followed in time either, rather than
// followed wrongly.
func TestCouplingIsNotFollowedInTime(t *testing.T) {
	n := New()
	src := n.AddSource("source")
	a := n.AddImpedance("a", src, Earth, Triple{G: 1}, nil)
	b := n.AddImpedance("b", src, Earth, Triple{G: 2}, nil)
	n.AddCoupling("between", a, b, ParallelRL{L: 1, R: 1})
	p, err := n.Compile()
	if err != nil {
		t.Fatal(err)
	}
	var infinite *InfiniteError
	if _, err := p.NewStepper(1e-4, nil, nil); !errors.As(err, &infinite) {
		t.Errorf("in time: %v", err)
	}
}

// counted counts how often a duct is asked.
type counted struct {
	TwoPortLaw
	n *int
}

func (c counted) At(w float64) (y11, y12, y22 complex128) { *c.n++; return c.TwoPortLaw.At(w) }

// A duct is asked once a frequency, however often its flows are read, and nothing is
// allocated. An injector, whose equations are made elsewhere, reads the same flows.
func TestDuctsAreAskedOnce(t *testing.T) {
	n := New()
	src := n.AddSource("source")
	cone, in, out := n.AddNode(Mechanical, "cone"), n.AddNode(Acoustic, "in"), n.AddNode(Acoustic, "out")
	n.AddAdmittance("suspension", cone, Frame, Triple{G: 1, C: 0.02, L: 1000}, nil)
	m := n.AddMotor(MotorData{Name: "motor", Mech: cone, Bl: 8})
	n.AddString("coil", src, Earth, Triple{G: 6}, Turn{m, 1})
	n.AddPiston("face", cone, 0.02, Outside, in)
	s, err := duct.Cone(1.4, 0.01, 0.03)
	if err != nil {
		t.Fatal(err)
	}
	law, err := duct.New(s, duct.Making{Gas: duct.GasOf(air), Walls: true, Fills: []duct.Filling{{From: 0.2, To: 0.6, Fill: duct.Fill{Resistivity: 900}}}})
	if err != nil {
		t.Fatal(err)
	}
	asked := 0
	id := n.AddTwoPort("duct", in, out, counted{law, &asked})
	load, err := radiation.New(radiation.Opening{End: radiation.Flanged, Area: 0.03}, air.C, air.Rho)
	if err != nil {
		t.Fatal(err)
	}
	n.AddImpedance("mouth", out, Outside, Triple{}, load)
	p, err := n.Compile()
	if err != nil {
		t.Fatal(err)
	}
	sv := p.NewSolver()
	before := asked
	if err := sv.Solve(200); err != nil {
		t.Fatal(err)
	}
	a, b := sv.Flow(id), sv.FlowOut(id)
	if asked != before+1 {
		t.Errorf("asked %d times", asked-before)
	}
	y11, y12, y22 := law.At(200)
	if want := y11*sv.Potential(in) + y12*sv.Potential(out); !near(a, want, 1e-14) {
		t.Errorf("flow %v, want %v", a, want)
	}
	if want := -(y12*sv.Potential(in) + y22*sv.Potential(out)); !near(b, want, 1e-14) {
		t.Errorf("flow out %v, want %v", b, want)
	}
	j := p.NewInjector(nil)
	if err := j.Factor(200); err != nil {
		t.Fatal(err)
	}
	j.Source()
	if !near(j.Flow(id), a, 1e-10) || !near(j.FlowOut(id), b, 1e-10) {
		t.Errorf("the injector reads %v and %v, the solver %v and %v", j.Flow(id), j.FlowOut(id), a, b)
	}
	w := 100.0
	if allocs := testing.AllocsPerRun(100, func() {
		w += 3
		if err := sv.Solve(w); err != nil {
			t.Fatal(err)
		}
		sink = sv.Flow(id) + sv.FlowOut(id)
	}); allocs != 0 {
		t.Errorf("%g allocations a frequency", allocs)
	}
}
