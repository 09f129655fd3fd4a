package study_test

import (
	"fmt"
	"math"
	"math/cmplx"
	"testing"

	"basswright/internal/check"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// summed is a study with a box, a driver's Qms and a noise.
func summed(t testing.TB, group, box string, qms float64, signal string) *study.Study {
	t.Helper()
	text := fmt.Sprintf(`study: Summed
drive: {power: 75 W, signal: %s}
amplifier: {rated: {2 ohm: 450 W, 4 ohm: 260 W}}
brief: {limits: {from: 20 Hz, excursion: xmax, port_speed: 17 m/s}}
drivers:
  plover-10: {fs: 30 Hz, qms: %g, qes: 0.4, vas: 50 L, sd: 350 cm2, re: 3.4 ohm, le: 1.2 mH, rated_power: 300 W, xmax: 10 mm}
candidates:
  box:
    group: {driver: plover-10%s}
    enclosure: %s
`, signal, qms, group, box)
	st, err := studyfile.Parse([]byte(text), "summed.yaml")
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return st
}

const (
	mirroredPair = ", stack: 2, arrangement: clamshell, coupling: 2 L, wiring: series"
	closedBox    = "{kind: sealed, volume: 18 L}"
	tightBox     = "{kind: vented, volume: 60 L, losses: {leakage: none}, port: {diameter: 100 mm, length: 200 mm}}"
)

// The bounds and the level against a sum over 400 000 frequencies, evenly on a log
// scale, of a noise with the same power in each: the mode in which the cones of a
// stack move against each other is as narrow as Qms is high, and far narrower than
// the cells in which it is looked for. The sum over even steps is exact to
// exp(−2π·width/step), nothing at all for the narrowest of 2e-5 of an octave.
func TestNoiseThroughNarrowResonances(t *testing.T) {
	const points = 400000
	for _, c := range []struct {
		group, box string
		qms        float64
		from, to   float64 // Hz
	}{
		{mirroredPair, closedBox, 8, 20, 500},
		{mirroredPair, closedBox, 30, 20, 500},
		{mirroredPair, closedBox, 100, 20, 500},
		{mirroredPair, closedBox, 1000, 5, 500},
		{mirroredPair, closedBox, 1000, 1.7, 900},
		{"", closedBox, 1000, 20, 500},
		{"", tightBox, 1000, 10, 300},
		{"", tightBox, 5, 3, 30}, // most of it below the lowest third-octave that is told
		{"", tightBox, 5, 1, 10}, // and nearly all
		{"", tightBox, 5, 500, 1000},
	} {
		name := fmt.Sprintf("%s%s, Qms %g, %g to %g Hz", c.box, c.group, c.qms, c.from, c.to)
		st := summed(t, c.group, c.box, c.qms, fmt.Sprintf("{spectrum: pink, from: %g Hz, to: %g Hz, crest: 2}", c.from, c.to))
		sys, _, err := st.Build(0)
		if err != nil {
			t.Fatal(err)
		}
		g := st.GreatestNoiseOf(sys)
		if g == nil {
			t.Errorf("%s: nothing is told", name)
			continue
		}
		sol := sys.Program.NewSolver()
		var heard, heat, air float64
		cones := make([]float64, len(sys.Cones))
		for k := range points {
			if err := sol.Solve(2 * math.Pi * c.from * math.Pow(c.to/c.from, (float64(k)+0.5)/points)); err != nil {
				t.Fatal(err)
			}
			heard += sq(cmplx.Abs(sys.Pressure(sol))) / points
			heat += sys.CoilPower(sol, &sys.Coils[0]) / points
			for i := range cones {
				cones[i] += sq(sys.Excursion(sol, &sys.Cones[i])) / points
			}
			if len(sys.Openings) > 0 {
				air += sq(math.Sqrt2*sys.OpeningFlow(sol, &sys.Openings[0])/sys.Openings[0].Area) / points
			}
		}
		farthest := 0.0
		for _, x := range cones {
			farthest = max(farthest, math.Sqrt(x))
		}
		const tolerance = 1e-4 // 0.001 dB: a hundredth of what is told; cells may be off by 1e-5 of a sum
		near := func(what string, got, want float64) {
			t.Helper()
			check.Near(t, name+": "+what, got, want, tolerance*want, "what a cell may be off by")
		}
		peak := math.Sqrt2 / st.Noise.Crest // a share is of a sine's peak
		near("volts at the cone’s end", noiseBound(t, g, study.BoundExcursion).Volts, 10e-3/farthest*peak)
		near("volts at the heat’s end", noiseBound(t, g, study.BoundHeat).Volts, math.Sqrt(300/heat))
		if air > 0 {
			near("volts at the port’s end", noiseBound(t, g, study.BoundPortAir).Volts, 17/math.Sqrt(air)*peak)
		}
		check.Near(t, name+": level", g.Level, 20*math.Log10(math.Sqrt(heard)*g.Volts/20e-6), 0.001, "dB; what a cell may be off by")
	}
}

// A filter that is narrow is followed as well, here a bell of Q 50 that lifts by
// 20 dB, against a sum over even steps.
func TestNoiseThroughANarrowFilter(t *testing.T) {
	st := summed(t, "", closedBox, 5, "{spectrum: pink, from: 20 Hz, to: 200 Hz, crest: 2}")
	plain := st.GreatestNoiseOf(system(t, st, "box"))
	with := read(t, "../../examples/camper-bench.yaml", "brief:\n", "filters: {bell: {kind: bell, at: 71 Hz, q: 50, gain: 20 dB}}\nbrief:\n")
	st.Chain = with.Chain
	g := st.GreatestNoiseOf(system(t, st, "box"))
	sys := system(t, st, "box")
	sol := sys.Program.NewSolver()
	const points = 100000
	var fed, heat float64
	for k := range points {
		f := 20 * math.Pow(10, (float64(k)+0.5)/points)
		if err := sol.Solve(2 * math.Pi * f); err != nil {
			t.Fatal(err)
		}
		h := sq(cmplx.Abs(st.Chain.At(2 * math.Pi * f)))
		fed, heat = fed+h, heat+h*sys.CoilPower(sol, &sys.Coils[0])
	}
	want := math.Sqrt(300 * fed / heat)
	check.Near(t, "volts at the heat’s end", noiseBound(t, g, study.BoundHeat).Volts, want, 1e-4*want, "what a cell may be off by")
	if a := noiseBound(t, plain, study.BoundHeat).Volts; math.Abs(a/want-1) < 1e-3 {
		t.Errorf("the filter changes nothing: %g V with and %g V without", want, a)
	}
}
