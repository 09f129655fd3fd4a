package study

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
)

// closedResponse is |G|² of a box by the closed form of the papers, at f Hz.
type closedResponse func(f float64) float64

// closedMean is the power mean of a closed form over a band on a log scale, by
// Simpson's rule.
func closedMean(g closedResponse, from, to float64) float64 {
	const n = 400
	sum := 0.0
	for k := 0; k <= n; k++ {
		w := 2.0 + 2*float64(k%2)
		if k == 0 || k == n {
			w = 1
		}
		sum += w * g(from*math.Pow(to/from, float64(k)/n))
	}
	return sum / (3 * n)
}

// closedReference is the band and the mean of the octave, between 10 Hz and
// 1 kHz, in which the mean is largest, or of the band that is named.
func closedReference(g closedResponse, named *Band) (Band, float64) {
	if named != nil {
		return *named, closedMean(g, named.From, named.To)
	}
	best, at := 0.0, 0.0
	for f := 10.0; f <= 501; f *= math.Exp2(1.0 / meanSteps) {
		if m := closedMean(g, f, 2*f); m > best {
			best, at = m, f
		}
	}
	return Band{at, 2 * at}, best
}

// closedFall is where a closed form has fallen by drop (as a factor of power)
// below a mean, next to the band.
func closedFall(g closedResponse, band Band, limit float64) float64 {
	start := band.From
	if g(start) < limit { // the band's lower edge may lie below: from its highest point
		for f := band.From; f <= band.To; f *= 1.0005 {
			if g(f) > g(start) {
				start = f
			}
		}
	}
	hi := start
	for g(hi) >= limit {
		hi /= 1.002
	}
	lo := hi
	hi *= 1.002
	for range 60 {
		if mid := math.Sqrt(lo * hi); g(mid) < limit {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi
}

// loneStudy is one driver in one box on 1 V.
func loneStudy(t testing.TB, d *driver.Driver, box enclosure.Spec, reference *Band) *Study {
	t.Helper()
	g, _, err := driver.NewGroup(driver.GroupSpec{Driver: d, SideBySide: 1, Stack: 1})
	if err != nil {
		t.Fatal(err)
	}
	st := camper(t)
	st.Drive, st.Reference, st.Brief, st.Amplifier, st.Space = Drive{DriveVoltage, 1}, reference, Brief{}, nil, nil
	st.Candidates = []Candidate{{Name: "one", Group: g, Enclosure: box}}
	return st
}

// checkExtension holds the figures of a box against its closed form. asymptote
// is |p|² at high frequency.
func checkExtension(t testing.TB, rt *rapid.T, st *Study, d *driver.Driver, g closedResponse) {
	t.Helper()
	f := evaluate(t, st, Options{Points: 2}).Candidates[0].Figures
	band, mean := closedReference(g, st.Reference)
	p := st.Air.Rho / (2 * math.Pi) * d.Sd * d.Bl / (d.Re * d.Mms)
	level := 10 * math.Log10(p*p*mean/sq(referencePressure))
	// the mean is trapezoidal with 96 steps an octave: (ln 2/96)²/12 = 4e-6 of
	// the change of slope of |G|² over the band, which is below 8 of its mean
	const meanError = 4e-5 // as a factor
	dB := 10 * math.Log10(1+meanError)
	if math.Abs(float64(f.Reference)-level) > dB {
		rt.Fatalf("reference level %.6f dB, closed form %.6f dB", f.Reference, level)
	}
	for _, c := range []struct {
		name string
		got  float64
		drop float64
	}{{"F3", float64(f.F3), 0.5}, {"F6", float64(f.F6), math.Pow(10, -0.6)}, {"F10", float64(f.F10), 0.1}} {
		want := closedFall(g, band, mean*c.drop)
		// an error of the mean moves the crossing by itself over the slope
		slope := math.Abs(math.Log(g(want*1.001)/g(want/1.001))) / (2 * 0.001)
		if math.Abs(c.got/want-1) > meanError/slope+1e-9 {
			rt.Fatalf("%s is %.6f Hz, closed form %.6f Hz (allowed %.2g of it)", c.name, c.got, want, meanError/slope+1e-9)
		}
	}
}

// someBand is nil, for the octave that is found, or a band above the box's own.
func someBand(rt *rapid.T) *Band {
	return rapid.SampledFrom([]*Band{nil, {150, 300}, {200, 800}}).Draw(rt, "reference")
}

// plainMerlin is the camper bench's woofer without inductance and with another
// total Q.
func plainMerlin(t testing.TB, qts float64) *driver.Driver {
	t.Helper()
	d := *merlin(t)
	d.Coil = driver.VoiceCoil{}
	qes := 1 / (1/qts - 1/d.Qms())
	d.Bl = math.Sqrt(2 * math.Pi * d.Fs() * d.Mms * d.Re / qes)
	return &d
}

// The extension of a closed box without inductance is that of the second-order
// high-pass (Small 1972, closed-box systems part I) below the reference level
// as this program defines it.
func TestPublishedExtensionOfClosedBoxes(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := plainMerlin(t, rapid.Float64Range(0.25, 0.8).Draw(rt, "qts"))
		st := loneStudy(t, d, enclosure.Spec{}, someBand(rt))
		v := rapid.Float64Range(0.012, 0.3).Draw(rt, "volume")
		st.Candidates[0].Enclosure = enclosure.Spec{Kind: enclosure.Sealed, Rear: enclosure.Chamber{Volume: v}}
		ratio := math.Sqrt(1 + d.Vas(st.Air)/v)
		fc, q := d.Fs()*ratio, d.Qts()*ratio
		checkExtension(t, rt, st, d, func(f float64) float64 {
			x := sq(f / fc)
			return x * x / (sq(1-x) + x/sq(q))
		})
	})
}

// The same for vented boxes of the families that `alignment` sizes, with
// leakage: Small's fourth-order high-pass (1973, appendix 1).
func TestPublishedExtensionOfVentedBoxes(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := plainMerlin(t, rapid.Float64Range(0.25, 0.5).Draw(rt, "qts"))
		ql := rapid.SampledFrom([]float64{5, 7, 15}).Draw(rt, "QL")
		family := "qb3"
		if d.Qts() > 1/(math.Sqrt(4+2*math.Sqrt2)-1/ql) {
			family = "c4"
		}
		st := loneStudy(t, d, enclosure.Spec{
			Kind: enclosure.Vented, Alignment: enclosure.Alignment{Family: family},
			Losses: enclosure.Losses{Leakage: enclosure.Loss{State: enclosure.LossGiven, Q: ql}},
		}, someBand(rt))
		sys, _, err := enclosure.Build(st.Candidates[0].Group, st.Candidates[0].Enclosure, st.Setting())
		if err != nil {
			rt.Fatal(err)
		}
		qt, h, alpha := d.Qts(), sys.Spec.Rear.Tuning/d.Fs(), d.Vas(st.Air)/sys.Spec.Rear.Volume
		r := math.Sqrt(h)
		a1, a2, a3 := 1/(r*qt)+r/ql, h+(1+alpha)/h+1/(ql*qt), r/qt+1/(r*ql)
		f0 := d.Fs() * r
		checkExtension(t, rt, st, d, func(f float64) float64 {
			x := f / f0
			x2 := x * x
			return sq(x2*x2) / (sq(x2*x2-a2*x2+1) + sq(a1*x2*x-a3*x))
		})
	})
}
