package network

import (
	"math"
	"math/cmplx"
	"testing"

	"pgregory.net/rapid"
)

// alike allows for the rounding of two solves of the same equations.
func alike(a, b complex128, size float64) bool { return cmplx.Abs(a-b) <= 1e-8*size }

// nearHalfWaves is by how much more the answers of a random network round at w
// for its duct: without loss, one of a whole number of half waves has no
// admittance, and near there the sums of its large terms keep fewer digits.
func nearHalfWaves(w float64) float64 {
	return 1 / math.Abs(math.Sin(w/343.2*randomDuct.length))
}

// An injector's source is the solver's.
func TestInjectorSolvesForTheSource(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := randomNetwork(t)
		p, err := n.Compile()
		if err != nil {
			t.Skip("not a network that can be solved")
		}
		w := 2 * math.Pi * rapid.Float64Range(5, 500).Draw(t, "f")
		s, in := p.NewSolver(), p.NewInjector(nil)
		if s.Solve(w) != nil || in.Factor(w) != nil {
			t.Skip("singular here")
		}
		in.Source()
		grow := nearHalfWaves(w)
		most := map[Domain]float64{} // what is small beside it is rounding
		for i, e := range n.elements {
			d := n.nodes[e.A].domain
			most[d] = max(most[d], cmplx.Abs(s.Flow(ElementID(i))))
			for _, turn := range e.Turns { // forces that cancel leave their rounding
				force := n.motors[turn.Motor].Bl * math.Abs(float64(turn.N)) * cmplx.Abs(s.Flow(ElementID(i)))
				most[Mechanical] = max(most[Mechanical], force)
			}
		}
		for i, e := range n.elements {
			a, b := s.Flow(ElementID(i)), in.Flow(ElementID(i))
			if !alike(a, b, grow*(cmplx.Abs(a)+1e-3*most[n.nodes[e.A].domain]+1e-6)) {
				t.Fatalf("%s: %v, injected %v", n.elements[i].Name, a, b)
			}
		}
	})
}

// Superposition gives what a shunt does: with z the potential that a flow of 1
// into its node raises there, a conductance G changes the source's potential p
// into p/(1 + G·z). And what is put in at one node and read at another is the
// same the other way round.
func TestInjectionsAgreeWithShuntsAndEachOther(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := randomNetwork(t)
		p, err := n.Compile()
		if err != nil {
			t.Skip("not a network that can be solved")
		}
		var nodes []Node
		for i := range n.nodes {
			if Node(i) >= firstFree && Node(i) != n.source && n.nodes[i].domain == Acoustic {
				nodes = append(nodes, Node(i))
			}
		}
		a := nodes[rapid.IntRange(0, len(nodes)-1).Draw(t, "a")]
		b := nodes[rapid.IntRange(0, len(nodes)-1).Draw(t, "b")]
		w := 2 * math.Pi * rapid.Float64Range(5, 500).Draw(t, "f")
		in := p.NewInjector([]Injection{{Node: a}, {Node: b}})
		if in.Factor(w) != nil {
			t.Skip("singular here")
		}
		in.Source()
		free := in.Potential(a)
		in.Inject(0)
		z, ab := in.Potential(a), in.Potential(b)
		grow := nearHalfWaves(w)
		if in.Potential(n.source) != 0 {
			t.Fatal("the source is not silent")
		}
		in.Inject(1)
		if ba := in.Potential(a); !alike(ab, ba, grow*(cmplx.Abs(ab)+1e-3*cmplx.Abs(z))) {
			t.Fatalf("from %d to %d %v, back %v", a, b, ab, ba)
		}
		g := 1 / cmplx.Abs(z)
		if in.Factor(w, Shunt{Node: a, G: g}) != nil {
			t.Skip("singular here")
		}
		in.Source()
		if got, want := in.Potential(a), free/(1+complex(g, 0)*z); !alike(got, want, grow*(cmplx.Abs(want)+cmplx.Abs(free)+1e-3)) {
			t.Fatalf("with a shunt %v, by superposition %v", got, want)
		}
	})
}

// In a network whose only string runs once through a motor, a voltage in the
// coil acts as one at the terminals of the opposite sign.
func TestVoltageInTheCoil(t *testing.T) {
	n := New()
	src := n.AddSource("source")
	cone := n.AddNode(Mechanical, "cone")
	n.AddAdmittance("suspension", cone, Frame, Triple{G: 1.9, C: 0.0385, L: 1282}, nil)
	m := n.AddMotor(MotorData{Name: "motor", Mech: cone, Bl: 10.2, Value: Triple{C: 0.9e-3}})
	n.AddString("coil", src, Earth, Triple{G: 5.6}, Turn{m, -2})
	p, err := n.Compile()
	if err != nil {
		t.Fatal(err)
	}
	in := p.NewInjector([]Injection{{Motor: m}})
	if err := in.Factor(200); err != nil {
		t.Fatal(err)
	}
	in.Source()
	v, i := in.Potential(cone), in.Linkage(m)
	in.Inject(0)
	if got := in.Potential(cone); !alike(got, 2*v, cmplx.Abs(v)) {
		t.Errorf("the cone moves with %v, by the terminals with %v", got, 2*v)
	}
	if got := in.Linkage(m); !alike(got, 2*i, cmplx.Abs(i)) {
		t.Errorf("the linkage is %v, by the terminals %v", got, 2*i)
	}
}
