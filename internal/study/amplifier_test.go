package study_test

import (
	"context"
	"math"
	"strings"
	"testing"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/study"
)

// pair is a study of one candidate: two drivers with two coils each.
func pair(t *testing.T, split driver.Split, a *study.Amplifier) *study.Study {
	t.Helper()
	st := example(t, "camper-bench")
	d := *st.Candidates[0].Group.Positions[0][0].Driver
	d.Coils = driver.Coils{Count: 2}
	g, _, err := driver.NewGroup(driver.GroupSpec{Driver: &d, SideBySide: 2, Stack: 1, Split: split, Outputs: a.Outputs()})
	if err != nil {
		t.Fatal(err)
	}
	st.Candidates = []study.Candidate{{Name: "pair", Group: g, Enclosure: enclosure.Spec{Kind: enclosure.Sealed, Rear: enclosure.Chamber{Volume: 0.05}}}}
	st.Amplifier, st.Source, st.Space = a, 0, nil
	return st
}

func only(t *testing.T, st *study.Study) *study.Outcome {
	t.Helper()
	r, err := study.Evaluate(context.Background(), st, study.Options{Points: 60})
	if err != nil {
		t.Fatal(err)
	}
	return r.Candidates[0]
}

// sameOutput holds the greatest output, the drive at full and the load check of
// two outcomes against each other, as shares: 1e-9 is rounding.
func sameOutput(t *testing.T, a, b *study.Outcome) {
	t.Helper()
	for k := range a.Greatest.Frequency {
		if a.Greatest.By[k] != b.Greatest.By[k] || math.Abs(a.Greatest.Volts[k]/b.Greatest.Volts[k]-1) > 1e-9 || math.Abs(a.Greatest.Level[k]-b.Greatest.Level[k]) > 1e-8 {
			t.Errorf("%g Hz: %s at %g V, %s at %g V", a.Greatest.Frequency[k], a.Greatest.By[k], a.Greatest.Volts[k], b.Greatest.By[k], b.Greatest.Volts[k])
		}
		if math.Abs(a.Curves.Voltage[k]/b.Curves.Voltage[k]-1) > 1e-9 || math.Abs(a.Curves.SPL[k]-b.Curves.SPL[k]) > 1e-8 {
			t.Errorf("%g Hz: the drive is %g V and %g V", a.Curves.Frequency[k], a.Curves.Voltage[k], b.Curves.Voltage[k])
		}
	}
	fill := func(o *study.Outcome) float64 {
		for _, c := range o.Checks {
			if c.ID == study.CheckLoad {
				return float64(c.Fill)
			}
		}
		return math.NaN()
	}
	if x, y := fill(a), fill(b); !(math.Abs(x/y-1) < 1e-9) {
		t.Errorf("the load takes %g and %g of what it may", x, y)
	}
}

// Two bridged channels are one amplifier with twice the power into twice the load;
// at half the load and twice the voltage each works within its own rating.
func TestBridgedIsTwiceThePowerIntoTwiceTheLoad(t *testing.T) {
	for _, rated := range [][]study.Rating{{{2, 450}, {4, 260}}, {{4, 300}}, {{1, 100}}} {
		bridged := &study.Amplifier{Rated: rated, Channels: 2, Bridged: true}
		one := &study.Amplifier{}
		for _, r := range rated {
			one.Rated = append(one.Rated, study.Rating{Load: 2 * r.Load, Power: 2 * r.Power})
		}
		single := &study.Amplifier{Rated: rated}
		if v := bridged.MaxVoltage() / single.MaxVoltage(); v != 2 {
			t.Errorf("the voltage is %g times", v)
		}
		if i := bridged.MaxCurrent() / single.MaxCurrent(); i != 1 {
			t.Errorf("the current is %g times", i)
		}
		if z := bridged.LowestLoad() / single.LowestLoad(); z != 2 {
			t.Errorf("the lowest load is %g times", z)
		}
		a, b := pair(t, driver.Whole, bridged), pair(t, driver.Whole, one)
		a.Drive, b.Drive = study.Drive{Kind: study.DriveAmplifierFull}, study.Drive{Kind: study.DriveAmplifierFull}
		sameOutput(t, only(t, a), only(t, b))
	}
}

// A group split over two channels is the group in parallel on an amplifier that
// gives twice the current: twice the power into half the load. By driver and by
// coil, with the limits of each channel.
func TestChannelsHaveTheirOwnLimits(t *testing.T) {
	rated := []study.Rating{{4, 260}, {8, 150}}
	for _, split := range []driver.Split{driver.ByDriver, driver.ByCoil} {
		two := &study.Amplifier{Rated: rated, Channels: 2}
		one := &study.Amplifier{}
		for _, r := range rated {
			one.Rated = append(one.Rated, study.Rating{Load: r.Load / 2, Power: 2 * r.Power})
		}
		for _, drive := range []study.Drive{{Kind: study.DriveAmplifierFull}, {Kind: study.DrivePower, Value: 100}} {
			a, b := pair(t, split, two), pair(t, driver.Whole, one)
			a.Drive, b.Drive = drive, drive
			split, whole := only(t, a), only(t, b)
			sameOutput(t, split, whole)
			// what each channel gives is half of what the one gives
			if len(split.Chain.Channels) != 2 || whole.Chain != nil {
				t.Fatalf("%+v, %+v", split.Chain, whole.Chain)
			}
			for _, c := range split.Chain.Channels {
				if math.Abs(float64(c.LowestZ.Value)/float64(whole.Figures.LowestZ.Value)/2-1) > 1e-9 {
					t.Errorf("a channel drives %g Ω, the one %g Ω", float64(c.LowestZ.Value), float64(whole.Figures.LowestZ.Value))
				}
				if math.Abs(2*float64(c.Watts.Value)/whole.Figures.TotalPower-1) > 1e-9 {
					t.Errorf("a channel gives %g W, the one %g W", float64(c.Watts.Value), whole.Figures.TotalPower)
				}
				if most := float64(split.Chain.FullAmps.Value); most > two.MaxCurrent()*(1+1e-9) || drive.Kind == study.DriveAmplifierFull && math.Abs(float64(c.Amps.Value)/most-1) > 1e-9 {
					t.Errorf("a channel gives %g A of at most %g A", float64(c.Amps.Value), most)
				}
			}
		}
	}
}

// With a source's resistance of its own before each channel, the power that a
// drive asks for is what the coils' Re get, as if the cones stood still.
func TestPowerDriveOverChannels(t *testing.T) {
	st := pair(t, driver.ByCoil, &study.Amplifier{Rated: []study.Rating{{2, 450}}, Channels: 2, Output: 0.05})
	st.Cable = &study.Cable{Length: 10, Area: 1.5e-6, Gauge: -1}
	st.Drive = study.Drive{Kind: study.DrivePower, Value: 100}
	o := only(t, st)
	rs := 0.05 + 1.7241e-8*20/1.5e-6
	if math.Abs(st.SourceResistance()/rs-1) > 1e-12 {
		t.Errorf("the source has %g Ω, want %g Ω", st.SourceResistance(), rs)
	}
	re := st.Candidates[0].Group.ChannelRe(0)
	i := o.Curves.Voltage[0] / (re + rs)
	if w := 2 * i * i * re; math.Abs(w-100) > 1e-9 {
		t.Errorf("the coils get %g W", w)
	}
}

// The verdict says what a bridged amplifier sees, and which channel is loaded too
// low; a cable that carries much is told with what it is.
func TestChainIsTold(t *testing.T) {
	st := pair(t, driver.ByDriver, &study.Amplifier{Rated: []study.Rating{{8, 500}}, Channels: 4, Bridged: true})
	st.Cable = &study.Cable{Length: 10, Area: 1e-6, Gauge: -1}
	st.Parts = []study.Part{{Kind: "inductor", Part: enclosure.Part{Name: "choke", L: 2e-3, R: 0.3}}}
	r, err := study.Evaluate(context.Background(), st, study.Options{Points: 20})
	if err != nil {
		t.Fatal(err)
	}
	o := r.Candidates[0]
	text := ""
	for _, m := range o.Misses {
		if m.Check == study.CheckLoad {
			text = m.Text
		}
	}
	for _, want := range []string{"loads bridged pair 1 of the amplifier with ", "so that each side works on ", "rated for 16\u2009Ω, it takes 12.8\u2009Ω at the least"} {
		if !strings.Contains(text, want) {
			t.Errorf("%q lacks %q", text, want)
		}
	}
	if terms := st.Terms(); !strings.Contains(terms, ", with choke before each group") {
		t.Errorf("the terms are %q", terms)
	}
	told := map[string]bool{}
	for _, s := range o.BoxLedger {
		told[s.Name] = true
		if strings.Contains(s.Why+s.Numbers, "NaN") {
			t.Errorf("%+v", s)
		}
	}
	for _, want := range []string{"Cable", "Part choke", "Lowest load, bridged", "Channel 1, lowest |Z|", "Channel 2, lowest |Z|"} {
		if !told[want] {
			t.Errorf("the ledger lacks %q", want)
		}
	}
	cautioned := func(r *study.Result) bool {
		for _, c := range r.Cautions {
			if c.ID == "cable" {
				return strings.Contains(c.Text, "1\u2009mm²") && strings.Contains(c.Text, "rules of your place")
			}
		}
		return false
	}
	if !cautioned(r) {
		t.Errorf("%v", r.Cautions)
	}
	st.Cable.Area = 16e-6
	if r, err = study.Evaluate(context.Background(), st, study.Options{Points: 20}); err != nil || cautioned(r) {
		t.Errorf("16 mm² are cautioned against, %v", err)
	}
}
