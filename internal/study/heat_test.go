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

// Twice as many steps change nothing that is shown, with and without rests; and
// the first step after a rest takes what a coil takes that has cooled down. The
// figures that the steps close in on are those of 400 steps.
func TestHeatInHalfTheStep(t *testing.T) {
	st := example(t, "camper-bench")
	st.Candidates[0].Group.Positions[0][0].Driver.Data.Thermal = heat.Circuit{Rtv: 1.1, Ctv: 35, Rtm: 0.5, Ctm: 3000}
	for _, o := range []study.HeatOptions{
		{Volts: 60, For: 300},
		{Volts: 60, On: 0.25, Off: 1, For: 120},
		{Volts: 60, On: 2, Off: 8, For: 200},
		{Volts: 60, On: 5, Off: 20, For: 400},
		{Volts: 60, On: 10, Off: 20, For: 400},
	} {
		hottest := map[int]float64{}
		for _, n := range []int{study.HeatSteps, 2 * study.HeatSteps, 20 * study.HeatSteps} {
			c, err := study.HeatIn(st, context.Background(), 0, o, n)
			if err != nil {
				t.Fatal(err)
			}
			hottest[n] = c.Hottest[0] - 20
		}
		once, twice, fine := hottest[study.HeatSteps], hottest[2*study.HeatSteps], hottest[20*study.HeatSteps]
		t.Logf("%g s of %g s: %.3f K, %.3f K, %.3f K", o.On, o.On+o.Off, once, twice, fine)
		if !(fine > 50) {
			t.Fatalf("%g K is no heat", fine)
		}
		if math.Abs(once-fine) > 0.1 {
			t.Errorf("%g s of %g s: %.3f K, in fine steps %.3f K", o.On, o.On+o.Off, once, fine)
		}
		if a, b := math.Abs(once-fine), math.Abs(twice-fine); b > a/2 && a > 1e-3 {
			t.Errorf("%g s of %g s: half the step leaves %.4f of %.4f K", o.On, o.On+o.Off, b, a)
		}
	}
}

// The time to a temperature is where the course crosses it; what it never has has
// no time. Aluminium grows in resistance by 0.00403 per kelvin, so that with the
// same watts it takes less and stays cooler.
func TestHeatReaches(t *testing.T) {
	st := example(t, "camper-bench")
	d := st.Candidates[0].Group.Positions[0][0].Driver
	d.Data.Thermal = heat.Circuit{Rtv: 1.1, Ctv: 35, Rtm: 0.5, Ctm: 3000}
	ctx := context.Background()
	c, err := st.Heat(ctx, 0, study.HeatOptions{Volts: 40, For: 3600, Reach: 100})
	if err != nil {
		t.Fatal(err)
	}
	until, err := st.Heat(ctx, 0, study.HeatOptions{Volts: 40, For: c.Reached})
	if err != nil {
		t.Fatal(err)
	}
	if got := until.Points[len(until.Points)-1].Coil[0]; math.Abs(got-100) > 0.1 {
		t.Errorf("after %g s it has %g °C", c.Reached, got)
	}
	never, err := st.Heat(ctx, 0, study.HeatOptions{Volts: 40, For: 3600, Reach: c.Steady.Coil[0] + 1})
	if err != nil {
		t.Fatal(err)
	}
	if never.Reached != -1 {
		t.Errorf("it reaches more than its steady state after %g s", never.Reached)
	}
	d.Data.Wire = heat.Aluminium
	light, err := st.Heat(ctx, 0, study.HeatOptions{Volts: 40, For: 60})
	if err != nil {
		t.Fatal(err)
	}
	if a, b := light.Steady.Coil[0], c.Steady.Coil[0]; !(a < b) {
		t.Errorf("aluminium ends at %g °C, copper at %g °C", a, b)
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

// Unlike drivers side by side warm up each as itself: in whichever order they are
// named the same driver takes the same watts and has the same temperature, and the
// two in series draw what their network draws; and a piece can be played on them.
func TestHeatOfUnlikeDriversSideBySide(t *testing.T) {
	made := func(turned bool) (*study.Study, int) {
		st := example(t, "camper-bench")
		i, err := st.Find("pair")
		if err != nil {
			t.Fatal(err)
		}
		g := *st.Candidates[i].Group
		other := *g.Positions[0][0].Driver
		other.Name, other.Re, other.Bl = "dunlin-10", 2*other.Re, 1.3*other.Bl
		a, b := g.Positions[0][0], g.Positions[1][0]
		b.Driver = &other
		if turned {
			a, b = b, a
		}
		g.Positions = [][]driver.Member{{a}, {b}}
		st.Candidates[i].Group = &g
		return st, i
	}
	courses := [2]*study.HeatCourse{}
	for k := range courses {
		st, i := made(k == 1)
		c, err := st.Heat(context.Background(), i, study.HeatOptions{Volts: 20, For: 60})
		if err != nil {
			t.Fatal(err)
		}
		courses[k] = c
		sound := make([]float64, 4800)
		for n := range sound {
			sound[n] = math.Sin(2 * math.Pi * 40 * float64(n) / 4800)
		}
		if _, err := st.Play(context.Background(), i, sound, 4800, study.ProgrammeOptions{Volts: 5}); err != nil {
			t.Error(err)
		}
	}
	a, b := courses[0].Points[len(courses[0].Points)-1], courses[1].Points[len(courses[1].Points)-1]
	if math.Abs(a.Watts-b.Watts) > 1e-9*a.Watts || math.Abs(a.Coil[0]-b.Coil[1]) > 1e-9*a.Coil[0] || math.Abs(a.Coil[1]-b.Coil[0]) > 1e-9*a.Coil[1] || a.Coil[0] == a.Coil[1] {
		t.Errorf("%+v, in the other order %+v", a, b)
	}
}

// Air that is stated by its speed of sound and density leaves its temperature open:
// coils begin at 20 °C, in a piece as under noise.
func TestStatedAirIsNotCold(t *testing.T) {
	st := example(t, "camper-bench")
	st.Air.Stated, st.Air.Temperature = true, 0
	p, err := st.Play(context.Background(), 0, make([]float64, 100), 4800, study.ProgrammeOptions{Volts: 1})
	if err != nil {
		t.Fatal(err)
	}
	if p.Warmest != 20 {
		t.Errorf("the coils begin at %g °C", p.Warmest)
	}
}
