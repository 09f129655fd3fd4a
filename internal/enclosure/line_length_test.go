package enclosure

import (
	"errors"
	"math"
	"math/cmplx"
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

// A tuning that no length gives, and one of a horn, are refused.
func TestTuningFaults(t *testing.T) {
	set, g := lineSetting(t), groupOf(t, driver.GroupSpec{Driver: bodied(t), SideBySide: 1, Stack: 1})
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
