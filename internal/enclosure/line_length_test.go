package enclosure

import (
	"errors"
	"math"
	"math/cmplx"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/check"
	"basswright/internal/driver"
	"basswright/internal/duct"
)

// A line whose length is taken from a tuning has its quarter wave there, whatever flare,
// fill and drivers are in it, and one of that length told outright is the same.
func TestLengthFromATuning(t *testing.T) {
	set := lineSetting(t)
	d := bodied(t)
	rapid.Check(t, func(rt *rapid.T) {
		r := func(lo, hi float64, name string) float64 { return rapid.Float64Range(lo, hi).Draw(rt, name) }
		spec := Spec{Kind: rapid.SampledFrom([]Kind{TransmissionLine, TappedWaveguide}).Draw(rt, "kind")}
		spec.Line.Run = Run{Tuning: r(20, 60, "tuning"), Start: r(0.02, 0.06, "start"), End: r(0.02, 0.06, "end"), Flare: rapid.SampledFrom([]Flare{FlareCone, FlareExponential, FlareParabolic}).Draw(rt, "flare")}
		spec.Line.Front, spec.Line.Rear, spec.Line.Driver = 0.1, 0.45, 0.3
		spec.Line.Bodies = rapid.SampledFrom([]Bodies{BodiesLeftOut, BodiesCounted}).Draw(rt, "bodies")
		if rapid.Bool().Draw(rt, "filled") {
			spec.Line.Fills = []duct.Filling{{To: 0.3, Fill: duct.Fill{Resistivity: r(100, 3000, "σ")}}}
		}
		g, _, err := driver.NewGroup(driver.GroupSpec{Driver: d, SideBySide: 1, Stack: 1})
		if err != nil {
			rt.Fatal(err)
		}
		sys, _, err := Build(g, spec, set)
		if err != nil {
			rt.Fatal(err)
		}
		asked := spec.Line.Run.Tuning
		if f := sys.Facts.Line.Quarter; math.Abs(f/asked-1) > 1e-8 { // the length is found to the twelfth digit, its quarter wave to about the tenth
			rt.Fatalf("tuned to %g Hz, asked %g Hz", f, asked)
		}
		spec.Line.Run.Tuning, spec.Line.Run.Length = 0, sys.Spec.Line.Run.Length
		same, _, err := Build(g, spec, set)
		if err != nil {
			rt.Fatal(err)
		}
		// The length that is told is the sum of the duct’s stretches, which may differ in the
		// last bit from the one that they were made from; the quarter wave is a root of sums
		// of a few hundred products of such numbers.
		if math.Abs(same.Facts.Line.Quarter/sys.Facts.Line.Quarter-1) > 1e-12 || sys.Spec.Line.Run.Tuning != 0 {
			rt.Fatalf("by its length it is tuned to %.17g Hz, by its tuning to %.17g Hz", same.Facts.Line.Quarter, sys.Facts.Line.Quarter)
		}
	})
}

// A plain pipe without loss: the length is c/4f less the end’s correction there, which
// for a small one is 0.8216 radii.
func TestLengthOfAPlainPipe(t *testing.T) {
	set := lineSetting(t)
	set.RigidWalls = true
	spec := Spec{Kind: TransmissionLine}
	spec.Line.Run = Run{Tuning: 40, Area: 0.001}
	sys, _ := built(t, groupOf(t, driver.GroupSpec{Driver: bodied(t), SideBySide: 1, Stack: 1}), spec, set)
	want := set.Air.C/160 - 0.8216*math.Sqrt(0.001/math.Pi)
	check.Near(t, "length, m", sys.Facts.Line.Length, want, 2e-5, "the end’s correction is that of ka = 0, and this is 0.013")
}

// A cone that is put where it is quiet does not excite the three-quarter wave: what
// comes out of the mouth there is small against that of a cone elsewhere.
func TestQuietPlace(t *testing.T) {
	set := lineSetting(t)
	set.RigidWalls = true
	g := groupOf(t, driver.GroupSpec{Driver: bodied(t), SideBySide: 1, Stack: 1})
	for name, run := range map[string]Run{"straight": {Length: 2, Area: 0.03}, "tapered": {Length: 2, Start: 0.05, End: 0.02, Flare: FlareParabolic}, "by its tuning": {Tuning: 38, Start: 0.03, End: 0.05}} {
		for _, bodies := range []Bodies{BodiesLeftOut, BodiesCounted} {
			spec := Spec{Kind: TransmissionLine}
			spec.Line.Run, spec.Line.Bodies, spec.Line.Quiet = run, bodies, true
			sys, _ := built(t, g, spec, set)
			if f := sys.Facts.Line; run.Tuning > 0 {
				check.Near(t, name+": tuned to, Hz", f.Quarter, run.Tuning, 1e-5, "length and place settle together to 1e-9")
			}
			// by reciprocity the flow out of the mouth over that of the cone has no resonance:
			// next to the resonance it changes as little as anywhere
			three := sys.Facts.Line.ThreeQuarters
			ratio := func(s *System, f float64) float64 {
				sol := s.Program.NewSolver()
				if err := sol.Solve(2 * math.Pi * f); err != nil {
					t.Fatal(err)
				}
				c := s.Cones[0]
				return cmplx.Abs(sol.Flow(s.Openings[0].Element)) / (c.Sd * cmplx.Abs(sol.Potential(c.Node)))
			}
			spec.Line.Quiet, spec.Line.Run, spec.Line.Driver = false, sys.Spec.Line.Run, 0
			end, _ := built(t, g, spec, set)
			if q, e := ratio(sys, three), ratio(end, end.Facts.Line.ThreeQuarters); !(q < 1.3 && e > 3*q) {
				t.Errorf("%s, bodies %d: %.3g of the cone’s flow at the quiet place, %.3g at the closed end", name, bodies, q, e)
			}
			if name == "straight" && bodies == BodiesLeftOut {
				load := sys.Facts.Line
				w := 2 * math.Pi * load.ThreeQuarters
				z := sys.Net.Element(by(t, sys, "mouth")).Law.At(w)
				endCorrection := math.Atan(imag(z)*0.03/(set.Air.Rho*set.Air.C)) * set.Air.C / w
				check.Near(t, "a third of the effective length, m", sys.Spec.Line.Driver, (2+endCorrection)/3, 2e-3, "the mouth’s resistance shifts it a little")
			}
		}
	}
}

// How much a cone excites the three-quarter wave, over one at the closed end, is what the
// network says of the flow out of the mouth for that of the cone, bare or filled.
func TestHowMuchAPlaceExcites(t *testing.T) {
	set := lineSetting(t)
	g := groupOf(t, driver.GroupSpec{Driver: bodied(t), SideBySide: 1, Stack: 1})
	spec := Spec{Kind: TransmissionLine}
	spec.Line.Run, spec.Line.Bodies = Run{Length: 2, Area: 0.03}, BodiesLeftOut
	for name, c := range map[string]struct {
		fills    []duct.Filling
		from, to float64
	}{
		"bare":     {nil, 0, 0.01},
		"filled":   {[]duct.Filling{{To: 0.8, Fill: duct.Fill{Resistivity: 400}}}, 0.1, 0.9},
		"too much": {[]duct.Filling{{Fill: duct.Fill{Resistivity: 5000}}}, 1, 3},
	} {
		spec.Line.Quiet, spec.Line.Fills, spec.Line.Driver = true, c.fills, 0
		quiet, _ := built(t, g, spec, set)
		f := quiet.Facts.Line
		at := quiet.Spec.Line.Driver
		spec.Line.Quiet = false
		end, _ := built(t, g, spec, set)
		ratio := func(s *System) float64 {
			sol := s.Program.NewSolver()
			if err := sol.Solve(2 * math.Pi * f.ThreeQuarters); err != nil {
				t.Fatal(err)
			}
			return cmplx.Abs(sol.Flow(s.Openings[0].Element) / sol.Potential(s.Cones[0].Node))
		}
		share := f.Excites(at, f.ThreeQuarters)
		check.Near(t, name+": share of what the closed end excites", share, ratio(quiet)/ratio(end), 1e-6, "the same two-ports in another order")
		if !(share > c.from && share < c.to) {
			t.Errorf("%s: %g of what the closed end excites", name, share)
		}
	}
}

// A tuning that no length gives, and one of a horn, are refused.
func TestTuningFaults(t *testing.T) {
	set, g := lineSetting(t), groupOf(t, driver.GroupSpec{Driver: bodied(t), SideBySide: 1, Stack: 1})
	leap := Spec{Kind: TransmissionLine, Line: Line{Run: Run{Tuning: 34, Area: 0.09, Taken: []Taken{{1.9, 2.2, 10e-3}}}}}
	if _, _, err := Build(g, leap, set); err == nil || !strings.Contains(err.Error(), "where what stands in it comes to its mouth") {
		t.Errorf("a tuning that the duct’s quarter wave leaps over: %v", err)
	}
	for key, s := range map[string]Spec{
		"duct.tuning": {Kind: BackLoadedHorn, Line: Line{Run: Run{Tuning: 30, Start: 0.01, End: 0.1}}},
		"fill.from":   {Kind: TransmissionLine, Line: Line{Run: Run{Tuning: 60, Area: 0.01}, Fills: []duct.Filling{{From: 4, Fill: duct.Fill{Resistivity: 900}}}}},
	} {
		_, _, err := Build(g, s, set)
		var e *Error
		if !errors.As(err, &e) || e.Key != key || e.Mend == "" {
			t.Errorf("%s: %v", key, err)
		}
	}
}

// What is taken off a tuned duct does not hinder the search for its length, though some
// of the lengths that are tried do not reach it: the length that is found has the tuning,
// and told outright is the same.
func TestLengthFromATuningWithWhatIsTaken(t *testing.T) {
	set, g := lineSetting(t), groupOf(t, driver.GroupSpec{Driver: bodied(t), SideBySide: 1, Stack: 1})
	for _, taken := range []Taken{{0.5, 0.9, 3e-3}, {0.05, 0.15, 3e-3}, {1.3, 1.5, 10e-3}} {
		spec := Spec{Kind: TransmissionLine, Line: Line{Run: Run{Tuning: 34, Area: 0.09, Taken: []Taken{taken}}}}
		sys, _, err := Build(g, spec, set)
		if err != nil {
			t.Errorf("%v: %v", taken, err)
			continue
		}
		spec.Line.Run.Tuning, spec.Line.Run.Length = 0, sys.Spec.Line.Run.Length
		same, _, err := Build(g, spec, set)
		if err != nil {
			t.Fatal(err)
		}
		check.Near(t, "quarter wave, Hz", same.Facts.Line.Quarter, 34, 34e-8, "the length is found to the twelfth digit, its quarter wave to about the tenth")
	}
}

// A cone near the mouth is no step in the search for a length: at every tuning the length
// that is found has it, or is told as too short for the cone in lengths that tell it.
func TestTuningWithTheConeNearTheMouth(t *testing.T) {
	set, g := lineSetting(t), groupOf(t, driver.GroupSpec{Driver: bodied(t), SideBySide: 1, Stack: 1})
	found, refused := 0, 0
	for tuning := 54.0; tuning < 72; tuning++ {
		for _, s := range []Spec{
			{Kind: TransmissionLine, Line: Line{Run: Run{Tuning: tuning, Area: 0.04}, Driver: 1.25, Bodies: BodiesCounted}},
			{Kind: TappedWaveguide, Line: Line{Run: Run{Tuning: tuning, Area: 0.04}, Front: 0.1, Rear: 1.25, Bodies: BodiesCounted}},
		} {
			sys, _, err := Build(g, s, set)
			var e *Error
			switch {
			case err == nil:
				found++
				check.Near(t, "quarter wave, Hz", sys.Facts.Line.Quarter, tuning, tuning*1e-8, "the length is found to the twelfth digit, its quarter wave to about the tenth")
			case errors.As(err, &e):
				refused++
				if strings.Contains(e.Reason, "1.25\u2009m from the closed end of a duct of 1.25\u2009m") {
					t.Errorf("%g Hz: %s", tuning, e.Reason)
				}
			}
		}
	}
	if found < 4 || refused < 4 {
		t.Errorf("%d lengths found and %d told as too short", found, refused)
	}
}

// Faults of what is taken off a duct, of taps that nearly meet and of points that nearly
// do name what is wrong, where it is written.
func TestFaultsAlongADuct(t *testing.T) {
	set, g := lineSetting(t), groupOf(t, driver.GroupSpec{Driver: bodied(t), SideBySide: 1, Stack: 1})
	line := func(r Run) Spec { return Spec{Kind: TransmissionLine, Line: Line{Run: r}} }
	taken := func(all ...Taken) Spec { return line(Run{Length: 2, Area: 0.03, Taken: all}) }
	for _, c := range []struct {
		spec      Spec
		key, says string
	}{
		{taken(Taken{0.7, 0.5, 1e-3}), "duct.taken[0].to", "from 0.700\u2009m to 0.500\u2009m"},
		{taken(Taken{0.1, 0.2, 1e-4}, Taken{1.5, 2.0001, 1e-3}), "duct.taken[1].to", "to 2.0001\u2009m in a duct of 2.0000\u2009m"},
		{taken(Taken{0.5, 1, 6e-3}, Taken{0.5, 1, 6e-3}, Taken{0.6, 0.9, 6e-3}), "duct.taken[2].volume", "that what overlaps it leaves"},
		{line(Run{Points: []duct.Point{{X: 0, Area: 0.03}, {X: 1, Area: 0.03}, {X: 1.0000001, Area: 0.02}, {X: 2, Area: 0.02}}}), "duct.profile", "two points lie"},
	} {
		_, _, err := Build(g, c.spec, set)
		var e *Error
		if !errors.As(err, &e) || e.Key != c.key || !strings.Contains(e.Reason, c.says) || e.Mend == "" {
			t.Errorf("%v, expected %s: … %s", err, c.key, c.says)
		}
	}
	if _, _, err := Build(g, Spec{Kind: TappedWaveguide, Line: Line{Run: Run{Length: 2, Area: 0.03}, Front: 1, Rear: 1.0001}}, set); err != nil {
		t.Errorf("taps that are 0.1 mm apart: %v", err)
	}
}
