package enclosure

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/airflow"
	"basswright/internal/check"
	"basswright/internal/phys"
)

func ventedSystem(t *testing.T, p Port, tuning float64) (*System, error) {
	t.Helper()
	sys, _, err := Build(oneOf(t, of(t, 30, 0.4, 60, 5)), Spec{Kind: Vented, Rear: Chamber{Volume: 0.05, Tuning: tuning, Port: p}}, Setting{Air: phys.StandardAir(), Space: 2 * math.Pi, Distance: 1})
	return sys, err
}

// A flare of next to no radius is a sharp edge: the end corrections go over.
func TestFlareOfNothingIsSharp(t *testing.T) {
	for _, p := range []Port{{Shape: Round, Diameter: 0.1}, {Shape: Slot, Width: 0.2, Height: 0.03}, {Shape: AreaOnly, Area: 60e-4}, {Shape: Round, Diameter: 0.07, Count: 3, Inner: EndFlanged}} {
		sharp, err := ventedSystem(t, p, 30)
		if err != nil {
			t.Fatal(err)
		}
		p.Flare = 1e-9
		soft, err := ventedSystem(t, p, 30)
		if err != nil {
			t.Fatal(err)
		}
		a, b := sharp.Facts.Ports[0], soft.Facts.Ports[0]
		check.Near(t, "length", b.Port.Length, a.Port.Length, 1e-7, "m; the flares are 1e-9 m")
		check.Near(t, "volume", b.Volume, a.Volume, 1e-9, "m³")
		check.Near(t, "mass", b.Mass, a.Mass, 1e-9*a.Mass, "of the same tuning")
	}
}

// The length of a flared port, against airflow's own search for a port that has
// that bore: the same masses, added up in two places, to rounding and the search's
// 1e-12 of the size. And a length that was found tunes as it was asked.
func TestFlaredPortAsAirflowHasIt(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		p := Port{Shape: Round, Diameter: rapid.Float64Range(0.05, 0.12).Draw(rt, "diameter"), Count: rapid.IntRange(1, 2).Draw(rt, "count"),
			Flare: rapid.Float64Range(0.001, 0.03).Draw(rt, "flare"), Inner: EndFree, Outer: EndFlanged}
		if rapid.Bool().Draw(rt, "slot") {
			p.Shape, p.Width, p.Height, p.Diameter = Slot, 0.15, rapid.Float64Range(0.02, 0.06).Draw(rt, "height"), 0
		}
		sys, err := ventedSystem(t, p, 26)
		if err != nil {
			rt.Fatal(err)
		}
		f := sys.Facts.Ports[0]
		inner, outer := p.Airends()
		const speed = 10.0
		fit, err := airflow.Least(airflow.Need{Flow: speed * f.Area, Speed: speed, Frequency: 26, Count: p.Count, Slot: p.Shape == Slot, Width: p.Width,
			Inner: inner, Outer: outer, Air: phys.StandardAir(), Mass: f.Mass, Tuning: 26})
		if err != nil {
			rt.Fatal(err)
		}
		check.Near(t, "length", f.Port.Length, fit.Length, 1e-8, "m")
		check.Near(t, "volume", f.Volume, fit.Taken, 1e-10, "m³")
		check.Near(t, "pipe mode", f.PipeMode, fit.PipeMode, 1e-6, "Hz")
		p.Length = f.Port.Length
		again, err := ventedSystem(t, p, 0)
		if err != nil {
			rt.Fatal(err)
		}
		check.Near(t, "tuning", again.Facts.Ports[0].Tuning, 26, 1e-9, "Hz; rounding")
		sharp := p
		sharp.Flare, sharp.Length = 0, 0
		if s, err := ventedSystem(t, sharp, 26); err != nil || s.Facts.Ports[0].Port.Length >= p.Length {
			rt.Errorf("flares hold less air than bore: the flared port of %g m is no longer than the sharp one, %v", p.Length, err)
		}
	})
}

// A port that is shorter than its flares, and a tuning for which the flares alone
// are too much, are refused with the mend.
func TestFlaresThatCannotBe(t *testing.T) {
	for _, c := range []struct {
		port   Port
		tuning float64
		key    string
		say    string
	}{
		{Port{Shape: Round, Diameter: 0.1, Length: 0.05, Flare: 0.03}, 0, "port.flare", "longer than the port"},
		{Port{Shape: Round, Diameter: 0.1, Flare: 0.08}, 60, "port", "even a hole of this size"},
		{Port{Shape: Round, Diameter: 3, Flare: 0.01}, 300, "port.flare", "the diameter does not lie between"},
	} {
		_, err := ventedSystem(t, c.port, c.tuning)
		var e *Error
		if !errors.As(err, &e) || e.Key != c.key || !strings.Contains(e.Reason, c.say) || e.Mend == "" {
			t.Errorf("%+v tuned to %g Hz: %v", c.port, c.tuning, err)
		}
	}
}
