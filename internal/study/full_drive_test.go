package study_test

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/study"
)

// Whatever way a volume control is written, it protects nothing, and what changes no
// level changes nothing beside it. The shelves are flat over the band to the
// tolerances that stand with them.
func TestAVolumeControlProtectsNothing(t *testing.T) {
	vented := tunedBoxes[0]
	bare := evaluated(t, freeMoving(t, vented.box, rated(400), "")).Candidates[0]
	want := checkNamed(bare, vented.id)
	for _, c := range []struct {
		filters string
		within  float64
	}{
		{"pad: {kind: gain, gain: -9 dB}", 1e-9},
		{"pad: {kind: gain, gain: -20 dB}", 1e-9},
		{"pad: {kind: gain, gain: -100 dB}", 1e-9},
		{"pad: {kind: gain, gain: -20 dB}, turn: {kind: allpass, at: 60 Hz}", 1e-9},
		{"pad: {kind: gain, gain: -20 dB}, up: {kind: gain, gain: 12 dB}", 1e-9},
		{"pad: {kind: low_shelf, at: 20000 Hz, q: 0.7, gain: -40 dB}", 1e-3},
		{"pad: {kind: low_shelf, at: 1000 Hz, q: 0.7, gain: -20 dB}", 0.02},
		{"pad: {kind: high_shelf, at: 1 Hz, q: 0.7, gain: -20 dB}", 0.02},
		{"pad: {kind: gain, gain: -20 dB}, bell: {kind: bell, at: 60 Hz, q: 1, gain: 0.1 dB}", 0.02},
		{"pad: {kind: gain, gain: -20 dB}, beyond: {kind: high_shelf, at: 2000 Hz, q: 0.7, gain: 20 dB}", 0.02},
	} {
		o := evaluated(t, freeMoving(t, vented.box, rated(400), "filters: {"+c.filters+"}")).Candidates[0]
		got := checkNamed(o, vented.id)
		if got == nil || got.Passed || math.Abs(float64(got.Fill/want.Fill)-1) > c.within {
			t.Errorf("%s: %+v, bare %+v", c.filters, got, want)
			continue
		}
		if a, b := o.Protection.Worst.Value, bare.Protection.Worst.Value; math.Abs(float64(a/b)-1) > max(c.within, 1e-9) {
			t.Errorf("%s: %.6g times a limit is told for protection, bare %.6g", c.filters, a, b)
		}
		if a, b := o.Air[0].Share.Value, bare.Air[0].Share.Value; math.Abs(float64(a/b)-1) > max(c.within, 1e-9) {
			t.Errorf("%s: air %.6g, bare %.6g", c.filters, a, b)
		}
	}
}

// A gain beside any filters that take away changes nothing of full power, of the
// high-pass that protects, nor of the level on the amplifier's full drive.
func TestAGainBesideFiltersChangesNothing(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		filters := rapid.SampledFrom([]string{
			"s: {kind: highpass, at: 22 Hz, order: 2, family: butterworth}",
			"s: {kind: lowpass, at: 50 Hz, order: 4, family: linkwitz_riley}",
			"s: {kind: highpass, at: 70 Hz, order: 1, family: butterworth}, l: {kind: lowpass, at: 60 Hz, order: 1, family: butterworth}",
			"s: {kind: low_shelf, at: 60 Hz, q: 0.7, gain: -12 dB}",
			"s: {kind: bell, at: 35 Hz, q: 2, gain: -8 dB}",
		}).Draw(rt, "filters")
		gain := rapid.SampledFrom([]string{"-1 dB", "-9 dB", "-40 dB"}).Draw(rt, "gain")
		full := rapid.Bool().Draw(rt, "full drive")
		read := func(f string) *study.Outcome {
			st := freeMoving(t, tunedBoxes[0].box, rated(400), "filters: {"+f+"}")
			if full {
				st.Drive = study.Drive{Kind: study.DriveAmplifierFull}
			}
			return evaluated(t, st).Candidates[0]
		}
		a, b := read(filters), read(filters+", pad: {kind: gain, gain: "+gain+"}")
		if x, y := a.Protection, b.Protection; math.Abs(float64(x.Worst.Value/y.Worst.Value)-1) > 1e-9 || x.Order != y.Order || x.Corner != y.Corner {
			rt.Errorf("protection: %+v, with the gain %+v", x, y)
		}
		for k, x := range a.Checks {
			if y := b.Checks[k]; full && math.Abs(float64(x.Fill-y.Fill)) > 1e-9*math.Abs(float64(x.Fill)) {
				rt.Errorf("%s: %v, with the gain %v", x.Name, x.Fill, y.Fill)
			}
		}
	})
}

// Who plays through a high-pass turns the level up as well: that of a low order over
// the whole bass is a volume control in part, and the corner that is told counts it.
func TestALateHighPassIsTurnedUp(t *testing.T) {
	o := evaluated(t, freeMoving(t, tunedBoxes[0].box, rated(400), "")).Candidates[0]
	seen := 0
	for _, h := range o.Protection.Orders {
		if h.Corner == 0 {
			continue
		}
		seen++
		text := "filters: {guard: {kind: highpass, family: butterworth, order: %d, at: %.1f Hz}}"
		if h.Family.String() != "Butterworth" {
			text = "filters: {guard: {kind: highpass, family: linkwitz_riley, order: %d, at: %.1f Hz}}"
		}
		share := func(corner float64) float64 {
			p := evaluated(t, freeMoving(t, tunedBoxes[0].box, rated(400), fmt.Sprintf(text, h.Order, corner))).Candidates[0].Protection
			return float64(p.Worst.Value)
		}
		if at, below := share(h.Corner), share(h.Corner-0.1); at > 1+1e-9 || below <= 1 {
			t.Errorf("order %d at %.1f Hz: %.6g of a limit, a tenth lower %.6g", h.Order, h.Corner, at, below)
		}
	}
	if seen < 5 {
		t.Errorf("only %d orders keep the limits", seen)
	}
}
