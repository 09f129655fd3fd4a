package enclosure

import (
	"errors"
	"math"
	"math/cmplx"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/driver"
	"basswright/internal/network"
	"basswright/internal/phys"
)

// randomGroup draws a group of one kind of driver: positions, depth, wiring,
// coupling air and polarity, right or wrong.
func randomGroup(rt *rapid.T, d *driver.Driver) *driver.Group {
	m, n := rapid.IntRange(1, 3).Draw(rt, "side by side"), rapid.IntRange(1, 3).Draw(rt, "stack")
	var ways []int
	for s := 1; s <= m*n; s++ {
		if m*n%s == 0 {
			ways = append(ways, s)
		}
	}
	spec := driver.GroupSpec{
		Driver: d, SideBySide: m, Stack: n, Arrangement: driver.Single,
		Wiring: driver.Wiring{Way: driver.WiringStrings, N: rapid.SampledFrom(ways).Draw(rt, "in series")},
	}
	if n > 1 {
		spec.Arrangement = driver.Tandem
		if rapid.Bool().Draw(rt, "real coupling air") {
			spec.Coupling = []driver.Coupling{{Volume: 3 * d.Sd * 0.05, Length: 0.1}}
			for len(spec.Coupling) < n-1 {
				spec.Coupling = append(spec.Coupling, spec.Coupling[0])
			}
		}
	}
	if rapid.Bool().Draw(rt, "wired at random") {
		for range m * n {
			spec.Polarity = append(spec.Polarity, rapid.SampledFrom([]int{1, -1}).Draw(rt, "polarity"))
		}
	}
	g, _, err := driver.NewGroup(spec)
	if err != nil {
		rt.Fatal(err)
	}
	return g
}

// buildAny builds with the setting's radiation, or the classical one where a
// cone is lighter than the air load that full radiation takes out of it.
func buildAny(rt *rapid.T, g *driver.Group, spec Spec, set Setting) *System {
	sys, _, err := Build(g, spec, set)
	var e *Error
	if set.FullRadiation && errors.As(err, &e) && e.Key == "group" {
		set.FullRadiation = false
		sys, _, err = Build(g, spec, set)
	}
	if err != nil {
		rt.Fatal(err)
	}
	return sys
}

// answer is all that can be read of a system at one frequency.
type answer struct {
	pressure, impedance complex128
	excursions, coils   []float64
}

func readAll(rt *rapid.T, sys *System, frequencies []float64) []answer {
	s := sys.Program.NewSolver()
	var out []answer
	for _, f := range frequencies {
		if err := s.Solve(2 * math.Pi * f); err != nil {
			rt.Fatal(err)
		}
		a := answer{pressure: sys.Pressure(s), impedance: sys.Impedance(s)}
		for k := range sys.Cones {
			a.excursions = append(a.excursions, sys.Excursion(s, &sys.Cones[k]))
		}
		for k := range sys.Coils {
			a.coils = append(a.coils, sys.CoilPower(s, &sys.Coils[k]))
		}
		out = append(out, a)
	}
	return out
}

var fewFrequencies = []float64{3, 11, 23, 37, 52, 81, 140, 330, 900}

// No group in any box gives power: the resistance at its terminals is never
// below that of its coils alone (Σ|i|²·R of strings in parallel is least where
// they share the current evenly), and each coil's heat is part of what is
// drawn. True for any wiring and polarity, with and without exact radiation.
func TestNothingGivesPower(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d, box := randomDriver(rt, "woofer"), boxOrDuct(rt)
		g := randomGroup(rt, d)
		set := Setting{Air: referenceAir(t), Source: 0.1, Space: 2 * math.Pi, Distance: 1, FullRadiation: rapid.Bool().Draw(rt, "full radiation")}
		sys := buildAny(rt, g, box(1), set)
		s := sys.Program.NewSolver()
		for _, f := range fewFrequencies {
			if err := s.Solve(2 * math.Pi * f); err != nil {
				rt.Fatal(err)
			}
			z := sys.Impedance(s)
			if r := real(z); !(r >= g.Re()*(1-1e-9)) {
				rt.Fatalf("at %g Hz the impedance is %v with coils of %g Ω", f, z, g.Re())
			}
			i := sys.Current(s)
			drawn, heat := real(z)*real(i*cmplx.Conj(i)), 0.0
			for k := range sys.Coils {
				heat += sys.CoilPower(s, &sys.Coils[k])
			}
			if heat > drawn*(1+1e-9) {
				rt.Fatalf("at %g Hz the coils heat with %g W of %g W drawn", f, heat, drawn)
			}
		}
	})
}

// The network with every position's own elements gives what the reduced one
// gives, for wrong polarities, a source, exact radiation and any wiring too:
// pressure, impedance, every cone and every coil. The full network is larger,
// and so is its rounding: 1e-7 of the value, and where all but cancels (a notch,
// cones that hold each other) of a millionth of what one driver alone does.
func TestUnreducedAnswersAlike(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d, box := randomDriver(rt, "woofer"), boxOrDuct(rt)
		g := randomGroup(rt, d)
		set := Setting{Air: referenceAir(t), Source: 0.2, Space: 2 * math.Pi, Distance: 1, FullRadiation: rapid.Bool().Draw(rt, "full radiation")}
		var got [2][]answer
		for k := range got {
			set.Unreduced = k == 1
			got[k] = readAll(rt, buildAny(rt, g, box(1), set), fewFrequencies)
		}
		level := set.Air.Rho / (2 * math.Pi) * d.Sd * d.Bl / (d.Re * d.Mms)
		still := math.Sqrt2 * d.Bl / d.Re * d.Cms
		for k, f := range fewFrequencies {
			a, b := got[0][k], got[1][k]
			if cmplx.Abs(a.pressure-b.pressure) > 1e-7*math.Max(cmplx.Abs(a.pressure), 1e-6*level) {
				rt.Fatalf("pressure at %g Hz: %v reduced, %v in full", f, a.pressure, b.pressure)
			}
			if cmplx.Abs(a.impedance-b.impedance) > 1e-7*cmplx.Abs(b.impedance) {
				rt.Fatalf("impedance at %g Hz: %v reduced, %v in full", f, a.impedance, b.impedance)
			}
			if len(a.excursions) != g.Count() || len(b.excursions) != g.Count() {
				rt.Fatalf("%d and %d cones of %d", len(a.excursions), len(b.excursions), g.Count())
			}
			alike(rt, "excursion", f, a.excursions, b.excursions, 1e-6*still)
			alike(rt, "coil power", f, a.coils, b.coils, 1e-6/d.Re)
		}
	})
}

func alike(rt *rapid.T, what string, f float64, a, b []float64, least float64) {
	if len(a) != len(b) {
		rt.Fatalf("%s: %d reduced, %d in full", what, len(a), len(b))
	}
	for k := range a {
		if math.Abs(a[k]-b[k]) > 1e-7*math.Max(b[k], least) {
			rt.Fatalf("%s %d at %g Hz: %g reduced, %g in full", what, k+1, f, a[k], b[k])
		}
	}
}

// What the source gives is what is lost: in the coils, driven and closed, in
// what closes them, in the suspensions, in the boxes' losses and as sound. Every
// term but the coils' is force times speed, or pressure times flow, of an element.
// Rounding: 1e-9 of the whole.
func TestPowerBalance(t *testing.T) {
	for _, other := range []struct {
		how  driver.Other
		load float64
	}{{driver.OtherOpen, 0}, {driver.OtherShorted, 0}, {driver.OtherLoaded, 3}} {
		for _, n := range [][2]int{{1, 1}, {2, 1}, {2, 2}, {1, 3}} {
			for _, wired := range []driver.Wiring{{Way: driver.WiringSeries}, {Way: driver.WiringParallel}, {Way: driver.WiringStrings, N: n[1]}} {
				d := of(t, 30, 0.4, 80, 5)
				d.Coil.Le = 8e-4
				d.Coils = driver.Coils{Count: 3, Driven: 1, Other: other.how, Load: other.load}
				group := driver.GroupSpec{Driver: d, SideBySide: n[0], Stack: n[1], Wiring: wired}
				if n[1] > 1 {
					group.Coupling, group.AllGaps = []driver.Coupling{{Volume: 3e-3, Length: 0.05}}, true
				}
				g, _, err := driver.NewGroup(group)
				if err != nil {
					t.Fatal(err)
				}
				carrying := g.Count()
				if other.how != driver.OtherOpen {
					carrying *= 3
				}
				for _, unreduced := range []bool{false, true} {
					sys, _, err := Build(g, Spec{Kind: Vented, Rear: Chamber{Volume: 0.06, Tuning: 30, Losses: Losses{Absorption: lossOf(40)}}},
						Setting{Air: phys.StandardAir(), Source: 0.2, Space: 2 * math.Pi, Distance: 1, FullRadiation: true, Unreduced: unreduced})
					if err != nil {
						t.Fatal(err)
					}
					if len(sys.Coils) != carrying {
						t.Fatalf("%d coils carry a current, %d are listed", carrying, len(sys.Coils))
					}
					balance(t, sys, other.load)
				}
			}
		}
	}
}

func balance(t *testing.T, sys *System, load float64) {
	t.Helper()
	s := sys.Program.NewSolver()
	for _, f := range fewFrequencies {
		if err := s.Solve(2 * math.Pi * f); err != nil {
			t.Fatal(err)
		}
		lost := 0.0
		for id, e := range sys.Net.Elements() {
			if e.Kind == network.KindAdmittance || e.Kind == network.KindImpedance {
				lost += real((s.Potential(e.A) - s.Potential(e.B)) * cmplx.Conj(s.Flow(network.ElementID(id))))
			}
		}
		for k := range sys.Coils {
			c := &sys.Coils[k]
			lost += sys.CoilPower(s, c)
			if sys.Net.Element(c.Element).A == network.Earth { // closed outside
				lost += sys.CoilPower(s, c) / c.Re * load
			}
		}
		if drawn := real(sys.Current(s)); math.Abs(lost/drawn-1) > 1e-9 {
			t.Errorf("%d×%d, unreduced %v, load %g Ω, at %g Hz: %.12g W lost of %.12g W drawn",
				sys.Group.SideBySide(), sys.Group.Depth(), sys.Setting.Unreduced, load, f, lost, drawn)
		}
	}
}

// The slopes of all kinds far below and far above their resonances. Low: the
// cone's second order, and two more for every chamber that is open to the
// outside at dc and so takes the output back; a radiator does not, for its own
// spring closes the box again. High: flat, or falling by the two orders of the
// last mass before the outside (common knowledge of ladder networks).
func TestSlopesOfAllKinds(t *testing.T) {
	d := of(t, 30, 0.38, 80, 5)
	octave := 20 * math.Log10(2)
	tuned := func(v, f float64) Chamber { return Chamber{Volume: v, Tuning: f, Losses: none} }
	closed := Chamber{Volume: 0.06, Losses: none}
	for _, c := range []struct {
		spec      Spec
		low, high float64 // orders
	}{
		{Spec{Kind: InfiniteBaffle}, 2, 0},
		{Spec{Kind: Sealed, Rear: closed}, 2, 0},
		{Spec{Kind: Sealed, Rear: Chamber{Volume: 0.06, Losses: Losses{Leakage: lossOf(7), Absorption: lossOf(30)}}}, 3, 0}, // at dc the leak takes it back
		{Spec{Kind: Vented, Rear: tuned(0.06, 30)}, 4, 0},
		{Spec{Kind: Vented, Rear: Chamber{Volume: 0.06, Tuning: 30, Losses: Losses{Leakage: lossOf(7), Port: Loss{State: LossNone}}}}, 4, 0},
		{Spec{Kind: PassiveRadiator, Rear: tuned(0.06, 30), Radiator: Radiator{Sd: 0.04, Mms: 0.05, Cms: 6e-4, Rms: 1}}, 2, 0},
		{Spec{Kind: Bandpass, Rear: closed, Front: tuned(0.03, 60)}, 2, -2},
		{Spec{Kind: BandpassParallel, Rear: tuned(0.06, 30), Front: tuned(0.03, 60)}, 4, -2},
		{Spec{Kind: BandpassSeries, Rear: tuned(0.06, 30), Front: tuned(0.03, 60)}, 4, -2},
	} {
		box := respond(t, d, c.spec)
		// the next term of the series is of the order of f/f0 or f0/f, over Q of
		// some tenths: 1e-2 at 0.05 Hz and at 100 kHz
		if got := (box.db(0.05) - box.db(0.025)) / octave; math.Abs(got-c.low) > 0.01 {
			t.Errorf("%v rises with order %.4f from dc, want %g", c.spec.Kind, got, c.low)
		}
		if got := (box.db(2e5) - box.db(1e5)) / octave; math.Abs(got-c.high) > 0.01 {
			t.Errorf("%v goes with order %.4f far up, want %g", c.spec.Kind, got, c.high)
		}
	}
}
