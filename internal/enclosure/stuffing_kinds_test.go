package enclosure

import (
	"math"
	"math/cmplx"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/check"
	"basswright/internal/duct"
	"basswright/internal/phys"
)

// Every kind with chambers that are filled against the driver’s own equations, with the
// bulk modulus that the model of fill has.
func TestStuffedKindsByHand(t *testing.T) {
	set := lineSetting(t)
	d := of(t, 30, 0.4, 80, 5)
	none := Losses{Leakage: Loss{State: LossNone}, Absorption: Loss{State: LossNone}, Port: Loss{State: LossNone}}
	rear := Chamber{Volume: 0.025, Fill: Stuffing{duct.Fill{Resistivity: 6000}, 0.7}}
	front := Chamber{Volume: 0.018, Tuning: 55, Fill: Stuffing{duct.Fill{Resistivity: 900}, 0.4}}
	tuned := rear
	tuned.Tuning = 33
	kinds := map[string]Spec{
		"bandpass":          {Kind: Bandpass, Rear: rear, Front: front, Losses: none},
		"bandpass_parallel": {Kind: BandpassParallel, Rear: tuned, Front: front, Losses: none},
		"bandpass_series":   {Kind: BandpassSeries, Rear: tuned, Front: front, Losses: none},
		"passive_radiator":  {Kind: PassiveRadiator, Rear: tuned, Losses: none, Radiator: Radiator{Sd: 0.05, Mms: 0.05, Cms: 1e-3, Rms: 2}},
	}
	for name, spec := range kinds {
		sys, sol := built(t, oneOf(t, d), spec, set)
		air := func(c Chamber, w float64) complex128 { // admittance
			_, k := c.Fill.At(duct.GasOf(set.Air), w)
			return complex(0, w*c.Volume) * (complex(c.Fill.Share, 0)/k + complex((1-c.Fill.Share)/(set.Air.Rho*set.Air.C*set.Air.C), 0))
		}
		mass := func(port string) float64 {
			for _, p := range sys.Facts.Ports {
				if p.Name == port {
					return p.Mass
				}
			}
			t.Fatalf("%s has no %s", name, port)
			return 0
		}
		for f := 5.0; f < 1000; f *= 1.13 {
			w := 2 * math.Pi * f
			jw := complex(0, w)
			r := air(rear, w)
			var load complex128 // pressure of rear and front over the cone’s flow
			switch spec.Kind {
			case Bandpass:
				load = 1/r + 1/(air(front, w)+1/(jw*complex(mass("front.port"), 0)))
			case BandpassParallel:
				load = 1/(r+1/(jw*complex(mass("rear.port"), 0))) + 1/(air(front, w)+1/(jw*complex(mass("front.port"), 0)))
			case BandpassSeries: // flow +1 into the front, −1 into the rear, a port between both
				y, p := jw*complex(mass("rear.port"), 0), air(front, w)+1/(jw*complex(mass("front.port"), 0))
				between := 1 / (y + 1/p + 1/r) // of the port, per volt of pressure in the loop
				u := (1/p + 1/r) * between     // through the port from front to rear
				load = (1 - u) * (1/p + 1/r)
			case PassiveRadiator:
				q := sys.Spec.Radiator
				z := complex(q.Rms, 0) + jw*complex(q.Mms+q.AddedMass, 0) + 1/(jw*complex(q.Cms, 0))
				load = 1 / (r + complex(q.Sd*q.Sd, 0)/z)
			}
			zm := complex(d.Rms, 0) + jw*complex(d.Mms, 0) + 1/(jw*complex(d.Cms, 0)) + complex(d.Sd*d.Sd, 0)*load
			want := complex(d.Re, 0) + complex(d.Bl*d.Bl, 0)/zm
			if err := sol.Solve(w); err != nil {
				t.Fatal(err)
			}
			if got := sys.Impedance(sol); cmplx.Abs(got/want-1) > 1e-10 { // rounding, where a port and its chamber cancel
				t.Fatalf("%s at %g Hz: %v, by hand %v", name, f, got, want)
			}
		}
		want := 2
		if spec.Kind == PassiveRadiator {
			want = 1
		}
		if len(sys.Facts.Fills) != want {
			t.Errorf("%s: %+v", name, sys.Facts.Fills)
		}
		for _, f := range sys.Facts.Fills {
			if !(f.Gain > 1 && f.Gain < phys.Gamma && f.Q > 1) {
				t.Errorf("%s: %+v", name, f)
			}
		}
	}
}

// A tuning by a radiator’s added mass comes back from that mass, with fill in the box,
// and lies below that of the empty box by less than √γ.
func TestRadiatorTuningWithFill(t *testing.T) {
	set, g := lineSetting(t), oneOf(t, of(t, 30, 0.35, 80, 5))
	rapid.Check(t, func(rt *rapid.T) {
		spec := Spec{Kind: PassiveRadiator, Radiator: Radiator{Sd: 0.04, Mms: 0.03, Cms: rapid.Float64Range(3e-4, 3e-3).Draw(rt, "cms"), Rms: 1, Count: rapid.IntRange(1, 3).Draw(rt, "count")}}
		spec.Rear = Chamber{Volume: rapid.Float64Range(0.01, 0.2).Draw(rt, "volume"), Fill: Stuffing{duct.Fill{Resistivity: rapid.Float64Range(100, 50000).Draw(rt, "σ")}, rapid.Float64Range(0.05, 1).Draw(rt, "share")}}
		bare, _, err := Build(g, spec, set)
		if err != nil {
			rt.Fatal(err)
		}
		spec.Rear.Tuning = rapid.Float64Range(0.4, 0.99).Draw(rt, "of the bare tuning") * bare.Facts.RadiatorFb
		asked, _, err := Build(g, spec, set)
		if err != nil {
			rt.Fatal(err)
		}
		if f := asked.Facts.RadiatorFb; math.Abs(f/spec.Rear.Tuning-1) > 1e-9 { // both solve one equation
			rt.Fatalf("tuned to %g Hz, asked %g Hz", f, spec.Rear.Tuning)
		}
		spec.Radiator.AddedMass, spec.Rear.Tuning, spec.Rear.Fill.Share = asked.Spec.Radiator.AddedMass, 0, 0
		empty, _, err := Build(g, spec, set)
		if err != nil {
			rt.Fatal(err)
		}
		if f, e := asked.Facts.RadiatorFb, empty.Facts.RadiatorFb; !(e >= f && e < f*math.Sqrt(phys.Gamma)) {
			rt.Fatalf("%g Hz with fill, %g Hz without", f, e)
		}
	})
}

// Fill as thin as air itself changes nothing, in any kind.
func TestFillOfNothing(t *testing.T) {
	set, g := lineSetting(t), oneOf(t, of(t, 30, 0.35, 80, 5))
	thin := Stuffing{duct.Fill{Resistivity: 1}, 0.01}
	for _, spec := range []Spec{
		{Kind: Bandpass, Rear: Chamber{Volume: 0.02}, Front: Chamber{Volume: 0.02, Tuning: 50}},
		{Kind: BandpassSeries, Rear: Chamber{Volume: 0.02, Tuning: 30}, Front: Chamber{Volume: 0.02, Tuning: 50}},
		{Kind: PassiveRadiator, Rear: Chamber{Volume: 0.02, Tuning: 35}, Radiator: Radiator{Sd: 0.04, Mms: 0.05, Cms: 1e-3, Rms: 1}},
	} {
		empty, s1 := built(t, g, spec, set)
		spec.Rear.Fill, spec.Front.Fill = thin, thin
		filled, s2 := built(t, g, spec, set)
		for f := 15.0; f < 300; f *= 1.3 {
			if s1.Solve(2*math.Pi*f) != nil || s2.Solve(2*math.Pi*f) != nil {
				t.Fatal("no solution")
			}
			check.Near(t, "impedance, as a share", cmplx.Abs(empty.Impedance(s1)/filled.Impedance(s2)-1), 0, 2e-3, "a hundredth of the air, softer by √(σ/f) of 0.4")
		}
	}
}
