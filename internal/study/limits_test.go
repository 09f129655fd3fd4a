package study

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/phys"
)

func grouped(t testing.TB, s driver.GroupSpec) *driver.Group {
	t.Helper()
	g, _, err := driver.NewGroup(s)
	if err != nil {
		t.Fatal(err)
	}
	return g
}

// only is the camper with one candidate and no brief.
func only(t testing.TB, g *driver.Group, s enclosure.Spec) *Study {
	t.Helper()
	st := camper(t)
	st.Brief, st.Space, st.Amplifier = Brief{}, nil, nil
	st.Drive = Drive{DriveVoltage, 2.83}
	st.Candidates = []Candidate{{Name: "a", Group: g, Enclosure: s}}
	return st
}

var closed28 = enclosure.Spec{Kind: enclosure.Sealed, Rear: enclosure.Chamber{Volume: 0.028}}

// Groups and boxes whose flows cancel exactly give no sound at any frequency:
// nothing is told against a level, nothing of it is a number, and no brief is
// met. With one driver a little unlike, the difference is heard.
func TestWhatCancelsGivesNoSound(t *testing.T) {
	d := merlin(t)
	unlike := *d
	unlike.Bl *= 1.001
	chamber := enclosure.Chamber{Volume: 0.014, Tuning: 50, Losses: enclosure.Losses{Port: enclosure.Loss{State: enclosure.LossNone}}}
	alike := enclosure.Spec{Kind: enclosure.BandpassParallel, Rear: chamber, Front: chamber}
	fights := driver.GroupSpec{Driver: d, SideBySide: 2, Stack: 1, Polarity: []int{1, -1}}
	clamshell := driver.GroupSpec{Driver: d, SideBySide: 1, Stack: 2, Arrangement: driver.Clamshell, Polarity: []int{1, 1}}
	series := clamshell
	series.Wiring = driver.Wiring{Way: driver.WiringSeries}
	for _, c := range []struct {
		name   string
		group  driver.GroupSpec
		box    enclosure.Spec
		silent bool
		still  bool
	}{
		{"reversed pair", fights, closed28, true, false},
		{"rigid clamshell wired alike", clamshell, closed28, true, true},
		{"the same in series", series, closed28, true, true},
		{"alike chambers", driver.GroupSpec{Driver: d, SideBySide: 1, Stack: 1}, alike, true, false},
		{"unlike reversed pair", driver.GroupSpec{Members: [][]*driver.Driver{{d}, {&unlike}}, Polarity: []int{1, -1}}, closed28, false, false},
		{"one", driver.GroupSpec{Driver: d, SideBySide: 1, Stack: 1}, closed28, false, false},
	} {
		st := only(t, grouped(t, c.group), c.box)
		st.Brief = Brief{Extension: Extension{F3: 300}, Level: 1, LevelAt: 45, Limits: Limits{GroupDelay: 10}}
		r := evaluate(t, st, Options{})
		o := r.Candidates[0]
		f := &o.Figures
		if f.Reference.OK() == c.silent || f.F3.OK() == c.silent || f.GroupDelay.Value.OK() == c.silent || r.BriefMet && c.silent {
			t.Errorf("%s: reference %v, F3 %v, delay %v, met %v", c.name, f.Reference, f.F3, f.GroupDelay.Value, r.BriefMet)
		}
		if !c.silent {
			continue
		}
		if m := missOf(t, o, CheckSound); m.Mend == "" || !strings.Contains(m.Text, "no sound") {
			t.Errorf("%s: %+v", c.name, m)
		}
		if o.Summary[2] != "Gives no sound" || !r.HasBrief {
			t.Errorf("%s: %q, has a brief: %v", c.name, o.Summary[2], r.HasBrief)
		}
		if still := f.Excursion.Value == 0; still != c.still {
			t.Errorf("%s: excursion %g", c.name, f.Excursion.Value)
		}
	}
}

// What falls away steeply is still heard: a level exists at both ends of the
// range in the boxes that let least through.
func TestSteepIsNotSilent(t *testing.T) {
	g := grouped(t, driver.GroupSpec{Driver: merlin(t), SideBySide: 1, Stack: 1})
	rear, front := enclosure.Chamber{Volume: 0.02, Tuning: 60}, enclosure.Chamber{Volume: 0.01, Tuning: 90}
	for _, s := range []enclosure.Spec{
		{Kind: enclosure.Vented, Rear: enclosure.Chamber{Volume: 0.001, Tuning: 200}},
		{Kind: enclosure.BandpassParallel, Rear: rear, Front: front},
		{Kind: enclosure.BandpassSeries, Rear: rear, Front: front},
	} {
		c := evaluate(t, only(t, g, s), Options{From: LowestFrequency, To: HighestFrequency, Points: 50}).Candidates[0].Curves
		for k, l := range c.SPL {
			if math.IsInf(l, 0) || math.IsNaN(l) {
				t.Errorf("%v: %g dB at %g Hz", s.Kind, l, c.Frequency[k])
			}
		}
	}
}

// A limit that cannot be judged for want of data is said to be so, and nobody
// meets it.
func TestWhatCannotBeJudged(t *testing.T) {
	d := merlin(t)
	without := func(change func(*driver.Data)) *driver.Group {
		e := *d
		change(&e.Data)
		return grouped(t, driver.GroupSpec{Driver: &e, SideBySide: 1, Stack: 1})
	}
	ideal := enclosure.Spec{Kind: enclosure.Vented, Rear: enclosure.Chamber{Volume: 0.038, Tuning: 29}}
	for _, c := range []struct {
		id    CheckID
		lacks string
		group *driver.Group
		box   enclosure.Spec
		limit Limits
	}{
		{CheckPrice, "price is given in drivers.merlin-10", without(func(s *driver.Data) { s.Price = 0 }), closed28, Limits{Price: 1000}},
		{CheckMass, "weight is given in drivers.merlin-10", without(func(s *driver.Data) { s.Weight = 0 }), closed28, Limits{Mass: 1000}},
		{CheckMass, "what the boards are", without(func(*driver.Data) {}), closed28, Limits{Mass: 1000}},
		{CheckExcursion, "xmax is given in drivers.merlin-10", without(func(s *driver.Data) { s.Xmax = 0 }), closed28, Limits{ExcursionXmax: true}},
		{CheckPortSpeed, "port has no size", without(func(*driver.Data) {}), ideal, Limits{PortSpeed: 1000}},
	} {
		st := only(t, c.group, c.box)
		st.Brief.Limits = c.limit
		r := evaluate(t, st, Options{})
		m := missOf(t, r.Candidates[0], c.id)
		if !strings.Contains(m.Text, "not judged") || !strings.Contains(m.Text, c.lacks) || m.Mend == "" || r.BriefMet || !r.HasBrief {
			t.Errorf("%s: %+v, met %v, has a brief %v", c.id, m, r.BriefMet, r.HasBrief)
		}
	}
}

// Limits may begin anywhere in the range that can be computed.
func TestLimitsFromAnywhere(t *testing.T) {
	for _, from := range []float64{1, 999, 1000, 2000, 20000} {
		st := only(t, grouped(t, driver.GroupSpec{Driver: merlin(t), SideBySide: 1, Stack: 1}), closed28)
		st.Brief.Limits.From = from
		f := evaluate(t, st, Options{}).Candidates[0].Figures
		if !f.LowestZ.Value.OK() || !f.Excursion.Value.OK() || float64(f.Excursion.At) < from*(1-1e-12) {
			t.Errorf("from %g Hz: %+v %+v", from, f.LowestZ, f.Excursion)
		}
	}
}

// Every limit is kept a little above the figure and passed a little below it.
func TestEachLimitOnBothSides(t *testing.T) {
	base := camper(t)
	base.Brief = Brief{LevelAt: 40}
	base.Candidates = base.Candidates[2:]
	f := evaluate(t, base, Options{}).Candidates[0].Figures
	f.Price, f.Excursion.Value = 129, f.ExcursionShare.Value*12e-3
	for _, c := range []struct {
		id    CheckID
		value phys.Maybe
		set   func(b *Brief, v float64)
		least bool // the brief asks for at least v
	}{
		{CheckF3, f.F3, func(b *Brief, v float64) { b.Extension.F3 = v }, false},
		{CheckF6, f.F6, func(b *Brief, v float64) { b.Extension.F6 = v }, false},
		{CheckF10, f.F10, func(b *Brief, v float64) { b.Extension.F10 = v }, false},
		{CheckLevel, f.LevelAsked, func(b *Brief, v float64) { b.LevelAt, b.Level = 40, v }, true},
		{CheckExcursion, f.Excursion.Value, func(b *Brief, v float64) { b.Limits.Excursion = v }, false},
		{CheckPortSpeed, f.PortSpeed.Value, func(b *Brief, v float64) { b.Limits.PortSpeed = v }, false},
		{CheckGroupDelay, f.GroupDelay.Value, func(b *Brief, v float64) { b.Limits.GroupDelay = v }, false},
		{CheckMass, f.Mass, func(b *Brief, v float64) { b.Limits.Mass = v }, false},
		{CheckPrice, f.Price, func(b *Brief, v float64) { b.Limits.Price = v }, false},
	} {
		for _, k := range []float64{0.999, 1.001} {
			st := camper(t)
			st.Candidates = st.Candidates[2:]
			st.Brief = Brief{Limits: Limits{Excursion: 1}} // 1 m: out of the way
			c.set(&st.Brief, float64(c.value)*k)
			o := evaluate(t, st, Options{}).Candidates[0]
			got, ok := checkNamed(o, c.id)
			if want := (k > 1) != c.least; !ok || got.Passed != want {
				t.Errorf("%s at %.6g × %g: passed %v (%v), want %v", c.id, float64(c.value), k, got.Passed, ok, want)
			}
		}
	}
}

// "it takes N V from the source": that drive gives the level asked for, as
// printed, and a hundredth less does not. An amplifier of so many times the
// power does it where the amplifier gives all.
func TestLevelMendReaches(t *testing.T) {
	st := camper(t)
	text := missOf(t, evaluate(t, st, Options{}).Candidates[0], CheckLevel).Mend
	bare, no := strings.CutPrefix(text, "not with this group in this box: it takes ")
	if !no {
		t.Errorf("%q reads as advice, and it passes a limit", text)
	}
	volts, _, _ := strings.Cut(bare, " from")
	q, err := phys.Parse(volts, phys.Voltage)
	if err != nil {
		t.Fatalf("%q: %v", text, err)
	}
	if !strings.Contains(text, "the excursion is") || !strings.Contains(text, "its limit") {
		t.Errorf("%q does not say that the excursion passes its limit", text)
	}
	for _, c := range []struct {
		by   float64
		pass bool
	}{{1, true}, {0.99, false}} {
		st.Drive = Drive{DriveVoltage, q.SI * c.by}
		o := evaluate(t, st, Options{}).Candidates[0]
		if k, _ := checkNamed(o, CheckLevel); k.Passed != c.pass {
			t.Errorf("at %g V the level is reached: %v, want %v", st.Drive.Value, k.Passed, c.pass)
		}
		if k, _ := checkNamed(o, CheckExcursion); c.pass && k.Passed {
			t.Errorf("%q, but the excursion keeps its limit", text)
		}
	}
	st.Drive = Drive{Kind: DriveAmplifierFull}
	st.Brief.Level = 112
	text = missOf(t, evaluate(t, st, Options{}).Candidates[0], CheckLevel).Mend
	var times float64
	if _, err := fmt.Sscanf(text, "not with this group in this box: it takes an amplifier of %g times the power, and there the excursion is", &times); err != nil {
		t.Fatalf("%q: %v", text, err)
	}
	for i := range st.Amplifier.Rated {
		st.Amplifier.Rated[i].Power *= times
	}
	if k, _ := checkNamed(evaluate(t, st, Options{}).Candidates[0], CheckLevel); !k.Passed {
		t.Errorf("%q does not: %g dB", text, float64(k.Value))
	}
	// what keeps every limit is advice, and what the amplifier alone lacks is told of it
	st = camper(t)
	st.Drive, st.Brief.LevelAt, st.Brief.Level = Drive{DriveVoltage, 4}, 100, 98
	if m := missOf(t, evaluate(t, st, Options{}).Candidates[0], CheckLevel); !strings.HasPrefix(m.Mend, "it takes ") || strings.Contains(m.Mend, "there") {
		t.Errorf("%q", m.Mend)
	}
	st.Brief.Level = 113
	st.Amplifier = &Amplifier{Rated: []Rating{{4, 20}}}
	if m := missOf(t, evaluate(t, st, Options{}).Candidates[0], CheckLevel); !strings.HasPrefix(m.Mend, "not with this ") || !strings.Contains(m.Mend, "more than") {
		t.Errorf("%q", m.Mend)
	}
}

// A mend for the group delay that the amplifier could not take is not offered.
func TestDelayMendKeepsTheLoad(t *testing.T) {
	g := grouped(t, driver.GroupSpec{Driver: merlin(t), SideBySide: 1, Stack: 2, Arrangement: driver.Clamshell,
		Coupling: []driver.Coupling{{Volume: 6e-3, Length: 0.2}}, Wiring: driver.Wiring{Way: driver.WiringSeries}})
	st := only(t, g, enclosure.Spec{Kind: enclosure.Sealed, Rear: enclosure.Chamber{Volume: 0.028}})
	r := evaluate(t, st, Options{})
	worst := float64(r.Candidates[0].Figures.GroupDelay.Value)
	st.Brief.Limits.GroupDelay = 0.9 * worst
	if m := missOf(t, evaluate(t, st, Options{}).Candidates[0], CheckGroupDelay); m.Mend != "wiring: parallel keeps it" {
		t.Fatalf("without an amplifier: %q", m.Mend)
	}
	st.Amplifier = &Amplifier{Rated: []Rating{{4, 260}}}
	if m := missOf(t, evaluate(t, st, Options{}).Candidates[0], CheckGroupDelay); strings.Contains(m.Mend, "parallel") {
		t.Errorf("for an amplifier that takes 3.2 Ω at the least: %q", m.Mend)
	}
}

// Where one driver is rated and another is not, the heat is told of the rated
// one, however little of its rating it takes.
func TestHeatOfMixedRatings(t *testing.T) {
	d := merlin(t)
	unrated := *d
	unrated.Name, unrated.Data.RatedPower = "unrated", 0
	for _, members := range [][][]*driver.Driver{{{d}, {&unrated}}, {{&unrated}, {d}}} {
		f := evaluate(t, only(t, grouped(t, driver.GroupSpec{Members: members}), closed28), Options{}).Candidates[0].Figures
		if f.RatedPower != 350 || !f.PowerShare.OK() {
			t.Errorf("rated %g, share %g", float64(f.RatedPower), float64(f.PowerShare))
		}
	}
}

// The mends of a passive radiator that is given by its tuning are those of other
// tunings: each that is named keeps the limit, and one is named where one of the
// tunings that are said to be tried does.
func TestDelayMendOfARadiator(t *testing.T) {
	g := grouped(t, driver.GroupSpec{Driver: merlin(t), SideBySide: 1, Stack: 1})
	box := func(tuning float64) enclosure.Spec {
		return enclosure.Spec{
			Kind: enclosure.PassiveRadiator, Rear: enclosure.Chamber{Volume: 0.030, Tuning: tuning},
			Radiator: enclosure.Radiator{Sd: 0.0345, Mms: 0.110, Cms: 0.55e-3, Rms: 2, Count: 1},
		}
	}
	st := only(t, g, box(28))
	at := func(tuning float64) float64 {
		st := only(t, g, box(tuning))
		return float64(evaluate(t, st, Options{}).Candidates[0].Figures.GroupDelay.Value)
	}
	best := at(28)
	for _, k := range []float64{0.9, 0.8, 0.7, 1.1, 1.25} {
		best = math.Min(best, at(28*k))
	}
	st.Brief.Limits.GroupDelay = best * 1.0001
	mend := missOf(t, evaluate(t, st, Options{}).Candidates[0], CheckGroupDelay).Mend
	var litres, hz float64
	if _, err := fmt.Sscanf(mend, "a box of %f\u2009L net tuned to %f\u2009Hz keeps it", &litres, &hz); err != nil {
		t.Fatalf("%q: %v", mend, err)
	}
	if got := at(hz); got > best*1.01 { // the tuning is told with three digits
		t.Errorf("%q, but there it is %.2f ms of %.2f", mend, 1e3*got, 1e3*best)
	}
	st.Brief.Limits.GroupDelay = best * 0.99
	if mend := missOf(t, evaluate(t, st, Options{}).Candidates[0], CheckGroupDelay).Mend; !strings.HasPrefix(mend, "none of the tunings tried") {
		t.Errorf("with a limit that none keeps: %q", mend)
	}
}

// A group whose cones work against each other meets no brief, however easy.
func TestWrongPolarityMeetsNoBrief(t *testing.T) {
	g := grouped(t, driver.GroupSpec{Driver: merlin(t), SideBySide: 1, Stack: 2, Arrangement: driver.Clamshell,
		Coupling: []driver.Coupling{{Volume: 2e-3}}, Polarity: []int{1, 1}})
	st := only(t, g, enclosure.Spec{Kind: enclosure.Sealed, Rear: enclosure.Chamber{Volume: 0.014}})
	st.Brief.Extension.F3 = 1000
	r := evaluate(t, st, Options{})
	if r.BriefMet {
		t.Error("the brief is met")
	}
	if m := missOf(t, r.Candidates[0], CheckSound); !strings.Contains(m.Mend, "leave polarity out") {
		t.Errorf("its mend is %q", m.Mend)
	}
}

// The watts and the load of the verdict are the table's, also where a coil's
// inductance or a source's resistance tells on them.
func TestVerdictTellsTheTable(t *testing.T) {
	st := camper(t)
	st.Source = 1
	st.Drive = Drive{DriveVoltage, 2.83}
	r := evaluate(t, st, Options{})
	y := r.Candidates[r.Yardstick]
	told := 0
	for _, o := range r.Candidates {
		if o == y {
			continue
		}
		all := strings.Join(o.Verdict, "; ")
		for what, ratio := range map[string]float64{" the watts": o.Figures.TotalPower / y.Figures.TotalPower, " the load impedance": float64(o.Figures.Load / y.Figures.Load)} {
			want := times(ratio)
			if want == "" && strings.Contains(all, what) || want != "" && !strings.Contains(all, want+what) {
				t.Errorf("%s: the table’s ratio is %.3f and the verdict says %q", o.Candidate.Name, ratio, all)
			}
			if want != "" {
				told++
			}
		}
	}
	if told == 0 {
		t.Error("nothing was told: the check sees nothing")
	}
}
