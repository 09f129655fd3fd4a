package study_test

import (
	"fmt"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/dsp/fourier"

	"basswright/internal/check"
	"basswright/internal/enclosure"
	"basswright/internal/noise"
	"basswright/internal/study"
)

// noisy is the camper bench with a noise, and its candidates.
func noisy(t testing.TB, n study.Noise) *study.Study {
	t.Helper()
	file := "../../examples/camper-bench.yaml"
	st := read(t, file)
	st.Noise = &n
	return st
}

func system(t testing.TB, st *study.Study, name string) *enclosure.System {
	t.Helper()
	i, err := st.Find(name)
	if err != nil {
		t.Fatal(err)
	}
	sys, _, err := st.Build(i)
	if err != nil {
		t.Fatal(err)
	}
	return sys
}

func noiseBound(t testing.TB, g *study.GreatestNoise, id study.BoundID) study.NoiseBound {
	t.Helper()
	for _, b := range g.Bounds {
		if b.ID == id {
			return b
		}
	}
	t.Fatalf("no bound of %s in %+v", id, g.Bounds)
	return study.NoiseBound{}
}

// The bounds by another way: a noise of that spectrum is made in time, with a fixed
// seed, and the network is followed through it step by step. What its cones, its
// port and its coil do has an rms and a mean of its own, and with the crest factor
// each gives the voltage of a bound.
//
// The noise is a sum of sines with random amplitudes, Gaussian both ways, so that
// its mean square scatters by Σc²/(Σc)² where c are the powers of what is read:
// that is worked out for every reading, and 4 standard errors are allowed. Steps
// of 1/8 ms warp the frequencies by (ωh)²/12, 0.2 % at 200 Hz, and 0.5 % are
// allowed for it.
func TestNoiseBoundsInTime(t *testing.T) {
	const (
		rate = 8000.0
		n    = 1 << 19 // 65 s
		warp = 0.005
	)
	st := noisy(t, study.Noise{Name: "pink_filtered", From: 20, To: 200, Crest: 2})
	for _, name := range []string{"tuned", "one"} {
		sys := system(t, st, name)
		g := st.GreatestNoiseOf(sys)
		spectrum, err := st.Noise.Spectrum()
		if err != nil {
			t.Fatal(err)
		}
		random := rand.New(rand.NewPCG(4, 2))
		bins := make([]complex128, n/2+1)
		power := make([]float64, n/2+1)
		for k := 1; k < n/2; k++ {
			low, high := (float64(k)-0.5)*rate/n, (float64(k)+0.5)*rate/n
			power[k] = spectrum.Below(high) - spectrum.Below(low)
			a := math.Sqrt(power[k]) / 2 // of ±: power is that of both, and that of each Gaussian half of it
			bins[k] = complex(a*random.NormFloat64(), a*random.NormFloat64())
		}
		volts := fourier.NewFFT(n).Sequence(nil, bins)
		s, err := sys.Program.NewStepper(1/rate, nil, nil)
		if err != nil {
			t.Fatal(err)
		}
		var x, u, w float64
		for i := -2 * int(rate); i < n; i++ { // the noise repeats: two seconds of it run in
			s.Predict(volts[(i+n)%n], nil)
			s.Commit(nil)
			if i < 0 {
				continue
			}
			c := &sys.Cones[0]
			x += sq(s.Integral(c.Node) * c.Ratio)
			for k := range sys.Openings {
				u += sq(s.Flow(sys.Openings[k].Element) / sys.Openings[k].Area)
			}
			coil := &sys.Coils[0]
			w += sq(s.Flow(coil.Element)*coil.Share) * coil.Re
		}
		x, u, w = math.Sqrt(x/n), math.Sqrt(u/n), w/n
		sol := sys.Program.NewSolver()
		scatter := func(of func() float64) float64 { // the standard error of an rms
			sum, squares := 0.0, 0.0
			for k := 1; k < n/2; k += 4 {
				if f := float64(k) * rate / n; power[k] > 1e-12 && f < 2000 {
					if err := sol.Solve(2 * math.Pi * f); err != nil {
						t.Fatal(err)
					}
					c := power[k] * sq(of())
					sum, squares = sum+4*c, squares+4*c*c
				}
			}
			return math.Sqrt(squares) / sum / 2
		}
		compare := func(id study.BoundID, got float64, of func() float64) {
			b := noiseBound(t, g, id)
			allowed := 4*scatter(of) + warp
			if allowed > 0.06 {
				t.Errorf("%s: %s scatters by %g, which tells nothing", name, id, allowed)
			}
			check.Near(t, name+": volts of "+string(id), got, b.Volts, allowed*b.Volts, "4 standard errors and the steps")
		}
		compare(study.BoundExcursion, sys.Cones[0].Xmax/(st.Noise.Crest*x), func() float64 { return sys.Excursion(sol, &sys.Cones[0]) })
		compare(study.BoundHeat, math.Sqrt(350/w), func() float64 { return math.Sqrt(sys.CoilPower(sol, &sys.Coils[0])) })
		if len(sys.Openings) > 0 {
			compare(study.BoundPortAir, 17/(st.Noise.Crest*u), func() float64 { return sys.OpeningFlow(sol, &sys.Openings[0]) })
		}
	}
}

func sq(x float64) float64 { return x * x }

// The levels in third-octaves against the published table: what is left when the
// table's levels and the response, as power means over the band, are taken off is
// the same in every band. Inside a band the mean is weighted with what the table
// says of the noise's slope, straight between the bands' middles; the noise of the
// product has a cubic of its own there, which moves the means by up to 0.06 dB, and
// by 0.1 dB in the band of 20 Hz, below which the table says nothing and the cubic
// falls faster.
func TestNoiseBandsAgainstTheTable(t *testing.T) {
	st := noisy(t, study.Noise{Name: "programme", Crest: noise.Crest})
	table, order := map[float64]float64{}, []float64{}
	for _, pair := range strings.Split(check.Rows(t, "testdata/noise.csv")[0].Value, ";") {
		var f, level float64
		scan(t, pair, "%f:%f", &f, &level)
		table[f], order = level, append(order, level)
	}
	for _, name := range []string{"one", "tuned"} {
		sys := system(t, st, name)
		g := st.GreatestNoiseOf(sys)
		if len(g.Bands) != 11 {
			t.Fatalf("%d bands", len(g.Bands))
		}
		sol := sys.Program.NewSolver()
		var rest []float64
		for i, b := range g.Bands {
			band := noise.ThirdOctave(13 + i)
			mean, weights := 0.0, 0.0
			for k := range 100 {
				at := (float64(k)+0.5)/100 - 0.5 // of the band, from its middle
				if err := sol.Solve(2 * math.Pi * band.Centre * math.Pow(10, at/10)); err != nil {
					t.Fatal(err)
				}
				slope := order[max(i, 1)] - order[max(i-1, 0)]
				if at > 0 || i == 0 {
					slope = order[i+1] - order[i]
				}
				w := math.Pow(10, slope*at/10)
				mean, weights = mean+w*sq(cmplx.Abs(sys.Pressure(sol))), weights+w
			}
			mean /= weights
			level, ok := table[b.Nominal]
			if !ok {
				t.Fatalf("no level for %g Hz", b.Nominal)
			}
			rest = append(rest, b.Level-level-10*math.Log10(mean))
		}
		for i, r := range rest {
			allowed := 0.06
			if i == 0 {
				allowed = 0.1
			}
			check.Near(t, fmt.Sprintf("%s: %g Hz", name, g.Bands[i].Nominal), r, rest[len(rest)-1], allowed, "dB; the noise’s slope inside a band")
		}
	}
}

// Properties of the bounds. Those of movement, of the air and of the amplifier are
// of the peak: they go with the inverse of the crest factor; heat does not know it.
// Volts go with the limit, and with the square root of a power; the levels follow
// by decibels. A wider port of the same tuning bears more.
func TestNoiseBoundProperties(t *testing.T) {
	const exact = 1e-12
	base := noisy(t, study.Noise{Name: "programme", Crest: 2})
	sys := system(t, base, "tuned")
	g := base.GreatestNoiseOf(sys)
	same := func(what string, got, want float64) {
		t.Helper()
		check.Near(t, what, got, want, exact*math.Abs(want), "rounding")
	}
	peaky := noisy(t, study.Noise{Name: "programme", Crest: 3})
	for _, b := range peaky.GreatestNoiseOf(system(t, peaky, "tuned")).Bounds {
		want := noiseBound(t, g, b.ID).Volts
		if b.ID != study.BoundHeat {
			want *= 2. / 3
		}
		same("crest 3, "+string(b.ID), b.Volts, want)
	}
	strong := noisy(t, *base.Noise)
	for i := range strong.Amplifier.Rated {
		strong.Amplifier.Rated[i].Power *= 4
	}
	i, err := strong.Find("tuned")
	if err != nil {
		t.Fatal(err)
	}
	strong.Candidates[i].Group.Positions[0][0].Driver.Data.RatedPower *= 9
	strong.Brief.Limits.PortSpeed *= 1.5
	h := strong.GreatestNoiseOf(system(t, strong, "tuned"))
	for id, by := range map[study.BoundID]float64{study.BoundVoltage: 2, study.BoundCurrent: 2, study.BoundHeat: 3, study.BoundPortAir: 1.5, study.BoundExcursion: 1} {
		a, b := noiseBound(t, g, id), noiseBound(t, h, id)
		same(string(id), b.Volts, by*a.Volts)
		check.Near(t, "level of "+string(id), b.Level-a.Level, 20*math.Log10(by), 1e-9, "dB; rounding")
	}
	wide := noisy(t, *base.Noise)
	wide.Candidates[i].Enclosure.Rear.Port.Height *= 1.2
	same("a port that is 1.2 times as wide", noiseBound(t, wide.GreatestNoiseOf(system(t, wide, "tuned")), study.BoundPortAir).Volts, 1.2*noiseBound(t, g, study.BoundPortAir).Volts)
	least := g.Bounds[0]
	for _, b := range g.Bounds {
		if b.Volts < least.Volts {
			least = b
		}
	}
	if g.By != least.ID || g.Volts != least.Volts || g.Level != least.Level {
		t.Errorf("the envelope is %s at %g V, the least bound %+v", g.By, g.Volts, least)
	}
}

// A noise of a hundredth of an octave is a sine with another crest: its bounds are
// those of the sine there, times √2 over the crest factor where peaks count. The
// noise is followed at 16 places in each tenth of a decade, of which one holds all
// of it; over its hundredth the response moves by less than 1 %.
func TestNarrowNoiseIsASine(t *testing.T) {
	const at = 41.0
	st := noisy(t, study.Noise{Name: "pink", From: at, To: 1.011 * at, Crest: 2.5})
	for _, name := range []string{"one", "tuned", "band"} {
		sys := system(t, st, name)
		g, sine := st.GreatestNoiseOf(sys), st.GreatestOf(sys, []float64{at * 1.0055})
		for _, b := range sine.Bounds {
			want := b.Volts[0]
			if b.ID != study.BoundHeat {
				want *= math.Sqrt2 / st.Noise.Crest
			}
			check.Near(t, name+": "+string(b.ID), noiseBound(t, g, b.ID).Volts, want, 0.015*want, "the place where the noise is followed")
		}
	}
}

// A noise that all goes through the filters is told behind them: a filter that
// takes half of everything changes no bound.
func TestNoiseIsToldBehindTheFilters(t *testing.T) {
	st := noisy(t, study.Noise{Name: "programme", Crest: 2})
	g := st.GreatestNoiseOf(system(t, st, "tuned"))
	low := read(t, "../../examples/camper-bench.yaml", "brief:\n", "filters: {sub: {kind: lowpass, at: 100 Hz, order: 4, family: butterworth}}\nbrief:\n")
	low.Noise = st.Noise
	h := low.GreatestNoiseOf(system(t, low, "tuned"))
	// The amplifier’s volts are what it gives, whatever the filters leave of the
	// noise; more of it is bass then, so that the cone is at its end sooner and more is heard.
	check.Near(t, "volts of the amplifier", noiseBound(t, h, study.BoundVoltage).Volts, noiseBound(t, g, study.BoundVoltage).Volts, 1e-9, "V; rounding")
	if a, b := noiseBound(t, g, study.BoundExcursion), noiseBound(t, h, study.BoundExcursion); !(b.Volts < a.Volts/2) {
		t.Errorf("the cone’s end is at %g V of all the noise and %g V of its bass", a.Volts, b.Volts)
	}
}

// Six candidates under a noise: every one of the frequencies that it is followed at.
func BenchmarkGreatestNoiseOfSix(b *testing.B) {
	st := noisy(b, study.Noise{Name: "programme", Crest: 2})
	var systems []*enclosure.System
	for i := range st.Candidates {
		sys, _, err := st.Build(i)
		if err != nil {
			b.Fatal(err)
		}
		systems = append(systems, sys)
	}
	for b.Loop() {
		for _, sys := range systems {
			if st.GreatestNoiseOf(sys) == nil {
				b.Fatal("no bound")
			}
		}
	}
}
