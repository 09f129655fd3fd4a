package export

import (
	"bytes"
	"fmt"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"basswright/internal/check"
	"basswright/internal/curve"
	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/large"
)

// The large-signal netlists in an independent simulator.

// curved is the heron with curves as tables, unsymmetrical all three.
func curved(t *testing.T, coil driver.VoiceCoil) *driver.Driver {
	t.Helper()
	mm := func(list ...float64) []float64 {
		for i := range list {
			list[i] *= 1e-3
		}
		return list
	}
	table := func(x, v []float64, tail curve.Tail) *curve.Curve {
		c, err := curve.Table(x, v, tail)
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	d := heron(coil)
	x := mm(-16, -12, -8, -4, 0, 4, 8, 12, 16)
	d.Curves = &driver.Curves{
		Bl:  table(x, []float64{3.1, 5.2, 7.8, 9.6, 10.2, 10.0, 8.9, 6.6, 4.1}, curve.Settle),
		Kms: table(x, []float64{3900, 2400, 1680, 1390, 1280, 1300, 1470, 2000, 3200}, curve.Onward),
		Le:  table(mm(-16, -8, 0, 8, 16), []float64{1.22e-3, 1.09e-3, 0.9e-3, 0.68e-3, 0.55e-3}, curve.Settle),
	}
	return d
}

// powers is the heron with the same kinds of curve as polynomials.
func powers(t *testing.T, coil driver.VoiceCoil) *driver.Driver {
	t.Helper()
	poly := func(c ...float64) *curve.Curve {
		p, err := curve.Polynomial(c)
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	d := heron(coil)
	d.Curves = &driver.Curves{
		Bl:  poly(10.2, -60, -2.4e4, 0, 2e7),
		Kms: poly(7.8e-4, 4e-4, -1.6).Reciprocal(),
		Le:  poly(0.9e-3, -0.025, -0.5),
	}
	if coil.Model == driver.CoilLR2 {
		d.Curves.L2 = poly(coil.L2, -0.02, -0.8)
	}
	return d
}

// transient runs a model's netlist and returns the harmonics that it prints, by
// name, as phasors of the time factor exp(jnωt), the mean first; and by how
// much a last period changes the largest displacement.
func transient(t *testing.T, m *large.Model, o TransientOptions) (got map[string][]complex128, change float64) {
	t.Helper()
	var b bytes.Buffer
	if _, err := Transient(&b, m, o); err != nil {
		t.Fatal(err)
	}
	got = map[string][]complex128{}
	name := ""
	for _, line := range strings.Split(ngspice(t, b.String()), "\n") {
		if v, ok := strings.CutPrefix(line, "Fourier analysis for "); ok {
			name, _, _ = strings.Cut(v, ":")
			continue
		}
		f := strings.Fields(line)
		if v, ok := strings.CutPrefix(line, "change_"); ok {
			x, err := strconv.ParseFloat(v[strings.LastIndex(v, " ")+1:], 64)
			if err != nil {
				t.Fatalf("cannot read %q", line)
			}
			change = math.Max(change, math.Abs(x))
			continue
		}
		if len(f) != 6 || name == "" || f[0] != strconv.Itoa(len(got[name])) {
			continue
		}
		size, err1 := strconv.ParseFloat(f[2], 64)
		angle, err2 := strconv.ParseFloat(f[3], 64)
		if err1 != nil || err2 != nil {
			t.Fatalf("cannot read %q", line)
		}
		v := complex(size, 0)
		if len(got[name]) > 0 { // a sine is −j of its phasor
			v = cmplx.Rect(size, (angle-90)*math.Pi/180)
		}
		got[name] = append(got[name], v)
	}
	for name, l := range got {
		if len(l) != lines+1 {
			t.Fatalf("ngspice printed %d lines of %s", len(l), name)
		}
	}
	return got, change
}

// expected are the same quantities by harmonic balance.
func expected(t *testing.T, m *large.Model, f, volts float64) map[string][]complex128 {
	t.Helper()
	s, err := m.Steady(f, volts)
	if err != nil {
		t.Fatal(err)
	}
	want := map[string][]complex128{}
	put := func(name string, l large.Lines, by func(n int) complex128) {
		want[name] = []complex128{complex(l.Mean, 0) * by(0)}
		for n := range lines {
			want[name] = append(want[name], l.Of[n]*by(n+1))
		}
	}
	put("far", s.Pressure(), func(n int) complex128 {
		if n == 0 {
			return 0
		}
		return 1 / complex(0, m.Sys.Setting.PressurePerFlow(2*math.Pi*f*float64(n)))
	})
	for k := range m.Sys.Moving() {
		name := fmt.Sprintf("x%d_mm", k+1)
		if r := k - len(m.Sys.Cones); r >= 0 {
			name = fmt.Sprintf("xr%d_mm", r+1)
		}
		put(name, s.Cone(k), func(int) complex128 { return 1e3 })
	}
	return want
}

// transientCase is a candidate at a drive.
type transientCase struct {
	group    driver.GroupSpec
	box      enclosure.Spec
	model    large.Options
	f, volts float64
	leaks    bool // the static pressure leaks away through a part of the netlist
}

func (c transientCase) build(t *testing.T, set enclosure.Setting) *large.Model {
	t.Helper()
	g, _, err := driver.NewGroup(c.group)
	if err != nil {
		t.Fatal(err)
	}
	set.BareAir = true
	sys, _, err := enclosure.Build(g, c.box, set)
	if err != nil {
		t.Fatal(err)
	}
	return large.New(sys, c.model)
}

func transientCases(t *testing.T) map[string]transientCase {
	given := func(q float64) enclosure.Loss { return enclosure.Loss{State: enclosure.LossGiven, Q: q} }
	losses := enclosure.Losses{Leakage: given(7), Absorption: given(45), Port: given(30)}
	vented := enclosure.Spec{Kind: enclosure.Vented, Rear: enclosure.Chamber{Volume: 0.03, Tuning: 34, Losses: enclosure.Losses{Leakage: given(7)}}}
	sealed := enclosure.Spec{Kind: enclosure.Sealed, Rear: enclosure.Chamber{Volume: 0.012}}
	plain := driver.VoiceCoil{Le: 0.9e-3}
	lr2 := driver.VoiceCoil{Model: driver.CoilLR2, Le: 0.9e-3, L2: 0.8e-3, R2: 4}
	air := []driver.Coupling{{Volume: 4.5e-3}}
	big := powers(t, plain)
	big.Sd, big.Name = 0.03, "heron-10"
	two := powers(t, lr2)
	two.Coils = driver.Coils{Count: 2, Driven: 1, Other: driver.OtherShorted}
	return map[string]transientCase{
		"vented":                    {driver.GroupSpec{Driver: curved(t, plain), SideBySide: 1, Stack: 1}, vented, large.Options{}, 25, 20, false},
		"stack with air that leaks": {driver.GroupSpec{Driver: curved(t, plain), SideBySide: 1, Stack: 2, Arrangement: driver.Clamshell, Coupling: air}, sealed, large.Options{}, 40, 12, true},
		"same-way stack":            {driver.GroupSpec{Driver: powers(t, lr2), SideBySide: 1, Stack: 2, Arrangement: driver.Tandem, Coupling: air, Wiring: driver.Wiring{Way: driver.WiringSeries}}, sealed, large.Options{Adiabatic: true}, 40, 24, false},
		"two abreast, a shorted coil in each, absorption": {driver.GroupSpec{Driver: two, SideBySide: 2, Stack: 1, Wiring: driver.Wiring{Way: driver.WiringSeries}},
			enclosure.Spec{Kind: enclosure.PassiveRadiator, Rear: enclosure.Chamber{Volume: 0.06, Losses: losses}, Radiator: enclosure.Radiator{Sd: 0.03, Mms: 0.09, Cms: 6e-4, Rms: 2, Count: 2}},
			large.Options{}, 35, 30, false},
		"rigid mirror of unlike cones, linear air": {driver.GroupSpec{Members: [][]*driver.Driver{{curved(t, plain), big}}, Arrangement: driver.Clamshell}, vented, large.Options{LinearAir: true}, 30, 10, false},
	}
}

// slack is what the step does not explain.
type slack struct {
	floor float64 // of the fundamental
	share float64 // of the line itself
	mean  float64 // of the mean
	rest  float64 // of the largest displacement: what a period still changes
}

// The simulator's rule is the trapezoidal one, whose error goes with the square of
// the step. So where the step is halved, a third of what changes is what is still
// wrong, and a third of the change taken once more leaves an error of the fourth
// order, (9·2π/400)⁴/720 = 6e-7 at most times what resonances make of it, beside
// the 1e-6 that is left of the start: 4e-6 of the fundamental.
var usual = slack{floor: 4e-6, rest: 1e-6}

// A leak passes 4e-4 of what its chamber's spring takes, and no line changes by
// more than twice that. Its slow decay still changes a few millionths a period, and
// of a shift (1 + 8)·e^−8 is still to come after eight e-folds.
var leaking = slack{floor: 4e-6, share: 8e-4, mean: 3.1e-3, rest: 1e-5}

// holds compares a model's netlist in ngspice, in two steps, with harmonic balance:
// the mean and every line above −60 dB of the fundamental, as phasors.
func holds(t *testing.T, m *large.Model, o TransientOptions, by slack) {
	t.Helper()
	want := expected(t, m, o.Frequency, o.Volts)
	coarse, left := transient(t, m, o)
	o.Steps *= 2
	fine, _ := transient(t, m, o)
	if left > by.rest {
		t.Errorf("the last period changes %.2g of the largest displacement", left)
	}
	if len(fine) != len(want) {
		t.Fatalf("ngspice printed %d quantities, %d are balanced", len(fine), len(want))
	}
	worst, worstFine, seen := 0.0, 0.0, 0
	for q, w := range want {
		first := cmplx.Abs(w[1])
		for n := range w {
			share := by.share
			switch {
			case n == 0:
				share = by.mean
			case cmplx.Abs(w[n]) < 1e-3*first:
				continue
			}
			seen++
			allowed := by.floor*first + share*cmplx.Abs(w[n])
			step, off := cmplx.Abs(fine[q][n]-coarse[q][n])/3, cmplx.Abs(fine[q][n]-w[n])
			limit := (4*fine[q][n] - coarse[q][n]) / 3
			apart := cmplx.Abs(limit - w[n])
			worst, worstFine = math.Max(worst, apart/first), math.Max(worstFine, off/first)
			if !(apart <= allowed) {
				t.Errorf("%s, line %d: without a step it comes to %.8g, balanced %.8g: %.2g of the fundamental off", q, n, limit, w[n], apart/first)
			}
			if !(off <= step+allowed) {
				t.Errorf("%s, line %d: %.8g in ngspice, %.8g balanced; %.2g of the fundamental off where the step explains %.2g", q, n, fine[q][n], w[n], off/first, step/first)
			}
		}
	}
	t.Logf("%d lines, off by at most %.2g of the fundamental, with the step taken out %.2g", seen, worstFine, worst)
}

func TestTransientsInNgspice(t *testing.T) {
	for name, c := range transientCases(t) {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			o, by := TransientOptions{Title: name, Frequency: c.f, Volts: c.volts, Steps: 400}, usual
			if c.leaks {
				o.Steps, by = 200, leaking // it takes hundreds of periods
			}
			holds(t, c.build(t, setting(t)), o, by)
		})
	}
}

// Random drivers and boxes, each at 5 mm or 60 V: a single one and stacks, sealed
// and in both kinds of bandpass, with any of the three curves left out. Of thirty
// seeds those stand here that come to rest soon.
func TestRandomTransientsInNgspice(t *testing.T) {
	for _, seed := range []uint64{5, 7, 12, 16} {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			t.Parallel()
			r := rand.New(rand.NewPCG(seed, 13))
			d := randomDriver(r)
			d.Curves = randomCurves(t, r, d)
			g, box, set := randomGroup(t, r, d), randomBox(r), setting(t)
			set.BareAir, set.Unreduced = true, seed%2 == 0
			sys, _, err := enclosure.Build(g, box, set)
			if err != nil {
				t.Fatal(err)
			}
			f := between(r, 20, 90)
			s := sys.Program.NewSolver()
			if err := s.Solve(2 * math.Pi * f); err != nil {
				t.Fatal(err)
			}
			x := 0.0
			for i := range sys.Cones {
				x = math.Max(x, sys.Excursion(s, &sys.Cones[i]))
			}
			holds(t, large.New(sys, large.Options{Adiabatic: true}), TransientOptions{Frequency: f, Volts: min(5e-3/x, 60), Steps: 400}, usual)
		})
	}
}

// randomCurves leaves each curve out once in four.
func randomCurves(t *testing.T, r *rand.Rand, d *driver.Driver) *driver.Curves {
	t.Helper()
	poly := func(c ...float64) *curve.Curve {
		p, err := curve.Polynomial(c)
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	k := 1 / d.Cms
	odd := func() float64 { return 40 * (r.Float64() - 0.5) } // 1/m
	c := &driver.Curves{}
	if r.IntN(4) > 0 {
		c.Bl = poly(d.Bl, d.Bl*odd(), -d.Bl*3000*r.Float64())
	}
	if r.IntN(4) > 0 {
		c.Kms = poly(k, k*odd(), k*6000*r.Float64())
	}
	if r.IntN(4) > 0 && d.Coil.Le > 0 {
		c.Le = poly(d.Coil.Le, 2*d.Coil.Le*odd())
	}
	return c
}

// What is far beyond the curves is not followed: the error says so and nothing is
// written. What has not come to rest is written, and said.
func TestTransientBeyond(t *testing.T) {
	m := transientCases(t)["two abreast, a shorted coil in each, absorption"].build(t, setting(t))
	var b bytes.Buffer
	_, err := Transient(&b, m, TransientOptions{Frequency: 15, Volts: 2000, Steps: 100})
	if err == nil || !strings.Contains(err.Error(), "ask for less voltage") || b.Len() > 0 {
		t.Errorf("%v, %d bytes", err, b.Len())
	}
	// A cone that nothing brakes: what the start stirs up falls to 1/e in 4.5 s,
	// and a thousand periods are ten.
	c := transientCases(t)["vented"]
	d := *c.group.Driver
	d.Bl, d.Rms = 0.3, 1e-3
	c.group.Driver, c.box = &d, enclosure.Spec{Kind: enclosure.InfiniteBaffle}
	r, err := Transient(&b, c.build(t, setting(t)), TransientOptions{Frequency: 100, Volts: 1, Steps: 100})
	if err != nil {
		t.Fatal(err)
	}
	if !r.Unsettled || !strings.Contains(b.String(), "* "+Unsettled) {
		t.Error("what has not come to rest is not told")
	}
}

func TestTransientNetlists(t *testing.T) {
	for name, file := range map[string]string{"vented": "vented.cir", "stack with air that leaks": "stack.cir"} {
		c := transientCases(t)[name]
		var b bytes.Buffer
		if _, err := Transient(&b, c.build(t, setting(t)), TransientOptions{Title: "van\nbench", Frequency: c.f, Volts: c.volts, Steps: 400, Periods: 40}); err != nil {
			t.Fatal(err)
		}
		check.Golden(t, filepath.Join("testdata", "transient", file), b.String())
	}
}

// What cannot be followed is refused, and nothing is written.
func TestTransientRefuses(t *testing.T) {
	c := transientCases(t)["vented"]
	m := c.build(t, setting(t))
	for _, o := range []TransientOptions{{Frequency: 0, Volts: 1, Steps: 400}, {Frequency: math.Inf(1), Volts: 1, Steps: 400}, {Frequency: 40, Volts: 0, Steps: 400}, {Frequency: 40, Volts: math.NaN(), Steps: 400}, {Frequency: 40, Volts: 1, Steps: 49}} {
		var b bytes.Buffer
		if _, err := Transient(&b, m, o); err == nil || b.Len() > 0 {
			t.Errorf("%+v: %v, %d bytes", o, err, b.Len())
		}
	}
	o := TransientOptions{Frequency: 40, Volts: 1, Steps: 400}
	refused := func(name string, m *large.Model, want string) {
		var b bytes.Buffer
		_, err := Transient(&b, m, o)
		if r, ok := err.(*RefusedError); !ok || !strings.Contains(r.Error(), want) || b.Len() > 0 {
			t.Errorf("%s: %v, %d bytes", name, err, b.Len())
		}
	}
	full := setting(t)
	full.FullRadiation = true
	refused("full radiation", c.build(t, full), "radiation: classical")
	lossy := transientCases(t)["two abreast, a shorted coil in each, absorption"]
	g, _, err := driver.NewGroup(lossy.group)
	if err != nil {
		t.Fatal(err)
	}
	sys, _, err := enclosure.Build(g, lossy.box, setting(t)) // without BareAir
	if err != nil {
		t.Fatal(err)
	}
	refused("absorption", large.New(sys, large.Options{}), "no element of its own")
}

// The laws that are ladders stand in a large-signal netlist too: a creeping driver
// and a coil with a power law run, and at a small drive move as the network says.
// The ladder is off by 1e-5 dB and the step by (2π/400)²/12, times what the
// resonance makes of it: 2e-4 covers both.
func TestLadderInTransient(t *testing.T) {
	d := powers(t, driver.VoiceCoil{Model: driver.CoilPowerLaw, K: 0.021, N: 0.72})
	d.Creep, d.Curves.Le = driver.Creep{Lambda: 0.12}, nil
	c := transientCases(t)["vented"]
	c.group.Driver = d
	m := c.build(t, setting(t))
	const volts = 1e-3
	got, change := transient(t, m, TransientOptions{Frequency: 40, Volts: volts, Steps: 400})
	s := m.Sys.Program.NewSolver()
	if err := s.Solve(2 * math.Pi * 40); err != nil {
		t.Fatal(err)
	}
	want := 1e3 * volts * m.Sys.Excursion(s, &m.Sys.Cones[0])
	if x := cmplx.Abs(got["x1_mm"][1]); !(math.Abs(x/want-1) <= 2e-4) {
		t.Errorf("%.8g mm, the network has %.8g mm", x, want)
	}
	if change > 1e-4 {
		t.Errorf("the last period changes %.2g", change)
	}
}
