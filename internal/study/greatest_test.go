package study_test

import (
	"context"
	"math"
	"os"
	"strings"
	"testing"

	"basswright/internal/enclosure"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// example is one of the project's.
func example(t *testing.T, name string) *study.Study {
	t.Helper()
	file := "../../examples/" + name + ".yaml"
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	st, err := studyfile.Parse(text, file)
	if err != nil {
		t.Fatal(err)
	}
	return st
}

// Driven with the voltage at which the envelope says that a bound is reached,
// the curves show that bound reached, and no other passed: read from the curves,
// which know nothing of bounds. All is linear, so only rounding is between them.
func TestGreatestLevelReachesItsBound(t *testing.T) {
	const slack = 1e-9
	seen := map[study.BoundID]bool{}
	for _, name := range []string{"camper-bench", "village-hall-riser", "studio-soffit", "workshop-stool", "hayloft", "camper-bench with stops"} {
		stops := strings.HasSuffix(name, " with stops")
		st := example(t, strings.TrimSuffix(name, " with stops"))
		if stops {
			withStops(st)
		}
		st.Brief.Limits.PortSpeed = 17
		st.Brief.Limits.Pressure = 2500
		st.Brief.Limits.Excursion, st.Brief.Limits.ExcursionXmax = 0, true
		if st.Amplifier == nil {
			st.Amplifier = &study.Amplifier{Rated: []study.Rating{{Load: 4, Power: 300}}}
		}
		res, err := study.Evaluate(context.Background(), st, study.Options{Points: 40, WithoutMends: true})
		if err != nil {
			t.Fatal(err)
		}
		for _, o := range res.Candidates {
			if o.Greatest == nil {
				t.Fatalf("%s: no greatest level", o.Candidate.Name)
			}
			each := st.GreatestOf(o.System, o.Greatest.Frequency)
			for k, f := range o.Greatest.Frequency {
				for _, b := range each.Bounds {
					if s := sharesAt(t, st, o, f, b.Volts[k])[b.ID]; !math.IsNaN(b.Volts[k]) && math.Abs(s-1) > slack {
						t.Errorf("%s at %.4g Hz: %s alone is used to %.12f", o.Candidate.Name, f, b.ID, s)
					}
				}
				by := o.Greatest.By[k]
				seen[by] = true
				shares := sharesAt(t, st, o, f, o.Greatest.Volts[k])
				if s := shares[by]; math.Abs(s-1) > slack {
					t.Errorf("%s at %.4g Hz: %s is used to %.12f where it should give", o.Candidate.Name, f, by, s)
				}
				for id, s := range shares {
					if s > 1+slack {
						t.Errorf("%s at %.4g Hz, where %s gives: %s is used to %.6f", o.Candidate.Name, f, by, id, s)
					}
				}
			}
		}
	}
	for _, id := range []study.BoundID{study.BoundExcursion, study.BoundPortAir, study.BoundStop, study.BoundRadiator, study.BoundHeat, study.BoundVoltage, study.BoundCurrent, study.BoundPressure} {
		if !seen[id] {
			t.Errorf("nowhere is it %s that gives: the check does not reach it", id)
		}
	}
}

// withStops takes the drivers’ xmax away and gives them stops, and puts the first
// candidate into a box with a radiator that gives before them.
func withStops(st *study.Study) {
	for i := range st.Candidates {
		for _, stack := range st.Candidates[i].Group.Positions {
			for _, m := range stack {
				m.Driver.Data.Xmax, m.Driver.Data.Xmech = 0, 9e-3
			}
		}
	}
	st.Candidates[0].Enclosure = enclosure.Spec{Kind: enclosure.PassiveRadiator, Rear: enclosure.Chamber{Volume: 0.028},
		Radiator: enclosure.Radiator{Sd: 0.0345, Mms: 0.12, Fs: 18, Qms: 6, Count: 1, Xmax: 6e-3}}
}

// sharesAt is how far each bound is used at one frequency and voltage, from the
// curves.
func sharesAt(t *testing.T, st *study.Study, o *study.Outcome, f, volts float64) map[study.BoundID]float64 {
	t.Helper()
	driven := *st
	driven.Drive = study.Drive{Kind: study.DriveVoltage, Value: volts}
	c, err := driven.CurvesAt(context.Background(), o.System, []float64{f}, 1)
	if err != nil {
		t.Fatal(err)
	}
	out := map[study.BoundID]float64{}
	most := func(id study.BoundID, v float64) { out[id] = math.Max(out[id], v) }
	watts := make([]float64, len(o.System.Cones))
	for i, coil := range o.System.Coils {
		watts[coil.Driver] += c.Power[i].Y[0]
	}
	for i, cone := range o.System.Cones {
		d := o.System.Group.Positions[cone.Position][cone.Depth].Driver
		for id, limit := range map[study.BoundID]float64{study.BoundExcursion: d.Data.Xmax, study.BoundStop: d.Data.Xmech} {
			if limit > 0 {
				most(id, c.Excursion[i].Y[0]/limit)
			}
		}
		if r := d.RatedPower(); r > 0 {
			most(study.BoundHeat, math.Sqrt(watts[i]/r))
		}
	}
	for i, r := range o.System.Radiators {
		if r.Xmax > 0 {
			most(study.BoundRadiator, c.Excursion[len(o.System.Cones)+i].Y[0]/r.Xmax)
		}
	}
	if v := c.SpeedMax[0]; !math.IsNaN(v) {
		most(study.BoundPortAir, math.Sqrt2*v/st.Brief.Limits.PortSpeed)
	}
	for _, p := range c.Pressure {
		if st.Brief.Limits.Pressure == 0 {
			break
		}
		most(study.BoundPressure, math.Sqrt2*p.Y[0]/st.Brief.Limits.Pressure)
	}
	sin, cos := math.Sincos(c.ImpedancePhase[0] * math.Pi / 180)
	amps := volts / math.Hypot(c.Impedance[0]*cos+st.Source, c.Impedance[0]*sin)
	most(study.BoundVoltage, volts/st.Amplifier.MaxVoltage())
	most(study.BoundCurrent, amps/st.Amplifier.MaxCurrent())
	return out
}

// Turned up until something gives: at that voltage nothing is passed anywhere in
// the range, and the bound that is named is reached where it is named.
func TestGivesFirst(t *testing.T) {
	st := example(t, "camper-bench")
	res, err := study.Evaluate(context.Background(), st, study.Options{Points: 40, WithoutMends: true})
	if err != nil {
		t.Fatal(err)
	}
	for _, o := range res.Candidates {
		first := o.Figures.First
		if s := sharesAt(t, st, o, first.At, first.Volts)[first.By]; math.Abs(s-1) > 1e-6 { // the search ends at 1e-8 in ln f, which costs a smooth share nothing
			t.Errorf("%s: %s is used to %.9f at %.4g Hz", o.Candidate.Name, first.By, s, first.At)
		}
		for f := st.LimitsFrom(); f < 1000; f *= 1.01 {
			for id, s := range sharesAt(t, st, o, f, first.Volts) {
				if s > 1+1e-6 {
					t.Errorf("%s: %s is used to %.6f at %.4g Hz, before %s gives at %.4g Hz", o.Candidate.Name, id, s, f, first.By, first.At)
				}
			}
		}
	}
}

// Where the heat of one woofer is reached, its coil takes what it is rated for: at every
// frequency the same watts, whatever the volts. Only rounding is between them.
func TestHeatIsReachedAtTheRatedPower(t *testing.T) {
	st := example(t, "camper-bench")
	i, err := st.Find("tuned")
	if err != nil {
		t.Fatal(err)
	}
	o := evaluated(t, st).Candidates[i]
	rated := st.Drivers[0].Driver.Data.RatedPower
	looked := 0
	for _, b := range st.GreatestOf(o.System, []float64{20, 30, 50, 100}).Bounds {
		for k, w := range b.Watts {
			switch {
			case b.ID == study.BoundHeat && math.Abs(w/rated-1) > 1e-9:
				t.Errorf("heat is reached at %g W, rated are %g W", w, rated)
			case b.ID == study.BoundHeat:
				looked++
			case b.Volts[k] > 0 && !(w > 0):
				t.Errorf("%s is reached at %g V and %g W", b.ID, b.Volts[k], w)
			}
		}
	}
	if looked != 4 {
		t.Errorf("looked at %d frequencies", looked)
	}
}
