package large

import (
	"math"
	"math/cmplx"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/phys"
)

// parted is a vented box behind a cable, a choke, a capacitor across and a trap.
func parted(t fataler, d *driver.Driver, parts ...enclosure.Part) *enclosure.System {
	t.Helper()
	g, _, err := driver.NewGroup(single(d))
	if err != nil {
		t.Fatal(err)
	}
	box := enclosure.Spec{Kind: enclosure.Vented, Rear: enclosure.Chamber{Volume: 0.04, Tuning: 30}}
	set := enclosure.Setting{Air: phys.StandardAir(), Space: 2 * math.Pi, Distance: 1, BareAir: true, Source: 0.1, Parts: parts}
	sys, _, err := enclosure.Build(g, box, set)
	if err != nil {
		t.Fatal(err)
	}
	return sys
}

var someParts = []enclosure.Part{
	{Name: "choke", L: 2e-3, R: 0.3}, {Name: "shunt", Across: true, C: 120e-6, R: 0.5},
	{Name: "trap", Across: true, L: 9e-3, C: 900e-6, R: 6}, {Name: "stop", Parallel: true, L: 3e-3, C: 47e-6, R: 12},
	{Name: "low cut", C: 1.5e-3, R: 0.05},
}

// At a small level a system with parts of every sort is the linear network, as
// without them: what the curves add is a millionth here.
func TestSmallSignalsThroughParts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sys := parted(t, drawDriver(t), someParts...)
		f := rapid.Float64Range(15, 150).Draw(t, "f")
		const volts = 1e-6
		s, err := New(sys, Options{}).Steady(f, volts)
		if err != nil {
			t.Fatal(err)
		}
		sol := sys.Program.NewSolver()
		if err := sol.Solve(2 * math.Pi * f); err != nil {
			t.Fatal(err)
		}
		e := phasor(volts)
		for what, v := range map[string][2]complex128{
			"the pressure": {s.Pressure().Of[0], e * sys.Pressure(sol)},
			"the current":  {s.Current().Of[0], e * sys.Current(sol)},
			"a coil":       {s.Coil(0).Of[0], e * sol.Flow(sys.Coils[0].Element)},
			"the port":     {s.Opening(0).Of[0], e * sol.Flow(sys.Openings[0].Element)},
		} {
			if cmplx.Abs(v[0]-v[1]) > 1e-6*cmplx.Abs(v[1]) {
				t.Errorf("%s is %v, the network’s %v", what, v[0], v[1])
			}
		}
	})
}

// At a level where the curves are felt, both methods agree with parts in between:
// the network's memory in time and its answers by frequency are the same.
func TestBothMethodsThroughParts(t *testing.T) {
	c, _ := readCase(t, "C_vented_single")
	m := New(parted(t, c.system(t).Motors[0].Driver, someParts...), Options{})
	volts := inReach(m, 3e-3)
	for _, f := range []float64{22, 41} {
		compareWithCourse(t, m, f, volts)
	}
}

// A choke keeps the harmonics of the current small, and so changes what the
// drivers distort: the parts are felt by the harmonics, each at its frequency. With
// nothing but a large inductance before it the coil's current is all but a sine.
func TestAChokeMakesTheCurrentASine(t *testing.T) {
	c, _ := readCase(t, "C_vented_single")
	const f = 40.0
	part := func(l float64) float64 {
		m := New(parted(t, c.system(t).Motors[0].Driver, enclosure.Part{Name: "choke", L: l}), Options{})
		s, err := m.Steady(f, inAt(t, m, f, 3e-3))
		if err != nil {
			t.Fatal(err)
		}
		i := s.Coil(0)
		return cmplx.Abs(i.Of[2]) / cmplx.Abs(i.Of[0])
	}
	plain, choked := part(1e-9), part(1)
	if !(plain > 1e-3 && choked < plain/5) {
		t.Errorf("the third line of the current is %.2g without a choke and %.2g behind one of 1 H", plain, choked)
	}
}
