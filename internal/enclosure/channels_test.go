package enclosure

import (
	"math"
	"math/cmplx"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/driver"
)

// channelled are a group on several channels and the same group wired in
// parallel on one.
func channelled(rt *rapid.T, spec driver.GroupSpec) (split, whole *driver.Group) {
	split, _, err := driver.NewGroup(spec)
	if err != nil {
		rt.Fatal(err)
	}
	spec.Split = driver.Whole
	whole, _, err = driver.NewGroup(spec)
	if err != nil {
		rt.Fatal(err)
	}
	return split, whole
}

// Channels that carry the same signal are one source: with no resistance before
// them the drivers do what they do wired in parallel, however the group is split,
// and the channels' currents add up to that of the one. The full network is solved
// in both cases.
func TestChannelsAloneAreTheParallelGroup(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d, box := randomDriver(rt, "woofer"), randomBox(rt)
		d.Coils.Count = 2
		spec := driver.GroupSpec{Driver: d, SideBySide: 2 * rapid.IntRange(1, 2).Draw(rt, "pairs"), Stack: rapid.IntRange(1, 2).Draw(rt, "stack"), Outputs: rapid.SampledFrom([]int{2, 4}).Draw(rt, "outputs")}
		if spec.Stack == 2 && rapid.Bool().Draw(rt, "coupling air") {
			spec.Coupling = []driver.Coupling{{Volume: 3e-3}}
		}
		if spec.Split = driver.ByCoil; rapid.Bool().Draw(rt, "by driver") {
			spec.Split = driver.ByDriver
			spec.Wiring = driver.Wiring{Way: driver.WiringStrings, N: rapid.SampledFrom([]int{1, 2}).Draw(rt, "in series")}
		}
		split, whole := channelled(rt, spec)
		set := randomSetting(rt, t)
		set.Source, set.Unreduced = 0, true
		a, b := buildAny(rt, split, box(1), set), buildAny(rt, whole, box(1), set)
		sameSound(rt, a, b)
		for _, f := range fewFrequencies {
			s := a.Program.NewSolver()
			if err := s.Solve(2 * math.Pi * f); err != nil {
				rt.Fatal(err)
			}
			// A channel's own resistance may be below that of its coils: the others
			// move its cones too. What all give together is no less than the heat.
			heat := 0.0
			for i := range a.Coils {
				heat += a.CoilPower(s, &a.Coils[i])
			}
			if given := a.Drawn(s); given < heat*(1-1e-9) {
				rt.Errorf("%g Hz: %g W are given and %g W become heat", f, given, heat)
			}
			for k := range a.Channels {
				if abs := cmplx.Abs(a.ChannelImpedance(s, k)); abs < cmplx.Abs(a.Impedance(s))*(1-1e-9) {
					rt.Errorf("%g Hz: channel %d drives less than the hardest", f, k+1)
				}
			}
		}
	})
}

// Each channel drives the coils that it is said to drive, and behind what lies
// before it alone: close to dc, where the cones stand all but still (2π·1e-4 Hz ·
// Cms · Bl² is 5e-5 Ω), unlike drivers show as their own Re, twin coils in series
// as both.
func TestEachChannelDrivesItsShare(t *testing.T) {
	low, high := held(3), held(8)
	low.Bl, high.Bl = 9, 11
	low.Coils.Count, high.Coils.Count = 2, 2
	for _, c := range []struct {
		split   driver.Split
		wiring  driver.Wiring
		re      []float64
		drivers [][]int
	}{
		{driver.ByDriver, driver.Wiring{}, []float64{1.5, 4}, [][]int{{0}, {1}}},
		{driver.ByDriver, driver.Wiring{Way: driver.WiringSeries}, []float64{6, 16}, [][]int{{0}, {1}}},
		{driver.ByCoil, driver.Wiring{}, []float64{24. / 11, 24. / 11}, [][]int{{0, 1}, {0, 1}}},
		{driver.ByCoil, driver.Wiring{Way: driver.WiringSeries}, []float64{11, 11}, [][]int{{0, 1}, {0, 1}}},
	} {
		g, _, err := driver.NewGroup(driver.GroupSpec{Members: [][]*driver.Driver{{low}, {high}}, Split: c.split, Outputs: 2, Wiring: c.wiring})
		if err != nil {
			t.Fatal(err)
		}
		set := Setting{Air: referenceAir(t), Space: 2 * math.Pi, Distance: 1, Source: 0.4}
		sys, _, err := Build(g, Spec{Kind: Sealed, Rear: Chamber{Volume: 0.03}}, set)
		if err != nil {
			t.Fatal(err)
		}
		s := sys.Program.NewSolver()
		if err := s.Solve(2 * math.Pi * 1e-4); err != nil {
			t.Fatal(err)
		}
		for k, re := range c.re {
			ch := sys.Channels[k]
			if z := sys.ChannelImpedance(s, k); cmplx.Abs(z-complex(re, 0)) > 3e-4 || math.Abs(ch.Re-re) > 1e-12 {
				t.Errorf("%v, %v: channel %d drives %v with coils of %g Ω, want %g Ω", c.split, c.wiring, k+1, z, ch.Re, re)
			}
			if i := 1 / (re + 0.4); math.Abs(cmplx.Abs(sys.ChannelCurrent(s, k))-i) > 1e-4*i {
				t.Errorf("%v, %v: channel %d gives %v A a volt, want %g A", c.split, c.wiring, k+1, sys.ChannelCurrent(s, k), i)
			}
			if !slices.Equal(ch.Drivers, c.drivers[k]) {
				t.Errorf("%v: channel %d drives %v", c.split, k+1, ch.Drivers)
			}
		}
	}
}

// Channels with alike shares, each behind its own resistance and parts, are one
// source behind the n-th part of these.
func TestChannelsShareTheirSource(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d, box := randomDriver(rt, "woofer"), randomBox(rt)
		d.Coils.Count = 2
		spec := driver.GroupSpec{Driver: d, SideBySide: 2, Stack: rapid.IntRange(1, 2).Draw(rt, "stack"), Split: driver.ByCoil, Outputs: 2}
		if rapid.Bool().Draw(rt, "by driver") {
			spec.Split = driver.ByDriver
		}
		split, whole := channelled(rt, spec)
		set := randomSetting(rt, t)
		set.Source, set.Unreduced, set.Parts = 0.3, true, randomParts(rt)
		shared := set
		shared.Source /= 2
		shared.Parts = nil
		for _, p := range set.Parts {
			p.R, p.L, p.C = p.R/2, p.L/2, p.C*2
			shared.Parts = append(shared.Parts, p)
		}
		sameSound(rt, buildAny(rt, split, box(1), set), buildAny(rt, whole, box(1), shared))
	})
}

// sameSound holds two systems of the same drivers against each other: to 1e-7 of
// the value and, where all but cancels, of a millionth of what one driver alone
// does, as TestUnreducedAnswersAlike does and for its reason.
func sameSound(rt *rapid.T, a, b *System) {
	d := a.Group.Positions[0][0].Driver
	level := a.Setting.PressurePerFlow(1) * d.Sd * d.Bl / (d.Re * d.Mms)
	still := math.Sqrt2 * d.Bl / d.Re * d.Cms
	s, o := a.Program.NewSolver(), b.Program.NewSolver()
	for _, f := range fewFrequencies {
		for _, sol := range []interface{ Solve(float64) error }{s, o} {
			if err := sol.Solve(2 * math.Pi * f); err != nil {
				rt.Fatal(err)
			}
		}
		same := func(what string, got, want complex128, alone float64) {
			if cmplx.Abs(got-want) > 1e-7*math.Max(cmplx.Abs(want), 1e-6*alone) {
				rt.Errorf("%g Hz: %s is %v, in parallel %v", f, what, got, want)
			}
		}
		same("the pressure", a.Pressure(s), b.Pressure(o), level)
		same("the current", a.Current(s), b.Current(o), 0)
		same("the power", complex(a.Drawn(s), 0), complex(b.Drawn(o), 0), 0)
		for i := range a.Cones {
			same(a.Cones[i].Name, complex(a.Excursion(s, &a.Cones[i]), 0), complex(b.Excursion(o, &b.Cones[i]), 0), still)
		}
		for i := range a.Coils {
			same(a.Coils[i].Name, complex(a.CoilPower(s, &a.Coils[i]), 0), complex(b.CoilPower(o, &b.Coils[i]), 0), 0)
		}
	}
}

// A box by its total Q, or by an alignment, counts the resistance of the source
// and of the parts in the wire, once for each channel: a choke of 0.4 Ω before a
// group of two channels is a source of 0.2 Ω before the same group on one.
func TestSizingCountsTheWire(t *testing.T) {
	d := &driver.Driver{Name: "finch", Re: 5.6, Bl: 10.2, Mms: 0.0385, Cms: 0.78e-3, Rms: 1.9, Sd: 0.022, Coils: driver.Coils{Count: 1}}
	spec := driver.GroupSpec{Driver: d, SideBySide: 2, Stack: 1, Split: driver.ByDriver, Outputs: 2}
	split, _, err := driver.NewGroup(spec)
	if err != nil {
		t.Fatal(err)
	}
	spec.Split = driver.Whole
	whole, _, err := driver.NewGroup(spec)
	if err != nil {
		t.Fatal(err)
	}
	for _, box := range []Spec{{Kind: Sealed, Rear: Chamber{SystemQ: 0.8}}, {Kind: Vented, Alignment: Alignment{Family: "qb3"}}} {
		set := Setting{Air: referenceAir(t), Space: 2 * math.Pi, Distance: 1, Source: 0.1}
		set.Parts = []Part{{Name: "choke", L: 1e-3, R: 0.4}, {Name: "shunt", Across: true, C: 1e-5, R: 3}}
		a, _, err := Build(split, box, set)
		if err != nil {
			t.Fatal(err)
		}
		b, _, err := Build(whole, box, Setting{Air: set.Air, Space: set.Space, Distance: 1, Source: 0.25})
		if err != nil {
			t.Fatal(err)
		}
		if v, w := a.Spec.Rear.Volume, b.Spec.Rear.Volume; math.Abs(v/w-1) > 1e-9 { // two searches to the last bit of a Q
			t.Errorf("%v: %g m³ and %g m³", box.Kind, v, w)
		}
		if a.Facts.SealedQtc > 0 && math.Abs(a.Facts.SealedQtc-0.8) > 1e-9 {
			t.Errorf("the total Q is %g", a.Facts.SealedQtc)
		}
	}
}
