package study_test

import (
	"context"
	"fmt"
	"math"
	"math/cmplx"
	"os"
	"strings"
	"testing"

	"basswright/internal/check"
	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/note"
	"basswright/internal/phys"
	"basswright/internal/study"
	"basswright/internal/studyfile"
)

// vented is a study with one vented box; the amplifier gives watts into 4 Ω.
func vented(t testing.TB, port, brief string, watts float64) *study.Study {
	t.Helper()
	text := fmt.Sprintf(`study: Vented
drive: {voltage: 2.83 V}
amplifier: {rated: {4 ohm: %.6f W, 1 ohm: %.6f W}}
brief: %s
drivers:
  merlin-10: {fs: 30.5 Hz, qms: 4.9, qes: 0.49, vas: 44 L, sd: 345 cm2, re: 3.3 ohm, le: 1.1 mH, xmax: 12 mm}
candidates:
  tuned:
    group: {driver: merlin-10}
    enclosure: {kind: vented, volume: 60 L, tuning: 30 Hz, port: %s}
`, watts, 4*watts, brief, port)
	st, err := studyfile.Parse([]byte(text), "vented.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return st
}

func evaluated(t testing.TB, st *study.Study) *study.Result {
	t.Helper()
	res, err := study.Evaluate(context.Background(), st, study.Options{Points: 20})
	if err != nil {
		t.Fatal(err)
	}
	return res
}

func portMiss(o *study.Outcome) *study.Miss {
	for i := range o.Misses {
		if o.Misses[i].Check == study.CheckPortFull {
			return &o.Misses[i]
		}
	}
	return nil
}

// The same box at the same drive, whose amplifier is turned up: it passes until
// the amplifier makes its port too small, and not beyond. The power at which it
// changes is where the share is one, because all is linear; with a limit that is
// stated and with the cautious one.
func TestPortTooSmallForTheAmplifierIsNoPass(t *testing.T) {
	for _, brief := range []string{"{limits: {from: 20 Hz, port_speed: 17 m/s, excursion: 20 mm}}", "{limits: {from: 20 Hz, excursion: 20 mm}}"} {
		const port = "{diameter: 100 mm}"
		at := evaluated(t, vented(t, port, brief, 100)).Candidates[0].Air[0]
		edge := 100 / math.Pow(float64(at.Share.Value), 2)
		below, above := evaluated(t, vented(t, port, brief, 0.999*edge)), evaluated(t, vented(t, port, brief, 1.001*edge))
		if !below.BriefMet || !below.HasBrief || portMiss(below.Candidates[0]) != nil {
			t.Errorf("%s: with %.3g W it does not pass: %v", brief, 0.999*edge, below.Candidates[0].Misses)
		}
		if above.BriefMet || portMiss(above.Candidates[0]) == nil {
			t.Errorf("%s: with %.3g W it passes", brief, 1.001*edge)
		}
	}
}

// What the mend says holds: turned down by so many decibels the port passes, and
// with the least port it does too, at the amplifier's full power; and the port is
// no larger than it has to be.
func TestPortMendHolds(t *testing.T) {
	for _, brief := range []string{"{limits: {from: 20 Hz, port_speed: 17 m/s}}", "{limits: {from: 20 Hz}}"} {
		const watts = 60.0
		res := evaluated(t, vented(t, "{diameter: 90 mm}", brief, watts))
		o := res.Candidates[0]
		miss := portMiss(o)
		if miss == nil {
			t.Fatal("the port is large enough")
		}
		var down float64
		if _, err := fmt.Sscanf(strings.TrimPrefix(miss.Mend, "holds with the amplifier turned down by "), "%f", &down); err != nil {
			t.Fatalf("%q: %v", miss.Mend, err)
		}
		if r := evaluated(t, vented(t, "{diameter: 90 mm}", brief, watts*math.Pow(10, -down/10))); portMiss(r.Candidates[0]) != nil {
			t.Errorf("turned down by %g dB it is still too small", down)
		}
		var least *study.LeastPort
		for i := range o.Air[0].Least {
			if l := &o.Air[0].Least[i]; !l.Asked {
				least = l
			}
		}
		if least == nil || least.Area == 0 || least.Enough {
			t.Fatalf("no least port: %+v", o.Air[0].Least)
		}
		with := func(by float64) *study.Outcome {
			return evaluated(t, vented(t, fmt.Sprintf("{diameter: %.9f mm}", 1e3*by*least.Port.Diameter), brief, watts)).Candidates[0]
		}
		enough, less := with(1+1e-6), with(1-2e-3)
		if m := portMiss(enough); m != nil {
			t.Errorf("%s: the least port is too small: %s", brief, m.Text)
		}
		if portMiss(less) == nil {
			t.Errorf("%s: a smaller port than the least one does too", brief)
		}
		got := enough.System.Facts.Ports[0].Port.Length
		check.Near(t, "the least port’s length", got, least.Port.Length, 1e-5*got, "the port that was built is a millionth wider")
	}
}

// The cautious limit is told as a default with its source, once a port, and not
// where the brief states one. It is the least of what is published and what
// follows from the port, written out here by hand for a sharp port of 100 mm:
// ωa, 10 m/s, 5 % of c, and a boundary layer's Reynolds number of 550.
func TestCautiousLimitIsShown(t *testing.T) {
	o := evaluated(t, vented(t, "{diameter: 100 mm}", "{limits: {from: 20 Hz}}", 50)).Candidates[0]
	a := o.Air[0]
	w := 2 * math.Pi * float64(a.Share.At)
	const viscosity = 1.506e-5 // m²/s, of air at 20 °C; 1 % of it is half of that in the speed
	want := min(w*0.05, 10, 0.05*343.2, 550*math.Sqrt(viscosity*w/2))
	check.Near(t, "limit", float64(a.Limit), want, 0.01*want, "the viscosity is rounded")
	told := 0
	for _, f := range o.Findings {
		if f.ID == "default-port-speed" {
			told++
			if f.Severity != note.Default || !strings.Contains(f.Text, a.Source) || !strings.Contains(a.Source, "from memory") || f.Mend == "" {
				t.Errorf("told as %+v, source %q", f, a.Source)
			}
		}
	}
	if told != 1 || a.Stated {
		t.Errorf("told %d times, stated: %v", told, a.Stated)
	}
	for _, k := range o.Checks { // nobody asked for it, and it is no straight line in a figure
		if (k.ID == study.CheckPortSpeed || k.ID == study.CheckPortFull) && (k.Asked || !k.Varies) {
			t.Errorf("%+v", k)
		}
	}
	o = evaluated(t, vented(t, "{diameter: 100 mm}", "{limits: {from: 20 Hz, port_speed: 12 m/s}}", 50)).Candidates[0]
	for _, f := range o.Findings {
		if f.ID == "default-port-speed" {
			t.Errorf("a limit is stated, and told is %q", f.Text)
		}
	}
	if !o.Air[0].Stated || o.Air[0].Limit != 12 {
		t.Errorf("stated 12 m/s, held to %+v", o.Air[0])
	}
}

// A port without a size is not judged, which is a miss wherever an amplifier drives
// it: nobody can promise that it bears that. Where no limit is stated the finding
// says so too.
func TestUnsizedPortIsNotJudged(t *testing.T) {
	for brief, want := range map[string]string{"{limits: {from: 20 Hz}}": "port-unsized", "{limits: {port_speed: 17 m/s}}": ""} {
		st := vented(t, "{diameter: 100 mm}", brief, 50)
		st.Candidates[0].Enclosure.Rear.Port = enclosure.Port{}
		o := evaluated(t, st).Candidates[0]
		got := ""
		for _, f := range o.Findings {
			if strings.HasPrefix(f.ID, "port-") {
				got = f.ID
			}
		}
		if got != want || len(o.Air) != 0 || missOf(o, study.CheckPortSpeed) == nil {
			t.Errorf("%s: told %q, %v, misses %v", brief, got, o.Air, o.Misses)
		}
	}
}

// The peak speed in a port for a level, published for the port alone: at its
// tuning a box without losses holds the cone, so that nothing else is heard. The
// values are printed with ten digits.
func TestPublishedPortSpeedForALevel(t *testing.T) {
	n := 0
	for _, row := range check.Rows(t, "testdata/ports.csv") {
		if !strings.HasPrefix(row.ID, "ports-") {
			continue
		}
		n++
		var want, spl, fb, area, rho float64
		scan(t, row.Value, "%f", &want)
		scan(t, row.Conditions, "SPL=%f fb=%f Sv=%f rho=%f", &spl, &fb, &area, &rho)
		text := fmt.Sprintf(`study: One
drive: {voltage: 1 V}
air: {speed_of_sound: 343 m/s, density: %g kg/m3}
brief: {level: {at: %g Hz, spl: %g dB}}
drivers:
  merlin-10: {fs: 30.5 Hz, qms: 4.9, qes: 0.49, vas: 44 L, sd: 345 cm2, re: 3.3 ohm}
candidates:
  tuned:
    group: {driver: merlin-10}
    enclosure: {kind: vented, volume: 60 L, tuning: %g Hz, losses: {leakage: none}, port: {area: %.10f cm2}}
`, rho, fb, spl, fb, 1e4*area)
		st, err := studyfile.Parse([]byte(text), "one.yaml")
		if err != nil {
			t.Fatal(err)
		}
		for _, l := range evaluated(t, st).Candidates[0].Air[0].Least {
			if l.Asked {
				check.Near(t, row.ID, l.Flow/area, want, 1e-8*want, "the printed digits")
			}
		}
	}
	if n != 4 {
		t.Errorf("%d rows", n)
	}
}

func scan(t *testing.T, text, format string, to ...any) {
	t.Helper()
	if _, err := fmt.Sscanf(text, format, to...); err != nil {
		t.Fatalf("%q: %v", text, err)
	}
}

// Small's rule in the ledger, against evaluations that were published with it:
// what the cones move is Sd times xmax.
func TestPublishedSmallArea(t *testing.T) {
	n := 0
	for _, row := range check.Rows(t, "testdata/ports.csv") {
		if !strings.HasPrefix(row.ID, "vented-box-") {
			continue
		}
		n++
		var want, fb, moved float64
		scan(t, strings.Split(row.Value, ";")[0], "%f", &want)
		scan(t, row.Conditions, "fb=%f Vd=%f", &fb, &moved)
		st := vented(t, "{diameter: 60 mm}", "{limits: {from: 20 Hz}}", 50)
		c := &st.Candidates[0]
		c.Enclosure.Rear.Tuning = fb
		c.Group.Positions[0][0].Driver.Data.Xmax = moved / c.Group.Positions[0][0].Driver.Sd
		got := phys.None()
		for _, s := range evaluated(t, st).Candidates[0].BoxLedger {
			if strings.HasPrefix(s.Name, "Least port by Small") {
				got = s.Value
			}
		}
		check.Near(t, row.ID, float64(got), want, 1e-9*want, "exact evaluation")
	}
	if n != 3 {
		t.Errorf("%d rows", n)
	}
}

// The loss by another way: the box is built again and again with the loss of its
// port as the flow of the last time asks, given as a Q, until it stays; what is
// told reads two boxes and solves. Both end when the flow repeats to 1e-9.
func TestPortLossByBuildingAnew(t *testing.T) {
	for _, port := range []string{"{diameter: 70 mm}", "{diameter: 70 mm, flare: 10 mm}", "{width: 200 mm, height: 20 mm}"} {
		st := vented(t, port, "{limits: {from: 20 Hz}}", 80)
		o := evaluated(t, st).Candidates[0]
		a, facts := o.Air[0], o.System.Facts.Ports[0]
		if !a.Loss.Value.OK() || a.Loss.Value < 0.2 {
			t.Fatalf("%s: loss %v", port, a.Loss)
		}
		f := float64(a.Loss.At)
		flow, err := facts.Port.Airflow(st.Air)
		if err != nil {
			t.Fatal(err)
		}
		sys := o.System
		volts, sol := 0.0, sys.Program.NewSolver()
		read := func() (p, u float64) {
			if err := sol.Solve(2 * math.Pi * f); err != nil {
				t.Fatal(err)
			}
			return cmplx.Abs(sys.Pressure(sol)), sys.OpeningFlow(sol, &sys.Openings[0])
		}
		free, u := read()
		volts = st.Amplifier.Voltage(cmplx.Abs(sys.Impedance(sol)))
		u *= volts
		var p float64
		for range 100 {
			c := st.Candidates[0]
			c.Enclosure.Rear.Losses.Port = enclosure.Loss{State: enclosure.LossGiven, Q: 2 * math.Pi * facts.Tuning * facts.Mass / flow.Resistance(f, math.Sqrt2*u)}
			c.Enclosure.Rear.Losses.At = facts.Tuning
			if sys, _, err = enclosure.Build(c.Group, c.Enclosure, st.Setting()); err != nil {
				t.Fatal(err)
			}
			sol = sys.Program.NewSolver()
			next := 0.0
			if p, next = read(); math.Abs(next*volts/u-1) < 1e-9 {
				break
			}
			u = math.Sqrt(u * next * volts)
		}
		check.Near(t, port, float64(a.Loss.Value), 20*math.Log10(free/p), 1e-6, "dB; the flow repeats to 1e-9")
	}
}

// The loss of a port falls to nothing as it is played softly, where it goes with
// the speed and so with the root of the power; a wider port, and one that is
// rounded, lose less.
func TestPortLossProperties(t *testing.T) {
	loss := func(port string, watts float64) float64 {
		return float64(evaluated(t, vented(t, port, "{limits: {from: 20 Hz}}", watts)).Candidates[0].Air[0].Loss.Value)
	}
	soft, softer := loss("{diameter: 70 mm}", 1e-4), loss("{diameter: 70 mm}", 1e-6)
	check.Near(t, "a tenth of the voltage", soft/softer, 10, 0.05, "the next order is a part in 10⁻³ there")
	last := math.Inf(1)
	for _, port := range []string{"{diameter: 60 mm}", "{diameter: 70 mm}", "{diameter: 70 mm, flare: 15 mm}", "{diameter: 90 mm, flare: 15 mm}"} {
		got := loss(port, 40)
		if !(got < last) || got <= 0 {
			t.Errorf("%s loses %g dB, the one before %g dB", port, got, last)
		}
		last = got
	}
}

// Two ports in one box: the losses of both are found together, and each is told.
func TestTwoPortsLoseTogether(t *testing.T) {
	st := vented(t, "{diameter: 70 mm}", "{limits: {from: 20 Hz}}", 40)
	st.Candidates[0].Enclosure = enclosure.Spec{Kind: enclosure.BandpassSeries,
		Rear:  enclosure.Chamber{Volume: 0.03, Tuning: 40, Port: enclosure.Port{Shape: enclosure.Round, Diameter: 0.07}},
		Front: enclosure.Chamber{Volume: 0.02, Tuning: 70, Port: enclosure.Port{Shape: enclosure.Round, Diameter: 0.08}}}
	o := evaluated(t, st).Candidates[0]
	if len(o.Air) != 2 || o.Air[0].Name == o.Air[1].Name {
		t.Fatalf("%+v", o.Air)
	}
	for _, a := range o.Air {
		if !a.Loss.Value.OK() || a.Loss.Value <= 0 || a.Loss.Value > 30 || len(a.Least) == 0 {
			t.Errorf("%s: loss %v, least %v", a.Name, a.Loss, a.Least)
		}
	}
}

// A port that has no room is told what else to do, all of it worked out: a radiator
// that moves Û/ω, and the widest port that has room, with which the box still fits.
func TestPortWithoutRoom(t *testing.T) {
	st := example(t, "camper-bench")
	i, err := st.Find("tuned")
	if err != nil {
		t.Fatal(err)
	}
	o := evaluated(t, st).Candidates[i]
	for _, l := range o.Air[0].Least {
		if l.Asked {
			if !l.Enough {
				t.Errorf("for %s the port is too small: %+v", l.For, l)
			}
			continue
		}
		if l.Fits || l.Why == "" || len(l.Instead) < 2 {
			t.Fatalf("%+v", l)
		}
		moved := phys.Show(l.Flow/(2*math.Pi*l.At), phys.Volume, st.Units)
		if last := l.Instead[len(l.Instead)-1]; !strings.Contains(last, "radiator") || !strings.Contains(last, moved) {
			t.Errorf("a radiator that moves %s: %q", moved, last)
		}
		var height float64
		scan(t, l.Instead[0], "the widest that has room, a slot of 244\u2009mm × %f", &height)
		c := &st.Candidates[i]
		for by, fits := range map[float64]bool{-0.1: true, +0.1: false} { // of a height told to 0.1 mm
			c.Enclosure.Rear.Port.Height = (height + by) / 1e3
			if got := evaluated(t, st).Candidates[i].Body.Fits; got != fits {
				t.Errorf("a slot of %.1f mm fits: %v", height+by, got)
			}
		}
	}
}

// A group of several drivers moves the air of all of them.
func TestPortAirOfSeveralDrivers(t *testing.T) {
	one, two := vented(t, "{diameter: 100 mm}", "{limits: {from: 20 Hz}}", 50), vented(t, "{diameter: 100 mm}", "{limits: {from: 20 Hz}}", 50)
	d := two.Candidates[0].Group.Positions[0][0].Driver
	g, _, err := driver.NewGroup(driver.GroupSpec{Driver: d, SideBySide: 2, Stack: 1, Wiring: driver.Wiring{Way: driver.WiringParallel}})
	if err != nil {
		t.Fatal(err)
	}
	c := &two.Candidates[0]
	c.Group, c.Enclosure.Rear.Volume, c.Enclosure.Rear.Port.Count = g, 2*c.Enclosure.Rear.Volume, 2
	a, b := evaluated(t, one).Candidates[0].Air[0], evaluated(t, two).Candidates[0].Air[0]
	// Twice of everything at the same voltage: the same speed. The amplifier's rated
	// currents leave both their voltage.
	check.Near(t, "speed with two of all", float64(b.Fastest.Value), float64(a.Fastest.Value), 1e-6*float64(a.Fastest.Value), "peaks are looked for to 1e-8 in ln f")
	check.Near(t, "loss with two of all", float64(b.Loss.Value), float64(a.Loss.Value), 1e-6, "dB; the flow repeats to 1e-9")
}

// read is a study file, with texts of it replaced: old, new, old, new.
func read(t testing.TB, file string, replace ...string) *study.Study {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	st, err := studyfile.Parse([]byte(strings.NewReplacer(replace...).Replace(string(text))), file)
	if err != nil {
		t.Fatal(err)
	}
	return st
}

// Where two cones cancel each other no air moves in the port: its loss is told for
// nothing, and nothing stops.
func TestNoLossWhereNoAirMoves(t *testing.T) {
	st, err := studyfile.Parse([]byte(`study: Cancelled
drivers: {a: {fs: 20 Hz, qms: 2, qes: 1.2, vas: 8 L, sd: 120 cm2, re: 2 ohm}}
candidates:
  box:
    group: {driver: a, side_by_side: 2, wiring: {in_series: 1}, polarity: [normal, reversed]}
    enclosure: {kind: bandpass, rear: {volume: 8 L}, front: {volume: 15 L, tuning: 22 Hz, port: {area: 60 cm2}}}
`), "cancelled.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, a := range evaluated(t, st).Candidates[0].Air {
		if a.Loss.Value.OK() && a.Loss.Value != 0 {
			t.Errorf("%+v", a)
		}
	}
}
