package study_test

import (
	"context"
	"math"
	"testing"

	"basswright/internal/heat"
	"basswright/internal/study"
)

// What is told against level and time is what a course of that drive comes to:
// after each time and in the end. Later its steps are longer than a course’s, which
// may change less than is shown: 0.05 K, 0.001 dB and 0.05 % of the watts.
func TestCompressionIsThatOfTheCourses(t *testing.T) {
	st := example(t, "camper-bench")
	st.Candidates[0].Group.Positions[0][0].Driver.Data.Thermal = heat.Circuit{Rtv: 1.1, Ctv: 35, Rtm: 0.5, Ctm: 3000}
	times := []float64{10, 60, 600, 3600}
	c, err := st.Compress(context.Background(), 0, study.CompressionOptions{Volts: []float64{5, 20, 40}, After: times})
	if err != nil {
		t.Fatal(err)
	}
	if len(c.Points) != 3 || c.Top().Volts != 40 {
		t.Fatalf("%+v", c.Points)
	}
	near := func(a, b float64) bool { return math.Abs(a-b) <= 1e-6*(1+math.Abs(b)) }
	shown := func(a, b, slack float64) bool { return math.Abs(a-b) <= slack }
	for _, p := range c.Points {
		for k, at := range times {
			h, err := st.Heat(context.Background(), 0, study.HeatOptions{Volts: p.Volts, For: at})
			if err != nil {
				t.Fatal(err)
			}
			if want := h.Points[len(h.Points)-1]; !shown(p.After[k].Coil, want.Coil[0], 0.05) || !shown(p.After[k].Loss, want.Loss, 1e-3) || !shown(p.After[k].Watts, want.Watts, 5e-4*want.Watts) {
				t.Errorf("%g V after %g s: %+v, the course %+v", p.Volts, at, p.After[k], want)
			}
			if !near(p.Cold, h.Points[0].Watts) || !near(p.End.Coil, h.Steady.Coil[0]) || !near(p.End.Loss, h.Steady.Loss) {
				t.Errorf("%g V: cold %g W, end %+v; the course %g W, %+v", p.Volts, p.Cold, p.End, h.Points[0].Watts, h.Steady)
			}
		}
	}
}

// In steps of 3 dB up to the amplifier: twice the cold watts each, and more loss
// with more drive and with more time. The resistance is that of copper, and the end
// is where the circuit holds it with the watts that are told.
func TestCompressionRisesWithLevelAndTime(t *testing.T) {
	st := example(t, "camper-bench")
	circuit := heat.Circuit{Rtv: 1.1, Ctv: 35, Rtm: 0.5, Ctm: 3000}
	st.Candidates[0].Group.Positions[0][0].Driver.Data.Thermal = circuit
	c, err := st.Compress(context.Background(), 0, study.CompressionOptions{After: []float64{10, 60}})
	if err != nil {
		t.Fatal(err)
	}
	if n := len(c.Points); n != 7 || math.Abs(c.Top().Volts-st.Amplifier.MaxVoltage()) > 1e-9 || c.Top().Drive != 0 || math.Abs(c.Points[0].Drive+18) > 1e-9 {
		t.Fatalf("%d drives, from %+v to %+v", n, c.Points[0], c.Top())
	}
	last := 0.0
	for k, p := range c.Points {
		if k > 0 && math.Abs(p.Cold/c.Points[k-1].Cold-math.Pow(10, 0.3)) > 1e-9 {
			t.Errorf("%g V: %g W after %g W", p.Volts, p.Cold, c.Points[k-1].Cold)
		}
		if !(p.After[0].Loss > 0 && p.After[0].Loss < p.After[1].Loss && p.After[1].Loss < p.End.Loss && p.End.Loss > last) {
			t.Errorf("%g V: losses %g, %g, %g dB, with less drive %g", p.Volts, p.After[0].Loss, p.After[1].Loss, p.End.Loss, last)
		}
		last = p.End.Loss
		if want := 1 + 0.00393*(p.End.Coil-20); math.Abs(p.End.Rise-want) > 1e-9 {
			t.Errorf("%g °C: × %g, copper × %g", p.End.Coil, p.End.Rise, want)
		}
		if rise := p.End.Coil - 20; math.Abs(rise-p.End.Watts*(circuit.Rtv+circuit.Rtm)) > 1e-4*rise {
			t.Errorf("%g W hold %g K", p.End.Watts, rise)
		}
	}
	if !(last > 0.5) {
		t.Errorf("%g dB is nothing to be told", last)
	}
}

// A comparison tells heat where an amplifier or thermal data are there and every
// driver says enough; and of no candidate that gives no sound.
func TestOfWhichHeatIsTold(t *testing.T) {
	count := func(change func(st *study.Study)) int {
		st := example(t, "camper-bench")
		change(st)
		list, err := st.CompressEach(context.Background(), study.CompressionOptions{Volts: []float64{1}})
		if err != nil {
			t.Fatal(err)
		}
		return len(list)
	}
	all := len(example(t, "camper-bench").Candidates)
	if n := count(func(*study.Study) {}); n != all {
		t.Errorf("with an amplifier %d of %d", n, all)
	}
	if n := count(func(st *study.Study) { st.Amplifier = nil }); n != 0 {
		t.Errorf("with neither an amplifier nor thermal data %d", n)
	}
	stated := func(st *study.Study) {
		st.Amplifier = nil
		st.Candidates[0].Group.Positions[0][0].Driver.Data.Thermal = heat.Circuit{Rtv: 1.1, Ctv: 35, Rtm: 0.5, Ctm: 3000}
	}
	if n := count(stated); n != all { // it is one driver in all of them
		t.Errorf("with thermal data %d of %d", n, all)
	}
	unknown := func(st *study.Study) {
		st.Candidates[0].Group.Positions[0][0].Driver.Data.RatedPower = 0
	}
	if n := count(unknown); n != 0 {
		t.Errorf("of drivers of which nothing is known %d", n)
	}
	reversed := func(st *study.Study) {
		i, err := st.Find("pair")
		if err != nil {
			t.Fatal(err)
		}
		st.Candidates[i].Group.Positions[0][0].Polarity *= -1
	}
	if n := count(reversed); n != all-1 {
		t.Errorf("one is wired wrong, and heat is told of %d of %d", n, all)
	}
}
