package study

import (
	"math"
	"strings"
	"testing"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
)

// A closed box plays what the brief is said to need: at the excursion of the
// demand, read from its own network, its level is the asked one.
func TestDemandsAgreeWithTheNetwork(t *testing.T) {
	for _, space := range []Surroundings{HalfSpace, FreeSpace, QuarterSpace, EighthSpace} {
		for _, full := range []bool{false, true} {
			d := merlin(t)
			st := shortlist(nil, d)
			st.Listening = Listening{Distance: 2.5, Space: space}
			st.Model.FullRadiation = full
			st.Drive = Drive{Kind: DriveVoltage, Value: 10}
			st.Brief = Brief{Level: 101, LevelAt: 32}
			g, _, err := driver.NewGroup(driver.GroupSpec{Driver: d, SideBySide: 1, Stack: 1})
			if err != nil {
				t.Fatal(err)
			}
			// Without a leak: what leaks radiates too.
			st.Candidates = []Candidate{{Name: "one", Group: g, Enclosure: enclosure.Spec{Kind: enclosure.Sealed, Rear: enclosure.Chamber{Volume: 28e-3, Losses: enclosure.Losses{Leakage: enclosure.Loss{State: enclosure.LossNone}}}}}}
			sys, _, err := st.Build(0)
			if err != nil {
				t.Fatal(err)
			}
			m := newMeter(st, sys)
			x, level := m.excursion(32, sys.Cones), m.level(32)
			want := x * math.Pow(10, (101-level)/20)
			got := float64(st.Demands()[1].Value)
			if math.Abs(got/want-1) > 1e-9 || m.err != nil {
				t.Errorf("%v space: %g m asked, the network says %g (%v)", space, got, want, m.err)
			}
		}
	}
}

// 105 dB at 32 Hz and 1 m in a half space move √2 · 3.557 Pa · 2π · 1 m / ((2π · 32 Hz)² · 1.204 kg/m³) = 0.649 L,
// which a cone of 345 cm² does at 18.8 mm: two that have 12 mm do it together.
func TestDemandsByHand(t *testing.T) {
	d := *merlin(t)
	d.Sd, d.Data.Xmax = 345e-4, 12e-3
	st := shortlist(&Space{Width: 0.7, Height: 0.28, Depth: 0.33, Panel: 18e-3}, &d)
	st.Brief = Brief{Level: 105, LevelAt: 32}
	l := st.Demands()
	if len(l) != 3 {
		t.Fatalf("%d lines: %+v", len(l), l)
	}
	for i, want := range []float64{0.649e-3, 18.8e-3, 0.664 * 0.244 * 0.294} {
		if v := float64(l[i].Value); math.Abs(v/want-1) > 2e-3 { // the figures above have three digits
			t.Errorf("%s = %g, want %g", l[i].Name, v, want)
		}
		if l[i].Formula == "" || l[i].Source == "" || l[i].Why == "" || strings.Contains(l[i].Numbers, "NaN") {
			t.Errorf("%s lacks its account: %+v", l[i].Name, l[i])
		}
	}
	if l[1].Needs != 2 || !l[1].Short() || !strings.Contains(l[1].Why, "two side by side") {
		t.Errorf("%+v", l[1])
	}
	for xmax, want := range map[float64]int{18.9e-3: 1, 18.7e-3: 2, 6e-3: 4, 0: 0} {
		d.Data.Xmax = xmax
		if x := st.Demands()[1]; x.Needs != want || x.Short() != (want > 1) {
			t.Errorf("with %g m: %d, %s", xmax, x.Needs, x.Why)
		}
	}
}

// A brief that asks for nothing has no demands, and what cannot be computed is
// left out.
func TestNoDemands(t *testing.T) {
	st := shortlist(nil, merlin(t))
	if l := st.Demands(); len(l) != 0 {
		t.Errorf("%+v", l)
	}
	st.Brief = Brief{Level: 105, LevelAt: 32}
	st.Listening.Distance = 0
	st.Space = &Space{Width: 0.02, Height: 0.3, Depth: 0.3} // all board
	if l := st.Demands(); len(l) != 0 {
		t.Errorf("%+v", l)
	}
}
