package study_test

import (
	"context"
	"math"
	"math/cmplx"
	"strings"
	"testing"

	"basswright/internal/filter"
	"basswright/internal/study"
)

// moved is the largest share of a limit of movement at full amplifier power
// behind a high-pass, read from the curves, and from 5 Hz up. The level is turned up
// until the amplifier gives all where a high-pass takes least, at 120 Hz.
func moved(t *testing.T, st *study.Study, o *study.Outcome, order int, corner float64) float64 {
	t.Helper()
	c, err := filter.HighPass(filter.Butterworth, order, corner)
	if err != nil {
		t.Fatal(err)
	}
	full := *st
	full.Drive = study.Drive{Kind: study.DriveAmplifierFull}
	worst := 0.0
	for f := 5.0; f < 1000; f *= 1.01 {
		curves, err := full.CurvesAt(context.Background(), o.System, []float64{f}, 1)
		if err != nil {
			t.Fatal(err)
		}
		for id, s := range sharesAt(t, st, o, f, curves.Voltage[0]*min(1, cmplx.Abs(c.At(2*math.Pi*f)/c.At(2*math.Pi*120)))) {
			switch id {
			case study.BoundExcursion, study.BoundStop, study.BoundRadiator, study.BoundPortAir, study.BoundPressure:
				worst = math.Max(worst, s)
			}
		}
	}
	return worst
}

// The high-pass that is named keeps every limit of movement, and one with a
// corner 3 % lower does not: the grid on which it was looked for is 1.5 % apart.
func TestProtectionKeepsTheLimits(t *testing.T) {
	st := example(t, "camper-bench")
	res, err := study.Evaluate(context.Background(), st, study.Options{Points: 40})
	if err != nil {
		t.Fatal(err)
	}
	needed := 0
	for _, o := range res.Candidates {
		p := o.Protection
		if p == nil {
			t.Fatalf("%s: nothing is said of protection", o.Candidate.Name)
		}
		if without := moved(t, st, o, 1, 0.02); (without > 1+1e-3) != p.Needed {
			t.Errorf("%s: %.4f of a limit without a filter, and needed: %v", o.Candidate.Name, without, p.Needed)
		}
		if !p.Needed {
			continue
		}
		needed++
		if s := moved(t, st, o, p.Order, p.Corner); s > 1+1e-3 {
			t.Errorf("%s: behind order %d at %.1f Hz still %.4f of a limit", o.Candidate.Name, p.Order, p.Corner, s)
		}
		if s := moved(t, st, o, p.Order, p.Corner*0.97); s <= 1 {
			t.Errorf("%s: order %d at %.1f Hz would do as well", o.Candidate.Name, p.Order, p.Corner*0.97)
		}
	}
	if needed < 3 {
		t.Errorf("only %d candidates need any", needed)
	}
}

// Below its tuning a vented box lets the cone go, and it is said so.
func TestProtectionBelowTheTuning(t *testing.T) {
	st := example(t, "camper-bench")
	res, err := study.Evaluate(context.Background(), st, study.Options{Points: 40})
	if err != nil {
		t.Fatal(err)
	}
	i, err := st.Find("tuned")
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range res.Candidates[i].BoxLedger {
		if strings.HasPrefix(s.Name, "Protection") {
			if !strings.Contains(s.Why, "below the tuning of 29.0") {
				t.Errorf("it says %q", s.Why)
			}
			return
		}
	}
	t.Error("nothing is said of protection")
}
