package noise

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/dsp/fourier"
	"gonum.org/v1/gonum/integrate/quad"
	"pgregory.net/rapid"

	"basswright/internal/check"
)

func rows(t *testing.T) map[string]check.Row {
	t.Helper()
	out := map[string]check.Row{}
	for _, r := range check.Rows(t, "testdata/filters.csv") {
		out[r.ID] = r
	}
	return out
}

// Every band of the table holds its power, and the shares of all are the figures
// that the collection works out from the same table.
func TestProgrammeHoldsItsTable(t *testing.T) {
	table := rows(t)
	levels := strings.Split(table["filters-158"].Value, ";")
	if len(levels) != lastProgramme-firstProgramme+1 {
		t.Fatalf("%d levels", len(levels))
	}
	total, low := 0.0, 0.0
	s := Programme()
	reference := ThirdOctave(24) // 250 Hz, at 0 dB
	whole := s.Below(reference.High) - s.Below(reference.Low)
	for i, text := range levels {
		pair, err := check.Floats(text, ":")
		if err != nil {
			t.Fatal(err)
		}
		b := ThirdOctave(firstProgramme + i)
		check.Near(t, "the name of the band", b.Nominal, pair[0], 0, "as ISO 266 names it")
		total += math.Pow(10, pair[1]/10)
		share := s.Below(b.High) - s.Below(b.Low)
		if b.Centre < 110 {
			low += share
		}
		check.Near(t, "level of a band", 10*math.Log10(share/whole), pair[1], 1e-9, "the cubic passes through every edge")
	}
	check.Near(t, "total level", 10*math.Log10(total), table["filters-159"].Values(t)[0], 0.5e-4, "printed to 4 decimals")
	check.Near(t, "total level", -10*math.Log10(whole), table["filters-159"].Values(t)[0], 0.5e-4, "printed to 4 decimals")
	share := table["filters-160"].Values(t)
	check.Near(t, "share of 20 to 100 Hz", low, share[0], 0.5e-6, "printed to 6 decimals")
	check.Near(t, "level of 20 to 100 Hz", 10*math.Log10(low), share[1], 0.5e-4, "printed to 4 decimals")
	if s.Below(ThirdOctave(firstProgramme).Low) != 0 || s.Below(ThirdOctave(lastProgramme).High*(1+1e-12)) != 1 {
		t.Error("the noise does not end where its table does")
	}
}

func TestCrest(t *testing.T) {
	table := rows(t)
	if text := table["filters-161"]; !strings.HasPrefix(text.Value, "2 +- 0.2") || text.Seen != "seen" {
		t.Errorf("%+v", text)
	}
	check.Near(t, "crest in dB", 20*math.Log10(Crest), table["filters-162"].Values(t)[0], 0.5e-4, "printed to 4 decimals")
}

func TestBandsAgainstTable(t *testing.T) {
	tested := 0
	for _, r := range rows(t) {
		_, number, ok := strings.Cut(r.Quantity, "band number ")
		if !ok {
			continue
		}
		k, err := check.Floats(number, ";")
		if err != nil {
			t.Fatal(err)
		}
		want := r.Values(t)[0]
		check.Near(t, r.ID, ThirdOctave(int(k[0])).Centre, want, 0.5e-9*want, "printed to 10 digits")
		tested++
	}
	edges := rows(t)["filters-182"].Values(t)
	b := ThirdOctave(15)
	check.Near(t, "lower edge", b.Low, edges[0], 0.5e-8, "printed to 8 decimals")
	check.Near(t, "upper edge", b.High, edges[1], 0.5e-8, "printed to 8 decimals")
	if b.Nominal != 31.5 || tested != 19 {
		t.Errorf("band 15 is called %g; %d rows", b.Nominal, tested)
	}
	for k := range lastBand + 1 {
		b := ThirdOctave(k)
		if off := b.Nominal / b.Centre; math.Abs(off-1) > 0.01 || !(b.Low < b.Centre && b.Centre < b.High) {
			t.Errorf("band %d: %+v", k, b)
		}
		if k > 0 && math.Abs(ThirdOctave(k-1).High/b.Low-1) > 1e-14 {
			t.Errorf("a gap below band %d", k)
		}
	}
	check.Panics(t, "no band", func() { ThirdOctave(51) })
	check.Panics(t, "no band", func() { ThirdOctave(-1) })
}

// spectra are one of each kind.
func spectra(t testing.TB) map[string]Spectrum {
	t.Helper()
	pink, err := Pink(20, 20000)
	if err != nil {
		t.Fatal(err)
	}
	decade, err := PinkFiltered(30, 300)
	if err != nil {
		t.Fatal(err)
	}
	return map[string]Spectrum{"programme": Programme(), "pink": pink, "decade": decade}
}

func TestPinkIsEqualInEveryBand(t *testing.T) {
	s, err := Pink(ThirdOctave(13).Low, ThirdOctave(22).High)
	if err != nil {
		t.Fatal(err)
	}
	for i := range 10 {
		b := ThirdOctave(13 + i)
		check.Near(t, "a tenth of a decade", s.Below(b.High)-s.Below(b.Low), 0.1, 1e-14, "rounding")
	}
	check.Near(t, "below", s.Below(ThirdOctave(13).Low), 0, 1e-14, "rounding")
	check.Near(t, "above", 1-s.Below(ThirdOctave(22).High), 0, 1e-14, "rounding")
}

// At an edge the density is the harmonic mean of its bands’: nearer the lesser, as
// where a steep level bends. In every band it stays near the band’s own mean.
func TestProgrammeDensity(t *testing.T) {
	s := Programme()
	levels := programme()
	for i := 1; i < len(levels); i++ {
		a, b := math.Pow(10, levels[i-1]/10), math.Pow(10, levels[i]/10)
		low := ThirdOctave(firstProgramme + i)
		whole := (s.Below(low.High) - s.Below(low.Low)) / b // of a band at 0 dB
		mean := whole / math.Log(low.High/low.Low)
		check.Near(t, "density at an edge", low.Low*s.Density(low.Low)/mean, 2*a*b/(a+b), 1e-9, "the edge in float64")
		check.Near(t, "level of the density amid a band", 10*math.Log10(low.Centre*s.Density(low.Centre)/mean), levels[i], 0.25,
			"of the cubic: 0.07 dB inside, 0.24 dB in the last band, whose outer slope is from one side")
	}
}

// A second way to the filtered noise: the squared magnitudes of the two filters,
// 1/(1 + (from/f)⁴) and 1/(1 + (f/to)⁴), summed over ln f as they stand.
func TestFilteredPinkByIntegration(t *testing.T) {
	const from, to = 40.0, 400.0
	s, err := PinkFiltered(from, to)
	if err != nil {
		t.Fatal(err)
	}
	power := func(x float64) float64 {
		f := math.Exp(x)
		return 1 / (1 + math.Pow(from/f, 4)) / (1 + math.Pow(f/to, 4))
	}
	sum := func(a, b float64) float64 {
		total, pieces := 0.0, 40
		for i := range pieces {
			x := a + (b-a)*float64(i)/float64(pieces)
			total += quad.Fixed(power, x, x+(b-a)/float64(pieces), 20, quad.Legendre{}, 0)
		}
		return total
	}
	all := sum(math.Log(0.01), math.Log(1e6)) // what lies outside is below 1e-13 of it
	for _, f := range []float64{5, 20, 40, 126, 400, 1000, 5000} {
		check.Near(t, "power below", s.Below(f), sum(math.Log(0.01), math.Log(f))/all, 1e-12, "quadrature and cut-off")
	}
	// Far below: (f/from)⁴/(4·ln(to/from)·…), the limit of the closed form.
	for _, f := range []float64{1, 2} {
		limit := math.Pow(f/from, 4) / math.Log(fourth(to/from))
		check.Near(t, "far below", s.Below(f), limit, 2e-4*limit, "what the next term (f/from)⁴ leaves")
	}
}

// The density is what the power below a frequency is the integral of.
func TestDensityIntegrates(t *testing.T) {
	for name, s := range spectra(t) {
		for k := 10; k < 45; k++ {
			b := ThirdOctave(k)
			got := 0.0
			const pieces = 16 // ends of noise and knots fall on a piece's end, but for the pink noise’s 20 Hz and 20 kHz
			for i := range pieces {
				at := func(i int) float64 { return b.Low * math.Pow(b.High/b.Low, float64(i)/pieces) }
				lo, hi := math.Log(at(i)), math.Log(at(i+1))
				got += quad.Fixed(func(x float64) float64 { f := math.Exp(x); return f * s.Density(f) }, lo, hi, 8, quad.Legendre{}, 0)
			}
			tolerance, why := 1e-12, "Gauss’s rule is exact for the cubic"
			if name == "pink" && (k == 13 || k == 43) {
				tolerance, why = 1e-3, "a step of the density inside a piece"
			}
			check.Near(t, name, got, s.Below(b.High)-s.Below(b.Low), tolerance, why)
		}
	}
}

// The power below a frequency never falls, and its density is never negative.
func TestPowerRises(t *testing.T) {
	all := spectra(t)
	rapid.Check(t, func(t *rapid.T) {
		s := all[rapid.SampledFrom([]string{"programme", "pink", "decade"}).Draw(t, "noise")]
		f := math.Pow(10, rapid.Float64Range(-1, 5).Draw(t, "log first"))
		g := f * (1 + math.Pow(10, rapid.Float64Range(-4, 0).Draw(t, "log step")))
		a, b := s.Below(f), s.Below(g)
		if !(a >= 0 && b <= 1) || a > b || s.Density(f) < 0 {
			t.Fatalf("below %g and %g Hz: %g, %g", f, g, a, b)
		}
	})
}

func TestLimits(t *testing.T) {
	for name, s := range spectra(t) {
		for _, f := range []float64{math.Inf(-1), -1, 0, 1e-300, 1e-5} {
			check.Near(t, name, s.Below(f), 0, 1e-15, "rounding of the logarithm")
			check.Near(t, name, s.Density(f), 0, 1e-15, "nothing is there")
		}
		for _, f := range []float64{1e9, 1e100, math.MaxFloat64, math.Inf(1)} {
			check.Near(t, name, s.Below(f), 1, 1e-15, "all is below")
			check.Near(t, name, s.Density(f), 0, 1e-15, "nothing is there")
		}
	}
}

func TestFaults(t *testing.T) {
	for _, c := range []struct {
		from, to float64
		words    string
	}{
		{20, 20, "1 %"}, {200, 20, "from 200"}, {0, 100, "0.1 Hz"}, {-1, 100, "0.1 Hz"},
		{20, 2e6, "1 MHz"}, {math.NaN(), 20, "numbers"}, {20, math.Inf(1), "numbers"}, {20, math.NaN(), "numbers"},
	} {
		for _, of := range []func(from, to float64) (Spectrum, error){Pink, PinkFiltered} {
			_, err := of(c.from, c.to)
			var e *BandError
			if !errors.As(err, &e) || !strings.Contains(err.Error(), c.words) {
				t.Errorf("%g to %g: %v", c.from, c.to, err)
			}
		}
	}
	s := Programme()
	check.Panics(t, "not a number", func() { s.Below(math.NaN()) })
	check.Panics(t, "not a number", func() { s.Density(math.NaN()) })
	check.Panics(t, "was not made", func() { Spectrum{}.Below(1) })
}

// A played noise: Gaussian samples, coloured by the density in the frequency
// domain, through a resonance as a cone has it. Its rms is what the shares of
// twelfths of octaves foretell.
func TestSharesForetellPlayedNoise(t *testing.T) {
	const rate, n = 2048.0, 1 << 19       // 256 s
	response := func(f float64) float64 { // |X| of 35 Hz, Q 0.7, over its value at rest
		r := f / 35
		return 1 / math.Hypot(1-r*r, r/0.7)
	}
	fft := fourier.NewFFT(n)
	for name, s := range spectra(t) {
		random := rand.New(rand.NewPCG(1, 60268))
		x := make([]float64, n)
		for i := range x {
			x[i] = random.NormFloat64()
		}
		bins := fft.Coefficients(nil, x)
		fed := 0.0
		for k := range bins {
			at := float64(k) * rate / n
			gain := math.Sqrt(s.Density(at) * rate / 2) // white noise of rms 1 has 2/rate per hertz
			fed += gain * gain * 2 / n
			bins[k] *= complex(gain*response(at), 0)
		}
		played := 0.0
		for _, v := range fft.Sequence(nil, bins) {
			played += v / n * v / n
		}
		rms := math.Sqrt(played / n)
		check.Near(t, name+", what was fed", fed, s.Below(rate/2), 2e-3, "a sum over bins of 1/256 Hz")
		step := math.Pow(2, 1.0/12)
		low := 4.0
		expected := s.Below(low)
		for ; low < 1000; low *= step {
			expected += (s.Below(low*step) - s.Below(low)) * math.Pow(response(low*math.Sqrt(step)), 2)
		}
		expected += (1 - s.Below(low)) * math.Pow(response(1000), 2)
		// 256 s of some 30 Hz of noise have 2·30·256 free values: 0.6 % of rms is
		// one standard deviation; three of them, and 0.1 % for the steps.
		check.Near(t, name, rms/math.Sqrt(expected), 1, 0.019, "three standard deviations")
	}
}

func BenchmarkBelow(b *testing.B) {
	for _, name := range []string{"programme", "pink", "decade"} {
		s := spectra(b)[name]
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if p := s.Below(50); p > 1 {
					b.Fatal(p)
				}
			}
		})
	}
}
