package driver

import (
	"math"
	"math/cmplx"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/check"
	"basswright/internal/phys"
)

// TestCompositeFacts holds what the trade knows of groups (common practice,
// no source) for random drivers, mountings and wirings.
func TestCompositeFacts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := randomGroup(t)
		d := g.Positions[0][0].Driver
		c, err := g.Composite()
		if err != nil {
			t.Fatal(err)
		}
		a := phys.StandardAir()
		m, k := float64(g.SideBySide()), float64(g.Depth())
		n := m * k
		for _, p := range []struct {
			fact      string
			got, want float64
		}{
			{"fs unchanged by mounting", c.Fs(), d.Fs()},
			{"Qms unchanged by mounting", c.Qms(), d.Qms()},
			{"Qes unchanged by mounting and wiring", c.Qes(), d.Qes()},
			{"Qts unchanged by mounting and wiring", c.Qts(), d.Qts()},
			{"Vas × side_by_side ÷ stack", c.Vas(a), d.Vas(a) * m / k},
			{"Mms × n", c.Mms, d.Mms * n},
			{"Rms × n", c.Rms, d.Rms * n},
			{"Cms ÷ n", c.Cms, d.Cms / n},
			{"Bl²/Re × n for any string wiring", c.Strength(), d.Strength() * n},
			{"a deeper stack leaves Sd alone", c.Sd, d.Sd * m},
			{"efficiency × side_by_side ÷ stack", c.Efficiency(a), d.Efficiency(a) * m / k},
			{"Re of the strings", c.Re, g.Re()},
			{"the composite as a driver", c.Driver("group").Qts(), c.Qts()},
		} {
			if !near(p.got, p.want, 1e-9) {
				t.Fatalf("%s: got %g, want %g", p.fact, p.got, p.want)
			}
		}
		gain := c.Sensitivity1W(a) - d.Sensitivity1W(a)
		if want := 10 * math.Log10(m/k); math.Abs(gain-want) > 1e-9 {
			t.Fatalf("at 1 W into the group's Re: %g dB, want %g", gain, want)
		}
	})
}

// TestCompositeInductance solves the wiring itself: every coil of a driver
// sees the flux of all its coils, every string the group's voltage, at a
// frequency so high that the cones stand still.
func TestCompositeInductance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := randomGroup(t)
		if _, ok := g.Symmetry(); !ok {
			return // the currents of the strings then differ unless the cones move as one
		}
		d := g.Positions[0][0].Driver
		if d.Coil.Le == 0 {
			return
		}
		c, err := g.Composite()
		if err != nil {
			t.Fatal(err)
		}
		// By symmetry every string carries 1 A/s. The voltage along the first
		// is the flux that all coils of each driver make in its coils.
		along := map[[2]int]int{}
		for _, s := range g.Strings() {
			for _, at := range s {
				along[[2]int{at.Position, at.Member}]++
			}
		}
		volts := 0.0
		for _, at := range g.Strings()[0] {
			volts += d.Coil.Le * float64(along[[2]int{at.Position, at.Member}])
		}
		if got := volts / float64(len(g.Strings())); !near(c.Coil.Le, got, 1e-12) {
			t.Fatalf("Le %g, want %g", c.Coil.Le, got)
		}
	})
}

func TestTwoCoilsAgainstTwoDrivers(t *testing.T) {
	one, dual := merlin(t), merlin(t)
	dual.Coils.Count = 2
	le := func(d *Driver, n, series int) float64 {
		g, _, err := NewGroup(GroupSpec{Driver: d, SideBySide: n, Stack: 1, Wiring: Wiring{WiringStrings, series}})
		if err != nil {
			t.Fatal(err)
		}
		c, err := g.Composite()
		if err != nil {
			t.Fatal(err)
		}
		return c.Coil.Le / one.Coil.Le
	}
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"two coils of one driver in series", le(dual, 1, 2), 4},
		{"two coils of one driver in parallel", le(dual, 1, 1), 1},
		{"two drivers in series", le(one, 2, 2), 2},
		{"two drivers in parallel", le(one, 2, 1), 0.5},
	} {
		if !near(c.got, c.want, 1e-12) {
			t.Errorf("%s: %g times one, want %g", c.name, c.got, c.want)
		}
	}
}

func TestCompositeCarriesModels(t *testing.T) {
	d := merlin(t)
	d.Coil = VoiceCoil{Model: CoilPowerLaw, K: 0.02, N: 0.7}
	d.Creep = Creep{Lambda: 0.1}
	g, _, err := NewGroup(GroupSpec{Driver: d, SideBySide: 1, Stack: 2})
	if err != nil {
		t.Fatal(err)
	}
	c, err := g.Composite()
	if err != nil {
		t.Fatal(err)
	}
	if c.Coil != (VoiceCoil{Model: CoilPowerLaw, K: 0.01, N: 0.7}) || c.Creep != d.Creep {
		t.Errorf("got %+v", c)
	}
	one, _ := d.CreepRms()
	two, err := c.Driver("compound").CreepRms()
	if err != nil || !near(two, 2*one, 1e-15) { // doubling is exact
		t.Errorf("Rms beside the creep %g, want twice %g", two, one)
	}
	w := 100.0
	if got, want := c.Driver("compound").Compliance(w), d.Compliance(w)/2; cmplx.Abs(got-want) > 1e-15*cmplx.Abs(want) { // halving is exact
		t.Errorf("compliance %g, want %g", got, want)
	}
}

// TestRigidSumIsTheComposite holds the sums for random groups of like drivers,
// whether their cones fight or not: rounding only.
func TestRigidSumIsTheComposite(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := randomGroup(t)
		c, err := g.Composite()
		if err != nil {
			t.Fatal(err)
		}
		g.Positions[0][0].Polarity *= -1
		if r := g.RigidSum(); !near(r.Mms, c.Mms, 1e-13) || !near(r.Cms, c.Cms, 1e-13) || !near(r.Sd, c.Sd, 1e-13) {
			t.Fatalf("the sums are %+v, the composite is %+v", r, c)
		}
	})
}

// TestRigidSumOfUnlikeMembers holds the sums against the energy of the cones
// one by one: the air between rigidly coupled cones carries one volume velocity
// U, so that each moves with U/Sd of its own, and ½ΣMms·v² and ½Σx²/Cms are what
// the sum has at the outermost cone's speed. Rounding only.
func TestRigidSumOfUnlikeMembers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		depth := rapid.IntRange(1, 4).Draw(t, "depth")
		var stack []*Driver
		for range depth {
			stack = append(stack, randomDriver(t))
		}
		g, _, err := NewGroup(GroupSpec{Members: [][]*Driver{stack}})
		if err != nil {
			t.Fatal(err)
		}
		const u = 0.01 // m³/s, and as well m³
		kinetic, spring := 0.0, 0.0
		for _, d := range stack {
			kinetic += d.Mms * (u / d.Sd) * (u / d.Sd) / 2
			spring += (u / d.Sd) * (u / d.Sd) / d.Cms / 2
		}
		r := g.RigidSum()
		v := u / r.Sd
		if r.Sd != stack[0].Sd || !near(r.Mms*v*v/2, kinetic, 1e-12) || !near(v*v/r.Cms/2, spring, 1e-12) {
			t.Fatalf("%+v: %g and %g J, cone by cone %g and %g J", r, r.Mms*v*v/2, v*v/r.Cms/2, kinetic, spring)
		}
	})
}

func TestRatedFigures(t *testing.T) {
	d := merlin(t)
	g, _, err := NewGroup(GroupSpec{Driver: d, SideBySide: 2, Stack: 2, Wiring: Wiring{WiringStrings, 4}})
	if err != nil {
		t.Fatal(err)
	}
	c, err := g.Composite()
	if err != nil {
		t.Fatal(err)
	}
	if c.RatedPower != 4*350 || c.RatedImpedance != 16 || !near(c.VolumeDisplacement(), 2*0.0345*12e-3, 1e-12) {
		t.Errorf("%g W, %g Ω, %g m³", c.RatedPower, c.RatedImpedance, c.VolumeDisplacement())
	}
	// One of two coils driven takes half the power; the sheet's 4 Ω is both
	// in parallel, so that one coil is rated 8 Ω.
	d.Coils = Coils{Count: 2, Quoted: QuotedParallel, Driven: 1}
	g, _, _ = NewGroup(GroupSpec{Driver: d, SideBySide: 1, Stack: 1})
	if c, err = g.Composite(); err != nil || c.RatedPower != 175 || c.RatedImpedance != 8 {
		t.Errorf("%g W, %g Ω, %v", c.RatedPower, c.RatedImpedance, err)
	}
}

// TestLedgerTable is the account of the compound of the camper bench, as the
// terminal prints it: its figures are those of the trade's rules for a stack
// of two in parallel, its sentences give the numbers they are made of.
func TestLedgerTable(t *testing.T) {
	g, _, err := NewGroup(GroupSpec{Driver: merlin(t), SideBySide: 1, Stack: 2, Arrangement: Clamshell})
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	for _, s := range g.Ledger(air(t, 343.2, 1.2041)) {
		show := func(m phys.Maybe) string {
			return strings.ReplaceAll(phys.Show(float64(m), s.Kind, phys.Metric), "\u2009", " ")
		}
		b.WriteString(strings.TrimSpace(strings.Join([]string{s.Name + " " + s.Symbol, show(s.Single), show(s.Value), s.Rule, s.Why}, " | ")) + "\n")
	}
	check.Golden(t, "testdata/ledger-compound.txt", b.String())
}

// TestLedgerTellsTheComposite holds for random groups that the ledger covers
// every parameter, shows the composite's values, and never NaN.
func TestLedgerTellsTheComposite(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := randomGroup(t)
		d := g.Positions[0][0].Driver
		d.Data = Data{RatedPower: 200, Xmax: 8e-3}
		d.Coil = rapid.SampledFrom([]VoiceCoil{
			{}, {Le: 1e-3}, {Model: CoilLR2, Le: 1e-3, L2: 2e-3, R2: 5}, {Model: CoilPowerLaw, K: 0.02, N: 0.7},
		}).Draw(t, "coil")
		c, err := g.Composite()
		if err != nil {
			t.Fatal(err)
		}
		a := phys.StandardAir()
		want := map[string]float64{
			"Resonance": c.Fs(), "Mechanical Q": c.Qms(), "Electrical Q": c.Qes(), "Total Q": c.Qts(), "Bandwidth product": c.EBP(), "Volume": c.Vas(a),
			"Moving mass": c.Mms, "Compliance": c.Cms, "Resistance": c.Rms, "Cone area": c.Sd, "Coils": c.Re,
			"Force factor": c.Bl, "Motor strength": c.Strength(), "Level at 1 W": c.Sensitivity1W(a),
			"Level at 2.83 V": c.Sensitivity283V(a), "Rated power": c.RatedPower, "Volume displacement": c.VolumeDisplacement(),
		}
		blocked := map[string]float64{
			"Inductance": c.Coil.Le, "Eddy inductance": c.Coil.L2, "Eddy resistance": c.Coil.R2, "Coil impedance": c.Coil.K,
		}
		for _, s := range g.LedgerIn(a, phys.Imperial) {
			v, ok := want[s.Name]
			if !ok {
				if v, ok = blocked[s.Name]; !ok {
					t.Fatalf("a step too many: %s", s.Name)
				}
			}
			delete(want, s.Name)
			if !s.Value.OK() || !near(float64(s.Value), v, 1e-12) || s.Why == "" {
				t.Fatalf("%+v, want %g", s, v)
			}
			if s.Factor.OK() && !near(float64(s.Single*s.Factor), v, 1e-12) {
				t.Fatalf("%s: %g × %g is not %g", s.Name, float64(s.Single), float64(s.Factor), v)
			}
			text := s.Why + s.Formula + s.Numbers + s.Rule
			if strings.Contains(text, "NaN") || strings.Contains(text, "Inf") || strings.Contains(text, "–") {
				t.Fatalf("%s says %s", s.Name, text)
			}
		}
		for name := range want {
			t.Fatalf("no step for %s", name)
		}
	})
}

func TestLedgerWithoutRatings(t *testing.T) {
	d := merlin(t)
	d.Data = Data{}
	g, _, err := NewGroup(GroupSpec{Driver: d, SideBySide: 2, Stack: 1})
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range g.Ledger(phys.StandardAir()) {
		if s.Name == "Rated power" || s.Name == "Volume displacement" {
			if s.Value.OK() || s.Single.OK() || !strings.Contains(s.Why, "the sheet gives no") {
				t.Errorf("%+v", s)
			}
		}
	}
}

// TestLedgerSentences reads the numbers in the sentences of other groups: each
// is what the rule beside it gives for 44 L, 3.3 Ω, 345 cm², 104.5 g.
func TestLedgerSentences(t *testing.T) {
	for _, c := range []struct {
		sideBySide, stack, coils, inSeries int
		want                               map[string]string
	}{
		{2, 1, 1, 2, map[string]string{
			"Coils": "2 coils in series: 2 × 3.3", "Cone area": "2 cones side by side: 2 × 345",
			"Force factor": "2 coils in series push with one current: 2 × 11.61",
			"Volume":       "ρc² Sd² Cms: area × 2, compliance / 2, so 2 × 44",
			"Level at 1 W": "the same power, shared by 2 cones that help each other: +3.0 dB",
		}},
		{1, 3, 1, 1, map[string]string{
			"Coils": "3 coils in parallel: 3.3 / 3", "Moving mass": "3 cones move as one: 3 × 104.5",
			"Total Q": "mass, losses and motor triple alike: unchanged",
			"Volume":  "ρc² Sd² Cms: compliance / 3, so 44 / 3", "Level at 1 W": "the same power moves 3 times the mass and no more cone area: −4.8 dB",
		}},
		{3, 2, 1, 2, map[string]string{
			"Coils": "3 strings of 2 coils: 2 × 3.3 / 3", "Cone area": "3 positions, and a stack radiates once: 3 × 345",
			"Volume":       "ρc² Sd² Cms: area × 3, compliance / 6, so 3 × 44 / 2",
			"Level at 1 W": "3 positions gain 4.8\u2009dB, stacks of 2 lose 3.0\u2009dB", "Volume displacement": "3 positions displace: 3 × 0.414",
		}},
		{1, 1, 2, 2, map[string]string{
			"Coils": "2 coils in series: 2 × 3.3", "Moving mass": "one cone: unchanged", "Volume": "one driver: unchanged",
			"Inductance":      "2 coils in series, and the coils of one driver share their flux: 4 × 1.1",
			"Motor strength":  "one motor, however its coils are wired: unchanged",
			"Level at 2.83 V": "power into Re −6.0\u2009dB, efficiency 0.0\u2009dB",
		}},
	} {
		d := merlin(t)
		d.Coils.Count = c.coils
		g, _, err := NewGroup(GroupSpec{Driver: d, SideBySide: c.sideBySide, Stack: c.stack, Wiring: Wiring{WiringStrings, c.inSeries}})
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range g.Ledger(air(t, 343.2, 1.2041)) {
			if want, ok := c.want[s.Name]; ok && s.Why != want {
				t.Errorf("%d × %d, %s: %q, want %q", c.sideBySide, c.stack, s.Name, s.Why, want)
			}
			delete(c.want, s.Name)
		}
		for name := range c.want {
			t.Errorf("%d × %d: no step %s", c.sideBySide, c.stack, name)
		}
	}
}
