package study_test

import (
	"context"
	"math"
	"testing"

	"basswright/internal/driver"
	"basswright/internal/heat"
	"basswright/internal/study"
)

// At a whisper the watts do not change with the heat, so that the course is the
// closed form of the circuit.
func TestHeatOfAWhisper(t *testing.T) {
	st := example(t, "camper-bench")
	d := st.Candidates[0].Group.Positions[0][0].Driver
	d.Data.Thermal = heat.Circuit{Rtv: 1.1, Ctv: 35, Rtm: 0.5, Ctm: 3000}
	c, err := st.Heat(context.Background(), 0, study.HeatOptions{Volts: 0.01, For: 600})
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range c.Points {
		want := d.Data.Thermal.After(heat.State{}, p.Watts, p.At)
		if math.Abs(p.Coil[0]-20-want.Coil) > 1e-6*want.Coil+1e-12 || math.Abs(p.Magnet[0]-20-want.Magnet) > 1e-6*want.Magnet+1e-12 {
			t.Fatalf("after %g s %g and %g °C, the circuit %+v above 20 °C", p.At, p.Coil[0], p.Magnet[0], want)
		}
	}
}

// In the end, watts and temperatures belong together: the network with coils of
// that temperature draws the watts that hold it; the course comes to the same; and
// the loss is the level's difference, read from the curves of a driver that has
// that resistance by its sheet.
func TestHeatInTheEnd(t *testing.T) {
	st := example(t, "camper-bench")
	d := st.Candidates[0].Group.Positions[0][0].Driver
	circuit := heat.Circuit{Rtv: 1.1, Ctv: 35, Rtm: 0.5, Ctm: 300}
	d.Data.Thermal = circuit
	const volts = 22
	c, err := st.Heat(context.Background(), 0, study.HeatOptions{Volts: volts, For: 6000})
	if err != nil {
		t.Fatal(err)
	}
	end, last := c.Steady, c.Points[len(c.Points)-1]
	if rise := end.Coil[0] - 20; math.Abs(rise-end.Watts*(circuit.Rtv+circuit.Rtm)) > 1e-4*rise {
		t.Errorf("%g W hold %g K", end.Watts, rise)
	}
	if math.Abs(last.Coil[0]-end.Coil[0]) > 1e-3*end.Coil[0] || math.Abs(last.Loss-end.Loss) > 1e-3 {
		t.Errorf("the course ends at %g °C and %g dB, the search at %g and %g", last.Coil[0], last.Loss, end.Coil[0], end.Loss)
	}
	mean := func(re float64) float64 {
		s := example(t, "camper-bench")
		s.Drive = study.Drive{Kind: study.DriveVoltage, Value: volts}
		hot := *s.Candidates[0].Group.Positions[0][0].Driver
		hot.Re = re
		s.Candidates[0].Group.Positions[0][0].Driver = &hot
		sys, _, err := s.Build(0)
		if err != nil {
			t.Fatal(err)
		}
		var at []float64
		for k := range 24 {
			at = append(at, 20*math.Pow(10, (float64(k)+0.5)/24))
		}
		curves, err := s.CurvesAt(context.Background(), sys, at, 1)
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for _, l := range curves.SPL {
			sum += math.Pow(10, l/10)
		}
		return 10 * math.Log10(sum/24)
	}
	want := mean(d.Re) - mean(d.Re*(1+0.00393*(end.Coil[0]-20)))
	if math.Abs(end.Loss-want) > 1e-6 {
		t.Errorf("it loses %.6f dB, by the curves %.6f", end.Loss, want)
	}
}

// A rest cools: after it the coil is colder than before, and a course with rests
// stays below one without; alike drivers in a symmetrical group share one heat,
// and without rating nothing is known.
func TestHeatWithRests(t *testing.T) {
	st := example(t, "camper-bench")
	i, err := st.Find("four")
	if err != nil {
		t.Fatal(err)
	}
	ctx := context.Background()
	steady, err := st.Heat(ctx, i, study.HeatOptions{Volts: 40, For: 300})
	if err != nil {
		t.Fatal(err)
	}
	rests, err := st.Heat(ctx, i, study.HeatOptions{Volts: 40, On: 10, Off: 20, For: 300})
	if err != nil {
		t.Fatal(err)
	}
	if rests.Steady != nil {
		t.Error("a course with rests has a steady state")
	}
	if a, b := rests.Points[len(rests.Points)-1], steady.Points[len(steady.Points)-1]; !(a.Coil[0] < b.Coil[0]) || a.Coil[0] != a.Coil[2] || len(a.Coil) != 4 {
		t.Errorf("with rests %v °C, without %v", a.Coil, b.Coil)
	}
	for p := range st.Candidates[i].Group.Positions {
		for k := range st.Candidates[i].Group.Positions[p] {
			bare := *st.Candidates[i].Group.Positions[p][k].Driver
			bare.Data = driver.Data{}
			st.Candidates[i].Group.Positions[p][k].Driver = &bare
		}
	}
	if _, err := st.Heat(ctx, i, study.HeatOptions{Volts: 40, For: 10}); err == nil {
		t.Error("drivers without ratings warm up")
	}
}
