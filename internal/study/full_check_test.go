package study_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// freeMoving is a study with one box whose openings are ideal, so that nothing but
// movement ends it; filters and amplifier are lines of the file.
func freeMoving(t testing.TB, box, amplifier, filters string) *study.Study {
	t.Helper()
	text := fmt.Sprintf(`study: Free
drive: {voltage: 0.1 V}
%s
%s
brief: {limits: {from: 16 Hz, port_speed: 300 m/s}}
drivers:
  plover-10: {fs: 30.5 Hz, qms: 4.9, qes: 0.49, vas: 44 L, sd: 345 cm2, re: 3.3 ohm, xmax: 9 mm}
candidates:
  box:
    group: {driver: plover-10}
    enclosure: %s
`, amplifier, filters, box)
	st, err := studyfile.Parse([]byte(text), "free.yaml")
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return st
}

func rated(watts float64) string {
	return fmt.Sprintf("amplifier: {rated: {4 ohm: %.9g W, 2 ohm: %.9g W}}", watts, 2*watts)
}

func missOf(o *study.Outcome, id study.CheckID) *study.Miss {
	for i := range o.Misses {
		if o.Misses[i].Check == id {
			return &o.Misses[i]
		}
	}
	return nil
}

func checkNamed(o *study.Outcome, id study.CheckID) *study.Check {
	for i := range o.Checks {
		if o.Checks[i].ID == id {
			return &o.Checks[i]
		}
	}
	return nil
}

// tunedBoxes are boxes of every kind with a tuned opening, and what moves too far
// first.
var tunedBoxes = []struct {
	box string
	id  study.CheckID
}{
	{"{kind: vented, volume: 50 L, tuning: 30 Hz, port: {diameter: 80 mm}}", study.CheckExcursionFull},
	{"{kind: passive_radiator, volume: 50 L, radiator: {sd: 345 cm2, mms: 90 g, cms: 0.8 mm/N, qms: 8, xmax: 40 mm}}", study.CheckExcursionFull},
	{"{kind: passive_radiator, volume: 50 L, radiator: {sd: 345 cm2, mms: 90 g, cms: 0.8 mm/N, qms: 8, xmax: 5 mm}}", study.CheckRadiatorFull},
	{"{kind: bandpass, rear: {volume: 30 L}, front: {volume: 20 L, tuning: 50 Hz, port: {diameter: 80 mm}}}", study.CheckExcursionFull},
	{"{kind: bandpass_parallel, rear: {volume: 50 L, tuning: 30 Hz, port: {diameter: 80 mm}}, front: {volume: 20 L, tuning: 70 Hz, port: {diameter: 80 mm}}}", study.CheckExcursionFull},
	{"{kind: bandpass_series, rear: {volume: 50 L, tuning: 30 Hz, port: {diameter: 80 mm}}, front: {volume: 20 L, tuning: 70 Hz, port: {diameter: 80 mm}}}", study.CheckExcursionFull},
}

// A box with a tuned opening passes until its amplifier makes what moves go too
// far, and not beyond, whatever the drive is. All is linear, so that the power at
// which it changes follows from the share at another.
func TestOverTravelIsNoPass(t *testing.T) {
	for _, b := range tunedBoxes {
		at := checkNamed(evaluated(t, freeMoving(t, b.box, rated(100), "")).Candidates[0], b.id)
		if at == nil {
			t.Errorf("%s: not checked", b.box)
			continue
		}
		edge := 100 / math.Pow(float64(at.Fill), 2)
		below, above := evaluated(t, freeMoving(t, b.box, rated(0.999*edge), "")), evaluated(t, freeMoving(t, b.box, rated(1.001*edge), ""))
		if !below.BriefMet || len(below.Candidates[0].Misses) > 0 {
			t.Errorf("%s: with %.3g W it does not pass: %v", b.box, 0.999*edge, below.Candidates[0].Misses)
		}
		if missOf(above.Candidates[0], b.id) == nil {
			t.Errorf("%s: with %.3g W it passes", b.box, 1.001*edge)
		}
	}
}

// Limits that begin just under the tuning do not hide what the cone does below it.
func TestOverTravelIsSeenUnderTheTuning(t *testing.T) {
	const box = "{kind: vented, volume: 50 L, tuning: 30 Hz, port: {diameter: 80 mm}}"
	for _, from := range []float64{20, 23, 29, 29.9} {
		st := freeMoving(t, box, rated(100), "")
		st.Brief.Limits.From = from
		at := checkNamed(evaluated(t, st).Candidates[0], study.CheckExcursionFull)
		if at == nil || at.Passed || float64(at.At) > 30/1.26+0.01 {
			t.Errorf("from %g Hz: %+v", from, at)
		}
	}
}

// The excursion that is told is that of a drive of all that the amplifier gives, as
// the ordinary check reads it.
func TestOverTravelAgainstTheFullDrive(t *testing.T) {
	for _, b := range tunedBoxes {
		o := evaluated(t, freeMoving(t, b.box, rated(80), "")).Candidates[0]
		text := strings.Replace(rated(80), "amplifier:", "reference: {from: 60 Hz, to: 120 Hz}\namplifier:", 1)
		st := freeMoving(t, b.box, text, "")
		st.Drive = study.Drive{Kind: study.DriveAmplifierFull}
		full := evaluated(t, st).Candidates[0]
		if checkNamed(full, study.CheckExcursionFull) != nil || checkNamed(full, study.CheckRadiatorFull) != nil {
			t.Errorf("%s: on the amplifier’s full drive the same is checked twice", b.box)
		}
		got, want := checkNamed(o, study.CheckExcursionFull), checkNamed(full, study.CheckExcursion)
		if got == nil || want == nil || math.Abs(float64(got.Value/want.Value)-1) > 1e-9 { // the same network, read twice
			t.Errorf("%s: %+v, on the full drive %+v", b.box, got, want)
		}
	}
}

// Where an amplifier is not given, or the box is closed, nothing is added.
func TestOverTravelNeedsAnAmplifierAndAnOpening(t *testing.T) {
	for _, st := range []*study.Study{
		freeMoving(t, tunedBoxes[0].box, "", ""),
		freeMoving(t, "{kind: sealed, volume: 20 L}", rated(500), ""),
		freeMoving(t, "{kind: infinite_baffle}", rated(500), ""),
	} {
		o := evaluated(t, st).Candidates[0]
		if checkNamed(o, study.CheckExcursionFull) != nil || len(o.Misses) > 0 {
			t.Errorf("%v: %v", o.System.Spec.Kind, o.Misses)
		}
	}
}

// A stop that is nearer than the limit, or known alone, is held too, on the
// amplifier's full drive as well.
func TestOverTravelIntoTheStop(t *testing.T) {
	for _, full := range []bool{false, true} {
		st := freeMoving(t, tunedBoxes[0].box, rated(200), "")
		d := *st.Candidates[0].Group.Positions[0][0].Driver
		d.Data.Xmax, d.Data.Xmech = 0, 10e-3
		st.Candidates[0].Group.Positions[0][0].Driver = &d
		if full {
			st.Drive = study.Drive{Kind: study.DriveAmplifierFull}
		}
		o := evaluated(t, st).Candidates[0]
		id := study.CheckExcursionFull
		if full {
			id = study.CheckStop
		}
		if k := checkNamed(o, id); k == nil || k.Limit != 10e-3 || k.Passed {
			t.Errorf("full drive %v: %+v", full, k)
		}
	}
}

// What the mend says holds: behind the high-pass, put into the study, the same box
// with the same amplifier passes, and so it does with the amplifier turned down. A
// filter that lifts before it does not change that.
func TestOverTravelMendHolds(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := tunedBoxes[rapid.IntRange(0, len(tunedBoxes)-1).Draw(rt, "box")]
		watts := rapid.Float64Range(20, 600).Draw(rt, "watts")
		lift := rapid.SampledFrom([]string{"", "lift: {kind: bell, at: 25 Hz, q: 1, gain: 6 dB}"}).Draw(rt, "lift")
		with := func(watts float64, more string) *study.Outcome {
			filters := ""
			if all := strings.Trim(lift+", "+more, ", "); all != "" {
				filters = "filters: {" + all + "}"
			}
			return evaluated(t, freeMoving(t, b.box, rated(watts), filters)).Candidates[0]
		}
		o := with(watts, "")
		if len(o.Misses) == 0 {
			return
		}
		p := o.Protection
		if p == nil || !p.Needed || !p.Possible {
			rt.Fatalf("%s with %g W: missed, and protection is %+v", b.box, watts, p)
		}
		family := strings.ReplaceAll(strings.ToLower(p.Family.String()), "-", "_")
		if word := fmt.Sprintf("order %d at ", p.Order); !strings.Contains(o.Misses[0].Mend, word) {
			rt.Errorf("the mend %q does not say %q", o.Misses[0].Mend, word)
		}
		if x := with(watts, fmt.Sprintf("guard: {kind: highpass, family: %s, order: %d, at: %.6g Hz}", family, p.Order, p.Corner)); len(x.Misses) > 0 {
			rt.Errorf("%s with %g W %s behind %s of order %d at %g Hz: %v", b.box, watts, lift, family, p.Order, p.Corner, x.Misses)
		}
		down := 0.0
		for _, m := range o.Misses {
			var by float64
			if _, err := fmt.Sscanf(m.Mend, "holds with the amplifier turned down by %f", &by); err != nil {
				rt.Fatalf("%q: %v", m.Mend, err)
			}
			down = max(down, by)
		}
		if x := with(watts*math.Pow(10, -down/10), ""); len(x.Misses) > 0 {
			rt.Errorf("%s with %g W turned down by %g dB: %v", b.box, watts, down, x.Misses)
		}
	})
}

// The mend looks from where the limits are held, even if that is below where it
// looks otherwise.
func TestProtectionFromBelow(t *testing.T) {
	st := freeMoving(t, tunedBoxes[0].box, rated(200), "")
	st.Brief.Limits.From = 3
	o := evaluated(t, st).Candidates[0]
	p := o.Protection
	if p == nil || p.From != 3 || !p.Possible {
		t.Fatalf("%+v", p)
	}
}
