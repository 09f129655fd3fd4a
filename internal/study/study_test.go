package study

import (
	"context"
	"encoding/json"
	"math"
	"reflect"
	"strings"
	"testing"

	"basswright/internal/driver"
	"basswright/internal/enclosure"
	"basswright/internal/filter"
	"basswright/internal/phys"
)

func evaluate(t testing.TB, st *Study, opt Options) *Result {
	t.Helper()
	r, err := Evaluate(context.Background(), st, opt)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// The figures of the camper bench, computed independently with the same
// conventions (a script on top of numpy that knows nothing of this network):
// level at 32 Hz, largest excursion at 20 Hz, lowest impedance, worst group
// delay, closed-box resonance and Q. Tolerance: the digits it printed.
func TestCamperFigures(t *testing.T) {
	r := evaluate(t, camper(t), Options{})
	for i, want := range []struct{ level, excursion, z, delay, fc, q float64 }{
		{99.6, 10.9, 3.34, 5.40, 48.9, 0.714},
		{97.3, 8.58, 1.67, 5.64, 47.0, 0.686},
		{105.0, 16.9, 3.34, 21.8, 0, 0},
	} {
		f := &r.Candidates[i].Figures
		for _, x := range []struct {
			name      string
			got, want float64
			step      float64
		}{
			{"level at 32 Hz", float64(f.LevelAsked), want.level, 0.1},
			{"excursion in mm", 1e3 * float64(f.Excursion.Value), want.excursion, 0.1 / (1 + 9*b2f(want.excursion < 10))},
			{"lowest impedance", float64(f.LowestZ.Value), want.z, 0.01},
			{"group delay in ms", 1e3 * float64(f.GroupDelay.Value), want.delay, 0.1 / (1 + 9*b2f(want.delay < 10))},
			{"fc", float64(f.Fc), want.fc, 0.1},
			{"Qtc", float64(f.Qtc), want.q, 0.001},
		} {
			if x.want != 0 && math.Abs(x.got-x.want) > x.step/2+1e-9 {
				t.Errorf("%s: %s is %.5g, want %.5g", r.Candidates[i].Candidate.Name, x.name, x.got, x.want)
			}
		}
	}
	c := r.Candidates[1].Coupling[0]
	if math.Abs(float64(c.Error.Value)-0.47) > 0.005 || math.Abs(float64(c.Error.At)-182) > 0.5 {
		t.Errorf("the stack parts from rigid coupling by %.3f dB at %.1f Hz, want 0.47 dB at 182 Hz", c.Error.Value, c.Error.At)
	}
	if r.BriefMet || !r.HasBrief {
		t.Error("the brief is told as met")
	}
	if !strings.Contains(r.Lead, "tuned is nearest") {
		t.Errorf("lead: %s", r.Lead)
	}
}

func b2f(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

func TestSameResultForAnyWorkers(t *testing.T) {
	var texts []string
	for _, workers := range []int{1, 2, 5} {
		r := evaluate(t, camper(t), Options{Workers: workers, Time: true})
		text, err := json.Marshal(r.Candidates[2].Figures)
		if err != nil {
			t.Fatal(err)
		}
		texts = append(texts, string(text)+r.Lead+strings.Join(r.Candidates[1].Verdict, ""))
		for _, o := range r.Candidates {
			if o.Curves.Step == nil || len(o.Curves.Step.T) == 0 {
				t.Fatal("no step response")
			}
		}
	}
	if texts[0] != texts[1] || texts[0] != texts[2] {
		t.Error("the result depends on the number of workers")
	}
}

// A closed box without inductance is a second-order high-pass: its step
// response is h(t) = e^(−ω0t/2Q)·(cos ωd t − sin ωd t/(2Q ωd/ω0)) times the
// first value. The band limit at 2 kHz rounds the edge off over about 0.25 ms
// and delays nothing, so the comparison starts at 1 ms; what the fade leaves
// there is below 1 % of the first value.
func TestStepOfAClosedBox(t *testing.T) {
	d := *merlin(t)
	d.Coil = driver.VoiceCoil{}
	g, _, err := driver.NewGroup(driver.GroupSpec{Driver: &d, SideBySide: 1, Stack: 1})
	if err != nil {
		t.Fatal(err)
	}
	st := camper(t)
	sys, _, err := enclosure.Build(g, enclosure.Spec{Kind: enclosure.Sealed, Rear: enclosure.Chamber{Volume: 0.028}}, st.Setting())
	if err != nil {
		t.Fatal(err)
	}
	step, _, err := Transients(context.Background(), sys, &filter.Chain{}, shownRate, shownBand, shownLead, shownTime)
	if err != nil {
		t.Fatal(err)
	}
	// the first value: at high frequency p = ρ/(2π)·Sd·Bl/(Re·Mms) per volt
	first := st.Air.Rho / (2 * math.Pi) * d.Sd * d.Bl / (d.Re * d.Mms)
	w0, q := 2*math.Pi*sys.Facts.SealedFc, sys.Facts.SealedQtc
	wd := w0 * math.Sqrt(1-1/(4*q*q))
	for k, x := range step.T {
		want := 0.0
		if x > 0 {
			want = first * math.Exp(-w0*x/(2*q)) * (math.Cos(wd*x) - w0/(2*q*wd)*math.Sin(wd*x))
		}
		if math.Abs(x) > 1e-3 && math.Abs(step.Y[k]-want) > 0.01*first {
			t.Errorf("at %.2f ms: %.5g of the first value, theory %.5g", 1e3*x, step.Y[k]/first, want/first)
		}
	}
}

// The amplifier's rule: V ≤ max √(P·R), I ≤ max √(P/R).
func TestAmplifierAtFull(t *testing.T) {
	a := Amplifier{Rated: []Rating{{2, 450}, {4, 260}}}
	if v := a.MaxVoltage(); math.Abs(v-math.Sqrt(1040)) > 1e-12 {
		t.Errorf("voltage limit %g V", v)
	}
	if i := a.MaxCurrent(); i != 15 {
		t.Errorf("current limit %g A", i)
	}
	if v := a.Voltage(1.5); v != 22.5 {
		t.Errorf("into 1.5 Ω: %g V, want the current limit's 22.5 V", v)
	}
	if a.LowestLoad() != 2 {
		t.Errorf("lowest load %g Ω", a.LowestLoad())
	}
	st := camper(t)
	st.Drive = Drive{Kind: DriveAmplifierFull}
	r := evaluate(t, st, Options{})
	for _, o := range r.Candidates {
		for k, z := range o.Curves.Impedance {
			if want := math.Min(math.Sqrt(1040), 15*z); math.Abs(o.Curves.Voltage[k]-want) > 1e-9 {
				t.Fatalf("%s at %g Hz: %g V, want %g V", o.Candidate.Name, o.Curves.Frequency[k], o.Curves.Voltage[k], want)
			}
		}
	}
}

// A mend is true: doing what it says mends the miss.
func TestMendsAreTrue(t *testing.T) {
	st := camper(t)
	st.Amplifier = &Amplifier{Rated: []Rating{{4, 260}}} // now the compound loads too low
	r := evaluate(t, st, Options{})
	for _, o := range r.Candidates {
		for _, m := range o.Misses {
			if m.Text == "" || m.Mend == "" {
				t.Errorf("%s: %q has no mend", o.Candidate.Name, m.Text)
			}
		}
	}
	mend := missOf(t, r.Candidates[1], CheckLoad).Mend
	if !strings.HasPrefix(mend, "wiring: series makes it 6.69") {
		t.Errorf("the compound's load: %s", mend)
	}
	// "holds up to 75.5 W into Re": at that power the limit is kept
	st = camper(t)
	watts := 0.0
	text := missOf(t, r.Candidates[2], CheckExcursion).Mend
	q, err := phys.Parse(strings.TrimPrefix(text[:strings.Index(text, " into")], "holds up to "), phys.Power)
	if err != nil {
		t.Fatalf("%q: %v", text, err)
	}
	watts = q.SI
	for _, c := range []struct {
		watts float64
		pass  bool
	}{{watts, true}, {watts * 1.02, false}} {
		st.Drive = Drive{DrivePower, c.watts}
		o := evaluate(t, st, Options{}).Candidates[2]
		k, _ := checkNamed(o, CheckExcursion)
		if k.Passed != c.pass {
			t.Errorf("at %.4g W the excursion limit is kept: %v, want %v", c.watts, k.Passed, c.pass)
		}
	}
	// "a box of N net tuned to F reaches it"
	st = camper(t)
	tuned := &st.Candidates[2]
	text = missOf(t, r.Candidates[2], CheckF3).Mend
	var volume, tuning string
	if i := strings.Index(text, " net tuned to "); i > 0 {
		volume, tuning = strings.TrimPrefix(text[:i], "a box of "), strings.TrimSuffix(text[i+len(" net tuned to "):], " reaches it")
	}
	v, err1 := phys.Parse(volume, phys.Volume)
	f, err2 := phys.Parse(tuning, phys.Frequency)
	if err1 != nil || err2 != nil {
		t.Fatalf("%q: %v %v", text, err1, err2)
	}
	tuned.Enclosure.Rear.Volume, tuned.Enclosure.Rear.Tuning = v.SI, f.SI
	if k, _ := checkNamed(evaluate(t, st, Options{}).Candidates[2], CheckF3); !k.Passed {
		t.Errorf("%q does not: F3 is %.4g Hz", text, k.Value)
	}
}

func missOf(t *testing.T, o *Outcome, id CheckID) Miss {
	t.Helper()
	for _, m := range o.Misses {
		if m.Check == id {
			return m
		}
	}
	t.Fatalf("%s misses nothing called %s", o.Candidate.Name, id)
	return Miss{}
}

func checkNamed(o *Outcome, id CheckID) (Check, bool) {
	for _, c := range o.Checks {
		if c.ID == id {
			return c, true
		}
	}
	return Check{}, false
}

// The verdict's clauses: differences below 0.5 Hz and 0.2 dB are equal.
func TestVerdictClauses(t *testing.T) {
	st := camper(t)
	base := blank()
	base.Re, base.Reference = 4, 100
	base.Load, base.TotalPower = 4.4, 2
	base.NetVolume, base.F3, base.F6, base.F10 = 0.028, 50, 40, 30
	base.PeakLevel.Value, base.GroupDelay.Value = 2, 0.01
	o := func(change func(f *Figures)) *Outcome {
		f := base
		if change != nil {
			change(&f)
		}
		return &Outcome{Figures: f}
	}
	st.Drive = Drive{DriveVoltage, 2.83}
	for _, c := range []struct {
		change func(f *Figures)
		want   []string
	}{
		{nil, []string{"in the same 28.0\u2009L: equal F3, F6 and F10", "same reference level at the same voltage"}},
		{func(f *Figures) { f.F3 += 0.49; f.Reference += 0.19 }, []string{"in the same 28.0\u2009L: equal F3, F6 and F10", "same reference level at the same voltage"}},
		{func(f *Figures) { f.F3 += 1.4; f.F10 -= 3; f.PeakLevel.Value = 0; f.Load, f.TotalPower = 2.2, 4 },
			[]string{"in the same 28.0\u2009L: F3 is 1.4\u2009Hz higher", "F10 is 3.0\u2009Hz lower", "equal F6", "the peak is gone", "same reference level at the same voltage", "twice the watts", "half the load impedance"}},
		{func(f *Figures) { f.NetVolume = 0.016; f.Reference -= 3; f.GroupDelay.Value = 0.014 },
			[]string{"in 16.0\u2009L instead of 28.0\u2009L: equal F3, F6 and F10", "reference level 3.0\u2009dB lower at the same voltage", "group delay 4.00\u2009ms longer at its worst"}},
	} {
		if got := st.against(o(c.change), o(nil)); !reflect.DeepEqual(got, c.want) {
			t.Errorf("got  %q\nwant %q", got, c.want)
		}
	}
}

func TestEvaluateRefusesNothingToCompare(t *testing.T) {
	st := camper(t)
	st.Candidates = nil
	if _, err := Evaluate(context.Background(), st, Options{}); err != ErrNoCandidate {
		t.Errorf("got %v", err)
	}
	st = camper(t)
	if _, err := Evaluate(context.Background(), st, Options{Yardstick: "tow"}); err == nil || !strings.Contains(err.Error(), "one, compound and tuned") {
		t.Errorf("got %v", err)
	}
	if _, err := st.CurvesAt(context.Background(), evaluate(t, st, Options{}).Candidates[0].System, []float64{0}, 1); err == nil {
		t.Error("0 Hz was computed")
	}
}

// The full comparison: three candidates, 400 points, all figures.
func BenchmarkEvaluate(b *testing.B) {
	st := camper(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Evaluate(context.Background(), st, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
