package enclosure

import (
	"math"
	"math/cmplx"
	"strings"
	"testing"

	"basswright/internal/driver"
	"basswright/internal/phys"
)

// The rows of groups that TestPublishedGroups leaves out: levels of a compound
// pair and the mass of its trapped air. Every row of the file is asserted here,
// there or in package driver.
func TestPublishedPairs(t *testing.T) {
	d := &driver.Driver{Name: "published", Re: 6, Bl: 10, Mms: 0.06, Cms: 0.4e-3, Rms: 1.5, Sd: 0.033, Coil: driver.VoiceCoil{Le: 1e-3}, Coils: driver.Coils{Count: 1}}
	l := leaving(t, map[string]string{
		"compound pair: out-of-phase": "asserted by TestPublishedGroups",
		"closed box":                  "asserted by TestPublishedGroups",
		"side-by-side pair":           "asserted by TestPublishedGroups",
		"dual voice coil":             "driver parameters: asserted in package driver",
	})
	air := airOf(t, 345, 1.18)
	wall := func(g *driver.Group) *System {
		sys, _, err := Build(g, Spec{Kind: InfiniteBaffle}, Setting{Air: air, Space: 2 * math.Pi, Distance: 1})
		if err != nil {
			t.Fatal(err)
		}
		return sys
	}
	one, pair := wall(mount(t, d, 1, 1, 1)), wall(mount(t, d, 1, 2, 1))
	for _, r := range l.rows("isobaric-groups-wiring") {
		switch q := r.quantity; {
		case strings.HasSuffix(q, "1 W efficiency"), strings.HasSuffix(q, "same-voltage level"):
			volts := 0.0 // of the pair over the single driver, dB
			if strings.HasSuffix(q, "1 W efficiency") {
				volts = 10 * math.Log10(pair.Group.Re()/one.Group.Re())
			}
			for _, f := range fewFrequencies {
				p1, _, _ := reading(t, one, f)
				p2, _, _ := reading(t, pair, f)
				want := r.values(t)[0]
				r.expect(t, "level", 20*math.Log10(cmplx.Abs(p2)/cmplx.Abs(p1))+volts, want, 0.51e-4)
			}
		case strings.HasPrefix(q, "compound pair: mass of trapped air"):
			// the bound is for air that fills a tube of the cones' own area
			v := firstNumber(r.conditions) * 1e-3
			g := mount(t, d, 1, 2, 1)
			g.Coupling = []driver.Coupling{{Volume: v, Length: v / d.Sd}}
			r.agrees(t, 1e-12, wall(g).Facts.CouplingMass[0])
		default:
			l.out(r)
		}
	}
	l.done(7)
}

// The air between two cones moves with them, half on either (docs/physics.md,
// equation 7): of two like cones on one voltage in a wall the air spring takes
// no part, so the pair resonates where one cone with (ρV/2)·(Sd·l/V)² more mass
// does; against each other the same mass moves on the spring, equation 8.
func TestCouplingAirMoves(t *testing.T) {
	air := airOf(t, 343.2, 1.2041)
	d := of(t, 30, 0.4, 80, 5)
	for _, c := range []struct{ v, l float64 }{{3e-3, 0.05}, {5e-3, 0.22}, {12e-3, 0.6}} {
		g := mount(t, d, 1, 2, 1)
		g.Coupling = []driver.Coupling{{Volume: c.v, Length: c.l}}
		sys, _, err := Build(g, Spec{Kind: InfiniteBaffle}, Setting{Air: air, Space: 2 * math.Pi, Distance: 1})
		if err != nil {
			t.Fatal(err)
		}
		m := d.Mms + air.Rho*c.v/2*sq(d.Sd*c.l/c.v)
		together := math.Sqrt(1/(d.Cms*m)) / (2 * math.Pi)
		if got := resonance(t, sys, 30); math.Abs(got/together-1) > 1e-9 {
			t.Errorf("%g m³ over %g m: together at %.8g Hz, theory %.8g Hz", c.v, c.l, got, together)
		}
		against := math.Sqrt((1/d.Cms+2*air.Rho*sq(air.C*d.Sd)/c.v)/m) / (2 * math.Pi)
		if got := sys.Facts.CouplingModes[0]; math.Abs(got/against-1) > 1e-9 {
			t.Errorf("%g m³ over %g m: against each other at %.8g Hz, theory %.8g Hz", c.v, c.l, got, against)
		}
	}
}

// Unlike cones of a rigid stack move equal volumes of air, so the inner one, of
// half the area, moves twice as far and counts with four times its mass and
// stiffness. In a wall the network resonates where these sums do, and in a box
// the losses refer to that resonance with the stiffness of the box's air on the
// outer cone. Rounding: the zero of the phase is found to the last bits.
func TestUnlikeTandemSumsUp(t *testing.T) {
	outer := &driver.Driver{Name: "outer", Re: 6, Bl: 10, Mms: 0.06, Cms: 0.4e-3, Rms: 1.5, Sd: 0.034, Coils: driver.Coils{Count: 1}}
	inner := &driver.Driver{Name: "inner", Re: 4, Bl: 7, Mms: 0.021, Cms: 0.7e-3, Rms: 0.9, Sd: 0.017, Coils: driver.Coils{Count: 1}}
	g, _, err := driver.NewGroup(driver.GroupSpec{Members: [][]*driver.Driver{{outer, inner}}})
	if err != nil {
		t.Fatal(err)
	}
	set := Setting{Air: phys.StandardAir(), Space: 2 * math.Pi, Distance: 1}
	mass, stiffness := 0.06+4*0.021, 1/0.4e-3+4/0.7e-3
	for _, v := range []float64{0, 0.04} {
		spec, box := Spec{Kind: InfiniteBaffle}, 0.0
		if v > 0 {
			spec = Spec{Kind: Sealed, Rear: Chamber{Volume: v}}
			box = set.Air.Rho * sq(set.Air.C*outer.Sd) / v
		}
		sys, _, err := Build(g, spec, set)
		if err != nil {
			t.Fatal(err)
		}
		want := math.Sqrt((stiffness+box)/mass) / (2 * math.Pi)
		if got := resonance(t, sys, want); math.Abs(got/want-1) > 1e-9 {
			t.Errorf("in %g m³: resonance at %.8g Hz, theory %.8g Hz", v, got, want)
		}
		if at := sys.Spec.Rear.Losses.At; v > 0 && math.Abs(at/want-1) > 1e-12 {
			t.Errorf("in %g m³: losses at %.8g Hz, theory %.8g Hz", v, at, want)
		}
	}
}
