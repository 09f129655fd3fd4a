package enclosure

import (
	"math"
	"math/cmplx"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/driver"
)

// A closed coil beside a driven one. Far below resonance nothing moves and it
// stays cold; at resonance, without inductance, it is a brake of Bl²/R to the
// cone, in which a closed form gives both coils' watts; far above, where the
// shared flux rules, it is the short-circuited side of a transformer: the driven
// coil's current flows in it backwards, and the terminals show both resistances.
func TestClosedCoilLimits(t *testing.T) {
	for _, load := range []float64{0, 2.5} {
		d := of(t, 30, 0.4, 80, 5)
		d.Coils = driver.Coils{Count: 2, Driven: 1, Other: driver.OtherLoaded, Load: load}
		watts := func(le, f float64) (driven, closed float64, z complex128) {
			d.Coil.Le = le
			sys, _, err := Build(oneOf(t, d), Spec{Kind: InfiniteBaffle}, Setting{Air: referenceAir(t), Space: 2 * math.Pi, Distance: 1})
			if err != nil {
				t.Fatal(err)
			}
			if len(sys.Coils) != 2 {
				t.Fatalf("%d coils carry a current", len(sys.Coils))
			}
			s := sys.Program.NewSolver()
			if err := s.Solve(2 * math.Pi * f); err != nil {
				t.Fatal(err)
			}
			return sys.CoilPower(s, &sys.Coils[0]), sys.CoilPower(s, &sys.Coils[1]), sys.Impedance(s)
		}
		// at f the suspension holds: speed Bl·i·ω·Cms, so the closed coil has
		// (Bl²·ω·Cms/R)² of the driven one's watts, but for (f/fs)/Q
		const low = 1e-4
		driven, closed, z := watts(0, low)
		if want := sq(d.Bl * d.Bl * 2 * math.Pi * low * d.Cms / (d.Re + load)); math.Abs(closed/driven/want-1) > 1e-4 || math.Abs(cmplx.Abs(z)/d.Re-1) > 1e-4 {
			t.Errorf("load %g Ω, from dc: %g of the watts, theory %g; impedance %v", load, closed/driven, want, z)
		}
		driven, closed, z = watts(0, d.Fs())
		brake := d.Bl * d.Bl / (d.Re + load)
		if want := sq(d.Bl * d.Bl / (d.Rms + brake) / (d.Re + load)); math.Abs(closed/driven/want-1) > 1e-9 { // rounding
			t.Errorf("load %g Ω, at resonance: %.12g of the watts, theory %.12g", load, closed/driven, want)
		}
		if want := d.Re + d.Bl*d.Bl/(d.Rms+brake); cmplx.Abs(z-complex(want, 0)) > 1e-9*want || math.Abs(driven*sq(want)/d.Re-1) > 1e-9 {
			t.Errorf("load %g Ω, at resonance: %v Ω and %g W/V², theory %.12g Ω", load, z, driven, want)
		}
		driven, closed, z = watts(1e-3, 1e8) // R/(ωLe) = 2e-5 here, and its square in the watts
		if math.Abs(closed/driven-1) > 1e-8 || math.Abs(real(z)/(2*d.Re+load)-1) > 1e-8 {
			t.Errorf("load %g Ω, far up: %.12g of the watts, impedance %v", load, closed/driven, z)
		}
	}
}

// A volume found for a total Q, by a second way: the response of the group in
// that box is Q times its asymptote at the resonance told, as for any system of
// the second order (Small 1972). For like drivers, mounted and wired at random,
// with a source and with closed coils.
func TestSystemQIsHeard(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := randomDriver(rt, "woofer")
		d.Coil = driver.VoiceCoil{}
		if rapid.Bool().Draw(rt, "closed coil") {
			d.Coils = driver.Coils{Count: 2, Driven: 1, Other: driver.OtherShorted}
		}
		m, n := rapid.IntRange(1, 3).Draw(rt, "side by side"), rapid.IntRange(1, 3).Draw(rt, "stack")
		wiring := rapid.SampledFrom([]int{1, n, m * n}).Draw(rt, "in series")
		g := mount(t, d, m, n, wiring)
		set := Setting{Air: referenceAir(t), Source: rapid.SampledFrom([]float64{0, 0.3}).Draw(rt, "source"), Space: 2 * math.Pi, Distance: 1}
		c, err := g.Composite()
		if err != nil {
			rt.Fatal(err)
		}
		qes := c.Qes() * (c.Re + set.Source) / c.Re
		qt := qes * c.Qms() / (qes + c.Qms())
		want := qt * rapid.Float64Range(1.05, 3).Draw(rt, "over the Q in free air")
		sys, _, err := Build(g, Spec{Kind: Sealed, Rear: Chamber{SystemQ: want, Losses: none}}, set)
		if err != nil {
			rt.Fatal(err)
		}
		fc := sys.Facts.SealedFc
		at, _, _ := reading(t, sys, fc)
		// (1/Q² − 2)/2 over (f/fc)² is left of the asymptote: below 1e-11 of it
		top, _, _ := reading(t, sys, 1e8*fc)
		if got := cmplx.Abs(at) / cmplx.Abs(top); math.Abs(got/want-1) > 1e-8 || math.Abs(sys.Facts.SealedQtc/want-1) > 1e-9 {
			rt.Fatalf("asked for %.10g, told %.10g, heard %.10g", want, sys.Facts.SealedQtc, got)
		}
	})
}

// What exact radiation does to a passive radiator's box vanishes towards dc,
// where springs rule, as (f/fs)²: by the share of the mass that it adds.
func TestRadiationVanishesTowardsDC(t *testing.T) {
	d := of(t, 30, 0.4, 80, 5)
	spec := Spec{Kind: PassiveRadiator, Rear: Chamber{Volume: 0.06, Tuning: 27, Losses: none}, Radiator: Radiator{Sd: 0.04, Mms: 0.1, Cms: 6e-4, Rms: 1, Count: 2}}
	classical, full := radiated(t, d, spec, 2*math.Pi)
	apart := func(f float64) float64 {
		p, _, _ := reading(t, classical, f)
		q, _, _ := reading(t, full, f)
		return math.Abs(cmplx.Abs(q)/cmplx.Abs(p) - 1)
	}
	if a, b := apart(0.2), apart(0.1); a > 1e-3 || math.Abs(a/b/4-1) > 0.01 { // the next term is (f/fs)² of it
		t.Errorf("%.3g apart at 0.2 Hz, %.3g at 0.1 Hz: want a quarter", a, b)
	}
}
