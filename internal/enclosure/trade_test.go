package enclosure

import (
	"math"
	"math/cmplx"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/driver"
	"basswright/internal/note"
	"basswright/internal/phys"
)

// Facts of the trade as properties over random drivers: common practice, no
// source. All hold exactly with rigid coupling, so the tolerance is rounding:
// 1e-9 relative, of the far-field pressure and of the cone's speed.
const exact = 1e-9

func randomDriver(t *rapid.T, name string) *driver.Driver {
	logf := func(lo, hi float64, what string) float64 {
		return math.Exp(rapid.Float64Range(math.Log(lo), math.Log(hi)).Draw(t, name+" "+what))
	}
	d := &driver.Driver{
		Name: name, Re: logf(1.5, 12, "re"), Bl: logf(5, 30, "bl"), Mms: logf(0.015, 0.4, "mms"),
		Cms: logf(5e-5, 1.5e-3, "cms"), Rms: logf(0.5, 12, "rms"), Sd: logf(8e-3, 0.15, "sd"),
		Coils: driver.Coils{Count: 1},
	}
	switch rapid.IntRange(0, 3).Draw(t, name+" coil") {
	case 1:
		d.Coil = driver.VoiceCoil{Le: logf(1e-4, 4e-3, "le")}
	case 2:
		d.Coil = driver.VoiceCoil{Model: driver.CoilLR2, Le: logf(1e-4, 2e-3, "le"), L2: logf(1e-4, 4e-3, "l2"), R2: logf(0.5, 20, "r2")}
	case 3:
		d.Coil = driver.VoiceCoil{Model: driver.CoilPowerLaw, K: logf(1e-3, 0.1, "k"), N: rapid.Float64Range(0.4, 0.9).Draw(t, "n")}
	}
	return d
}

func mount(t testing.TB, d *driver.Driver, sideBySide, stack, inSeries int) *driver.Group {
	t.Helper()
	arrangement := driver.Single
	if stack > 1 {
		arrangement = driver.Tandem
	}
	g, _, err := driver.NewGroup(driver.GroupSpec{
		Driver: d, SideBySide: sideBySide, Stack: stack, Arrangement: arrangement,
		Wiring: driver.Wiring{Way: driver.WiringStrings, N: inSeries},
	})
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// randomBox draws an enclosure of any kind; scaled(k) is the same with k times
// the volume and all tunings kept.
func randomBox(t *rapid.T) func(k float64) Spec {
	v := math.Exp(rapid.Float64Range(math.Log(5e-3), math.Log(0.3)).Draw(t, "volume"))
	v2 := math.Exp(rapid.Float64Range(math.Log(5e-3), math.Log(0.3)).Draw(t, "front volume"))
	fb := rapid.Float64Range(18, 60).Draw(t, "tuning")
	fb2 := rapid.Float64Range(40, 110).Draw(t, "front tuning")
	kind := Kind(rapid.IntRange(int(Sealed), int(BandpassSeries)).Draw(t, "kind"))
	lossy := rapid.Bool().Draw(t, "lossy")
	r := Radiator{Sd: 0.03, Mms: 0.08, Cms: 6e-4, Rms: 2.5, Count: 2}
	return func(k float64) Spec {
		l := Losses{Leakage: Loss{State: LossNone}, Absorption: Loss{State: LossNone}, Port: Loss{State: LossNone}}
		if lossy {
			l = Losses{Leakage: Loss{LossGiven, 8}, Absorption: Loss{LossGiven, 40}, Port: Loss{LossGiven, 25}}
		}
		s := Spec{Kind: kind, Rear: Chamber{Volume: k * v, Losses: l}, Front: Chamber{Volume: k * v2, Tuning: fb2, Losses: l}}
		if kind == Vented || kind >= BandpassParallel {
			s.Rear.Tuning = fb
		}
		if kind == PassiveRadiator {
			// the same radiator surface per volume: k times the area moves k times the air
			s.Radiator = Radiator{Sd: r.Sd * k, Mms: r.Mms * k, Cms: r.Cms / k, Rms: r.Rms * k, Count: r.Count}
		}
		return s
	}
}

// answers are the pressure, the first cone's velocity and the current at a few
// frequencies.
func answers(t testing.TB, g *driver.Group, s Spec, unreduced bool) (p, v, i []complex128) {
	t.Helper()
	air, err := phys.AirOf(343.2, 1.2041)
	if err != nil {
		t.Fatal(err)
	}
	sys, _, err := Build(g, s, Setting{Air: air, Space: 2 * math.Pi, Distance: 1, Unreduced: unreduced})
	if err != nil {
		t.Fatal(err)
	}
	sol := sys.Program.NewSolver()
	for f := 10.0; f < 600; f *= 1.37 {
		if err := sol.Solve(2 * math.Pi * f); err != nil {
			t.Fatal(err)
		}
		p = append(p, sys.Pressure(sol))
		v = append(v, sol.Potential(sys.Cones[0].Node))
		i = append(i, sys.Current(sol))
	}
	return p, v, i
}

func agree(t *rapid.T, what string, a, b []complex128, factor, tolerance float64) {
	t.Helper()
	size := 0.0
	for k := range b {
		size = max(size, cmplx.Abs(b[k]))
	}
	for k := range a {
		want := complex(factor, 0) * b[k]
		// relative to the value itself, or in a notch to 1e-6 of the largest
		if d := cmplx.Abs(a[k] - want); d > tolerance*max(cmplx.Abs(want), 1e-6*factor*size) {
			t.Fatalf("%s, point %d: %v, want %v (off by %.3g)", what, k, a[k], want, d/cmplx.Abs(want))
		}
	}
}

// check runs a property with a random driver and box.
func trade(t *testing.T, property func(t *rapid.T, tb testing.TB, d *driver.Driver, box func(float64) Spec)) {
	t.Helper()
	rapid.Check(t, func(rt *rapid.T) { property(rt, t, randomDriver(rt, "woofer"), randomBox(rt)) })
}

// n side by side wired in series in n times the volume equal one driver at the
// same voltage.
func TestSideBySideInSeriesEqualsOne(t *testing.T) {
	trade(t, func(t *rapid.T, tb testing.TB, d *driver.Driver, box func(float64) Spec) {
		n := rapid.IntRange(2, 4).Draw(t, "n")
		p1, _, i1 := answers(tb, mount(tb, d, 1, 1, 1), box(1), false)
		pn, _, in := answers(tb, mount(tb, d, n, 1, n), box(float64(n)), false)
		agree(t, "pressure", pn, p1, 1, exact)
		agree(t, "current", in, i1, 1/float64(n), exact)
	})
}

// A stack of n wired in parallel in 1/n of the volume equals one driver at the
// same voltage, closed or tuned, with and without losses given as Q; it takes
// n times the current.
func TestStackInParallelEqualsOne(t *testing.T) {
	trade(t, func(t *rapid.T, tb testing.TB, d *driver.Driver, box func(float64) Spec) {
		n := rapid.IntRange(2, 4).Draw(t, "n")
		p1, _, i1 := answers(tb, mount(tb, d, 1, 1, 1), box(1), false)
		pn, _, in := answers(tb, mount(tb, d, 1, n, 1), stackBox(box, n), false)
		agree(t, "pressure", pn, p1, 1, exact)
		agree(t, "current", in, i1, float64(n), exact)
	})
}

// stackBox is the box in 1/n of the volume in which a stack of n does what one
// driver does in the whole: the air moved stays the same, so a radiator keeps
// its area and gets n times as heavy, stiff and lossy.
func stackBox(box func(float64) Spec, n int) Spec {
	k := float64(n)
	s := box(1 / k)
	if s.Kind == PassiveRadiator {
		r := box(1).Radiator
		s.Radiator = Radiator{Sd: r.Sd, Mms: r.Mms * k, Cms: r.Cms / k, Rms: r.Rms * k, Count: r.Count}
	}
	return s
}

// Two stacks of two with two coils in series in the same volume equal one.
func TestTwoByTwoEqualsOne(t *testing.T) {
	trade(t, func(t *rapid.T, tb testing.TB, d *driver.Driver, box func(float64) Spec) {
		p1, v1, i1 := answers(tb, mount(tb, d, 1, 1, 1), box(1), false)
		s := box(1)
		if s.Kind == PassiveRadiator { // the sum of both changes above: twice the air moved, twice the mass on it
			r := s.Radiator
			s.Radiator = Radiator{Sd: 2 * r.Sd, Mms: 4 * r.Mms, Cms: r.Cms / 4, Rms: 4 * r.Rms, Count: r.Count}
		}
		p4, v4, i4 := answers(tb, mount(tb, d, 2, 2, 2), s, false)
		// twice the area at half the speed: one string of two shares the voltage
		agree(t, "pressure", p4, p1, 1, exact)
		agree(t, "cone speed", v4, v1, 0.5, exact)
		agree(t, "current", i4, i1, 1, exact)
	})
}

// One position stands for all where they are alike: the reduced network gives
// what the full one gives, for any wiring.
func TestSymmetryReduction(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d, box := randomDriver(rt, "woofer"), randomBox(rt)
		m, n := rapid.IntRange(1, 3).Draw(rt, "side by side"), rapid.IntRange(1, 3).Draw(rt, "stack")
		var ways []int
		for s := 1; s <= m*n; s++ {
			if m*n%s == 0 {
				ways = append(ways, s)
			}
		}
		g := mount(t, d, m, n, rapid.SampledFrom(ways).Draw(rt, "in series"))
		if n > 1 && rapid.Bool().Draw(rt, "real coupling air") {
			for range n - 1 {
				g.Coupling = append(g.Coupling, driver.Coupling{Volume: 3 * d.Sd * 0.05, Length: 0.1})
			}
		}
		p, v, i := answers(t, g, box(1), false)
		pf, vf, iF := answers(t, g, box(1), true)
		agree(rt, "pressure", p, pf, 1, 1e-7) // the full network is larger, and so is its rounding
		agree(rt, "cone speed", v, vf, 1, 1e-7)
		agree(rt, "current", i, iF, 1, 1e-7)
	})
}

// The composite is the group's network with rigid coupling.
func TestCompositeEqualsNetwork(t *testing.T) {
	trade(t, func(t *rapid.T, tb testing.TB, d *driver.Driver, box func(float64) Spec) {
		m, n := rapid.IntRange(1, 3).Draw(t, "side by side"), rapid.IntRange(1, 3).Draw(t, "stack")
		g := mount(tb, d, m, n, rapid.SampledFrom([]int{1, m * n}).Draw(t, "in series"))
		c, err := g.Composite()
		if err != nil {
			t.Fatal(err)
		}
		p, v, i := answers(tb, g, box(1), false)
		pc, vc, ic := answers(tb, mount(tb, c.Driver("composite"), 1, 1, 1), box(1), false)
		agree(t, "pressure", p, pc, 1, exact)
		agree(t, "cone speed", v, vc, 1, exact)
		agree(t, "current", i, ic, 1, exact)
	})
}

// On an infinite baffle at 1 W into the group's Re a side-by-side pair gains
// 3.0103 dB and a stack of two loses it, above all resonances and below the
// coil's inductance.
func TestPairGainsWhatAStackLoses(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := randomDriver(rt, "woofer")
		d.Coil = driver.VoiceCoil{}
		at1W := func(g *driver.Group) []float64 {
			p, _, _ := answers(t, g, Spec{Kind: InfiniteBaffle}, false)
			var out []float64
			for _, x := range p {
				out = append(out, 20*math.Log10(cmplx.Abs(x)*math.Sqrt(g.Re())))
			}
			return out
		}
		one, pair, stack := at1W(mount(t, d, 1, 1, 1)), at1W(mount(t, d, 2, 1, 1)), at1W(mount(t, d, 1, 2, 1))
		for k := range one {
			if math.Abs(pair[k]-one[k]-10*math.Log10(2)) > 1e-8 || math.Abs(stack[k]-one[k]+10*math.Log10(2)) > 1e-8 {
				rt.Fatalf("point %d: pair %+.6f dB, stack %+.6f dB", k, pair[k]-one[k], stack[k]-one[k])
			}
		}
	})
}

// A reversed driver in a stack leaves no resonance hump: the cones hold each
// other, so the impedance stays near the coils' own.
func TestWrongPolarityHasNoHump(t *testing.T) {
	d := &driver.Driver{Name: "merlin-10", Re: 3.3, Bl: 11.6, Mms: 0.1045, Cms: 2.61e-4, Rms: 4.1, Sd: 0.0345, Coils: driver.Coils{Count: 1}}
	hump := func(polarity []int) float64 {
		g, found, err := driver.NewGroup(driver.GroupSpec{Driver: d, SideBySide: 1, Stack: 2, Arrangement: driver.Clamshell, Polarity: polarity})
		if err != nil {
			t.Fatal(err)
		}
		if wrong := len(polarity) > 0; wrong != warned(found) {
			t.Errorf("polarity %v: findings %v", polarity, found)
		}
		_, _, i := answers(t, g, Spec{Kind: Sealed, Rear: Chamber{Volume: 0.016}}, false)
		most := 0.0
		for _, x := range i {
			most = max(most, 1/cmplx.Abs(x))
		}
		return most / g.Re()
	}
	if right := hump(nil); right < 3 {
		t.Errorf("with the right polarity the impedance rises to %.2f times Re only", right)
	}
	if wrong := hump([]int{1, 1}); wrong > 1.001 {
		t.Errorf("with the wrong polarity the impedance still rises to %.3f times Re", wrong)
	}
}

func warned(found []note.Finding) bool {
	for _, f := range found {
		if f.Severity == note.Warning {
			return true
		}
	}
	return false
}
