package large

import (
	"math"
	"math/cmplx"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/curve"
	"basswright/internal/driver"
	"basswright/internal/enclosure"
)

// shaped is a curve 1 + a·x + b·x².
func shaped(t *rapid.T, name string) *curve.Curve {
	c, err := curve.Polynomial([]float64{1, rapid.Float64Range(-25, 25).Draw(t, name), rapid.Float64Range(-700, 400).Draw(t, name)})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// eddyDriver is a woofer at random whose L2 changes.
func eddyDriver(t *rapid.T) *driver.Driver {
	d := drawDriver(t)
	d.Coil = driver.VoiceCoil{Model: driver.CoilLR2, Le: d.Coil.Le, L2: rapid.Float64Range(3e-4, 4e-3).Draw(t, "L2"), R2: rapid.Float64Range(0.5, 10).Draw(t, "R2")}
	d.Curves.L2 = shaped(t, "L2(x)")
	return d
}

// Over a period, what the source gives is what the coil, the suspension and the
// eddy currents turn into heat: R2·(i − i₂)². i₂ is read from the course in time,
// as the flux that is seen over L2(x).
func TestEnergyBalancesWithEddies(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := eddyDriver(t)
		m := New(build(t, single(d), sealed(drawVolume(t, d))), Options{})
		f := rapid.Float64Range(15, 80).Draw(t, "f")
		s, err := m.Steady(f, inReach(m, rapid.Float64Range(1e-3, 4e-3).Draw(t, "swing")))
		if err != nil {
			t.Fatal(err)
		}
		i, x := s.Current(), s.Cone(0)
		given := real(phasor(s.volts)*cmplx.Conj(i.Of[0])) / 2
		var heat float64
		for n := range i.Of {
			a, v := cmplx.Abs(i.Of[n]), 2*math.Pi*f*float64(n+1)*cmplx.Abs(x.Of[n])
			heat += (d.Re*a*a + d.Rms*v*v) / 2
		}
		mt := &m.motors[0]
		s.evaluate()
		mean := 0.0
		for k, w := range s.seen[mt.w] {
			v, _, _ := d.Curves.L2.At(s.seen[mt.x][k] * float64(mt.Facing) * mt.Ratio)
			eddy := s.seen[mt.i][k] - w/v // the curve is 1 at rest, and a single driver the network’s own scale
			mean += d.Coil.R2 * eddy * eddy
		}
		heat += mean / float64(s.grid.n)
		if math.Abs(given-heat) > 1e-9*heat { // the lines beyond the last are below 3e-7, their power 1e-13
			t.Errorf("%g W go in and %g W become heat", given, heat)
		}
	})
}

// With an R2 through which nothing flows, Le and L2 are one inductance: of one
// shape, they are that of the plain coil.
func TestEddiesWithoutLossAreAnInductance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := eddyDriver(t)
		d.Coil.R2 = 1e7
		d.Curves.Le = d.Curves.L2
		plain := *d
		plain.Coil = driver.VoiceCoil{Le: d.Coil.Le + d.Coil.L2}
		plain.Curves = &driver.Curves{Bl: d.Curves.Bl, Kms: d.Curves.Kms, Le: d.Curves.L2}
		volume := drawVolume(t, d)
		a, b := New(build(t, single(d), sealed(volume)), Options{}), New(build(t, single(&plain), sealed(volume)), Options{})
		f := rapid.Float64Range(15, 150).Draw(t, "f")
		volts := inReach(a, 4e-3)
		sa, err := a.Steady(f, volts)
		if err != nil {
			t.Fatal(err)
		}
		sb, err := b.Steady(f, volts)
		if err != nil {
			t.Fatal(err)
		}
		same(t, sa, sb, 1e-5) // ωL2/R2 is at most 2π·33·150·4e-3/1e7 = 1e-5
	})
}

// same holds two steady states against each other, as a share of the fundamental.
func same(t *rapid.T, a, b *Tone, tolerance float64) {
	x, y := a.Cone(0), b.Cone(0)
	first := cmplx.Abs(x.Of[0])
	if math.Abs(x.Mean-y.Mean) > tolerance*first {
		t.Errorf("the means are %g and %g m", x.Mean, y.Mean)
	}
	for n := range min(len(x.Of), len(y.Of)) {
		if d := cmplx.Abs(x.Of[n] - y.Of[n]); d > tolerance*first {
			t.Errorf("line %d of the cone is %v and %v", n+1, x.Of[n], y.Of[n])
		}
	}
}

// What one driver does, each of several does that share a voltage: side by side in
// as many boxes’ air, with two coils in parallel or in series at the same volts a
// coil, or turned with its curves.
func TestEddiesOfAlikeDrivers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := eddyDriver(t)
		volume := drawVolume(t, d)
		one := New(build(t, single(d), sealed(volume)), Options{})
		f, volts := rapid.Float64Range(15, 80).Draw(t, "f"), inReach(one, 3e-3)
		alone, err := one.Steady(f, volts)
		if err != nil {
			t.Fatal(err)
		}
		n := rapid.IntRange(2, 3).Draw(t, "abreast")
		spec := single(d)
		spec.SideBySide = n
		scale := 1.0
		if rapid.Bool().Draw(t, "in series") {
			spec.Wiring, scale = driver.Wiring{Way: driver.WiringSeries}, float64(n)
		}
		group, err := New(build(t, spec, sealed(float64(n)*volume)), Options{}).Steady(f, scale*volts)
		if err != nil {
			t.Fatal(err)
		}
		same(t, alone, group, 1e-9) // the same equations, scaled
		coils := *d
		coils.Coils = driver.Coils{Count: 2}
		coils.Re *= 2 // two coils in parallel are then the one
		pair, err := New(build(t, single(&coils), sealed(volume)), Options{}).Steady(f, volts)
		if err != nil {
			t.Fatal(err)
		}
		same(t, alone, pair, 1e-9)
	})
}

// A course with eddies goes on where it was adopted as the one it came from.
func TestAdoptWithEddies(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := eddyDriver(t)
		spec := single(d)
		spec.Stack, spec.Arrangement = 2, driver.Clamshell
		m := New(build(t, spec, enclosure.Spec{Kind: enclosure.Sealed, Rear: enclosure.Chamber{Volume: drawVolume(t, d)}}), Options{})
		volts := inReach(m, 3e-3)
		a, err := m.NewCourse(1e-4)
		if err != nil {
			t.Fatal(err)
		}
		b, err := m.NewCourse(1e-4)
		if err != nil {
			t.Fatal(err)
		}
		step := func(c *Course, k int) {
			if err := c.Step(volts * math.Sin(2*math.Pi*40*1e-4*float64(k))); err != nil {
				t.Fatal(err)
			}
		}
		for k := range 500 {
			step(a, k)
		}
		b.Adopt(a)
		for k := 500; k < 1000; k++ {
			step(a, k)
			step(b, k)
		}
		if a.Cone(0) != b.Cone(0) || a.Cone(0) == 0 {
			t.Errorf("the adopted course is at %g m, its origin at %g m", b.Cone(0), a.Cone(0))
		}
	})
}

// The derivatives of L2's remainder are those of its differences, what the flux
// gains by x the force gains by w (both are the gradient of one function), and
// where the curve leaves all sense nothing is infinite.
func TestEddyLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := eddyDriver(t)
		l := newMotorLaw(d)
		x, w := rapid.Float64Range(-0.01, 0.01).Draw(t, "x"), rapid.Float64Range(-10, 10).Draw(t, "w")
		const h = 1e-5 // of m and A: an error of h² of the third derivative
		r := l.eddyAt(x, w)
		near := func(what string, got, want, scale float64) {
			if math.Abs(got-want) > 1e-6*scale {
				t.Errorf("%s is %g, by differences %g", what, got, want)
			}
		}
		xl, xh, wl, wh := l.eddyAt(x-h, w), l.eddyAt(x+h, w), l.eddyAt(x, w-h), l.eddyAt(x, w+h)
		size := d.Coil.L2 * (1 + w*w) * 1e4 // of a second derivative by x, in which lengths are of the order of 1 cm
		near("the flux by w", r.fluxI, (wh.flux-wl.flux)/(2*h), d.Coil.L2*100)
		near("the flux by x", r.fluxX, (xh.flux-xl.flux)/(2*h), size)
		near("the force by w", r.forceI, (wh.force-wl.force)/(2*h), size)
		near("the force by x", r.forceX, (xh.force-xl.force)/(2*h), size*100)
		near("the force by w and the flux by x", r.forceI, r.fluxX, 1e-9*size)
	})
	d := eddyLess(t)
	l := newMotorLaw(d)
	for _, x := range []float64{-1, -0.05, 0.05, 1} {
		r := l.eddyAt(x, 3)
		for _, v := range []float64{r.flux, r.force, r.fluxI, r.fluxX, r.forceI, r.forceX} {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Errorf("at %g m: %+v", x, r)
			}
		}
	}
}

// eddyLess is a driver whose L2 would fall below zero.
func eddyLess(t *testing.T) *driver.Driver {
	c, err := curve.Polynomial([]float64{1, 40, -2000})
	if err != nil {
		t.Fatal(err)
	}
	return &driver.Driver{Name: "pipit", Re: 4, Bl: 8, Mms: 0.03, Cms: 1e-3, Rms: 2, Sd: 0.02, Coils: driver.Coils{Count: 1},
		Coil: driver.VoiceCoil{Model: driver.CoilLR2, Le: 5e-4, L2: 1e-3, R2: 4}, Curves: &driver.Curves{L2: c}}
}
