package study_test

import (
	"math"
	"strings"
	"testing"

	"basswright/internal/study"
)

// The mechanical stop is a limit of its own on the drive: a brief that allows more
// excursion than the driver has, or a sheet without xmax, lets no cone pass that
// goes into it. With the power at which it is just reached it passes.
func TestNoConePassesIntoItsStop(t *testing.T) {
	for _, box := range []string{"{kind: sealed, volume: 20 L}", "{kind: vented, volume: 50 L, tuning: 30 Hz, port: {diameter: 80 mm}}"} {
		for _, limit := range []float64{0, 30e-3} {
			made := func(volts float64) *study.Result {
				st := freeMoving(t, box, "", "")
				d := *st.Candidates[0].Group.Positions[0][0].Driver
				d.Data.Xmax, d.Data.Xmech = 0, 9e-3
				st.Candidates[0].Group.Positions[0][0].Driver = &d
				st.Brief.Limits.Excursion = limit
				st.Drive.Value = volts
				return evaluated(t, st)
			}
			k := checkNamed(made(14).Candidates[0], study.CheckStop)
			if k == nil || k.Limit != 9e-3 {
				t.Errorf("%s: %+v", box, k)
				continue
			}
			edge := 14 / float64(k.Fill) // all is linear
			if over := made(1.001 * edge); missOf(over.Candidates[0], study.CheckStop) == nil {
				t.Errorf("%s with %g V passes into the stop", box, 1.001*edge)
			} else if limit > 0 && over.BriefMet {
				t.Errorf("%s: a brief that asks for excursion is met in the stop", box)
			}
			if below := made(0.999 * edge); len(below.Candidates[0].Misses) > 0 {
				t.Errorf("%s with %g V: %v", box, 0.999*edge, below.Candidates[0].Misses)
			}
		}
	}
}

// How far the cone of a tuned box may go has to be known where an amplifier drives it.
func TestUnknownTravelIsNotJudged(t *testing.T) {
	for amplifier, missed := range map[string]bool{rated(10): true, "": false} {
		st := freeMoving(t, tunedBoxes[0].box, amplifier, "")
		d := *st.Candidates[0].Group.Positions[0][0].Driver
		d.Data.Xmax = 0
		st.Candidates[0].Group.Positions[0][0].Driver = &d
		m := missOf(evaluated(t, st).Candidates[0], study.CheckExcursion)
		if (m != nil) != missed {
			t.Errorf("%q: %+v", amplifier, m)
		}
		if m != nil && !strings.Contains(m.Text, "not judged") {
			t.Errorf("it is told as %q", m.Text)
		}
	}
}

// Limits that hold from above a box's tuning are said to leave out what matters.
func TestLimitsAboveTheTuning(t *testing.T) {
	for from, told := range map[float64]bool{16: false, 100: true} {
		st := freeMoving(t, tunedBoxes[0].box, rated(400), "")
		st.Brief.Limits.From = from
		got := false
		for _, f := range evaluated(t, st).Candidates[0].Findings {
			got = got || f.ID == "limits-above-tuning"
		}
		if got != told {
			t.Errorf("from %g Hz: told %v", from, got)
		}
	}
}

// Where drivers are unlike, what is too far and too hot is named.
func TestUnlikeDriversAreNamed(t *testing.T) {
	st := example(t, "camper-bench")
	i, err := st.Find("pair")
	if err != nil {
		t.Fatal(err)
	}
	g := st.Candidates[i].Group
	other := *g.Positions[0][0].Driver
	other.Name, other.Data.Xmax, other.Data.RatedPower = "dunlin-10", 1e-3, 1
	g.Positions[1][0].Driver = &other
	o := evaluated(t, st).Candidates[i]
	for _, id := range []study.CheckID{study.CheckExcursion, study.CheckHeat} {
		if m := missOf(o, id); m == nil || !strings.Contains(m.Text, "dunlin-10") {
			t.Errorf("%s: %+v", id, m)
		}
	}
	if math.IsNaN(float64(o.Figures.PowerShare)) {
		t.Error("no share")
	}
}

// The drive that a missed level needs is told with every limit that it passes.
func TestLevelMendTellsWhatItPasses(t *testing.T) {
	st := freeMoving(t, "{kind: passive_radiator, volume: 50 L, radiator: {sd: 345 cm2, mms: 90 g, cms: 0.8 mm/N, qms: 8, xmax: 5 mm}}", "", "")
	st.Brief.Level, st.Brief.LevelAt, st.Brief.Limits.Pressure = 110, 34, 100
	m := missOf(evaluated(t, st).Candidates[0], study.CheckLevel)
	if m == nil {
		t.Fatal("the level is not missed")
	}
	for _, what := range []string{"the excursion is ", "the radiator’s excursion is ", "the chamber’s pressure is "} {
		if !strings.Contains(m.Mend, what) {
			t.Errorf("%q does not say %q", m.Mend, what)
		}
	}
}
