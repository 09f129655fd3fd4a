package network

import (
	"math"
	"testing"
)

// ventedBox is one driver in a vented box with leakage: the network whose
// solving time docs/performance.md reports.
func ventedBox() (*Network, ElementID) {
	n := New()
	src := n.AddSource("source")
	cone := n.AddNode(Mechanical, "cone")
	box := n.AddNode(Acoustic, "box")
	n.AddAdmittance("suspension", cone, Frame, Triple{G: 1.9, C: 0.0385, L: 1 / 0.00078}, nil)
	m := n.AddMotor(MotorData{Name: "motor", Mech: cone, Bl: 10.2, Value: Triple{C: 0.0009}})
	n.AddString("coil", src, Earth, Triple{G: 5.6}, Turn{m, 1})
	n.AddPiston("cone face", cone, 0.022, Outside, box)
	c := 0.04 / (1.2041 * 343.2 * 343.2)
	wb := 2 * math.Pi * 30
	n.AddAdmittance("air", box, Outside, Triple{G: wb * c / 7, C: c}, nil)
	port := n.AddImpedance("port", box, Outside, Triple{C: 1 / (wb * wb * c)}, nil)
	return n, port
}

// closedForm is the same box written out by hand: the yardstick of speed, and a check.
func closedForm(w float64) (i, v, p, u complex128) {
	c := 0.04 / (1.2041 * 343.2 * 343.2)
	wb := 2 * math.Pi * 30
	jw := complex(0, w)
	ze := complex(5.6, w*0.0009)
	yb := complex(wb*c/7, w*c) + recip(complex(0, w/(wb*wb*c)))
	za := recip(yb)
	zm := complex(1.9, w*0.0385-1/(w*0.00078)) + 0.022*0.022*za
	v = 10.2 * recip(ze*zm+10.2*10.2)
	i = zm * v * (1 / 10.2)
	p = -0.022 * v * za
	u = p * recip(jw*complex(1/(wb*wb*c), 0))
	return i, v, p, u
}

func TestVentedBoxEqualsClosedForm(t *testing.T) {
	n, port := ventedBox()
	p, err := n.Compile()
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("unknowns %d, operations %d", p.Unknowns(), p.Operations())
	s := p.NewSolver()
	for f := 1.0; f < 2000; f *= 1.3 {
		w := 2 * math.Pi * f
		if err := s.Solve(w); err != nil {
			t.Fatal(err)
		}
		i, v, pb, u := closedForm(w)
		for name, pair := range map[string][2]complex128{
			"current":  {s.Flow(1), i},
			"velocity": {s.Potential(n.source + 1), v},
			"pressure": {s.Potential(n.source + 2), pb},
			"port":     {s.Flow(port), u},
		} {
			if !near(pair[0], pair[1], 1e-14) { // rounding: 6e-16 measured
				t.Errorf("%s at %.3g Hz: %v, closed form %v", name, f, pair[0], pair[1])
			}
		}
	}
	if s.Pivoted != 0 {
		t.Errorf("the pivoted solve took over %d times in a sound network", s.Pivoted)
	}
}

func near(a, b complex128, rel float64) bool {
	d := a - b
	return math.Hypot(real(d), imag(d)) <= rel*math.Hypot(real(b), imag(b))
}

var sink complex128

func BenchmarkVentedBox(b *testing.B) {
	n, port := ventedBox()
	p, err := n.Compile()
	if err != nil {
		b.Fatal(err)
	}
	s := p.NewSolver()
	b.ReportAllocs()
	k := 0
	for b.Loop() {
		k++
		if err := s.Solve(2 * math.Pi * (20 + float64(k%400))); err != nil {
			b.Fatal(err)
		}
		sink = s.Flow(port)
	}
}

func BenchmarkVentedBoxByHand(b *testing.B) {
	k := 0
	for b.Loop() {
		k++
		i, v, p, u := closedForm(2 * math.Pi * (20 + float64(k%400)))
		sink = i + v + p + u
	}
}
