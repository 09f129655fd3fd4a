package study_test

import (
	"context"
	"math"
	"testing"

	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// Where there is no steady state the curve has a gap, and says where; the other
// frequencies keep their values.
func TestDistortionHasGaps(t *testing.T) {
	st, err := studyfile.Parse([]byte(skewed), "skewed.yaml")
	if err != nil {
		t.Fatal(err)
	}
	at := []float64{23.875532834288727, 25.327603469348063, 150}
	const volts = 120 // far beyond the curves at the low ones
	d, err := st.DistortionOver(context.Background(), 0, at, volts)
	if err != nil {
		t.Fatal(err)
	}
	if len(d.Lost) == 0 || len(d.Lost) == len(at) {
		t.Fatalf("no steady state at %v: the case has to have both", d.Lost)
	}
	lost := map[float64]bool{}
	for _, f := range d.Lost {
		lost[f] = true
	}
	for k, f := range at {
		if math.IsNaN(d.THD[k]) != lost[f] {
			t.Errorf("%g Hz: THD %g dB, lost %v", f, d.THD[k], lost[f])
		}
	}
}

// Drivers that cancel each other leave a fundamental of nothing but rounding,
// against which no harmonic is told.
func TestNoDistortionOfSilence(t *testing.T) {
	st, err := studyfile.Parse([]byte(`study: Opposed
drivers:
  wren-6: {fs: 38 Hz, qms: 4.2, qes: 0.41, vas: 12.5 L, sd: 136 cm2, re: 3.4 ohm, xmax: 7 mm, curves: {kms: {poly_si: [1100, 4e4, 2e7]}}}
candidates:
  opposed: {group: {driver: wren-6, side_by_side: 2, polarity: [normal, reversed]}, enclosure: {kind: sealed, volume: 18 L}}
`), "opposed.yaml")
	if err != nil {
		t.Fatal(err)
	}
	d, err := st.DistortionOver(context.Background(), 0, []float64{30, 60}, 1)
	if err != nil {
		t.Fatal(err)
	}
	for k := range d.THD {
		for n := range d.Lines {
			if v := d.Lines[n][k]; !math.IsNaN(v) {
				t.Errorf("%g Hz: line %d is %g dB of a silence", d.Frequency[k], n+2, v)
			}
		}
	}
}

// A course in small steps is the same course: with twenty steps in the time of the
// quickest coil a rise is off by less than 0.1 K in 280 K, so by less than 4e-4.
func TestFineHeatIsTheSameHeat(t *testing.T) {
	st := example(t, "camper-bench")
	for _, o := range []study.HeatOptions{{Volts: 30, For: 300}, {Volts: 30, On: 20, Off: 40, For: 300}} {
		a, err := st.Heat(context.Background(), 0, o)
		if err != nil {
			t.Fatal(err)
		}
		o.Fine = true
		b, err := st.Heat(context.Background(), 0, o)
		if err != nil {
			t.Fatal(err)
		}
		x, y := a.Points[len(a.Points)-1], b.Points[len(b.Points)-1]
		if math.Abs(x.Coil[0]-y.Coil[0]) > 4e-4*(x.Coil[0]-20)+0.02 || math.Abs(a.Hottest[0]-b.Hottest[0]) > 4e-4*a.Hottest[0]+0.02 {
			t.Errorf("%+v: %g °C and at most %g in coarse steps, %g and %g in fine ones", o, x.Coil[0], a.Hottest[0], y.Coil[0], b.Hottest[0])
		}
		turns := map[float64]int{}
		last := -1.0
		for _, p := range b.Points {
			if p.At < last {
				t.Fatalf("after %g s comes %g s", last, p.At)
			}
			last = p.At
			turns[math.Round(p.At)]++
		}
		if o.Off > 0 {
			for _, at := range []float64{20, 60, 80, 120, 240, 260} {
				if turns[at] < 2 {
					t.Errorf("the turn at %g s has %d points: as it was, and as it is", at, turns[at])
				}
			}
		}
	}
}
