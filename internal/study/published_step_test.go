package study

import (
	"context"
	"math"
	"math/cmplx"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"basswright/internal/check"
	"basswright/internal/enclosure"
	"basswright/internal/filter"
)

// closedStep is the step response of a second-order high-pass over its first
// value.
type closedStep struct{ w0, q float64 }

// ideal is without a band limit (t > 0).
func (c closedStep) ideal(t float64) float64 {
	a := c.w0 / (2 * c.q)
	d := cmplx.Sqrt(complex(a*a-c.w0*c.w0, 0)) // real poles or a pair: one formula for both
	if cmplx.Abs(d) < 1e-6*a {
		return math.Exp(-a*t) * (1 - a*t)
	}
	p := d * complex(t, 0)
	return math.Exp(-a*t) * real(cmplx.Cosh(p)-complex(a, 0)*cmplx.Sinh(p)/d)
}

// limited is what is left of it by the low-pass of Transients, by Simpson's
// rule over the inverse Fourier integral with the fade. Steps of 0.2 Hz
// resolve the resonance and the phase of 50 ms.
func (c closedStep) limited(t, band float64) float64 {
	n := 2 * int(band/0.2)
	h := 2 * band / float64(n)
	sum := 0.0
	for k := 1; k < n; k++ {
		f := float64(k) * h
		w := 2 * math.Pi * f
		s := complex(0, w/c.w0)
		g := s * s / (s*s + s/complex(c.q, 0) + 1) / complex(0, w)
		sum += (2 + 2*float64(k%2)) * fade(f, band) * real(g*cmplx.Exp(complex(0, w*t)))
	}
	return sum * h / 3 * 2 // both ends are 0; (1/π)·dω = 2·df
}

// closedBoxOf is the camper bench's woofer, made lossless, in a box of volume
// Vas, so that the total Q is as asked; with the first value of its step.
func closedBoxOf(t *testing.T, q float64) (sys *enclosure.System, first float64) {
	t.Helper()
	d := plainMerlin(t, q/math.Sqrt2)
	d.Rms *= 1e-9
	d.Bl = math.Sqrt(2 * math.Pi * d.Fs() * d.Mms * d.Re * math.Sqrt2 / q)
	st := loneStudy(t, d, enclosure.Spec{}, nil)
	sys, _, err := enclosure.Build(st.Candidates[0].Group, enclosure.Spec{Kind: enclosure.Sealed, Rear: enclosure.Chamber{Volume: d.Vas(st.Air)}}, st.Setting())
	if err != nil {
		t.Fatal(err)
	}
	return sys, st.Air.Rho / (2 * math.Pi) * d.Sd * d.Bl / (d.Re * d.Mms)
}

// The step response against the closed form behind the same low-pass, for
// every Qtc of the published table: rounding and Simpson's error, 1e-6 of the
// first value. And against the table's first undershoot and its time (Small
// 1972, closed-box systems part I): what the low-pass costs there is computed,
// not guessed.
func TestPublishedStepBehindTheLowPass(t *testing.T) {
	depths, times := undershootRows(t)
	if len(depths) != 14 || len(times) != 13 {
		t.Errorf("%d depths and %d times, want 14 and 13", len(depths), len(times))
	}
	const dt = 1 / shownRate
	for q, depth := range depths {
		sys, first := closedBoxOf(t, q)
		step, _, err := Transients(context.Background(), sys, &filter.Chain{}, shownRate, shownBand, shownLead, shownTime)
		if err != nil {
			t.Fatal(err)
		}
		c := closedStep{2 * math.Pi * sys.Facts.SealedFc, sys.Facts.SealedQtc}
		lowest := 0
		for k, y := range step.Y {
			if y < step.Y[lowest] {
				lowest = k
			}
		}
		cost := 0.0 // of the low-pass, around the undershoot
		for k := range step.T {
			if near := k >= lowest-2 && k <= lowest+2; near || k%16 == 0 && step.T[k] < 0.05 {
				want := c.limited(step.T[k], shownBand)
				if e := math.Abs(step.Y[k]/first - want); e > 1e-6 {
					t.Errorf("Qtc %g at %.3f ms: %.8f of the first value, closed form %.8f", q, 1e3*step.T[k], step.Y[k]/first, want)
				}
				if near {
					cost = math.Max(cost, math.Abs(want-c.ideal(step.T[k])))
				}
			}
		}
		// the lowest sample lies within half a step of the minimum; the curve is
		// bent there by less than ωc²
		bend := sq(c.w0*dt) / 8
		if got := step.Y[lowest] / first; math.Abs(got-depth) > cost+bend {
			t.Errorf("Qtc %g: undershoot %.6f, published %.6f (allowed %.2g)", q, got, depth, cost+bend)
		}
		if cost > 2e-4 {
			t.Errorf("Qtc %g: the low-pass costs %.2g of the first value at the undershoot", q, cost)
		}
		at, ok := times[q]
		if !ok {
			continue
		}
		// an error e of the values moves the minimum to where the curve has
		// risen by e on either side: √(2·2e/curvature), and half a step
		curvature := (c.ideal(at/c.w0+dt) - 2*c.ideal(at/c.w0) + c.ideal(at/c.w0-dt)) / (dt * dt)
		allowed := math.Sqrt(4*cost/curvature) + dt/2
		if got := step.T[lowest]; math.Abs(got-at/c.w0) > allowed {
			t.Errorf("Qtc %g: undershoot at %.3f ms, published %.3f ms (allowed %.2g ms)", q, 1e3*got, 1e3*at/c.w0, 1e3*allowed)
		}
	}
}

// undershootRows are the table's first undershoot, and its time times ωc, by Qtc.
func undershootRows(t *testing.T) (depths, times map[float64]float64) {
	t.Helper()
	qtc := regexp.MustCompile(`^Qtc=([0-9.]+)`)
	depths, times = map[float64]float64{}, map[float64]float64{}
	for _, row := range check.Rows(t, "../enclosure/testdata/closed-box.csv") {
		into := depths
		switch {
		case strings.HasPrefix(row.Quantity, "time of first undershoot"):
			into = times
		case !strings.HasPrefix(row.Quantity, "step response first undershoot"):
			continue
		}
		m := qtc.FindStringSubmatch(row.Conditions)
		if m == nil {
			t.Fatalf("%s has no Qtc", row.ID)
		}
		q, err := strconv.ParseFloat(m[1], 64)
		if err != nil {
			t.Fatal(err)
		}
		into[q] = row.Values(t)[0]
	}
	return depths, times
}
