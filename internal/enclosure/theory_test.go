package enclosure

import (
	"math"
	"math/cmplx"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/driver"
)

// The network against the closed forms of the papers, for random drivers
// without inductance. Both are exact, so what they may differ by is rounding:
// 1e-9 of the value.

// randomSetting draws a source, a space and a distance.
func randomSetting(t *rapid.T, tb testing.TB) Setting {
	return Setting{
		Air:      airOf(tb, rapid.Float64Range(330, 360).Draw(t, "c"), rapid.Float64Range(1, 1.4).Draw(t, "rho")),
		Source:   rapid.SampledFrom([]float64{0, 0.05, 0.7}).Draw(t, "source"),
		Space:    rapid.SampledFrom([]float64{4 * math.Pi, 2 * math.Pi, math.Pi, math.Pi / 2}).Draw(t, "space"),
		Distance: rapid.Float64Range(0.5, 8).Draw(t, "distance"),
	}
}

// closedForm is p far away per volt: the driver's asymptote at high frequency
// times a transfer function.
func closedForm(d *driver.Driver, set Setting, g complex128) complex128 {
	return complex(set.Air.Rho/(set.Space*set.Distance)*d.Sd*d.Bl/((d.Re+set.Source)*d.Mms), 0) * g
}

// driven are a driver's total Q with the source before it.
func driven(d *driver.Driver, set Setting) float64 {
	qes := d.Qes() * (d.Re + set.Source) / d.Re
	return qes * d.Qms() / (qes + d.Qms())
}

func logRange(t *rapid.T, lo, hi float64, what string) float64 {
	return math.Exp(rapid.Float64Range(math.Log(lo), math.Log(hi)).Draw(t, what))
}

func theory(t *testing.T, property func(rt *rapid.T, d *driver.Driver, set Setting)) {
	t.Helper()
	rapid.Check(t, func(rt *rapid.T) {
		d := randomDriver(rt, "woofer")
		d.Coil = driver.VoiceCoil{}
		property(rt, d, randomSetting(rt, t))
	})
}

func compare(rt *rapid.T, what string, f float64, got, want complex128, tolerance float64) {
	if e := cmplx.Abs(got-want) / cmplx.Abs(want); !(e <= tolerance) {
		rt.Fatalf("%s at %g Hz: %v, closed form %v (off by %.3g)", what, f, got, want, e)
	}
}

// A sealed box without losses is the second-order high-pass of Small 1972,
// closed-box systems part I: G = s²/(s² + s/Qtc + 1), s in units of ωc.
func TestSealedEqualsSecondOrder(t *testing.T) {
	theory(t, func(rt *rapid.T, d *driver.Driver, set Setting) {
		v := logRange(rt, 3e-3, 1, "volume")
		sys, _, err := Build(oneOf(t, d), Spec{Kind: Sealed, Rear: Chamber{Volume: v}}, set)
		if err != nil {
			rt.Fatal(err)
		}
		ratio := math.Sqrt(1 + d.Vas(set.Air)/v)
		fc, q := d.Fs()*ratio, driven(d, set)*ratio
		if math.Abs(sys.Facts.SealedFc/fc-1) > 1e-9 || math.Abs(sys.Facts.SealedQtc/q-1) > 1e-9 {
			rt.Fatalf("fc %g Hz and Qtc %g are told, closed form %g Hz and %g", sys.Facts.SealedFc, sys.Facts.SealedQtc, fc, q)
		}
		for _, x := range []float64{0.05, 0.5, 0.93, 1, 1.4, 6, 60} {
			p, _, excursion := reading(t, sys, x*fc)
			s := complex(0, x)
			low := 1 / (s*s + s/complex(q, 0) + 1)
			compare(rt, "pressure", x*fc, p, closedForm(d, set, s*s*low), 1e-9)
			still := math.Sqrt2 * d.Bl / (d.Re + set.Source) * d.Cms / sq(ratio)
			compare(rt, "excursion", x*fc, complex(excursion, 0), complex(still*cmplx.Abs(low), 0), 1e-9)
		}
	})
}

// A vented box with leakage is Small's fourth-order high-pass (1973, part I and
// appendix 1): s⁴/(s⁴ + a1 s³ + a2 s² + a3 s + 1), s in units of 2π√(fs·fb).
// Its impedance is Re plus that of the motion.
func TestVentedEqualsFourthOrder(t *testing.T) {
	theory(t, func(rt *rapid.T, d *driver.Driver, set Setting) {
		h := logRange(rt, 0.4, 2.5, "h")
		alpha := logRange(rt, 0.1, 12, "alpha")
		ql := rapid.SampledFrom([]float64{3, 7, 20, math.Inf(1)}).Draw(rt, "QL")
		fs, qt := d.Fs(), driven(d, set)
		sys, _, err := Build(oneOf(t, d), Spec{Kind: Vented, Rear: Chamber{Volume: d.Vas(set.Air) / alpha, Tuning: fs * h, Losses: Losses{Leakage: lossOf(ql)}}}, set)
		if err != nil {
			rt.Fatal(err)
		}
		r := math.Sqrt(h)
		a1 := 1/(r*qt) + r/ql
		a2 := h + (1+alpha)/h + 1/(ql*qt)
		a3 := r/qt + 1/(r*ql)
		for _, x := range []float64{0.1, 0.6, 0.97, 1.3, 3, 30} {
			f := x * fs * r
			s := complex(0, x)
			p, z, _ := reading(t, sys, f)
			compare(rt, "pressure", f, p, closedForm(d, set, s*s*s*s/(s*s*s*s+complex(a1, 0)*s*s*s+complex(a2, 0)*s*s+complex(a3, 0)*s+1)), 1e-9)
			// the motion's admittance over Bl²/Rms·Qms: own resonance and the box's
			own := complex(1/d.Qms(), f/fs-fs/f)
			sb := complex(0, f/(fs*h))
			box := complex(alpha*fs/f, 0) * complex(0, -1) * sb * sb / (sb*sb + sb/complex(ql, 0) + 1)
			compare(rt, "impedance", f, z, complex(d.Re, 0)+complex(d.Re/d.Qes(), 0)/(own+box), 1e-9)
		}
	})
}

// What leaks out radiates: all that moves outside together is what the box's
// air takes up, U = −jωC·p (Small 1973, part I), so a leak costs no slope.
func TestLeakRadiates(t *testing.T) {
	theory(t, func(rt *rapid.T, d *driver.Driver, set Setting) {
		v, fb := logRange(rt, 5e-3, 0.3, "volume"), logRange(rt, 18, 60, "tuning")
		q := logRange(rt, 2, 20, "QL")
		spec := Spec{Kind: Vented, Rear: Chamber{Volume: v, Tuning: fb, Losses: Losses{Leakage: Loss{LossGiven, q}}}}
		if rapid.Bool().Draw(rt, "closed") {
			spec.Kind, spec.Rear.Tuning = Sealed, 0
		}
		sys, _, err := Build(oneOf(t, d), spec, set)
		if err != nil {
			rt.Fatal(err)
		}
		leaks := 0
		for _, r := range sys.Radiating() {
			if r.Name == "box leak" {
				leaks++
			}
		}
		if leaks != 1 {
			rt.Fatalf("%d leaks radiate", leaks)
		}
		s := sys.Program.NewSolver()
		for f := 4.0; f < 300; f *= 2.3 {
			if err := s.Solve(2 * math.Pi * f); err != nil {
				rt.Fatal(err)
			}
			c := v / (set.Air.Rho * sq(set.Air.C))
			takenUp := complex(0, -2*math.Pi*f*c) * s.Potential(sys.Chambers[0].Node)
			// far below the tuning cone, port and leak nearly cancel: relative to the cone's flow
			cone := d.Sd * cmplx.Abs(s.Potential(sys.Cones[0].Node))
			if e := cmplx.Abs(sys.VolumeVelocity(s) - takenUp); e > 1e-11*cone {
				rt.Fatalf("at %g Hz %v moves outside, the box takes up %v", f, sys.VolumeVelocity(s), takenUp)
			}
		}
	})
}
