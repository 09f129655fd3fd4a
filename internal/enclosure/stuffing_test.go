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

// Fill takes the air of a chamber from adiabatic to isothermal: at high frequencies
// against its resistivity it is as if it were not there, at low ones the chamber
// appears γ times as large, and between, it takes energy at every frequency.
func TestStuffingBounds(t *testing.T) {
	b := &builder{System: &System{Setting: lineSetting(t)}}
	rapid.Check(t, func(rt *rapid.T) {
		c := &Chamber{Volume: rapid.Float64Range(0.002, 0.5).Draw(rt, "volume")}
		c.Fill = Stuffing{duct.Fill{Resistivity: math.Exp(rapid.Float64Range(0, math.Log(1e6)).Draw(rt, "ln σ"))}, rapid.Float64Range(0.01, 1).Draw(rt, "share")}
		f := math.Exp(rapid.Float64Range(math.Log(0.1), math.Log(2000)).Draw(rt, "ln f"))
		g, most := b.gain(c, f), 1+c.Fill.Share*(phys.Gamma-1)
		if !(g >= 1 && g <= most) {
			rt.Fatalf("appears %g times as large, of 1 to %g", g, most)
		}
		y := b.filledAir(c).At(2 * math.Pi * f)
		if !(real(y) >= 0) || math.Abs(imag(y)/(2*math.Pi*f*b.compliance(c.Volume))/g-1) > 1e-12 { // rounding
			rt.Fatalf("its admittance is %v", y)
		}
		if b.gain(c, 2*f) > g*(1+1e-12) {
			rt.Fatalf("at %g Hz it appears larger than at %g Hz", 2*f, f)
		}
	})
	c := &Chamber{Volume: 0.03, Fill: Stuffing{duct.Fill{Resistivity: 10000}, 1}}
	// Both ends go as the root of f/σ and of its inverse: 1e-8 and 1e8 leave 1e-4.
	check.Near(t, "isothermal", b.gain(c, 1e-4), phys.Gamma, 1e-3, "the root of f/σ")
	check.Near(t, "adiabatic", b.gain(c, 1e12), 1, 1e-3, "the root of σ/f")
}

// A filled sealed box against the driver’s own equations with the bulk modulus that the
// model of fill has, which the duct package holds against its publication.
func TestStuffedBoxByHand(t *testing.T) {
	set := lineSetting(t)
	d := of(t, 30, 0.4, 80, 5)
	fill := duct.Fill{Resistivity: 6000}
	const volume, share = 0.025, 0.7
	sys, sol := built(t, oneOf(t, d), Spec{Kind: Sealed, Rear: Chamber{Volume: volume, Fill: Stuffing{fill, share}}}, set)
	for f := 5.0; f < 1000; f *= 1.1 {
		w := 2 * math.Pi * f
		jw := complex(0, w)
		_, k := fill.At(duct.GasOf(set.Air), w)
		air := jw * complex(volume, 0) * (complex(share, 0)/k + complex((1-share)/(set.Air.Rho*set.Air.C*set.Air.C), 0))
		zm := complex(d.Rms, 0) + jw*complex(d.Mms, 0) + 1/(jw*complex(d.Cms, 0)) + complex(d.Sd*d.Sd, 0)/air
		want := complex(d.Re, 0) + complex(d.Bl*d.Bl, 0)/zm
		if err := sol.Solve(w); err != nil {
			t.Fatal(err)
		}
		if got := sys.Impedance(sol); cmplx.Abs(got/want-1) > 1e-12 { // rounding
			t.Fatalf("at %g Hz: %v, by hand %v", f, got, want)
		}
	}
	if len(sys.Facts.Fills) != 1 || sys.Facts.Fills[0].Chamber != "box" || !(sys.Facts.Fills[0].Q > 1) {
		t.Errorf("%+v", sys.Facts.Fills)
	}
}

// A total Q is reached with the fill in: less box does it, as the fill both makes it
// appear larger and damps it.
func TestSystemQWithFill(t *testing.T) {
	set, g := lineSetting(t), oneOf(t, of(t, 30, 0.35, 80, 5))
	bare, _ := built(t, g, Spec{Kind: Sealed, Rear: Chamber{SystemQ: 0.7}}, set)
	filled, _ := built(t, g, Spec{Kind: Sealed, Rear: Chamber{SystemQ: 0.7, Fill: Stuffing{duct.Fill{Resistivity: 8000}, 1}}}, set)
	if v, w := filled.Spec.Rear.Volume, bare.Spec.Rear.Volume; !(v < w && v > w/phys.Gamma/1.3) {
		t.Errorf("%g m³ with fill, %g m³ without", v, w)
	}
	check.Near(t, "Qtc", filled.Facts.SealedQtc, 0.7, 1e-9, "the volume is found to the last bit")
}

// A port’s length taken from a tuning gives that tuning back, with fill in the box; and
// against the same port without fill the tuning lies between that and its √γth part.
func TestTuningWithFill(t *testing.T) {
	set, g := lineSetting(t), oneOf(t, of(t, 30, 0.35, 80, 5))
	box := Chamber{Volume: 0.05, Tuning: 28, Port: Port{Shape: Round, Diameter: 0.1}, Fill: Stuffing{duct.Fill{Resistivity: 5000}, 0.5}}
	asked, _ := built(t, g, Spec{Kind: Vented, Rear: box}, set)
	box.Port.Length, box.Tuning = asked.Facts.Ports[0].Port.Length, 0
	back, _ := built(t, g, Spec{Kind: Vented, Rear: box}, set)
	check.Near(t, "tuning", back.Facts.Ports[0].Tuning, 28, 1e-9, "both solve one equation")
	box.Fill.Share = 0
	empty, _ := built(t, g, Spec{Kind: Vented, Rear: box}, set)
	if f := empty.Facts.Ports[0].Tuning; !(f > 28 && f < 28*math.Sqrt(phys.Gamma)) {
		t.Errorf("without fill it is tuned to %g Hz", f)
	}
}

// Fill stands for absorption, and no alignment knows of it.
func TestStuffingFaults(t *testing.T) {
	set, g := lineSetting(t), oneOf(t, of(t, 30, 0.35, 80, 5))
	fill := Stuffing{duct.Fill{Resistivity: 5000}, 1}
	for key, s := range map[string]Spec{
		"losses.absorption":      {Kind: Sealed, Rear: Chamber{Volume: 0.05, Fill: fill, Losses: Losses{Absorption: Loss{LossGiven, 50}}}},
		"fill":                   {Kind: Vented, Rear: Chamber{Fill: fill}, Alignment: Alignment{Family: "qb3"}},
		"rear.losses.absorption": {Kind: FrontLoadedHorn, Rear: Chamber{Volume: 0.05, Fill: fill, Losses: Losses{Absorption: Loss{LossGiven, 50}}}},
		"throat_chamber.fill":    {Kind: BackLoadedHorn, Line: Line{Throat: Chamber{Volume: 0.01, Fill: Stuffing{duct.Fill{}, 1}}}},
	} {
		_, _, err := Build(g, s, set)
		if e, ok := err.(*Error); !ok || e.Key != key || e.Reason == "" || e.Mend == "" {
			t.Errorf("%s: %v", key, err)
		}
	}
}
