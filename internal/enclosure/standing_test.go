package enclosure

import (
	"math"
	"math/cmplx"
	"testing"

	"basswright/internal/check"
	"basswright/internal/driver"
	"basswright/internal/duct"
)

// bodied is a driver whose sheet tells all of its body.
func bodied(t *testing.T) *driver.Driver {
	t.Helper()
	d := *held(5.6)
	d.Bl = 8
	d.Data.Flange, d.Data.Cutout, d.Data.FlangeThickness = 0.22, 0.19, 0.006
	d.Data.MountingDepth, d.Data.MagnetDiameter, d.Data.Displacement = 0.1, 0.12, 1.2e-3
	return &d
}

func groupOf(t *testing.T, s driver.GroupSpec) *driver.Group {
	t.Helper()
	g, _, err := driver.NewGroup(s)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// What stands in a duct is a narrower piece of it: a line with a driver in it answers as
// one whose profile tells the jumps.
func TestBodiesNarrowTheirDuct(t *testing.T) {
	set := lineSetting(t)
	d := bodied(t)
	g := groupOf(t, driver.GroupSpec{Driver: d, SideBySide: 1, Stack: 1})
	spec := Spec{Kind: TransmissionLine}
	spec.Line.Run = Run{Length: 1.8, Area: 0.04}
	spec.Line.Driver = 0.6
	spec.Line.Bodies = BodiesCounted
	with, s1 := built(t, g, spec, set)
	st := with.Facts.Standing
	if len(st) != 1 {
		t.Fatalf("%d things stand in it", len(st))
	}
	const why = "rounding"
	check.Near(t, "from, m", st[0].From, 0.6-0.19/2, 1e-12, why)
	check.Near(t, "to, m", st[0].To, 0.6+0.19/2, 1e-12, why)
	check.Near(t, "takes, m³", st[0].Volume, 1.2e-3, 1e-15, why)
	check.Near(t, "leaves, m²", st[0].Left, 0.04-1.2e-3/0.19, 1e-12, why)
	check.Near(t, "air, m³", with.Facts.NetVolume, 1.8*0.04-1.2e-3, 1e-12, why)

	left := st[0].Left
	spec.Line.Bodies = BodiesLeftOut
	spec.Line.Run = Run{Points: []duct.Point{{X: 0, Area: 0.04}, {X: st[0].From, Area: 0.04}, {X: st[0].From, Area: left}, {X: st[0].To, Area: left}, {X: st[0].To, Area: 0.04}, {X: 1.8, Area: 0.04}}}
	by, s2 := built(t, g, spec, set)
	spec.Line.Run = Run{Length: 1.8, Area: 0.04}
	bare, s3 := built(t, g, spec, set)
	apart := 0.0
	for f := 12.0; f < 400; f *= 1.17 {
		w := 2 * math.Pi * f
		for _, s := range []interface{ Solve(float64) error }{s1, s2, s3} {
			if err := s.Solve(w); err != nil {
				t.Fatal(err)
			}
		}
		a, b, c := with.Pressure(s1), by.Pressure(s2), bare.Pressure(s3)
		check.Near(t, "pressure, as a share", cmplx.Abs(a/b-1), 0, 1e-9, "the jumps lie where they lie to rounding")
		apart = math.Max(apart, math.Abs(20*math.Log10(cmplx.Abs(a/c))))
	}
	if apart < 0.1 {
		t.Errorf("what stands in the duct changes the level by %.3f dB", apart)
	}
}

// A stack takes with it the air between its cones and the tube that carries it; where it
// would take more than half of the section it lies along more of the duct, and never
// takes more than half.
func TestStacksNarrowTheirDuct(t *testing.T) {
	set := lineSetting(t)
	d := bodied(t)
	roomy, crowded := 0, 0
	for n := 1; n <= 4; n++ {
		s := driver.GroupSpec{Driver: d, Stack: n, SideBySide: 2, AllGaps: true}
		if n > 1 {
			s.Arrangement, s.Coupling = driver.Tandem, []driver.Coupling{{Volume: 3e-3}}
		}
		g := groupOf(t, s)
		for _, area := range []float64{0.01, 0.03, 0.1} {
			for _, kind := range []Kind{TransmissionLine, TappedWaveguide} {
				spec := Spec{Kind: kind}
				spec.Line.Run = Run{Length: 2, Start: area, End: 1.5 * area}
				spec.Line.Front, spec.Line.Rear, spec.Line.Driver = 0.1, 1.9, 0
				spec.Line.Bodies = BodiesUnset
				sys, _ := built(t, g, spec, set)
				shape, err := spec.Line.Run.Shape()
				if err != nil {
					t.Fatal(err)
				}
				wood := 0.0
				for _, r := range sys.Rows() {
					wood += r.Wood
				}
				want := 2*(float64(n)*1.2e-3+float64(n-1)*3e-3) + wood
				if k := len(sys.Facts.Standing); k != 1 {
					t.Errorf("%d in %g m²: %d things stand in a %s", n, area, k, kind)
				}
				for _, st := range sys.Facts.Standing {
					all := shape.Between(st.From, st.To).Volume()
					if st.Volume > all/2*(1+1e-9) || st.From < 0 || st.To > 2*(1+1e-9) {
						t.Errorf("%d in %g m²: %+v takes more than half of %g m³", n, area, st, all)
					}
					if st.Crowded {
						crowded++
						continue
					}
					roomy++
					check.Near(t, "what a stack takes, m³", st.Volume, want, 1e-12, "rounding")
				}
			}
		}
	}
	if roomy == 0 || crowded == 0 {
		t.Errorf("%d ducts have room for what stands in them, %d have none: the one or the other was not tried", roomy, crowded)
	}
}

// A clamshell’s outer driver stands before its board: in a tapped waveguide at the other
// tap, and outside of a line.
func TestWhatStandsBeforeTheBoard(t *testing.T) {
	g := groupOf(t, driver.GroupSpec{Driver: bodied(t), SideBySide: 1, Stack: 2, Arrangement: driver.Clamshell, Coupling: []driver.Coupling{{Volume: 1e-3}}, AllGaps: true})
	spec := Spec{Kind: TappedWaveguide}
	spec.Line.Run = Run{Length: 2.4, Area: 0.06}
	spec.Line.Front, spec.Line.Rear, spec.Line.Bodies = 0.2, 2.2, BodiesCounted
	sys, _ := built(t, g, spec, lineSetting(t))
	if s := sys.Facts.Standing; len(s) != 2 || s[0].At != "rear" || s[1].At != "front" || math.Abs(s[0].Volume-1.2e-3) > 1e-12 || math.Abs(s[1].Volume-2.2e-3) > 1e-12 {
		t.Errorf("%+v", s)
	}
	spec.Kind = TransmissionLine
	sys, _ = built(t, g, spec, lineSetting(t))
	if s := sys.Facts.Standing; len(s) != 1 || math.Abs(s[0].Volume-1.2e-3) > 1e-12 {
		t.Errorf("%+v", s)
	}
}

// A driver that is no deeper than its board is thick, at the closed end of a line, stands in
// its hole and takes nothing off the duct: of its 100 mm and the 6 mm of its flange. One that
// reaches a little way in takes no more than its hole lets through.
func TestADriverInItsBoardTakesNothing(t *testing.T) {
	g := groupOf(t, driver.GroupSpec{Driver: bodied(t), SideBySide: 1, Stack: 1})
	spec := Spec{Kind: TransmissionLine}
	spec.Line.Run = Run{Length: 1.8, Area: 0.04}
	spec.Line.Bodies = BodiesCounted
	for panel, standing := range map[float64]int{0.018: 1, 0.1059: 1, 0.106: 0, 0.106 - 1e-12: 0, 0.15: 0} {
		set := lineSetting(t)
		set.Panel = panel
		sys, _ := built(t, g, spec, set)
		if n := len(sys.Facts.Standing); n != standing {
			t.Errorf("boards of %g m: %d things stand in the duct, not %d", panel, n, standing)
		}
		if standing == 0 {
			continue
		}
		want := math.Min(1.2e-3, 0.19*0.19*(0.106-panel)) // its own, or a hole of 190 mm
		check.Near(t, "takes, m³", sys.Facts.Standing[0].Volume, want, 1e-15, "rounding")
	}
}
