package enclosure

import (
	"fmt"
	"math"
	"math/cmplx"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/driver"
)

// held is a driver without a motor: a resistor at the terminals.
func held(re float64) *driver.Driver {
	return &driver.Driver{Name: "anvil", Re: re, Mms: 0.04, Cms: 5e-4, Rms: 1, Sd: 0.02, Coils: driver.Coils{Count: 1}}
}

// A coil in the wire and a capacitor across a resistor are the low-pass of second
// order of any textbook: H = 1/(1 + jωL/R − ω²LC), and the source meets jωL + R/(1 +
// jωRC). For L = √2·R/ω0 and C = 1/(√2·R·ω0) it is Butterworth's, half the power at
// ω0. What is left is rounding.
func TestPartsAreTheTextbookLowPass(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		in := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(rt, name) }
		re, f0 := in("re", 1, 16), in("corner", 30, 300)
		w0 := 2 * math.Pi * f0
		k := in("from butterworth", 0.3, 3)
		l, c := k*math.Sqrt2*re/w0, 1/(math.Sqrt2*re*w0)
		set := Setting{Air: referenceAir(t), Space: 2 * math.Pi, Distance: 1}
		set.Parts = []Part{{Name: "choke", L: l}, {Name: "shunt", Across: true, C: c}}
		g, _, err := driver.NewGroup(driver.GroupSpec{Driver: held(re), SideBySide: 1, Stack: 1})
		if err != nil {
			rt.Fatal(err)
		}
		sys := buildAny(rt, g, Spec{Kind: InfiniteBaffle}, set)
		s := sys.Program.NewSolver()
		for _, f := range []float64{5, 20, f0, 300, 2000} {
			if err := s.Solve(2 * math.Pi * f); err != nil {
				rt.Fatal(err)
			}
			jw := complex(0, 2*math.Pi*f)
			h := 1 / (1 + jw*complex(l/re, 0) + jw*jw*complex(l*c, 0))
			if got := math.Sqrt(sys.CoilPower(s, &sys.Coils[0]) * re); math.Abs(got/cmplx.Abs(h)-1) > 1e-11 {
				rt.Errorf("%g Hz: gain %.12g, theory %.12g", f, got, cmplx.Abs(h))
			}
			z := jw*complex(l, 0) + complex(re, 0)/(1+jw*complex(re*c, 0))
			if got := sys.Impedance(s); cmplx.Abs(got/z-1) > 1e-9 { // at resonance the parts of Z cancel
				rt.Errorf("%g Hz: impedance %v, theory %v", f, got, z)
			}
			if k == 1 && f == f0 && math.Abs(cmplx.Abs(h)-math.Sqrt2/2) > 1e-12 {
				rt.Errorf("not half the power at the corner: %g", cmplx.Abs(h))
			}
		}
	})
}

// Every sort of part is its impedance, in the wire and across it, with a
// resistance before it: a divider.
func TestEveryPartIsItsImpedance(t *testing.T) {
	parts := []Part{
		{R: 3}, {L: 2e-3, R: 0.4}, {C: 150e-6, R: 0.2}, {L: 8e-3, C: 300e-6, R: 2}, {Parallel: true, L: 3e-3, C: 47e-6, R: 12}, {Parallel: true, L: 3e-3, C: 47e-6},
	}
	z := func(p Part, jw complex128) complex128 {
		if p.Parallel {
			y := jw*complex(p.C, 0) + 1/(jw*complex(p.L, 0))
			if p.R > 0 {
				y += complex(1/p.R, 0)
			}
			return 1 / y
		}
		out := complex(p.R, 0) + jw*complex(p.L, 0)
		if p.C > 0 {
			out += 1 / (jw * complex(p.C, 0))
		}
		return out
	}
	g, _, err := driver.NewGroup(driver.GroupSpec{Driver: held(6), SideBySide: 1, Stack: 1})
	if err != nil {
		t.Fatal(err)
	}
	for i, p := range parts {
		for _, across := range []bool{false, true} {
			p.Name, p.Across = "it", across
			sys, _, err := Build(g, Spec{Kind: InfiniteBaffle}, Setting{Air: referenceAir(t), Space: 2 * math.Pi, Distance: 1, Source: 0.5, Parts: []Part{p}})
			if err != nil {
				t.Fatal(err)
			}
			s := sys.Program.NewSolver()
			for _, f := range []float64{10, 55, 400} {
				if err := s.Solve(2 * math.Pi * f); err != nil {
					t.Fatal(err)
				}
				own := z(p, complex(0, 2*math.Pi*f))
				load, through := own+6, 1/(own+6.5)
				if across {
					load = own * 6 / (own + 6)
					through = load / (load + 0.5) / 6
				}
				if got := sys.Impedance(s); cmplx.Abs(got/load-1) > 1e-11 {
					t.Errorf("part %d, across %v, %g Hz: load %v, theory %v", i, across, f, got, load)
				}
				if got := sys.CoilPower(s, &sys.Coils[0]); math.Abs(got/(6*real(through*cmplx.Conj(through)))-1) > 1e-11 {
					t.Errorf("part %d, across %v, %g Hz: %g W in the coil", i, across, f, got)
				}
			}
		}
	}
}

// Before a resistor all that is given becomes heat, in the coil and in the parts'
// resistances: nothing is lost and nothing made, to rounding.
func TestPartsTakeTheRest(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		g, _, err := driver.NewGroup(driver.GroupSpec{Driver: held(4), SideBySide: 2, Stack: 1, Split: driver.ByDriver, Outputs: 2})
		if err != nil {
			rt.Fatal(err)
		}
		set := randomSetting(rt, t)
		set.Parts = randomParts(rt)
		sys := buildAny(rt, g, Spec{Kind: InfiniteBaffle}, set)
		s := sys.Program.NewSolver()
		for _, f := range fewFrequencies {
			if err := s.Solve(2 * math.Pi * f); err != nil {
				rt.Fatal(err)
			}
			heat := 0.0
			for i := range sys.Coils {
				heat += sys.CoilPower(s, &sys.Coils[i])
			}
			for i := range sys.Parted {
				heat += sys.PartPower(s, &sys.Parted[i])
			}
			// Power is the small part of volts times amperes that is in phase, and keeps the
			// digits that the whole has: of 1 V, that is the current, of which the solver’s own
			// watch lets 1e-10 pass.
			if given := sys.Drawn(s); math.Abs(given-heat) > 1e-9*heat+1e-10*sys.LargestCurrent(s)*float64(len(sys.Channels)) {
				rt.Errorf("%g Hz: %g W are given and %g W become heat", f, given, heat)
			}
		}
	})
}

// randomParts draws some parts, none of which makes a wire of the group.
func randomParts(rt *rapid.T) []Part {
	var out []Part
	for k := range rapid.IntRange(1, 4).Draw(rt, "parts") {
		in := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(rt, name) }
		p := Part{Name: fmt.Sprint("p", k), Across: rapid.Bool().Draw(rt, "across"), R: in("R", 0.1, 20)}
		if rapid.Bool().Draw(rt, "inductor") {
			p.L = in("L", 1e-4, 2e-2)
		}
		if rapid.Bool().Draw(rt, "capacitor") {
			p.C = in("C", 1e-5, 1e-3)
		}
		p.Parallel = p.L > 0 && p.C > 0 && rapid.Bool().Draw(rt, "parallel")
		out = append(out, p)
	}
	return out
}

// With parts in the wire one position stands for all as it does without, and what
// the source gives is no less than the coils' heat; a resistor as the first part
// is a resistance of the source. 1e-8: parts that resonate with each other and
// with the box cost digits, as all that cancels does.
func TestPartsHoldForAnyGroup(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d, box := randomDriver(rt, "woofer"), randomBox(rt)
		m := rapid.IntRange(1, 3).Draw(rt, "side by side")
		g := mount(t, d, m, rapid.IntRange(1, 2).Draw(rt, "stack"), rapid.SampledFrom([]int{1, m}).Draw(rt, "in series"))
		set := randomSetting(rt, t)
		set.Parts = randomParts(rt)
		r := rapid.Float64Range(0.1, 5).Draw(rt, "resistor")
		var sys [4]*System
		for k := range sys {
			own := set
			switch k {
			case 1:
				own.Unreduced = true
			case 2:
				own.Parts = append([]Part{{Name: "first", R: r}}, set.Parts...)
			case 3:
				own.Source += r
			}
			sys[k] = buildAny(rt, g, box(1), own)
		}
		near := func(f float64, what string, got, want complex128) {
			if d := cmplx.Abs(got-want) / cmplx.Abs(want); d > 1e-8 {
				rt.Errorf("%g Hz: %s is off by %.2g", f, what, d)
			}
		}
		for _, f := range fewFrequencies {
			var z [4]complex128
			var heat, given [4]float64
			for k, y := range sys {
				s := y.Program.NewSolver()
				if err := s.Solve(2 * math.Pi * f); err != nil {
					rt.Fatal(err)
				}
				z[k], given[k] = y.Impedance(s), y.Drawn(s)
				for i := range y.Coils {
					heat[k] += y.CoilPower(s, &y.Coils[i])
				}
				if given[k] < heat[k]*(1-1e-9) {
					rt.Errorf("%g Hz: %g W are given and %g W become heat", f, given[k], heat[k])
				}
			}
			near(f, "the load where one position stands for all", z[0], z[1])
			near(f, "the heat where one position stands for all", complex(heat[0], 0), complex(heat[1], 0))
			near(f, "the load with a resistor", z[2], z[3]+complex(r, 0))
			near(f, "the heat with a resistor", complex(heat[2], 0), complex(heat[3], 0))
		}
	})
}
