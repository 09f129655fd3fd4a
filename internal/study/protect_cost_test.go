package study_test

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"basswright/internal/check"
	"basswright/internal/filter"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// guarded is a study whose candidate needs protection; the limits of movement are
// all stated.
func guarded(t testing.TB, box, amplifier, filters, limits string) *study.Study {
	t.Helper()
	text := fmt.Sprintf(`study: Guarded
drive: {voltage: 10 V}
amplifier: {rated: {%s}}
%s
brief:
  level: {at: 40 Hz, spl: 90 dB}
  limits: {from: 20 Hz, excursion: xmax%s}
drivers:
  plover-10: {fs: 28 Hz, qms: 5, qes: 0.45, vas: 50 L, sd: 350 cm2, re: 3.4 ohm, le: 1.2 mH, xmax: 10 mm, xmech: 20 mm}
candidates:
  box:
    group: {driver: plover-10}
    enclosure: %s
`, amplifier, filters, limits, box)
	st, err := studyfile.Parse([]byte(text), "guarded.yaml")
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return st
}

const (
	wideBox      = "{kind: vented, volume: 80 L, losses: {leakage: none}, port: {diameter: 120 mm, length: 300 mm}}"
	radiatorBox  = "{kind: passive_radiator, volume: 40 L, radiator: {sd: 515 cm2, mms: 210 g, cms: 0.55 mm/N, qms: 7, xmax: 3 mm}}"
	smallPower   = "4 ohm: 200 W"
	fullPower    = "2 ohm: 450 W, 4 ohm: 260 W"
	portLimit    = ", port_speed: 17 m/s"
	someFilters  = "filters: {lift: {kind: bell, at: 25 Hz, q: 2, gain: 6 dB}, sub: {kind: highpass, family: butterworth, order: 2, at: 12 Hz}}"
	manyPerOct   = 2000 // points an octave at which shares are read: a peak of Q 50 is met to 0.1 ‰
	shareRefined = 1e-5
)

// guardedCases are candidates that need a high-pass for unlike reasons.
var guardedCases = []struct {
	name, box, amplifier, filters, limits string
	by                                    study.BoundID
}{
	{"wide", wideBox, fullPower, "", portLimit, study.BoundExcursion},
	{"sharp peak of the port", wideBox, smallPower, "", portLimit, study.BoundExcursion},
	{"filters", wideBox, smallPower, someFilters, portLimit, study.BoundExcursion},
	{"radiator", radiatorBox, "4 ohm: 100 W", someFilters, "", study.BoundRadiator},
	{"closed", "{kind: sealed, volume: 30 L}", "4 ohm: 700 W", "", "", study.BoundExcursion},
	{"pressure", "{kind: sealed, volume: 30 L}", fullPower, "", ", chamber_pressure: 1000 Pa", study.BoundPressure},
}

// highPassed is a study with one more filter, as if it had been written into it.
func highPassed(t testing.TB, st *study.Study, family filter.Family, order int, corner float64) *study.Study {
	t.Helper()
	c, err := filter.HighPass(family, order, corner)
	if err != nil {
		t.Fatal(err)
	}
	out := *st
	if out.Chain, err = filter.Join(st.Chain, c); err != nil {
		t.Fatal(err)
	}
	return &out
}

// fullShare is the largest share of a limit of movement when the amplifier gives
// all that it can behind the study's filters, from the curves and from 5 Hz up.
func fullShare(t testing.TB, st *study.Study, o *study.Outcome) float64 {
	t.Helper()
	full := *st
	full.Drive = study.Drive{Kind: study.DriveAmplifierFull}
	c, err := full.CurvesAt(context.Background(), o.System, study.Frequencies(5, 1000, int(math.Log2(200)*manyPerOct)), 2)
	if err != nil {
		t.Fatal(err)
	}
	worst := 0.0
	of := func(y []float64, limit float64) {
		for _, v := range y {
			if limit > 0 {
				worst = math.Max(worst, v/limit)
			}
		}
	}
	for i, cone := range o.System.Cones {
		d := o.System.Group.Positions[cone.Position][cone.Depth].Driver.Data
		of(c.Excursion[i].Y, d.Xmax)
		of(c.Excursion[i].Y, d.Xmech)
	}
	for i, r := range o.System.Radiators {
		of(c.Excursion[len(o.System.Cones)+i].Y, r.Xmax)
	}
	of(c.SpeedMax, st.Brief.Limits.PortSpeed/math.Sqrt2)
	for _, p := range c.Pressure {
		of(p.Y, st.Brief.Limits.Pressure/math.Sqrt2)
	}
	return worst
}

// Every high-pass that is told keeps the limits, and a corner two tenths lower
// does not: a tenth is what it is told to.
func TestEveryHighPassIsTheLowest(t *testing.T) {
	for _, c := range guardedCases {
		st := guarded(t, c.box, c.amplifier, c.filters, c.limits)
		o := evaluated(t, st).Candidates[0]
		p := o.Protection
		if p == nil || !p.Needed || !p.Possible || len(p.Orders) != 12 {
			t.Errorf("%s: %+v", c.name, p)
			continue
		}
		if p.By != c.by {
			t.Errorf("%s: the worst is %s, want %s", c.name, p.By, c.by)
		}
		if got := fullShare(t, st, o); got > float64(p.Worst.Value)*(1+shareRefined) {
			t.Errorf("%s: %.6f of a limit is told as the worst, and there are %.6f", c.name, p.Worst.Value, got)
		}
		for _, h := range p.Orders {
			corner, holds := h.Corner, true
			if corner == 0 {
				corner, holds = 200, false
			}
			if s := fullShare(t, highPassed(t, st, h.Family, h.Order, corner), o); (s <= 1+shareRefined) != holds {
				t.Errorf("%s: behind %s of order %d at %.1f Hz there are %.6f of a limit", c.name, h.Family, h.Order, corner, s)
			}
			if s := fullShare(t, highPassed(t, st, h.Family, h.Order, corner-0.2), o); s <= 1 {
				t.Errorf("%s: %s of order %d at %.1f Hz would do as well", c.name, h.Family, h.Order, corner-0.2)
			}
		}
	}
}

// What a high-pass is told to cost is what the study tells with it written in, and
// the ledger says it: F3 stays nowhere where it does not.
func TestHighPassCostsWhatTheStudyTells(t *testing.T) {
	for _, c := range guardedCases {
		st := guarded(t, c.box, c.amplifier, c.filters, c.limits)
		o := evaluated(t, st).Candidates[0]
		p := o.Protection
		for _, h := range p.Orders {
			if h.Corner == 0 {
				continue
			}
			f := evaluated(t, highPassed(t, st, h.Family, h.Order, h.Corner)).Candidates[0].Figures
			name := fmt.Sprintf("%s, %s of order %d", c.name, h.Family, h.Order)
			check.Near(t, name+": F3", float64(h.F3), float64(f.F3), 1e-9*float64(f.F3), "the same network, read twice")
			check.Near(t, name+": reference", float64(h.Reference), float64(f.Reference), 1e-9, "dB; the same network, read twice")
			check.Near(t, name+": level asked", float64(h.Level), float64(f.LevelAsked), 1e-9, "dB; the same network, read twice")
			check.Near(t, name+": group delay", float64(h.GroupDelay.Value), float64(f.GroupDelay.Value), 1e-6*float64(f.GroupDelay.Value), "found on the same grid")
		}
		if p.After == nil || p.After.Figures.F3 != p.F3 {
			t.Errorf("%s: %+v behind the high-pass, F3 %g", c.name, p.After, p.F3)
		}
		stays := math.Abs(float64(p.F3-o.Figures.F3)) < 0.5
		why := ledgerLine(t, o, "Protection, high-pass")
		if strings.Contains(why, "F3 stays") != stays || strings.Contains(why, "F3 goes from ") == stays {
			t.Errorf("%s: F3 is %g Hz without and %g Hz with it, and it says %q", c.name, o.Figures.F3, p.F3, why)
		}
		for _, b := range p.Holds {
			if !strings.Contains(why, b.Words()) {
				t.Errorf("%s: the limit of %s is held and not named in %q", c.name, b, why)
			}
		}
		costs := ledgerLine(t, o, "Protection, what each order costs")
		if word := fmt.Sprintf("the lowest order that does is %d.", p.Lowest.Order); !strings.Contains(costs, word) {
			t.Errorf("%s: %q does not say %q", c.name, costs, word)
		}
	}
}

func ledgerLine(t testing.TB, o *study.Outcome, name string) string {
	t.Helper()
	for _, s := range o.BoxLedger {
		if s.Name == name {
			return s.Why
		}
	}
	t.Errorf("the ledger has no line %q", name)
	return ""
}

// The one to take is not the first that does: no other leaves more of F3 and of
// the level by 1 Hz or 1 dB for each order that it is steeper.
func TestHighPassToTake(t *testing.T) {
	steeper := 0
	for _, c := range guardedCases {
		o := evaluated(t, guarded(t, c.box, c.amplifier, c.filters, c.limits)).Candidates[0]
		p := o.Protection
		for _, h := range p.Orders {
			if h.Corner == 0 {
				continue
			}
			if h.Order < p.Lowest.Order {
				t.Errorf("%s: order %d is told as the lowest, and order %d does", c.name, p.Lowest.Order, h.Order)
			}
			if gain := float64(p.F3-h.F3) + float64(h.Reference-p.Reference); h.Order >= p.Order && gain > 1.001*float64(max(1, h.Order-p.Order)) {
				t.Errorf("%s: order %d is taken, and order %d leaves %.2f more", c.name, p.Order, h.Order, gain)
			}
		}
		if p.Order > p.Lowest.Order {
			steeper++
		}
	}
	if steeper == 0 {
		t.Error("the lowest order is always taken: nothing is compared")
	}
}

// Where no high-pass is enough it is said, and by how much the level has to come
// down, which is enough.
func TestNoHighPassIsEnough(t *testing.T) {
	st := guarded(t, "{kind: sealed, volume: 30 L}", fullPower, "", ", chamber_pressure: 10 Pa")
	o := evaluated(t, st).Candidates[0]
	p := o.Protection
	if !p.Needed || p.Possible || p.After != nil || p.By != study.BoundPressure {
		t.Fatalf("%+v", p)
	}
	for _, h := range p.Orders {
		if h.Corner != 0 {
			t.Errorf("order %d at %g Hz is said to do", h.Order, h.Corner)
		}
	}
	check.Near(t, "share, turned down", fullShare(t, st, o)*math.Pow(10, -p.TurnDown/20), 1, 1e-5, "the curves’ grid")
	if why := ledgerLine(t, o, "Protection"); !strings.Contains(why, "no high-pass of order 1 to 8 up to 200\u2009Hz keeps it inside: turn the level down by ") {
		t.Errorf("it says %q", why)
	}
}

// The mend by a high-pass says what it leaves of the brief and whether it meets it:
// what it says is what the study tells with the high-pass written in. It says so once.
func TestHighPassMendTellsTheBrief(t *testing.T) {
	for _, asked := range []struct {
		replace []string
		met     bool
	}{
		{nil, false},
		{[]string{"f3: 36 Hz", "f3: 60 Hz", "spl: 101 dB", "spl: 90 dB", "group_delay: 25 ms", "group_delay: 60 ms"}, true},
		{[]string{"group_delay: 25 ms", "group_delay: 60 ms", "spl: 101 dB", "spl: 90 dB"}, false},
	} {
		st := read(t, "../../examples/camper-bench.yaml", asked.replace...)
		i, err := st.Find("tuned")
		if err != nil {
			t.Fatal(err)
		}
		o := evaluated(t, st).Candidates[i]
		miss, next := missOf(o, study.CheckExcursionFull), missOf(o, study.CheckPortFull)
		if miss == nil || next == nil {
			t.Fatalf("%v", o.Misses)
		}
		if !strings.Contains(next.Mend, " dB, or behind the same high-pass; ") {
			t.Errorf("the second mend by it says %q", next.Mend)
		}
		p, mend := o.Protection, miss.Mend
		then := evaluated(t, highPassed(t, st, p.Family, p.Order, p.Corner)).Candidates[i]
		if (len(then.Misses) == 0) != asked.met || strings.Contains(mend, "; it does not meet the brief)") == asked.met {
			t.Errorf("with the high-pass it misses %v, and the mend is %q", then.Misses, mend)
		}
		for _, m := range then.Misses {
			fact, _, _ := strings.Cut(strings.TrimPrefix(m.Text, m.Short+": "), ", asked")
			fact, _, _ = strings.Cut(strings.TrimPrefix(fact, "F3 "), " at ")
			if !strings.Contains(mend, fact) {
				t.Errorf("%q is missed with it, and %q does not tell %q", m.Text, mend, fact)
			}
		}
		for _, word := range []string{"F3 then ", "\u2009dB at 32\u2009Hz, asked: ", "group delay "} {
			if !strings.Contains(mend, word) {
				t.Errorf("%q does not say %q", mend, word)
			}
		}
	}
}
