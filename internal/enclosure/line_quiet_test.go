package enclosure

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/driver"
	"basswright/internal/duct"
)

// quietStack is a stack that takes up much of its duct, with the length of this from a
// tuning where one is given.
func quietStack(t rapidFatal, set Setting, d *driver.Driver, air float64, run Run, fills []duct.Filling) (*System, error) {
	g, _, err := driver.NewGroup(driver.GroupSpec{Driver: d, SideBySide: 1, Stack: 2, Coupling: []driver.Coupling{{Volume: air}}})
	if err != nil {
		t.Fatal(err)
	}
	sys, _, err := Build(g, Spec{Kind: TransmissionLine, Line: Line{Run: run, Fills: fills, Bodies: BodiesCounted, Quiet: true}}, set)
	return sys, err
}

type rapidFatal interface{ Fatal(...any) }

// A place that is told as quiet is the quiet one of the duct that is built, with what
// stands in it where it stands: also where going to and fro between the two, each as the
// other asks, has no end, as with the first three.
func TestAQuietPlaceIsQuiet(t *testing.T) {
	set, d := lineSetting(t), bodied(t)
	held := func(t rapidFatal, name string, sys *System, most float64) {
		f := sys.Facts.Line
		if off := math.Abs(f.Quiet(f.ThreeQuarters) - sys.Spec.Line.Driver); off > most*f.Length {
			t.Fatal(name, "the cone stands", sys.Spec.Line.Driver, "m from the end and", off, "m from its quiet place")
		}
	}
	fill := []duct.Filling{{To: 0.1162, Fill: duct.Fill{Resistivity: 2713}}}
	for name, c := range map[string]struct {
		air   float64
		run   Run
		fills []duct.Filling
	}{
		"by 91 mm to and fro":  {0.019167, Run{Length: 2.46335, Start: 0.03408, End: 0.043646, Flare: FlareParabolic}, fill},
		"by 11 mm to and fro":  {0.006876, Run{Length: 1.41667, Start: 0.024954, End: 0.023341}, nil},
		"with a tuning":        {0.015193, Run{Tuning: 26.4843, Start: 0.024643, End: 0.016917, Flare: FlareExponential}, nil},
		"little in a wide one": {0.002, Run{Length: 2, Area: 0.06}, nil},
	} {
		sys, err := quietStack(t, set, d, c.air, c.run, c.fills)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		held(t, name, sys, quietEnough)
		if q := sys.Facts.Line.Quarter; c.run.Tuning > 0 && math.Abs(q/c.run.Tuning-1) > 1e-8 {
			t.Errorf("%s: tuned to %.9g Hz", name, q)
		}
	}
	rapid.Check(t, func(rt *rapid.T) {
		r := func(lo, hi float64, name string) float64 { return rapid.Float64Range(lo, hi).Draw(rt, name) }
		run := Run{Length: r(0.8, 3, "length"), Start: r(0.02, 0.06, "start"), End: r(0.02, 0.06, "end"), Flare: rapid.SampledFrom([]Flare{FlareCone, FlareExponential, FlareParabolic}).Draw(rt, "flare")}
		sys, err := quietStack(rt, set, d, r(0.002, 0.02, "air"), run, nil)
		if err != nil {
			rt.Fatal(err)
		}
		held(rt, "drawn", sys, quietEnough)
	})
}

// Where the quiet place leaps over the cone by more than does no harm, it is an error that
// says how far; by less, the place is taken, and a slope of any steepness is gone down.
func TestAPlaceThatDoesNotSettleIsToldSo(t *testing.T) {
	const length = 2.0
	for _, c := range []struct {
		name string
		of   func(at float64) float64
		want float64 // m; 0: an error
	}{
		{"of its own", func(float64) float64 { return 0.7 }, 0.7},
		{"gentle", func(at float64) float64 { return 0.9 - 0.3*at }, 0.9 / 1.3},
		{"steep", func(at float64) float64 { return 0.7 - 40*(at-0.7) }, 0.7},
		{"a small leap", func(at float64) float64 { return 0.7 + math.Copysign(0.003, 0.7-at) }, 0.7},
		{"a leap", func(at float64) float64 { return 0.7 + math.Copysign(0.005, 0.7-at) }, 0},
	} {
		place, err := settle(length, func(at float64) (float64, error) { return c.of(at), nil })
		var e *Error
		switch {
		case c.want == 0:
			if !errors.As(err, &e) || e.Key != "driver_at" || e.Mend == "" || !strings.Contains(e.Reason, "a cone at 0.700\u2009m has its quiet place 0.0050\u2009m from there") {
				t.Errorf("%s: %v, at %g m", c.name, err, place)
			}
		case err != nil || math.Abs(place-c.want) > quietEnough*length:
			t.Errorf("%s: at %g m, %v", c.name, place, err)
		}
	}
	refused := errors.New("no duct")
	if _, err := settle(length, func(float64) (float64, error) { return 0, refused }); err != refused {
		t.Error(err)
	}
}
