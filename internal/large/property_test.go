package large

import (
	"math"
	"math/cmplx"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/curve"
	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/phys"
)

// drawDriver is a woofer at random, with curves whose shape is that of real
// ones: a force factor that falls, a stiffness that rises, and some asymmetry.
func drawDriver(t *rapid.T) *driver.Driver {
	in := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	fs, qms, qes, sd := in("fs", 20, 60), in("qms", 2, 10), in("qes", 0.25, 0.8), in("sd", 0.012, 0.09)
	mms, re := in("mms", 0.02, 0.2), in("re", 2, 8)
	ws := 2 * math.Pi * fs
	d := &driver.Driver{
		Name: "finch", Re: re, Mms: mms, Cms: 1 / (ws * ws * mms), Rms: ws * mms / qms, Sd: sd,
		Bl: math.Sqrt(ws * mms * re / qes), Coil: driver.VoiceCoil{Le: in("le", 1e-4, 3e-3)}, Coils: driver.Coils{Count: 1},
	}
	if rapid.Bool().Draw(t, "eddy") {
		d.Coil = driver.VoiceCoil{Model: driver.CoilLR2, Le: d.Coil.Le, L2: in("l2", 1e-4, 3e-3), R2: in("r2", 1, 10)}
	}
	x := in("reach", 4e-3, 12e-3)
	mk := func(c ...float64) *curve.Curve {
		for i := range c {
			c[i] /= math.Pow(x, float64(i))
		}
		cv, err := curve.Polynomial(c)
		if err != nil {
			t.Fatal(err)
		}
		return cv
	}
	d.Curves = &driver.Curves{
		Bl:  mk(1, in("bl1", -0.1, 0.1), in("bl2", -0.3, -0.05)),
		Kms: mk(1, in("k1", -0.2, 0.2), in("k2", 0.1, 0.6)),
		Le:  mk(1, in("le1", -0.2, 0.2), in("le2", -0.1, 0.05)),
	}
	if d.Coil.Model == driver.CoilLR2 && rapid.Bool().Draw(t, "eddy curve") {
		d.Curves.L2 = mk(1, in("l21", -0.2, 0.2), in("l22", -0.1, 0.05))
	}
	return d
}

// drawVolume is that of a box as people build them, against the driver's Vas: in a
// box a hundredth of it the port and the cone move as one on the suspension and
// take minutes to settle, and the volts that move the cone push it out of its
// curves for good.
func drawVolume(t *rapid.T, d *driver.Driver) float64 {
	air := phys.StandardAir()
	return air.Rho * air.C * air.C * d.Sd * d.Sd * d.Cms / rapid.Float64Range(0.5, 8).Draw(t, "stiffer")
}

func build(t fataler, g driver.GroupSpec, e enclosure.Spec) *enclosure.System {
	t.Helper()
	group, _, err := driver.NewGroup(g)
	if err != nil {
		t.Fatal(err)
	}
	sys, _, err := enclosure.Build(group, e, enclosure.Setting{Air: phys.StandardAir(), Space: 2 * math.Pi, Distance: 1, BareAir: true})
	if err != nil {
		t.Fatal(err)
	}
	return sys
}

func single(d *driver.Driver) driver.GroupSpec {
	return driver.GroupSpec{Driver: d, SideBySide: 1, Stack: 1}
}

func sealed(volume float64) enclosure.Spec {
	return enclosure.Spec{Kind: enclosure.Sealed, Rear: enclosure.Chamber{Volume: volume}}
}

// inReach is the voltage at which the cone travels about the given distance
// where it travels most, above 15 Hz.
func inReach(m *Model, reach float64) float64 {
	most := 0.0
	for f := 15.0; f < 90; f *= 1.1 {
		s, err := m.NewTone(f, 1)
		if err != nil {
			return 0
		}
		s.linear(1)
		s.volts = 1
		most = math.Max(most, cmplx.Abs(s.Cone(0).Of[0]))
	}
	return reach / most
}

// Both methods agree for drivers at random in boxes of every sort.
func TestBothMethodsAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawDriver(t)
		volume := drawVolume(t, d)
		spec := single(d)
		e := sealed(volume)
		if rapid.Bool().Draw(t, "absorbed") {
			e.Rear.Losses.Absorption = enclosure.Loss{State: enclosure.LossGiven, Q: 20}
		}
		switch rapid.SampledFrom([]string{"sealed", "vented", "stack", "coupled", "pair", "radiator"}).Draw(t, "box") {
		case "vented":
			e.Kind, e.Rear.Tuning = enclosure.Vented, rapid.Float64Range(22, 45).Draw(t, "tuning")
		case "radiator":
			e.Kind = enclosure.PassiveRadiator
			e.Rear.Losses.Leakage = enclosure.Loss{State: enclosure.LossNone} // through a leak it would settle over a minute
			e.Radiator = enclosure.Radiator{Sd: 1.5 * d.Sd, Mms: d.Mms * rapid.Float64Range(0.5, 2).Draw(t, "heavier"), Cms: 2 * d.Cms, Rms: d.Rms, Count: 1}
		case "stack":
			spec.Stack, spec.Arrangement = 2, driver.Clamshell
		case "coupled":
			spec.Stack, spec.Arrangement = 2, driver.Clamshell
			spec.Coupling, spec.AllGaps = []driver.Coupling{{Volume: 2e-3}}, true
		case "pair":
			spec.SideBySide = 2
		}
		m := New(build(t, spec, e), Options{Adiabatic: true})
		f := rapid.Float64Range(20, 80).Draw(t, "f")
		compareWithCourse(t, m, f, inReach(m, 4e-3))
	})
}
